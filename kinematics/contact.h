/** @file  The club head just before contact, from samples before contact alone.
 *  Layer: kinematics. Needs: base. Pure.
 *
 *  The last sample before contact has no neighbour on its other side: there smoothing does least
 *  and bends most, and the head, at some 40 m/s on an arc of little more than a metre, goes a tenth
 *  of a turn between two frames. So the instant and the speed of contact come from a model of the
 *  arc instead: the recorded (not smoothed) head over the last SWT_CONTACT_S is written in polar
 *  coordinates about the centre of that arc, in which it is nearly steady, and angle, radius and
 *  distance from the plane are each smoothed as hard as the samples say (local_spline.h) and
 * carried on over the fraction of a frame that is left.
 *
 *  With toe and heel marked, the head is placed by the rigid fit of the three (they are one body;
 *  the shaft, which bends in the downswing, is left out), which takes noise off it.
 *
 *  The stretch of 0.08 s is the later half of a quick downswing (own choice; common practice, no
 *  source: from top to impact takes under 0.25 s); at a low rate it is the fewest samples that
 * order three needs. docs/accuracy.md sets the result against the bound for these markers. */
#ifndef SWT_KINEMATICS_CONTACT_H
#define SWT_KINEMATICS_CONTACT_H

#include "kinematics/landmark.h"
#include "kinematics/local_fit.h"

#define SWT_CONTACT_S 0.08
enum { SWT_CONTACT_ORDER = 3, SWT_CONTACT_SAMPLES_MIN = 8 };

typedef struct swt_contact {
    bool known; /**< false: club head not marked, or samples missing in the window */
    swt_vec3 centre, level, across, normal; /**< of the arc; unit axes, `normal` out of its plane */
    swt_local_fit angle, radius, distance;
} swt_contact;

/**
 * @param[in] set    recorded landmarks (short gaps may be filled), any frame of reference
 * @param     split  first frame after contact; nothing is known when it is 0 or n_frames
 * @param     noise  SD of white noise in a coordinate of the head, m; NaN: half a millimetre
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_contact_fit(swt_contact *contact, const swt_landmark_set *set,
                                        size_t split, double noise, swt_error *err);

/** Where the head is at `frame` (a real number, up to a frame beyond the last sample). */
swt_vec3 swt_contact_position(const swt_contact *contact, double frame);

/** Its speed there, m per frame. */
double swt_contact_speed(const swt_contact *contact, double frame);

#endif
