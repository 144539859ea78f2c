#include "comparison/band.h"

#include "base/wide.h"
#include "comparison/array.h"

#include <gsl/gsl_eigen.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Factors are kept until they hold this share of a part's variance; the rest is not resampled. */
#define SHARE_KEPT 0.999
#define MOST_FACTORS 32

static void part_reset(swt_band_part *part)
{
    free(part->row);
    free(part->factor);
    free(part->score);
    free(part->rest);
    *part = (swt_band_part){0};
}

void swt_band_reset(swt_band *band)
{
    free(band->usable);
    free(band->at);
    free(band->whiten);
    part_reset(&band->between);
    part_reset(&band->within);
    *band = (swt_band){0};
}

/* Inverse of the Cholesky factor of the total covariance, with floors instead of zero pivots. */
static void whiten_sample(double w[3], const swt_moments *c, const double floor_sd[2])
{
    double l11 = sqrt(c->m[0]), l21, l22;

    if (!(l11 > floor_sd[0]))
        l11 = floor_sd[0];
    l21 = c->m[1] / l11;
    l22 = c->m[2] - l21 * l21;
    l22 = l22 > 0 ? sqrt(l22) : 0;
    if (!(l22 > floor_sd[1]))
        l22 = floor_sd[1];
    w[0] = 1 / l11;
    w[1] = -l21 / (l11 * l22);
    w[2] = 1 / l22;
}

static void floors(double floor_sd[2], const swt_band *band)
{
    double largest[2] = {0, 0};

    for (size_t t = 0; t < band->n_samples; t++)
        if (band->usable[t])
            for (size_t v = 0; v < band->n_variables; v++)
                largest[v] = fmax(largest[v], sqrt(band->at[t].total.m[2 * v]));
    for (size_t v = 0; v < 2; v++) {
        floor_sd[v] = SWT_BAND_FLOOR * largest[v];
        if (!(floor_sd[v] > 0)) /* a constant measure: any deviation is outside */
            floor_sd[v] = 1e-300;
    }
}

double swt_band_distance(const swt_band *band, const swt_group_sample *at, const double value[2])
{
    double w[3], d = value[0] - at->centre[0], e;

    whiten_sample(w, &at->total, band->floor_sd);
    if (band->n_variables == 1)
        return d * w[0];
    e = value[1] - at->centre[1];
    return hypot(d * w[0], d * w[1] + e * w[2]);
}

/* No spread beyond the rounding of the values themselves. */
static bool is_constant(const swt_group_sample *at, const swt_band *band)
{
    for (size_t v = 0; v < band->n_variables; v++) {
        double least = fmax(band->floor_sd[v], 1e-12 * fabs(at->centre[v]));
        if (at->total.m[2 * v] > least * least)
            return false;
    }
    return true;
}

static swt_status sample_statistics(swt_band *band, const swt_grouped *g, size_t least_players,
                                    swt_error *err)
{
    size_t n = band->n_samples;

    band->usable = calloc(n, sizeof *band->usable);
    band->at = calloc(n, sizeof *band->at);
    band->whiten = swt_doubles(n, 3);
    if (!band->usable || !band->at || !band->whiten)
        return swt_fail(err, SWT_ENOMEM, "no memory for the statistics of %zu samples", n);
    band->between.df = band->within.df = 0;
    band->n_players = 0;
    for (size_t t = 0; t < n; t++) {
        swt_group_sample *at = &band->at[t];
        swt_grouped_at(at, g, t, SWT_NOBODY);
        band->usable[t] = at->n_players >= least_players && at->n_players >= 2;
        if (!band->usable[t])
            continue;
        band->n_usable++;
        if (band->n_players == 0 || at->n_players < band->n_players)
            band->n_players = at->n_players;
        if (at->df_within > 0 && (band->within.df == 0 || at->df_within < band->within.df))
            band->within.df = at->df_within;
    }
    band->between.df = band->n_players > 0 ? band->n_players - 1 : 0;
    floors(band->floor_sd, band);
    for (size_t t = 0; t < n; t++)
        if (band->usable[t]) {
            whiten_sample(&band->whiten[3 * t], &band->at[t].total, band->floor_sd);
            band->n_constant += is_constant(&band->at[t], band);
        }
    return SWT_OK;
}

/* Puts a deviation (d, e), scaled by `share`, into row `row` at sample t, whitened. */
static void put(swt_band_part *part, const swt_band *band, size_t row, size_t t, double share,
                const double deviation[2])
{
    const double *w = &band->whiten[3 * t];
    double *at = &part->row[row * band->n_columns + t];

    at[0] = share * deviation[0] * w[0];
    if (band->n_variables == 2)
        at[band->n_samples] = share * (deviation[0] * w[1] + deviation[1] * w[2]);
}

