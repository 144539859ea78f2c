#include "kinematics/locate.h"

#include <stdlib.h>
#include <string.h>

/* Half width of the speed estimate: wide enough for 2 mm of noise, short against a swing. */
static const double half_window_s = 0.020;
static const double longest_downswing_s = 0.8, longest_backswing_s = 2.0;
static const double address_s = 0.25;

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

/* Speed over a symmetric window; 0 where the marker is lost, so that a gap is never a peak. */
static void rough_speed(double *speed, const swt_landmark_set *set, swt_landmark marker)
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

static int ascending(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Noise of 2 mm makes no more over the window; a faster "address" is motion. */
static const double highest_noise_speed_m_s = 0.4;

/* Speed that noise alone makes: twice the lowest tenth before the backswing. */
static double noise_speed(const double *speed, size_t before)
{
    size_t n = before + 1;
    double *sorted = malloc(n * sizeof *sorted), level;

    if (!sorted)
        return 0;
    memcpy(sorted, speed, n * sizeof *sorted);
    qsort(sorted, n, sizeof *sorted, ascending);
    level = 2 * sorted[n / 10];
    free(sorted);
    return level;
}

/* A struck ball goes this far, this fast; no hand that places one does (own choice). */
static const double launch_way_m = 0.10, launch_speed_m_s = 6, launch_seen_s = 0.02, rests_m = 0.02;

static double ball_way(const swt_landmark_set *set, size_t from, size_t to)
{
    return swt_norm(
        swt_sub(swt_landmark_at(set, SWT_BALL, to), swt_landmark_at(set, SWT_BALL, from)));
}

/* Last frame in which the ball rests, before it is on its way; n_frames without a ball. At a low
 * rate it may be seen for one frame after contact only. */
static size_t ball_launch(const swt_landmark_set *set)
{
    size_t n = set->n_frames, ahead = (size_t)fmax(3, launch_seen_s * set->rate_hz);

    for (size_t f = 0; f < n; f++)
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

/* Fastest frame of the downswing: just before the ball leaves; without a ball, of the last motion
 * that is nearly as fast as the fastest, since practice comes before the shot. */
static size_t find_fastest(const double *speed, const swt_landmark_set *set)
{
    size_t launch = ball_launch(set), n = set->n_frames, fastest, last;
    size_t apart = (size_t)(swing_apart_s * set->rate_hz);

    if (launch < n && launch > 0)
        return largest(speed, back_by(launch, 0.1, set->rate_hz), launch);
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

swt_status swt_locate(swt_location *location, const swt_landmark_set *set, double onset_speed_m_s,
                      swt_error *err)
{
    double *speed, threshold, noise;
    size_t backswing, f, wanted;
    swt_status rc = SWT_OK;

    memset(location, 0, sizeof *location);
    location->marker = marker_to_follow(set);
    if (location->marker == SWT_LANDMARK_COUNT)
        return swt_fail(err, SWT_EDATA,
                        "no club-head or hand marker with samples among the mapped landmarks: a "
                        "swing can't be found");
    location->from_hands = location->marker > SWT_CLUB_HEEL || location->marker < SWT_CLUB_GRIP;
    if (set->n_frames < 8)
        return swt_fail(err, SWT_EDATA, "%zu frames are too few for a swing", set->n_frames);
    speed = malloc(set->n_frames * sizeof *speed);
    if (!speed)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    rough_speed(speed, set, location->marker);
    location->fastest = find_fastest(speed, set);
    if (speed[location->fastest] < 2) {
        rc = swt_fail(err, SWT_EDATA,
                      "%s never moves faster than %.2g m/s: not a swing (2 m/s at least)",
                      swt_landmark_name(location->marker), speed[location->fastest]);
        goto done;
    }
    rc = find_top(&location->top, speed, set, location->fastest, err);
    if (rc != SWT_OK)
        goto done;
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
done:
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
