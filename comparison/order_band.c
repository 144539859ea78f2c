#include "comparison/order_band.h"

#include "comparison/array.h"
#include "comparison/limits.h"

#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* The median absolute deviation of a normal distribution is its SD divided by this. */
#define MAD_TO_SD 1.482602218505602

/* A value with the share of its player that it stands for. */
typedef struct weighted {
    double value, weight;
    size_t player;
} weighted;

typedef struct workshop {
    const swt_band *band;
    const swt_grouped *g;
    weighted *list; /* n_swings: scratch                                     */
    double *own;    /* n_swings: scratch                                     */
    double *middle; /* n_players: scratch                                    */
    double *far;    /* n_swings: largest deviation without the swing's player; NaN: not compared */
} workshop;

static int by_value(const void *a, const void *b)
{
    double x = ((const weighted *)a)->value, y = ((const weighted *)b)->value;

    return (x > y) - (x < y);
}

static double middle_of(double *x, size_t n)
{
    swt_sort(x, n);
    return n % 2 ? x[n / 2] : (x[n / 2 - 1] + x[n / 2]) / 2;
}

/* Smallest value at which the weights, in order of value, reach `enough`; the largest of all where
 * they never do. Sorts. */
static double reach(weighted *list, size_t n, double enough)
{
    double sum = 0;

    qsort(list, n, sizeof *list, by_value);
    for (size_t i = 0; i < n; i++) {
        sum += list[i].weight;
        if (sum >= enough - 1e-9)
            return list[i].value;
    }
    return n > 0 ? list[n - 1].value : nan("");
}

/* Median of the players' medians at a sample, and the median distance of a swing from it with every
 * player weighing the same, as an SD. */
static void middle_and_spread(double *centre, double *sd, workshop *w, size_t t, size_t left_out)
{
    const swt_grouped *g = w->g;
    size_t players = 0, swings = 0;

    for (size_t p = 0; p < g->n_players; p++) {
        size_t n = 0;
        if (p == left_out || !(g->count[p * g->n_samples + t] > 0))
            continue;
        for (size_t s = 0; s < g->n_swings; s++)
            if (g->player[s] == p && swt_grouped_has(g, s, t))
                w->own[n++] = g->value[0][s * g->n_samples + t];
        w->middle[players++] = middle_of(w->own, n);
    }
    *centre = players > 0 ? middle_of(w->middle, players) : nan("");
    for (size_t s = 0; s < g->n_swings; s++)
        if (g->player[s] != left_out && swt_grouped_has(g, s, t))
            w->list[swings++] =
                (weighted){fabs(g->value[0][s * g->n_samples + t] - *centre),
                           1 / g->count[g->player[s] * g->n_samples + t], g->player[s]};
    *sd = fmax(MAD_TO_SD * reach(w->list, swings, (double)players / 2), w->band->floor_sd[0]);
}

/* How far each swing gets from what the other players make. */
static void measure_left_out(workshop *w)
{
    const swt_grouped *g = w->g;

    swt_fill_nan(w->far, g->n_swings);
    for (size_t p = 0; p < g->n_players; p++)
        for (size_t t = 0; t < g->n_samples; t++) {
            double centre, sd;
            if (!w->band->usable[t] || !(g->count[p * g->n_samples + t] > 0))
                continue;
            middle_and_spread(&centre, &sd, w, t, p);
            for (size_t s = 0; s < g->n_swings; s++)
                if (g->player[s] == p && swt_grouped_has(g, s, t))
                    w->far[s] =
                        fmax(w->far[s], fabs(g->value[0][s * g->n_samples + t] - centre) / sd);
        }
}

/* The deviation that the share `coverage` of players' swings stays under, new player included: rank
 * coverage (n + 1) among n players. */
static double limit_of(workshop *w, size_t *players, double coverage, size_t left_out)
{
    const swt_grouped *g = w->g;
    size_t n = 0;

    *players = 0;
    for (size_t p = 0; p < g->n_players; p++) {
        size_t first = n;
        if (p == left_out)
            continue;
        for (size_t s = 0; s < g->n_swings; s++)
            if (g->player[s] == p && isfinite(w->far[s]))
                w->list[n++] = (weighted){w->far[s], 0, p};
        for (size_t i = first; i < n; i++)
            w->list[i].weight = 1 / (double)(n - first);
        *players += n > first;
    }
    return reach(w->list, n, coverage * (double)(*players + 1));
}

