#include "comparison/limits.h"

#include "comparison/array.h"
#include "comparison/tolerance.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

swt_status swt_check_options(const swt_corridor_options *o, swt_error *err)
{
    if (!(o->coverage > 0 && o->coverage < 1))
        return swt_fail(err, SWT_EARG, "coverage %g must lie between 0 and 1", o->coverage);
    if (!(o->confidence > 0 && o->confidence < 1))
        return swt_fail(err, SWT_EARG, "confidence %g must lie between 0 and 1", o->confidence);
    if (o->n_resamples < 200 || o->n_resamples > 1000000)
        return swt_fail(err, SWT_EARG, "%zu resamples: between 200 and 1000000 are needed",
                        o->n_resamples);
    return SWT_OK;
}

size_t swt_least_players(size_t n_players)
{
    size_t share = (size_t)ceil(SWT_CORRIDOR_LEAST_SHARE * (double)n_players);

    return share > SWT_CORRIDOR_LEAST_PLAYERS ? share : SWT_CORRIDOR_LEAST_PLAYERS;
}

void swt_add_reason(char *reason, size_t size, const char *sentence)
{
    size_t used = strlen(reason);

    snprintf(reason + used, size - used, "%s%s", used > 0 ? " " : "", sentence);
}

static swt_corridor_state judge(char *reason, size_t size, size_t n_swings, size_t n_players,
                                const swt_band *band)
{
    char text[200];

    reason[0] = '\0';
    if (n_swings == 0) {
        swt_add_reason(reason, size, "The measure is absent in every swing of the group.");
        return SWT_CORRIDOR_REFUSED;
    }
    if (n_players < SWT_CORRIDOR_LEAST_PLAYERS) {
        snprintf(text, sizeof text,
                 "%zu swings of %zu players: a corridor needs at least %d players, since swings of "
                 "one player say nothing of another.",
                 n_swings, n_players, SWT_CORRIDOR_LEAST_PLAYERS);
        swt_add_reason(reason, size, text);
        return SWT_CORRIDOR_REFUSED;
    }
    if (band->n_usable == 0) {
        swt_add_reason(reason, size, "No sample of the curve is there for enough of the players.");
        return SWT_CORRIDOR_REFUSED;
    }
    if (band->n_constant == band->n_usable) {
        swt_add_reason(reason, size,
                       "All swings of the group are identical: a spread of 0 is no corridor.");
        return SWT_CORRIDOR_REFUSED;
    }
    if (band->n_players >= SWT_CORRIDOR_SOUND_PLAYERS)
        return SWT_CORRIDOR_OK;
    snprintf(text, sizeof text,
             "Only %zu players: below %d the coverage is less certain than stated.",
             band->n_players, SWT_CORRIDOR_SOUND_PLAYERS);
    swt_add_reason(reason, size, text);
    return SWT_CORRIDOR_LIMITED;
}

swt_status swt_judge_group(swt_band *band, swt_corridor_state *state, char *reason, size_t size,
                           const swt_grouped *g, swt_error *err)
{
    size_t n_swings, n_players;
    swt_status rc;

    swt_grouped_size(&n_swings, &n_players, g);
    rc = swt_band_init(band, g, swt_least_players(n_players), err);
    if (rc == SWT_OK)
        *state = judge(reason, size, n_swings, n_players, band);
    return rc;
}

void swt_doubt_coverage(swt_corridor_state *state, char *reason, size_t size, double loo_coverage,
                        double coverage, size_t n_players)
{
    double error = sqrt(coverage * (1 - coverage) / (double)n_players);
    char text[160];

    if (!(loo_coverage < coverage - 2 * error))
        return;
    snprintf(
        text, sizeof text,
        "Of left-out players' swings it held %.0f %%, too few for %.0f %%: the group is far from "
        "normal or has odd swings.",
        100 * loo_coverage, 100 * coverage);
    swt_add_reason(reason, size, text);
    *state = SWT_CORRIDOR_LIMITED;
}

