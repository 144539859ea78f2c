/** @file  The middle of a table by columns, gaps passed over: of a player's swings, and again of
 * the players, so that each player weighs the same. Layer: comparison. */
#ifndef SWT_COMPARISON_GROUP_MEDIAN_H
#define SWT_COMPARISON_GROUP_MEDIAN_H

#include "base/status.h"

#include <stddef.h>

/**
 * Median over players of each player's median over swings, column by column. Columns are taken by
 * themselves: points of a body that is made of medians keep no exact distances.
 *
 * @param[out] out     n_columns; NaN where fewer than half of the players that have any value at
 *                     all have one in this column
 * @param[in]  values  n_rows * n_columns, NaN = absent
 * @param[in]  player  n_rows, equal numbers are the same player
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_group_median(double *out, const double *values, const int *player,
                                         size_t n_rows, size_t n_columns, swt_error *err);

/** One number a swing: the least, the middle and the greatest of the players' medians; NaN =
 * absent, also where no player has any. @retval SWT_ENOMEM */
SWT_MUST_USE swt_status swt_group_spread(double *least, double *middle, double *greatest,
                                         const double *value, const int *player, size_t n_rows,
                                         swt_error *err);

/** One number a swing: the mean over players of each player's mean. As above. */
SWT_MUST_USE swt_status swt_group_mean(double *mean, const double *value, const int *player,
                                       size_t n_rows, swt_error *err);

#endif
