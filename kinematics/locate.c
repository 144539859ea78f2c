#include "kinematics/locate.h"

#include <gsl/gsl_statistics_double.h>
#include <stdlib.h>
#include <string.h>

/* Half width of the speed estimate: wide enough for 2 mm of noise, short against a swing. */
static const double half_window_s = 0.020;
static const double longest_downswing_s = 0.8, longest_backswing_s = 2.0;
static const double address_s = 0.25;
static const double least_speed_m_s = 2; /* own choice: nothing slower is a swing */

static swt_landmark marker_to_follow(const swt_landmark_set *set)
{
    static const swt_landmark choice[] = {
        SWT_CLUB_HEAD,  SWT_CLUB_HEEL, SWT_CLUB_TOE, SWT_CLUB_SHAFT, SWT_CLUB_GRIP,
        SWT_LEAD_HAND,  SWT_LEAD_MC2,  SWT_LEAD_MC5, SWT_TRAIL_HAND, SWT_TRAIL_MC2,
        SWT_LEAD_WRIST, SWT_LEAD_RS,   SWT_LEAD_US,  SWT_TRAIL_WRIST};

    for (size_t k = 0; k < sizeof choice / sizeof *choice; k++)
        if (set->present[choice[k]] &&
            swt_vec3_is_finite(swt_landmark_mean(set, choice[k], 0, set->n_frames - 1)))
            return choice[k];
    return SWT_LANDMARK_COUNT;
}

void swt_locate_speed(double *speed, const swt_landmark_set *set, swt_landmark marker)
{
    size_t n = set->n_frames, w = (size_t)lround(half_window_s * set->rate_hz);

    if (w == 0)
        w = 1;
    for (size_t f = 0; f < n; f++) {
        size_t a = f >= w ? f - w : 0, b = f + w < n ? f + w : n - 1;
        double way =
            swt_norm(swt_sub(swt_landmark_at(set, marker, b), swt_landmark_at(set, marker, a)));
        speed[f] = isfinite(way) && b > a ? way * set->rate_hz / (double)(b - a) : 0;
    }
}

static size_t largest(const double *x, size_t from, size_t to)
{
    size_t best = from;
    for (size_t f = from; f <= to; f++)
        if (x[f] > x[best])
            best = f;
    return best;
}

static size_t back_by(size_t frame, double seconds, double rate_hz)
{
    double frames = seconds * rate_hz;
    return frames >= (double)frame ? 0 : frame - (size_t)frames;
}

/* Noise of 2 mm makes no more over the window; a faster "address" is motion. */
static const double highest_noise_speed_m_s = 0.4;

/* Speed that noise alone makes: twice the lowest tenth before the backswing. */
static double noise_speed(const double *speed, size_t before)
{
    size_t n = before + 1;
    double *room = malloc(n * sizeof *room), level;

    if (!room)
        return 0;
    memcpy(room, speed, n * sizeof *room);
    level = 2 * gsl_stats_select(room, 1, n, n / 10);
    free(room);
    return level;
}

/* A struck ball goes this far, this fast; no hand that places one does (own choice). */
static const double launch_way_m = 0.10, launch_speed_m_s = 6, launch_seen_s = 0.02, rests_m = 0.02;

static double ball_way(const swt_landmark_set *set, size_t from, size_t to)
{
    return swt_norm(
        swt_sub(swt_landmark_at(set, SWT_BALL, to), swt_landmark_at(set, SWT_BALL, from)));
}

size_t swt_locate_launch(const swt_landmark_set *set, size_t from)
{
    size_t n = set->n_frames, ahead = (size_t)fmax(3, launch_seen_s * set->rate_hz);

    for (size_t f = from; set->present[SWT_BALL] && f < n; f++)
        for (size_t k = 1; k <= ahead && f + k < n; k++) {
            double way = ball_way(set, f, f + k);
            size_t rest = f;
            if (!(way > launch_way_m && way > launch_speed_m_s * (double)k / set->rate_hz))
                continue;
            while (rest + 1 < f + k && !(ball_way(set, f, rest + 1) > rests_m))
                rest++;
            return rest;
        }
    return n;
}

