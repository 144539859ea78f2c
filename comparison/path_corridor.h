/** @file  The corridor of a path in a plane (hand path, depth-height): a simultaneous tube.
 *  Layer: comparison.
 *
 *  At each registered sample the corridor is an ellipse, the points within `multiplier` of the
 *  centre in the metric of the 2 x 2 covariance of one swing of a new player. One multiplier serves
 *  the whole path, found as for curves (corridor.h) with the Mahalanobis distance in place of
 *  |deviation| / sd, so that a new player's whole path stays inside with the stated probability. */
#ifndef SWT_COMPARISON_PATH_CORRIDOR_H
#define SWT_COMPARISON_PATH_CORRIDOR_H

#include "comparison/corridor.h"

typedef struct swt_path_corridor {
    swt_corridor_state state;
    char reason[384];
    swt_corridor_options options;
    size_t n_samples, n_swings, n_players, n_swings_given;
    double multiplier; /**< Mahalanobis radius of the ellipses                              */
    double loo_coverage;
    size_t loo_inside, loo_swings;
    double *centre_depth, *centre_height; /**< n_samples                                    */
    double *covariance;        /**< n_samples * 3: depth-depth, depth-height, height-height   */
    double *covariance_within; /**< n_samples * 3, within a player; NaN when not known      */
    size_t *n_players_at;
    double *resampled_ratio; /**< n_resamples, as in swt_corridor; NULL when refused        */
} swt_path_corridor;

/** Builds the tube from two tables of n_swings * n_samples. Arguments and errors as
 *  swt_corridor_build; two or more samples; options->sides must be two-sided. */
SWT_MUST_USE swt_status swt_path_corridor_build(swt_path_corridor **out, const double *depth,
                                                const double *height, const int *player,
                                                size_t n_swings, size_t n_samples,
                                                const swt_corridor_options *options,
                                                swt_error *err);

void swt_path_corridor_free(swt_path_corridor *corridor);

/** Mahalanobis distance of a point from the centre over the multiplier: > 1 is outside. */
double swt_path_corridor_ratio(const swt_path_corridor *corridor, size_t sample, double depth,
                               double height);

/** Axes of the ellipse: half-lengths (longest first, unit of the path) and the angle of the longest
 *  from the depth axis towards height, in (-pi/2, pi/2]. NaN where the sample has none. */
void swt_path_corridor_ellipse(double half_axis[2], double *angle_rad,
                               const swt_path_corridor *corridor, size_t sample);

#endif