/* Coverage when each player in turn is held against limits made without them. `ratio`:
 * deviations in half-widths of those limits. */
static void leave_one_out(swt_corridor *c, workshop *w, double *ratio)
{
    const swt_grouped *g = w->g;
    double sum = 0;
    size_t players = 0, others;

    c->loo_inside = c->loo_swings = 0;
    swt_fill_nan(ratio, g->n_swings);
    for (size_t p = 0; p < g->n_players; p++) {
        double limit = limit_of(w, &others, c->options.coverage, p);
        size_t mine = 0, good = 0;
        for (size_t s = 0; s < g->n_swings; s++)
            if (g->player[s] == p && isfinite(w->far[s])) {
                ratio[s] = w->far[s] / limit;
                mine++;
                good += ratio[s] <= 1;
            }
        c->loo_swings += mine;
        c->loo_inside += good;
        players += mine > 0;
        sum += mine > 0 ? (double)good / (double)mine : 0;
    }
    c->loo_coverage = players > 0 ? sum / (double)players : nan("");
}

/* Swings drawn player first, in half-widths of limits made without the player: the same swing in
 * every measure of the family. One draw in n + 1 is the player who is not in the group: how far
 * that one gets is not known, and counts as farther than all. */
static swt_status draw_ratios(swt_corridor *c, const workshop *w, const double *ratio,
                              swt_error *err)
{
    const swt_grouped *g = w->g;
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);

    if (!rng)
        return swt_fail(err, SWT_ENOMEM, "no memory for a generator");
    gsl_rng_set(rng, c->options.seed);
    for (size_t r = 0; r < c->options.n_resamples; r++) {
        size_t player = gsl_rng_uniform_int(rng, g->n_players + 1), n = 0, chosen;
        double part = gsl_rng_uniform(rng);
        c->resampled_ratio[r] = player == g->n_players ? HUGE_VAL : 0;
        for (size_t s = 0; s < g->n_swings; s++)
            n += g->player[s] == player;
        chosen = (size_t)(part * (double)n);
        for (size_t s = 0; s < g->n_swings; s++)
            if (g->player[s] == player && chosen-- == 0) {
                c->resampled_ratio[r] = isfinite(ratio[s]) ? ratio[s] : 0;
                break;
            }
    }
    gsl_rng_free(rng);
    return SWT_OK;
}

static void set_limits(swt_corridor *c, workshop *w)
{
    char text[160];
    size_t players;
    double most;

    c->method = SWT_CORRIDOR_ORDER;
    c->multiplier = limit_of(w, &players, c->options.coverage, SWT_NOBODY);
    most = (double)players / (double)(players + 1);
    for (size_t t = 0; t < c->n_samples; t++)
        if (w->band->usable[t]) {
            middle_and_spread(&c->centre[t], &c->sd_total[t], w, t, SWT_NOBODY);
            c->lower[t] = c->centre[t] - c->multiplier * c->sd_total[t];
            c->upper[t] = c->centre[t] + c->multiplier * c->sd_total[t];
        }
    if (c->options.coverage <= most + 1e-9)
        return;
    snprintf(text, sizeof text,
             "Ranks of %zu players carry %.1f %% at most; %g %% takes %.0f players.", players,
             100 * most, 100 * c->options.coverage,
             ceil(c->options.coverage / (1 - c->options.coverage) - 1e-9));
    swt_add_reason(c->reason, sizeof c->reason, text);
    c->state = SWT_CORRIDOR_LIMITED;
}

swt_status swt_order_band(swt_corridor *c, const swt_band *band, const swt_grouped *g,
                          swt_error *err)
{
    workshop w = {.band = band, .g = g};
    double *ratio = swt_doubles(g->n_swings, 1);
    swt_status rc = SWT_OK;

    w.list = calloc(g->n_swings, sizeof *w.list);
    w.own = swt_doubles(g->n_swings, 1);
    w.middle = swt_doubles(g->n_players, 1);
    w.far = swt_doubles(g->n_swings, 1);
    if (!w.list || !w.own || !w.middle || !w.far || !ratio) {
        rc = swt_fail(err, SWT_ENOMEM, "no memory for %zu swings", g->n_swings);
    } else {
        measure_left_out(&w);
        set_limits(c, &w);
        leave_one_out(c, &w, ratio);
        rc = draw_ratios(c, &w, ratio, err);
    }
    free(w.list);
    free(w.own);
    free(w.middle);
    free(w.far);
    free(ratio);
    return rc;
}