/* Swings lie farther apart than this, and a practice swing is not much slower than the real one
 * (common practice, no source). */
static const double swing_apart_s = 1.0, practice_share = 0.5, last_share = 0.7;

/* Fastest frame of the downswing that ends in this launch. */
static size_t fastest_before(const double *speed, size_t launch, double rate_hz)
{
    return largest(speed, back_by(launch, 0.1, rate_hz), launch);
}

/* Fastest frame of the downswing: just before the ball leaves; without a ball, of the last motion
 * that is nearly as fast as the fastest, since practice comes before the shot. */
static size_t find_fastest(const double *speed, const swt_landmark_set *set)
{
    size_t launch = swt_locate_launch(set, 0), n = set->n_frames, fastest, last;
    size_t apart = (size_t)(swing_apart_s * set->rate_hz);

    if (launch < n && launch > 0)
        return fastest_before(speed, launch, set->rate_hz);
    fastest = largest(speed, 0, n - 1);
    for (last = fastest; last + apart < n;) {
        size_t next = largest(speed, last + apart, n - 1);
        if (speed[next] < last_share * speed[fastest])
            break;
        last = next;
    }
    return last;
}

/* Motions as fast as a swing, well away from the one that was chosen. */
static void count_others(swt_location *at, const double *speed, const swt_landmark_set *set)
{
    size_t apart = (size_t)(swing_apart_s * set->rate_hz);

    for (size_t f = 0; f < set->n_frames; f++) {
        size_t end = f + apart < set->n_frames ? f + apart : set->n_frames - 1, peak;
        size_t away = f > at->fastest ? f - at->fastest : at->fastest - f;
        if (away < apart || speed[f] < practice_share * speed[at->fastest])
            continue;
        peak = largest(speed, f, end);
        if (at->others++ == 0)
            at->other = peak;
        f = peak + apart / 2;
    }
}

/* Height of the hands, whatever marks them; false without hands. */
static bool hand_height(double *height, const swt_landmark_set *set)
{
    static const swt_landmark hands[] = {SWT_LEAD_HAND, SWT_LEAD_MC2, SWT_LEAD_MC5, SWT_LEAD_WRIST,
                                         SWT_LEAD_RS,   SWT_LEAD_US,  SWT_CLUB_GRIP};

    for (size_t k = 0; k < sizeof hands / sizeof *hands; k++) {
        if (!set->present[hands[k]])
            continue;
        for (size_t f = 0; f < set->n_frames; f++)
            height[f] = set->axis[hands[k]][2][f];
        return true;
    }
    return false;
}

/* Top: where the hands are highest before the fastest frame, whatever the frame rate does;
 * without hands, where the club is slowest. */
static swt_status find_top(size_t *top, const double *speed, const swt_landmark_set *set,
                           size_t fastest, swt_error *err)
{
    size_t limit = back_by(fastest, longest_downswing_s, set->rate_hz);
    double *height = malloc(set->n_frames * sizeof *height);

    if (!height)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    *top = limit;
    if (hand_height(height, set)) {
        for (size_t f = limit; f <= fastest; f++)
            if (height[f] > height[*top] || !isfinite(height[*top]))
                *top = f;
    } else {
        for (size_t f = limit; f <= fastest; f++)
            if (speed[f] < speed[*top])
                *top = f;
    }
    free(height);
    return SWT_OK;
}

/* Fastest frame of the backswing: back from the top to the first quiet before it, so that what
 * went before (a waggle, a practice swing, the walk to the ball) does not count. */
static size_t find_backswing(const double *speed, size_t top, size_t fastest, double quiet,
                             double rate_hz)
{
    size_t limit = back_by(top, longest_backswing_s, rate_hz), best = top;
    const double moving = 0.08 * speed[fastest]; /* own choice: no backswing is slower */

    for (size_t f = top; f > limit; f--) {
        if (speed[f] > speed[best])
            best = f;
        if (speed[f] < quiet && speed[best] > moving)
            break;
    }
    return best;
}

