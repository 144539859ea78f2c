#include "kinematics/event.h"

#include "kinematics/angle.h"
#include "kinematics/derivative.h"
#include "kinematics/local_spline.h"
#include "kinematics/plane.h"
#include "kinematics/series.h"
#include "kinematics/subframe.h"
#include "kinematics/turn.h"

#include <stdlib.h>

/* Hands move about a third as fast as the club head at the onset (lever arms; own choice). */
static const double hands_onset_share = 0.33;

typedef struct finder {
    swt_swing *swing;
    const swt_body *body;
    const swt_landmark_set *recorded;
    swt_body hands; /* of what was recorded: hands, grip and club head, not smoothed */
    const swt_location *location;
    const swt_contact *contact;
    const swt_analysis_options *options;
    swt_verdict from_what; /* usable, or limited: hands in place of the club */
} finder;

static void set_event(finder *w, swt_event event, double frame, swt_verdict verdict)
{
    swt_event_time *e = &w->swing->event[event];
    e->time_s = frame / w->swing->rate_hz;
    e->verdict = verdict;
}

static void set_absent(finder *w, swt_event event, swt_reason_code reason, int subject)
{
    w->swing->event[event] = (swt_event_time){nan(""), nan(""), swt_absent(reason, subject)};
}

static bool has(const finder *w, swt_event event)
{
    return w->swing->event[event].verdict.state != SWT_ABSENT;
}

static double frame_of(const finder *w, swt_event event)
{
    return w->swing->event[event].time_s * w->swing->rate_hz;
}

/* Last frame of the time before contact. */
static size_t last_before_contact(const finder *w)
{
    return (w->swing->split < w->swing->n_frames ? w->swing->split : w->swing->n_frames) - 1;
}

static swt_series speed_series(const finder *w)
{
    return w->swing->series[SWT_SERIES_CLUB_HEAD_SPEED] ? SWT_SERIES_CLUB_HEAD_SPEED
                                                        : SWT_SERIES_HAND_SPEED;
}

static size_t greatest(const double *x, size_t from, size_t to)
{
    size_t best = from;
    for (size_t f = from; f <= to; f++)
        if (x[f] > x[best] || !isfinite(x[best]))
            best = f;
    return best;
}

/* Mean plus four standard deviations of the speed at address: what noise alone can reach. */
static double noise_threshold(const double *speed, size_t first, size_t last)
{
    double sum = 0, squares = 0, n = 0, mean, variance;

    for (size_t f = first; f <= last; f++)
        if (isfinite(speed[f])) {
            sum += speed[f];
            squares += speed[f] * speed[f];
            n++;
        }
    if (n < 3)
        return 0;
    mean = sum / n;
    variance = (squares - n * mean * mean) / (n - 1);
    return mean + 4 * sqrt(variance > 0 ? variance : 0);
}

static void find_takeaway(finder *w)
{
    const swt_location *at = w->location;
    size_t n = w->swing->n_frames, split = w->swing->split;
    swt_series id = speed_series(w);
    const double *speed = w->swing->series[id];
    double nominal =
        w->options->onset_speed_m_s * (id == SWT_SERIES_HAND_SPEED ? hands_onset_share : 1);
    double threshold, crossing, rise;
    size_t backswing;

    if (!speed) {
        set_absent(w, SWT_EVENT_TAKEAWAY, SWT_REASON_SERIES_ABSENT, SWT_SERIES_HAND_SPEED);
        return;
    }
    if (!at->quiet) {
        set_absent(w, SWT_EVENT_TAKEAWAY, SWT_REASON_STARTS_LATE, 0);
        return;
    }
    backswing = greatest(speed, at->takeaway, at->top);
    threshold = noise_threshold(speed, at->address_first, at->address_last);
    if (threshold < nominal)
        threshold = nominal;
    if (!swt_subframe_last_crossing(&crossing, speed, n, split, threshold, SWT_CROSSING_RISING, 0,
                                    backswing)) {
        set_absent(w, SWT_EVENT_TAKEAWAY, SWT_REASON_STARTS_LATE, 0);
        return;
    }
    if (threshold > nominal &&
        swt_subframe_crossing(&rise, speed, n, split, 2 * threshold, SWT_CROSSING_RISING,
                              (size_t)crossing, backswing) &&
        rise > crossing)
        crossing -= (rise - crossing) * (threshold - nominal) / threshold;
    set_event(w, SWT_EVENT_TAKEAWAY, crossing > 0 ? crossing : 0, w->from_what);
}

