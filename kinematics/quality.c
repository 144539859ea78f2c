#include "kinematics/quality.h"

#include "kinematics/measure.h"

/* Wider than any player known to the source: outside, the capture is wrong, not the player. */
static const struct {
    const char *measure;
    double low, high; /* SI */
    const char *source;
} possible[] = {
    {"backswing_time", 0.45, 2.0,
     "tour players 0.70 to 1.00 s: Grober & Cholewicki 2006, arXiv physics/0611291"},
    {"downswing_time", 0.15, 0.6,
     "tour players 0.233 to 0.333 s: Grober & Cholewicki 2006, arXiv physics/0611291"},
    {"peak_hand_speed", 1.5, 15, "about 8 to 11 m/s with a driver: from memory"},
    {"peak_club_head_speed", 5, 70, "about 30 to 55 m/s with a driver: from memory"},
    {"peak_club_angular_speed", SWT_RADIANS(200.0), SWT_RADIANS(4000.0),
     "2413 (SD 442) deg/s: Zheng et al. 2008, Int J Sports Med 29:487"},
    {"thorax_turn_at_club_top", SWT_RADIANS(10.0), SWT_RADIANS(150.0),
     "about 90 deg: Burden et al. 1998, J Sports Sci 16:165"},
    {"pelvis_turn_at_club_top", SWT_RADIANS(-10.0), SWT_RADIANS(100.0),
     "42 (SD 7) deg: Zheng et al. 2008, Int J Sports Med 29:965"},
    {"hand_height_at_takeaway", 0.2, 1.3, "own choice, no source"},
    {"hand_height_at_club_top", 0.5, 2.6, "own choice, no source"},
    {"hand_depth_at_takeaway", -1.0, 0.6, "own choice, no source"},
};

/* Least and greatest time from takeaway to impact that any source or memory knows, widened. */
static const double shortest_swing_s = 0.60, longest_swing_s = 3.0;
/* Club head: 5 to 9 m/s going back, 25 to 55 coming down; own choice, no source. */
static const double highest_backswing_share = 0.55;
/* Shaft, grip to head: a club is 1.219 m long at most (Rules of Golf 2019, equipment rules,
 * 48 inches; from memory); markers sit inside that. */
static const double shortest_shaft_m = 0.35, longest_shaft_m = 1.25;
static const double rigid_shaft_sd_m = 0.015;

static void check_shaft(swt_swing *swing, const swt_body *body)
{
    const swt_vec3 *grip = body->point[SWT_POINT_GRIP], *head = body->point[SWT_POINT_CLUB_HEAD];
    double sum = 0, squares = 0, n = 0, mean, sd;

    swing->quality.shaft_length_sd_m = nan("");
    if (!grip || !head)
        return;
    for (size_t f = 0; f < swing->split && f < swing->n_frames; f++) {
        double length = swt_norm(swt_sub(head[f], grip[f]));
        if (!isfinite(length))
            continue;
        sum += length;
        squares += length * length;
        n++;
    }
    if (n < 2)
        return;
    mean = sum / n;
    sd = sqrt(fmax(0, (squares - n * mean * mean) / (n - 1)));
    swing->quality.shaft_length_sd_m = sd;
    if (mean < shortest_shaft_m || mean > longest_shaft_m)
        swt_findings_add(&swing->findings, SWT_SERIOUS, "shaft_length_implausible",
                         "The distance from grip to club head is %.2f m; %.2f to %.2f m can be: "
                         "check the length unit and the club's labels.",
                         mean, shortest_shaft_m, longest_shaft_m);
    if (sd > rigid_shaft_sd_m)
        swt_findings_add(
            &swing->findings, SWT_CAUTION, "club_not_rigid",
            "The distance from grip to club head changes by %.0f mm (SD) before "
            "impact; a club is rigid to about %.0f mm. A marker slips, is mislabelled, "
            "or the grip point is a hand.",
            1000 * sd, 1000 * rigid_shaft_sd_m);
}

/* The fastest sample of a series in [from, to) seconds; 0 when there is none. */
static double fastest_between(const swt_swing *swing, swt_series id, double from_s, double to_s)
{
    double best = 0;

    for (size_t f = 0; swing->series[id] && f < swing->n_frames; f++) {
        double t = (double)f / swing->rate_hz;
        if (t >= from_s && t < to_s && swing->series[id][f] > best)
            best = swing->series[id][f];
    }
    return best;
}

/* A backswing is far slower than its downswing. One nearly as fast was recorded at another rate
 * than the one declared. Returns the ratio of the peak club-head (else hand) speeds. */
