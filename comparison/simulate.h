/** @file  How often does a corridor keep its word? Simulated groups with known truth.
 *  Layer: comparison.
 *
 *  Curves are Gaussian processes with a squared-exponential kernel: one deviation per player, one
 *  per swing, added to a centre. A corridor is built from a simulated group, then swings of
 *  players who are not in the group are held against it. */
#ifndef SWT_COMPARISON_SIMULATE_H
#define SWT_COMPARISON_SIMULATE_H

#include "comparison/corridor.h"

typedef struct swt_simulation {
    size_t n_players;         /**< of the group, 2 or more                                    */
    size_t swings_per_player; /**< 1 or more                                                  */
    size_t n_samples;         /**< of the curve; 1 = a scalar                                 */
    size_t n_measures;        /**< independent curves; with 2 or more, all corridors are widened
                                   by the family factor and a swing must stay inside them all */
    double between_share;     /**< of the variance of one swing that lies between players     */
    double length_scale;      /**< of the kernel, as a part of the curve; larger is smoother  */
    double tail_df;           /**< 0: normal; else each deviation is scaled as Student's t with
                                   these degrees of freedom (above 2), at unit variance       */
    size_t n_groups;          /**< simulated groups                                           */
    size_t n_new_players;     /**< held against each group's corridor, one swing each         */
    swt_corridor_options corridor;
    unsigned long seed; /**< of the simulated groups; group g has its own generator           */
} swt_simulation;

typedef struct swt_simulation_result {
    double coverage;       /**< share of new players' whole curves inside                     */
    double coverage_alone; /**< the same without the family factor                            */
    double standard_error; /**< of that share, from the spread between groups                 */
    double loo_coverage;   /**< mean of what the corridors said of themselves                 */
    double multiplier;     /**< mean; NaN when order statistics were used throughout          */
    size_t n_refused;      /**< groups without a corridor                                     */
} swt_simulation_result;

/**
 * @retval SWT_EARG  an option is out of range
 * Same options and seed, same numbers.
 */
SWT_MUST_USE swt_status swt_simulate_coverage(swt_simulation_result *out,
                                              const swt_simulation *simulation, swt_error *err);

#endif