/* Where along the target line the head (else `x`, the hands) is in the frame of contact. */
static double along_at(const finder *w, const double *x, double frame)
{
    if (w->contact->known)
        return swt_contact_position(w->contact, frame).x;
    return swt_subframe_before(x, w->swing->n_frames, w->swing->split, frame);
}

static void set_impact(finder *w, double frame, swt_verdict verdict)
{
    set_event(w, SWT_EVENT_IMPACT, frame, verdict);
    if (w->contact->known)
        w->swing->contact_speed_m_s = swt_contact_speed(w->contact, frame) * w->swing->rate_hz;
}

static void find_impact(finder *w)
{
    size_t n = w->swing->n_frames, split = w->swing->split, last = split - 1;
    swt_point of = w->body->point[SWT_POINT_CLUB_HEAD] ? SWT_POINT_CLUB_HEAD : SWT_POINT_MID_HANDS;
    const swt_vec3 *p = w->body->point[of];
    double home = w->location->home_m, *x, low = (double)last, high = (double)split;
    swt_verdict verdict = w->location->quiet
                              ? w->from_what
                              : swt_worse(w->from_what, swt_limited(SWT_REASON_STARTS_MOVING, 0));

    if (split >= n) {
        set_absent(w, SWT_EVENT_IMPACT, SWT_REASON_ENDS_EARLY, 0);
        return;
    }
    if (isfinite(w->location->contact_frame)) {
        set_impact(w, w->location->contact_frame, swt_usable());
        return;
    }
    x = malloc(n * sizeof *x);
    if (!x || !p) {
        free(x);
        set_absent(w, SWT_EVENT_IMPACT, SWT_REASON_NOT_DEFINED, 0);
        return;
    }
    for (size_t f = 0; f < n; f++)
        x[f] = p[f].x;
    for (int k = 0; k < 60; k++) { /* bisection */
        double middle = 0.5 * (low + high);
        if (along_at(w, x, middle) < home)
            low = middle;
        else
            high = middle;
    }
    if (isfinite(along_at(w, x, low)))
        set_impact(w, low, verdict);
    else
        set_absent(w, SWT_EVENT_IMPACT, SWT_REASON_SAMPLES_MISSING, 0);
    free(x);
}

/* Why a level was not found between two frames: lost samples may hide it. */
static swt_reason_code why_not_found(const double *x, size_t from, size_t to)
{
    for (size_t f = from; f <= to; f++)
        if (!isfinite(x[f]))
            return SWT_REASON_SAMPLES_MISSING;
    return SWT_REASON_NOT_REACHED;
}

/* First rising crossing after takeaway, last falling one before impact. */
static void find_levels(finder *w, swt_series id, swt_event up, swt_event down)
{
    const double *x = w->swing->series[id];
    size_t n = w->swing->n_frames, split = w->swing->split, last = last_before_contact(w);
    swt_verdict verdict = w->swing->series_verdict[id];
    double frame;
    size_t from = has(w, SWT_EVENT_TAKEAWAY) ? (size_t)frame_of(w, SWT_EVENT_TAKEAWAY)
                                             : w->location->address_last;

    if (!x) {
        set_absent(w, up, SWT_REASON_SERIES_ABSENT, (int)id);
        set_absent(w, down, SWT_REASON_SERIES_ABSENT, (int)id);
        return;
    }
    if (swt_subframe_crossing(&frame, x, n, split, 0, SWT_CROSSING_RISING, from, last))
        set_event(w, up, frame, verdict);
    else
        set_absent(w, up, x[from] > 0 ? SWT_REASON_STARTS_LATE : why_not_found(x, from, last), 0);
    if (swt_subframe_last_crossing(&frame, x, n, split, 0, SWT_CROSSING_FALLING,
                                   w->location->top > 3 ? w->location->top - 3 : 0, last))
        set_event(w, down, frame, verdict);
    else
        set_absent(w, down,
                   split >= n && x[last] > 0 ? SWT_REASON_ENDS_EARLY : why_not_found(x, from, last),
                   0);
}

static double noise_of(const finder *w, swt_landmark landmark)
{
    return swt_noise_or_usual(w->swing->quality.noise_m[landmark]);
}

