#include "comparison/simulate.h"

#include "comparison/array.h"

#include <gsl/gsl_linalg.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Keeps the kernel matrix of a very smooth curve positive definite; adds 1e-8 of the variance. */
#define JITTER 1e-8

typedef struct generator {
    gsl_rng *rng;
    gsl_matrix *root; /* lower Cholesky factor of the kernel */
    double *normal;   /* n_samples */
    double tail_df;
} generator;

static void generator_reset(generator *g)
{
    if (g->rng)
        gsl_rng_free(g->rng);
    gsl_matrix_free(g->root);
    free(g->normal);
}

static swt_status generator_init(generator *g, const swt_simulation *s, swt_error *err)
{
    size_t n = s->n_samples;

    *g = (generator){.tail_df = s->tail_df};
    g->rng = gsl_rng_alloc(gsl_rng_mt19937);
    g->root = gsl_matrix_alloc(n, n);
    g->normal = swt_doubles(n, 1);
    if (!g->rng || !g->root || !g->normal) {
        generator_reset(g);
        return swt_fail(err, SWT_ENOMEM, "no memory for curves of %zu samples", n);
    }
    for (size_t i = 0; i < n; i++)
        for (size_t j = 0; j < n; j++) {
            double apart = ((double)i - (double)j) / (double)(n > 1 ? n - 1 : 1) / s->length_scale;
            gsl_matrix_set(g->root, i, j, exp(-apart * apart / 2) + (i == j ? JITTER : 0));
        }
    if (gsl_linalg_cholesky_decomp1(g->root) == 0)
        return SWT_OK;
    generator_reset(g);
    return swt_fail(err, SWT_ENUM, "no Cholesky factor for length scale %g", s->length_scale);
}

/* curve += sd * a unit deviation */
static void add_deviation(double *curve, generator *g, double sd)
{
    size_t n = g->root->size1;
    double scale = sd;

    if (g->tail_df > 0)
        scale *= sqrt((g->tail_df - 2) / gsl_ran_chisq(g->rng, g->tail_df));
    for (size_t i = 0; i < n; i++)
        g->normal[i] = gsl_ran_gaussian_ziggurat(g->rng, 1.0);
    for (size_t i = 0; i < n; i++) {
        const double *row = gsl_matrix_const_ptr(g->root, i, 0);
        double sum = 0;
        for (size_t j = 0; j <= i; j++)
            sum += row[j] * g->normal[j];
        curve[i] += scale * sum;
    }
}

static void draw_player(double *curves, double *own, generator *g, const swt_simulation *s,
                        size_t n_swings)
{
    size_t n = s->n_samples;

    memset(own, 0, n * sizeof *own);
    add_deviation(own, g, sqrt(s->between_share));
    for (size_t i = 0; i < n_swings; i++) {
        memcpy(curves + i * n, own, n * sizeof *own);
        add_deviation(curves + i * n, g, sqrt(1 - s->between_share));
    }
}

static double largest_ratio(const swt_corridor *c, const double *curve)
{
    double largest = 0;

    for (size_t t = 0; t < c->n_samples; t++)
        largest = fmax(largest, fabs(swt_corridor_ratio(c, t, curve[t])));
    return largest;
}

static swt_status check(const swt_simulation *s, swt_error *err)
{
    if (s->n_players < 2 || s->swings_per_player < 1 || s->n_samples < 1 || s->n_groups < 2 ||
        s->n_new_players < 1)
        return swt_fail(err, SWT_EARG,
                        "a simulation needs 2 players, 1 swing, 1 sample, 2 groups, 1 new player "
                        "or more of each");
    if (!(s->between_share >= 0 && s->between_share <= 1))
        return swt_fail(err, SWT_EARG, "share of variance between players %g is not in [0, 1]",
                        s->between_share);
    if (!(s->length_scale > 0) || !isfinite(s->length_scale))
        return swt_fail(err, SWT_EARG, "length scale %g must be above 0", s->length_scale);
    if (!(s->tail_df >= 0) || (s->tail_df > 0 && s->tail_df <= 2))
        return swt_fail(err, SWT_EARG, "tail degrees of freedom %g: 0 or above 2", s->tail_df);
    return SWT_OK;
}

typedef struct totals {
    double inside, inside_square, alone, loo, multiplier;
    size_t built, with_multiplier;
} totals;

/* Arrays that all groups use in turn. */
typedef struct bench {
    generator g;
    swt_corridor **corridor; /* n_measures */
    size_t n_measures;
    double *curves; /* players * swings * n_samples, of one measure at a time */
    double *own;    /* n_samples */
    int *player;
} bench;

static void bench_clear(bench *b)
{
    for (size_t m = 0; b->corridor && m < b->n_measures; m++) {
        swt_corridor_free(b->corridor[m]);
        b->corridor[m] = NULL;
    }
}