static double backswing_speed_share(const swt_swing *swing)
{
    swt_series id = swing->series[SWT_SERIES_CLUB_HEAD_SPEED] ? SWT_SERIES_CLUB_HEAD_SPEED
                                                              : SWT_SERIES_HAND_SPEED;
    double top = swing->event[SWT_EVENT_CLUB_TOP].time_s;
    double impact = swing->event[SWT_EVENT_IMPACT].time_s;
    double down = fastest_between(swing, id, top, impact);
    double start = swing->event[SWT_EVENT_TAKEAWAY].time_s; /* before it: perhaps other swings */

    return down > 0 ? fastest_between(swing, id, isfinite(start) ? start : 0, top) / down : 0;
}

/* Gives every event a doubtful time; where it lies in the capture stands. */
static void doubt_times(swt_swing *swing)
{
    for (int e = 0; e < SWT_EVENT_COUNT; e++)
        swing->event[e].verdict =
            swt_worse(swing->event[e].verdict, swt_limited(SWT_REASON_RATE_DOUBTFUL, 0));
}

void swt_quality_of_motion(swt_swing *swing, const swt_body *body)
{
    double whole = swing->event[SWT_EVENT_IMPACT].time_s - swing->event[SWT_EVENT_TAKEAWAY].time_s;
    double down = swing->event[SWT_EVENT_IMPACT].time_s - swing->event[SWT_EVENT_CLUB_TOP].time_s;

    double share = backswing_speed_share(swing);

    check_shaft(swing, body);
    swing->quality.frames_in_downswing = down * swing->rate_hz;
    if (share > highest_backswing_share) {
        swing->rate_doubtful = true;
        swt_findings_add(&swing->findings, SWT_SERIOUS, "rate_doubtful",
                         "The backswing is %.0f %% as fast as the downswing at the declared "
                         "%.4g Hz; a person's is 15 to 35 %% (own choice: at most %.0f %%). The "
                         "rate can't hold for the whole swing: times and speeds are limited.",
                         100 * share, swing->rate_hz, 100 * highest_backswing_share);
    } else if (whole < shortest_swing_s || whole > longest_swing_s) {
        swing->rate_doubtful = true;
        swt_findings_add(&swing->findings, SWT_SERIOUS, "rate_doubtful",
                         "Takeaway to impact takes %.2f s at the declared %.4g Hz; a person needs "
                         "%.1f to %.1f s (common practice: 0.9 to 1.4 s). The rate can't hold for "
                         "the whole swing: times and speeds are limited.",
                         whole, swing->rate_hz, shortest_swing_s, longest_swing_s);
    }
    if (swing->rate_doubtful)
        doubt_times(swing);
    if (swing->quality.frames_in_downswing < 12)
        swt_findings_add(&swing->findings, SWT_CAUTION, "few_frames",
                         "Only %.0f frames between club top and impact: peaks and their times are "
                         "coarse.",
                         swing->quality.frames_in_downswing);
}

static bool is_timed(swt_quantity quantity)
{
    return quantity == SWT_TIME || quantity == SWT_SPEED || quantity == SWT_ANGULAR_SPEED;
}

void swt_quality_of_measures(swt_swing *swing)
{
    for (size_t i = 0; swing->rate_doubtful && i < swt_measure_count(); i++)
        if (is_timed(swt_measure_row(i)->quantity))
            swing->measure[i].verdict =
                swt_worse(swing->measure[i].verdict, swt_limited(SWT_REASON_RATE_DOUBTFUL, 0));
    for (size_t k = 0; k < sizeof possible / sizeof *possible; k++) {
        long i = swt_measure_find(possible[k].measure);
        const swt_measure *row = swt_measure_row((size_t)i);
        const swt_unit *unit = swt_quantity_unit(row->quantity);
        double v = swing->measure[i].value, scale = unit->shown_per_si;
        if (!isfinite(v) || (v >= possible[k].low && v <= possible[k].high))
            continue;
        swing->measure[i].verdict =
            swt_worse(swing->measure[i].verdict, swt_limited(SWT_REASON_IMPLAUSIBLE, 0));
        swt_findings_add(&swing->findings, SWT_SERIOUS, "measure_implausible",
                         "%s is %.4g %s; %.4g to %.4g %s can be (%s).", row->title, v * scale,
                         unit->shown, possible[k].low * scale, possible[k].high * scale,
                         unit->shown, possible[k].source);
    }
}
