#include "comparison/association.h"

#include "comparison/array.h"
#include "comparison/departure.h"

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

/* A value and where it came from. */
typedef struct item {
    double value;
    size_t index;
} item;

static int by_value(const void *a, const void *b)
{
    const item *x = a, *y = b;

    if (x->value < y->value || x->value > y->value)
        return x->value < y->value ? -1 : 1;
    return (x->index > y->index) - (x->index < y->index);
}

/* Ranks less their mean; ties share the middle of theirs. */
static swt_status rank(double *out, const double *x, size_t n, swt_error *err)
{
    item *list = calloc(n + 1, sizeof *list);

    if (!list)
        return swt_fail(err, SWT_ENOMEM, "no memory to rank %zu values", n);
    for (size_t i = 0; i < n; i++)
        list[i] = (item){x[i], i};
    qsort(list, n, sizeof *list, by_value);
    for (size_t i = 0, next; i < n; i = next) {
        next = i + 1;
        while (next < n && !(list[next].value > list[i].value))
            next++;
        for (size_t k = i; k < next; k++)
            out[list[k].index] = ((double)i + (double)next - (double)n) / 2;
    }
    free(list);
    return SWT_OK;
}

static double product(const double *x, const double *y, size_t n)
{
    double sum = 0;

    for (size_t i = 0; i < n; i++)
        sum += x[i] * y[i];
    return sum;
}

/* Correlation of centred ranks. */
static double correlate(const double *x, const double *y, size_t n)
{
    double size = sqrt(product(x, x, n) * product(y, y, n));

    return size > 0 ? product(x, y, n) / size : nan("");
}

swt_status swt_spearman(double *rho, const double *x, const double *y, size_t n, swt_error *err)
{
    double *a = swt_doubles(n, 1), *b = swt_doubles(n, 1);
    swt_status rc = a && b ? SWT_OK : swt_fail(err, SWT_ENOMEM, "no memory to rank %zu values", n);

    if (rc == SWT_OK)
        rc = rank(a, x, n, err);
    if (rc == SWT_OK)
        rc = rank(b, y, n, err);
    if (rc == SWT_OK)
        *rho = n >= 2 ? correlate(a, b, n) : nan("");
    free(a);
    free(b);
    return rc;
}

/* Points in blocks: those of one player follow each other. Between players there is one block. */
typedef struct points {
    size_t n, n_blocks;
    double *x, *y;   /* n                                   */
    size_t *first;   /* n_blocks + 1: where each block begins */
    double *rx, *ry; /* n: centred ranks                   */
    size_t n_slopes;
    double *slope; /* pairs within blocks                  */
} points;

static void points_reset(points *p)
{
    free(p->x);
    free(p->y);
    free(p->first);
    free(p->rx);
    free(p->ry);
    free(p->slope);
}

static swt_status points_new(points *p, size_t n, size_t n_blocks, swt_error *err)
{
    *p = (points){0};
    p->x = swt_doubles(n, 1);
    p->y = swt_doubles(n, 1);
    p->rx = swt_doubles(n, 1);
    p->ry = swt_doubles(n, 1);
    p->first = calloc(n_blocks + 1, sizeof *p->first);
    return p->x && p->y && p->rx && p->ry && p->first
               ? SWT_OK
               : swt_fail(err, SWT_ENOMEM, "no memory for %zu swings", n);
}

static swt_status slope_of(double *out, points *p, swt_error *err)
{
    size_t pairs = 0;

    for (size_t b = 0; b < p->n_blocks; b++) {
        size_t n = p->first[b + 1] - p->first[b];
        pairs += n * (n - 1) / 2;
    }
    p->slope = swt_doubles(pairs, 1);
    if (!p->slope)
        return swt_fail(err, SWT_ENOMEM, "no memory for %zu slopes", pairs);
    for (size_t b = 0; b < p->n_blocks; b++)
        for (size_t i = p->first[b]; i < p->first[b + 1]; i++)
            for (size_t j = i + 1; j < p->first[b + 1]; j++) {
                double s = (p->y[j] - p->y[i]) / (p->x[j] - p->x[i]);
                if (isfinite(s)) /* two swings of one value say nothing of a slope */
                    p->slope[p->n_slopes++] = s;
            }
    *out = swt_median(p->slope, p->n_slopes);
    return SWT_OK;
}

/* Outcomes are dealt out anew within each block. */
static swt_status permutation_p(double *p_value, const points *p, size_t n_permutations,
                                unsigned long seed, swt_error *err)
{
    double *y = swt_doubles(p->n, 1), own = fabs(product(p->rx, p->ry, p->n));
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    size_t as_large = 0;

    if (!y || !rng) {
        free(y);
        if (rng)
            gsl_rng_free(rng);
        return swt_fail(err, SWT_ENOMEM, "no memory to permute %zu swings", p->n);
    }
    gsl_rng_set(rng, seed);
    for (size_t i = 0; i < p->n; i++)
        y[i] = p->ry[i];
    for (size_t r = 0; r < n_permutations; r++) {
        for (size_t b = 0; b < p->n_blocks; b++)
            gsl_ran_shuffle(rng, y + p->first[b], p->first[b + 1] - p->first[b], sizeof *y);
        as_large += fabs(product(p->rx, y, p->n)) >= own * (1 - 1e-12);
    }
    *p_value = (1 + (double)as_large) / (1 + (double)n_permutations);
    free(y);
    gsl_rng_free(rng);
    return SWT_OK;
}

