/* The figures of one player: what is drawn, and the finding in words. */
#include "io/report/player_figures.h"
#include "io/report/figure.h"
#include "io/report/page_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { N = SWT_CURVE_SAMPLES };

/* Median over the swings at one sample. */
static double median_at(player_data *d, const double *curves, size_t sample)
{
    for (size_t k = 0; k < d->p->n_swings; k++)
        d->column[k] = curves[k * N + sample];
    return swt_median(d->column, d->p->n_swings);
}

/* Median over the swings of where they are at an event. */
static double median_at_event(player_data *d, const double *curves, swt_event event)
{
    for (size_t k = 0; k < d->p->n_swings; k++)
        d->column[k] = swt_registered_at(d->time + k * N, curves + k * N,
                                         swt_event_after_takeaway(d->study, d->row[k], event));
    return swt_median(d->column, d->p->n_swings);
}

/* The stretches of a bold line that are stressed, in words, from registered samples. */
static void outside_words(char *out, size_t size, const char *what, bool compared,
                          const bool *outside, const double *median, size_t first, size_t n)
{
    size_t k = 0, seen = 0, from = 0;

    for (size_t i = 0; i < n; i++) {
        seen += isfinite(median[i]) ? 1 : 0;
        if (outside[i] && k++ == 0)
            from = i;
    }
    if (seen == 0)
        snprintf(out, size, "%s: not to be had in these swings; the group alone is drawn.", what);
    else if (4 * seen < n)
        snprintf(out, size,
                 "%s: little of it is to be had in these swings, since an event that opens or "
                 "closes a phase is absent.",
                 what);
    else if (!compared)
        snprintf(out, size, "%s: the player's swings, with no group to compare them with.", what);
    else if (k == 0)
        snprintf(out, size, "%s: most of the player's swings stay inside the group's corridor.",
                 what);
    else {
        size_t sample = first + from;
        size_t phase =
            sample / SWT_PHASE_STEPS < SWT_PHASES ? sample / SWT_PHASE_STEPS : SWT_PHASES - 1;
        snprintf(out, size,
                 "%s: most of the player's swings are outside the group's corridor over %.0f %% of "
                 "the part drawn, first between %s and %s.",
                 what, 100.0 * (double)k / (double)seen,
                 swt_event_phrase(swt_phase_boundary[phase]),
                 swt_event_phrase(swt_phase_boundary[phase + 1]));
    }
}

const path_view player_views[PLAYER_VIEWS] = {
    {"hands-back",
     "Hands, backswing, from the side",
     "Hand path in the backswing, from the side",
     "From takeaway to club top. Open signs: the group at the same events.",
     "depth behind the toe line (mm)",
     "height above the floor (mm)",
     SWT_SERIES_HAND_DEPTH,
     SWT_SERIES_HAND_HEIGHT,
     0,
     2 * SWT_PHASE_STEPS + 1,
     SWT_FIGURE_PATH_RATIO,
     false,
     {SWT_EVENT_TAKEAWAY, SWT_EVENT_SHAFT_LEVEL_BACKSWING, SWT_EVENT_LEAD_ARM_LEVEL_BACKSWING,
      SWT_EVENT_CLUB_TOP}},
    {"hands-down",
     "Hands, downswing, from the side",
     "Hand path in the downswing, from the side",
     "From club top to impact. Open signs: the group at the same events.",
     "depth behind the toe line (mm)",
     "height above the floor (mm)",
     SWT_SERIES_HAND_DEPTH,
     SWT_SERIES_HAND_HEIGHT,
     2 * SWT_PHASE_STEPS,
     SWT_PHASE_STEPS + 1,
     SWT_FIGURE_PATH_RATIO,
     false,
     {SWT_EVENT_CLUB_TOP, SWT_EVENT_LEAD_ARM_LEVEL_DOWNSWING, SWT_EVENT_SHAFT_LEVEL_DOWNSWING,
      SWT_EVENT_IMPACT}},
    {"hands-back-above",
     "Hands, backswing, from above",
     "Hand path in the backswing, from above",
     "From takeaway to club top; the target is to the right, the ball below.",
     "along the target line (mm), target to the right",
     "depth behind the toe line (mm)",
     SWT_SERIES_HAND_ALONG,
     SWT_SERIES_HAND_DEPTH,
     0,
     2 * SWT_PHASE_STEPS + 1,
     SWT_FIGURE_ABOVE_RATIO,
     true,
     {SWT_EVENT_TAKEAWAY, SWT_EVENT_SHAFT_LEVEL_BACKSWING, SWT_EVENT_LEAD_ARM_LEVEL_BACKSWING,
      SWT_EVENT_CLUB_TOP}},
    {"hands-down-above",
     "Hands, downswing, from above",
     "Hand path in the downswing, from above",
     "From club top to impact; the target is to the right, the ball below.",
     "along the target line (mm), target to the right",
     "depth behind the toe line (mm)",
     SWT_SERIES_HAND_ALONG,
     SWT_SERIES_HAND_DEPTH,
     2 * SWT_PHASE_STEPS,
     SWT_PHASE_STEPS + 1,
     SWT_FIGURE_ABOVE_RATIO,
     true,
     {SWT_EVENT_CLUB_TOP, SWT_EVENT_LEAD_ARM_LEVEL_DOWNSWING, SWT_EVENT_SHAFT_LEVEL_DOWNSWING,
      SWT_EVENT_IMPACT}},
};

static double heel_line(player_data *d)
{
    for (size_t k = 0; k < d->p->n_swings; k++)
        d->column[k] = d->study->swing[d->row[k]].heel_depth_m;
    return swt_median(d->column, d->p->n_swings);
}

