/** @file  Standard uncertainty of events, measures and curves from marker noise, by perturbation.
 *  Layer: kinematics.
 *
 *  Method: a parametric bootstrap (Efron & Tibshirani 1993, An Introduction to the Bootstrap,
 *  chapter 6; from memory), in the words of JCGM 101:2008 a propagation of distributions by Monte
 *  Carlo. A pilot stands for the true trajectories: the smoothed ones with what smoothing them once
 *  more takes off put back (twicing: Tukey 1977, Exploratory Data Analysis; from memory). Smoothing
 *  bends the pilot nearly as much as it bent the recording; it would bend the smoothed trajectories
 *  less, and its bias would be told too small. The pilot analysed as it is gives the truth of the
 *  experiment (the reference). To it is added white Gaussian noise, independent for each coordinate
 *  and frame, of the standard deviation that the residual analysis found in that landmark, and the
 *  result is analysed like a recording: swing frame, gaps, smoothing with the cut-offs of the
 *  swing, events, measures. With d the difference of a replicate from the reference, and v- and v+
 *  what the recording gives with all cut-offs divided and multiplied by 1.25, the standard
 *  uncertainty is
 *
 *      u^2 = K / (K - 2) * mean of d^2 over K replicates + (v+ - v-)^2 / 12.
 *
 *  The mean square is taken about the reference, not about the replicates' mean, so that what
 *  smoothing and noise displace on average counts too (a noisy speed has a higher peak): a known
 *  bias that is not corrected belongs in the uncertainty (JCGM 100:2008, F.2.4.5; from memory). The
 *  factor makes the first term the variance of Student's distribution with K degrees of freedom, by
 *  which a mean square of so few is known (cf. JCGM 101:2008, 6.4.9.4; from memory), so that value
 *  +- 1.96 u holds the truth about 95 times in 100 whatever K is. The second term is the choice of
 *  cut-off, another analyst's being as good anywhere between the two: rectangular (JCGM 100:2008,
 *  4.3.7; from memory).
 *
 *  What is not in it: soft tissue that moves on the bone, a marker beside its landmark, a wrong
 *  scale or camera calibration, a rig that trembles, how well a gap's filling meets the motion, the
 *  noise of a static capture, what sub-frame interpolation misses at a low rate. Noise that is not
 *  white is counted by its high frequencies alone. So u says how well a repeated recording of the
 *  same motion with the same markers would agree, and is a lower bound of the error.
 *
 *  Cost: a replicate is a third of an analysis, since labels and cut-offs are settled once; the
 *  reference and the two other cut-offs cost as much as three. Coverage by simulation:
 *  docs/uncertainty.md. */
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
 * Trajectories of one replicate: the pilot's (in the swing frame) with noise.
 *
 * Filled samples are taken out, to be filled again from noisy neighbours. Landmarks without a
 * noise estimate get the median of the others.
 *
 * @param[out] out    caller frees with swt_landmark_set_free; NULL on failure
 * @param[in]  quality  the noise of each landmark
 * @param      index  number of the replicate: each has its own stream of GSL's generator mt19937,
 *                    so that it is the same whatever ran before it
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_replicate_draw(swt_landmark_set **out, const swt_landmark_set *pilot,
                                           const swt_quality *quality, size_t index,
                                           swt_error *err);

/** Keeps events and measures of replicate `index`; NULL: it could not be analysed. */
void swt_replicates_keep(swt_replicates *replicates, size_t index, const swt_swing *swing);

/** Counts the registered curves of a replicate against those of the reference. */
void swt_replicates_keep_curves(swt_replicates *replicates, const swt_swing *reference,
                                const swt_swing *swing);

/**
 * Writes the standard uncertainties of the registered curves of `swing`, sample by sample: u as
 * above, with d the difference of curves that are registered each by its own events. NULL stays
 * where no sample of a series has one; NaN where fewer than half of the replicates have the sample,
 * or fewer than SWT_REPLICATES_MIN.
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_uncertainty_of_curves(swt_swing *swing,
                                                  const swt_replicates *replicates,
                                                  const swt_swing *lower, const swt_swing *higher,
                                                  swt_error *err);

/**
 * Writes the standard uncertainties of `swing`.
 *
 * @param[in] reference      the pilot, analysed without smoothing it
 * @param[in] lower, higher  the recording with cut-offs below and above; NULL where it can't be
 *                           analysed: then, and where one of them lacks a value, the choice of
 *                           cut-off does not count
 *
 * An event or measure that some replicates lose, or place far from the rest (more than ten times
 * the median difference), hangs on the noise: limited (SWT_REASON_NOISE_DECIDES). Its uncertainty
 * comes from the replicates that have it, and is NaN when fewer than half do, or fewer than
 * SWT_REPLICATES_MIN. What is absent has
 * no uncertainty.
 */
void swt_uncertainty_estimate(swt_swing *swing, const swt_swing *reference,
                              swt_replicates *replicates, const swt_swing *lower,
                              const swt_swing *higher);

#endif
