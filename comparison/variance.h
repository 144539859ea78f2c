/** @file  Spread between and within players, reliability, minimal detectable change.
 *  Layer: comparison. */
#ifndef SWT_COMPARISON_VARIANCE_H
#define SWT_COMPARISON_VARIANCE_H

#include "base/status.h"

#include <stddef.h>

/** One-way random model, unbalanced groups (Searle, Casella & McCulloch 1992, section 3.6). */
typedef struct swt_variance {
    size_t n_groups, n_values; /**< players with a value, values                             */
    size_t df_between, df_within;
    double mean;                  /**< of all values                                          */
    double mean_of_groups;        /**< of the groups' means, each weighing the same           */
    double ms_between, ms_within; /**< mean squares; ms_within NaN without replicates        */
    double f, p;                  /**< F test of no spread between groups; NaN likewise       */
    double n0;                    /**< (N - sum n_i^2 / N) / (groups - 1)                     */
    double within;                /**< variance: ms_within                                    */
    double between;               /**< variance: (ms_between - ms_within) / n0, at least 0    */
    double between_raw;           /**< the same before it is cut at 0                         */
    double total;                 /**< of one value of a new group, by unweighted means:
                                       var(group means) + (1 - 1/harmonic n) within; equals
                                       between_raw + within when balanced                     */
    double df_total;              /**< Satterthwaite's degrees of freedom of total            */
    double n_effective;           /**< total / var(mean_of_groups)                            */
    double icc; /**< between_raw / (between_raw + within) = ICC(1,1) when balanced;
                     negative values are kept                               */
    double sem; /**< standard error of measurement, sqrt(within)            */
} swt_variance;

/**
 * @param[in] values  n, NaN = absent
 * @param[in] group   n, equal numbers are the same player
 * @retval SWT_EDATA  fewer than two groups have a value
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_variance_split(swt_variance *out, const double *values,
                                           const int *group, size_t n, swt_error *err);

/** Two-way table without replication: subjects x trials, and its reliability. */
typedef struct swt_reliability {
    size_t n_subjects, n_trials;
    double ms_subjects, ms_within, ms_trials, ms_error; /**< BMS, WMS, JMS, EMS             */
    double icc_1_1, icc_2_1, icc_3_1;                   /**< Shrout & Fleiss 1979            */
    double icc_1_k, icc_2_k, icc_3_k;                   /**< of the mean of n_trials         */
    double f_trials, p_trials;                          /**< systematic change over trials   */
    double sem;               /**< sqrt(ms_error), Weir 2005: not SD sqrt(1 - ICC)         */
    double detectable_change; /**< 1.96 sqrt(2) sem: 95 %, one trial against one trial      */
} swt_reliability;

/**
 * @param[in] values  n_subjects * n_trials, `values[subject * n_trials + trial]`; subjects with
 *                    an absent trial are left out
 * @retval SWT_EDATA  fewer than two complete subjects, or fewer than two trials
 */
SWT_MUST_USE swt_status swt_reliability_of(swt_reliability *out, const double *values,
                                           size_t n_subjects, size_t n_trials, swt_error *err);

/**
 * Smallest difference between two means, of n1 and n2 swings of one player, that noise alone
 * exceeds with probability 1 - confidence: z sem sqrt(1/n1 + 1/n2). n1 = n2 = 1 gives Weir's
 * z sqrt(2) sem. The SEM is taken as known.
 */
double swt_detectable_change(double sem, size_t n1, size_t n2, double confidence);

#endif
