/** @file  Zero-lag low-pass smoothing of marker coordinates, and the choice of its cut-off.
 *  Layer: kinematics. Needs: base. Does no I/O, keeps no state, never prints.
 *
 *  Method. A 2nd-order Butterworth filter runs forwards and backwards (4th order, zero lag). Two
 *  passes lower the cut-off, so each is designed for tan(pi fc/rate) / C with
 *  C = (sqrt(2) - 1)^(1/4) = 0.8022432629: the gain after both passes is 1/sqrt(2) at fc. The
 *  correction belongs on this warped frequency, not on fc itself (Winter, Biomechanics and Motor
 *  Control of Human Movement, 4th ed., p. 69; Robertson et al., Research Methods in Biomechanics,
 *  2nd ed., p. 288).
 *
 *  Ends. Each run of finite samples is filtered on its own, in four steps: (1) the straight line
 *  through its first and last sample is taken off, so that constants and lines pass unchanged;
 *  (2) it is lengthened on both sides by swt_filter_pad() samples: reflection through the end point
 *  (2 x0 - x[k], "odd extension"), which keeps value and slope but turns the curvature round, plus
 *  b k^2 with b the second difference at the end, which turns it back (beyond one period of the
 *  cut-off the term goes on as a line); b comes from the least-squares cubic through the last half
 *  period of the cut-off (SWT_FILTER_END_SAMPLES at least); (3) each pass starts in the steady
 *  state of its first input; (4) the line is put back. Extrapolation instead of reading across
 *  impact follows Knudson & Bahamonde (2001). The curvature term is our own: on a modelled club
 *  head (61 m/s at impact, 240 Hz, 0.3 mm noise, cut-off 20 Hz) reflection alone turned the last
 *  velocity by 10.8 degrees, with the term by 0.2; the price is noise, the SD of the end sample's
 *  speed rose from 0.14 to 0.17 m/s. The end sample itself is hardly smoothed either way. */
#ifndef SWT_KINEMATICS_FILTER_H
#define SWT_KINEMATICS_FILTER_H

#include "base/status.h"
#include "kinematics/run.h"

#define SWT_FILTER_MIN_RUN 12 /**< shorter runs of finite samples come out as NaN */

#define SWT_FILTER_END_SAMPLES 5 /**< fewest samples that give the curvature at an end */

typedef struct swt_filter_spec {
    double rate_hz;   /**< sampling rate, hertz, > 0                                 */
    double cutoff_hz; /**< gain 1/sqrt(2) AFTER both passes; > 0 and < 0.45 rate_hz  */
} swt_filter_spec;

/** One pass: y[k] = b0 x[k] + 2 b0 x[k-1] + b0 x[k-2] - a1 y[k-1] - a2 y[k-2]. */
typedef struct swt_filter_pass {
    double b0, a1, a2;
} swt_filter_pass;

/** Coefficients of each of the two passes. @retval SWT_EARG  rate or cut-off out of range */
SWT_MUST_USE swt_status swt_filter_design(swt_filter_pass *pass, const swt_filter_spec *spec,
                                          swt_error *err);

/** Samples added at each end of a run of `length`: a quarter of a second, at most length - 1. It
 *  does not depend on the cut-off, so that channels with their own cut-offs share a batch. */
size_t swt_filter_pad(size_t length, double rate_hz);

/**
 * Smooths one series forwards and backwards.
 *
 * Gaps: NaN in -> NaN out; runs are never joined, no value is invented.
 *
 * @param[out] out   n samples, unit of `in`; caller's storage; may be `in`
 * @param[in]  in    n samples, any unit, evenly spaced in time
 * @param      n     sample count; 0 is allowed and does nothing
 * @param[in]  spec  rate and cut-off; not kept after the call
 * @param[out] err   may be NULL; set only on failure
 * @retval SWT_EARG    cut-off or rate out of range; out is untouched
 * @retval SWT_ENOMEM  no scratch memory
 */
