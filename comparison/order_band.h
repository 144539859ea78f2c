/** @file  Curves whose limits come from ranks: medians, and no shape of distribution.
 *  Layer: comparison, internal. corridor.h explains the method. */
#ifndef SWT_COMPARISON_ORDER_BAND_H
#define SWT_COMPARISON_ORDER_BAND_H

#include "comparison/band.h"
#include "comparison/corridor.h"

/**
 * Fills centre, sd_total, lower, upper, multiplier, leave-one-out coverage and resampled_ratio of a
 * curve's corridor whose n_players_at and spreads are set.
 */
SWT_MUST_USE swt_status swt_order_band(swt_corridor *c, const swt_band *band, const swt_grouped *g,
                                       swt_error *err);

#endif
