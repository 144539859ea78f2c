#include "kinematics/registration.h"

#include "kinematics/event.h"
#include "kinematics/series.h"
#include "kinematics/subframe.h"

#include <stdlib.h>

static void fill_clock(swt_swing *swing)
{
    for (int k = 0; k < SWT_CURVE_SAMPLES; k++)
        swing->curve_time_s[k] = nan("");
    for (int phase = 0; phase < SWT_PHASES; phase++) {
        double from = swing->event[swt_phase_boundary[phase]].time_s;
        double to = swing->event[swt_phase_boundary[phase + 1]].time_s;
        if (!(to > from))
            continue;
        for (int k = 0; k <= SWT_PHASE_STEPS; k++)
            swing->curve_time_s[phase * SWT_PHASE_STEPS + k] =
                from + (to - from) * (double)k / SWT_PHASE_STEPS;
    }
}

/* Each series at `n` instants; a curve without a finite sample stays NULL. */
static swt_status sample_series(double *curve[SWT_SERIES_COUNT], const swt_swing *swing,
                                const double *time_s, int n, swt_error *err)
{
    for (int s = 0; s < SWT_SERIES_COUNT; s++) {
        int finite = 0;
        double *to;
        if (!swing->series[s])
            continue;
        to = malloc((size_t)n * sizeof *to);
        if (!to)
            return swt_fail(err, SWT_ENOMEM, "out of memory");
        for (int k = 0; k < n; k++) {
            to[k] = swt_series_at(swing, (swt_series)s, time_s[k]);
            finite += isfinite(to[k]) != 0;
        }
        if (finite > 0)
            curve[s] = to;
        else
            free(to);
    }
    return SWT_OK;
}

swt_status swt_register_curves(swt_swing *swing, swt_error *err)
{
    fill_clock(swing);
    return sample_series(swing->curve, swing, swing->curve_time_s, SWT_CURVE_SAMPLES, err);
}

/* The last frame before an event; the last before contact where it is absent. */
static size_t last_before(const swt_swing *swing, swt_event event)
{
    double frame = swing->event[event].time_s * swing->rate_hz;
    size_t end = swing->split < swing->n_frames ? swing->split : swing->n_frames;

    return frame > 0 && frame < (double)(end - 1) ? (size_t)ceil(frame) : end - 1;
}

swt_status swt_register_travel(swt_swing *swing, swt_error *err)
{
    double takeaway = swing->event[SWT_EVENT_TAKEAWAY].time_s, frame = takeaway * swing->rate_hz;
    double *travel;

    for (int k = 0; k < SWT_TRAVEL_SAMPLES; k++)
        swing->travel_time_s[k] = nan("");
    if (!swing->series[SWT_SERIES_CLUB_HEAD_SPEED] || !isfinite(takeaway))
        return SWT_OK;
    travel = malloc(swing->n_frames * sizeof *travel);
    if (!travel)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    swt_travel(travel, swing);
    swing->travel_time_s[0] = takeaway;
    for (int k = 1; k < SWT_TRAVEL_SAMPLES; k++) {
        if (!swt_subframe_crossing(&frame, travel, swing->n_frames, swing->split,
                                   k * SWT_TRAVEL_STEP_M, SWT_CROSSING_RISING, (size_t)frame,
                                   last_before(swing, SWT_EVENT_CLUB_TOP)))
            break;
        swing->travel_time_s[k] = frame / swing->rate_hz;
    }
    free(travel);
    return sample_series(swing->travel_curve, swing, swing->travel_time_s, SWT_TRAVEL_SAMPLES, err);
}

void swt_register_shift(swt_swing *swing)
{
    const double *height = swing->series[SWT_SERIES_HAND_HEIGHT];
    double takeaway = swing->event[SWT_EVENT_TAKEAWAY].time_s, low, high, top, up, down;
    size_t n = swing->n_frames, split = swing->split, first, last;

    for (int k = 0; k < SWT_SHIFT_SAMPLES; k++)
        swing->shift_m[k] = swing->shift_height_m[k] = nan("");
    if (!height || !swing->series[SWT_SERIES_HAND_DEPTH] || !isfinite(takeaway) ||
        swing->event[SWT_EVENT_IMPACT].verdict.state == SWT_ABSENT)
        return;
    first = (size_t)(takeaway * swing->rate_hz);
    last = last_before(swing, SWT_EVENT_IMPACT);
    low = swt_series_at(swing, SWT_SERIES_HAND_HEIGHT, takeaway);
    if (!swt_subframe_maximum(&top, &high, height, n, split, first, last) || !(high > low))
        return;
    for (int k = 0; k < SWT_SHIFT_SAMPLES; k++) {
        double level = low + (high - low) * k / SWT_SHIFT_SAMPLES;
        swing->shift_height_m[k] = level;
        if (swt_subframe_last_crossing(&up, height, n, split, level, SWT_CROSSING_RISING, first,
                                       (size_t)ceil(top)) &&
            swt_subframe_last_crossing(&down, height, n, split, level, SWT_CROSSING_FALLING,
                                       (size_t)top, last))
            swing->shift_m[k] = swt_series_at(swing, SWT_SERIES_HAND_DEPTH, down / swing->rate_hz) -
                                swt_series_at(swing, SWT_SERIES_HAND_DEPTH, up / swing->rate_hz);
    }
}

double swt_registered_at(const double time_s[SWT_CURVE_SAMPLES],
                         const double curve[SWT_CURVE_SAMPLES], double at_s)
{
    for (size_t i = 0; i + 1 < SWT_CURVE_SAMPLES; i++)
        if (time_s[i] <= at_s && at_s <= time_s[i + 1]) {
            double step = time_s[i + 1] - time_s[i];
            double part = step > 0 ? (at_s - time_s[i]) / step : 0;
            return curve[i] + part * (curve[i + 1] - curve[i]);
        }
    return nan("");
}
