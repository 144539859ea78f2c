/** @file  How far a segment has turned about its own long axis, from recorded markers.
 *  Layer: kinematics. Everything in metres in the swing frame. */
#ifndef SWT_KINEMATICS_TURN_H
#define SWT_KINEMATICS_TURN_H

#include "kinematics/segment.h"

/**
 * The turn in frames [from, to], counted from `from`, from frame to frame the rotation of all the
 * segment's markers, fitted to their own mean shape, about the long (Y) axis of the smoothed pose.
 * The markers are not smoothed, so that what noise there is in the turn is white; summed, the
 * steps' noise cancels but for that of the first and the last.
 *
 * @param[out] turn      n_frames, rad; NaN outside [from, to], where the pose is lost (counted anew
 *                       after it), and throughout where fewer than three markers are seen together
 * @param[in]  smoothed  of the segment
 * @param[in]  recorded  landmarks in the swing frame, gaps filled
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_segment_turn(double *turn, swt_segment segment,
                                         const swt_segment_pose *smoothed,
                                         const swt_landmark_set *recorded, size_t from, size_t to,
                                         swt_error *err);

/** Noise of a segment's turn about its long axis at `frame`, rad: that of the least-squares turn of
 *  its markers, sigma / sqrt(sum of squared distances from the axis), with the noise of each
 *  landmark, m (0 or NaN: half a millimetre). NaN where there is no pose. */
double swt_segment_turn_noise(const swt_segment_pose *pose, swt_segment segment,
                              const swt_landmark_set *set, const double noise_m[SWT_LANDMARK_COUNT],
                              size_t frame);

#endif