static void fill_rows(swt_band *band, const swt_grouped *g)
{
    size_t n = band->n_samples;

    for (size_t t = 0; t < n; t++) {
        const swt_group_sample *at = &band->at[t];
        double share = 1 / sqrt((double)at->n_players - 1), deviation[2] = {0, 0};
        if (!band->usable[t])
            continue;
        for (size_t p = 0; p < g->n_players; p++)
            if (g->count[p * n + t] > 0) {
                for (size_t v = 0; v < g->n_variables; v++)
                    deviation[v] = g->mean[v][p * n + t] - at->centre[v];
                put(&band->between, band, p, t, share, deviation);
            }
        if (band->within.n_rows == 0 || at->df_within == 0)
            continue;
        share = sqrt((1 - 1 / at->n_harmonic) / (double)at->df_within);
        for (size_t s = 0; s < g->n_swings; s++)
            if (swt_grouped_has(g, s, t)) {
                for (size_t v = 0; v < g->n_variables; v++)
                    deviation[v] = g->value[v][s * n + t] - g->mean[v][g->player[s] * n + t];
                put(&band->within, band, s, t, share, deviation);
            }
    }
}

static double squared_distance(const swt_band *band, size_t player, size_t sample)
{
    double sum = 0;

    for (size_t q = sample; q < band->n_columns; q += band->n_samples) {
        double x = band->between.row[player * band->n_columns + q];
        sum += x * x;
    }
    return sum;
}

/* FNV-1a over the player who is farthest from the centre at each usable sample. */
static uint64_t stream_of(const swt_band *band)
{
    uint64_t hash = 14695981039346656037u;

    for (size_t t = 0; t < band->n_samples; t++) {
        size_t farthest = 0;
        if (!band->usable[t])
            continue;
        for (size_t p = 1; p < band->between.n_rows; p++)
            if (squared_distance(band, p, t) > squared_distance(band, farthest, t))
                farthest = p;
        hash = (hash ^ farthest) * 1099511628211u;
    }
    return hash;
}

/* Eight sums side by side, which a vector unit takes at once. */
SWT_WIDE static double dot(const double *restrict a, const double *restrict b, size_t n)
{
    double sum[8] = {0}, rest = 0;
    size_t q = 0;

    for (; q + 8 <= n; q += 8)
        for (size_t k = 0; k < 8; k++)
            sum[k] += a[q + k] * b[q + k];
    for (; q < n; q++)
        rest += a[q] * b[q];
    return ((sum[0] + sum[4]) + (sum[2] + sum[6])) + ((sum[1] + sum[5]) + (sum[3] + sum[7])) + rest;
}

SWT_WIDE static void add_outer(double *restrict gram, const double *restrict row, size_t n)
{
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j <= i; j++)
            gram[i * n + j] += row[i] * row[j];
}

/* Gram matrix over rows (by_rows) or over columns, whichever is smaller. */
static void gram(gsl_matrix *m, const swt_band_part *part, size_t n_columns, bool by_rows)
{
    size_t n = m->size1;

    gsl_matrix_set_zero(m);
    if (by_rows)
        for (size_t i = 0; i < n; i++)
            for (size_t j = 0; j <= i; j++)
                gsl_matrix_set(
                    m, i, j, dot(&part->row[i * n_columns], &part->row[j * n_columns], n_columns));
    else
        for (size_t r = 0; r < part->n_rows; r++)
            add_outer(m->data, &part->row[r * n_columns], n);
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < i; j++)
            gsl_matrix_set(m, j, i, gsl_matrix_get(m, i, j));
}

/* Factor k = sqrt(eigenvalue) * eigenvector over columns; from a row eigenvector u it is rows' u.
 */
static void set_factor(double *factor, const swt_band_part *part, size_t n_columns, bool by_rows,
                       const gsl_matrix *vectors, size_t k, double eigenvalue)
{
    for (size_t i = 0; i < vectors->size1; i++) {
        double u = gsl_matrix_get(vectors, i, k);
        if (!by_rows)
            factor[i] = sqrt(eigenvalue) * u;
        else
            for (size_t q = 0; q < n_columns; q++)
                factor[q] += u * part->row[i * n_columns + q];
    }
}

/* Coordinates of the rows in the factors: factors are orthogonal, so row . factor / |factor|^2. */
static swt_status set_score(swt_band_part *part, size_t n_columns, swt_error *err)
{
    size_t k_end = part->n_factors;

    part->score = swt_doubles(part->n_rows, k_end);
    if (!part->score)
        return swt_fail(err, SWT_ENOMEM, "no memory for the factors of %zu rows", part->n_rows);
    for (size_t k = 0; k < k_end; k++) {
        const double *factor = &part->factor[k * n_columns];
        double square = dot(factor, factor, n_columns);
        for (size_t r = 0; r < part->n_rows; r++)
            part->score[r * k_end + k] = dot(&part->row[r * n_columns], factor, n_columns) / square;
    }
    return SWT_OK;
}