/* Noise of the direction from one marker to another at the top, rad. */
static double angular_noise(const finder *w, swt_landmark a, swt_landmark b)
{
    const swt_landmark_set *set = w->swing->body;
    double length = swt_norm(swt_sub(swt_landmark_at(set, a, w->location->top),
                                     swt_landmark_at(set, b, w->location->top)));
    return hypot(noise_of(w, a), noise_of(w, b)) / (length > 0.05 ? length : 0.05);
}

/* Noise of mid-hands: the mean of four markers has half the noise of one. */
static double hands_noise(const finder *w)
{
    const swt_body *hands = &w->hands;
    if (hands->point[SWT_POINT_LEAD_HAND] && hands->point[SWT_POINT_TRAIL_HAND])
        return 0.5 * noise_of(w, SWT_LEAD_MC2);
    return hands->point[SWT_POINT_CLUB_HEAD] ? noise_of(w, SWT_CLUB_GRIP)
                                             : 0.5 * noise_of(w, SWT_LEAD_RS);
}

/* Half width of the stretch in which an instant is looked at; own choice: the quick transition of
 * hands and club, the slow one of the trunk and the hands' coming to rest. */
static const double quick_s = 0.10, slow_s = 0.20;

/* Coordinates of the recorded hands, 3 n; NULL: no memory. */
static double *hands_path(const finder *w)
{
    size_t n = w->swing->n_frames;
    const swt_vec3 *hands = w->hands.point[SWT_POINT_MID_HANDS];
    double *path = malloc(3 * n * sizeof *path);

    for (size_t f = 0; path && f < n; f++) {
        path[f] = hands[f].x;
        path[n + f] = hands[f].y;
        path[2 * n + f] = hands[f].z;
    }
    return path;
}

static swt_status find_follow_through(finder *w, swt_error *err)
{
    const double *x = w->swing->series[SWT_SERIES_SHAFT_ELEVATION];
    const double *speed = w->swing->series[SWT_SERIES_HAND_SPEED];
    size_t n = w->swing->n_frames, split = w->swing->split;
    double frame;

    if (split >= n || !has(w, SWT_EVENT_IMPACT)) {
        set_absent(w, SWT_EVENT_SHAFT_LEVEL_FOLLOW_THROUGH, SWT_REASON_ENDS_EARLY, 0);
        set_absent(w, SWT_EVENT_FINISH, SWT_REASON_ENDS_EARLY, 0);
        return SWT_OK;
    }
    if (!x)
        set_absent(w, SWT_EVENT_SHAFT_LEVEL_FOLLOW_THROUGH, SWT_REASON_SERIES_ABSENT,
                   SWT_SERIES_SHAFT_ELEVATION);
    else if (swt_subframe_crossing(&frame, x, n, split, 0, SWT_CROSSING_RISING, split, n - 1))
        set_event(w, SWT_EVENT_SHAFT_LEVEL_FOLLOW_THROUGH, frame,
                  w->swing->series_verdict[SWT_SERIES_SHAFT_ELEVATION]);
    else
        set_absent(w, SWT_EVENT_SHAFT_LEVEL_FOLLOW_THROUGH, SWT_REASON_ENDS_EARLY, 0);
    if (!speed)
        set_absent(w, SWT_EVENT_FINISH, SWT_REASON_SERIES_ABSENT, SWT_SERIES_HAND_SPEED);
    else if (swt_subframe_crossing(&frame, speed, n, split, w->options->finish_speed_m_s,
                                   SWT_CROSSING_FALLING, split, n - 1)) {
        double *path = hands_path(w), rate_hz = w->swing->rate_hz;
        if (!path)
            return swt_fail(err, SWT_ENOMEM, "out of memory");
        (void)swt_slowing_point(&frame, (const double *const[]){path, path + n, path + 2 * n}, 3, n,
                                split, slow_s * rate_hz, hands_noise(w),
                                w->options->finish_speed_m_s / rate_hz);
        free(path);
        set_event(w, SWT_EVENT_FINISH, frame, w->swing->series_verdict[SWT_SERIES_HAND_SPEED]);
    } else {
        set_absent(w, SWT_EVENT_FINISH, SWT_REASON_ENDS_EARLY, 0);
    }
    return SWT_OK;
}

