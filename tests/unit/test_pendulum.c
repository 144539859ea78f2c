/* A mechanism whose motion physics gives: two links swinging in a tilted plane (a double pendulum,
 * as in models of the swing since Cochran & Stobbs 1968; from memory), solved by GSL's integrator
 * and sampled as markers. Nothing of the forward model and nothing of its chain is in it.
 *
 * Angles are from the downhill direction of the plane, absolute. With links of mass m, length l,
 * centre of mass c, inertia I about it, and gravity g along the slope:
 *   (I1 + m1 c1^2 + m2 l1^2) a1 + m2 l1 c2 cos(t1 - t2) a2 + m2 l1 c2 sin(t1 - t2) w2^2
 *       + (m1 c1 + m2 l1) g sin t1 = 0
 *   m2 l1 c2 cos(t1 - t2) a1 + (I2 + m2 c2^2) a2 - m2 l1 c2 sin(t1 - t2) w1^2
 *       + m2 c2 g sin t2 = 0 */
#include "kinematics/angle.h"
#include "kinematics/derivative.h"
#include "kinematics/ledger.h"
#include "kinematics/local_spline.h"
#include "kinematics/pose.h"
#include "kinematics/series.h"
#include "kinematics/subframe.h"
#include "tests/support/support.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_odeiv2.h>
#include <math.h>
#include <stdlib.h>

enum { N = 700, LINKS = 2, MARKERS = 4 };
static const double rate_hz = 500;

static const double slope = SWT_RADIANS(50), gravity = 9.81;
static const double m1 = 7, l1 = 0.65, c1 = 0.40, i1 = 0.30;
static const double m2 = 0.4, c2 = 0.80, i2 = 0.05;

/* Angles, their rates, and what the links' motion carries of a point that slides along the second:
 * by the first link, and added by the second (depth, height each). */
enum { T1, T2, W1, W2, FIRST_DEPTH, FIRST_HEIGHT, SECOND_DEPTH, SECOND_HEIGHT, STATE };

static const swt_vec3 pivot = {0.1, 0.4, 1.3};

static swt_vec3 level_axis(void)
{
    return swt_vec3_make(1, 0, 0);
}
static swt_vec3 uphill_axis(void)
{
    return swt_vec3_make(0, cos(slope), sin(slope));
}
static swt_vec3 normal_axis(void)
{
    return swt_cross(level_axis(), uphill_axis());
}
static swt_vec3 along_link(double t)
{
    return swt_sub(swt_scale(level_axis(), sin(t)), swt_scale(uphill_axis(), cos(t)));
}

/* Where the point is along the second link. */
static double slide_m(double time)
{
    return 0.3 + 0.2 * sin(2 * time);
}

static swt_vec3 joint(const double y[])
{
    return swt_add(pivot, swt_scale(along_link(y[T1]), l1));
}

static swt_vec3 sliding_point(const double y[], double time)
{
    return swt_add(joint(y), swt_scale(along_link(y[T2]), slide_m(time)));
}

static int equations(double time, const double y[], double dy[], void *unused)
{
    double g = gravity * sin(slope), d = y[T1] - y[T2], couple = m2 * l1 * c2;
    double a = i1 + m1 * c1 * c1 + m2 * l1 * l1, b = couple * cos(d), c = i2 + m2 * c2 * c2;
    double p = -couple * sin(d) * y[W2] * y[W2] - (m1 * c1 + m2 * l1) * g * sin(y[T1]);
    double q = couple * sin(d) * y[W1] * y[W1] - m2 * c2 * g * sin(y[T2]);
    swt_vec3 w1 = swt_scale(normal_axis(), y[W1]), w2 = swt_scale(normal_axis(), y[W2]);
    swt_vec3 h = sliding_point(y, time);
    swt_vec3 first = swt_cross(w1, swt_sub(h, pivot));
    swt_vec3 both =
        swt_add(swt_cross(w1, swt_sub(joint(y), pivot)), swt_cross(w2, swt_sub(h, joint(y))));

    (void)unused;
    dy[T1] = y[W1];
    dy[T2] = y[W2];
    dy[W1] = (p * c - q * b) / (a * c - b * b);
    dy[W2] = (q * a - p * b) / (a * c - b * b);
    dy[FIRST_DEPTH] = first.y;
    dy[FIRST_HEIGHT] = first.z;
    dy[SECOND_DEPTH] = both.y - first.y;
    dy[SECOND_HEIGHT] = both.z - first.z;
    return GSL_SUCCESS;
}

