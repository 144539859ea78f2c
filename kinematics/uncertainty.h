/** @file  Standard uncertainty of events and measures from marker noise, by perturbation.
 *  Layer: kinematics.
 *
 *  Method: a parametric bootstrap (Efron & Tibshirani 1993, An Introduction to the Bootstrap,
 *  chapter 6; from memory), in the words of JCGM 101:2008 a propagation of distributions by Monte
 *  Carlo. The smoothed trajectories of a swing stand for the true ones; analysed as they are, they
 *  give the truth of the experiment (the reference). To them is added white Gaussian noise,
 *  independent for each coordinate and frame, of the standard deviation that the residual analysis
 *  found in that landmark, and the result is analysed like a recording: swing frame, gaps,
 * smoothing with the cut-offs of the swing, events, measures. With d the difference of a replicate
 * from the reference, the standard uncertainty is
 *
 *      u = sqrt( K / (K - 2) * mean of d^2 over K replicates ).
 *
 *  The mean square is taken about the reference, not about the replicates' mean, so that what
 *  smoothing and noise displace on average counts too (a noisy speed has a higher peak). The factor
 *  makes u the standard deviation of Student's distribution with K degrees of freedom, by which a
 *  mean square of so few is known (cf. JCGM 101:2008, 6.4.9.4; from memory), so that value +- 1.96
 * u holds the truth about 95 times in 100 whatever K is.
 *
 *  What is not in it: soft tissue that moves on the bone, a marker beside its landmark, a wrong
 *  scale or camera calibration, a rig that trembles, the choice of cut-off, how well a gap's
 *  filling meets the motion, the noise of a static capture. Noise that is not white is counted by
 *  its high frequencies alone. So u says how well a repeated recording of the same motion with the
 *  same markers would agree, and is a lower bound of the error.
 *
 *  Cost: a replicate is a third of an analysis, since labels and cut-offs are settled once. One
 *  core of a shared machine, 41 markers, 240 Hz, 581 frames: 7 ms without, 52 ms with 20
 * replicates; 1,961 frames: 23 and 173 ms. Coverage by simulation: docs/uncertainty.md. */
#ifndef SWT_KINEMATICS_UNCERTAINTY_H
#define SWT_KINEMATICS_UNCERTAINTY_H

#include "kinematics/swing.h"

/** Fewer replicates give no uncertainty (the factor above needs three); more bring nothing. */
enum { SWT_REPLICATES_MIN = 5, SWT_REPLICATES_MAX = 10000 };

/** What the replicates of one swing gave. Opaque. */
typedef struct swt_replicates swt_replicates;

SWT_MUST_USE swt_status swt_replicates_new(swt_replicates **out, size_t n, swt_error *err);

/** Frees it; NULL is allowed. */
void swt_replicates_free(swt_replicates *replicates);

/**
 * Trajectories of one replicate: those of `swing` (smoothed, in the swing frame) with noise.
 *
 * Filled samples are taken out, to be filled again from noisy neighbours. Landmarks without a
 * noise estimate get the median of the others.
 *
 * @param[out] out    caller frees with swt_landmark_set_free; NULL on failure
 * @param      index  number of the replicate: each has its own stream of GSL's generator mt19937,
 *                    so that it is the same whatever ran before it
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_replicate_draw(swt_landmark_set **out, const swt_swing *swing,
                                           size_t index, swt_error *err);

/** Keeps events and measures of replicate `index`; NULL: it could not be analysed. */
void swt_replicates_keep(swt_replicates *replicates, size_t index, const swt_swing *swing);

/**
 * Writes the standard uncertainties of `swing`.
 *
 * @param[in] reference  the swing's smoothed trajectories, analysed without smoothing them again
 *
 * An event or measure that some replicates lose, or place far from the rest (more than ten times
 * the median difference), hangs on the noise: limited (SWT_REASON_NOISE_DECIDES). Its uncertainty
 * comes from the replicates that have it, and is NaN when fewer than half do, or fewer than
 * SWT_REPLICATES_MIN. What is absent has
 * no uncertainty.
 */
void swt_uncertainty_estimate(swt_swing *swing, const swt_swing *reference,
                              swt_replicates *replicates);

#endif
