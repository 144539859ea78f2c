#include "comparison/path_corridor.h"

#include "base/vector.h"
#include "comparison/array.h"
#include "comparison/limits.h"

#include <math.h>
#include <stdlib.h>

void swt_path_corridor_free(swt_path_corridor *c)
{
    if (!c)
        return;
    free(c->centre_depth);
    free(c->centre_height);
    free(c->covariance);
    free(c->covariance_within);
    free(c->n_players_at);
    free(c->resampled_ratio);
    free(c);
}

static swt_path_corridor *path_new(size_t n_samples, const swt_corridor_options *options)
{
    swt_path_corridor *c = calloc(1, sizeof *c);

    if (!c)
        return NULL;
    c->n_samples = n_samples;
    c->options = *options;
    c->multiplier = c->loo_coverage = nan("");
    c->centre_depth = swt_doubles(n_samples, 1);
    c->centre_height = swt_doubles(n_samples, 1);
    c->covariance = swt_doubles(n_samples, 3);
    c->covariance_within = swt_doubles(n_samples, 3);
    c->n_players_at = calloc(n_samples, sizeof *c->n_players_at);
    c->resampled_ratio = swt_doubles(options->n_resamples, 1);
    if (!c->centre_depth || !c->centre_height || !c->covariance || !c->covariance_within ||
        !c->n_players_at || !c->resampled_ratio) {
        swt_path_corridor_free(c);
        return NULL;
    }
    swt_fill_nan(c->centre_depth, n_samples);
    swt_fill_nan(c->centre_height, n_samples);
    swt_fill_nan(c->covariance, 3 * n_samples);
    swt_fill_nan(c->covariance_within, 3 * n_samples);
    return c;
}

static swt_status build_tube(swt_path_corridor *c, const swt_band *band, const swt_grouped *g,
                             swt_error *err)
{
    double multiplier_loo;
    swt_status rc = swt_multipliers(&c->multiplier, &multiplier_loo, c->resampled_ratio, band,
                                    &c->options, err);

    if (rc != SWT_OK)
        return rc;
    for (size_t t = 0; t < c->n_samples; t++) {
        const swt_group_sample *at = &band->at[t];
        c->n_players_at[t] = at->n_players;
        if (!band->usable[t])
            continue;
        c->centre_depth[t] = at->centre[0];
        c->centre_height[t] = at->centre[1];
        for (size_t m = 0; m < 3; m++) {
            c->covariance[3 * t + m] = at->total.m[m];
            if (at->df_within > 0)
                c->covariance_within[3 * t + m] = at->within.m[m];
        }
        /* the floors of band.h, so that a sample without spread keeps an ellipse */
        c->covariance[3 * t] = fmax(at->total.m[0], band->floor_sd[0] * band->floor_sd[0]);
        c->covariance[3 * t + 2] = fmax(at->total.m[2], band->floor_sd[1] * band->floor_sd[1]);
    }
    swt_leave_one_out(&c->loo_coverage, &c->loo_inside, &c->loo_swings, band, g, 0, multiplier_loo);
    swt_doubt_coverage(&c->state, c->reason, sizeof c->reason, c->loo_coverage, c->options.coverage,
                       c->n_players);
    return SWT_OK;
}

swt_status swt_path_corridor_build(swt_path_corridor **out, const double *depth,
                                   const double *height, const int *player, size_t n_swings,
                                   size_t n_samples, const swt_corridor_options *options,
                                   swt_error *err)
{
    static const swt_corridor_options defaults = SWT_CORRIDOR_OPTIONS_INIT;
    const swt_corridor_options *o = options ? options : &defaults;
    swt_grouped g = {0};
    swt_band band = {0};
    swt_path_corridor *c = NULL;
    swt_status rc = swt_check_options(o, err);

    *out = NULL;
    if (rc != SWT_OK)
        return rc;
    if (n_samples < 2 || o->sides != SWT_TWO_SIDED)
        return swt_fail(err, SWT_EARG, "a path needs two or more samples and has no single side");
    rc = swt_grouped_init(&g, depth, height, player, n_swings, n_samples, err);
    if (rc != SWT_OK)
        return rc;
    c = path_new(n_samples, o);
    if (!c) {
        rc = swt_fail(err, SWT_ENOMEM, "no memory for a path of %zu samples", n_samples);
        goto done;
    }
    c->n_swings_given = n_swings;
    swt_grouped_size(&c->n_swings, &c->n_players, &g);
    rc = swt_judge_group(&band, &c->state, c->reason, sizeof c->reason, &g, err);
    if (rc != SWT_OK)
        goto done;
    if (c->state == SWT_CORRIDOR_REFUSED) {
        free(c->resampled_ratio);
        c->resampled_ratio = NULL;
    } else {
        rc = build_tube(c, &band, &g, err);
        if (rc != SWT_OK)
            goto done;
    }
    c->options.draws = NULL;
    *out = c;
    c = NULL;
done:
    swt_path_corridor_free(c);
    swt_band_reset(&band);
    swt_grouped_reset(&g);
    return rc;
}

double swt_path_corridor_ratio(const swt_path_corridor *c, size_t sample, double depth,
                               double height)
{
    const double *v = &c->covariance[3 * sample];
    double d = depth - c->centre_depth[sample], e = height - c->centre_height[sample];
    double along = d / sqrt(v[0]), slope = v[1] / v[0];
    double left = v[2] - slope * v[1], least = 1e-12 * v[2];

    return hypot(along, (e - slope * d) / sqrt(left > least ? left : least)) / c->multiplier;
}

void swt_path_corridor_ellipse(double half_axis[2], double *angle_rad, const swt_path_corridor *c,
                               size_t sample)
{
    const double *v = &c->covariance[3 * sample];
    double middle = (v[0] + v[2]) / 2, apart = hypot((v[0] - v[2]) / 2, v[1]);
    double small = middle - apart;

    half_axis[0] = c->multiplier * sqrt(middle + apart);
    half_axis[1] = c->multiplier * sqrt(small > 0 || isnan(small) ? small : 0);
    *angle_rad = atan2(2 * v[1], v[0] - v[2]) / 2;
    if (*angle_rad <= -SWT_PI / 2)
        *angle_rad += SWT_PI;
}
