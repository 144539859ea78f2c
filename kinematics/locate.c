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
        if (set->present[choice[k]])
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

/* First frame in which the ball is on its way: 0.1 m in three frames. n_frames without a ball. */
static size_t ball_launch(const swt_landmark_set *set)
{
    for (size_t f = 0; f + 3 < set->n_frames; f++) {
        swt_vec3 way =
            swt_sub(swt_landmark_at(set, SWT_BALL, f + 3), swt_landmark_at(set, SWT_BALL, f));
        if (swt_norm(way) > 0.1)
            return f;
    }
    return set->n_frames;
}

/* Fastest frame of the downswing: just before the ball leaves, else of the whole capture. */
static size_t find_fastest(const double *speed, const swt_landmark_set *set)
{
    size_t launch = ball_launch(set);

    if (launch == set->n_frames || launch == 0)
        return largest(speed, 0, set->n_frames - 1);
    return largest(speed, back_by(launch, 0.1, set->rate_hz), launch);
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
                        "no club-head or hand marker among the mapped landmarks: a swing can't be "
                        "found");
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
    backswing =
        largest(speed, back_by(location->top, longest_backswing_s, set->rate_hz), location->top);
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
