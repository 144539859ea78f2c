/** @file  Small helpers on arrays that the files of this folder share.
 *  Layer: comparison, internal: other folders do not include it. */
#ifndef SWT_COMPARISON_ARRAY_H
#define SWT_COMPARISON_ARRAY_H

#include "base/status.h"

#include <stddef.h>

/** Sorts ascending, in place; no NaN. */
void swt_sort(double *x, size_t n);

/** Zero-filled n * m doubles, or NULL; n * m == 0 gives a block too. Refuses sizes that overflow.
 */
double *swt_doubles(size_t n, size_t m);

/** Fills with NaN. */
void swt_fill_nan(double *x, size_t n);

/** Quantile of n sorted values by rank ceil(p (n + 1)), the rank at which a further draw from the
 *  same distribution stays below with probability >= p. */
double swt_rank_quantile(const double *sorted, size_t n, double p);

/** Pearson correlation of the pairs in which both are finite; their number in *pairs. NaN below
 *  two pairs or without spread. */
double swt_correlation(size_t *pairs, const double *x, const double *y, size_t n);

/**
 * Numbers players 0, 1, ... in the order of their codes.
 * @param[out] index      n_swings, the caller frees
 * @param[out] n_players  how many different codes
 */
SWT_MUST_USE swt_status swt_player_index(size_t **index, size_t *n_players, const int *player,
                                         size_t n_swings, swt_error *err);

#endif
