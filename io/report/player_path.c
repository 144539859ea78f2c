/* The hand path of one player: which looks there are, and what is drawn in each. */
#include "io/report/figure.h"
#include "io/report/hands.h"
#include "io/report/page_parts.h"
#include "io/report/player_figures.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { N = SWT_CURVE_SAMPLES };

const path_view player_views[PLAYER_VIEWS] = {
    {"hands-back",
     "Hands, backswing, seen along the target line",
     "Hand path in the backswing, seen along the target line",
     "From takeaway to club top.",
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
     "Hands, downswing, seen along the target line",
     "Hand path in the downswing, seen along the target line",
     "From club top to impact.",
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

/* First and last frame of a view in one swing: its events, or the end of a capture that begins or
 * ends within it. */
static bool find_frames(double *from, double *to, const player_data *d, const path_view *view,
                        size_t k)
{
    const swt_study_swing *s = &d->study->swing[d->row[k]];
    const swt_event_time *start = &d->study->event[view->mark[0]][d->row[k]];
    const swt_event_time *end = &d->study->event[view->mark[3]][d->row[k]];

    if (s->n_frames < 2)
        return false;
    *from = swt_study_event_frame(d->study, view->mark[0], d->row[k]);
    *to = swt_study_event_frame(d->study, view->mark[3], d->row[k]);
    if (start->verdict.state == SWT_ABSENT) {
        if (start->verdict.reason != SWT_REASON_STARTS_LATE)
            return false;
        *from = 0;
    }
    if (end->verdict.state == SWT_ABSENT) {
        if (end->verdict.reason != SWT_REASON_ENDS_EARLY)
            return false;
        *to = (double)(s->n_frames - 1);
    }
    return *to > *from;
}

/* Puts a swing's path straight from its samples, in plain time, into its slice. False: there is no
 * such path. */
static swt_status take_samples(bool *taken, player_data *d, const path_view *view, size_t k,
                               swt_error *err)
{
    const swt_study_swing *s = &d->study->swing[d->row[k]];
    double *x = d->slice + k * view->n, *y = d->slice + (d->p->n_swings + k) * view->n;
    double from, to, *native;
    size_t n_seen = 0;
    swt_status rc;

    *taken = false;
    if (!find_frames(&from, &to, d, view, k))
        return SWT_OK;
    native = calloc(2 * s->n_frames, sizeof *native);
    if (!native)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    rc = swt_study_read_series(d->study, view->x, d->row[k], native, err);
    if (rc == SWT_OK)
        rc = swt_study_read_series(d->study, view->y, d->row[k], native + s->n_frames, err);
    for (size_t i = 0; rc == SWT_OK && i < view->n; i++) {
        double frame = from + (to - from) * (double)i / (double)(view->n - 1);
        x[i] = swt_native_at(native, s->n_frames, frame);
        y[i] = swt_native_at(native + s->n_frames, s->n_frames, frame);
        n_seen += isfinite(x[i] + y[i]) != 0;
    }
    *taken = n_seen >= 2;
    free(native);
    return rc;
}

/* Fills the slices: registered curves where a swing has them, its samples where it does not.
 * `n_taken`: swings that are drawn from samples. */
static swt_status fill_slices(size_t *n_taken, player_data *d, const path_view *view, bool compared,
                              swt_error *err)
{
    size_t n_swings = d->p->n_swings;

    *n_taken = 0;
    for (size_t k = 0; k < n_swings; k++) {
        size_t n_seen = 0;
        bool taken = false;
        for (size_t i = 0; i < view->n; i++) {
            size_t at = k * N + view->first + i;
            d->slice[k * view->n + i] = d->one[at];
            d->slice[(n_swings + k) * view->n + i] = d->other[at];
            n_seen += isfinite(d->one[at] + d->other[at]) != 0;
        }
        /* what can be held against the group stays registered */
        if (compared ? 4 * n_seen < view->n : 10 * n_seen < 9 * view->n) {
            swt_status rc = take_samples(&taken, d, view, k, err);
            if (rc != SWT_OK)
                return rc;
        }
        *n_taken += taken;
    }
    return SWT_OK;
}

static double slice_median(player_data *d, const path_view *view, bool second, size_t sample)
{
    size_t n = d->p->n_swings;

    for (size_t k = 0; k < n; k++)
        d->column[k] = d->slice[((second ? n : 0) + k) * view->n + sample];
    return swt_median(d->column, n);
}

/* The bold path and where most swings are outside. All from samples: their median in plain time. */
static void find_median(double *x, double *y, bool *outside, player_data *d, const path_view *view,
                        const swt_path_corridor *tube, bool from_samples)
{
    for (size_t i = 0; i < view->n; i++) {
        size_t sample = view->first + i, n_out = 0, n_seen = 0;
        x[i] = from_samples ? slice_median(d, view, false, i) : player_median_at(d, d->one, sample);
        y[i] =
            from_samples ? slice_median(d, view, true, i) : player_median_at(d, d->other, sample);
        for (size_t k = 0; tube && !from_samples && k < d->p->n_swings; k++) {
            double r = swt_path_corridor_ratio(tube, sample, d->one[k * N + sample],
                                               d->other[k * N + sample]);
            n_seen += isfinite(r) ? 1 : 0;
            n_out += r > 1;
        }
        outside[i] = 2 * n_out > n_seen;
    }
}

/* What the picture shows, and what it does not and why. */
static void say(char *alt, size_t size, player_data *d, const path_view *view, bool compared,
                const bool *outside, const double *x, size_t n_taken)
{
    double registered[N];
    char absent[700];

    for (size_t i = 0; i < view->n; i++)
        registered[i] = player_median_at(d, d->one, view->first + i);
    player_absent_words(absent, sizeof absent, d, registered, view->first, view->n);
    if (n_taken > 0 && n_taken == d->p->n_swings) {
        snprintf(alt, size, "%s: drawn from the samples in plain time%s.%s%s%s", view->what,
                 compared ? ", so not compared with the group's corridor here" : "",
                 *absent ? " There is no registered curve " : "", absent, *absent ? "." : "");
        if (d->study->event[view->mark[0]][d->row[0]].verdict.state == SWT_ABSENT &&
            strlen(alt) < size)
            snprintf(alt + strlen(alt), size - strlen(alt), " It starts at the first frame.");
        return;
    }
    player_outside_words(alt, size, view->what, compared, outside, x, view->first, view->n);
    if (*absent && strlen(alt) < size)
        snprintf(alt + strlen(alt), size - strlen(alt), " No path %s.", absent);
    if (n_taken > 0 && strlen(alt) < size)
        snprintf(alt + strlen(alt), size - strlen(alt),
                 " %zu of %zu swings have no registered curve here: they are drawn from their "
                 "samples and are no part of the median.",
                 n_taken, d->p->n_swings);
}

swt_status player_draw_path(swt_plot *plot, player_data *d, const path_view *view, char *alt,
                            size_t alt_size, swt_error *err)
{
    const swt_path_corridor *tube = view->from_above ? d->a->hand_path_above : d->a->hand_path;
    size_t n_swings = d->p->n_swings, n_taken = 0;
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

    if (tube && tube->state == SWT_CORRIDOR_REFUSED)
        tube = NULL;
    if (rc == SWT_OK)
        rc = swt_study_read_curves(d->study, view->y, d->row, n_swings, d->other, err);
    if (rc == SWT_OK)
        rc = fill_slices(&n_taken, d, view, tube != NULL, err);
    if (rc != SWT_OK)
        return rc;
    find_median(x, y, outside, d, view, tube, n_taken == n_swings);
    for (size_t i = 0; tube && i < view->n; i++) {
        size_t sample = view->first + i;
        centre_x[i] = tube->centre_depth[sample];
        centre_y[i] = tube->centre_height[sample];
        for (size_t j = 0; j < 3; j++)
            ellipse[3 * i + j] =
                tube->multiplier * tube->multiplier * tube->covariance[3 * sample + j];
    }
    if (tube) {
        f.centre_x = centre_x;
        f.centre_y = centre_y;
        f.ellipse = ellipse;
    } else {
        f.frame.coverage = 0;
    }
    for (size_t e = 0; rc == SWT_OK && e < 4; e++) {
        mark[e] = (swt_figure_mark){.event = view->mark[e],
                                    .group_x = d->a->group_facts.at_event[view->x][view->mark[e]],
                                    .group_y = d->a->group_facts.at_event[view->y][view->mark[e]]};
        rc = player_median_at_event(&mark[e].x, d, view->x, d->one, view->mark[e], err);
        if (rc == SWT_OK)
            rc = player_median_at_event(&mark[e].y, d, view->y, d->other, view->mark[e], err);
    }
    if (rc != SWT_OK)
        return rc;
    say(alt, alt_size, d, view, tube != NULL, outside, x, n_taken);
    return swt_figure_draw_path(plot, &f, err);
}
