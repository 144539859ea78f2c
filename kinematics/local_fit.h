/** @file  Least-squares polynomial through a stretch of samples.
 *  Layer: kinematics. Needs: base. Pure. Times are in frames, as in subframe.h. */
#ifndef SWT_KINEMATICS_LOCAL_FIT_H
#define SWT_KINEMATICS_LOCAL_FIT_H

#include "kinematics/run.h"

enum { SWT_FIT_DEGREE = 4 }; /**< highest degree */

/** A polynomial as a sum of polynomials orthogonal over its samples (Forsythe 1957, J Soc Indust
 *  Appl Math 5:74): well conditioned, and its variances are sums of squares. */
typedef struct swt_local_fit {
    size_t degree;
    double middle; /**< frame that counts as 0 */
    double shift[SWT_FIT_DEGREE + 1], square[SWT_FIT_DEGREE + 1], coefficient[SWT_FIT_DEGREE + 1];
} swt_local_fit;

/**
 * Fits x[from .. from + count - 1]; all of them must be finite.
 * @param degree  at most SWT_FIT_DEGREE and count - 1
 */
void swt_local_fit_make(swt_local_fit *fit, const double *x, size_t from, size_t count,
                        size_t degree);

/** Value and derivatives (per frame, per frame squared, cubed) at `frame`. */
void swt_local_fit_at(double value[4], const swt_local_fit *fit, double frame);

/** Variance of the first derivative at `frame` for samples of variance 1. */
double swt_local_fit_slope_variance(const swt_local_fit *fit, double frame);

#endif
