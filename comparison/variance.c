#include "comparison/variance.h"

#include "comparison/array.h"
#include "comparison/grouped.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdlib.h>

static swt_variance nothing(void)
{
    double none = nan("");

    return (swt_variance){.mean = none,
                          .mean_of_groups = none,
                          .ms_between = none,
                          .ms_within = none,
                          .f = none,
                          .p = none,
                          .n0 = none,
                          .within = none,
                          .between = none,
                          .between_raw = none,
                          .total = none,
                          .df_total = none,
                          .n_effective = none,
                          .icc = none,
                          .sem = none};
}

/* Sizes and the mean squares of the classical table. */
static void mean_squares(swt_variance *v, const swt_grouped *g)
{
    double squares = 0, n = 0, between = 0;

    v->mean = 0;
    for (size_t p = 0; p < g->n_players; p++) {
        n += g->count[p];
        squares += g->count[p] * g->count[p];
        if (g->count[p] > 0)
            v->mean += (g->mean[0][p] - v->mean) * g->count[p] / n;
    }
    for (size_t p = 0; p < g->n_players; p++)
        between += g->count[p] * (g->mean[0][p] - v->mean) * (g->mean[0][p] - v->mean);
    v->n_values = (size_t)n;
    v->df_between = v->n_groups - 1;
    v->ms_between = between / (double)v->df_between;
    v->n0 = (n - squares / n) / (double)v->df_between;
}

static void components(swt_variance *v, const swt_group_sample *at)
{
    v->total = at->total.m[0];
    v->df_within = at->df_within;
    if (v->df_within > 0) {
        v->ms_within = v->within = at->within.m[0];
        v->between_raw = (v->ms_between - v->ms_within) / v->n0;
        v->between = v->between_raw > 0 ? v->between_raw : 0;
        v->sem = sqrt(v->within);
        if (v->ms_within > 0) {
            v->f = v->ms_between / v->ms_within;
            v->p = gsl_cdf_fdist_Q(v->f, (double)v->df_between, (double)v->df_within);
        }
        if (v->between_raw + v->within > 0)
            v->icc = v->between_raw / (v->between_raw + v->within);
    }
    swt_group_effective(&v->n_effective, &v->df_total, at, at->n_players);
}

swt_status swt_variance_split(swt_variance *out, const double *values, const int *group, size_t n,
                              swt_error *err)
{
    swt_grouped g;
    swt_group_sample at = {0};
    swt_status rc = swt_grouped_init(&g, values, NULL, group, n, 1, err);

    *out = nothing();
    if (rc != SWT_OK)
        return rc;
    if (g.n_players > 0)
        swt_grouped_at(&at, &g, 0, SWT_NOBODY);
    if (g.n_players == 0 || at.n_players < 2) {
        rc = swt_fail(err, SWT_EDATA, "spread between players needs two players with a value");
    } else {
        out->n_groups = at.n_players;
        out->mean_of_groups = at.centre[0];
        mean_squares(out, &g);
        components(out, &at);
    }
    swt_grouped_reset(&g);
    return rc;
}

/* Moves the complete rows to the front of a copy; returns how many there are. */
static size_t complete_rows(double *table, const double *values, size_t n, size_t k)
{
    size_t kept = 0;

    for (size_t i = 0; i < n; i++) {
        size_t good = 0;
        for (size_t j = 0; j < k; j++)
            good += isfinite(values[i * k + j]) != 0;
        if (good < k)
            continue;
        for (size_t j = 0; j < k; j++)
            table[kept * k + j] = values[i * k + j];
        kept++;
    }
    return kept;
}

/* Sums of squares of a complete table, with deviations from the grand mean. */
static void two_way(swt_reliability *r, const double *table, size_t n, size_t k)
{
    double mean = 0, total = 0, rows = 0, columns = 0, rows_n = (double)n, columns_n = (double)k;

    for (size_t i = 0; i < n * k; i++)
        mean += (table[i] - mean) / ((double)i + 1);
    for (size_t i = 0; i < n; i++) {
        double sum = 0;
        for (size_t j = 0; j < k; j++) {
            double d = table[i * k + j] - mean;
            sum += d;
            total += d * d;
        }
        rows += sum * sum / columns_n;
    }
    for (size_t j = 0; j < k; j++) {
        double sum = 0;
        for (size_t i = 0; i < n; i++)
            sum += table[i * k + j] - mean;
        columns += sum * sum / rows_n;
    }
    r->ms_subjects = rows / (rows_n - 1);
    r->ms_trials = columns / (columns_n - 1);
    r->ms_within = fmax(total - rows, 0) / (rows_n * (columns_n - 1));
    r->ms_error = fmax(total - rows - columns, 0) / ((rows_n - 1) * (columns_n - 1));
}

swt_status swt_reliability_of(swt_reliability *r, const double *values, size_t n_subjects,
                              size_t n_trials, swt_error *err)
{
    double *table = swt_doubles(n_subjects, n_trials), b, w, j, e, n, k;

    *r = (swt_reliability){0};
    if (!table)
        return swt_fail(err, SWT_ENOMEM, "no memory for %zu subjects x %zu trials", n_subjects,
                        n_trials);
    r->n_subjects = complete_rows(table, values, n_subjects, n_trials);
    r->n_trials = n_trials;
    if (r->n_subjects < 2 || n_trials < 2) {
        free(table);
        return swt_fail(err, SWT_EDATA,
                        "reliability needs two trials of two players, not %zu trials of %zu "
                        "complete players",
                        n_trials, r->n_subjects);
    }
    two_way(r, table, r->n_subjects, n_trials);
    free(table);
    b = r->ms_subjects;
    w = r->ms_within;
    j = r->ms_trials;
    e = r->ms_error;
    n = (double)r->n_subjects;
    k = (double)n_trials;
    r->icc_1_1 = (b - w) / (b + (k - 1) * w);
    r->icc_2_1 = (b - e) / (b + (k - 1) * e + k * (j - e) / n);
    r->icc_3_1 = (b - e) / (b + (k - 1) * e);
    r->icc_1_k = (b - w) / b;
    r->icc_2_k = (b - e) / (b + (j - e) / n);
    r->icc_3_k = (b - e) / b;
    r->f_trials = j / e;
    r->p_trials = e > 0 ? gsl_cdf_fdist_Q(j / e, k - 1, (k - 1) * (n - 1)) : nan("");
    r->sem = sqrt(e);
    r->detectable_change = swt_detectable_change(r->sem, 1, 1, 0.95);
    return SWT_OK;
}

double swt_detectable_change(double sem, size_t n1, size_t n2, double confidence)
{
    if (n1 == 0 || n2 == 0 || !(confidence > 0 && confidence < 1))
        return nan("");
    return gsl_cdf_ugaussian_Pinv(0.5 + confidence / 2) * sem *
           sqrt(1 / (double)n1 + 1 / (double)n2);
}
