/** @file  Recorded trajectories made fit for use: labels checked, gaps filled, noise smoothed.
 *  Layer: kinematics. Applies label_check, gaps and filter to all landmarks of a capture. */
#ifndef SWT_KINEMATICS_PREPARE_H
#define SWT_KINEMATICS_PREPARE_H

#include "kinematics/analyse.h"

/**
 * Looks for exchanged labels and jumps within each rigid segment. Unambiguous exchanges are put
 * right; samples of ambiguous ones are declared missing, since either marker may be meant. All is
 * reported in `findings`.
 */
SWT_MUST_USE swt_status swt_check_landmark_labels(swt_landmark_set *set, swt_findings *findings,
                                                  swt_error *err);

/**
 * Smooths every landmark in place: zero-lag Butterworth, the two sides of contact apart, cut-off
 * by residual analysis for each landmark (the largest of its three coordinates) or fixed.
 * Writes cut-off and noise to `quality`. Runs too short to smooth are left as recorded.
 *
 * @param split  first frame after contact, n_frames for none
 */
SWT_MUST_USE swt_status swt_smooth_landmarks(swt_landmark_set *set, size_t split,
                                             const swt_analysis_options *options,
                                             swt_quality *quality, swt_error *err);

/**
 * Fills gaps in place, from the other markers of the segment first, then by spline, never across
 * contact; every filled sample is marked. Fractions and longest gaps go to `quality`.
 */
SWT_MUST_USE swt_status swt_fill_landmarks(swt_landmark_set *set, size_t split,
                                           const swt_analysis_options *options,
                                           swt_quality *quality, swt_error *err);

#endif
