/** @file  Smooth curves through via points.
 *  Layer: generator. Needs: GSL (private). */
#ifndef SWT_GENERATOR_CURVE_H
#define SWT_GENERATOR_CURVE_H

#include "base/status.h"

#include <stddef.h>

#define SWT_CURVE_KNOTS 16 /**< most knots that one curve holds */

/** Value that a curve passes at a time; constant before the first and after the last knot. */
typedef struct swt_curve {
    size_t n;
    double time_s[SWT_CURVE_KNOTS];
    double value[SWT_CURVE_KNOTS];
    double velocity[SWT_CURVE_KNOTS];     /**< NaN before the fit = free                  */
    double acceleration[SWT_CURVE_KNOTS]; /**< set by the fit                             */
} swt_curve;

/** Adds a knot (times must rise); `velocity` NaN leaves it free. @retval SWT_EARG no room, or time
 */
SWT_MUST_USE swt_status swt_curve_add(swt_curve *curve, double time_s, double value,
                                      double velocity, swt_error *err);

/**
 * Fits the least-jerk curve that starts and ends at rest (Flash & Hogan 1985, J Neurosci
 * 5:1688, the via-point problem): quintic pieces whose derivatives agree up to the fourth at a
 * free knot, up to the third where the velocity is given.
 */
SWT_MUST_USE swt_status swt_curve_fit(swt_curve *curve, swt_error *err);

/** Value at a time; 0 for a curve without knots. */
double swt_curve_value(const swt_curve *curve, double time_s);

#endif
