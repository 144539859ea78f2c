#include "comparison/grouped.h"

#include "comparison/array.h"

#include <math.h>
#include <stdlib.h>

bool swt_grouped_has(const swt_grouped *g, size_t swing, size_t sample)
{
    for (size_t v = 0; v < g->n_variables; v++)
        if (!isfinite(g->value[v][swing * g->n_samples + sample]))
            return false;
    return true;
}

/* Running means (Welford 1962): equal values have exactly no spread, whatever their size. */
static void add_up(swt_grouped *g)
{
    size_t t_end = g->n_samples;

    for (size_t s = 0; s < g->n_swings; s++)
        for (size_t t = 0; t < t_end; t++)
            if (swt_grouped_has(g, s, t)) {
                size_t at = g->player[s] * t_end + t;
                g->count[at] += 1;
                for (size_t v = 0; v < g->n_variables; v++)
                    g->mean[v][at] += (g->value[v][s * t_end + t] - g->mean[v][at]) / g->count[at];
            }
    /* second pass: deviations, so that a large offset costs no digits */
    for (size_t s = 0; s < g->n_swings; s++)
        for (size_t t = 0; t < t_end; t++)
            if (swt_grouped_has(g, s, t)) {
                size_t at = g->player[s] * t_end + t, here = s * t_end + t;
                double d = g->value[0][here] - g->mean[0][at];
                g->inside[0][at] += d * d;
                if (g->n_variables == 2) {
                    double e = g->value[1][here] - g->mean[1][at];
                    g->inside[1][at] += d * e;
                    g->inside[2][at] += e * e;
                }
            }
}

swt_status swt_grouped_init(swt_grouped *g, const double *first, const double *second,
                            const int *player, size_t n_swings, size_t n_samples, swt_error *err)
{
    swt_status rc;
    bool complete;

    *g = (swt_grouped){.n_swings = n_swings,
                       .n_samples = n_samples,
                       .n_variables = second ? 2 : 1,
                       .value = {first, second}};
    rc = swt_player_index(&g->player, &g->n_players, player, n_swings, err);
    if (rc != SWT_OK)
        return rc;
    g->count = swt_doubles(g->n_players, n_samples);
    complete = g->count != NULL;
    for (size_t v = 0; v < g->n_variables; v++)
        complete = (g->mean[v] = swt_doubles(g->n_players, n_samples)) && complete;
    for (size_t m = 0; m < (second ? 3u : 1u); m++)
        complete = (g->inside[m] = swt_doubles(g->n_players, n_samples)) && complete;
    if (!complete) {
        swt_grouped_reset(g);
        return swt_fail(err, SWT_ENOMEM, "no memory for %zu players x %zu samples", g->n_players,
                        n_samples);
    }
    add_up(g);
    return SWT_OK;
}

void swt_grouped_reset(swt_grouped *g)
{
    free(g->player);
    free(g->count);
    for (size_t v = 0; v < 2; v++)
        free(g->mean[v]);
    for (size_t m = 0; m < 3; m++)
        free(g->inside[m]);
    *g = (swt_grouped){0};
}

