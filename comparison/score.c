#include "comparison/score.h"

#include "comparison/array.h"
#include "comparison/band.h"
#include "comparison/corridor.h"
#include "comparison/limits.h"
#include "comparison/principal.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Columns: the samples of all measures, one measure after the other. */
typedef struct basis {
    double *centre, *sd; /* n_columns; sd NaN where the column takes no part */
    swt_principal principal;
} basis;

/* The scores of the reference swings of players who were left out; weight 1 / player's swings. */
typedef struct distribution {
    size_t n;
    double *rms, *distance, *rest, *weight;
} distribution;

struct swt_score_model {
    size_t n_measures, n_columns, n_used, n_components;
    size_t *n_samples; /* n_measures */
    double *weight;    /* n_columns: sum of weight^2 z^2 is the mean over measures of mean z^2 */
    basis all;
    distribution left_out;
};

/* Everything that building needs and the finished model does not. */
typedef struct workshop {
    swt_score_model *model;
    swt_grouped *g; /* n_measures */
    double *row;    /* players * columns */
    double *z;      /* n_columns */
    size_t n_players, n_swings;
} workshop;

static void basis_reset(basis *b)
{
    free(b->centre);
    free(b->sd);
    swt_principal_reset(&b->principal);
    *b = (basis){0};
}

void swt_score_model_free(swt_score_model *m)
{
    if (!m)
        return;
    free(m->n_samples);
    free(m->weight);
    basis_reset(&m->all);
    free(m->left_out.rms);
    free(m->left_out.distance);
    free(m->left_out.rest);
    free(m->left_out.weight);
    free(m);
}

void swt_score_model_size(size_t *n_components, size_t *n_columns, const swt_score_model *m)
{
    *n_components = m->n_components;
    *n_columns = m->n_used;
}

/* Centre and spread of every column without a player. */
static swt_status basis_spread(basis *b, const workshop *w, size_t left_out, swt_error *err)
{
    const swt_score_model *m = w->model;
    size_t column = 0;

    b->centre = swt_doubles(m->n_columns, 1);
    b->sd = swt_doubles(m->n_columns, 1);
    if (!b->centre || !b->sd)
        return swt_fail(err, SWT_ENOMEM, "no memory for %zu columns", m->n_columns);
    swt_fill_nan(b->sd, m->n_columns);
    for (size_t i = 0; i < m->n_measures; i++) {
        double largest = 0;
        for (size_t t = 0; t < m->n_samples[i]; t++) {
            swt_group_sample at;
            swt_grouped_at(&at, &w->g[i], t, left_out);
            b->centre[column + t] = at.centre[0];
            if (at.n_players + (left_out != SWT_NOBODY) >= swt_least_players(w->n_players))
                b->sd[column + t] = sqrt(at.total.m[0]);
            largest = fmax(largest, sqrt(at.total.m[0]));
        }
        for (size_t t = column; t < column + m->n_samples[i]; t++)
            if (!(b->sd[t] > SWT_BAND_FLOOR * largest && b->sd[t] > 1e-12 * fabs(b->centre[t])))
                b->sd[t] = nan("");
        column += m->n_samples[i];
    }
    return SWT_OK;
}

/* Weights that make every measure with a usable sample count the same. */
static void set_weights(swt_score_model *m)
{
    size_t column = 0, measures = 0;

    for (size_t i = 0; i < m->n_measures; i++) {
        size_t used = 0;
        for (size_t t = column; t < column + m->n_samples[i]; t++)
            used += isfinite(m->all.sd[t]) != 0;
        for (size_t t = column; t < column + m->n_samples[i]; t++)
            m->weight[t] = isfinite(m->all.sd[t]) ? 1 / sqrt((double)used) : 0;
        m->n_used += used;
        measures += used > 0;
        column += m->n_samples[i];
    }
    for (size_t c = 0; c < m->n_columns; c++)
        m->weight[c] /= sqrt((double)(measures > 0 ? measures : 1));
}

/* Weighted deviation in SD units, 0 where absent. */
static double deviation(const swt_score_model *m, const basis *b, size_t column, double value)
{
    double z = m->weight[column] * (value - b->centre[column]) / b->sd[column];

    return isfinite(z) ? z : 0;
}

static swt_status basis_fit(basis *b, const workshop *w, size_t left_out, swt_error *err)
{
    const swt_score_model *m = w->model;
    size_t rows = 0, column;

    for (size_t p = 0; p < w->n_players; p++) {
        double *row = w->row + rows * m->n_columns;
        if (p == left_out)
            continue;
        column = 0;
        for (size_t i = 0; i < m->n_measures; i++)
            for (size_t t = 0; t < m->n_samples[i]; t++, column++) {
                size_t at = p * m->n_samples[i] + t;
                row[column] =
                    w->g[i].count[at] > 0 ? deviation(m, b, column, w->g[i].mean[0][at]) : 0;
            }
        rows++;
    }
    return swt_principal_fit(&b->principal, w->row, rows, m->n_columns, err);
}

/* Scores z, the weighted deviations of one swing (0 = absent), of which `present` says how much of
 * the weight is there. */