static swt_status find_hands_top(finder *w, swt_error *err)
{
    const double *speed = w->swing->series[SWT_SERIES_HAND_SPEED];
    size_t n = w->swing->n_frames, last = last_before_contact(w);
    size_t up, down;
    double frame, *path;

    if (!speed) {
        set_absent(w, SWT_EVENT_HANDS_TOP, SWT_REASON_SERIES_ABSENT, SWT_SERIES_HAND_SPEED);
        return SWT_OK;
    }
    /* the later half of the backswing: before it, slow frames belong to the start */
    up = (w->location->takeaway + w->location->top) / 2;
    down = greatest(speed, w->location->top, last);
    if (!swt_subframe_minimum(&frame, NULL, speed, n, w->swing->split, up, down)) {
        set_absent(w, SWT_EVENT_HANDS_TOP, SWT_REASON_SAMPLES_MISSING, 0);
        return SWT_OK;
    }
    path = hands_path(w);
    if (!path)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    (void)swt_turning_point(&frame, (const double *const[]){path, path + n, path + 2 * n}, 3, n,
                            w->swing->split, quick_s * w->swing->rate_hz, hands_noise(w));
    free(path);
    set_event(w, SWT_EVENT_HANDS_TOP, frame, w->swing->series_verdict[SWT_SERIES_HAND_SPEED]);
    return SWT_OK;
}

/* Normal of the plane of the club head around impact; false when there is too little of it. */
static bool swing_plane_normal(const finder *w, swt_vec3 *normal)
{
    const swt_landmark_set *set = w->swing->body;
    size_t from, to;
    swt_plane plane;

    if (!set->present[SWT_CLUB_HEAD] || !has(w, SWT_EVENT_SHAFT_LEVEL_DOWNSWING))
        return false;
    from = (size_t)ceil(frame_of(w, SWT_EVENT_SHAFT_LEVEL_DOWNSWING));
    to = has(w, SWT_EVENT_SHAFT_LEVEL_FOLLOW_THROUGH)
             ? (size_t)frame_of(w, SWT_EVENT_SHAFT_LEVEL_FOLLOW_THROUGH)
             : last_before_contact(w);
    if (to < from + 3 ||
        swt_plane_fit(&plane, set->axis[SWT_CLUB_HEAD][0] + from,
                      set->axis[SWT_CLUB_HEAD][1] + from, set->axis[SWT_CLUB_HEAD][2] + from,
                      to - from + 1, NULL) != SWT_OK)
        return false;
    *normal = plane.normal;
    return true;
}

/* Axis about which directions turn, the faster the more weight. */
static swt_vec3 mean_turning_axis(const swt_vec3 *u, const swt_vec3 *du, size_t from, size_t to)
{
    swt_vec3 sum = {0, 0, 0};

    for (size_t f = from; f <= to; f++) {
        swt_vec3 axis = swt_cross(u[f], du[f]);
        if (swt_vec3_is_finite(axis))
            sum = swt_add(sum, swt_scale(axis, swt_norm(axis)));
    }
    return swt_direction(sum);
}

/* Angle of directions seen along a normal, continuous. */
static void angle_in_plane(double *angle, const swt_vec3 *u, size_t n, swt_vec3 normal)
{
    swt_vec3 level = swt_direction(swt_cross(normal, swt_vec3_make(0, 0, 1)));
    swt_vec3 slope = swt_cross(normal, level);

    for (size_t f = 0; f < n; f++)
        angle[f] = atan2(swt_dot(u[f], slope), swt_dot(u[f], level));
    swt_angle_unwrap(angle, n);
}

