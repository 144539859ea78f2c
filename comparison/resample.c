#include "comparison/band.h"

#include "base/wide.h"
#include "comparison/array.h"
#include "comparison/draws.h"

#include <gsl/gsl_randist.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

/* Every result here is a table of B resamples side by side, table[element * B + i]. */
enum { B = SWT_AT_ONCE, TILE = 4 };

/* Rows of columns, stored by tiles of TILE columns: value[(tile * n_rows + row) * TILE + k], so
 * that a tile is read from one end to the other. Columns that fill the last tile are 0. */
typedef struct tiled {
    size_t n_rows, n_columns;
    double *value;
} tiled;

/* What one part of the spread is resampled from. */
typedef struct part_tables {
    tiled row; /* its rows' scores in the factors, or the rows themselves */
    tiled factor;
    tiled pair;   /* of set_pairs */
    double *root; /* n_factors * n_factors: of draw_root */
} part_tables;

typedef struct scratch {
    gsl_rng *rng;
    part_tables of_between, of_within;
    double *weight;           /* players + swings, when the draws are not shared */
    double *between, *within; /* n_columns: the new player's deviation, in units of 1 */
    double *factor_weight;    /* n_factors */
    double *one_more;         /* n_factors: of the last degree of freedom */
    double *wishart;          /* pairs of factors */
    double *turned;           /* n_columns */
    double *moment;           /* n_moments * n_samples: the resampled spread */
    double *shared, *other;   /* as moment, its pieces: between players with one degree of freedom
                                 less, and all that does not depend on it */
} scratch;

static size_t whole_tiles(size_t n_columns)
{
    return (n_columns + TILE - 1) / TILE * TILE;
}

static void part_reset(part_tables *p)
{
    free(p->row.value);
    free(p->factor.value);
    free(p->pair.value);
    free(p->root);
}

static void scratch_reset(scratch *s)
{
    double *table[] = {s->weight,  s->between, s->within, s->factor_weight, s->one_more,
                       s->wishart, s->turned,  s->moment, s->shared,        s->other};

    if (s->rng)
        gsl_rng_free(s->rng);
    part_reset(&s->of_between);
    part_reset(&s->of_within);
    for (size_t i = 0; i < sizeof table / sizeof *table; i++)
        free(table[i]);
}

static bool tiled_init(tiled *t, size_t n_rows, size_t n_columns)
{
    *t = (tiled){n_rows, n_columns, swt_doubles(n_rows, whole_tiles(n_columns))};
    return t->value != NULL;
}

static double *tiled_at(const tiled *t, size_t row, size_t column)
{
    return &t->value[(column / TILE * t->n_rows + row) * TILE + column % TILE];
}

static bool tiled_copy(tiled *t, const double *rows, size_t n_rows, size_t n_columns)
{
    if (!tiled_init(t, n_rows, n_columns))
        return false;
    for (size_t r = 0; r < n_rows; r++)
        for (size_t q = 0; q < n_columns; q++)
            *tiled_at(t, r, q) = rows[r * n_columns + q];
    return true;
}

/* Products of two factors at each sample and moment, those of unlike factors counted twice:
 * diag(factor' W factor) = sum over pairs of W_pair * pair, for a symmetric W. */
static bool set_pairs(tiled *pair, const swt_band *band, const swt_band_part *part)
{
    size_t n = band->n_samples, columns = band->n_columns, row = 0;

    if (!tiled_init(pair, part->n_factors * (part->n_factors + 1) / 2, band->n_moments * n))
        return false;
    for (size_t a = 0; a < part->n_factors; a++)
        for (size_t b = 0; b <= a; b++, row++)
            for (size_t q = 0; q < band->n_moments * n; q++) {
                const double *f = &part->factor[a * columns], *g = &part->factor[b * columns];
                size_t m = q / n, x = m == 2 ? q - n : q % n, y = m >= 1 ? q % n + n : q;
                *tiled_at(pair, row, q) = a == b ? f[x] * f[y] : f[x] * g[y] + g[x] * f[y];
            }
    return true;
}

static bool part_init(part_tables *p, const swt_band *band, const swt_band_part *part)
{
    size_t k = part->n_factors;
    bool complete = part->score ? tiled_copy(&p->row, part->score, part->n_rows, k)
                                : tiled_copy(&p->row, part->row, part->n_rows, band->n_columns);

    complete = tiled_copy(&p->factor, part->factor, k, band->n_columns) && complete;
    complete = set_pairs(&p->pair, band, part) && complete;
    p->root = swt_doubles(B * k, k);
    return complete && p->root;
}

