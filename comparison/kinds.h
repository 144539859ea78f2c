/** @file  Like with like: the commonest kind of swing, and swings gathered by player and kind.
 *  Layer: comparison. A kind (club and shot, say) and a player are numbers of the caller's. */
#ifndef SWT_COMPARISON_KINDS_H
#define SWT_COMPARISON_KINDS_H

#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>

/**
 * The kind that most of the chosen rows have; of equals the one that comes first.
 * @param[out] row     the first chosen row of that kind; n where none is chosen
 * @param[in]  kind    n, in 0 .. n - 1
 * @param[in]  chosen  n; NULL: all
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_commonest_kind(size_t *row, const size_t *kind, const bool *chosen,
                                           size_t n, swt_error *err);

/** A stretch of gathered rows: one player, one kind. */
typedef struct swt_set {
    size_t first, n;
} swt_set;

/**
 * Gathers the chosen rows: players in the order in which they first come, of each the kinds in that
 * order, of each the rows.
 * @param[out] row   n: the rows in their new order
 * @param[out] set   n: stretches of `row`; *n_sets of them
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_gather_sets(size_t *row, swt_set *set, size_t *n_sets,
                                        const bool *chosen, const size_t *player,
                                        const size_t *kind, size_t n, swt_error *err);

#endif