static const double start[STATE] = {0.9, 1.2, 3.0, 4.0, 0, 0, 0, 0};

/* State at a time, from a state at another. */
static void solve(double y[STATE], double from_s, double to_s)
{
    gsl_odeiv2_system system = {equations, NULL, STATE, NULL};
    gsl_odeiv2_driver *driver =
        gsl_odeiv2_driver_alloc_y_new(&system, gsl_odeiv2_step_rk8pd, 1e-4, 1e-12, 1e-12);

    if (to_s > from_s)
        assert_int_equal(gsl_odeiv2_driver_apply(driver, &from_s, to_s, y), GSL_SUCCESS);
    gsl_odeiv2_driver_free(driver);
}

/* Markers not in a plane, no two alike; the link runs along x, z is the normal of the plane. */
static const swt_vec3 shape[LINKS][MARKERS] = {
    {{0, 0.02, 0.10}, {0.15, -0.12, 0.03}, {0.30, 0.14, -0.05}, {0.65, 0.01, 0.08}},
    {{0.05, 0.03, 0.02}, {0.40, -0.02, 0.03}, {0.80, 0.05, -0.04}, {1.10, -0.06, 0.05}}};

typedef struct recording {
    double y[N][STATE];
    double xyz[LINKS][3 * MARKERS][N];
    swt_pose pose[LINKS][N];
    swt_vec3 omega[LINKS][N];
    swt_vec3 point[N];
} recording;

static recording *record(void)
{
    recording *r = calloc(1, sizeof *r);
    swt_error err = SWT_ERROR_INIT;

    assert_non_null(r);
    for (int k = 0; k < STATE; k++)
        r->y[0][k] = start[k];
    for (size_t f = 0; f < N; f++) {
        if (f > 0) {
            for (int k = 0; k < STATE; k++)
                r->y[f][k] = r->y[f - 1][k];
            solve(r->y[f], (double)(f - 1) / rate_hz, (double)f / rate_hz);
        }
        r->point[f] = sliding_point(r->y[f], (double)f / rate_hz);
        for (size_t link = 0; link < LINKS; link++) {
            swt_vec3 x = along_link(r->y[f][link == 0 ? T1 : T2]);
            swt_vec3 z = normal_axis(), o = link == 0 ? pivot : joint(r->y[f]);
            swt_mat3 axes = swt_mat3_from_columns(x, swt_cross(z, x), z);
            for (size_t m = 0; m < MARKERS; m++) {
                swt_vec3 p = swt_add(o, swt_rotate(&axes, shape[link][m]));
                r->xyz[link][3 * m][f] = p.x;
                r->xyz[link][3 * m + 1][f] = p.y;
                r->xyz[link][3 * m + 2][f] = p.z;
            }
        }
    }
    for (size_t link = 0; link < LINKS; link++) {
        swt_cluster cluster = {MARKERS, shape[link], NULL};
        const double *coordinate[3 * MARKERS];
        for (size_t k = 0; k < 3 * MARKERS; k++)
            coordinate[k] = r->xyz[link][k];
        swt_pose_fit(r->pose[link], &cluster, coordinate, N);
        assert_int_equal(swt_pose_angular_velocity(r->omega[link], r->pose[link], N, SWT_NO_SPLIT,
                                                   rate_hz, &err),
                         SWT_OK);
    }
    return r;
}

static void poses_and_cardan_angles(void **state)
{
    recording *r = record();
    double first[N], second[N], third[N];
    /* the axis of the joint is z: of the sequences that begin with it, the first angle is all */
    static const swt_sequence sequence[] = {SWT_SEQUENCE_ZXY, SWT_SEQUENCE_ZYX};

    (void)state;
    for (size_t f = 0; f < N; f++) {
        swt_vec3 o = r->pose[1][f].translation, true_o = joint(r->y[f]);
        assert_close(swt_norm(swt_sub(o, true_o)), 0, 1e-9, "joint");
        assert_close(r->pose[1][f].residual_m, 0, 1e-9, "residual");
    }
    for (size_t k = 0; k < 2; k++) {
        swt_angle_series(first, second, third, r->pose[0], r->pose[1], N, sequence[k], NULL);
        for (size_t f = 0; f < N; f++) {
            double joint_angle = r->y[f][T2] - r->y[f][T1];
            assert_close(remainder(first[f] - joint_angle, 2 * SWT_PI), 0, 1e-9, "joint angle");
            assert_close(second[f], 0, 1e-9, "second angle");
            assert_close(third[f], 0, 1e-9, "third angle");
            if (f > 0)
                assert_true(fabs(first[f] - first[f - 1]) < 0.2); /* continuous */
        }
    }
    free(r);
}

