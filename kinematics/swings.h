/** @file  All swings of one capture: each in a window of its own, practice told from shots.
 *  Layer: kinematics.
 *
 *  Windows: from 1 s before takeaway to 0.5 s after the hands come to rest, less where a neighbour
 *  is near; they never overlap. A capture of one swing is one window, whole.
 *
 *  A swing of several in a capture is
 *  - struck, when the ball leaves at contact, or is not seen again after it;
 *  - practice, when the club head passes farther than 0.15 m from the resting ball, or when the
 * ball stays (or none lies there) although another swing of the capture starts one;
 *  - where the map names an analog channel for contact and some swing has its onset: struck with
 * one, practice without;
 *  - without a ball marker: struck, when contact takes at least a tenth of the head's speed;
 *    practice, when it takes less than 5 % although in another swing of the capture it takes a
 * tenth;
 *  - unknown otherwise, and kept as a swing, with a finding.
 *
 *  A ball of 46 g (Rules of Golf, equipment rules: 45.93 g at most) that leaves a head of mass M
 * with restitution e takes (1 + e) m / (M + m) of its speed: 0.33 for 0.2 kg and e = 0.8, 0.22 for
 * 0.3 kg and 0.65 (conservation of momentum; masses and restitution: common practice, no source).
 * The limits lie between that and what a swing through air loses in the same few milliseconds. */
#ifndef SWT_KINEMATICS_SWINGS_H
#define SWT_KINEMATICS_SWINGS_H

#include "kinematics/analyse.h"

/**
 * Analyses every swing of a capture; arguments as for swt_analyse.
 *
 * @param[out]    out       *n swings in order of time, numbered from 1; the caller frees each with
 *                          swt_swing_free, then the array with free; NULL on failure
 * @param[in,out] findings  of the capture: which of several swings could not be analysed
 * @retval SWT_EDATA  none could: the reason of the first
 */
SWT_MUST_USE swt_status swt_analyse_capture(swt_swing ***out, size_t *n,
                                            const swt_landmark_set *landmarks,
                                            const swt_landmark_set *static_pose,
                                            const swt_marker_map *map, swt_handedness side,
                                            const swt_analysis_options *options,
                                            swt_findings *findings, swt_error *err);

#endif
