/** @file  Where a swing leaves its corridors: intervals, persistence, what goes before what.
 *  Layer: comparison.
 *
 *  Order in time is all that these functions know. An earlier departure that often goes with a
 *  later one in the reference group is an association; nothing here says that one causes the
 *  other. */
#ifndef SWT_COMPARISON_DEPARTURE_H
#define SWT_COMPARISON_DEPARTURE_H

#include "comparison/corridor.h"
#include "comparison/path_corridor.h"

#include <stdbool.h>

/** One run of consecutive samples outside a corridor, on one side of it. */
typedef struct swt_departure {
    size_t measure;        /**< the caller's index of the measure                               */
    int direction;         /**< +1 above, -1 below; 0 for a path (no sides)                     */
    size_t first, last;    /**< samples, both outside                                           */
    double start, end;     /**< where the curve crosses the edge, in samples, interpolated; the
                                sample itself at a gap or at an end of the curve                */
    size_t peak;           /**< sample with the largest ratio                                   */
    int phase;             /**< of the peak sample; 0 when the caller gave none                 */
    double peak_value;     /**< of the swing there (path: distance from the centre)         */
    double peak_excess;    /**< beyond the edge, signed, unit of the measure                */
    double peak_ratio;     /**< |deviation from centre| / half-width there; > 1             */
    double peak_within_sd; /**< excess / within-player SD; NaN when that is not known       */
    double peak_measurement_sd; /**< excess / measurement SD there; NaN when not given  */
    /** Where it is farthest beyond the edge in the measure's own unit; the peak may lie where the
     *  corridor is narrow. */
    size_t largest;
    double largest_value, largest_excess;
    double start_s, end_s, peak_s, largest_s; /**< NaN when the caller gave no times      */
    bool stands_in_family; /**< peak_ratio > family factor: stands for all measures together */
} swt_departure;

/** What the caller knows about the measure; zeroes and NULLs are fine. */
typedef struct swt_departure_context {
    size_t measure;       /**< copied to each departure                                   */
    const double *time_s; /**< n_samples, increasing, of this swing; or NULL              */
    const int *phase;     /**< n_samples, phase of each sample; or NULL                   */
    double family_factor; /**< from swt_corridor_family_factor; 0 when there is none: then
                               every departure stands                                     */
    /** n_samples: standard uncertainty of the swing's values, unit of the measure; NaN or NULL:
     *  unknown */
    const double *measurement_sd;
} swt_departure_context;

/** A swing against one corridor in three numbers. */
typedef struct swt_departure_summary {
    size_t n_compared;    /**< samples with a value and a band                               */
    double share_outside; /**< of those; NaN when none                                       */
    double first_outside; /**< first crossing in samples, interpolated; NaN when inside      */
    double peak_ratio;    /**< largest |ratio| of the curve, also when inside                */
} swt_departure_summary;

/**
 * Finds the departures of one swing's curve (or scalar) from a corridor, in order of samples.
 *
 * @param[out] list      n departures, the caller frees with free(); NULL when there are none
 * @param[out] summary   may be NULL
 * @param[in]  curve     corridor->n_samples; NaN = absent
 * @retval SWT_EDATA   the corridor was refused
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_departure_find(swt_departure **list, size_t *n,
                                           swt_departure_summary *summary,
                                           const swt_corridor *corridor, const double *curve,
                                           const swt_departure_context *context, swt_error *err);

/** The same for a path and its tube; excess is measured along the line from the centre. */
SWT_MUST_USE swt_status swt_departure_find_path(swt_departure **list, size_t *n,
                                                swt_departure_summary *summary,
                                                const swt_path_corridor *corridor,
                                                const double *depth, const double *height,
                                                const swt_departure_context *context,
                                                swt_error *err);

/** Adds departures to a list that is freed with free(); takes `more` over, also on failure. */
SWT_MUST_USE swt_status swt_departure_join(swt_departure **list, size_t *n, swt_departure *more,
                                           size_t n_more, swt_error *err);

/** A departure as it shows over several swings of one player: same measure, same side. */
typedef struct swt_persistence {
    size_t measure;
    int direction;                /**< +1 above, -1 below                                   */
    size_t n_departing, n_swings; /**< swings with it; swings in which it could be compared */
    size_t n_standing;            /**< swings in which it stands for the whole family       */
    /* medians over the departing swings */
    double start_s, end_s, largest_s; /**< NaN when not to be had */
    double largest_value, largest_excess;
    double peak_ratio;
    double peak_within_sd, peak_measurement_sd; /**< absolute sizes; NaN when not known     */
    size_t first, last, peak;                   /**< samples: the lower of the two middle ones */
} swt_persistence;

/**
 * Adds up one departure of each swing.
 * @param[in] of_swing   n: the departure of a swing in one measure to one side; NULL: it has none
 * @param     n_swings   swings in which the measure could be compared; copied
 */
SWT_MUST_USE swt_status swt_departure_persistence(swt_persistence *out,
                                                  const swt_departure *const *of_swing, size_t n,
                                                  size_t n_swings, swt_error *err);

/** Median of the finite values; NaN for none. Sorts `value`. */
double swt_median(double *value, size_t n);

/** One earlier departure seen from a later one, and what the reference swings show of the two. */
typedef struct swt_trace_link {
    size_t earlier;     /**< index in the list                                           */
    double lag_s;       /**< later start less earlier start, > 0                         */
    double correlation; /**< of the two deviations at the peaks over the players' means;
                             NaN with fewer than 5 players                               */
    size_t n_players;   /**< that the correlation rests on                               */
    size_t n_earlier;   /**< reference swings beyond 1 SD to the earlier one's side      */
    size_t n_both;      /**< of those, swings also beyond 1 SD to the later one's side   */
    size_t n_in_order;  /**< of those, swings in which the earlier one's measure is beyond 1 SD
                             before the later one's                                      */
    double base_rate;   /**< share of all reference swings beyond 1 SD to the later side */
} swt_trace_link;

/** Reference swings of one measure, as given to swt_corridor_build, and its corridor. */
typedef struct swt_reference_measure {
    const double *values;         /**< n_swings * corridor->n_samples                        */
    const swt_corridor *corridor; /**< built from them                                       */
    double position; /**< of a scalar: where in the curves' samples it is settled            */
} swt_reference_measure;

/**
 * Traces a departure back: every departure that starts before it, earliest first, with its lag
 * and how often, in the reference swings, the two go together and in that order. A reference swing
 * counts for a measure when it is beyond 1 SD of one swing of a new player anywhere in the run of
 * samples of the departure; swings seldom leave the corridor that they made.
 *
 * @param[out] links      the caller frees; NULL when nothing came before
 * @param[in]  list       departures of one swing or one player, in any order
 * @param      of         index of the departure asked about; must have a start time
 * @param[in]  reference  n_measures; departures index it by `measure`. An entry with NULL corridor
 *                        (a path, say) yields NaN and zero counts
 */
SWT_MUST_USE swt_status swt_departure_trace(swt_trace_link **links, size_t *n,
                                            const swt_departure *list, size_t n_list, size_t of,
                                            const swt_reference_measure *reference,
                                            size_t n_measures, const int *player, size_t n_swings,
                                            swt_error *err);

#endif
