#include "kinematics/swings.h"

#include "kinematics/locate.h"

#include <stdlib.h>

typedef struct frame_window {
    size_t first, n_frames;
} frame_window;

/* --- windows ----------------------------------------------------------------------------- */

static const double lead_in_s = 1.0, run_out_s = 0.5;

static size_t frames_in(double seconds, const swt_landmark_set *set)
{
    return (size_t)(seconds * set->rate_hz);
}

/* First frame after the fastest at which the hands (else the marker followed) have come to rest;
 * `limit` when they have not by then. */
static size_t find_rest(const double *speed, size_t fastest, size_t limit, double rest_m_s)
{
    for (size_t f = fastest; f < limit; f++)
        if (speed[f] < rest_m_s)
            return f;
    return limit;
}

static swt_landmark hand_marker(const swt_landmark_set *set, swt_landmark otherwise)
{
    static const swt_landmark hands[] = {SWT_LEAD_HAND, SWT_LEAD_MC2, SWT_LEAD_MC5, SWT_LEAD_WRIST,
                                         SWT_LEAD_RS,   SWT_LEAD_US,  SWT_CLUB_GRIP};

    for (size_t k = 0; k < sizeof hands / sizeof *hands; k++)
        if (set->present[hands[k]])
            return hands[k];
    return otherwise;
}

/* Room for each swing, then the frame between neighbours that are too near for it: halfway between
 * the one's finish and the other's address. */
static void place_windows(frame_window *window, const swt_location *at, size_t n,
                          const double *hand_speed, const swt_landmark_set *set,
                          const swt_analysis_options *options)
{
    size_t end_before = 0, finish_before = 0;

    for (size_t k = 0; k < n; k++) {
        size_t limit = k + 1 < n ? at[k + 1].top : set->n_frames;
        size_t finish = find_rest(hand_speed, at[k].fastest, limit, options->finish_speed_m_s);
        size_t lead_in = frames_in(lead_in_s, set), end = finish + frames_in(run_out_s, set);
        size_t first = at[k].takeaway > lead_in ? at[k].takeaway - lead_in : 0;

        if (end > set->n_frames)
            end = set->n_frames;
        if (first < end_before) {
            size_t address = at[k].address_first;
            first = address > finish_before ? finish_before + (address - finish_before) / 2
                                            : finish_before;
            window[k - 1].n_frames = first - window[k - 1].first;
        }
        window[k] = (frame_window){first, end - first};
        end_before = end;
        finish_before = finish;
    }
}

static swt_status find_windows(frame_window *window, swt_location *at, size_t *n,
                               const swt_landmark_set *set, const swt_analysis_options *options,
                               swt_error *err)
{
    double *speed;
    swt_status rc = swt_locate_all(at, n, set, options->onset_speed_m_s, err);

    if (rc != SWT_OK)
        return rc;
    if (*n == 1) {
        window[0] = (frame_window){0, set->n_frames};
        return SWT_OK;
    }
    speed = malloc(set->n_frames * sizeof *speed);
    if (!speed)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    swt_locate_speed(speed, set, hand_marker(set, at[0].marker));
    place_windows(window, at, *n, speed, set, options);
    free(speed);
    return SWT_OK;
}

/* --- practice or shot -------------------------------------------------------------------- */

/* Own choices but for the speed lost, see swings.h. A head is 0.12 m long at most (equipment rules:
 * 127 mm), a ball has a radius of 21 mm. */
static const double past_the_ball_m = 0.15, stays_m = 0.02;
static const double takes_speed = 0.10, takes_none = 0.05;
static const double ball_seen_s = 0.25, speed_span_s = 0.008;

/* What a swing shows of a ball. */
typedef struct ball_evidence {
    bool starts, vanishes, stays, none, missed;
    bool heard;        /* impact came from the map's analog channel */
    double speed_lost; /* share of the head's speed; NaN where not to be had */
} ball_evidence;

