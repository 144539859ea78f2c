/** @file  Parts of corridor.c and path_corridor.c: judging a group, multipliers, scalar limits.
 *  Layer: comparison, internal. */
#ifndef SWT_COMPARISON_LIMITS_H
#define SWT_COMPARISON_LIMITS_H

#include "comparison/band.h"
#include "comparison/corridor.h"

SWT_MUST_USE swt_status swt_check_options(const swt_corridor_options *options, swt_error *err);

/** Players that a sample must have, of n that have any. */
size_t swt_least_players(size_t n_players);

/** Makes the band of a group and judges whether it can carry a corridor: fills the state, and the
 *  reason or "". */
SWT_MUST_USE swt_status swt_judge_group(swt_band *band, swt_corridor_state *state, char *reason,
                                        size_t size, const swt_grouped *g, swt_error *err);

/** Adds a sentence to a reason that may hold one already. */
void swt_add_reason(char *reason, size_t size, const char *sentence);

/** Adds a caution when leave-one-out coverage is more than two standard errors below nominal. */
void swt_doubt_coverage(swt_corridor_state *state, char *reason, size_t size, double loo_coverage,
                        double coverage, size_t n_players);

/**
 * What the spread is multiplied by, from resampled experiments: the quantile of their |largest
 * distance| at options->coverage by swt_rank_quantile.
 * @param[out] multiplier      for a new player's swing
 * @param[out] multiplier_loo  for a group with one player fewer
 * @param[out] ratio           options->n_resamples: largest distances of the first, in multipliers
 */
SWT_MUST_USE swt_status swt_multipliers(double *multiplier, double *multiplier_loo, double *ratio,
                                        const swt_band *band, const swt_corridor_options *options,
                                        swt_error *err);

/** Leave-one-player-out coverage: a swing is inside when low <= distance <= high at every usable
 *  sample, centre and spread taken without its player. */
void swt_leave_one_out(double *coverage, size_t *inside, size_t *swings, const swt_band *band,
                       const swt_grouped *g, double low, double high);

/** Limits of a scalar: fills multiplier, confidence, lower, upper, loo and resampled_ratio. */
SWT_MUST_USE swt_status swt_limits_scalar(swt_corridor *c, const swt_band *band,
                                          const swt_grouped *g, swt_error *err);

#endif
