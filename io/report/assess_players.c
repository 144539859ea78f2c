/* Departures of the assessed swings, and what they add up to for a player. */
#include "io/report/assessment_parts.h"

#include <math.h>
#include <stdlib.h>

enum { N = SWT_CURVE_SAMPLES };

/* Appends a list to a swing's. Takes ownership of `list`. */
static swt_status append(swt_assessed_swing *swing, swt_departure *list, size_t n, swt_error *err)
{
    swt_departure *more;

    if (n == 0) {
        free(list);
        return SWT_OK;
    }
    more = realloc(swing->departure, (swing->n_departures + n) * sizeof *more);
    if (!more) {
        free(list);
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    }
    swing->departure = more;
    for (size_t i = 0; i < n; i++)
        more[swing->n_departures++] = list[i];
    free(list);
    return SWT_OK;
}

static swt_status compare_swing(swt_assessment *a, const swt_study *study, swt_assessed_swing *s,
                                swt_error *err)
{
    double curve[N], time[N];
    swt_status rc = swt_study_read_curve_times(study, &s->swing, 1, time, err);

    for (size_t i = 0; rc == SWT_OK && i < a->n_compared; i++) {
        const swt_compared *c = &a->compared[i];
        swt_departure_context context = {.measure = i, .family_factor = a->family_factor};
        swt_departure *list;
        double moment_s;
        size_t n;

        if (!c->in_family)
            continue;
        if (c->is_series) {
            rc = swt_study_read_curves(study, (swt_series)c->index, &s->swing, 1, curve, err);
            context.time_s = time;
        } else {
            const swt_measurement *m = &study->measure[c->index][s->swing];
            curve[0] = m->verdict.state == SWT_ABSENT ? nan("") : m->value;
            moment_s = swt_event_after_takeaway(study, s->swing, swt_measure_row(c->index)->moment);
            context.time_s = &moment_s;
        }
        if (rc == SWT_OK)
            rc = swt_departure_find(&list, &n, NULL, c->corridor, curve, &context, err);
        if (rc == SWT_OK)
            rc = append(s, list, n, err);
    }
    if (rc == SWT_OK)
        swt_departure_order(s->departure, s->n_departures);
    return rc;
}

swt_status assess_swings(swt_assessment *a, const swt_study *study, swt_error *err)
{
    swt_status rc = SWT_OK;

    for (size_t i = 0; rc == SWT_OK && i < a->n_swings; i++)
        rc = compare_swing(a, study, &a->swing[i], err);
    return rc;
}

/* Swings of a player in which a measure could be compared. */
static swt_status count_compared(size_t *n, const swt_assessment *a, const swt_study *study,
                                 const swt_assessed_player *p, size_t compared, swt_error *err)
{
    const swt_compared *c = &a->compared[compared];
    swt_status rc = SWT_OK;

    *n = 0;
    for (size_t k = 0; rc == SWT_OK && k < p->n_swings; k++) {
        size_t swing = a->swing[p->first + k].swing;
        bool any = false;
        if (c->is_series) {
            double curve[N];
            rc = swt_study_read_curves(study, (swt_series)c->index, &swing, 1, curve, err);
            for (size_t i = 0; rc == SWT_OK && i < N && !any; i++)
                any = isfinite(swt_corridor_ratio(c->corridor, i, curve[i]));
        } else {
            const swt_measurement *m = &study->measure[c->index][swing];
            any = m->verdict.state != SWT_ABSENT &&
                  isfinite(swt_corridor_ratio(c->corridor, 0, m->value));
        }
        *n += any;
    }
    return rc;
}

enum { START, END, PEAK, VALUE, EXCESS, RATIO, FACTS };