static void angular_velocities(void **state)
{
    recording *r = record();

    (void)state;
    for (size_t link = 0; link < LINKS; link++)
        for (size_t f = 0; f < N; f++) {
            swt_vec3 want = swt_scale(normal_axis(), r->y[f][link == 0 ? W1 : W2]);
            double bound = f < 2 || f + 2 >= N ? 2e-3 : 3e-4; /* one-sided stencils at the ends */
            assert_close(swt_norm(swt_sub(r->omega[link][f], want)), 0, bound,
                         "angular velocity, rad/s");
        }
    free(r);
}

/* Energy from the markers alone: nothing drives or brakes the links. */
static void energy_is_kept(void **state)
{
    recording *r = record();
    const double mass[] = {m1, m2}, middle[] = {c1, c2}, inertia[] = {i1, i2};
    swt_error err = SWT_ERROR_INIT;
    double energy[N] = {0}, least = HUGE_VAL, most = -HUGE_VAL, kinetic = 0;

    (void)state;
    for (size_t link = 0; link < LINKS; link++) {
        swt_vec3 centre[N], velocity[N];
        for (size_t f = 0; f < N; f++)
            centre[f] = swt_pose_apply(&r->pose[link][f], swt_vec3_make(middle[link], 0, 0));
        assert_int_equal(swt_point_velocity(velocity, centre, N, SWT_NO_SPLIT, rate_hz, &err),
                         SWT_OK);
        for (size_t f = 0; f < N; f++) {
            double v = swt_norm(velocity[f]), w = swt_norm(r->omega[link][f]);
            double moving = 0.5 * mass[link] * v * v + 0.5 * inertia[link] * w * w;
            energy[f] += moving + mass[link] * gravity * centre[f].z;
            kinetic = fmax(kinetic, moving);
        }
    }
    for (size_t f = 2; f + 2 < N; f++) {
        least = fmin(least, energy[f]);
        most = fmax(most, energy[f]);
    }
    assert_true(kinetic > 5); /* it does swing */
    assert_close(most - least, 0, 1e-3, "change of energy, J");
    free(r);
}

/* Time at which component k of the state passes a value, in a frame interval, by bisection on the
 * solver itself. */
static double passes(const recording *r, size_t f, int k, double value)
{
    double low = (double)f / rate_hz, high = (double)(f + 1) / rate_hz;
    double below = r->y[f][k] - value;

    for (int step = 0; step < 50; step++) {
        double y[STATE], middle = 0.5 * (low + high);
        for (int i = 0; i < STATE; i++)
            y[i] = r->y[f][i];
        solve(y, (double)f / rate_hz, middle);
        if ((y[k] - value) * below > 0)
            low = middle;
        else
            high = middle;
    }
    return 0.5 * (low + high);
}

/* The second link is level where its angle is an odd quarter turn. */
static void level_crossings(void **state)
{
    recording *r = record();
    double elevation[N], frame;
    int seen = 0;

    (void)state;
    for (size_t f = 0; f < N; f++)
        elevation[f] = swt_angle_elevation(swt_mat3_column(&r->pose[1][f].rotation, 0));
    for (size_t f = 0; f + 1 < N; f++) {
        double quarter = floor(r->y[f][T2] / SWT_PI + 0.5) * SWT_PI;
        for (int side = -1; side <= 1; side += 2) {
            double level = quarter + side * SWT_PI / 2;
            swt_crossing way =
                elevation[f + 1] > elevation[f] ? SWT_CROSSING_RISING : SWT_CROSSING_FALLING;
            if ((r->y[f][T2] - level) * (r->y[f + 1][T2] - level) >= 0)
                continue;
            assert_true(
                swt_subframe_crossing(&frame, elevation, N, SWT_NO_SPLIT, 0, way, f, f + 1));
            assert_close(frame / rate_hz, passes(r, f, T2, level), 1e-6, "level");
            seen++;
        }
    }
    assert_int_equal(seen, 2); /* once rising, once falling */
    free(r);
}