static void score(swt_score *out, double *part, const swt_score_model *m, const basis *b,
                  const double *z, double present)
{
    double rest;

    *out = (swt_score){nan(""), nan(""), nan(""), nan(""), nan(""), nan("")};
    if (present < 1 - SWT_SCORE_MOST_ABSENT)
        return;
    out->distance = sqrt(swt_principal_distance(part, &rest, &b->principal, m->n_components, z));
    out->rest = sqrt(rest);
}

/* rms over the measures that the swing has, each by the samples that it has. */
static double rms_of(double *measure_rms, const swt_score_model *m, const basis *b,
                     const double *const *curve)
{
    double sum = 0;
    size_t measures = 0, column = 0;

    for (size_t i = 0; i < m->n_measures; i++) {
        double square = 0;
        size_t n = 0;
        for (size_t t = 0; t < m->n_samples[i]; t++) {
            double z = curve[i] && m->weight[column + t] > 0
                           ? (curve[i][t] - b->centre[column + t]) / b->sd[column + t]
                           : nan("");
            if (!isfinite(z))
                continue;
            square += z * z;
            n++;
        }
        if (measure_rms)
            measure_rms[i] = n > 0 ? sqrt(square / (double)n) : nan("");
        if (n > 0) {
            sum += square / (double)n;
            measures++;
        }
        column += m->n_samples[i];
    }
    return measures > 0 ? sqrt(sum / (double)measures) : nan("");
}

/* Fills z; returns the share of the weight that the swing has. */
static double weigh(double *z, const swt_score_model *m, const basis *b, const double *const *curve)
{
    double present = 0;
    size_t column = 0;

    for (size_t i = 0; i < m->n_measures; i++)
        for (size_t t = 0; t < m->n_samples[i]; t++, column++) {
            bool there = curve[i] && isfinite(curve[i][t]);
            z[column] = there ? deviation(m, b, column, curve[i][t]) : 0;
            present += there ? m->weight[column] * m->weight[column] : 0;
        }
    return present;
}

/* Builds everything again without a player, and scores the player's swings by that. */
static swt_status score_left_out(workshop *w, size_t player, const double **curve, swt_error *err)
{
    swt_score_model *m = w->model;
    distribution *d = &m->left_out;
    basis b = {0};
    size_t first = d->n;
    swt_status rc = basis_spread(&b, w, player, err);

    if (rc == SWT_OK)
        rc = basis_fit(&b, w, player, err);
    for (size_t s = 0; s < w->n_swings && rc == SWT_OK; s++) {
        swt_score one;
        double rms;
        if (w->g[0].player[s] != player)
            continue;
        for (size_t i = 0; i < m->n_measures; i++)
            curve[i] = w->g[i].value[0] + s * m->n_samples[i];
        rms = rms_of(NULL, m, &b, curve);
        if (!isfinite(rms))
            continue;
        score(&one, NULL, m, &b, w->z, weigh(w->z, m, &b, curve));
        d->rms[d->n] = rms;
        d->distance[d->n] = one.distance;
        d->rest[d->n] = one.rest;
        d->n++;
    }
    for (size_t i = first; i < d->n; i++)
        d->weight[i] = 1 / (double)(d->n - first);
    basis_reset(&b);
    return rc;
}

static swt_status left_out_distribution(workshop *w, size_t most, swt_error *err)
{
    distribution *d = &w->model->left_out;
    size_t n = w->n_players, used = most > 0 && most < n ? most : n;
    const double **curve = calloc(w->model->n_measures, sizeof *curve);
    swt_status rc = SWT_OK;

    d->rms = swt_doubles(w->n_swings, 1);
    d->distance = swt_doubles(w->n_swings, 1);
    d->rest = swt_doubles(w->n_swings, 1);
    d->weight = swt_doubles(w->n_swings, 1);
    if (!curve || !d->rms || !d->distance || !d->rest || !d->weight)
        rc = swt_fail(err, SWT_ENOMEM, "no memory for %zu reference scores", w->n_swings);
    for (size_t k = 0; k < used && rc == SWT_OK; k++)
        rc = score_left_out(w, k * n / used, curve, err);
    free(curve);
    return rc;
}

static void choose_components(swt_score_model *m, const swt_score_options *o, size_t n_players)
{
    const swt_principal *p = &m->all.principal;
    size_t most = n_players / (o->players_per_component > 0 ? o->players_per_component : 1);
    double kept = 0;

    while (m->n_components < p->n_components && m->n_components < (most > 1 ? most : 1) &&
           kept < o->variance_share * p->total_variance)
        kept += p->variance[m->n_components++];
}

