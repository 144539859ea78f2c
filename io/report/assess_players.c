/* Departures of the assessed swings, and what they add up to for a player. */
#include "io/report/assessment_parts.h"

#include <math.h>
#include <stdlib.h>

enum { N = SWT_CURVE_SAMPLES };

static swt_status append(swt_assessed_swing *swing, const swt_departure *list, size_t n,
                         bool is_series, double scalar_position, swt_error *err)
{
    swt_assessed_departure *more;

    if (n == 0)
        return SWT_OK;
    more = realloc(swing->departure, (swing->n_departures + n) * sizeof *more);
    if (!more)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    swing->departure = more;
    for (size_t i = 0; i < n; i++)
        more[swing->n_departures++] =
            (swt_assessed_departure){list[i], is_series ? list[i].start : scalar_position};
    return SWT_OK;
}

/* Where an event lies in registered samples: by its time, or, where the takeaway is absent, by its
 * place among the events. */
static double event_position(swt_event event, const double *time_s, double at_s)
{
    for (size_t i = 0; i + 1 < N; i++)
        if (time_s[i] <= at_s && at_s <= time_s[i + 1])
            return (double)i + (time_s[i + 1] > time_s[i]
                                    ? (at_s - time_s[i]) / (time_s[i + 1] - time_s[i])
                                    : 0);
    for (int p = SWT_PHASES; p > 0; p--)
        if (event >= swt_phase_boundary[p])
            return p * SWT_PHASE_STEPS;
    return 0;
}

/* Phases in which the group has a band and the swing next to no curve. The samples at the events
 * are left out: they belong to two phases. */
static unsigned char unseen_phases(const swt_corridor *c, const double *curve)
{
    unsigned unseen = 0;

    if (c->n_samples == 1)
        return (unsigned char)(isfinite(curve[0]) ? 0 : 1);
    for (size_t p = 0; p < SWT_PHASES; p++) {
        size_t band = 0, seen = 0;
        for (size_t i = p * SWT_PHASE_STEPS + 1; i < (p + 1) * SWT_PHASE_STEPS; i++) {
            bool there = isfinite(c->lower[i]) && isfinite(c->upper[i]);
            band += there;
            seen += there && isfinite(curve[i]);
        }
        if (10 * seen < 9 * band)
            unseen |= 1u << p;
    }
    return (unsigned char)unseen;
}

/* One swing against one corridor. `time_s` and `curve`: N values; a scalar uses the first. */
static swt_status compare(swt_assessment *a, const swt_study *study, size_t compared,
                          swt_assessed_swing *s, const double *time_s, const double *curve,
                          swt_error *err)
{
    const swt_compared *c = &a->compared[compared];
    swt_departure_context context = {
        .measure = compared, .time_s = time_s, .family_factor = a->family_factor};
    swt_departure_summary summary;
    swt_departure *list = NULL;
    double moment_s, value, position = 0;
    size_t n = 0;
    swt_status rc;

    if (!c->is_series) {
        const swt_measurement *m = &study->measure[c->index][s->swing];
        value = m->verdict.state == SWT_ABSENT ? nan("") : m->value;
        moment_s = swt_event_after_takeaway(study, s->swing, swt_measure_row(c->index)->moment);
        position = event_position(swt_measure_row(c->index)->moment, time_s, moment_s);
        context.time_s = &moment_s;
        context.measurement_sd = isfinite(m->sd) ? m->sd : 0;
        curve = &value;
    }
    rc = swt_departure_find(&list, &n, &summary, c->corridor, curve, &context, err);
    if (rc == SWT_OK) {
        s->was_compared[compared] = summary.n_compared > 0;
        s->unseen[compared] = unseen_phases(c->corridor, curve);
        rc = append(s, list, n, c->is_series, position, err);
    }
    free(list);
    return rc;
}

/* Measure by measure, so that each curve is read once for all swings. */
swt_status assess_swings(swt_assessment *a, const swt_study *study, swt_error *err)
{
    size_t n = a->n_swings;
    size_t *row = calloc(n + 1, sizeof *row);
    double *time = calloc(n * N + 1, sizeof *time), *curve = calloc(n * N + 1, sizeof *curve);
    swt_status rc = SWT_OK;

    if (!row || !time || !curve)
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t k = 0; rc == SWT_OK && k < n; k++) {
        row[k] = a->swing[k].swing;
        a->swing[k].was_compared = calloc(a->n_compared + 1, sizeof(bool));
        a->swing[k].unseen = calloc(a->n_compared + 1, sizeof *a->swing[k].unseen);
        if (!a->swing[k].was_compared || !a->swing[k].unseen)
            rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    }
    if (rc == SWT_OK && n > 0)
        rc = swt_study_read_curve_times(study, row, n, time, err);
    for (size_t i = 0; rc == SWT_OK && n > 0 && i < a->n_compared; i++) {
        const swt_compared *c = &a->compared[i];
        if (!c->in_family)
            continue;
        if (c->is_series)
            rc = swt_study_read_curves(study, (swt_series)c->index, row, n, curve, err);
        for (size_t p = 0; p < a->n_players; p++)
            for (size_t k = a->player[p].first; rc == SWT_OK && a->player[p].alike &&
                                                k < a->player[p].first + a->player[p].n_swings;
                 k++)
                rc = compare(a, study, i, &a->swing[k], time + k * N, curve + k * N, err);
    }
    free(row);
    free(time);
    free(curve);
    return rc;
}

/* The first departure of a swing in one measure to one side that is large enough to note; the first
 * at all where none is; NULL without any. */