void swt_grouped_at(swt_group_sample *out, const swt_grouped *g, size_t sample, size_t left_out)
{
    double swings = 0, inverse = 0;
    size_t moments = g->n_variables == 2 ? 3 : 1;

    *out = (swt_group_sample){0};
    for (size_t p = 0; p < g->n_players; p++) {
        size_t at = p * g->n_samples + sample;
        if (p == left_out || !(g->count[at] > 0))
            continue;
        out->n_players++;
        swings += g->count[at];
        inverse += 1 / g->count[at];
        for (size_t v = 0; v < g->n_variables; v++)
            out->centre[v] += (g->mean[v][at] - out->centre[v]) / (double)out->n_players;
        for (size_t m = 0; m < moments; m++)
            out->within.m[m] += g->inside[m][at];
    }
    if (out->n_players == 0)
        return;
    out->n_harmonic = (double)out->n_players / inverse;
    out->df_within = (size_t)swings - out->n_players;
    for (size_t p = 0; p < g->n_players; p++) {
        size_t at = p * g->n_samples + sample;
        double d;
        if (p == left_out || !(g->count[at] > 0))
            continue;
        d = g->mean[0][at] - out->centre[0];
        out->of_means.m[0] += d * d;
        if (g->n_variables == 2) {
            double e = g->mean[1][at] - out->centre[1];
            out->of_means.m[1] += d * e;
            out->of_means.m[2] += e * e;
        }
    }
    for (size_t m = 0; m < moments; m++) {
        out->of_means.m[m] /= out->n_players > 1 ? (double)(out->n_players - 1) : 1;
        out->within.m[m] = out->df_within > 0 ? out->within.m[m] / (double)out->df_within : 0;
        out->total.m[m] = out->of_means.m[m] + (1 - 1 / out->n_harmonic) * out->within.m[m];
    }
}

void swt_grouped_without(swt_group_sample *out, const swt_group_sample *all, const swt_grouped *g,
                         size_t sample, size_t player)
{
    size_t at = player * g->n_samples + sample, moments = g->n_variables == 2 ? 3 : 1;
    double n = (double)all->n_players, apart[3] = {0, 0, 0}, d[2] = {0, 0};

    if (all->n_players < 3 || !(g->count[at] > 0)) {
        swt_grouped_at(out, g, sample, player);
        return;
    }
    for (size_t v = 0; v < g->n_variables; v++)
        d[v] = g->mean[v][at] - all->centre[v];
    apart[0] = d[0] * d[0];
    apart[1] = d[0] * d[1];
    apart[2] = d[1] * d[1];
    *out = (swt_group_sample){.n_players = all->n_players - 1,
                              .df_within = all->df_within - ((size_t)g->count[at] - 1),
                              .n_harmonic = (n - 1) / (n / all->n_harmonic - 1 / g->count[at])};
    for (size_t v = 0; v < g->n_variables; v++)
        out->centre[v] = all->centre[v] - d[v] / (n - 1);
    for (size_t m = 0; m < moments; m++) {
        double within = all->within.m[m] * (double)all->df_within - g->inside[m][at];
        out->of_means.m[m] = (all->of_means.m[m] * (n - 1) - apart[m] * n / (n - 1)) / (n - 2);
        out->within.m[m] = out->df_within > 0 ? within / (double)out->df_within : 0;
        if (m != 1) { /* variances: what rounding leaves of none */
            out->of_means.m[m] = fmax(out->of_means.m[m], 0);
            out->within.m[m] = fmax(out->within.m[m], 0);
        }
        out->total.m[m] = out->of_means.m[m] + (1 - 1 / out->n_harmonic) * out->within.m[m];
    }
}

void swt_group_effective(double *n_effective, double *df, const swt_group_sample *at,
                         size_t n_players)
{
    double s2 = at->of_means.m[0], v = (1 - 1 / at->n_harmonic) * at->within.m[0];
    double n = (double)n_players, total = s2 + v, denominator = s2 * s2 / (n - 1);

    if (at->df_within > 0)
        denominator += v * v / (double)at->df_within;
    *df = denominator > 0 ? total * total / denominator : n - 1;
    *n_effective = s2 > 0 ? n * total / s2 : n;
}

void swt_grouped_size(size_t *n_swings, size_t *n_players, const swt_grouped *g)
{
    *n_swings = *n_players = 0;
    for (size_t s = 0; s < g->n_swings; s++)
        for (size_t t = 0; t < g->n_samples; t++)
            if (swt_grouped_has(g, s, t)) {
                ++*n_swings;
                break;
            }
    for (size_t p = 0; p < g->n_players; p++)
        for (size_t t = 0; t < g->n_samples; t++)
            if (g->count[p * g->n_samples + t] > 0) {
                ++*n_players;
                break;
            }
}