static void set_rest(swt_band_part *part, const swt_band *band)
{
    size_t n = band->n_samples, columns = band->n_columns;

    for (size_t m = 0; m < band->n_moments; m++) {
        size_t a = m == 2 ? n : 0, b = m >= 1 ? n : 0;
        double *restrict rest = &part->rest[m * n];
        for (size_t r = 0; r < part->n_rows; r++) {
            const double *row = &part->row[r * columns];
            for (size_t t = 0; t < n; t++)
                rest[t] += row[a + t] * row[b + t];
        }
        for (size_t k = 0; k < part->n_factors; k++) {
            const double *factor = &part->factor[k * columns];
            for (size_t t = 0; t < n; t++)
                rest[t] -= factor[a + t] * factor[b + t];
        }
    }
}

static swt_status find_factors(swt_band_part *part, const swt_band *band, swt_error *err)
{
    size_t columns = band->n_columns, size, most;
    bool by_rows = part->n_rows < columns;
    gsl_matrix *m = NULL, *vectors = NULL;
    gsl_vector *values = NULL;
    gsl_eigen_symmv_workspace *work = NULL;
    swt_status rc = SWT_OK;
    double trace = 0, kept = 0;

    part->rest = swt_doubles(band->n_moments, band->n_samples);
    if (!part->rest)
        return swt_fail(err, SWT_ENOMEM, "no memory for the spread of %zu samples",
                        band->n_samples);
    if (part->n_rows == 0 || part->df == 0)
        return SWT_OK;
    size = by_rows ? part->n_rows : columns;
    most = part->df < size ? part->df : size;
    if (most > MOST_FACTORS)
        most = MOST_FACTORS;
    m = gsl_matrix_alloc(size, size);
    vectors = gsl_matrix_alloc(size, size);
    values = gsl_vector_alloc(size);
    work = gsl_eigen_symmv_alloc(size);
    part->factor = swt_doubles(most, columns);
    if (!m || !vectors || !values || !work || !part->factor) {
        rc = swt_fail(err, SWT_ENOMEM, "no memory for the factors of %zu rows", part->n_rows);
        goto done;
    }
    gram(m, part, columns, by_rows);
    gsl_eigen_symmv(m, values, vectors, work);
    gsl_eigen_symmv_sort(values, vectors, GSL_EIGEN_SORT_VAL_DESC);
    for (size_t k = 0; k < size; k++)
        trace += fmax(gsl_vector_get(values, k), 0);
    while (part->n_factors < most && kept < SHARE_KEPT * trace) {
        double eigenvalue = gsl_vector_get(values, part->n_factors);
        if (!(eigenvalue > 1e-12 * trace))
            break;
        set_factor(&part->factor[part->n_factors * columns], part, columns, by_rows, vectors,
                   part->n_factors, eigenvalue);
        kept += eigenvalue;
        part->n_factors++;
    }
    set_rest(part, band);
    if (kept >= SHARE_KEPT * trace && part->n_factors > 0)
        rc = set_score(part, columns, err);
done:
    gsl_matrix_free(m);
    gsl_matrix_free(vectors);
    gsl_vector_free(values);
    if (work)
        gsl_eigen_symmv_free(work);
    return rc;
}

swt_status swt_band_init(swt_band *band, const swt_grouped *g, size_t least_players, swt_error *err)
{
    swt_status rc;

    *band = (swt_band){.n_samples = g->n_samples, .n_variables = g->n_variables};
    band->n_columns = g->n_variables * g->n_samples;
    band->n_moments = g->n_variables == 2 ? 3 : 1;
    rc = sample_statistics(band, g, least_players, err);
    if (rc != SWT_OK || band->n_usable == 0)
        goto done;
    band->between.n_rows = g->n_players;
    band->within.n_rows = band->within.df > 0 ? g->n_swings : 0;
    band->between.row = swt_doubles(g->n_players, band->n_columns);
    band->within.row = swt_doubles(band->within.n_rows, band->n_columns);
    if (!band->between.row || !band->within.row) {
        rc = swt_fail(err, SWT_ENOMEM, "no memory for %zu swings x %zu samples", g->n_swings,
                      g->n_samples);
        goto done;
    }
    fill_rows(band, g);
    band->stream = stream_of(band);
    rc = find_factors(&band->between, band, err);
    if (rc == SWT_OK)
        rc = find_factors(&band->within, band, err);
done:
    if (rc != SWT_OK)
        swt_band_reset(band);
    return rc;
}