static swt_status associate(swt_association *out, points *p, size_t n_permutations,
                            unsigned long seed, swt_error *err)
{
    swt_status rc = slope_of(&out->slope, p, err);

    if (rc == SWT_OK)
        rc = rank(p->rx, p->x, p->n, err);
    if (rc == SWT_OK)
        rc = rank(p->ry, p->y, p->n, err);
    if (rc != SWT_OK)
        return rc;
    out->rho = correlate(p->rx, p->ry, p->n);
    return isfinite(out->rho) ? permutation_p(&out->p, p, n_permutations, seed, err) : SWT_OK;
}

/* Complete pairs of a player, and their means. */
static size_t own_pairs(double *x, double *y, double mean[2], const double *measure,
                        const double *outcome, const size_t *index, size_t player, size_t n)
{
    size_t k = 0;

    mean[0] = mean[1] = 0;
    for (size_t i = 0; i < n; i++) {
        if (index[i] != player || !isfinite(measure[i]) || !isfinite(outcome[i]))
            continue;
        x[k] = measure[i];
        y[k++] = outcome[i];
        mean[0] += (measure[i] - mean[0]) / (double)k;
        mean[1] += (outcome[i] - mean[1]) / (double)k;
    }
    return k;
}

static swt_status check(size_t n_permutations, swt_error *err)
{
    return n_permutations >= 99
               ? SWT_OK
               : swt_fail(err, SWT_EARG, "%zu permutations: at least 99 are needed",
                          n_permutations);
}

swt_status swt_association_within(swt_association *out, const double *measure,
                                  const double *outcome, const int *player, size_t n,
                                  size_t n_permutations, unsigned long seed, swt_error *err)
{
    size_t *index = NULL, n_players = 0;
    points p = {0};
    swt_status rc = check(n_permutations, err);

    *out = (swt_association){.rho = nan(""), .p = nan(""), .slope = nan("")};
    if (rc == SWT_OK)
        rc = swt_player_index(&index, &n_players, player, n, err);
    if (rc == SWT_OK)
        rc = points_new(&p, n, n_players, err);
    for (size_t who = 0; rc == SWT_OK && who < n_players; who++) {
        double mean[2];
        size_t k = own_pairs(p.x + p.n, p.y + p.n, mean, measure, outcome, index, who, n);
        if (k < SWT_ASSOCIATION_LEAST_SWINGS)
            continue;
        for (size_t i = p.n; i < p.n + k; i++) {
            p.x[i] -= mean[0];
            p.y[i] -= mean[1];
        }
        p.first[p.n_blocks++] = p.n;
        p.n += k;
        p.first[p.n_blocks] = p.n;
    }
    out->n_players = p.n_blocks;
    out->n_swings = p.n;
    if (rc == SWT_OK && p.n >= SWT_ASSOCIATION_LEAST_PAIRS)
        rc = associate(out, &p, n_permutations, seed, err);
    points_reset(&p);
    free(index);
    return rc;
}

swt_status swt_association_between(swt_association *out, const double *measure,
                                   const double *outcome, const int *player, size_t n,
                                   size_t n_permutations, unsigned long seed, swt_error *err)
{
    size_t *index = NULL, n_players = 0;
    double *x = swt_doubles(n, 1), *y = swt_doubles(n, 1);
    points p = {0};
    swt_status rc = check(n_permutations, err);

    *out = (swt_association){.rho = nan(""), .p = nan(""), .slope = nan("")};
    if (rc == SWT_OK && (!x || !y))
        rc = swt_fail(err, SWT_ENOMEM, "no memory for %zu swings", n);
    if (rc == SWT_OK)
        rc = swt_player_index(&index, &n_players, player, n, err);
    if (rc == SWT_OK)
        rc = points_new(&p, n_players, 1, err);
    for (size_t who = 0; rc == SWT_OK && who < n_players; who++) {
        double mean[2];
        size_t k = own_pairs(x, y, mean, measure, outcome, index, who, n);
        if (k == 0)
            continue;
        p.x[p.n] = mean[0];
        p.y[p.n++] = mean[1];
        out->n_swings += k;
    }
    out->n_players = p.n;
    if (rc == SWT_OK && p.n >= SWT_ASSOCIATION_LEAST_PLAYERS) {
        p.n_blocks = 1;
        p.first[1] = p.n;
        rc = associate(out, &p, n_permutations, seed, err);
    }
    points_reset(&p);
    free(x);
    free(y);
    free(index);
    return rc;
}

/* Benjamini and Hochberg step down from the largest p-value, Holm up from the smallest. */
static swt_status adjust(double *adjusted, const double *p, size_t n, bool discovery,
                         swt_error *err)
{
    item *list = calloc(n + 1, sizeof *list);
    size_t m = 0;
    double running;

    if (!list)
        return swt_fail(err, SWT_ENOMEM, "no memory for %zu p-values", n);
    for (size_t i = 0; i < n; i++) {
        if (isfinite(p[i]))
            list[m++] = (item){p[i], i};
        adjusted[i] = nan("");
    }
    qsort(list, m, sizeof *list, by_value);
    running = discovery ? 1 : 0;
    for (size_t k = 0; k < m; k++) {
        size_t at = discovery ? m - 1 - k : k;
        double own = discovery ? list[at].value * (double)m / (double)(at + 1)
                               : fmin(1, list[at].value * (double)(m - at));
        running = discovery ? fmin(running, own) : fmax(running, own);
        adjusted[list[at].index] = running;
    }
    free(list);
    return SWT_OK;
}

swt_status swt_adjust_discovery(double *adjusted, const double *p, size_t n, swt_error *err)
{
    return adjust(adjusted, p, n, true, err);
}

swt_status swt_adjust_holm(double *adjusted, const double *p, size_t n, swt_error *err)
{
    return adjust(adjusted, p, n, false, err);
}