static void bench_reset(bench *b)
{
    bench_clear(b);
    free(b->corridor);
    free(b->curves);
    free(b->own);
    free(b->player);
    generator_reset(&b->g);
}

static swt_status bench_init(bench *b, const swt_simulation *s, swt_error *err)
{
    size_t n_swings = s->n_players * s->swings_per_player;
    swt_status rc;

    *b = (bench){.n_measures = s->n_measures > 1 ? s->n_measures : 1};
    rc = generator_init(&b->g, s, err);
    if (rc != SWT_OK)
        return rc;
    b->corridor = calloc(b->n_measures, sizeof(swt_corridor *));
    b->curves = swt_doubles(n_swings, s->n_samples);
    b->own = swt_doubles(s->n_samples, 1);
    b->player = calloc(n_swings, sizeof *b->player);
    if (!b->corridor || !b->curves || !b->own || !b->player) {
        bench_reset(b);
        return swt_fail(err, SWT_ENOMEM, "no memory for %zu swings", n_swings);
    }
    for (size_t i = 0; i < n_swings; i++)
        b->player[i] = (int)(i / s->swings_per_player);
    return SWT_OK;
}

/* Corridors of one simulated group, and the factor that makes them a family. */
static swt_status build_group(double *factor, bench *b, const swt_simulation *s, swt_error *err)
{
    size_t n_swings = s->n_players * s->swings_per_player;
    swt_status rc = SWT_OK;

    *factor = 1;
    for (size_t m = 0; m < b->n_measures && rc == SWT_OK; m++) {
        for (size_t p = 0; p < s->n_players; p++)
            draw_player(b->curves + p * s->swings_per_player * s->n_samples, b->own, &b->g, s,
                        s->swings_per_player);
        rc = swt_corridor_build(&b->corridor[m], b->curves, b->player, n_swings, s->n_samples,
                                &s->corridor, err);
    }
    if (rc == SWT_OK && b->n_measures > 1 && b->corridor[0]->state != SWT_CORRIDOR_REFUSED)
        rc = swt_corridor_family_factor(factor, NULL, (const swt_corridor *const *)b->corridor,
                                        b->n_measures, s->corridor.coverage, err);
    return rc;
}

static swt_status one_group(totals *sum, bench *b, const swt_simulation *s, swt_error *err)
{
    double factor, inside = 0;
    swt_status rc = build_group(&factor, b, s, err);

    if (rc != SWT_OK)
        return rc;
    if (b->corridor[0]->state != SWT_CORRIDOR_REFUSED) {
        for (size_t i = 0; i < s->n_new_players; i++) {
            double largest = 0;
            for (size_t m = 0; m < b->n_measures; m++) {
                draw_player(b->curves, b->own, &b->g, s, 1);
                largest = fmax(largest, largest_ratio(b->corridor[m], b->curves));
            }
            inside += (largest <= factor) / (double)s->n_new_players;
            sum->alone += (largest <= 1) / (double)s->n_new_players;
        }
        sum->inside += inside;
        sum->inside_square += inside * inside;
        sum->loo += b->corridor[0]->loo_coverage;
        sum->built++;
        if (isfinite(b->corridor[0]->multiplier)) {
            sum->multiplier += b->corridor[0]->multiplier;
            sum->with_multiplier++;
        }
    }
    bench_clear(b);
    return SWT_OK;
}

static void conclude(swt_simulation_result *out, const totals *sum, size_t n_groups)
{
    double n = (double)sum->built;

    *out = (swt_simulation_result){.coverage = nan(""),
                                   .coverage_alone = nan(""),
                                   .standard_error = nan(""),
                                   .loo_coverage = nan(""),
                                   .multiplier = nan(""),
                                   .n_refused = n_groups - sum->built};
    if (sum->with_multiplier > 0)
        out->multiplier = sum->multiplier / (double)sum->with_multiplier;
    if (sum->built == 0)
        return;
    out->coverage = sum->inside / n;
    out->coverage_alone = sum->alone / n;
    out->loo_coverage = sum->loo / n;
    if (sum->built > 1) {
        double variance = (sum->inside_square - n * out->coverage * out->coverage) / (n - 1);
        out->standard_error = sqrt(variance > 0 ? variance / n : 0);
    }
}

swt_status swt_simulate_coverage(swt_simulation_result *out, const swt_simulation *s,
                                 swt_error *err)
{
    bench b;
    totals sum = {0};
    swt_status rc = check(s, err);

    if (rc != SWT_OK)
        return rc;
    rc = bench_init(&b, s, err);
    if (rc != SWT_OK)
        return rc;
    for (size_t i = 0; i < s->n_groups && rc == SWT_OK; i++) {
        gsl_rng_set(b.g.rng, (s->seed * 1000003u + (unsigned long)i + 1) & 0xFFFFFFFFu);
        rc = one_group(&sum, &b, s, err);
    }
    if (rc == SWT_OK)
        conclude(out, &sum, s->n_groups);
    bench_reset(&b);
    return rc;
}