static swt_status find_club_top(finder *w, swt_error *err)
{
    const swt_swing *swing = w->swing;
    size_t n = swing->n_frames, last = last_before_contact(w);
    const swt_vec3 *grip = w->body->point[SWT_POINT_GRIP];
    const swt_vec3 *head = w->body->point[SWT_POINT_CLUB_HEAD];
    swt_verdict verdict = swing->series_verdict[SWT_SERIES_SHAFT_ELEVATION];
    swt_vec3 normal, *u;
    double *turning, frame, sign;
    swt_status rc;

    if (!head || !grip) {
        /* without a club the hands' reversal stands in, named as such */
        if (has(w, SWT_EVENT_HANDS_TOP))
            set_event(w, SWT_EVENT_CLUB_TOP, frame_of(w, SWT_EVENT_HANDS_TOP),
                      swt_limited(SWT_REASON_FROM_HANDS, 0));
        else
            set_absent(w, SWT_EVENT_CLUB_TOP, SWT_REASON_LANDMARK_MISSING, SWT_CLUB_HEAD);
        return SWT_OK;
    }
    u = malloc(2 * n * sizeof *u);
    turning = malloc(n * sizeof *turning);
    if (!u || !turning) {
        free(u);
        free(turning);
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    }
    for (size_t f = 0; f < n; f++)
        u[f] = swt_direction(swt_sub(head[f], grip[f]));
    rc = swt_point_velocity(u + n, u, n, swing->split, swing->rate_hz, err);
    if (rc != SWT_OK)
        goto done;
    if (!swing_plane_normal(w, &normal)) {
        if (swing->split < n) {
            set_absent(w, SWT_EVENT_CLUB_TOP, SWT_REASON_EVENT_ABSENT,
                       SWT_EVENT_SHAFT_LEVEL_DOWNSWING);
            goto done;
        }
        /* the capture ends in the downswing: what there is of it serves */
        normal = mean_turning_axis(u, u + n, w->location->top, last);
        verdict = swt_worse(verdict, swt_limited(SWT_REASON_ENDS_EARLY, 0));
    }
    for (size_t f = 0; f < n; f++)
        turning[f] = swt_dot(swt_cross(u[f], u[n + f]), normal);
    /* the downswing's sense of rotation is positive */
    sign = turning[greatest(swing->series[SWT_SERIES_CLUB_ANGULAR_SPEED], w->location->top, last)];
    for (size_t f = 0; sign < 0 && f < n; f++)
        turning[f] = -turning[f];
    if (swt_subframe_last_crossing(&frame, turning, n, swing->split, 0, SWT_CROSSING_RISING,
                                   w->location->takeaway, last)) {
        const swt_vec3 *recorded_head = w->hands.point[SWT_POINT_CLUB_HEAD];
        const swt_vec3 *recorded_grip = w->hands.point[SWT_POINT_GRIP];
        for (size_t f = 0; f < n; f++)
            u[f] = swt_direction(swt_sub(recorded_head[f], recorded_grip[f]));
        angle_in_plane(turning, u, n, normal);
        (void)swt_turning_point(&frame, (const double *const[]){turning}, 1, n, swing->split,
                                quick_s * swing->rate_hz,
                                angular_noise(w, SWT_CLUB_GRIP, SWT_CLUB_HEAD));
        set_event(w, SWT_EVENT_CLUB_TOP, frame, verdict);
    } else {
        set_absent(w, SWT_EVENT_CLUB_TOP, why_not_found(turning, w->location->takeaway, last), 0);
    }
done:
    free(u);
    free(turning);
    return rc;
}

/* Where the markers give no turn (fewer than three), the integral of the smoothed angular speed
 * does. */
static swt_status find_reversal(finder *w, swt_event event, swt_series id, swt_segment segment,
                                swt_error *err)
{
    const double *x = w->swing->series[id];
    const swt_segment_pose *pose = &w->body->segment[segment];
    size_t n = w->swing->n_frames, last = last_before_contact(w), from, to;
    double frame, noise, *turn, half = slow_s * w->swing->rate_hz;
    swt_status rc;

    if (!x) {
        w->swing->event[event] = (swt_event_time){nan(""), nan(""), w->swing->series_verdict[id]};
        return SWT_OK;
    }
    if (!swt_subframe_last_crossing(&frame, x, n, w->swing->split, 0, SWT_CROSSING_RISING,
                                    w->location->takeaway, last)) {
        set_absent(w, event, why_not_found(x, w->location->takeaway, last), 0);
        return SWT_OK;
    }
    turn = malloc(n * sizeof *turn);
    if (!turn)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    from = frame > 2 * half ? (size_t)(frame - 2 * half) : 0;
    to = frame + 2 * half < (double)last ? (size_t)(frame + 2 * half) : last;
    rc = swt_segment_turn(turn, segment, pose, w->recorded, from, to, err);
    if (rc == SWT_OK && isnan(turn[(size_t)frame]))
        swt_integral_from(turn, x, n, w->swing->split, (size_t)frame, w->swing->rate_hz);
    noise = swt_segment_turn_noise(pose, segment, w->swing->body, w->swing->quality.noise_m,
                                   (size_t)frame);
    if (rc == SWT_OK) {
        (void)swt_turning_point(&frame, (const double *const[]){turn}, 1, n, w->swing->split, half,
                                noise > 0 ? noise : 0.003);
        set_event(w, event, frame, w->swing->series_verdict[id]);
    }
    free(turn);
    return rc;
}

