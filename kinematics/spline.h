/** @file  Natural cubic smoothing spline with the smoothing chosen by generalised cross-validation.
 *  Layer: kinematics. Needs: base. An alternative to the filter when no cut-off is to be stated.
 *
 *  The curve g minimises sum (x - g)^2 + smoothing * integral g''^2 dt over each run of finite
 *  samples (Reinsch 1967; Woltring 1986, Adv Eng Software 8:104). Far from the ends its gain is
 *  1 / (1 + smoothing (2 pi f)^4 / rate), so it falls to one half at
 *  f = (rate / smoothing)^(1/4) / (2 pi). At the ends of a run g'' = 0: accelerations just before
 *  impact come out too small, which is why the filter is the first choice. */
#ifndef SWT_KINEMATICS_SPLINE_H
#define SWT_KINEMATICS_SPLINE_H

#include "base/status.h"
#include "kinematics/run.h"

#define SWT_SPLINE_MIN_RUN 12 /**< shorter runs of finite samples come out as NaN */

/**
 * Smooths a series and differentiates it analytically.
 *
 * @param[out] out        n samples, unit of x; may be `x`
 * @param[out] first      n, unit per second; may be NULL
 * @param[out] second     n, unit per second squared; may be NULL
 * @param[in]  x          n samples; NaN in -> NaN out, runs never joined
 * @param      split      first sample after impact, or SWT_NO_SPLIT
 * @param      smoothing  s^3, >= 0; 0 interpolates
 * @retval SWT_EARG    rate not positive, smoothing negative; outputs untouched
 * @retval SWT_ENOMEM  no scratch memory; outputs untouched
 */
SWT_MUST_USE swt_status swt_spline_smooth(double *out, double *first, double *second,
                                          const double *x, size_t n, size_t split, double rate_hz,
                                          double smoothing, swt_error *err);

/**
 * Smoothing with the least generalised cross-validation score
 * (RSS / N) / (1 - tr H / N)^2 (Craven & Wahba 1979), all runs taken together. The trace comes from
 * the central bands of the inverse (Hutchinson & de Hoog 1985), so a score costs O(n).
 *
 * Searched where the gain is one half between about 0.0028 and 1.6 of the rate; the least score may
 * lie on that border. Assumes white noise: with correlated noise it smooths too little.
 *
 * @param[out] smoothing  s^3
 * @param[out] score      the least score, unit of x squared; may be NULL
 * @param[out] noise_sd   sqrt(RSS / tr(I - H)), unit of x; may be NULL
 * @retval SWT_EARG   rate not positive
 * @retval SWT_EDATA  no run of SWT_SPLINE_MIN_RUN samples
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_spline_gcv(double *smoothing, double *score, double *noise_sd,
                                       const double *x, size_t n, size_t split, double rate_hz,
                                       swt_error *err);

#endif