static swt_status scratch_init(scratch *s, const swt_band *band, size_t own_rows, swt_error *err)
{
    size_t f = band->between.n_factors, w = band->within.n_factors, most = f > w ? f : w;
    size_t columns = whole_tiles(band->n_columns),
           moments = whole_tiles(band->n_moments * band->n_samples);
    const struct {
        double **table;
        size_t n;
    } tables[] = {
        {&s->weight, own_rows}, {&s->between, columns},
        {&s->within, columns},  {&s->factor_weight, whole_tiles(most)},
        {&s->one_more, f},      {&s->wishart, most * (most + 1) / 2},
        {&s->turned, columns},  {&s->moment, moments},
        {&s->shared, moments},  {&s->other, moments},
    };
    bool complete;

    *s = (scratch){.rng = gsl_rng_alloc(gsl_rng_taus2)};
    complete = s->rng != NULL;
    complete = part_init(&s->of_between, band, &band->between) && complete;
    complete = part_init(&s->of_within, band, &band->within) && complete;
    for (size_t i = 0; i < sizeof tables / sizeof *tables; i++)
        complete = (*tables[i].table = swt_doubles(tables[i].n, B)) && complete;
    if (complete)
        return SWT_OK;
    scratch_reset(s);
    return swt_fail(err, SWT_ENOMEM, "no memory to resample %zu rows",
                    band->between.n_rows + band->within.n_rows);
}

/* out = sum over rows of weight[row] * row: a tile of columns at a time, whose sums stay in
 * registers. */
SWT_WIDE static void combine(double *restrict out, const double *restrict weight,
                             const double *restrict rows, size_t n_rows, size_t n_columns)
{
    for (size_t q = 0; q < n_columns; q += TILE, out += TILE * B) {
        double sum[TILE][B] = {{0}};
        for (size_t r = 0; r < n_rows; r++)
            for (size_t k = 0; k < TILE; k++)
                for (size_t i = 0; i < B; i++)
                    sum[k][i] += weight[r * B + i] * rows[(q * n_rows) + r * TILE + k];
        for (size_t k = 0; k < TILE; k++)
            for (size_t i = 0; i < B; i++)
                out[k * B + i] = sum[k][i];
    }
}

static void weigh(double *out, const double *weight, const tiled *t)
{
    combine(out, weight, t->value, t->n_rows, t->n_columns);
}

SWT_WIDE static void add_product(double *restrict sum, const double *a, const double *b, size_t n)
{
    for (size_t i = 0; i < n; i++)
        sum[i] += a[i] * b[i];
}

/* The part's deviation for the weights of its rows; by way of the factors where they hold all but
 * a thousandth of the variance, which takes rows * factors instead of rows * columns. */
static void deviate(double *out, scratch *s, const double *weight, const part_tables *p,
                    const swt_band_part *part)
{
    if (!part->score) {
        weigh(out, weight, &p->row);
        return;
    }
    weigh(s->factor_weight, weight, &p->row);
    weigh(out, s->factor_weight, &p->factor);
}

/* moment += (weighted sum of the factors)' (the same), sample by sample. */
static void add_square(double *moment, scratch *s, const swt_band *band, const tiled *factor,
                       const double *weight)
{
    size_t n = band->n_samples;

    weigh(s->turned, weight, factor);
    for (size_t m = 0; m < band->n_moments; m++) {
        const double *a = s->turned + (m == 2 ? n * B : 0), *b = s->turned + (m >= 1 ? n * B : 0);
        add_product(&moment[m * n * B], a, b, n * B);
    }
}

/* Columns of a Wishart root. Bartlett 1933: with L lower triangular, L_ii^2 ~ chi2(df - i) and
 * N(0,1) below, L L' is Wishart with df degrees of freedom. */
static size_t root_columns(size_t n_factors, size_t df)
{
    return n_factors < df ? n_factors : df;
}

/* Draws that root, over sqrt(divisor), of one of the B resamples; column j from row j on. */
static void draw_root(double *root, gsl_rng *rng, size_t n_factors, size_t df, size_t divisor)
{
    double scale = 1 / sqrt((double)divisor);

    for (size_t j = 0; j < root_columns(n_factors, df); j++) {
        double *column = &root[j * n_factors * B];
        column[j * B] = scale * sqrt(gsl_ran_chisq(rng, (double)(df - j)));
        for (size_t i = j + 1; i < n_factors; i++)
            column[i * B] = scale * gsl_ran_gaussian_ziggurat(rng, 1.0);
    }
}

/* W = L L', pair by pair. */
SWT_WIDE static void set_wishart(double *restrict wishart, const double *restrict root, size_t n,
                                 size_t n_columns)
{
    for (size_t a = 0; a < n; a++)
        for (size_t b = 0; b <= a; b++, wishart += B) {
            double sum[B] = {0};
            for (size_t j = 0; j <= b && j < n_columns; j++)
                for (size_t i = 0; i < B; i++)
                    sum[i] += root[(j * n + a) * B + i] * root[(j * n + b) * B + i];
            for (size_t i = 0; i < B; i++)
                wishart[i] = sum[i];
        }
}

/* moment = diag(factor' W factor) for a Wishart matrix of df degrees of freedom. */
static void resample_spread(double *moment, scratch *s, const part_tables *p, size_t df)
{
    size_t n = p->factor.n_rows;

    set_wishart(s->wishart, p->root, n, root_columns(n, df));
    weigh(moment, s->wishart, &p->pair);
}