static swt_status multiplier_of(double *multiplier, const double *x, size_t n, double coverage,
                                swt_error *err)
{
    double *sorted = swt_doubles(n, 1);

    if (!sorted)
        return swt_fail(err, SWT_ENOMEM, "no memory for %zu resamples", n);
    for (size_t i = 0; i < n; i++)
        sorted[i] = fabs(x[i]);
    swt_sort(sorted, n);
    *multiplier = swt_rank_quantile(sorted, n, coverage);
    free(sorted);
    if (!isfinite(*multiplier) || !(*multiplier > 0))
        return swt_fail(err, SWT_ENUM, "the resampled deviations give no multiplier (%g)",
                        *multiplier);
    return SWT_OK;
}

swt_status swt_multipliers(double *multiplier, double *multiplier_loo, double *ratio,
                           const swt_band *band, const swt_corridor_options *options,
                           swt_error *err)
{
    size_t n = options->n_resamples;
    double *loo = swt_doubles(n, 1);
    swt_status rc;

    if (!loo)
        return swt_fail(err, SWT_ENOMEM, "no memory for %zu resamples", n);
    rc = swt_band_resample(ratio, loo, band, options, err);
    if (rc == SWT_OK)
        rc = multiplier_of(multiplier, ratio, n, options->coverage, err);
    if (rc == SWT_OK)
        rc = multiplier_of(multiplier_loo, loo, n, options->coverage, err);
    for (size_t r = 0; rc == SWT_OK && r < n; r++)
        ratio[r] /= *multiplier;
    free(loo);
    return rc;
}

typedef enum verdict { NOTHING_COMPARED, INSIDE, OUTSIDE } verdict;

/* A swing in the statistics of the other players, others[sample]. */
static verdict hold_swing(const swt_band *band, const swt_group_sample *others,
                          const swt_grouped *g, size_t swing, double low, double high)
{
    verdict found = NOTHING_COMPARED;

    for (size_t t = 0; t < g->n_samples; t++) {
        double value[2] = {0, 0}, d;
        if (!band->usable[t] || !swt_grouped_has(g, swing, t))
            continue;
        for (size_t v = 0; v < g->n_variables; v++)
            value[v] = g->value[v][swing * g->n_samples + t];
        d = swt_band_distance(band, &others[t], value);
        if (!(d >= low && d <= high))
            return OUTSIDE;
        found = INSIDE;
    }
    return found;
}

void swt_leave_one_out(double *coverage, size_t *inside, size_t *swings, const swt_band *band,
                       const swt_grouped *g, double low, double high)
{
    double sum = 0;
    size_t players = 0;
    swt_group_sample *others = calloc(g->n_samples + 1, sizeof *others);

    *inside = *swings = 0;
    *coverage = nan("");
    if (!others)
        return;
    for (size_t p = 0; p < g->n_players; p++) {
        size_t mine = 0, good = 0;
        for (size_t t = 0; t < g->n_samples; t++)
            if (band->usable[t] && g->count[p * g->n_samples + t] > 0)
                swt_grouped_without(&others[t], &band->at[t], g, t, p);
        for (size_t s = 0; s < g->n_swings; s++)
            if (g->player[s] == p) {
                verdict found = hold_swing(band, others, g, s, low, high);
                mine += found != NOTHING_COMPARED;
                good += found == INSIDE;
            }
        if (mine > 0) {
            sum += (double)good / (double)mine;
            players++;
        }
        *inside += good;
        *swings += mine;
    }
    free(others);
    if (players > 0)
        *coverage = sum / (double)players;
}

/* Upper limit of a variance over its estimate, from df degrees of freedom. */
static double upper_limit(double df, double confidence)
{
    return df / gsl_cdf_chisq_Pinv(1 - confidence, df);
}

/* Degrees of freedom of the total spread. The upper limit of S2 + V at `confidence` by Graybill &
 * Wang 1980 (JASA 75:869), total + sqrt(sum of (part * (upper_limit - 1))^2), is matched by one
 * chi-square. Satterthwaite's df would do in its place but keep 85 % of a promised 90 %. */
static double matching_df(const swt_group_sample *at, size_t n_players, double confidence)
{
    double s2 = at->of_means.m[0], v = at->total.m[0] - s2, low = (double)n_players - 1, high = 1e7;
    double a, b, ratio;

    if (!(v > 0) || at->df_within == 0)
        return low;
    a = s2 * (upper_limit(low, confidence) - 1);
    b = v * (upper_limit((double)at->df_within, confidence) - 1);
    ratio = 1 + hypot(a, b) / at->total.m[0];
    if ((double)at->df_within < low)
        low = (double)at->df_within;
    for (int i = 0; i < 200 && high - low > 1e-9 * low; i++) {
        double middle = (low + high) / 2;
        if (upper_limit(middle, confidence) > ratio)
            low = middle;
        else
            high = middle;
    }
    return (low + high) / 2;
}