/* Nearest that the head comes to a point on its way round contact, between the frames too. */
static double nearest_pass(const swt_landmark_set *set, swt_vec3 ball, size_t contact)
{
    size_t around = frames_in(0.03, set) + 2;
    size_t from = contact > around ? contact - around : 0;
    double nearest = nan("");

    for (size_t f = from; f + 1 < set->n_frames && f < contact + around; f++) {
        swt_vec3 a = swt_landmark_at(set, SWT_CLUB_HEAD, f);
        swt_vec3 way = swt_sub(swt_landmark_at(set, SWT_CLUB_HEAD, f + 1), a);
        double part = swt_dot(swt_sub(ball, a), way) / swt_dot(way, way);
        swt_vec3 p = swt_add(a, swt_scale(way, fmin(1, fmax(0, part))));
        nearest = fmin(nearest, swt_norm(swt_sub(ball, p)));
    }
    return nearest;
}

static double mean_speed(const swt_landmark_set *set, size_t from, size_t to)
{
    return swt_norm(swt_sub(swt_landmark_at(set, SWT_CLUB_HEAD, to),
                            swt_landmark_at(set, SWT_CLUB_HEAD, from))) *
           set->rate_hz / (double)(to - from);
}

/* From the samples as recorded: `contact` is the first frame after it. */
static double speed_lost(const swt_landmark_set *set, size_t contact)
{
    size_t span = frames_in(speed_span_s, set);

    if (span == 0)
        span = 1;
    if (!set->present[SWT_CLUB_HEAD] || contact < span + 1 || contact + span >= set->n_frames)
        return nan("");
    return 1 - mean_speed(set, contact, contact + span) /
                   mean_speed(set, contact - 1 - span, contact - 1);
}

static ball_evidence look_for_ball(const swt_landmark_set *set, const swt_swing *swing)
{
    size_t contact = swing->capture_frame + swing->split;
    size_t end = swing->capture_frame + swing->n_frames;
    size_t seen = frames_in(ball_seen_s, set), from = contact > seen ? contact - seen : 0;
    size_t last = contact + seen < end ? contact + seen : end - 1;
    ball_evidence e = {.speed_lost = nan(""), .heard = swing->impact_from_channel};
    swt_vec3 before, after;

    if (contact >= end)
        return e; /* the swing has no contact */
    e.speed_lost = speed_lost(set, contact);
    if (!set->present[SWT_BALL])
        return e;
    before = swt_landmark_mean(set, SWT_BALL, from, contact > 2 ? contact - 2 : 0);
    after = swt_landmark_mean(set, SWT_BALL, contact + 2, last);
    e.starts = swt_locate_launch(set, from) <= contact + frames_in(0.05, set);
    e.none = !swt_vec3_is_finite(before);
    e.vanishes = !e.none && !swt_vec3_is_finite(after) && last > contact + 2;
    e.stays = swt_norm(swt_sub(after, before)) < stays_m;
    e.missed = !e.starts && nearest_pass(set, before, contact) > past_the_ball_m;
    return e;
}

/* What is seen in some swing of the capture. */
typedef struct seen_in_capture {
    bool start, sound, loss;
} seen_in_capture;

static swt_strike judge(const ball_evidence *e, const seen_in_capture *seen)
{
    if (e->starts)
        return SWT_STRUCK;
    if (e->missed)
        return SWT_PRACTICE;
    if (e->vanishes)
        return SWT_STRUCK;
    if (seen->start && (e->stays || e->none))
        return SWT_PRACTICE;
    if (seen->sound)
        return e->heard ? SWT_STRUCK : SWT_PRACTICE;
    if (e->speed_lost >= takes_speed)
        return SWT_STRUCK;
    if (seen->loss && e->speed_lost < takes_none)
        return SWT_PRACTICE;
    return SWT_STRIKE_UNKNOWN;
}

