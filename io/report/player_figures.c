/* The figures of one player: what is drawn, and the finding in words. */
#include "io/report/player_figures.h"
#include "io/report/figure.h"
#include "io/report/hands.h"
#include "io/report/page_parts.h"
#include "kinematics/registration.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { N = SWT_CURVE_SAMPLES };

double player_median_at(player_data *d, const double *curves, size_t sample)
{
    for (size_t k = 0; k < d->p->n_swings; k++)
        d->column[k] = curves[k * N + sample];
    return swt_median(d->column, d->p->n_swings);
}

/* A value at an event from the samples themselves: where a phase is absent the registered curve
 * says nothing of the events inside it. */
static swt_status native_at_event(double *value, const player_data *d, swt_series series, size_t k,
                                  swt_event event, swt_error *err)
{
    const swt_study_swing *s = &d->study->swing[d->row[k]];
    const swt_event_time *e = &d->study->event[event][d->row[k]];
    double *native;
    swt_status rc;

    *value = nan("");
    if (e->verdict.state == SWT_ABSENT || s->n_frames == 0)
        return SWT_OK;
    native = calloc(s->n_frames, sizeof *native);
    if (!native)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    rc = swt_study_read_series(d->study, series, d->row[k], native, err);
    if (rc == SWT_OK)
        *value =
            swt_native_at(native, s->n_frames, swt_study_event_frame(d->study, event, d->row[k]));
    free(native);
    return rc;
}

swt_status player_median_at_event(double *median, player_data *d, swt_series series,
                                  const double *curves, swt_event event, swt_error *err)
{
    swt_status rc = SWT_OK;

    for (size_t k = 0; rc == SWT_OK && k < d->p->n_swings; k++) {
        d->column[k] = swt_registered_at(d->time + k * N, curves + k * N,
                                         swt_event_after_takeaway(d->study, d->row[k], event));
        if (!isfinite(d->column[k]))
            rc = native_at_event(&d->column[k], d, series, k, event, err);
    }
    *median = rc == SWT_OK ? swt_median(d->column, d->p->n_swings) : nan("");
    return rc;
}

void player_absent_words(char *out, size_t size, const player_data *d, const double *median,
                         size_t first, size_t n)
{
    bool absent[SWT_PHASES] = {false};
    char stretch[400], reason[280];
    bool any = false;

    out[0] = '\0';
    for (size_t p = first / SWT_PHASE_STEPS; p < SWT_PHASES; p++) {
        size_t seen = 0, looked = 0;
        for (size_t i = p * SWT_PHASE_STEPS + 1; i < (p + 1) * SWT_PHASE_STEPS; i++)
            if (i >= first && i < first + n) {
                looked++;
                seen += isfinite(median[i - first]) != 0;
            }
        absent[p] = looked > 0 && 10 * seen < looked;
        any = any || absent[p];
    }
    if (!any)
        return;
    page_absent_event(reason, sizeof reason, d->study, d->row, d->p->n_swings, absent);
    snprintf(out, size, "%s%s%s%s", swt_words_stretch(stretch, sizeof stretch, absent),
             *reason ? " (" : "", reason, *reason ? ")" : "");
}

void player_outside_words(char *out, size_t size, const char *what, bool compared,
                          const bool *outside, const double *median, size_t first, size_t n)
{
    size_t k = 0, seen = 0, from = 0;

    for (size_t i = 0; i < n; i++) {
        seen += isfinite(median[i]) ? 1 : 0;
        if (outside[i] && k++ == 0)
            from = i;
    }
    if (seen == 0)
        snprintf(out, size, "%s: not to be had in these swings.", what);
    else if (!compared)
        snprintf(out, size, "%s: the player's swings, with no group to compare them with.", what);
    else if (k == 0)
        snprintf(out, size, "%s: most of the player's swings stay inside the group's corridor%s.",
                 what, seen < n ? " where they can be compared" : "");
    else {
        char moment[160];
        snprintf(out, size,
                 "%s: most of the player's swings are outside the group's corridor over %.0f %% of "
                 "the part drawn, first %s.",
                 what, 100.0 * (double)k / (double)seen,
                 swt_words_phase(moment, sizeof moment, (double)(first + from)));
    }
}

