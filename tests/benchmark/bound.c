#include "tests/benchmark/bound.h"

#include "kinematics/derivative.h"
#include "kinematics/local_fit.h"
#include "kinematics/turn.h"

#include <math.h>
#include <stdlib.h>

static const double shoulder_drop_m = 0.03; /* no matter here */

/* Reversal by a fit of `degree` over half width `half` (frames) about the true one; NaN where the
 * fit has none. */
static double reversal_rms(const double *turn, size_t n, double at, double half, size_t degree,
                           double noise)
{
    size_t from = at > half ? (size_t)ceil(at - half) : 0, to = (size_t)(at + half);
    swt_local_fit fit;
    double v[4], t = at, sd;

    to = to < n ? to : n - 1;
    if (to < from + degree + 1)
        return nan("");
    for (size_t f = from; f <= to; f++)
        if (!isfinite(turn[f]))
            return nan("");
    swt_local_fit_make(&fit, turn, from, to - from + 1, degree);
    for (int k = 0; k < 20; k++) {
        swt_local_fit_at(v, &fit, t);
        t -= fmax(-half, fmin(half, v[1] / v[2]));
    }
    if (!(fabs(t - at) < half))
        return nan("");
    sd = noise * sqrt(swt_local_fit_slope_variance(&fit, t)) / fabs(v[2]);
    return hypot(t - at, sd);
}

/* Degree and window, s, of a fit. */
static size_t degree_of(int fit)
{
    return 2 + (size_t)(fit / BOUND_WINDOWS);
}

static double window_of(int fit)
{
    return 0.01 * pow(1.1, fit % BOUND_WINDOWS);
}

static void none(double rms[BOUND_FITS])
{
    for (int k = 0; k < BOUND_FITS; k++)
        rms[k] = HUGE_VAL;
}

void bound_reversal(double rms_s[BOUND_FITS], const trial *clean, swt_event event, double noise_m)
{
    const swt_swing *s = clean->swing;
    bool pelvis = event == SWT_EVENT_PELVIS_REVERSAL;
    swt_segment segment = pelvis ? SWT_SEGMENT_PELVIS : SWT_SEGMENT_THORAX;
    swt_series id = pelvis ? SWT_SERIES_PELVIS_ANGULAR_SPEED : SWT_SERIES_THORAX_ANGULAR_SPEED;
    double at = s->rate_hz *
                clean->truth->event_s[pelvis ? SWT_TRUE_PELVIS_REVERSAL : SWT_TRUE_THORAX_REVERSAL];
    double noise[SWT_LANDMARK_COUNT], sigma, *turn;
    swt_body body = {0};

    none(rms_s);
    if (!isfinite(at) || !s->series[id] ||
        swt_body_build(&body, s->body, NULL, shoulder_drop_m, NULL) != SWT_OK)
        return;
    for (int i = 0; i < SWT_LANDMARK_COUNT; i++)
        noise[i] = noise_m;
    sigma = swt_segment_turn_noise(&body.segment[segment], segment, s->body, noise, (size_t)at);
    swt_body_reset(&body);
    turn = malloc(s->n_frames * sizeof *turn);
    if (!turn)
        return;
    swt_integral_from(turn, s->series[id], s->n_frames, s->split, (size_t)at, s->rate_hz);
    for (int k = 0; k < BOUND_FITS; k++) {
        double rms =
            reversal_rms(turn, s->split, at, window_of(k) * s->rate_hz, degree_of(k), sigma);
        if (isfinite(rms))
            rms_s[k] = rms / s->rate_hz;
    }
    free(turn);
}

/* Inverse of a symmetric positive definite 3 x 3 matrix by its cofactors. */
static swt_mat3 inverse(const swt_mat3 *a)
{
    swt_vec3 c[3] = {swt_mat3_column(a, 0), swt_mat3_column(a, 1), swt_mat3_column(a, 2)};
    double det = swt_dot(c[0], swt_cross(c[1], c[2]));
    swt_mat3 rows = swt_mat3_from_columns(swt_scale(swt_cross(c[1], c[2]), 1 / det),
                                          swt_scale(swt_cross(c[2], c[0]), 1 / det),
                                          swt_scale(swt_cross(c[0], c[1]), 1 / det));
    return swt_mat3_transpose(&rows);
}

