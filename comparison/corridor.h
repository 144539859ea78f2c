/** @file  The corridor of a reference group: what a new player's swing is expected to stay inside.
 *  Layer: comparison. Plain arrays in, plain arrays out; one measure at a time.
 *
 *  A measure is a table of swings x samples (a curve), or swings x 1 (a scalar); NaN is absent.
 *  The player is the sampling unit: swings of one player are never taken as independent.
 *
 *  Curves: a simultaneous prediction band. centre(t) is the mean of the players' means, sd_total(t)
 *  the spread of one swing of a new player (between and within player), and
 *
 *      band(t) = centre(t) +- multiplier * sd_total(t)
 *
 *  with one multiplier for the whole curve, as in Olshen 1989 and Lenhoff 1999 (Gait Posture 9:10).
 *  Their bootstrap looks for the multiplier among the very curves that built the band, and so
 *  promises too much: they report 86 % for a nominal 90 %. Here each resample draws a whole new
 *  experiment of the same size from the group's own between- and within-player covariance: a new
 *  player's swing, the centre and the spread (Gaussian multipliers on the players' and the swings'
 *  deviations; the resampled spread by Bartlett's decomposition of a Wishart matrix). The
 *  multiplier is the quantile of max over t of |swing - centre| / spread. Error of the centre and
 *  of the spread and the smoothness of the curves are therefore paid for.
 *  Measured on simulated normal curves: 94.3 to 95.3 % for a stated 95 % from 15 players on, 92.5
 *  to 94.2 % with 5. On curves with heavy tails (t, 5 df) it is about 90 %: the leave-one-out
 *  coverage of each corridor shows that on average, and a caution names it once it is more than two
 *  standard errors low. docs/coverage.md has the tables and the command that makes them.
 *
 *  With medians (options.centre) nothing is taken as normal. centre(t) is the median of the
 * players' medians, sd_total(t) the median distance of a swing from it, every player weighing the
 * same, times 1.4826 (the MAD of Hampel 1974, JASA 69:383), and the multiplier is the rank coverage
 * (n + 1) of the n players' largest deviations, each measured from what the other players make:
 * conformal prediction, for curves as in Diquigiovanni, Fontana & Vantini 2022 (J Multivariate Anal
 *  189:104879) and for several swings a player by weighing them as in Dunn, Wasserman & Ramdas 2023
 *  (JASA 118:2491). Both papers from memory. Takes coverage / (1 - coverage) players, 19 for 95 %;
 *  with fewer the largest deviation stands and the corridor says what it carries.
 *
 *  Scalars: a tolerance interval that holds `coverage` of swings with `confidence` (ISO 16269-6,
 *  exact factor), with effective sizes for several swings per player (n as in Hoffman & Kringle
 *  2005, J Biopharm Stat 15:283; degrees of freedom from Graybill & Wang 1980, JASA 75:869);
 *  limits from order statistics when the players' means fail Shapiro and Wilk's test at 1 %. */
#ifndef SWT_COMPARISON_CORRIDOR_H
#define SWT_COMPARISON_CORRIDOR_H

#include "base/status.h"

#include <stddef.h>

#define SWT_CORRIDOR_LEAST_PLAYERS 5  /**< fewer: refused                                   */
#define SWT_CORRIDOR_SOUND_PLAYERS 15 /**< fewer: built, and marked limited                 */
#define SWT_CORRIDOR_LEAST_SHARE 0.75 /**< a sample that fewer of the players have: no band */
#define SWT_CORRIDOR_NORMALITY_P 0.01 /**< Shapiro-Wilk p below this: order statistics      */

typedef enum swt_sides { SWT_TWO_SIDED = 0, SWT_UPPER_ONLY, SWT_LOWER_ONLY } swt_sides;

typedef enum swt_centre { SWT_CENTRE_MEAN = 0, SWT_CENTRE_MEDIAN } swt_centre;

/** Normal draws that the corridors of one family share; see swt_corridor_draws_new. */
typedef struct swt_corridor_draws swt_corridor_draws;

typedef struct swt_corridor_options {
    double coverage;    /**< share of a new player's swings inside, in (0, 1)              */
    double confidence;  /**< of a scalar's tolerance interval, in (0, 1)                   */
    size_t n_resamples; /**< 200 or more                                                   */
    unsigned long seed; /**< same seed, same numbers, in any order and number of threads   */
    swt_sides sides;    /**< scalars only; curves are two-sided                            */
    swt_centre centre;  /**< median: limits from order statistics throughout               */
    const swt_corridor_draws *draws; /**< NULL, or made for these players, seed and resamples:
                                          saves drawing anew, same numbers; not kept        */
} swt_corridor_options;

/** coverage .95, confidence .90 (ISO 16269-6 tabulates .90, .95, .99), 2000 resamples. */
#define SWT_CORRIDOR_OPTIONS_INIT                                                                  \
    {                                                                                              \
        .coverage = 0.95, .confidence = 0.90, .n_resamples = 2000, .seed = 1                       \
    }

