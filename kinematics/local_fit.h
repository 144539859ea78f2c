/** @file  Least-squares polynomial through a stretch of samples, and turning points found by it.
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

/**
 * Instant of least speed of a path near *frame: for one channel its reversal.
 *
 * Local cubics, least speed where velocity and acceleration are square to one another. The window
 * is as wide as the noise asks and the motion allows: it grows as long as each new estimate's
 * confidence interval still meets all those before (intersection of confidence intervals,
 * Goldenshluger & Nemirovski 1997, Math Methods Stat 6:135; from memory). Without noise that is
 * the narrowest window, with it a wide one where the motion is steady.
 *
 * @param[in,out] frame  rough instant in, refined out; untouched when false
 * @param[in]  x         `channels` series (1 to 3) of n samples
 * @param      noise     SD of white noise in one sample of each channel, > 0
 * @param      longest   half width of the widest window, frames
 * @return false where no window of five finite samples holds a least speed
 */
bool swt_turning_point(double *frame, const double *const *x, size_t channels, size_t n,
                       size_t split, double noise, double longest);

#endif