/* The first link turns round where its rate is zero. */
static void reversals(void **state)
{
    recording *r = record();
    double rate[N], turn[N], frame, refined;
    const double *path = turn;
    int seen = 0;

    (void)state;
    for (size_t f = 0; f < N; f++) {
        rate[f] = swt_dot(r->omega[0][f], normal_axis());
        turn[f] = swt_angle_projected(swt_mat3_column(&r->pose[0][f].rotation, 0), level_axis(),
                                      normal_axis());
    }
    swt_angle_unwrap(turn, N);
    for (size_t f = 5; f + 6 < N; f++) {
        double want;
        if (r->y[f][W1] * r->y[f + 1][W1] >= 0)
            continue;
        want = passes(r, f, W1, 0);
        assert_true(swt_subframe_crossing(&frame, rate, N, SWT_NO_SPLIT, 0,
                                          rate[f] < 0 ? SWT_CROSSING_RISING : SWT_CROSSING_FALLING,
                                          f - 1, f + 2));
        assert_close(frame / rate_hz, want, 1e-5, "reversal, from the rate");
        refined = frame + 1.5;
        assert_true(swt_turning_point(&refined, &path, 1, N, SWT_NO_SPLIT, 50, 1e-7));
        assert_close(refined / rate_hz, want, 1e-4, "reversal, from the angle");
        seen++;
    }
    assert_true(seen >= 1);
    free(r);
}

/* The links in the places of pelvis and thorax, the sliding point in that of the hands: each
 * part of the ledger against the same integral by the solver. */
static void ledger_of_the_links(void **state)
{
    static const struct {
        swt_series ours;
        int theirs;
    } parts[] = {{SWT_SERIES_LEDGER_DEPTH_PELVIS, FIRST_DEPTH},
                 {SWT_SERIES_LEDGER_DEPTH_THORAX, SECOND_DEPTH},
                 {SWT_SERIES_LEDGER_HEIGHT_PELVIS, FIRST_HEIGHT},
                 {SWT_SERIES_LEDGER_HEIGHT_THORAX, SECOND_HEIGHT}};
    recording *r = record();
    swt_swing *swing = calloc(1, sizeof *swing);
    swt_body body = {0};
    unsigned char filled[N] = {0};
    swt_error err = SWT_ERROR_INIT;
    double zero[STATE];
    const double takeaway_s = 10.4 / rate_hz; /* between two frames */

    (void)state;
    assert_non_null(swing);
    swing->n_frames = N;
    swing->rate_hz = rate_hz;
    swing->split = N;
    body.n_frames = N;
    body.segment[SWT_SEGMENT_PELVIS] = (swt_segment_pose){r->pose[0], NULL, swt_usable(), true};
    body.segment[SWT_SEGMENT_THORAX] = (swt_segment_pose){r->pose[1], NULL, swt_usable(), true};
    body.point[SWT_POINT_MID_HANDS] = r->point;
    body.filled[SWT_POINT_MID_HANDS] = filled;
    body.point_verdict[SWT_POINT_MID_HANDS] = swt_usable();
    swing->series_verdict[SWT_SERIES_PELVIS_DEPTH] = swt_usable();
    assert_int_equal(swt_ledger_fill(swing, &body, takeaway_s, &err), SWT_OK);
    for (int k = 0; k < STATE; k++)
        zero[k] = start[k];
    solve(zero, 0, takeaway_s);
    for (size_t k = 0; k < sizeof parts / sizeof *parts; k++)
        for (size_t f = 11; f < N; f++)
            assert_close(swing->series[parts[k].ours][f],
                         r->y[f][parts[k].theirs] - zero[parts[k].theirs], 2e-5,
                         swt_series_describe(parts[k].ours)->name);
    /* and the arms' part is the rest of the way */
    for (size_t f = 11; f < N; f++)
        assert_close(swing->series[SWT_SERIES_LEDGER_DEPTH_ARMS][f],
                     r->point[f].y - sliding_point(zero, takeaway_s).y -
                         (r->y[f][FIRST_DEPTH] - zero[FIRST_DEPTH]) -
                         (r->y[f][SECOND_DEPTH] - zero[SECOND_DEPTH]),
                     4e-5, "arms");
    assert_true(swing->quality.ledger_closure_m < 5e-5);
    swt_swing_free(swing);
    free(r);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(poses_and_cardan_angles),
        cmocka_unit_test(angular_velocities),
        cmocka_unit_test(energy_is_kept),
        cmocka_unit_test(level_crossings),
        cmocka_unit_test(reversals),
        cmocka_unit_test(ledger_of_the_links),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
