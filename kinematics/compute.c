#include "kinematics/compute.h"

#include "kinematics/plane.h"
#include "kinematics/series.h"
#include "kinematics/subframe.h"

#include <stdlib.h>

static swt_measurement absent(swt_verdict verdict)
{
    return (swt_measurement){nan(""), nan(""), verdict};
}

static swt_measurement value(double v, swt_verdict verdict)
{
    return (swt_measurement){v, nan(""), verdict};
}

/* The verdict of an event as a premise: absent becomes "this swing has no moment ...",
 * unless lost samples are why: then that is the reason to tell. */
static swt_verdict premise(const swt_swing *swing, swt_event event)
{
    swt_verdict v = swing->event[event].verdict;
    if (v.state != SWT_ABSENT || v.reason == SWT_REASON_SAMPLES_MISSING)
        return v;
    return swt_absent(SWT_REASON_EVENT_ABSENT, (int)event);
}

static double frame_of(const swt_swing *swing, swt_event event)
{
    return swing->event[event].time_s * swing->rate_hz;
}

/* Verdict of a series at a time: filled samples around it limit the value. */
static swt_verdict series_verdict_at(const swt_swing *swing, swt_series id, double time_s)
{
    swt_verdict verdict = swing->series_verdict[id];
    double frame = time_s * swing->rate_hz;
    size_t near, n = swing->n_frames;

    if (verdict.state == SWT_ABSENT || !isfinite(frame))
        return verdict;
    near = frame < 0 ? 0 : (size_t)frame;
    for (size_t f = near > 0 ? near - 1 : 0; f <= near + 2 && f < n; f++)
        if (swing->series_filled[id][f])
            return swt_worse(verdict, swt_limited(SWT_REASON_SAMPLES_FILLED, 0));
    return verdict;
}

swt_measurement swt_compute_at_event(const swt_measure *row, const swt_swing *swing)
{
    swt_verdict event = premise(swing, row->from);
    double time = swing->event[row->from].time_s;

    if (swing->series_verdict[row->series].state == SWT_ABSENT)
        return absent(swing->series_verdict[row->series]);
    if (event.state == SWT_ABSENT)
        return absent(event);
    return value(swt_series_at(swing, row->series, time),
                 swt_worse(event, series_verdict_at(swing, row->series, time)));
}

swt_measurement swt_compute_impact_speed(const swt_measure *row, const swt_swing *swing)
{
    swt_measurement m = swt_compute_at_event(row, swing);

    if (m.verdict.state != SWT_ABSENT && isfinite(swing->contact_speed_m_s))
        m.value = swing->contact_speed_m_s;
    return m;
}

static swt_measurement interval(const swt_swing *swing, swt_event from, swt_event to)
{
    swt_verdict verdict = swt_worse(premise(swing, from), premise(swing, to));

    if (verdict.state == SWT_ABSENT)
        return absent(verdict);
    return value(swing->event[to].time_s - swing->event[from].time_s, verdict);
}

static swt_measurement ratio(swt_measurement a, swt_measurement b)
{
    swt_verdict verdict = swt_worse(a.verdict, b.verdict);

    if (verdict.state == SWT_ABSENT)
        return absent(verdict);
    if (!(b.value > 0))
        return absent(swt_absent(SWT_REASON_NOT_DEFINED, 0));
    return value(a.value / b.value, verdict);
}

swt_measurement swt_compute_interval(const swt_measure *row, const swt_swing *swing)
{
    return interval(swing, row->from, row->to);
}

swt_measurement swt_compute_tempo(const swt_measure *row, const swt_swing *swing)
{
    (void)row;
    return ratio(interval(swing, SWT_EVENT_TAKEAWAY, SWT_EVENT_CLUB_TOP),
                 interval(swing, SWT_EVENT_CLUB_TOP, SWT_EVENT_IMPACT));
}

swt_measurement swt_compute_half_time(const swt_measure *row, const swt_swing *swing)
{
    return ratio(interval(swing, SWT_EVENT_TAKEAWAY, row->from),
                 interval(swing, SWT_EVENT_TAKEAWAY, SWT_EVENT_IMPACT));
}