static const swt_assessed_departure *pick(const swt_assessed_swing *s, size_t measure,
                                          int direction, double least)
{
    const swt_assessed_departure *first = NULL;

    for (size_t i = 0; i < s->n_departures; i++) {
        const swt_assessed_departure *x = &s->departure[i];
        if (x->found.measure != measure || x->found.direction != direction)
            continue;
        if (fabs(x->found.largest_excess) >= least)
            return x;
        if (!first)
            first = x;
    }
    return first;
}

/* The departures of a player's swings in one measure to one side, put together. `room`, `list`: one
 * for each swing. */
static swt_status gather(swt_player_departure *d, const swt_assessment *a,
                         const swt_assessed_player *p, size_t measure, int direction,
                         size_t n_compared, double *room, const swt_departure **list,
                         swt_error *err)
{
    double least = a->options.least_excess[a->compared[measure].quantity];
    size_t n = 0;
    swt_status rc;

    for (size_t k = 0; k < p->n_swings; k++) {
        const swt_assessed_departure *x = pick(&a->swing[p->first + k], measure, direction, least);
        list[k] = x ? &x->found : NULL;
        if (x)
            room[n++] = x->position;
    }
    rc = swt_departure_persistence(&d->over, list, p->n_swings, n_compared, err);
    d->position = swt_median(room, n);
    d->matters = fabs(d->over.largest_excess) >= least;
    return rc;
}

static swt_certainty certainty_of(const swt_player_departure *d)
{
    if (!d->matters)
        return SWT_NOTHING_DEPARTS;
    if (2 * d->over.n_departing <= d->over.n_swings)
        return SWT_SOME_SWINGS;
    return 2 * d->over.n_standing > d->over.n_departing ? SWT_STANDS : SWT_MOST_SWINGS;
}

/* Most certain first; then in time, by half samples; then the larger. */
static int by_order(const void *left, const void *right)
{
    const swt_player_departure *a = left, *b = right;
    int ca = (int)certainty_of(a), cb = (int)certainty_of(b);
    double ta = floor(2 * a->position), tb = floor(2 * b->position);

    if (ca != cb)
        return cb - ca;
    if (ta != tb)
        return ta < tb ? -1 : 1;
    if (a->over.peak_ratio != b->over.peak_ratio)
        return a->over.peak_ratio > b->over.peak_ratio ? -1 : 1;
    return (a->over.measure > b->over.measure) - (a->over.measure < b->over.measure);
}

/* How much of the family could be compared at all: nothing can be said about the rest. */
static void count_seen(const swt_assessment *a, swt_assessed_player *p)
{
    unsigned hidden = ~0u;
    bool any_curve = false;

    for (size_t i = 0; i < a->n_compared; i++) {
        bool throughout = true, some = false;
        if (!a->compared[i].in_family)
            continue;
        for (size_t k = p->first; k < p->first + p->n_swings; k++) {
            const swt_assessed_swing *s = &a->swing[k];
            some = some || s->was_compared[i];
            throughout = throughout && s->was_compared[i] && s->unseen[i] == 0;
            if (a->compared[i].is_series && s->was_compared[i]) {
                hidden &= s->unseen[i];
                any_curve = true;
            }
        }
        p->n_throughout += throughout;
        p->n_in_part += some && !throughout;
    }
    for (unsigned phase = 0; phase < SWT_PHASES; phase++)
        p->phase_unseen[phase] = any_curve && (hidden >> phase & 1u);
}

static swt_status assess_player(swt_assessment *a, const swt_study *study, swt_assessed_player *p,
                                swt_error *err)
{
    double *room = calloc(p->n_swings + 1, sizeof *room);
    const swt_departure **list = calloc(p->n_swings + 1, sizeof *list);
    bool any_compared = false;
    swt_status rc = SWT_OK;

    p->departure = calloc(2 * a->n_compared + 1, sizeof *p->departure);
    if (!room || !list || !p->departure)
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    for (int e = 0; rc == SWT_OK && e < SWT_EVENT_COUNT; e++) {
        for (size_t k = 0; k < p->n_swings; k++)
            room[k] = swt_event_after_takeaway(study, a->swing[p->first + k].swing, (swt_event)e);
        p->event_s[e] = swt_median(room, p->n_swings);
    }
    for (size_t i = 0; rc == SWT_OK && i < a->n_compared; i++) {
        size_t n = 0;
        for (size_t k = 0; k < p->n_swings; k++)
            n += a->swing[p->first + k].was_compared[i];
        if (rc != SWT_OK || n == 0)
            continue;
        any_compared = true;
        for (int side = 1; side >= -1; side -= 2) {
            swt_player_departure *d = &p->departure[p->n_departures];
            if (rc == SWT_OK)
                rc = gather(d, a, p, i, side, n, room, list, err);
            p->n_departures += rc == SWT_OK && d->over.n_departing > 0;
        }
    }
    if (rc == SWT_OK && p->n_departures > 0) {
        qsort(p->departure, p->n_departures, sizeof *p->departure, by_order);
        p->certainty = certainty_of(&p->departure[0]);
        while (p->certainty != SWT_NOTHING_DEPARTS && p->n_chain < p->n_departures &&
               certainty_of(&p->departure[p->n_chain]) >= SWT_MOST_SWINGS)
            p->n_chain++;
    }
    if (rc == SWT_OK)
        count_seen(a, p);
    if (!any_compared)
        p->certainty = SWT_NOT_COMPARED;
    free(room);
    free(list);
    return rc;
}

swt_status assess_players(swt_assessment *a, const swt_study *study, swt_error *err)
{
    swt_status rc = SWT_OK;

    for (size_t i = 0; rc == SWT_OK && i < a->n_players; i++)
        rc = assess_player(a, study, &a->player[i], err);
    return rc;
}