/* All of it from the fastest frame of the downswing, location->fastest, on back. */
static swt_status locate_from_fastest(swt_location *location, const double *speed,
                                      const swt_landmark_set *set, double onset_speed_m_s,
                                      swt_error *err)
{
    double threshold, noise;
    size_t backswing, f, wanted;
    swt_status rc = find_top(&location->top, speed, set, location->fastest, err);

    if (rc != SWT_OK)
        return rc;
    count_others(location, speed, set);
    noise = noise_speed(speed, location->top);
    threshold = fmax(onset_speed_m_s, fmin(noise, highest_noise_speed_m_s));
    backswing = find_backswing(speed, location->top, location->fastest, threshold, set->rate_hz);
    threshold = onset_speed_m_s;
    noise = noise_speed(speed, backswing);
    if (noise > threshold)
        threshold = fmin(noise, highest_noise_speed_m_s);
    for (f = backswing; f > 0 && speed[f] >= threshold; f--)
        ;
    location->quiet = speed[f] < threshold;
    location->takeaway = f;
    /* The speed window looks ahead, so the quiet pose ends before the onset it sees. */
    location->address_last = back_by(f, half_window_s, set->rate_hz);
    wanted = back_by(f, address_s, set->rate_hz);
    for (f = location->address_last; f > wanted && speed[f - 1] < 1.5 * threshold; f--)
        ;
    location->address_first = f;
    return SWT_OK;
}

/* Which marker is followed, and its speed, which the caller frees. */
static swt_status begin(swt_location *location, double **speed, const swt_landmark_set *set,
                        swt_error *err)
{
    *speed = NULL;
    memset(location, 0, sizeof *location);
    location->contact_frame = nan("");
    location->marker = marker_to_follow(set);
    if (location->marker == SWT_LANDMARK_COUNT)
        return swt_fail(err, SWT_EDATA,
                        "no club-head or hand marker with samples among the mapped landmarks: a "
                        "swing can't be found");
    location->from_hands = location->marker > SWT_CLUB_HEEL || location->marker < SWT_CLUB_GRIP;
    if (set->n_frames < 8)
        return swt_fail(err, SWT_EDATA, "%zu frames are too few for a swing", set->n_frames);
    *speed = malloc(set->n_frames * sizeof **speed);
    if (!*speed)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    swt_locate_speed(*speed, set, location->marker);
    location->fastest = find_fastest(*speed, set);
    if ((*speed)[location->fastest] < least_speed_m_s)
        return swt_fail(
            err, SWT_EDATA, "%s never moves faster than %.2g m/s: not a swing (%g m/s at least)",
            swt_landmark_name(location->marker), (*speed)[location->fastest], least_speed_m_s);
    return SWT_OK;
}

swt_status swt_locate(swt_location *location, const swt_landmark_set *set, double onset_speed_m_s,
                      swt_error *err)
{
    double *speed;
    swt_status rc = begin(location, &speed, set, err);

    if (rc == SWT_OK)
        rc = locate_from_fastest(location, speed, set, onset_speed_m_s, err);
    free(speed);
    return rc;
}

/* --- several swings ---------------------------------------------------------------------- */

/* From the top to contact the hands come down: by 0.4 m in a half swing of the forward model, by
 * twice that in a full one. Less is no downswing but a carried club, or a jump of a marker. */
static const double least_hand_drop_m = 0.15;

static bool comes_down(const double *height, size_t fastest, double rate_hz)
{
    double top = nan("");

    for (size_t f = back_by(fastest, longest_downswing_s, rate_hz); f < fastest; f++)
        top = fmax(top, height[f]);
    return top - height[fastest] >= least_hand_drop_m;
}

