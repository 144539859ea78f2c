/** @file  Tolerance factors, order-statistic limits, a normality check.
 *  Layer: comparison.
 *
 *  A tolerance interval mean +- k s holds at least the share `coverage` of a normal population with
 *  probability `confidence`. The argument order is always (coverage, confidence); swapping them is
 *  the known trap (a public copy of the handbook's lines prints 2.2102 for 2.2228 that way). */
#ifndef SWT_COMPARISON_TOLERANCE_H
#define SWT_COMPARISON_TOLERANCE_H

#include "base/status.h"

#include <stddef.h>

/**
 * Exact two-sided factor (ISO 16269-6:2014, definition; Odeh 1978): the k for which
 *   E_Z [ P( chi2(df) > df r(Z)^2 / k^2 ) ] = confidence,   Z ~ N(0, 1/n_effective),
 *   Phi(Z + r) - Phi(Z - r) = coverage,
 * by Gauss-Legendre quadrature and bisection; 10 digits.
 *
 * @param n_effective  var(one value) / var(centre): n for a plain sample; > 0
 * @param df           degrees of freedom of s: n - 1 for a plain sample; >= 1, need not be whole
 * @retval SWT_EARG  an argument is out of range;  SWT_ENUM  no root below 1e6
 */
SWT_MUST_USE swt_status swt_tolerance_two_sided(double *k, double n_effective, double df,
                                                double coverage, double confidence, swt_error *err);

/** Exact one-sided factor, mean + k s (or mean - k s): noncentral t quantile / sqrt(n_effective),
 *  Owen 1963, by the same quadrature since GSL has no noncentral t. */
SWT_MUST_USE swt_status swt_tolerance_one_sided(double *k, double n_effective, double df,
                                                double coverage, double confidence, swt_error *err);

/**
 * Distribution-free limits (Wilks 1941): ranks of the order statistics whose interval holds
 * `coverage` with at least `confidence`; the narrowest symmetric pair.
 *
 * @param[out] trim      observations cut off at each end: limits are x(trim + 1) and x(n - trim);
 *                       0 = smallest and largest
 * @param[out] achieved  confidence of the returned pair; below `confidence` (with trim 0) when the
 *                       sample is too small
 */
void swt_order_limits(size_t *trim, double *achieved, size_t n, double coverage, double confidence);

/** As above for one limit: x(n - trim) as upper, x(trim + 1) as lower limit. */
void swt_order_limit(size_t *trim, double *achieved, size_t n, double coverage, double confidence);

/** Smallest n whose smallest and largest value (sides = 2) or largest value (1) will do. */
size_t swt_order_least_n(int sides, double coverage, double confidence);

/**
 * Shapiro-Wilk W and its p-value (Royston 1995, Applied Statistics 44:547, algorithm AS R94),
 * 3 <= n <= 5000. NaN p and W outside that range, for a constant sample or for NaN input.
 * @param[in] x  n values, any order
 */
SWT_MUST_USE swt_status swt_shapiro_wilk(double *w, double *p, const double *x, size_t n,
                                         swt_error *err);

#endif
