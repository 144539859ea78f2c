/* Corridors of the reference group, and the group at its events. */
#include "comparison/group_median.h"
#include "io/report/assessment_parts.h"
#include "kinematics/registration.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { N = SWT_CURVE_SAMPLES };

/* Scalars of the family: what no curve shows, since curves are registered in time. */
static bool is_headline(const swt_measure *row)
{
    static const char *const names[] = {"backswing_time", "downswing_time", "tempo_ratio",
                                        "half_time_fraction", "transition_shift"};

    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (strcmp(row->name, names[i]) == 0)
            return true;
    return false;
}

static swt_status curve_corridor(swt_assessment *a, const swt_study *study, swt_series series,
                                 double *curves, swt_error *err)
{
    const swt_series_info *info = swt_series_describe(series);
    swt_compared *c = &a->compared[a->n_compared];
    swt_corridor_options options = a->options.corridor;
    bool any = false;
    swt_status rc = swt_study_read_curves(study, series, a->reference, a->n_reference, curves, err);

    for (size_t i = 0; rc == SWT_OK && i < a->n_reference * N && !any; i++)
        any = isfinite(curves[i]);
    if (rc != SWT_OK || !any)
        return rc;
    options.sides = SWT_TWO_SIDED; /* one-sided limits are for scalars */
    rc = swt_corridor_build(&c->corridor, curves, a->reference_player, a->n_reference, N, &options,
                            err);
    if (rc != SWT_OK) {
        swt_error_prefix(err, "corridor of %s", info->title);
        return rc;
    }
    c->is_series = true;
    c->index = (size_t)series;
    c->title = info->title;
    c->quantity = info->quantity;
    c->in_family = swt_family_may_hold(c->corridor);
    a->n_compared++;
    return SWT_OK;
}

static swt_status scalar_corridor(swt_assessment *a, const swt_study *study, size_t row,
                                  double *values, swt_error *err)
{
    const swt_measure *measure = swt_measure_row(row);
    swt_compared *c = &a->compared[a->n_compared];
    bool any = false;
    swt_status rc;

    for (size_t i = 0; i < a->n_reference; i++) {
        const swt_measurement *m = &study->measure[row][a->reference[i]];
        values[i] = m->verdict.state == SWT_ABSENT ? nan("") : m->value;
        any = any || isfinite(values[i]);
    }
    if (!any)
        return SWT_OK;
    rc = swt_corridor_build(&c->corridor, values, a->reference_player, a->n_reference, 1,
                            &a->options.corridor, err);
    if (rc != SWT_OK) {
        swt_error_prefix(err, "tolerance interval of %s", measure->title);
        return rc;
    }
    c->is_series = false;
    c->index = row;
    c->title = measure->title;
    c->quantity = measure->quantity;
    c->in_family = swt_family_may_hold(c->corridor) && is_headline(measure);
    a->n_compared++;
    return SWT_OK;
}

static swt_status tube(swt_path_corridor **out, const swt_assessment *a, const swt_study *study,
                       swt_series across, swt_series up, swt_error *err)
{
    double *x = calloc(a->n_reference * N, sizeof *x);
    double *y = calloc(a->n_reference * N, sizeof *y);
    swt_corridor_options options = a->options.corridor;
    swt_status rc = SWT_OK;

    options.sides = SWT_TWO_SIDED;
    options.centre = SWT_CENTRE_MEAN; /* ranks have no order in a plane */
    if (!x || !y)
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    if (rc == SWT_OK)
        rc = swt_study_read_curves(study, across, a->reference, a->n_reference, x, err);
    if (rc == SWT_OK)
        rc = swt_study_read_curves(study, up, a->reference, a->n_reference, y, err);
    if (rc == SWT_OK)
        rc = swt_path_corridor_build(out, x, y, a->reference_player, a->n_reference, N, &options,
                                     err);
    free(x);
    free(y);
    return rc;
}

size_t assess_event_place(swt_event event)
{
    for (size_t p = SWT_PHASES; p > 0; p--)
        if (event >= swt_phase_boundary[p])
            return p * SWT_PHASE_STEPS;
    return 0;
}

