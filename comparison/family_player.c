/* What the departures of a player's swings add up to, and what came before one of them. */
#include "comparison/family.h"

#include <math.h>
#include <stdlib.h>

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

/* The departures of the swings in one measure to one side, put together. `room`, `list`: one for
 * each swing. */
static swt_status gather(swt_player_departure *d, const swt_family *family,
                         const swt_assessed_swing *swing, size_t n_swings, size_t measure,
                         int direction, double *room, const swt_departure **list, swt_error *err)
{
    double least = family->measure[measure].least_excess;
    size_t n = 0, n_compared = 0;
    swt_status rc;

    for (size_t k = 0; k < n_swings; k++) {
        const swt_assessed_departure *x = pick(&swing[k], measure, direction, least);
        n_compared += swing[k].was_compared[measure];
        list[k] = x ? &x->found : NULL;
        if (x)
            room[n++] = x->position;
    }
    rc = swt_departure_persistence(&d->over, list, n_swings, n_compared, err);
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
static void count_seen(swt_player_findings *f, const swt_family *family,
                       const swt_assessed_swing *swing, size_t n_swings)
{
    unsigned hidden = ~0u;
    bool any_curve = false;

    for (size_t i = 0; i < family->n_measures; i++) {
        const swt_corridor *c = family->measure[i].corridor;
        bool throughout = true, some = false;
        if (!c)
            continue;
        for (size_t k = 0; k < n_swings; k++) {
            some = some || swing[k].was_compared[i];
            throughout = throughout && swing[k].was_compared[i] && swing[k].unseen[i] == 0;
            if (c->n_samples > 1 && swing[k].was_compared[i]) {
                hidden &= swing[k].unseen[i];
                any_curve = true;
            }
        }
        f->n_throughout += throughout;
        f->n_in_part += some && !throughout;
    }
    for (unsigned phase = 0; phase < family->n_phases; phase++)
        f->phase_unseen[phase] = any_curve && (hidden >> phase & 1u);
}

/* Both sides of every measure that was compared. */
static swt_status gather_all(swt_player_findings *f, bool *any_compared, const swt_family *family,
                             const swt_assessed_swing *swing, size_t n_swings, double *room,
                             const swt_departure **list, swt_error *err)
{
    swt_status rc = SWT_OK;

    for (size_t i = 0; rc == SWT_OK && i < family->n_measures; i++) {
        bool compared = false;
        for (size_t k = 0; k < n_swings; k++)
            compared = compared || swing[k].was_compared[i];
        if (!compared)
            continue;
        *any_compared = true;
        for (int side = 1; rc == SWT_OK && side >= -1; side -= 2) {
            swt_player_departure *d = &f->departure[f->n_departures];
            rc = gather(d, family, swing, n_swings, i, side, room, list, err);
            f->n_departures += rc == SWT_OK && d->over.n_departing > 0;
        }
    }
    return rc;
}

swt_status swt_player_findings_of(swt_player_findings *f, const swt_family *family,
                                  const swt_assessed_swing *swing, size_t n_swings, swt_error *err)
{
    double *room = calloc(n_swings + 1, sizeof *room);
    const swt_departure **list = calloc(n_swings + 1, sizeof *list);
    bool any_compared = false;
    swt_status rc = SWT_OK;

    *f = (swt_player_findings){.departure =
                                   calloc(2 * family->n_measures + 1, sizeof *f->departure)};
    if (!room || !list || !f->departure)
        rc = swt_fail(err, SWT_ENOMEM, "no memory to add up %zu swings", n_swings);
    if (rc == SWT_OK)
        rc = gather_all(f, &any_compared, family, swing, n_swings, room, list, err);
    if (rc == SWT_OK && f->n_departures > 0) {
        qsort(f->departure, f->n_departures, sizeof *f->departure, by_order);
        f->certainty = certainty_of(&f->departure[0]);
        while (f->certainty != SWT_NOTHING_DEPARTS && f->n_chain < f->n_departures &&
               certainty_of(&f->departure[f->n_chain]) >= SWT_MOST_SWINGS)
            f->n_chain++;
    }
    if (rc == SWT_OK)
        count_seen(f, family, swing, n_swings);
    if (!any_compared)
        f->certainty = SWT_NOT_COMPARED;
    free(room);
    free(list);
    return rc;
}

void swt_player_findings_reset(swt_player_findings *findings)
{
    free(findings->departure);
    *findings = (swt_player_findings){0};
}

/* The departure that is asked about: the one in progress at the time, or, without one, the largest.
 * NULL: none. */
static const swt_player_departure *asked(const swt_player_findings *f, size_t measure,
                                         const double *at_s)
{
    const swt_player_departure *best = NULL;

    for (size_t i = 0; i < f->n_departures; i++) {
        const swt_player_departure *d = &f->departure[i];
        if (d->over.measure != measure || !isfinite(d->over.start_s))
            continue;
        if (at_s && !(d->over.start_s <= *at_s && d->over.end_s >= *at_s))
            continue;
        if (!best || d->over.peak_ratio > best->over.peak_ratio)
            best = d;
    }
    return best;
}

/* The departures of most swings that matter, and the one asked about, as the trace takes them. */
static size_t gather_list(swt_departure *list, size_t *of, const swt_player_findings *f,
                          const swt_player_departure *asked_about)
{
    size_t n = 0;

    for (size_t i = 0; i < f->n_departures; i++) {
        const swt_player_departure *d = &f->departure[i];
        const swt_persistence *o = &d->over;
        if (d != asked_about && (!d->matters || 2 * o->n_departing <= o->n_swings))
            continue;
        if (d == asked_about)
            *of = n;
        list[n++] = (swt_departure){.measure = o->measure,
                                    .direction = o->direction,
                                    .first = o->first,
                                    .last = o->last,
                                    .peak = o->peak,
                                    .start_s = o->start_s};
    }
    return n;
}

swt_status swt_player_trace(swt_assessed_trace *out, const swt_family *family,
                            const swt_player_findings *f, size_t measure, const double *at_s,
                            const double *const *values, const int *player, size_t n_swings,
                            swt_error *err)
{
    swt_reference_measure *reference = NULL;
    size_t of = 0;
    swt_status rc = SWT_OK;

    *out = (swt_assessed_trace){.from = asked(f, measure, at_s)};
    if (!out->from)
        return SWT_OK;
    reference = calloc(family->n_measures + 1, sizeof *reference);
    out->list = calloc(f->n_departures + 1, sizeof *out->list);
    if (!reference || !out->list)
        rc = swt_fail(err, SWT_ENOMEM, "no memory to trace %zu departures", f->n_departures);
    for (size_t i = 0; rc == SWT_OK && i < family->n_measures; i++)
        reference[i] = (swt_reference_measure){values[i], family->measure[i].corridor,
                                               family->measure[i].position};
    if (rc == SWT_OK) {
        out->n_list = gather_list(out->list, &of, f, out->from);
        rc = swt_departure_trace(&out->link, &out->n, out->list, out->n_list, of, reference,
                                 family->n_measures, player, n_swings, err);
    }
    free(reference);
    return rc;
}

void swt_assessed_trace_reset(swt_assessed_trace *trace)
{
    free(trace->list);
    free(trace->link);
    *trace = (swt_assessed_trace){0};
}