swt_status player_draw_curve(swt_plot *plot, player_data *d, swt_series series, char *alt,
                             size_t alt_size, swt_error *err)
{
    long compared = swt_compared_find(d->a, true, (size_t)series);
    const swt_corridor *c = compared >= 0 ? d->a->compared[compared].corridor : NULL;
    double median[N];
    bool outside[N];
    char absent[700];
    swt_figure_curve f = {.frame = d->frame,
                          .series = series,
                          .n_curves = d->p->n_swings,
                          .curve = d->one,
                          .median = median,
                          .outside = outside};
    swt_status rc = swt_study_read_curves(d->study, f.series, d->row, d->p->n_swings, d->one, err);

    if (rc != SWT_OK)
        return rc;
    if (c && c->state != SWT_CORRIDOR_REFUSED) {
        f.centre = c->centre;
        f.lower = c->lower;
        f.upper = c->upper;
    } else {
        f.frame.coverage = 0;
    }
    for (size_t i = 0; i < N; i++) {
        size_t n_out = 0, n_seen = 0;
        for (size_t k = 0; f.lower && k < d->p->n_swings; k++) {
            double r = swt_corridor_ratio(c, i, d->one[k * N + i]);
            n_seen += isfinite(r) ? 1 : 0;
            n_out += fabs(r) > 1;
        }
        median[i] = player_median_at(d, d->one, i);
        outside[i] = 2 * n_out > n_seen;
    }
    player_outside_words(alt, alt_size, swt_series_describe(series)->title, f.lower != NULL,
                         outside, median, 0, N);
    player_absent_words(absent, sizeof absent, d, median, 0, N);
    if (*absent && strlen(alt) < alt_size)
        snprintf(alt + strlen(alt), alt_size - strlen(alt), " No curve %s.", absent);
    if (alt[0] >= 'a' && alt[0] <= 'z')
        alt[0] = (char)(alt[0] - 'a' + 'A');
    return swt_figure_draw_curve(plot, &f, err);
}

static const swt_event ledger_events[] = {SWT_EVENT_SHAFT_LEVEL_BACKSWING,
                                          SWT_EVENT_LEAD_ARM_LEVEL_BACKSWING, SWT_EVENT_CLUB_TOP,
                                          SWT_EVENT_LEAD_ARM_LEVEL_DOWNSWING, SWT_EVENT_IMPACT};

enum { LEDGER_EVENTS = sizeof ledger_events / sizeof *ledger_events };

swt_status player_draw_ledger(swt_plot *plot, player_data *d, swt_ledger_axis axis, char *alt,
                              size_t alt_size, swt_error *err)
{
    swt_series first =
        axis == SWT_LEDGER_DEPTH ? SWT_SERIES_LEDGER_DEPTH_PELVIS : SWT_SERIES_LEDGER_HEIGHT_PELVIS;
    double own[3][LEDGER_EVENTS], group[3][LEDGER_EVENTS], body, arms, their_body, their_arms;
    swt_figure_ledger f = {.frame = d->frame,
                           .axis = axis,
                           .n_events = LEDGER_EVENTS,
                           .event = ledger_events,
                           .player = {own[0], own[1], own[2]},
                           .group = {group[0], group[1], group[2]}};
    const char *of = axis == SWT_LEDGER_DEPTH ? "depth" : "height";
    size_t at = 1; /* lead arm level, backswing; else a later event; else the first */

    f.frame.coverage = 0;
    for (int part = 0; part < 3; part++) {
        swt_series s = (swt_series)((int)first + part);
        swt_status rc = swt_study_read_curves(d->study, s, d->row, d->p->n_swings, d->one, err);
        if (rc != SWT_OK)
            return rc;
        for (size_t e = 0; e < LEDGER_EVENTS; e++) {
            rc = player_median_at_event(&own[part][e], d, s, d->one, ledger_events[e], err);
            if (rc != SWT_OK)
                return rc;
            group[part][e] = d->a->group_facts.at_event[s][ledger_events[e]];
        }
    }
    while (at < LEDGER_EVENTS && !isfinite(own[0][at] + own[1][at] + own[2][at]))
        at++;
    at = at < LEDGER_EVENTS ? at : 0;
    body = 1000 * (own[0][at] + own[1][at]);
    arms = 1000 * own[2][at];
    their_body = 1000 * (group[0][at] + group[1][at]);
    their_arms = 1000 * group[2][at];
    if (!isfinite(body + arms)) {
        snprintf(alt, alt_size,
                 "What pelvis, thorax and arms added to the %s of the hands; it is "
                 "not to be had in these swings.",
                 of);
        return swt_figure_draw_ledger(plot, &f, err);
    }
    snprintf(alt, alt_size,
             "By %s pelvis and thorax have given the hands %.0f mm of %s and the arms %.0f mm",
             swt_event_phrase(ledger_events[at]), body, of, arms);
    snprintf(alt + strlen(alt), alt_size - strlen(alt),
             isfinite(their_body + their_arms) ? "; in the group %.0f mm and %.0f mm." : ".",
             their_body, their_arms);
    return swt_figure_draw_ledger(plot, &f, err);
}

