/** @file  Values, crossings and turning points of a series between its samples.
 *  Layer: kinematics. Needs: C library. Pure; "not there" is NaN or false, never a guess.
 *
 *  Times are in frames (sample index as a real number): seconds are frames / rate_hz. Between
 *  samples the series is the cubic through the four nearest samples of its run (Lagrange; near an
 *  end of the run one-sided, in a run of 3 or 2 samples of that lower degree). Runs end at NaN and
 *  at `split`, the first sample after impact (or SWT_NO_SPLIT): nothing is read across either. */
#ifndef SWT_KINEMATICS_SUBFRAME_H
#define SWT_KINEMATICS_SUBFRAME_H

#include "kinematics/run.h"

/** Value at `frame`; NaN outside the series, in a gap, and between split-1 and split. Exact at
 *  samples. */
double swt_subframe_value(const double *x, size_t n, size_t split, double frame);

/**
 * Value at `frame` in (split-1, split], the interval that holds contact, from samples before
 * contact only: the least-squares cubic through the last five (all there are, and of lower degree,
 * where they are fewer), at most one frame on.
 * For frames up to split-1 the same as swt_subframe_value. NaN when sample split-1 is missing.
 */
double swt_subframe_before(const double *x, size_t n, size_t split, double frame);

typedef enum swt_crossing { SWT_CROSSING_RISING = 1, SWT_CROSSING_FALLING = -1 } swt_crossing;

/**
 * First crossing of `level` in frames [from, to], rising or falling.
 *
 * A rising crossing starts from a sample below the level and ends at one on or above it. Intervals
 * with a missing end, and the one that holds contact, are passed over.
 * @param[out] frame  time in frames; untouched when false
 */
bool swt_subframe_crossing(double *frame, const double *x, size_t n, size_t split, double level,
                           swt_crossing direction, size_t from, size_t to);

/** As swt_subframe_crossing, but the last one in [from, to]. */
bool swt_subframe_last_crossing(double *frame, const double *x, size_t n, size_t split,
                                double level, swt_crossing direction, size_t from, size_t to);

/**
 * Least value in frames [from, to]: the smallest sample, refined by the parabola through it and
 * its two neighbours when both are of its run.
 * @param[out] frame  time in frames, within half a frame of the smallest sample
 * @param[out] value  of the parabola there; may be NULL
 * @return false when no sample of the range is finite
 */
bool swt_subframe_minimum(double *frame, double *value, const double *x, size_t n, size_t split,
                          size_t from, size_t to);

/** As swt_subframe_minimum, for the greatest value. */
bool swt_subframe_maximum(double *frame, double *value, const double *x, size_t n, size_t split,
                          size_t from, size_t to);

#endif