/* Last frame in which a peak of the downswing is looked for. */
static size_t end_of_peaks(const swt_swing *swing)
{
    double frame = frame_of(swing, SWT_EVENT_SHAFT_LEVEL_FOLLOW_THROUGH);

    if (!isfinite(frame))
        frame = frame_of(swing, SWT_EVENT_IMPACT) + 0.1 * swing->rate_hz;
    return frame < (double)(swing->n_frames - 1) ? (size_t)frame : swing->n_frames - 1;
}

/* Peak of a row's series: its frame in *frame. */
static swt_measurement peak(const swt_measure *row, const swt_swing *swing, double *frame)
{
    swt_verdict event = premise(swing, row->from), impact = premise(swing, SWT_EVENT_IMPACT);
    swt_verdict verdict = swing->series_verdict[row->series];
    double greatest;
    size_t first, last;

    *frame = nan("");
    if (verdict.state == SWT_ABSENT)
        return absent(verdict);
    verdict = swt_worse(verdict, swt_worse(event, impact));
    if (verdict.state == SWT_ABSENT)
        return absent(verdict);
    first = (size_t)ceil(frame_of(swing, row->from));
    last = end_of_peaks(swing);
    if (last < first || !swt_subframe_maximum(frame, &greatest, swing->series[row->series],
                                              swing->n_frames, swing->split, first, last))
        return absent(swt_absent(SWT_REASON_SAMPLES_MISSING, 0));
    if (last + 1 == swing->n_frames && *frame > (double)last - 1)
        verdict = swt_worse(verdict, swt_limited(SWT_REASON_ENDS_EARLY, 0));
    verdict = swt_worse(verdict, series_verdict_at(swing, row->series, *frame / swing->rate_hz));
    return value(greatest, verdict);
}

swt_measurement swt_compute_peak(const swt_measure *row, const swt_swing *swing)
{
    double frame;
    return peak(row, swing, &frame);
}

swt_measurement swt_compute_peak_lead(const swt_measure *row, const swt_swing *swing)
{
    double frame;
    swt_measurement m = peak(row, swing, &frame);

    if (m.verdict.state != SWT_ABSENT)
        m.value = swing->event[SWT_EVENT_IMPACT].time_s - frame / swing->rate_hz;
    return m;
}

swt_measurement swt_compute_gain(const swt_measure *row, const swt_swing *swing)
{
    swt_measure slower = *row;
    double frame;

    slower.series = row->other;
    return ratio(peak(row, swing, &frame), peak(&slower, swing, &frame));
}

swt_measurement swt_compute_rise(const swt_measure *row, const swt_swing *swing)
{
    swt_verdict verdict = swing->series_verdict[row->series];
    double start, frame, greatest;
    size_t first, last;

    if (verdict.state == SWT_ABSENT)
        return absent(verdict);
    verdict = swt_worse(verdict, swt_worse(premise(swing, row->from), premise(swing, row->to)));
    if (verdict.state == SWT_ABSENT)
        return absent(verdict);
    start = swt_series_at(swing, row->series, swing->event[row->from].time_s);
    first = (size_t)ceil(frame_of(swing, row->from));
    last = (size_t)frame_of(swing, row->to);
    for (size_t f = first; f <= last && f < swing->n_frames; f++) /* a gap may hide the greatest */
        if (!isfinite(swing->series[row->series][f]))
            return absent(swt_absent(SWT_REASON_SAMPLES_MISSING, 0));
    if (!isfinite(start) || last < first ||
        !swt_subframe_maximum(&frame, &greatest, swing->series[row->series], swing->n_frames,
                              swing->split, first, last))
        return absent(swt_absent(SWT_REASON_SAMPLES_MISSING, 0));
    return value(greatest > start ? greatest - start : 0, verdict);
}