/* Adds a fastest frame in order of time, unless another swing is too near or there is no room. */
static void add_peak(size_t *peak, size_t *n, size_t frame, double rate_hz)
{
    size_t apart = (size_t)(swing_apart_s * rate_hz), at = *n;

    if (*n == SWT_SWINGS_MAX)
        return;
    for (size_t k = 0; k < *n; k++)
        if ((peak[k] > frame ? peak[k] - frame : frame - peak[k]) < apart)
            return;
    for (; at > 0 && peak[at - 1] > frame; at--)
        peak[at] = peak[at - 1];
    peak[at] = frame;
    (*n)++;
}

/* The fastest frame of each motion that comes down like a swing and is as fast as one, or starts a
 * ball: first the one that swt_locate finds, then from the fastest to the slowest. */
static void find_peaks(size_t *peak, size_t *n, double *speed, const double *height,
                       const swt_landmark_set *set, size_t chosen)
{
    const double enough = practice_share * speed[chosen];
    size_t frames = set->n_frames, apart = (size_t)(swing_apart_s * set->rate_hz), launch;

    *n = 0;
    add_peak(peak, n, chosen, set->rate_hz);
    for (launch = swt_locate_launch(set, 0); launch < frames;
         launch = swt_locate_launch(set, launch + apart + 1)) {
        size_t f = fastest_before(speed, launch, set->rate_hz);
        if (speed[f] >= least_speed_m_s && (!height || comes_down(height, f, set->rate_hz)))
            add_peak(peak, n, f, set->rate_hz);
    }
    for (int looks = 0; looks < 4 * SWT_SWINGS_MAX; looks++) {
        size_t f = largest(speed, 0, frames - 1), from, to;
        if (speed[f] < enough)
            return;
        if (!height || comes_down(height, f, set->rate_hz))
            add_peak(peak, n, f, set->rate_hz);
        from = f > apart ? f - apart : 0;
        to = f + apart < frames ? f + apart : frames - 1;
        for (size_t k = from; k <= to; k++)
            speed[k] = 0; /* looked at */
    }
}

swt_status swt_locate_all(swt_location at[SWT_SWINGS_MAX], size_t *n, const swt_landmark_set *set,
                          double onset_speed_m_s, swt_error *err)
{
    size_t peak[SWT_SWINGS_MAX];
    double *speed, *scratch = NULL;
    swt_location first;
    swt_status rc = begin(&first, &speed, set, err);

    *n = 0;
    if (rc == SWT_OK && !(scratch = malloc(2 * set->n_frames * sizeof *scratch)))
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    if (rc == SWT_OK) {
        double *height = scratch + set->n_frames;
        memcpy(scratch, speed, set->n_frames * sizeof *speed);
        find_peaks(peak, n, scratch, hand_height(height, set) ? height : NULL, set, first.fastest);
    }
    for (size_t k = 0; k < *n && rc == SWT_OK; k++) {
        at[k] = first;
        at[k].fastest = peak[k];
        rc = locate_from_fastest(&at[k], speed, set, onset_speed_m_s, err);
    }
    free(scratch);
    free(speed);
    return rc;
}

size_t swt_locate_contact(swt_location *location, const swt_landmark_set *set)
{
    double ball = swt_landmark_mean(set, SWT_BALL, location->address_first, location->top).x;
    double home =
        swt_landmark_mean(set, location->marker, location->address_first, location->address_last).x;
    const double *x = set->axis[location->marker][0];
    size_t n = set->n_frames, best = n;
    double nearest = (double)n;

    if (!location->quiet && isfinite(ball))
        home = ball;
    location->home_m = home;
    for (size_t f = location->top + 1; f < n; f++) {
        double distance = fabs((double)f - (double)location->fastest);
        size_t before = f - 1;
        while (before > location->top && !isfinite(x[before]))
            before--; /* contact may hide the marker for some frames */
        if (isfinite(x[f]) && x[before] < home && x[f] >= home && distance < nearest) {
            nearest = distance;
            best = f;
        }
    }
    /* the crossing is found at the first sample seen after it: samples lost in between belong
     * to the time after contact as far as smoothing is concerned */
    while (best < n && best > location->top + 1 && !isfinite(x[best - 1]))
        best--;
    return best;
}