typedef enum swt_corridor_state {
    SWT_CORRIDOR_OK = 0,
    SWT_CORRIDOR_LIMITED, /**< built, with a caution in `reason`               */
    SWT_CORRIDOR_REFUSED  /**< not built: arrays are NaN, `reason` says why    */
} swt_corridor_state;

typedef enum swt_corridor_method {
    SWT_CORRIDOR_BAND = 0,  /**< simultaneous band, bootstrap of players   */
    SWT_CORRIDOR_TOLERANCE, /**< scalar: normal tolerance interval         */
    SWT_CORRIDOR_ORDER      /**< order statistics                          */
} swt_corridor_method;

typedef struct swt_corridor {
    swt_corridor_state state;
    char reason[384]; /**< "" when nothing need be said; may hold several sentences        */
    swt_corridor_method method;
    swt_corridor_options options; /**< as built                                            */
    size_t n_samples;
    size_t n_swings;       /**< swings with at least one value                             */
    size_t n_players;      /**< players with at least one value                            */
    size_t n_swings_given; /**< rows of the table                                          */
    double multiplier;     /**< half-width / sd_total; NaN for order statistics            */
    double confidence;     /**< that a scalar's limits really have; NaN for curves         */
    double normality_p;    /**< Shapiro-Wilk on the players' means; NaN for curves         */
    /** Leave one player out, build from the others, ask whether the left-out player's whole
     *  curves are inside: mean over players of the player's share. NaN when refused. */
    double loo_coverage;
    size_t loo_inside, loo_swings; /**< the same, counted in swings                        */
    /* n_samples each; NaN where the sample has no band */
    double *centre, *lower, *upper;
    double *sd_total;     /**< one swing of a new player                                     */
    double *sd_between;   /**< between players; NaN when no player has two swings            */
    double *sd_within;    /**< within a player; NaN likewise                                 */
    size_t *n_players_at; /**< players with a value at the sample                          */
    /** n_resamples: largest |deviation| / half-width of a resampled clean swing; what the family
     *  factor is made of. NULL when refused. */
    double *resampled_ratio;
} swt_corridor;

/**
 * Builds the corridor of one measure.
 *
 * @param[out] out       the caller frees; NULL on failure. A group that cannot carry a corridor is
 *                       no failure: state is SWT_CORRIDOR_REFUSED and reason says why
 * @param[in]  values    n_swings * n_samples, `values[swing * n_samples + sample]`, any unit
 * @param[in]  player    n_swings; equal numbers are the same player, any numbers
 * @param      n_samples 1 for a scalar
 * @param[in]  options   NULL for the defaults
 * @retval SWT_EARG    an option is out of range or n_samples is 0
 * @retval SWT_ENUM    a number did not converge
 * @retval SWT_ENOMEM
 * Cost: O(n_resamples * n_swings * n_samples). Reentrant.
 */
SWT_MUST_USE swt_status swt_corridor_build(swt_corridor **out, const double *values,
                                           const int *player, size_t n_swings, size_t n_samples,
                                           const swt_corridor_options *options, swt_error *err);

void swt_corridor_free(swt_corridor *corridor);

/**
 * The draws for swings of these players, with the resamples and seed of the options, to be given
 * to every corridor of a family: they take longer than the rest of a resample.
 * @param[out] out  the caller frees after the last build; NULL on failure, and NULL with SWT_OK
 * when they would take more than 64 MB (each corridor then draws for itself)
 */
SWT_MUST_USE swt_status swt_corridor_draws_new(swt_corridor_draws **out, const int *player,
                                               size_t n_swings, const swt_corridor_options *options,
                                               swt_error *err);
void swt_corridor_draws_free(swt_corridor_draws *draws);

/**
 * Signed distance from the centre in half-widths: 0 centre, +1 upper edge, -1 lower edge,
 * |value| > 1 outside. NaN for an absent value or a sample without band; 0 on an open side.
 */
double swt_corridor_ratio(const swt_corridor *corridor, size_t sample, double value);

/**
 * One factor for a family of measures: when every half-width is multiplied by it, a clean swing of
 * a new player leaves none of the corridors with probability `coverage`; the false-departure rate
 * of the whole family is 1 - coverage. Measured on 5 to 20 independent curves: 93.1 to 94.5 % of
 * clean swings leave none of them for a stated 95 %. The measures keep their correlation, since
 * resample r draws the same player and swing weights in each measure. Refused corridors are passed
 * over. With medians the draws are the group's own swings, each against limits made without its
 * player, and one new player in n + 1 counts as farther than all: with fewer than coverage /
 * (1 - coverage) players the factor is infinite, so that nothing stands for the whole family.
 *
 * @param[out] factor         about 1 for one curve; >= what one measure needs
 * @param[out] false_alone    may be NULL: share of clean swings that leave at least one corridor
 *                            when every measure keeps its own half-width (factor 1)
 * @param[in]  corridors      all built from the same rows, same players, same seed and resamples
 * @retval SWT_EARG  they were not, or none of them is usable
 */
SWT_MUST_USE swt_status swt_corridor_family_factor(double *factor, double *false_alone,
                                                   const swt_corridor *const *corridors,
                                                   size_t n_corridors, double coverage,
                                                   swt_error *err);

#endif
