/** @file  How well a local fit can know a reversal, or the club head's speed at impact, at best. */
#ifndef SWT_TESTS_BENCHMARK_BOUND_H
#define SWT_TESTS_BENCHMARK_BOUND_H

#include "tests/support/trial.h"

/** Windows and degrees that are tried: degrees 2 to 4, windows in steps of a tenth. */
enum { BOUND_DEGREES = 3, BOUND_WINDOWS = 36, BOUND_FITS = BOUND_DEGREES * BOUND_WINDOWS };

/**
 * Root mean square error of local polynomials on one swing of the model: sqrt(bias^2 + variance),
 * bias from the swing recorded without noise, variance from least squares on white noise of SD
 * `noise_m` in each coordinate of all markers of the segment (for the variance alone it is the
 * bound of Cramer and Rao).
 *
 * @param[out] rms_s  of each fit, s; HUGE_VAL where the swing does not take it
 * @param[in]  clean  a trial without noise
 */
void bound_reversal(double rms_s[BOUND_FITS], const trial *clean, swt_event event, double noise_m);

/** The same of the club-head speed at impact, as a share of it; all five markers as one rigid
 *  club. */
void bound_speed(double rms[BOUND_FITS], const trial *clean, double noise_m);

/** Size that 95 % of the errors stay under, when that of swing i is normal with SD rms[i]. */
double bound_95th(const double *rms, size_t n);

#endif
