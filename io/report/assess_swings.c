/* The assessed swings: their values, measure by measure, against the corridors. */
#include "io/report/assessment_parts.h"

#include <math.h>
#include <stdlib.h>

enum { N = SWT_CURVE_SAMPLES };

/* Where an event lies in registered samples: by its time, or, where the takeaway is absent, by its
 * place among the events. */
static double event_position(swt_event event, const double *time_s, double at_s)
{
    for (size_t i = 0; i + 1 < N; i++)
        if (time_s[i] <= at_s && at_s <= time_s[i + 1])
            return (double)i + (time_s[i + 1] > time_s[i]
                                    ? (at_s - time_s[i]) / (time_s[i + 1] - time_s[i])
                                    : 0);
    return (double)assess_event_place(event);
}

/* One scalar of one swing. `time_s`: of its registered samples. */
static swt_status add_scalar(swt_assessment *a, const swt_study *study, size_t compared,
                             swt_assessed_swing *s, const double *time_s, swt_error *err)
{
    size_t row = a->compared[compared].index;
    const swt_measurement *m = &study->measure[row][s->swing];
    swt_event moment = swt_measure_row(row)->moment;
    double at_s = swt_event_after_takeaway(study, s->swing, moment);
    double value = m->verdict.state == SWT_ABSENT ? nan("") : m->value;

    return swt_assessed_swing_add(
        s, &a->family, compared,
        &(swt_assessed_values){&value, &m->sd, &at_s, event_position(moment, time_s, at_s)}, err);
}

/* One measure of every swing that is like the reference. `time`, `curve`, `sd`: N values a
 * swing. */
static swt_status add_measure(swt_assessment *a, const swt_study *study, size_t compared,
                              const double *time, const double *curve, const double *sd,
                              swt_error *err)
{
    swt_status rc = SWT_OK;

    for (size_t p = 0; p < a->n_players; p++) {
        size_t end = a->player[p].first + a->player[p].n_swings;
        for (size_t k = a->player[p].first; rc == SWT_OK && a->player[p].alike && k < end; k++)
            rc = a->compared[compared].is_series
                     ? swt_assessed_swing_add(&a->swing[k], &a->family, compared,
                                              &(swt_assessed_values){.value = curve + k * N,
                                                                     .sd = sd + k * N,
                                                                     .time_s = time + k * N},
                                              err)
                     : add_scalar(a, study, compared, &a->swing[k], time + k * N, err);
    }
    return rc;
}

/* What the swings of each player add up to. */
static swt_status add_up_players(swt_assessment *a, const swt_study *study, swt_error *err)
{
    double *room = calloc(a->n_swings + 1, sizeof *room);
    swt_status rc = room ? SWT_OK : swt_fail(err, SWT_ENOMEM, "out of memory");

    for (size_t i = 0; rc == SWT_OK && i < a->n_players; i++) {
        swt_assessed_player *p = &a->player[i];
        for (int e = 0; e < SWT_EVENT_COUNT; e++) {
            for (size_t k = 0; k < p->n_swings; k++)
                room[k] =
                    swt_event_after_takeaway(study, a->swing[p->first + k].swing, (swt_event)e);
            p->event_s[e] = swt_median(room, p->n_swings);
        }
        rc = swt_player_findings_of(&p->found, &a->family, a->swing + p->first, p->n_swings, err);
    }
    free(room);
    return rc;
}

/* Measure by measure, so that each curve is read once for all swings. */
swt_status assess_swings(swt_assessment *a, const swt_study *study, swt_error *err)
{
    size_t n = a->n_swings;
    size_t *row = calloc(n + 1, sizeof *row);
    double *time = calloc(n * N + 1, sizeof *time), *curve = calloc(n * N + 1, sizeof *curve);
    double *sd = calloc(n * N + 1, sizeof *sd);
    swt_status rc = SWT_OK;

    if (!row || !time || !curve || !sd)
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t k = 0; rc == SWT_OK && k < n; k++) {
        row[k] = a->swing[k].swing;
        rc = swt_assessed_swing_begin(&a->swing[k], &a->family, err);
    }
    if (rc == SWT_OK && n > 0)
        rc = swt_study_read_curve_times(study, row, n, time, err);
    for (size_t i = 0; rc == SWT_OK && n > 0 && i < a->n_compared; i++) {
        if (!a->compared[i].in_family)
            continue;
        if (a->compared[i].is_series)
            rc = swt_study_read_curves(study, (swt_series)a->compared[i].index, row, n, curve, err);
        if (rc == SWT_OK && a->compared[i].is_series)
            rc = swt_study_read_curve_sds(study, (swt_series)a->compared[i].index, row, n, sd, err);
        if (rc == SWT_OK)
            rc = add_measure(a, study, i, time, curve, sd, err);
    }
    if (rc == SWT_OK)
        rc = add_up_players(a, study, err);
    free(row);
    free(time);
    free(curve);
    free(sd);
    return rc;
}