SWT_MUST_USE swt_status swt_filter_lowpass(double *out, const double *in, size_t n,
                                           const swt_filter_spec *spec, swt_error *err);

/** As swt_filter_lowpass, with the samples before `split` and those from `split` on (the first
 *  sample after impact) filtered apart. */
SWT_MUST_USE swt_status swt_filter_lowpass_split(double *out, const double *in, size_t n,
                                                 size_t split, const swt_filter_spec *spec,
                                                 swt_error *err);

/**
 * As swt_filter_lowpass_split for many series at once; the numbers are the same to the last bit.
 * Runs too short to filter come out as they are.
 *
 * @param[out] out        n_channels pointers to n samples, each of which may be the series itself
 * @param[in]  in         n_channels pointers to n samples
 * @param      split      first sample after impact, or SWT_NO_SPLIT
 * @param[in]  cutoff_hz  n_channels cut-offs
 */
SWT_MUST_USE swt_status swt_filter_channels(double *const *out, const double *const *in,
                                            size_t n_channels, size_t n, size_t split,
                                            double rate_hz, const double *cutoff_hz,
                                            swt_error *err);

/**
 * Sums of squares of what the filter takes away, raw - filtered, at many cut-offs at once.
 *
 * @param[out] sum_squares  n_series * n_cutoffs, series after series, each over all its runs of
 *                          SWT_FILTER_MIN_RUN samples or more
 * @param[out] used         samples in such runs
 * @param[in]  series       n_series pointers to n samples; gaps, if any, in the same places
 * @retval SWT_EARG    rate or a cut-off out of range
 * @retval SWT_ENOMEM  no scratch memory
 */
SWT_MUST_USE swt_status swt_filter_residuals(double *sum_squares, size_t *used,
                                             const double *const *series, size_t n_series, size_t n,
                                             size_t split, double rate_hz, const double *cutoff_hz,
                                             size_t n_cutoffs, swt_error *err);

/**
 * Cut-off by residual analysis (Winter, 4th ed., section 3.4.4.3; from memory).
 *
 * R(fc) = RMS of (raw - filtered) is taken at SWT_FILTER_TRIALS cut-offs, in geometric steps from
 * 2 Hz (or 0.01 rate if that is less) to 0.4 rate. Where only noise is left R falls along a
 * straight line; its intercept at 0 Hz (fitted to the trials above 0.45 of the highest) is the
 * noise RMS, and the chosen cut-off is where R equals it: signal lost = noise kept. Where the tail
 * falls faster than white noise can, there is no noise to be seen and the highest trial is
 * returned.
 *
 * @param[out] cutoff_hz  between the lowest and the highest trial
 * @param[out] noise_sd   intercept, unit of x: SD of white noise in x; where no noise is seen, the
 *                        residual at the highest trial, an upper bound; may be NULL
 * @param[in]  x          n samples; runs shorter than SWT_FILTER_MIN_RUN do not count
 * @param      split      first sample after impact, or SWT_NO_SPLIT
 * @retval SWT_EARG   rate not positive
 * @retval SWT_EDATA  fewer than 4 * SWT_FILTER_MIN_RUN samples in such runs
 */
SWT_MUST_USE swt_status swt_filter_residual_cutoff(double *cutoff_hz, double *noise_sd,
                                                   const double *x, size_t n, size_t split,
                                                   double rate_hz, swt_error *err);

/**
 * The noise of swt_filter_residual_cutoff alone, at a quarter of the cost.
 *
 * @param[out] noise_sd  n_series
 * @param[in]  series    n_series pointers to n samples; gaps, if any, in the same places
 * Errors as above.
 */
SWT_MUST_USE swt_status swt_filter_residual_noise(double *noise_sd, const double *const *series,
                                                  size_t n_series, size_t n, size_t split,
                                                  double rate_hz, swt_error *err);

#define SWT_FILTER_TRIALS 16 /**< cut-offs that the residual analysis tries */

#define SWT_FILTER_HIGHEST_SHARE 0.4 /**< highest trial, as a share of the frame rate */

#endif