static swt_status tolerance_factor(double *k, const swt_corridor *c, const swt_group_sample *at,
                                   size_t n_players, swt_error *err)
{
    double n_effective, df, confidence = c->options.confidence;

    swt_group_effective(&n_effective, &df, at, n_players);
    if (confidence > 0.5) /* below, the upper limit says nothing */
        df = matching_df(at, n_players, confidence);
    if (c->options.sides == SWT_TWO_SIDED)
        return swt_tolerance_two_sided(k, n_effective, df, c->options.coverage, confidence, err);
    return swt_tolerance_one_sided(k, n_effective, df, c->options.coverage, confidence, err);
}

static void apply_sides(double *low, double *high, swt_sides sides)
{
    if (sides == SWT_UPPER_ONLY)
        *low = -HUGE_VAL;
    if (sides == SWT_LOWER_ONLY)
        *high = HUGE_VAL;
}

static swt_status limits_tolerance(swt_corridor *c, const swt_band *band, const swt_grouped *g,
                                   swt_error *err)
{
    double k, k_loo, low, high;
    const swt_group_sample *at = &band->at[0];
    swt_status rc = tolerance_factor(&k, c, at, at->n_players, err);

    if (rc == SWT_OK)
        rc = tolerance_factor(&k_loo, c, at, at->n_players - 1, err);
    if (rc != SWT_OK)
        return rc;
    c->multiplier = k;
    c->confidence = c->options.confidence;
    c->lower[0] = c->centre[0] - k * c->sd_total[0];
    c->upper[0] = c->centre[0] + k * c->sd_total[0];
    apply_sides(&c->lower[0], &c->upper[0], c->options.sides);
    low = -k_loo;
    high = k_loo;
    apply_sides(&low, &high, c->options.sides);
    swt_leave_one_out(&c->loo_coverage, &c->loo_inside, &c->loo_swings, band, g, low, high);
    return SWT_OK;
}

/* Value below which the share p of the group lies, each player weighing the same whatever the
 * number of swings. With one swing per player it is the order statistic of rank ceil(p n). */
typedef struct weighted {
    double value, weight;
    size_t player;
} weighted;

static int compare_weighted(const void *a, const void *b)
{
    double x = ((const weighted *)a)->value, y = ((const weighted *)b)->value;
    return (x > y) - (x < y);
}

/* The group's swings in order of value, each with 1 / (its player's swings) as weight. */
static size_t collect(weighted *list, const swt_grouped *g)
{
    size_t n = 0;

    for (size_t s = 0; s < g->n_swings; s++)
        if (swt_grouped_has(g, s, 0))
            list[n++] = (weighted){g->value[0][s], 1 / g->count[g->player[s]], g->player[s]};
    qsort(list, n, sizeof *list, compare_weighted);
    return n;
}

/* Limits that cut the weight of `trim` players off each end; player `left_out` does not count. */
static void cut(double *low, double *high, const weighted *list, size_t n, size_t trim,
                size_t left_out)
{
    double edge = (double)trim + 1e-9, sum = 0;

    *low = *high = nan("");
    for (size_t i = 0; i < n && !(sum > edge); i++)
        if (list[i].player != left_out) {
            sum += list[i].weight;
            *low = list[i].value;
        }
    sum = 0;
    for (size_t i = n; i > 0 && !(sum > edge); i--)
        if (list[i - 1].player != left_out) {
            sum += list[i - 1].weight;
            *high = list[i - 1].value;
        }
}

static void leave_one_out_order(swt_corridor *c, const swt_grouped *g, const weighted *list,
                                size_t n, size_t trim)
{
    double sum = 0;

    c->loo_inside = c->loo_swings = 0;
    for (size_t p = 0; p < g->n_players; p++) {
        double low, high;
        size_t mine = 0, good = 0;
        cut(&low, &high, list, n, trim, p);
        apply_sides(&low, &high, c->options.sides);
        for (size_t i = 0; i < n; i++)
            if (list[i].player == p) {
                mine++;
                good += list[i].value >= low && list[i].value <= high;
            }
        c->loo_swings += mine;
        c->loo_inside += good;
        if (mine > 0)
            sum += (double)good / (double)mine;
    }
    c->loo_coverage = sum / (double)c->n_players;
}

