/** @file  Normal weights of the resampled experiments: one per resample and row of the group.
 *  Layer: comparison, internal; the public face is in corridor.h. */
#ifndef SWT_COMPARISON_DRAWS_H
#define SWT_COMPARISON_DRAWS_H

#include "base/status.h"

#include <gsl/gsl_rng.h>
#include <stddef.h>
#include <stdint.h>

/** Resamples side by side: they fill a vector unit whatever the length of the curve. */
#define SWT_AT_ONCE 8

struct swt_corridor_draws {
    size_t n_rows, n_resamples;
    unsigned long seed;
    double *value; /**< blocks of SWT_AT_ONCE resamples: n_rows * SWT_AT_ONCE each */
};

/** Starts the generator of one resample; stream 0 is that of the rows' weights. */
void swt_draws_start(gsl_rng *rng, unsigned long seed, uint64_t stream, size_t resample);

/** Weights of the resamples first .. first + SWT_AT_ONCE - 1, out[row * SWT_AT_ONCE + i]. The
 *  weights of a row do not depend on how many rows follow it. */
void swt_draws_block(double *out, gsl_rng *rng, unsigned long seed, size_t first, size_t n_rows);

#endif
