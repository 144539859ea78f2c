/** @file  How unusual is a whole swing? One number, with what it means in the reference group.
 *  Layer: comparison.
 *
 *  Two scores over a set of measures (curves and scalars):
 *  - rms: root mean square over samples of (value - centre) / sd_total, then over measures, so that
 *    each measure weighs the same (the idea of the gait profile score, Baker 2009, Gait Posture
 *    30:265, in SD units because the measures have different units). About 1 for a typical swing;
 *  - distance: Mahalanobis distance in the space of the first principal components of the players'
 *    mean curves. It sees unusual combinations that rms does not; `rest` is what lies outside that
 *    space.
 *  A reference swing is closer to a centre that it helped to build than a new swing is, so the
 *  reference distributions are made by leaving out each player in turn and building all anew. */
#ifndef SWT_COMPARISON_SCORE_H
#define SWT_COMPARISON_SCORE_H

#include "base/status.h"

#include <stddef.h>

/** One measure's reference swings. */
typedef struct swt_score_measure {
    const double *values; /**< n_swings * n_samples, NaN = absent                            */
    size_t n_samples;
} swt_score_measure;

typedef struct swt_score_options {
    double variance_share; /**< components kept: enough for this share ...                  */
    size_t players_per_component; /**< ... but no more than players / this                   */
    size_t most_left_out; /**< of more players, this many evenly spread are left out       */
} swt_score_options;

#define SWT_SCORE_OPTIONS_INIT                                                                     \
    {                                                                                              \
        .variance_share = 0.90, .players_per_component = 5, .most_left_out = 60                    \
    }

/** A swing lacking more than this share of the columns has no distance. */
#define SWT_SCORE_MOST_ABSENT 0.10

typedef struct swt_score_model swt_score_model;

/** The scores of one swing; NaN where it lacks the data. */
typedef struct swt_score {
    double rms;
    double distance;
    double rest; /**< RMS, in SD units, of what the components do not reach                  */
    /** Share of left-out reference swings (each player weighing the same) that score lower. */
    double rms_rank, distance_rank, rest_rank;
} swt_score;

/**
 * Builds the model and its leave-one-player-out reference distributions.
 *
 * @param[out] out  the caller frees by swt_score_model_free; NULL on failure
 * @retval SWT_EDATA  fewer than 5 players, or no column that all players have and that varies
 * Cost: one SVD of players x columns for each player left out.
 */
SWT_MUST_USE swt_status swt_score_model_build(swt_score_model **out,
                                              const swt_score_measure *measure, size_t n_measures,
                                              const int *player, size_t n_swings,
                                              const swt_score_options *options, swt_error *err);

void swt_score_model_free(swt_score_model *model);

/** Components kept, and columns (samples of all measures) that take part. */
void swt_score_model_size(size_t *n_components, size_t *n_columns, const swt_score_model *model);

/**
 * Scores one swing.
 * @param[in]  curve    n_measures pointers to that measure's samples; NULL = measure absent
 * @param[out] measure_rms   n_measures, may be NULL: rms of each measure
 * @param[out] share    may be NULL: for each measure, n_samples values one after the other, the
 *                      sample's share of rms^2; all of them add up to 1. Sum over a phase for the
 *                      phase's share
 * @param[out] distance_part  may be NULL, same layout: the sample's part of distance^2; parts add
 * up to it and may be negative
 */
SWT_MUST_USE swt_status swt_score_swing(swt_score *out, double *measure_rms, double *share,
                                        double *distance_part, const swt_score_model *model,
                                        const double *const *curve, swt_error *err);

/** The scores of the left-out reference swings, owned by the model: n_scores each, with weights
 *  that make every player count the same. */
typedef struct swt_score_reference {
    size_t n_scores;
    const double *rms, *distance, *rest, *weight;
} swt_score_reference;

swt_score_reference swt_score_reference_of(const swt_score_model *model);

/** Root mean square of the finite values; NaN when there are none. */
double swt_score_combine(const double *rms, size_t n);

#endif