/* First departure of each swing in one measure to one side, put together. */
static void gather(swt_player_departure *d, const swt_assessment *a, const swt_assessed_player *p,
                   double *room)
{
    double *const fact[FACTS] = {room,
                                 room + p->n_swings,
                                 room + 2 * p->n_swings,
                                 room + 3 * p->n_swings,
                                 room + 4 * p->n_swings,
                                 room + 5 * p->n_swings};
    size_t n = 0;

    for (size_t k = 0; k < p->n_swings; k++) {
        const swt_assessed_swing *s = &a->swing[p->first + k];
        for (size_t i = 0; i < s->n_departures; i++) {
            const swt_departure *x = &s->departure[i];
            if (x->measure != d->compared || x->direction != d->direction)
                continue;
            fact[START][n] = x->start_s;
            fact[END][n] = x->end_s;
            fact[PEAK][n] = x->peak_s;
            fact[VALUE][n] = x->peak_value;
            fact[EXCESS][n] = x->peak_excess;
            fact[RATIO][n] = x->peak_ratio;
            d->n_standing += x->stands_in_family;
            n++;
            break;
        }
    }
    d->n_departing = n;
    d->start_s = swt_median(fact[START], n);
    d->end_s = swt_median(fact[END], n);
    d->peak_s = swt_median(fact[PEAK], n);
    d->peak_value = swt_median(fact[VALUE], n);
    d->peak_excess = swt_median(fact[EXCESS], n);
    d->peak_ratio = swt_median(fact[RATIO], n);
    d->matters = fabs(d->peak_excess) >= a->options.least_excess[a->compared[d->compared].quantity];
}

static swt_certainty certainty_of(const swt_player_departure *d)
{
    if (!d->matters)
        return SWT_NOTHING_DEPARTS;
    if (2 * d->n_departing <= d->n_swings)
        return SWT_SOME_SWINGS;
    return 2 * d->n_standing > d->n_departing ? SWT_STANDS : SWT_MOST_SWINGS;
}

/* Most certain first; then by hundredths of a second; then the larger. */
static int by_order(const void *left, const void *right)
{
    const swt_player_departure *a = left, *b = right;
    int ca = (int)certainty_of(a), cb = (int)certainty_of(b);
    double ta = isfinite(a->start_s) ? floor(a->start_s * 100) : HUGE_VAL;
    double tb = isfinite(b->start_s) ? floor(b->start_s * 100) : HUGE_VAL;

    if (ca != cb)
        return cb - ca;
    if (ta != tb)
        return ta < tb ? -1 : 1;
    if (a->peak_ratio != b->peak_ratio)
        return a->peak_ratio > b->peak_ratio ? -1 : 1;
    return (a->compared > b->compared) - (a->compared < b->compared);
}

static swt_status assess_player(swt_assessment *a, const swt_study *study, swt_assessed_player *p,
                                swt_error *err)
{
    double *room = calloc(FACTS * p->n_swings, sizeof *room);
    bool any_compared = false;
    swt_status rc = SWT_OK;

    p->departure = calloc(2 * a->n_compared + 1, sizeof *p->departure);
    if (!room || !p->departure)
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    for (int e = 0; rc == SWT_OK && e < SWT_EVENT_COUNT; e++) {
        for (size_t k = 0; k < p->n_swings; k++)
            room[k] = swt_event_after_takeaway(study, a->swing[p->first + k].swing, (swt_event)e);
        p->event_s[e] = swt_median(room, p->n_swings);
    }
    for (size_t i = 0; rc == SWT_OK && i < a->n_compared; i++) {
        size_t n = 0;
        if (a->compared[i].in_family)
            rc = count_compared(&n, a, study, p, i, err);
        if (rc != SWT_OK || n == 0)
            continue;
        any_compared = true;
        for (int side = 1; side >= -1; side -= 2) {
            swt_player_departure *d = &p->departure[p->n_departures];
            *d = (swt_player_departure){.compared = i, .direction = side, .n_swings = n};
            gather(d, a, p, room);
            p->n_departures += d->n_departing > 0;
        }
    }
    if (rc == SWT_OK && p->n_departures > 0) {
        qsort(p->departure, p->n_departures, sizeof *p->departure, by_order);
        p->certainty = certainty_of(&p->departure[0]);
        while (p->certainty != SWT_NOTHING_DEPARTS && p->n_chain < p->n_departures &&
               certainty_of(&p->departure[p->n_chain]) == p->certainty)
            p->n_chain++;
    }
    if (!any_compared)
        p->certainty = SWT_NOT_COMPARED;
    free(room);
    return rc;
}

swt_status assess_players(swt_assessment *a, const swt_study *study, swt_error *err)
{
    swt_status rc = SWT_OK;

    for (size_t i = 0; rc == SWT_OK && i < a->n_players; i++)
        rc = assess_player(a, study, &a->player[i], err);
    return rc;
}
