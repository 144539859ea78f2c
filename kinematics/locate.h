/** @file  Finds the swing in a capture, roughly: address, top, downswing speed peak, contact.
 *  Layer: kinematics. Works on unfiltered positions, since the filter must know where contact is.
 */
#ifndef SWT_KINEMATICS_LOCATE_H
#define SWT_KINEMATICS_LOCATE_H

#include "kinematics/landmark.h"
#include "kinematics/verdict.h"

typedef struct swt_location {
    size_t address_first, address_last; /**< quiet frames before takeaway                       */
    size_t takeaway;                    /**< about where motion starts                          */
    size_t top;                         /**< about where the club (else the hands) reverses     */
    size_t fastest;                     /**< fastest frame of the downswing                     */
    size_t others;       /**< other motions as fast as a swing: practice swings                   */
    size_t other;        /**< fastest frame of the first of them                                  */
    bool quiet;          /**< the address was quiet; false: the capture starts in motion          */
    bool from_hands;     /**< no club head: all of it from the hands                              */
    swt_landmark marker; /**< whose motion was followed                                         */
    double home_m;       /**< its place along the target line at address; the ball's where the
                              capture starts in motion; set by swt_locate_contact               */
    double contact_frame; /**< by an analog channel; NaN: the markers tell it           */
} swt_location;

/**
 * The swing is the one whose downswing the ball's start ends; without a ball, the last motion that
 * is nearly as fast as the fastest. Its address is the first quiet before it.
 *
 * @param[in]  set            metres, any right-handed frame with z up
 * @param[in]  onset_speed_m_s  onset threshold for the marker that is followed
 * @retval SWT_EDATA  no club-head or hand marker, or nothing moves like a swing
 */
SWT_MUST_USE swt_status swt_locate(swt_location *location, const swt_landmark_set *set,
                                   double onset_speed_m_s, swt_error *err);

enum { SWT_SWINGS_MAX = 64 }; /**< of one capture; the slowest of more are left out */

/**
 * Every swing of a capture, in order of time: the one that swt_locate finds, every other motion at
 * least half as fast in which the hands come down like in a downswing (common practice, no source),
 * and every downswing that starts a ball, however slow. They are a second apart at least.
 * @retval SWT_EDATA  as swt_locate
 */
SWT_MUST_USE swt_status swt_locate_all(swt_location at[SWT_SWINGS_MAX], size_t *n,
                                       const swt_landmark_set *set, double onset_speed_m_s,
                                       swt_error *err);

/** Speed over 40 ms round each frame; 0 where the marker is lost, so that a gap is never a peak. */
void swt_locate_speed(double *speed, const swt_landmark_set *set, swt_landmark marker);

/**
 * Last frame, from `from` on, in which the ball rests before it is on its way; n_frames for none.
 * At a low rate it may be seen for one frame after contact only.
 */
size_t swt_locate_launch(const swt_landmark_set *set, size_t from);

/**
 * First frame after contact: the marker comes back through its address position along the target
 * line in the downswing.
 *
 * @param[in] set  in the swing frame
 * @return set->n_frames when it never comes back (the capture ends before contact)
 */
size_t swt_locate_contact(swt_location *location, const swt_landmark_set *set);

#endif
