/** @file  The swing frame: along, depth, height, fixed once from the address pose.
 *  Layer: kinematics. Lengths in metres. */
#ifndef SWT_KINEMATICS_SWING_FRAME_H
#define SWT_KINEMATICS_SWING_FRAME_H

#include "kinematics/landmark.h"
#include "kinematics/marker_map.h"
#include "kinematics/verdict.h"

typedef struct swt_swing_frame {
    swt_vec3 along, depth, up; /**< unit vectors in the laboratory frame; for a left-handed player
                                    they form a left-handed triple: the mirror image           */
    swt_vec3 origin;           /**< middle of the toe line, on the floor                       */
    double heel_depth_m;       /**< heel line; NaN without heels                               */
    bool has_direction;        /**< a target line was found                                    */
    bool has_origin;           /**< toes were found, so depth and along have a zero            */
    bool has_floor;            /**< the height has a zero                                      */
    bool target_from_stance;   /**< target line is the toe line                                */
    bool floor_from_feet;
} swt_swing_frame;

/**
 * Builds the frame from frames [first, last] of a quiet address pose (means of the samples).
 *
 * Target line: ball and target markers, else the map's laboratory axis (x after binding), else
 * the toe line. Floor: laboratory z = 0 when levelled, else the mean height of the lowest
 * foot marker less the marker radius.
 *
 * @param[out] findings  appended to
 * @retval SWT_EDATA  the trunk does not stand over the feet (wrong up axis), or the feet contradict
 * the declared side and axes (mirrored laboratory axes or swapped side labels): every depth would
 * have the wrong sign
 */
SWT_MUST_USE swt_status swt_swing_frame_build(swt_swing_frame *frame, const swt_landmark_set *set,
                                              const swt_marker_map *map, swt_handedness side,
                                              size_t first, size_t last, swt_findings *findings,
                                              swt_error *err);

/**
 * Does the swing go towards the target? Feet alone cannot tell a left-handed player entered as
 * right-handed, when the target line is taken from the toes: the whole swing then runs backwards.
 *
 * @param marker   the club head, or what was followed in its place
 * @param fastest  its fastest frame of the downswing
 * @retval SWT_EDATA  there it moves away from the target, within 60 degrees of straight away (own
 *                    choice, no source: far beyond any club path)
 */
SWT_MUST_USE swt_status swt_swing_frame_check_motion(const swt_swing_frame *frame,
                                                     const swt_landmark_set *set,
                                                     swt_landmark marker, size_t fastest,
                                                     swt_error *err);

/**
 * Is what the swing starts from an address pose? There the club head lies below the hands, and
 * the hands below the shoulders; a capture whose frames run backwards in time starts from the
 * finish, with one of them above.
 *
 * @param[in] set  in the swing frame
 * @retval SWT_EDATA  it is not; the message says what was found where
 */
SWT_MUST_USE swt_status swt_swing_frame_check_address(const swt_landmark_set *set, size_t first,
                                                      size_t last, swt_error *err);

/** Turns all trajectories of a set into the swing frame, in place. */
void swt_swing_frame_apply(const swt_swing_frame *frame, swt_landmark_set *set);

#endif