swt_status player_draw_timing(swt_plot *plot, player_data *d, char *alt, size_t alt_size,
                              swt_error *err)
{
    const swt_group_facts *g = &d->a->group_facts;
    size_t n = d->p->n_swings;
    swt_event event[SWT_EVENT_COUNT];
    double *time = calloc(n * SWT_EVENT_COUNT, sizeof *time);
    swt_figure_timing f = {.frame = d->frame,
                           .n_events = SWT_EVENT_COUNT,
                           .event = event,
                           .group_low_s = g->low_s,
                           .group_middle_s = g->middle_s,
                           .group_high_s = g->high_s,
                           .time_s = time,
                           .median_s = d->p->event_s};
    double impact = d->p->event_s[SWT_EVENT_IMPACT];
    swt_status rc;

    if (!time)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    f.frame.coverage = 0;
    for (int e = 0; e < SWT_EVENT_COUNT; e++) {
        event[e] = (swt_event)e;
        for (size_t k = 0; k < n; k++)
            time[k * SWT_EVENT_COUNT + (size_t)e] =
                swt_event_after_takeaway(d->study, d->row[k], (swt_event)e);
    }
    if (isfinite(impact) && isfinite(g->middle_s[SWT_EVENT_IMPACT]))
        snprintf(alt, alt_size,
                 "Impact comes %.2f s after takeaway; in the group the middle player takes %.2f s, "
                 "the others %.2f s to %.2f s.",
                 impact, g->middle_s[SWT_EVENT_IMPACT], g->low_s[SWT_EVENT_IMPACT],
                 g->high_s[SWT_EVENT_IMPACT]);
    else
        snprintf(alt, alt_size, "Times of the events after takeaway%s.",
                 d->a->n_reference_players ? ", beside the group's" : "");
    rc = swt_figure_draw_timing(plot, &f, err);
    free(time);
    return rc;
}

static const swt_event body_events[] = {SWT_EVENT_TAKEAWAY, SWT_EVENT_LEAD_ARM_LEVEL_BACKSWING,
                                        SWT_EVENT_CLUB_TOP, SWT_EVENT_IMPACT};

enum { BODY_EVENTS = sizeof body_events / sizeof *body_events };

/* "At lead arm level in the backswing the hands are 173 mm deeper than in the group's median swing.
 * "
 */
static void say_hands(char *out, size_t size, const double *own, const double *group)
{
    const size_t depth = 3 * (size_t)SWT_STICK_MID_HANDS + 1;
    double more = own && group ? own[depth] - group[depth] : nan("");

    out[0] = '\0';
    if (isfinite(more))
        snprintf(out, size,
                 "At lead arm level in the backswing the hands are %.0f mm %s than in the group's "
                 "median swing. ",
                 1000 * fabs(more), more > 0 ? "deeper" : "less deep");
}

swt_status player_draw_body(swt_plot *plot, player_data *d, const replay_group *group, char *alt,
                            size_t alt_size, swt_error *err)
{
    char found[200];
    size_t row[REPLAY_SWINGS_MOST], n, n_frames;
    double body[BODY_EVENTS * REPLAY_WIDTH], *stick;
    swt_figure_body f = {.frame = d->frame, .n_events = BODY_EVENTS, .event = body_events};
    swt_status rc = replay_choose(row, &n, d->study, d->a, d->p, err);

    if (rc != SWT_OK)
        return rc;
    if (n == 0)
        return swt_fail(err, SWT_EDATA, "the study holds no body of this player");
    rc = replay_read_stick(&stick, &n_frames, d->study, row[0], err);
    if (rc != SWT_OK)
        return rc;
    f.frame.n_player_swings = 1;
    f.frame.coverage = 0;
    for (size_t e = 0; e < BODY_EVENTS; e++) {
        double frame = swt_study_event_frame(d->study, body_events[e], row[0]);
        if (!isfinite(frame))
            continue;
        swt_stick_at(body + e * REPLAY_WIDTH, stick, n_frames, frame);
        f.player[e] = body + e * REPLAY_WIDTH;
        if (group->body) /* these events are the first boundaries of the registration */
            f.group[e] = group->body + e * SWT_PHASE_STEPS * REPLAY_WIDTH;
    }
    free(stick);
    say_hands(found, sizeof found, f.player[1], f.group[1]);
    snprintf(
        alt, alt_size,
        "%sStick figures of the player's %s swing at takeaway, lead arm level in the backswing, "
        "club top and impact, seen along the target line and facing the player%s.",
        found, d->p->n_swings > 1 ? "first" : "only",
        group->body ? ", over the median swing of the group's players" : "");
    return swt_figure_draw_body(plot, &f, err);
}