void swt_travel(double *travel, const swt_swing *swing)
{
    size_t n = swing->n_frames, start;
    const double *speed = swing->series[SWT_SERIES_CLUB_HEAD_SPEED]
                              ? swing->series[SWT_SERIES_CLUB_HEAD_SPEED]
                              : swing->series[SWT_SERIES_HAND_SPEED];
    double takeaway = swing->event[SWT_EVENT_TAKEAWAY].time_s * swing->rate_hz, zero;

    for (size_t f = 0; f < n; f++)
        travel[f] = nan("");
    if (!speed || !isfinite(takeaway))
        return;
    start = (size_t)takeaway;
    swt_integral_from(travel, speed, n, swing->split, start, swing->rate_hz);
    zero = swt_subframe_value(travel, n, swing->split, takeaway);
    for (size_t f = 0; f < n; f++)
        travel[f] = f < start ? nan("") : travel[f] - zero;
}

static swt_status find_travels(finder *w, swt_error *err)
{
    static const struct {
        swt_event event;
        double length_m;
    } travels[] = {{SWT_EVENT_TRAVEL_061, 0.61}, {SWT_EVENT_TRAVEL_183, 1.83}};
    size_t n = w->swing->n_frames;
    double *travel = malloc(n * sizeof *travel), frame;

    if (!travel)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    swt_travel(travel, w->swing);
    for (size_t k = 0; k < sizeof travels / sizeof *travels; k++) {
        swt_event event = travels[k].event;
        if (!w->body->point[SWT_POINT_CLUB_HEAD])
            set_absent(w, event, SWT_REASON_LANDMARK_MISSING, SWT_CLUB_HEAD);
        else if (!has(w, SWT_EVENT_TAKEAWAY))
            set_absent(w, event, SWT_REASON_EVENT_ABSENT, SWT_EVENT_TAKEAWAY);
        else if (swt_subframe_crossing(&frame, travel, n, w->swing->split, travels[k].length_m,
                                       SWT_CROSSING_RISING, 0, w->location->top))
            set_event(w, event, frame, w->swing->series_verdict[SWT_SERIES_CLUB_HEAD_SPEED]);
        else
            set_absent(w, event, SWT_REASON_NOT_REACHED, 0);
    }
    free(travel);
    return SWT_OK;
}

swt_status swt_events_find(swt_swing *swing, const swt_body *body, const swt_landmark_set *recorded,
                           const swt_location *location, const swt_contact *contact,
                           const swt_analysis_options *options, swt_error *err)
{
    finder w = {.swing = swing,
                .body = body,
                .recorded = recorded,
                .location = location,
                .contact = contact,
                .options = options,
                .from_what =
                    location->from_hands ? swt_limited(SWT_REASON_FROM_HANDS, 0) : swt_usable()};
    swt_status rc = swt_body_build_hands(&w.hands, recorded, err);

    if (rc != SWT_OK)
        return rc;
    for (int e = 0; e < SWT_EVENT_COUNT; e++)
        set_absent(&w, (swt_event)e, SWT_REASON_NOT_DEFINED, 0);
    find_takeaway(&w);
    find_impact(&w);
    find_levels(&w, SWT_SERIES_LEAD_ARM_ELEVATION, SWT_EVENT_LEAD_ARM_LEVEL_BACKSWING,
                SWT_EVENT_LEAD_ARM_LEVEL_DOWNSWING);
    find_levels(&w, SWT_SERIES_SHAFT_ELEVATION, SWT_EVENT_SHAFT_LEVEL_BACKSWING,
                SWT_EVENT_SHAFT_LEVEL_DOWNSWING);
    rc = find_follow_through(&w, err);
    if (rc == SWT_OK)
        rc = find_hands_top(&w, err);
    if (rc == SWT_OK)
        rc = find_reversal(&w, SWT_EVENT_PELVIS_REVERSAL, SWT_SERIES_PELVIS_ANGULAR_SPEED,
                           SWT_SEGMENT_PELVIS, err);
    if (rc == SWT_OK)
        rc = find_reversal(&w, SWT_EVENT_THORAX_REVERSAL, SWT_SERIES_THORAX_ANGULAR_SPEED,
                           SWT_SEGMENT_THORAX, err);
    if (rc == SWT_OK)
        rc = find_club_top(&w, err);
    if (rc == SWT_OK)
        rc = find_travels(&w, err);
    swt_body_reset(&w.hands);
    return rc;
}
