/* The corridor of one measure: the group judged, the band or the limits made. */
#include "comparison/corridor.h"

#include "comparison/array.h"
#include "comparison/band.h"
#include "comparison/limits.h"
#include "comparison/order_band.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static swt_corridor *corridor_new(size_t n_samples, const swt_corridor_options *options)
{
    swt_corridor *c = calloc(1, sizeof *c);
    double **array[6];

    if (!c)
        return NULL;
    c->n_samples = n_samples;
    c->options = *options;
    c->multiplier = c->confidence = c->normality_p = c->loo_coverage = nan("");
    array[0] = &c->centre;
    array[1] = &c->lower;
    array[2] = &c->upper;
    array[3] = &c->sd_total;
    array[4] = &c->sd_between;
    array[5] = &c->sd_within;
    c->n_players_at = calloc(n_samples, sizeof *c->n_players_at);
    c->resampled_ratio = swt_doubles(options->n_resamples, 1);
    if (!c->n_players_at || !c->resampled_ratio) {
        swt_corridor_free(c);
        return NULL;
    }
    for (int i = 0; i < 6; i++) {
        *array[i] = swt_doubles(n_samples, 1);
        if (!*array[i]) {
            swt_corridor_free(c);
            return NULL;
        }
        swt_fill_nan(*array[i], n_samples);
    }
    return c;
}

static void refuse(swt_corridor *c)
{
    c->state = SWT_CORRIDOR_REFUSED;
    free(c->resampled_ratio);
    c->resampled_ratio = NULL;
}

static void set_spreads(swt_corridor *c, const swt_band *band)
{
    for (size_t t = 0; t < c->n_samples; t++) {
        const swt_group_sample *at = &band->at[t];
        double between;
        c->n_players_at[t] = at->n_players;
        if (!band->usable[t])
            continue;
        c->centre[t] = at->centre[0];
        c->sd_total[t] = sqrt(at->total.m[0]);
        if (at->df_within == 0)
            continue;
        between = at->of_means.m[0] - at->within.m[0] / at->n_harmonic;
        c->sd_within[t] = sqrt(at->within.m[0]);
        c->sd_between[t] = sqrt(between > 0 ? between : 0);
    }
}

static swt_status build_band(swt_corridor *c, const swt_band *band, const swt_grouped *g,
                             swt_error *err)
{
    double multiplier_loo;
    swt_status rc = swt_multipliers(&c->multiplier, &multiplier_loo, c->resampled_ratio, band,
                                    &c->options, err);

    if (rc != SWT_OK)
        return rc;
    for (size_t t = 0; t < c->n_samples; t++)
        if (band->usable[t]) {
            double half = c->multiplier * fmax(c->sd_total[t], band->floor_sd[0]);
            c->lower[t] = c->centre[t] - half;
            c->upper[t] = c->centre[t] + half;
        }
    swt_leave_one_out(&c->loo_coverage, &c->loo_inside, &c->loo_swings, band, g, -multiplier_loo,
                      multiplier_loo);
    swt_doubt_coverage(&c->state, c->reason, sizeof c->reason, c->loo_coverage, c->options.coverage,
                       c->n_players);
    return SWT_OK;
}

static swt_status check(const swt_corridor_options *o, size_t n_samples, swt_error *err)
{
    if (n_samples == 0)
        return swt_fail(err, SWT_EARG, "a corridor needs at least one sample");
    if (o->sides != SWT_TWO_SIDED && n_samples > 1)
        return swt_fail(err, SWT_EARG, "one-sided limits are for scalars, not for curves");
    return swt_check_options(o, err);
}

swt_status swt_corridor_build(swt_corridor **out, const double *values, const int *player,
                              size_t n_swings, size_t n_samples,
                              const swt_corridor_options *options, swt_error *err)
{
    static const swt_corridor_options defaults = SWT_CORRIDOR_OPTIONS_INIT;
    const swt_corridor_options *o = options ? options : &defaults;
    swt_grouped g = {0};
    swt_band band = {0};
    swt_corridor *c = NULL;
    swt_status rc = check(o, n_samples, err);

    *out = NULL;
    if (rc != SWT_OK)
        return rc;
    rc = swt_grouped_init(&g, values, NULL, player, n_swings, n_samples, err);
    if (rc != SWT_OK)
        return rc;
    c = corridor_new(n_samples, o);
    if (!c) {
        rc = swt_fail(err, SWT_ENOMEM, "no memory for a corridor of %zu samples", n_samples);
        goto done;
    }
    c->method = n_samples == 1 ? SWT_CORRIDOR_TOLERANCE : SWT_CORRIDOR_BAND;
    c->n_swings_given = n_swings;
    swt_grouped_size(&c->n_swings, &c->n_players, &g);
    rc = swt_judge_group(&band, &c->state, c->reason, sizeof c->reason, &g, err);
    if (rc != SWT_OK)
        goto done;
    if (c->state == SWT_CORRIDOR_REFUSED) {
        refuse(c);
    } else {
        set_spreads(c, &band);
        if (n_samples == 1)
            rc = swt_limits_scalar(c, &band, &g, err);
        else if (o->centre == SWT_CENTRE_MEDIAN)
            rc = swt_order_band(c, &band, &g, err);
        else
            rc = build_band(c, &band, &g, err);
        if (rc != SWT_OK)
            goto done;
    }
    c->options.draws = NULL;
    *out = c;
    c = NULL;
done:
    swt_corridor_free(c);
    swt_band_reset(&band);
    swt_grouped_reset(&g);
    return rc;
}
