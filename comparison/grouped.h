/** @file  A table of swings x samples seen by player: means, spreads, and both without one player.
 *  Layer: comparison, internal. One variable (a curve) or two (a path); a sample of a path counts
 *  only where both are there. */
#ifndef SWT_COMPARISON_GROUPED_H
#define SWT_COMPARISON_GROUPED_H

#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>

#define SWT_NOBODY ((size_t)-1)

/** Second moments of one or two variables: 11, 12, 22. */
typedef struct swt_moments {
    double m[3];
} swt_moments;

typedef struct swt_grouped {
    size_t n_swings, n_samples, n_variables;
    size_t n_players;       /**< codes in the table, also of players without any value         */
    size_t *player;         /**< n_swings: 0 .. n_players - 1                                  */
    const double *value[2]; /**< the caller's tables                                           */
    double *count;          /**< n_players * n_samples: swings with a value                    */
    double *mean[2];        /**< n_players * n_samples: 0 where count is 0                     */
    double *inside[3];      /**< n_players * n_samples: sums of products within the player     */
} swt_grouped;

/** What one sample says about the group. */
typedef struct swt_group_sample {
    size_t n_players;     /**< with a value here                                            */
    size_t df_within;     /**< swings less players; 0 = within-player spread unknown        */
    double n_harmonic;    /**< harmonic mean of swings per player                           */
    double centre[2];     /**< mean of the players' means                                   */
    swt_moments of_means; /**< covariance of the players' means, n_players - 1 df           */
    swt_moments within;   /**< pooled within player; 0 when df_within is 0                  */
    swt_moments total;    /**< of one swing of a new player: of_means + (1 - 1/n_harmonic) within;
                               unbiased in unbalanced groups too (unweighted means, Thomas &
                               Hultquist 1978)                                              */
} swt_group_sample;

SWT_MUST_USE swt_status swt_grouped_init(swt_grouped *g, const double *first, const double *second,
                                         const int *player, size_t n_swings, size_t n_samples,
                                         swt_error *err);
void swt_grouped_reset(swt_grouped *g);

/** True when every variable is there. */
bool swt_grouped_has(const swt_grouped *g, size_t swing, size_t sample);

/** Statistics at a sample, without the player `left_out` (SWT_NOBODY: with everyone). */
void swt_grouped_at(swt_group_sample *out, const swt_grouped *g, size_t sample, size_t left_out);

/** The same without `player`, from the statistics with everyone, `all`, and in no time: equal to
 *  swt_grouped_at to 1e-15 of `all`'s spreads, so of no use where a spread of exactly 0 matters. */
void swt_grouped_without(swt_group_sample *out, const swt_group_sample *all, const swt_grouped *g,
                         size_t sample, size_t player);

/**
 * Effective sizes of the first variable's spread, for a group like `at` with n_players players.
 * With S2 = of_means and V = (1 - 1/n_harmonic) within, total = S2 + V, so that (Satterthwaite
 * 1946) df = total^2 / (S2^2 / (n_players - 1) + V^2 / df_within), and the centre has variance S2 /
 * n_players: n_effective = n_players total / S2 (Hoffman & Kringle 2005). One swing per player
 * gives back n_players - 1 and n_players.
 */
void swt_group_effective(double *n_effective, double *df, const swt_group_sample *at,
                         size_t n_players);

/** Swings and players that have at least one value. */
void swt_grouped_size(size_t *n_swings, size_t *n_players, const swt_grouped *g);

#endif
