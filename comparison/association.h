/** @file  Does a measure go with the result of the shot? Rank association, within and between
 *  players apart.
 *  Layer: comparison.
 *
 *  Players differ in many things at once, so that what goes together between players need not go
 *  together from swing to swing of one player; the two are never mixed. Association is all that is
 *  computed here; nothing says that one brings the other about. */
#ifndef SWT_COMPARISON_ASSOCIATION_H
#define SWT_COMPARISON_ASSOCIATION_H

#include "base/status.h"

#include <stddef.h>

#define SWT_ASSOCIATION_LEAST_SWINGS 3  /**< of a player, to count within players       */
#define SWT_ASSOCIATION_LEAST_PAIRS 10  /**< swings in all, within players              */
#define SWT_ASSOCIATION_LEAST_PLAYERS 8 /**< between players                            */

typedef struct swt_association {
    size_t n_players, n_swings; /**< that took part                                         */
    double rho;   /**< Spearman's rank correlation; NaN: too few, or no spread              */
    double p;     /**< two-sided, by permutation: (1 + as large) / (1 + permutations)       */
    double slope; /**< Theil and Sen's: outcome's unit per unit of the measure              */
} swt_association;

/**
 * Within players: both columns less the player's own mean, ranked together; outcomes are permuted
 * among the swings of a player; the slope is the median over pairs of swings of one player (Sen
 * 1968, JASA 63:1379). Players with fewer than 3 complete swings are left out.
 *
 * @param[in] measure, outcome  n, NaN = absent; swings that lack one are left out
 * @param[in] player            n, equal numbers are the same player
 * @param     n_permutations    99 or more
 * @param     seed              same seed, same p
 * Cost: O(n_permutations * n + sum of swings^2).
 */
SWT_MUST_USE swt_status swt_association_within(swt_association *out, const double *measure,
                                               const double *outcome, const int *player, size_t n,
                                               size_t n_permutations, unsigned long seed,
                                               swt_error *err);

/** Between players: the same of the players' means, one point each. */
SWT_MUST_USE swt_status swt_association_between(swt_association *out, const double *measure,
                                                const double *outcome, const int *player, size_t n,
                                                size_t n_permutations, unsigned long seed,
                                                swt_error *err);

/** Spearman's rank correlation with mid-ranks for ties; NaN without spread or below two pairs. No
 *  NaN in. @retval SWT_ENOMEM */
SWT_MUST_USE swt_status swt_spearman(double *rho, const double *x, const double *y, size_t n,
                                     swt_error *err);

/**
 * Adjusts p-values so that those at or below a level q have a false discovery rate of q (Benjamini
 * & Hochberg 1995, J R Stat Soc B 57:289). NaN stays NaN and does not count. `adjusted` may be `p`.
 */
SWT_MUST_USE swt_status swt_adjust_discovery(double *adjusted, const double *p, size_t n,
                                             swt_error *err);

/** Adjusts p-values so that those at or below a level hold for all together (Holm 1979, Scand J
 * Stat 6:65). NaN as above. */
SWT_MUST_USE swt_status swt_adjust_holm(double *adjusted, const double *p, size_t n,
                                        swt_error *err);

#endif
