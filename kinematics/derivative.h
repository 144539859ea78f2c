/** @file  Derivatives and integrals of an evenly sampled series.
 *  Layer: kinematics. Needs: base. Pure; nothing here can fail.
 *
 *  Every run of finite samples stands alone, and `split` (the first sample after impact, or
 *  SWT_NO_SPLIT) divides a run: no stencil reaches across a gap or across contact. NaN in -> NaN
 *  out. Weights are those of the polynomial through the stencil (Abramowitz & Stegun, Handbook of
 *  Mathematical Functions, tables 25.2 and 25.4). */
#ifndef SWT_KINEMATICS_DERIVATIVE_H
#define SWT_KINEMATICS_DERIVATIVE_H

#include "kinematics/run.h"

/**
 * First derivative by the 5-point stencil: central inside a run, one-sided within two samples of
 * its ends; error of order dt^4 throughout. Runs of 4, 3, 2 samples get the polynomial through all
 * of them; a lone sample has no derivative (NaN).
 *
 * @param[out] out      n values, unit of x per second; must not overlap `x`
 * @param      rate_hz  samples a second, > 0
 */
void swt_derivative_first(double *out, const double *x, size_t n, size_t split, double rate_hz);

/**
 * Cumulative integral from sample `start`: out[start] = 0, negative time before it. Each interval
 * integrates the cubic through the four nearest samples (error of the sum of order dt^4). The
 * interval that holds contact (split-1 .. split) is taken by the trapezoid, since no smooth curve
 * passes through it. The run that holds `start` is integrated; samples outside are NaN.
 *
 * @param[out] out  n values, unit of x times second; must not overlap `x`; all NaN if x[start] is
 */
void swt_integral_from(double *out, const double *x, size_t n, size_t split, size_t start,
                       double rate_hz);

#endif