swt_status player_draw_path(swt_plot *plot, player_data *d, const path_view *view, char *alt,
                            size_t alt_size, swt_error *err)
{
    const swt_path_corridor *tube = view->from_above ? d->a->hand_path_above : d->a->hand_path;
    size_t n_swings = d->p->n_swings;
    double centre_x[N], centre_y[N], ellipse[3 * N], x[N], y[N];
    bool outside[N];
    swt_figure_mark mark[4];
    swt_figure_rule rule[2] = {{0, view->from_above, "toe line"},
                               {heel_line(d), view->from_above, "heel line"}};
    swt_figure_path f = {.frame = d->frame,
                         .title = view->title,
                         .x_label = view->x_label,
                         .y_label = view->y_label,
                         .n = view->n,
                         .n_paths = n_swings,
                         .x = d->slice,
                         .y = d->slice + n_swings * view->n,
                         .median_x = x,
                         .median_y = y,
                         .outside = outside,
                         .n_marks = 4,
                         .mark = mark,
                         .n_rules = isfinite(rule[1].at_m) ? 2 : 1,
                         .rule = rule};
    swt_status rc = swt_study_read_curves(d->study, view->x, d->row, n_swings, d->one, err);

    if (rc == SWT_OK)
        rc = swt_study_read_curves(d->study, view->y, d->row, n_swings, d->other, err);
    if (rc != SWT_OK)
        return rc;
    for (size_t i = 0; i < view->n; i++) {
        size_t sample = view->first + i, n_out = 0, n_seen = 0;
        double m2 = tube ? tube->multiplier * tube->multiplier : 0;
        centre_x[i] = tube ? tube->centre_depth[sample] : nan("");
        centre_y[i] = tube ? tube->centre_height[sample] : nan("");
        for (int j = 0; j < 3; j++)
            ellipse[3 * i + (size_t)j] =
                tube ? m2 * tube->covariance[3 * sample + (size_t)j] : nan("");
        x[i] = median_at(d, d->one, sample);
        y[i] = median_at(d, d->other, sample);
        for (size_t k = 0; k < n_swings; k++) {
            double px = d->one[k * N + sample], py = d->other[k * N + sample];
            double r = !tube || tube->state == SWT_CORRIDOR_REFUSED
                           ? nan("")
                           : swt_path_corridor_ratio(tube, sample, px, py);
            d->slice[k * view->n + i] = px;
            d->slice[(n_swings + k) * view->n + i] = py;
            n_seen += isfinite(r) ? 1 : 0;
            n_out += r > 1;
        }
        outside[i] = 2 * n_out > n_seen;
    }
    if (tube && tube->state != SWT_CORRIDOR_REFUSED) {
        f.centre_x = centre_x;
        f.centre_y = centre_y;
        f.ellipse = ellipse;
    } else {
        f.frame.coverage = 0;
    }
    for (size_t e = 0; e < 4; e++)
        mark[e] = (swt_figure_mark){view->mark[e], median_at_event(d, d->one, view->mark[e]),
                                    median_at_event(d, d->other, view->mark[e]),
                                    d->a->group_facts.at_event[view->x][view->mark[e]],
                                    d->a->group_facts.at_event[view->y][view->mark[e]]};
    outside_words(alt, alt_size, view->what, f.centre_x != NULL, outside, x, view->first, view->n);
    return swt_figure_draw_path(plot, &f, err);
}

swt_status player_draw_curve(swt_plot *plot, player_data *d, swt_series series, char *alt,
                             size_t alt_size, swt_error *err)
{
    long compared = swt_compared_find(d->a, true, (size_t)series);
    const swt_corridor *c = compared >= 0 ? d->a->compared[compared].corridor : NULL;
    double median[N];
    bool outside[N];
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
        median[i] = median_at(d, d->one, i);
        outside[i] = 2 * n_out > n_seen;
    }
    outside_words(alt, alt_size, swt_series_describe(series)->title, f.lower != NULL, outside,
                  median, 0, N);
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
    enum { AT = 1 }; /* lead arm level, backswing */

    f.frame.coverage = 0;
    for (int part = 0; part < 3; part++) {
        swt_series s = (swt_series)((int)first + part);
        swt_status rc = swt_study_read_curves(d->study, s, d->row, d->p->n_swings, d->one, err);
        if (rc != SWT_OK)
            return rc;
        for (size_t e = 0; e < LEDGER_EVENTS; e++) {
            own[part][e] = median_at_event(d, d->one, ledger_events[e]);
            group[part][e] = d->a->group_facts.at_event[s][ledger_events[e]];
        }
    }
    body = 1000 * (own[0][AT] + own[1][AT]);
    arms = 1000 * own[2][AT];
    their_body = 1000 * (group[0][AT] + group[1][AT]);
    their_arms = 1000 * group[2][AT];
    if (isfinite(body + arms + their_body + their_arms))
        snprintf(alt, alt_size,
                 "By lead arm level in the backswing pelvis and trunk have given the hands %.0f mm "
                 "of %s and the arms %.0f mm; in the group %.0f mm and %.0f mm.",
                 body, axis == SWT_LEDGER_DEPTH ? "depth" : "height", arms, their_body, their_arms);
    else
        snprintf(alt, alt_size,
                 "What pelvis, trunk and arms added to the %s of the hands; not all of it is to be "
                 "had in these swings.",
                 axis == SWT_LEDGER_DEPTH ? "depth" : "height");
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
        snprintf(alt, alt_size, "Times of the events after takeaway, beside the group's.");
    rc = swt_figure_draw_timing(plot, &f, err);
    free(time);
    return rc;
}