/* The family as comparison sees it: same measures, same order. */
static swt_status family(swt_assessment *a, swt_error *err)
{
    swt_family *f = &a->family;

    f->measure = calloc(a->n_compared + 1, sizeof *f->measure);
    if (!f->measure)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    f->n_measures = a->n_compared;
    f->n_phases = SWT_PHASES;
    f->phase_steps = SWT_PHASE_STEPS;
    for (size_t i = 0; i < a->n_compared; i++) {
        const swt_compared *c = &a->compared[i];
        f->measure[i].corridor = c->in_family ? c->corridor : NULL;
        f->measure[i].least_excess = a->options.least_excess[c->quantity];
        if (!c->is_series)
            f->measure[i].position = (double)assess_event_place(swt_measure_row(c->index)->moment);
    }
    return swt_family_settle(f, a->options.corridor.coverage, err);
}

swt_status assess_corridors(swt_assessment *a, const swt_study *study, swt_error *err)
{
    double *values = calloc(a->n_reference * N + 1, sizeof *values);
    swt_corridor_draws *draws = NULL;
    swt_status rc = SWT_OK;

    a->compared = calloc(SWT_SERIES_COUNT + swt_measure_count(), sizeof *a->compared);
    if (!values || !a->compared)
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    if (rc == SWT_OK && a->n_reference > 0)
        rc = swt_corridor_draws_new(&draws, a->reference_player, a->n_reference,
                                    &a->options.corridor, err);
    a->options.corridor.draws = draws;
    for (int s = 0; rc == SWT_OK && a->n_reference > 0 && s < SWT_SERIES_COUNT; s++)
        if (a->options.series[s])
            rc = curve_corridor(a, study, (swt_series)s, values, err);
    for (size_t m = 0; rc == SWT_OK && a->n_reference > 0 && m < swt_measure_count(); m++)
        rc = scalar_corridor(a, study, m, values, err);
    if (rc == SWT_OK && a->n_reference > 0)
        rc = tube(&a->hand_path, a, study, SWT_SERIES_HAND_DEPTH, SWT_SERIES_HAND_HEIGHT, err);
    if (rc == SWT_OK && a->n_reference > 0)
        rc = tube(&a->hand_path_above, a, study, SWT_SERIES_HAND_ALONG, SWT_SERIES_HAND_DEPTH, err);
    if (rc == SWT_OK)
        rc = family(a, err);
    a->options.corridor.draws = NULL;
    swt_corridor_draws_free(draws);
    free(values);
    return rc;
}

swt_status assess_group(swt_assessment *a, const swt_study *study, swt_error *err)
{
    static const swt_series places[] = {
        SWT_SERIES_HAND_ALONG,           SWT_SERIES_HAND_DEPTH,
        SWT_SERIES_HAND_HEIGHT,          SWT_SERIES_LEDGER_DEPTH_PELVIS,
        SWT_SERIES_LEDGER_DEPTH_THORAX,  SWT_SERIES_LEDGER_DEPTH_ARMS,
        SWT_SERIES_LEDGER_HEIGHT_PELVIS, SWT_SERIES_LEDGER_HEIGHT_THORAX,
        SWT_SERIES_LEDGER_HEIGHT_ARMS};
    size_t n = a->n_reference;
    double *curve = calloc(n * N + 1, sizeof *curve), *time = calloc(n * N + 1, sizeof *time);
    double *value = calloc(n + 1, sizeof *value);
    swt_group_facts *g = &a->group_facts;
    swt_status rc = SWT_OK;

    if (!curve || !time || !value)
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    for (int s = 0; s < SWT_SERIES_COUNT; s++)
        for (int e = 0; e < SWT_EVENT_COUNT; e++)
            g->at_event[s][e] = nan("");
    for (int e = 0; rc == SWT_OK && e < SWT_EVENT_COUNT; e++) {
        for (size_t i = 0; i < n; i++)
            value[i] = swt_event_after_takeaway(study, a->reference[i], (swt_event)e);
        rc = swt_group_spread(&g->low_s[e], &g->middle_s[e], &g->high_s[e], value,
                              a->reference_player, n, err);
    }
    if (rc == SWT_OK && n > 0)
        rc = swt_study_read_curve_times(study, a->reference, n, time, err);
    for (size_t k = 0; rc == SWT_OK && n > 0 && k < sizeof places / sizeof *places; k++) {
        rc = swt_study_read_curves(study, places[k], a->reference, n, curve, err);
        for (int e = 0; rc == SWT_OK && e < SWT_EVENT_COUNT; e++) {
            for (size_t i = 0; i < n; i++)
                value[i] = swt_registered_at(
                    time + i * N, curve + i * N,
                    swt_event_after_takeaway(study, a->reference[i], (swt_event)e));
            rc = swt_group_mean(&g->at_event[places[k]][e], value, a->reference_player, n, err);
        }
    }
    free(curve);
    free(time);
    free(value);
    return rc;
}