/* Noise of the head along `way` when the whole club is fitted, for markers of SD 1: one over the
 * number of markers, and what the uncertain turn does at the head's arm. */
static double head_noise(const swt_landmark_set *set, size_t frame, swt_vec3 way)
{
    static const swt_landmark club[] = {SWT_CLUB_GRIP, SWT_CLUB_SHAFT, SWT_CLUB_HEAD, SWT_CLUB_TOE,
                                        SWT_CLUB_HEEL};
    enum { MARKERS = sizeof club / sizeof *club };
    swt_vec3 centre = {0, 0, 0}, lever;
    swt_mat3 information = {{{0}}}, covariance;

    for (int m = 0; m < MARKERS; m++)
        centre = swt_add(centre, swt_scale(swt_landmark_at(set, club[m], frame), 1.0 / MARKERS));
    for (int m = 0; m < MARKERS; m++) {
        swt_vec3 r = swt_sub(swt_landmark_at(set, club[m], frame), centre);
        double x[3] = {r.x, r.y, r.z};
        for (int i = 0; i < 3; i++)
            for (int j = 0; j < 3; j++)
                information.m[i][j] += (i == j ? swt_dot(r, r) : 0) - x[i] * x[j];
    }
    covariance = inverse(&information);
    lever = swt_cross(swt_sub(swt_landmark_at(set, SWT_CLUB_HEAD, frame), centre), way);
    return sqrt(1.0 / MARKERS + swt_dot(lever, swt_rotate(&covariance, lever)));
}

void bound_speed(double rms[BOUND_FITS], const trial *clean, double noise_m)
{
    const swt_swing *s = clean->swing;
    const double *speed = s->series[SWT_SERIES_CLUB_HEAD_SPEED];
    double at = clean->truth->event_s[SWT_TRUE_IMPACT] * s->rate_hz, sigma;
    double truth = clean->truth->impact_head_speed_m_s, *way = NULL;
    size_t last = s->split - 1;
    swt_vec3 step;

    none(rms);
    if (speed)
        way = malloc(s->n_frames * sizeof *way);
    if (!way)
        return;
    swt_integral_from(way, speed, s->n_frames, s->split, last, s->rate_hz);
    step = swt_sub(swt_landmark_at(s->body, SWT_CLUB_HEAD, last),
                   swt_landmark_at(s->body, SWT_CLUB_HEAD, last - 1));
    sigma = noise_m * head_noise(s->body, last, swt_direction(step));
    for (int k = 0; k < BOUND_FITS; k++) {
        size_t n = (size_t)lround(window_of(k) * s->rate_hz) + 1;
        swt_local_fit fit;
        double v[4];
        if (n < degree_of(k) + 2 || n > last)
            continue;
        swt_local_fit_make(&fit, way, last + 1 - n, n, degree_of(k));
        swt_local_fit_at(v, &fit, at);
        rms[k] = hypot(v[1] * s->rate_hz - truth,
                       sigma * s->rate_hz * sqrt(swt_local_fit_slope_variance(&fit, at))) /
                 truth;
    }
    free(way);
}

double bound_95th(const double *rms, size_t n)
{
    double low = 0, high = 0;

    for (size_t i = 0; i < n; i++)
        high = fmax(high, 4 * rms[i]); /* HUGE_VAL: there is none */
    for (int k = 0; k < 60 && isfinite(high); k++) {
        double middle = 0.5 * (low + high), beyond = 0;
        for (size_t i = 0; i < n; i++)
            beyond += erfc(middle / rms[i] / sqrt(2.0)) / (double)n;
        if (beyond > 0.05)
            low = middle;
        else
            high = middle;
    }
    return high;
}
