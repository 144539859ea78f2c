/** @file  Recorded trajectories made fit for use: labels checked, gaps filled, noise smoothed.
 *  Layer: kinematics. Applies label_check, gaps and filter to all landmarks of a capture. */
#ifndef SWT_KINEMATICS_PREPARE_H
#define SWT_KINEMATICS_PREPARE_H

#include "kinematics/options.h"
#include "kinematics/swing.h"

/**
 * Looks for exchanged labels and jumps within each rigid segment. Unambiguous exchanges are put
 * right; samples of ambiguous ones are declared missing, since either marker may be meant. All is
 * reported in `findings`.
 */
SWT_MUST_USE swt_status swt_check_landmark_labels(swt_landmark_set *set, swt_findings *findings,
                                                  swt_error *err);

/**
 * Cut-off of each landmark by residual analysis (the largest of its three coordinates), or the
 * fixed one of the options, and its white noise; both go to `quality`. Ball and target get none.
 * With options->smooth_by_spline both come from generalised cross-validation (Woltring 1986), and
 * the cut-off is where the spline's gain is one half.
 *
 * @param split  first frame after contact, n_frames for none
 */
SWT_MUST_USE swt_status swt_choose_cutoffs(const swt_landmark_set *set, size_t split,
                                           const swt_analysis_options *options,
                                           swt_quality *quality, swt_error *err);

/**
 * Smooths every landmark: zero-lag Butterworth (or the smoothing spline of the same cut-off), the
 * two sides of contact apart. Runs too short to smooth, and landmarks whose cut-off is 0, come out
 * as recorded.
 *
 * @param[out] out   samples of the same landmarks and frames; not `set`
 * @param split      first frame after contact, n_frames for none
 * @param cutoff_hz  of each landmark, as swt_choose_cutoffs finds it
 */
SWT_MUST_USE swt_status swt_smooth_landmarks(swt_landmark_set *out, const swt_landmark_set *set,
                                             size_t split,
                                             const double cutoff_hz[SWT_LANDMARK_COUNT],
                                             bool by_spline, swt_error *err);

/**
 * Fills gaps in place, from the other markers of the segment first, then by spline, never across
 * contact; every filled sample is marked. Fractions and longest gaps go to `quality`.
 */
SWT_MUST_USE swt_status swt_fill_landmarks(swt_landmark_set *set, size_t split,
                                           const swt_analysis_options *options,
                                           swt_quality *quality, swt_error *err);

#endif
