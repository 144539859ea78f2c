#include "comparison/band.h"

#include "comparison/array.h"

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#define AT_ONCE 4 /* resamples in one pass over the rows: each row is read once for all of them */

typedef struct scratch {
    gsl_rng *rng;
    double *weight;           /* AT_ONCE * (players + swings) */
    double *between;          /* AT_ONCE * n_columns: the new player's deviation, in units of 1 */
    double *within;           /* AT_ONCE * n_columns */
    double *factor_weight;    /* AT_ONCE * n_factors */
    double *weight_of_factor; /* n_factors */
    double *turned;           /* n_columns */
    double *moment;           /* n_moments * n_samples: the resampled spread */
    double *shared, *other;   /* as moment: its pieces */
} scratch;

static void scratch_reset(scratch *s)
{
    if (s->rng)
        gsl_rng_free(s->rng);
    free(s->weight);
    free(s->between);
    free(s->within);
    free(s->turned);
    free(s->moment);
    free(s->factor_weight);
    free(s->weight_of_factor);
    free(s->shared);
    free(s->other);
}

static swt_status scratch_init(scratch *s, const swt_band *band, swt_error *err)
{
    size_t rows = band->between.n_rows + band->within.n_rows, factors = band->between.n_factors;

    *s = (scratch){0};
    if (band->within.n_factors > factors)
        factors = band->within.n_factors;
    s->rng = gsl_rng_alloc(gsl_rng_taus2);
    s->weight = swt_doubles(AT_ONCE, rows);
    s->between = swt_doubles(AT_ONCE, band->n_columns);
    s->within = swt_doubles(AT_ONCE, band->n_columns);
    s->turned = swt_doubles(1, band->n_columns);
    s->moment = swt_doubles(band->n_moments, band->n_samples);
    s->shared = swt_doubles(band->n_moments, band->n_samples);
    s->other = swt_doubles(band->n_moments, band->n_samples);
    s->factor_weight = swt_doubles(AT_ONCE, factors);
    s->weight_of_factor = swt_doubles(factors, 1);
    if (s->rng && s->weight && s->between && s->within && s->turned && s->moment && s->shared &&
        s->other && s->factor_weight && s->weight_of_factor)
        return SWT_OK;
    scratch_reset(s);
    return swt_fail(err, SWT_ENOMEM, "no memory to resample %zu rows", rows);
}

/* One 32-bit seed from (seed, stream, resample): SplitMix64's finaliser (Steele, Lea & Flood 2014).
 */
static unsigned long mix(unsigned long seed, uint64_t stream, size_t resample)
{
    uint64_t z = ((uint64_t)seed * 0x9E3779B97F4A7C15u ^ stream) + (uint64_t)resample + 1;

    z *= 0x9E3779B97F4A7C15u;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return (unsigned long)((z ^ (z >> 31)) & 0xFFFFFFFFu);
}

/* out[i] = sum over rows of weight[i][row] * row, for AT_ONCE resamples. */
static void combine(double *restrict out, const double *weight, size_t weight_stride,
                    const double *rows, size_t n_rows, size_t n)
{
    double *restrict o0 = out, *restrict o1 = out + n, *restrict o2 = out + 2 * n,
                     *restrict o3 = out + 3 * n;

    memset(out, 0, AT_ONCE * n * sizeof *out);
    for (size_t r = 0; r < n_rows; r++) {
        const double *restrict row = &rows[r * n];
        double w0 = weight[r], w1 = weight[weight_stride + r], w2 = weight[2 * weight_stride + r],
               w3 = weight[3 * weight_stride + r];
        for (size_t q = 0; q < n; q++) {
            double x = row[q];
            o0[q] += w0 * x;
            o1[q] += w1 * x;
            o2[q] += w2 * x;
            o3[q] += w3 * x;
        }
    }
}

/* The part's deviation for the weights of its rows; by way of the factors where they hold all but
 * a thousandth of the variance, which takes rows * factors instead of rows * columns. */
static void deviate(double *out, scratch *s, const double *weight, size_t weight_stride,
                    const swt_band_part *part, size_t n_columns)
{
    size_t k = part->n_factors;

    if (!part->score) {
        combine(out, weight, weight_stride, part->row, part->n_rows, n_columns);
        return;
    }
    combine(s->factor_weight, weight, weight_stride, part->score, part->n_rows, k);
    combine(out, s->factor_weight, k, part->factor, k, n_columns);
}

/* turned = weighted sum of the factors from `first` on, four in one pass over the columns; in each
 * column they are added in the same order as one by one. */
static void turn(double *restrict turned, const double *restrict factor, size_t columns,
                 const double *restrict weight, size_t first, size_t n_factors, double scale)
{
    size_t i = first;

    memset(turned, 0, columns * sizeof *turned);
    for (; i + 4 <= n_factors; i += 4) {
        const double *restrict f0 = &factor[i * columns], *restrict f1 = f0 + columns,
                               *restrict f2 = f1 + columns, *restrict f3 = f2 + columns;
        double w0 = scale * weight[i], w1 = scale * weight[i + 1], w2 = scale * weight[i + 2],
               w3 = scale * weight[i + 3];
        for (size_t q = 0; q < columns; q++)
            turned[q] = (((turned[q] + w0 * f0[q]) + w1 * f1[q]) + w2 * f2[q]) + w3 * f3[q];
    }
    for (; i < n_factors; i++) {
        const double *restrict f = &factor[i * columns];
        double w = scale * weight[i];
        for (size_t q = 0; q < columns; q++)
            turned[q] += w * f[q];
    }
}