static void order_trim(size_t *trim, double *achieved, const swt_corridor *c, size_t n_players)
{
    if (c->options.sides == SWT_TWO_SIDED)
        swt_order_limits(trim, achieved, n_players, c->options.coverage, c->options.confidence);
    else
        swt_order_limit(trim, achieved, n_players, c->options.coverage, c->options.confidence);
}

static swt_status limits_order(swt_corridor *c, const swt_grouped *g, swt_error *err)
{
    size_t trim, trim_loo, n, sides = c->options.sides == SWT_TWO_SIDED ? 2 : 1;
    weighted *list = malloc(g->n_swings * sizeof *list);
    double middle_low, middle_high;
    char text[160];

    if (!list)
        return swt_fail(err, SWT_ENOMEM, "no memory to sort %zu values", g->n_swings);
    n = collect(list, g);
    order_trim(&trim_loo, &c->confidence, c, c->n_players - 1);
    order_trim(&trim, &c->confidence, c, c->n_players);
    cut(&c->lower[0], &c->upper[0], list, n, trim, SWT_NOBODY);
    /* the median stands in for the mean: it is always between the limits */
    cut(&middle_low, &middle_high, list, n, (c->n_players - 1) / 2, SWT_NOBODY);
    c->centre[0] = (middle_low + middle_high) / 2;
    leave_one_out_order(c, g, list, n, trim_loo);
    free(list);
    apply_sides(&c->lower[0], &c->upper[0], c->options.sides);
    c->method = SWT_CORRIDOR_ORDER;
    if (c->options.centre == SWT_CENTRE_MEAN) {
        snprintf(text, sizeof text,
                 "Not normal (Shapiro-Wilk p = %.2g): limits are order statistics of %zu players.",
                 c->normality_p, c->n_players);
        swt_add_reason(c->reason, sizeof c->reason, text);
    }
    if (c->confidence < c->options.confidence) {
        snprintf(text, sizeof text,
                 "They hold %g %% with confidence %.2f only; %g takes %zu players.",
                 100 * c->options.coverage, c->confidence, c->options.confidence,
                 swt_order_least_n((int)sides, c->options.coverage, c->options.confidence));
        swt_add_reason(c->reason, sizeof c->reason, text);
        c->state = SWT_CORRIDOR_LIMITED;
    }
    return SWT_OK;
}

/* The family factor needs clean deviations in half-widths of these limits. */
static swt_status resample_scalar(swt_corridor *c, const swt_band *band, swt_error *err)
{
    size_t n = c->options.n_resamples;
    swt_status rc = swt_band_resample(c->resampled_ratio, NULL, band, &c->options, err);

    if (rc != SWT_OK)
        return rc;
    for (size_t r = 0; r < n; r++)
        c->resampled_ratio[r] =
            fabs(swt_corridor_ratio(c, 0, c->centre[0] + c->resampled_ratio[r] * c->sd_total[0]));
    return SWT_OK;
}

swt_status swt_limits_scalar(swt_corridor *c, const swt_band *band, const swt_grouped *g,
                             swt_error *err)
{
    double w, *means = swt_doubles(g->n_players, 1);
    size_t n = 0;
    swt_status rc;

    if (!means)
        return swt_fail(err, SWT_ENOMEM, "no memory for %zu players", g->n_players);
    for (size_t p = 0; p < g->n_players; p++)
        if (g->count[p] > 0)
            means[n++] = g->mean[0][p];
    rc = swt_shapiro_wilk(&w, &c->normality_p, means, n, err);
    free(means);
    if (rc != SWT_OK)
        return rc;
    if (c->normality_p < SWT_CORRIDOR_NORMALITY_P || c->options.centre == SWT_CENTRE_MEDIAN)
        rc = limits_order(c, g, err);
    else
        rc = limits_tolerance(c, band, g, err);
    return rc == SWT_OK ? resample_scalar(c, band, err) : rc;
}
