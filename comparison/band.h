/** @file  The engine under curve and path corridors: resampled experiments of the group's own size.
 *  Layer: comparison, internal. corridor.h explains the method.
 *
 *  Everything here is whitened: at each sample the spread of one swing of a new player is 1 (path:
 *  the unit matrix). Column q = variable * n_samples + sample. */
#ifndef SWT_COMPARISON_BAND_H
#define SWT_COMPARISON_BAND_H

#include "comparison/corridor.h"
#include "comparison/grouped.h"

#include <stdint.h>

/** One part of the spread (between players' means, or within players). */
typedef struct swt_band_part {
    size_t n_rows;    /**< players, or swings                                                */
    size_t df;        /**< degrees of freedom of its covariance, the fewest of any sample    */
    double *row;      /**< n_rows * n_columns; sum over rows of row' row = its covariance    */
    size_t n_factors; /**< principal factors kept for the resampled covariance               */
    double *factor;   /**< n_factors * n_columns, largest first                              */
    double *score;    /**< n_rows * n_factors: row ~ score * factors; NULL when the factors
                           hold too little of the variance to stand in for the rows         */
    double *rest;     /**< n_moments * n_samples: covariance that the factors leave          */
} swt_band_part;

typedef struct swt_band {
    size_t n_samples, n_variables, n_columns, n_moments;
    size_t n_players; /**< the fewest at any usable sample: what the multiplier is made for  */
    bool *usable;     /**< n_samples                                                         */
    size_t n_usable;
    size_t n_constant;    /**< usable samples at which no swing differs from another            */
    swt_group_sample *at; /**< n_samples                                                     */
    double floor_sd[2];   /**< per variable                                                   */
    double *whiten;       /**< n_samples * 3: inverse Cholesky factor l11, l21, l22          */
    swt_band_part between, within;
    uint64_t stream; /**< of the resampled spreads: a number made from who deviates most at each
                          sample, so that two measures draw different spreads while the same
                          measure in another unit draws the same                            */
} swt_band;

/** Where the group's spread is below this share of the curve's largest, it counts as constant: the
 *  floor keeps a measure that is zero by definition (turn at address) from ruling the maximum. */
#define SWT_BAND_FLOOR 1e-6

/**
 * Statistics, whitening and factors of a group.
 * @param least_players  samples with fewer players are not usable
 */
SWT_MUST_USE swt_status swt_band_init(swt_band *band, const swt_grouped *g, size_t least_players,
                                      swt_error *err);
void swt_band_reset(swt_band *band);

/** Size of a deviation at a sample in the metric of statistics `at`: |x - centre| / sd or
 *  Mahalanobis distance, with the band's floor. Signed for one variable. */
double swt_band_distance(const swt_band *band, const swt_group_sample *at, const double value[2]);

/**
 * The largest distance of a new player's swing in each of options->n_resamples experiments.
 *
 * @param[out] largest   n_resamples, of an experiment with band->n_players players; signed when
 *                       there is one variable and one sample
 * @param[out] largest_loo  n_resamples, of one with one player fewer; may be NULL
 * Resample r draws the weights of players and swings from a generator seeded by (seed, r), so that
 * every measure of the same rows sees the same ones (options->draws holds them, where they are made
 * once for all measures); and the spread from one that knows the
 * measure too (band->stream), since spreads of two measures do not err together.
 */
SWT_MUST_USE swt_status swt_band_resample(double *largest, double *largest_loo,
                                          const swt_band *band, const swt_corridor_options *options,
                                          swt_error *err);

#endif