swt_measurement swt_compute_transition_shift(const swt_measure *row, const swt_swing *swing)
{
    const double *height = swing->series[SWT_SERIES_HAND_HEIGHT];
    double up_s = swing->event[row->from].time_s, level, down;
    swt_verdict verdict = swt_worse(swing->series_verdict[SWT_SERIES_HAND_DEPTH],
                                    swing->series_verdict[SWT_SERIES_HAND_HEIGHT]);
    size_t last;

    if (verdict.state == SWT_ABSENT)
        return absent(verdict);
    verdict = swt_worse(verdict, swt_worse(premise(swing, row->from), premise(swing, row->to)));
    if (verdict.state == SWT_ABSENT)
        return absent(verdict);
    level = swt_series_at(swing, SWT_SERIES_HAND_HEIGHT, up_s);
    last = (size_t)frame_of(swing, row->to);
    if (!swt_subframe_last_crossing(&down, height, swing->n_frames, swing->split, level,
                                    SWT_CROSSING_FALLING, (size_t)(up_s * swing->rate_hz), last))
        return absent(swt_absent(SWT_REASON_NOT_REACHED, 0));
    down /= swing->rate_hz;
    verdict = swt_worse(verdict, series_verdict_at(swing, SWT_SERIES_HAND_DEPTH, down));
    verdict = swt_worse(verdict, series_verdict_at(swing, SWT_SERIES_HAND_DEPTH, up_s));
    return value(swt_series_at(swing, SWT_SERIES_HAND_DEPTH, down) -
                     swt_series_at(swing, SWT_SERIES_HAND_DEPTH, up_s),
                 verdict);
}

enum { PLANE_POINTS = 101 };

/* A coordinate at the middle of equal steps of time between two frames, so that the plane does not
 * depend on where frames happen to fall in a short interval, and both ends weigh what they last. */
static void resample(double *out, const double *x, const swt_swing *swing, double from, double to)
{
    for (int k = 0; k < PLANE_POINTS; k++) {
        double frame = from + (to - from) * (k + 0.5) / PLANE_POINTS;
        bool at_contact = swing->split > 0 && swing->split < swing->n_frames &&
                          frame > (double)(swing->split - 1) && frame < (double)swing->split;
        out[k] = at_contact ? swt_subframe_before(x, swing->n_frames, swing->split, frame)
                            : swt_subframe_value(x, swing->n_frames, swing->split, frame);
    }
}

/* Plane of the club head, or of mid-hands, between the row's events. */
static swt_verdict plane_of(const swt_measure *row, const swt_swing *swing, swt_plane *plane)
{
    swt_verdict verdict = swing->series_verdict[row->series];
    const double *axis[3] = {swing->series[SWT_SERIES_HAND_ALONG],
                             swing->series[SWT_SERIES_HAND_DEPTH],
                             swing->series[SWT_SERIES_HAND_HEIGHT]};
    double point[3][PLANE_POINTS];

    if (verdict.state == SWT_ABSENT)
        return verdict;
    verdict = swt_worse(verdict, swt_worse(premise(swing, row->from), premise(swing, row->to)));
    if (verdict.state == SWT_ABSENT)
        return verdict;
    if (row->series == SWT_SERIES_CLUB_HEAD_SPEED)
        for (int k = 0; k < 3; k++)
            axis[k] = swing->body->axis[SWT_CLUB_HEAD][k];
    else if (!axis[0] || !axis[1] || !axis[2])
        return swt_absent(SWT_REASON_SERIES_ABSENT, SWT_SERIES_HAND_DEPTH);
    for (int k = 0; k < 3; k++)
        resample(point[k], axis[k], swing, frame_of(swing, row->from), frame_of(swing, row->to));
    if (swt_plane_fit(plane, point[0], point[1], point[2], PLANE_POINTS, NULL) != SWT_OK)
        return swt_absent(SWT_REASON_SAMPLES_MISSING, 0);
    return verdict;
}

swt_measurement swt_compute_plane_slope(const swt_measure *row, const swt_swing *swing)
{
    swt_plane plane;
    swt_verdict verdict = plane_of(row, swing, &plane);
    return verdict.state == SWT_ABSENT ? absent(verdict) : value(plane.slope_rad, verdict);
}

swt_measurement swt_compute_plane_direction(const swt_measure *row, const swt_swing *swing)
{
    swt_plane plane;
    swt_verdict verdict = plane_of(row, swing, &plane);
    /* depth grows towards the player, so a path from in to out has a negative angle there */
    return verdict.state == SWT_ABSENT ? absent(verdict) : value(-plane.direction_rad, verdict);
}

swt_measurement swt_compute_plane_rms(const swt_measure *row, const swt_swing *swing)
{
    swt_plane plane;
    swt_verdict verdict = plane_of(row, swing, &plane);
    return verdict.state == SWT_ABSENT ? absent(verdict) : value(plane.rms_m, verdict);
}