static void tell_practice(swt_swing *const *swing, size_t n, const swt_landmark_set *set)
{
    ball_evidence evidence[SWT_SWINGS_MAX];
    seen_in_capture seen = {false, false, false};

    for (size_t k = 0; k < n; k++) {
        evidence[k] = look_for_ball(set, swing[k]);
        seen.start = seen.start || evidence[k].starts;
        seen.sound = seen.sound || evidence[k].heard;
        seen.loss = seen.loss || evidence[k].speed_lost >= takes_speed;
    }
    for (size_t k = 0; k < n; k++) {
        swing[k]->strike = judge(&evidence[k], &seen);
        if (swing[k]->strike == SWT_PRACTICE)
            swt_findings_add(&swing[k]->findings, SWT_NOTE, "practice_swing",
                             "Swing %zu of the capture's %zu strikes no ball: %s. Corridors and "
                             "comparisons leave it out unless they are asked to take practice "
                             "swings too.",
                             swing[k]->number, n,
                             evidence[k].missed  ? "the club head passes beside it"
                             : evidence[k].stays ? "the ball stays where it lies"
                             : evidence[k].none  ? "none lies there"
                             : seen.sound        ? "the channel of contact stays silent"
                                                 : "contact takes none of the head's speed");
        else if (swing[k]->strike == SWT_STRIKE_UNKNOWN)
            swt_findings_add(&swing[k]->findings, SWT_CAUTION, "strike_unknown",
                             "Swing %zu of the capture's %zu: neither a ball's marker nor the club "
                             "head's speed tells whether it struck a ball, so it counts as a shot. "
                             "If it was practice, cut it from the capture.",
                             swing[k]->number, n);
    }
}

/* --- the capture ------------------------------------------------------------------------- */

static swt_status analyse_window(swt_swing **out, const swt_landmark_set *landmarks,
                                 frame_window window, const swt_landmark_set *static_pose,
                                 const swt_marker_map *map, swt_handedness side,
                                 const swt_analysis_options *options, swt_error *err)
{
    swt_landmark_set *cut;
    swt_status rc;

    *out = NULL;
    if (window.n_frames == landmarks->n_frames)
        return swt_analyse(out, landmarks, static_pose, map, side, NULL, options, err);
    rc = swt_landmark_set_copy(&cut, landmarks, window.first, window.n_frames, err);
    if (rc == SWT_OK)
        rc = swt_analyse(out, cut, static_pose, map, side, NULL, options, err);
    swt_landmark_set_free(cut);
    return rc;
}

swt_status swt_analyse_capture(swt_swing ***out, size_t *n, const swt_landmark_set *landmarks,
                               const swt_landmark_set *static_pose, const swt_marker_map *map,
                               swt_handedness side, const swt_analysis_options *options,
                               swt_findings *findings, swt_error *err)
{
    frame_window window[SWT_SWINGS_MAX];
    swt_location at[SWT_SWINGS_MAX];
    swt_swing **swing = NULL;
    swt_error why = SWT_ERROR_INIT, first_why = SWT_ERROR_INIT;
    size_t n_windows;
    swt_status rc = find_windows(window, at, &n_windows, landmarks, options, err);

    *out = NULL;
    *n = 0;
    if (rc != SWT_OK)
        return rc;
    swing = calloc(n_windows, sizeof(swt_swing *));
    if (!swing)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t k = 0; k < n_windows && rc != SWT_ENOMEM; k++) {
        rc =
            analyse_window(&swing[*n], landmarks, window[k], static_pose, map, side, options, &why);
        if (rc == SWT_OK) {
            swing[*n]->number = *n + 1;
            (*n)++;
            continue;
        }
        if (first_why.code == SWT_OK)
            first_why = why;
        if (n_windows > 1)
            swt_findings_add(findings, SWT_CAUTION, "swing_not_analysed",
                             "The motion at %.2f s, one of %zu as fast as a swing, is left out: "
                             "%.150s.",
                             (double)at[k].fastest / landmarks->rate_hz, n_windows, why.msg);
    }
    if (rc == SWT_ENOMEM || *n == 0) {
        for (size_t k = 0; k < *n; k++)
            swt_swing_free(swing[k]);
        free(swing);
        *n = 0;
        return rc == SWT_ENOMEM ? swt_fail(err, rc, "%s", why.msg)
                                : swt_fail(err, first_why.code, "%s", first_why.msg);
    }
    if (n_windows > 1)
        tell_practice(swing, *n, landmarks);
    *out = swing;
    return SWT_OK;
}