static swt_status open_workshop(workshop *w, const swt_score_measure *measure, size_t n_measures,
                                const int *player, swt_error *err)
{
    swt_score_model *m = w->model;
    swt_status rc = SWT_OK;

    m->n_measures = n_measures;
    m->n_samples = calloc(n_measures, sizeof *m->n_samples);
    w->g = calloc(n_measures, sizeof *w->g);
    if (!m->n_samples || !w->g)
        return swt_fail(err, SWT_ENOMEM, "no memory for %zu measures", n_measures);
    for (size_t i = 0; i < n_measures && rc == SWT_OK; i++) {
        m->n_samples[i] = measure[i].n_samples;
        m->n_columns += measure[i].n_samples;
        rc = swt_grouped_init(&w->g[i], measure[i].values, NULL, player, w->n_swings,
                              measure[i].n_samples, err);
    }
    if (rc != SWT_OK)
        return rc;
    w->n_players = w->g[0].n_players;
    m->weight = swt_doubles(m->n_columns, 1);
    w->row = swt_doubles(w->n_players, m->n_columns);
    w->z = swt_doubles(m->n_columns, 1);
    if (!m->weight || !w->row || !w->z)
        return swt_fail(err, SWT_ENOMEM, "no memory for %zu columns", m->n_columns);
    return SWT_OK;
}

static swt_status build(workshop *w, const swt_score_options *o, swt_error *err)
{
    swt_score_model *m = w->model;
    swt_status rc;

    if (w->n_players < SWT_CORRIDOR_LEAST_PLAYERS)
        return swt_fail(err, SWT_EDATA, "a whole-swing score needs at least %d players, not %zu",
                        SWT_CORRIDOR_LEAST_PLAYERS, w->n_players);
    rc = basis_spread(&m->all, w, SWT_NOBODY, err);
    if (rc != SWT_OK)
        return rc;
    set_weights(m);
    if (m->n_used == 0)
        return swt_fail(err, SWT_EDATA, "no measure varies and is there for enough of the players");
    rc = basis_fit(&m->all, w, SWT_NOBODY, err);
    if (rc != SWT_OK)
        return rc;
    choose_components(m, o, w->n_players);
    return left_out_distribution(w, o->most_left_out, err);
}

swt_status swt_score_model_build(swt_score_model **out, const swt_score_measure *measure,
                                 size_t n_measures, const int *player, size_t n_swings,
                                 const swt_score_options *options, swt_error *err)
{
    static const swt_score_options defaults = SWT_SCORE_OPTIONS_INIT;
    workshop w = {.n_swings = n_swings};
    swt_status rc;

    *out = NULL;
    if (n_measures == 0 || n_swings == 0)
        return swt_fail(err, SWT_EDATA, "a whole-swing score needs measures and swings");
    w.model = calloc(1, sizeof *w.model);
    if (!w.model)
        return swt_fail(err, SWT_ENOMEM, "no memory for a score");
    rc = open_workshop(&w, measure, n_measures, player, err);
    if (rc == SWT_OK)
        rc = build(&w, options ? options : &defaults, err);
    for (size_t i = 0; w.g && i < n_measures; i++)
        swt_grouped_reset(&w.g[i]);
    free(w.g);
    free(w.row);
    free(w.z);
    if (rc != SWT_OK)
        swt_score_model_free(w.model);
    else
        *out = w.model;
    return rc;
}

static double rank(const distribution *d, const double *reference, double value)
{
    double lower = 0, all = 0;

    if (!isfinite(value))
        return nan("");
    for (size_t i = 0; i < d->n; i++)
        if (isfinite(reference[i])) {
            all += d->weight[i];
            lower += reference[i] < value ? d->weight[i] : 0;
        }
    return all > 0 ? lower / all : nan("");
}

swt_status swt_score_swing(swt_score *out, double *measure_rms, double *share,
                           double *distance_part, const swt_score_model *m,
                           const double *const *curve, swt_error *err)
{
    double *z = swt_doubles(m->n_columns, 1), present, total = 0;

    if (!z)
        return swt_fail(err, SWT_ENOMEM, "no memory for %zu columns", m->n_columns);
    if (distance_part)
        swt_fill_nan(distance_part, m->n_columns);
    present = weigh(z, m, &m->all, curve);
    score(out, distance_part, m, &m->all, z, present);
    out->rms = rms_of(measure_rms, m, &m->all, curve);
    for (size_t c = 0; c < m->n_columns; c++)
        total += z[c] * z[c];
    for (size_t c = 0; share && c < m->n_columns; c++)
        share[c] = total > 0 ? z[c] * z[c] / total : nan("");
    free(z);
    out->rms_rank = rank(&m->left_out, m->left_out.rms, out->rms);
    out->distance_rank = rank(&m->left_out, m->left_out.distance, out->distance);
    out->rest_rank = rank(&m->left_out, m->left_out.rest, out->rest);
    return SWT_OK;
}

swt_score_reference swt_score_reference_of(const swt_score_model *m)
{
    return (swt_score_reference){m->left_out.n, m->left_out.rms, m->left_out.distance,
                                 m->left_out.rest, m->left_out.weight};
}

double swt_score_combine(const double *rms, size_t n)
{
    double sum = 0;
    size_t k = 0;

    for (size_t i = 0; i < n; i++)
        if (isfinite(rms[i])) {
            sum += rms[i] * rms[i];
            k++;
        }
    return k > 0 ? sqrt(sum / (double)k) : nan("");
}
