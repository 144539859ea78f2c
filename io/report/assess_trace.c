/* What came before a departure of a player's, and what the reference group shows of the two. */
#include "io/report/assessment_parts.h"

#include <math.h>
#include <stdlib.h>

enum { N = SWT_CURVE_SAMPLES };

/* The departure of a player's that is asked about: the one in progress at the event, or, without
 * one (negative), the largest. NULL: none. */
static const swt_player_departure *asked(const swt_assessed_player *p, size_t measure, int event)
{
    const swt_player_departure *best = NULL;

    for (size_t i = 0; i < p->n_departures; i++) {
        const swt_player_departure *d = &p->departure[i];
        if (d->over.measure != measure || !isfinite(d->over.start_s))
            continue;
        if (event >= 0 &&
            !(d->over.start_s <= p->event_s[event] && d->over.end_s >= p->event_s[event]))
            continue;
        if (!best || d->over.peak_ratio > best->over.peak_ratio)
            best = d;
    }
    return best;
}

/* The departures of most swings that matter, and the one asked about, as the trace takes them. */
static size_t gather_list(swt_departure *list, size_t *of, const swt_assessed_player *p,
                          const swt_player_departure *asked_about)
{
    size_t n = 0;

    for (size_t i = 0; i < p->n_departures; i++) {
        const swt_player_departure *d = &p->departure[i];
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

/* A place in registered samples at which each scalar is settled: the reference's median. */
static double settled_at(const swt_compared *c)
{
    swt_event moment = swt_measure_row(c->index)->moment;

    for (int p = SWT_PHASES; p > 0; p--)
        if (moment >= swt_phase_boundary[p])
            return p * SWT_PHASE_STEPS;
    return 0;
}

swt_status swt_assessment_trace(swt_assessed_trace *out, const swt_assessment *a,
                                const swt_study *study, const swt_assessed_player *p,
                                size_t measure, int event, swt_error *err)
{
    swt_reference_measure *reference = calloc(a->n_compared + 1, sizeof *reference);
    const swt_player_departure *from = asked(p, measure, event);
    assess_values v = {0};
    size_t of = 0;
    swt_status rc = SWT_OK;

    *out = (swt_assessed_trace){.from = from};
    if (!from) {
        free(reference);
        return SWT_OK;
    }
    out->list = calloc(p->n_departures + 1, sizeof *out->list);
    if (!reference || !out->list)
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    if (rc == SWT_OK) {
        out->n_list = gather_list(out->list, &of, p, from);
        rc = assess_values_read(&v, a, study, a->reference, a->n_reference, err);
    }
    for (size_t i = 0; rc == SWT_OK && i < a->n_compared; i++)
        if (a->compared[i].in_family)
            reference[i] =
                (swt_reference_measure){v.of[i], a->compared[i].corridor,
                                        a->compared[i].is_series ? 0 : settled_at(&a->compared[i])};
    if (rc == SWT_OK)
        rc = swt_departure_trace(&out->link, &out->n, out->list, out->n_list, of, reference,
                                 a->n_compared, a->reference_player, a->n_reference, err);
    assess_values_reset(&v);
    free(reference);
    if (rc != SWT_OK)
        swt_assessed_trace_reset(out);
    return rc;
}

void swt_assessed_trace_reset(swt_assessed_trace *trace)
{
    free(trace->list);
    free(trace->link);
    *trace = (swt_assessed_trace){0};
}
