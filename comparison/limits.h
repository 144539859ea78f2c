/** @file  Parts of corridor.c and path_corridor.c: judging a group, multipliers, scalar limits.
 *  Layer: comparison, internal. */
#ifndef SWT_COMPARISON_LIMITS_H
#define SWT_COMPARISON_LIMITS_H

#include "comparison/band.h"
#include "comparison/corridor.h"

SWT_MUST_USE swt_status swt_check_options(const swt_corridor_options *options, swt_error *err);

/** Players that a sample must have, of n that have any. */
size_t swt_least_players(size_t n_players);

/** Can this group carry a corridor? Writes the reason, or "". */
swt_corridor_state swt_judge_group(char *reason, size_t size, size_t n_swings, size_t n_players,
                                   const swt_band *band);

/** Adds a sentence to a reason that may hold one already. */
void swt_add_reason(char *reason, size_t size, const char *sentence);

/** Adds a caution when leave-one-out coverage is more than two standard errors below nominal. */
void swt_doubt_coverage(swt_corridor_state *state, char *reason, size_t size, double loo_coverage,
                        double coverage, size_t n_players);

/** Quantile of |x| by swt_rank_quantile. */
SWT_MUST_USE swt_status swt_multiplier(double *multiplier, const double *x, size_t n,
                                       double coverage, swt_error *err);

/** Leave-one-player-out coverage: a swing is inside when low <= distance <= high at every usable
 *  sample, centre and spread taken without its player. */
void swt_leave_one_out(double *coverage, size_t *inside, size_t *swings, const swt_band *band,
                       const swt_grouped *g, double low, double high);

/** Limits of a scalar: fills multiplier, confidence, lower, upper, loo and resampled_ratio. */
SWT_MUST_USE swt_status swt_limits_scalar(swt_corridor *c, const swt_band *band,
                                          const swt_grouped *g, swt_error *err);

#endif