/* moment += (weighted sum of the factors)' (the same), sample by sample; weights times scale. */
static void add_square(scratch *s, const swt_band *band, const swt_band_part *part,
                       const double *weight, size_t first, double scale)
{
    size_t n = band->n_samples, columns = band->n_columns;
    double *restrict turned = s->turned;

    turn(turned, part->factor, columns, weight, first, part->n_factors, scale);
    for (size_t m = 0; m < band->n_moments; m++) {
        const double *a = turned + (m == 2 ? n : 0), *b = turned + (m >= 1 ? n : 0);
        double *restrict moment = &s->moment[m * n];
        for (size_t t = 0; t < n; t++)
            moment[t] += a[t] * b[t];
    }
}

/* Bartlett 1933: with L lower triangular, L_ii^2 ~ chi2(df - i) and N(0,1) below, L L' is Wishart
 * with df degrees of freedom. Adds diag(factor' L L' factor) / divisor, column of L by column. */
static void add_wishart(scratch *s, const swt_band *band, const swt_band_part *part, size_t df,
                        size_t divisor)
{
    size_t n = part->n_factors;

    for (size_t j = 0; j < n && j < df; j++) {
        s->weight_of_factor[j] = sqrt(gsl_ran_chisq(s->rng, (double)(df - j)));
        for (size_t i = j + 1; i < n; i++)
            s->weight_of_factor[i] = gsl_ran_gaussian_ziggurat(s->rng, 1.0);
        add_square(s, band, part, s->weight_of_factor, j, 1 / sqrt((double)divisor));
    }
}

/* Largest distance of the deviation wide * between + within in the resampled spread. */
static double largest_distance(const scratch *s, const swt_band *band, const double *between,
                               const double *within, double wide)
{
    size_t n = band->n_samples;
    double largest = 0;

    if (band->n_variables == 1) {
        for (size_t t = 0; t < n; t++) {
            double d = wide * between[t] + within[t];
            double square = s->moment[t] > 0 ? d * d / s->moment[t] : 0;
            if (square > largest)
                largest = square;
        }
        if (n == 1 && wide * between[0] + within[0] < 0)
            return -sqrt(largest);
        return sqrt(largest);
    }
    for (size_t t = 0; t < n; t++) {
        double d = wide * between[t] + within[t], e = wide * between[n + t] + within[n + t];
        double a = s->moment[t], b = s->moment[n + t], c = s->moment[2 * n + t];
        double determinant = a * c - b * b;
        double square = determinant > 1e-12 * a * c && a > 0
                            ? (c * d * d - 2 * b * d * e + a * e * e) / determinant
                            : 0;
        if (square > largest)
            largest = square;
    }
    return sqrt(largest);
}

static void add_rest(scratch *s, const swt_band *band, const swt_band_part *part)
{
    for (size_t i = 0; i < band->n_moments * band->n_samples; i++)
        s->moment[i] += part->rest[i];
}

/* One resampled experiment, and the same one short of a player: a Wishart matrix with one degree
 * of freedom more is that matrix plus one squared normal vector. */
static void one_experiment(double *largest, double *largest_loo, scratch *s, const swt_band *band,
                           size_t slot)
{
    const double *between = &s->between[slot * band->n_columns];
    const double *within = &s->within[slot * band->n_columns];
    size_t players = band->n_players, df = players - 1, size = band->n_moments * band->n_samples;

    memset(s->moment, 0, size * sizeof *s->moment);
    add_wishart(s, band, &band->between, df - 1, df);
    memcpy(s->shared, s->moment, size * sizeof *s->moment); /* of df - 1, over df */
    memset(s->moment, 0, size * sizeof *s->moment);
    if (band->within.df > 0)
        add_wishart(s, band, &band->within, band->within.df, band->within.df);
    add_rest(s, band, &band->within);
    add_rest(s, band, &band->between);
    memcpy(s->other, s->moment, size * sizeof *s->moment); /* what both experiments share */

    for (size_t i = 0; i < size; i++)
        s->moment[i] = s->other[i] + s->shared[i];
    for (size_t k = 0; k < band->between.n_factors; k++)
        s->weight_of_factor[k] = gsl_ran_gaussian_ziggurat(s->rng, 1.0);
    add_square(s, band, &band->between, s->weight_of_factor, 0, 1 / sqrt((double)df));
    *largest = largest_distance(s, band, between, within, sqrt(1 + 1 / (double)players));
    if (!largest_loo)
        return;
    for (size_t i = 0; i < size; i++)
        s->moment[i] = s->other[i] + s->shared[i] * (double)df / (double)(df - 1);
    *largest_loo = largest_distance(s, band, between, within, sqrt(1 + 1 / (double)(players - 1)));
}

swt_status swt_band_resample(double *largest, double *largest_loo, const swt_band *band,
                             size_t n_resamples, unsigned long seed, swt_error *err)
{
    scratch s;
    size_t players = band->between.n_rows, rows = players + band->within.n_rows;
    swt_status rc = scratch_init(&s, band, err);

    if (rc != SWT_OK)
        return rc;
    for (size_t first = 0; first < n_resamples; first += AT_ONCE) {
        for (size_t i = 0; i < AT_ONCE; i++) {
            gsl_rng_set(s.rng, mix(seed, 0, first + i));
            for (size_t r = 0; r < rows; r++)
                s.weight[i * rows + r] = gsl_ran_gaussian_ziggurat(s.rng, 1.0);
        }
        deviate(s.between, &s, s.weight, rows, &band->between, band->n_columns);
        deviate(s.within, &s, s.weight + players, rows, &band->within, band->n_columns);
        for (size_t i = 0; i < AT_ONCE && first + i < n_resamples; i++) {
            gsl_rng_set(s.rng, mix(seed, band->stream, first + i));
            one_experiment(&largest[first + i], largest_loo ? &largest_loo[first + i] : NULL, &s,
                           band, i);
        }
    }
    scratch_reset(&s);
    return SWT_OK;
}