/* Largest distance of the deviation wide * between + within in the resampled spread, squared. */
SWT_WIDE static void largest_curve(double *restrict largest, const scratch *s, size_t n,
                                   double wide)
{
    const double *restrict between = s->between, *restrict within = s->within,
                           *restrict moment = s->moment;

    for (size_t t = 0; t < n * B; t += B)
        for (size_t i = 0; i < B; i++) {
            double d = wide * between[t + i] + within[t + i], spread = moment[t + i];
            double square = spread > 0 ? d * d / spread : 0;
            largest[i] = square > largest[i] ? square : largest[i];
        }
}

/* The same for a path. */
static void largest_path(double *restrict largest, const scratch *s, size_t n, double wide)
{
    for (size_t t = 0; t < n * B; t++) {
        double d = wide * s->between[t] + s->within[t];
        double e = wide * s->between[n * B + t] + s->within[n * B + t];
        double a = s->moment[t], b = s->moment[n * B + t], c = s->moment[2 * n * B + t];
        double determinant = a * c - b * b;
        double square = determinant > 1e-12 * a * c && a > 0
                            ? (c * d * d - 2 * b * d * e + a * e * e) / determinant
                            : 0;
        if (square > largest[t % B])
            largest[t % B] = square;
    }
}

static void largest_distance(double largest[B], const scratch *s, const swt_band *band, double wide)
{
    memset(largest, 0, B * sizeof *largest);
    if (band->n_variables == 1)
        largest_curve(largest, s, band->n_samples, wide);
    else
        largest_path(largest, s, band->n_samples, wide);
    for (size_t i = 0; i < B; i++) {
        largest[i] = sqrt(largest[i]);
        if (band->n_columns == 1 && wide * s->between[i] + s->within[i] < 0)
            largest[i] = -largest[i];
    }
}

static void draw_spreads(scratch *s, const swt_band *band, unsigned long seed, size_t first)
{
    size_t n = band->between.n_factors, df = band->n_players - 1;

    for (size_t i = 0; i < B; i++) {
        swt_draws_start(s->rng, seed, band->stream, first + i);
        draw_root(s->of_between.root + i, s->rng, n, df - 1, df);
        draw_root(s->of_within.root + i, s->rng, band->within.n_factors, band->within.df,
                  band->within.df);
        for (size_t k = 0; k < n; k++)
            s->one_more[k * B + i] = 1 / sqrt((double)df) * gsl_ran_gaussian_ziggurat(s->rng, 1.0);
    }
}

/* moment = other + share * shared */
SWT_WIDE static void set_moment(double *restrict moment, const double *other, const double *shared,
                                double share, size_t n)
{
    for (size_t i = 0; i < n; i++)
        moment[i] = other[i] + share * shared[i];
}

/* B resampled experiments, and the same ones short of a player: a Wishart matrix with one degree
 * of freedom more is that matrix plus one squared normal vector. */
static void experiments(double largest[B], double largest_loo[B], scratch *s, const swt_band *band)
{
    size_t players = band->n_players, df = players - 1, size = band->n_moments * band->n_samples;

    resample_spread(s->shared, s, &s->of_between, df - 1);
    resample_spread(s->other, s, &s->of_within, band->within.df);
    for (size_t q = 0; q < size; q++)
        for (size_t i = 0; i < B; i++)
            s->other[q * B + i] += band->within.rest[q] + band->between.rest[q];
    set_moment(s->moment, s->other, s->shared, 1, size * B);
    add_square(s->moment, s, band, &s->of_between.factor, s->one_more);
    largest_distance(largest, s, band, sqrt(1 + 1 / (double)players));
    if (!largest_loo)
        return;
    set_moment(s->moment, s->other, s->shared, (double)df / (double)(df - 1), size * B);
    largest_distance(largest_loo, s, band, sqrt(1 + 1 / (double)(players - 1)));
}

swt_status swt_band_resample(double *largest, double *largest_loo, const swt_band *band,
                             const swt_corridor_options *options, swt_error *err)
{
    scratch s;
    const swt_corridor_draws *draws = options->draws;
    size_t players = band->between.n_rows, rows = players + band->within.n_rows;
    size_t n = options->n_resamples;
    bool shared =
        draws && draws->seed == options->seed && draws->n_resamples == n && draws->n_rows >= rows;
    swt_status rc = scratch_init(&s, band, shared ? 0 : rows, err);

    if (rc != SWT_OK)
        return rc;
    for (size_t first = 0; first < n; first += B) {
        size_t count = (n - first < B ? n - first : B) * sizeof(double);
        const double *weight = s.weight;
        double ratio[B], ratio_loo[B];
        if (shared)
            weight = &draws->value[first * draws->n_rows];
        else
            swt_draws_block(s.weight, s.rng, options->seed, first, rows);
        deviate(s.between, &s, weight, &s.of_between, &band->between);
        deviate(s.within, &s, weight + players * B, &s.of_within, &band->within);
        draw_spreads(&s, band, options->seed, first);
        experiments(ratio, largest_loo ? ratio_loo : NULL, &s, band);
        memcpy(&largest[first], ratio, count);
        if (largest_loo)
            memcpy(&largest_loo[first], ratio_loo, count);
    }
    scratch_reset(&s);
    return SWT_OK;
}
