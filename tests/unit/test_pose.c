/* Rigid pose: worked examples, GSL's SVD as a second route, degenerate clusters, angular velocity.
 */
#include "base/vector.h"
#include "kinematics/pose.h"
#include "tests/support/support.h"

#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdlib.h>

#define MARKERS 20 /* more than a segment's usual */

/** Fits one frame. */
static swt_pose fit(const swt_vec3 *reference, const swt_vec3 *measured, const double *weight,
                    size_t n)
{
    const double *coordinate[3 * MARKERS];
    swt_cluster cluster = {n, reference, weight};
    swt_pose pose;

    for (size_t m = 0; m < n; m++) {
        coordinate[3 * m] = &measured[m].x;
        coordinate[3 * m + 1] = &measured[m].y;
        coordinate[3 * m + 2] = &measured[m].z;
    }
    swt_pose_fit(&pose, &cluster, coordinate, 1);
    return pose;
}

static swt_mat3 zxy(double a, double b, double c)
{
    swt_mat3 za = swt_mat3_about_axis(2, a), xb = swt_mat3_about_axis(0, b),
             yc = swt_mat3_about_axis(1, c), zx = swt_mat3_multiply(&za, &xb);
    return swt_mat3_multiply(&zx, &yc);
}

static swt_mat3 random_rotation(uint64_t *seed)
{
    return zxy(2 * SWT_PI * draw(seed), 2 * SWT_PI * draw(seed), 2 * SWT_PI * draw(seed));
}

static void assert_same_rotation(const swt_mat3 *a, const swt_mat3 *b, double tolerance,
                                 const char *what)
{
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            assert_close(a->m[i][j], b->m[i][j], tolerance, what);
}

/** Second route: SVD of the cross-dispersion by GSL, determinant corrected. */
static swt_mat3 rotation_by_svd(const swt_vec3 *a, const swt_vec3 *b, const double *w, size_t n)
{
    double u[9] = {0}, v[9], s[3], work[3], sum = 0, det;
    swt_vec3 am = {0, 0, 0}, bm = {0, 0, 0};
    swt_mat3 um, vm, r;
    gsl_matrix_view U = gsl_matrix_view_array(u, 3, 3), V = gsl_matrix_view_array(v, 3, 3);
    gsl_vector_view S = gsl_vector_view_array(s, 3), W = gsl_vector_view_array(work, 3);

    for (size_t k = 0; k < n; k++) {
        am = swt_add(am, swt_scale(a[k], w[k]));
        bm = swt_add(bm, swt_scale(b[k], w[k]));
        sum += w[k];
    }
    am = swt_scale(am, 1 / sum);
    bm = swt_scale(bm, 1 / sum);
    for (size_t k = 0; k < n; k++) {
        swt_vec3 p = swt_sub(b[k], bm), q = swt_sub(a[k], am);
        double pv[3] = {p.x, p.y, p.z}, qv[3] = {q.x, q.y, q.z};
        for (int i = 0; i < 3; i++)
            for (int j = 0; j < 3; j++)
                u[3 * i + j] += w[k] * pv[i] * qv[j];
    }
    gsl_linalg_SV_decomp(&U.matrix, &V.matrix, &S.vector, &W.vector);
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++) {
            um.m[i][j] = u[3 * i + j];
            vm.m[j][i] = v[3 * i + j];
        }
    r = swt_mat3_multiply(&um, &vm);
    det =
        swt_dot(swt_mat3_column(&r, 0), swt_cross(swt_mat3_column(&r, 1), swt_mat3_column(&r, 2)));
    if (det < 0) {
        for (int i = 0; i < 3; i++)
            um.m[i][2] = -um.m[i][2];
        r = swt_mat3_multiply(&um, &vm);
    }
    return r;
}

static const swt_vec3 example_reference[5] = {
    {0, 0, 0}, {100, 0, 0}, {0, 80, 0}, {0, 0, 60}, {50, 40, 30}};

static void example(swt_vec3 measured[5])
{
    static const swt_vec3 noise[5] = {
        {.5, -.3, .2}, {-.4, .1, .6}, {.2, .5, -.7}, {-.1, -.6, .3}, {1.5, -2, 2.5}};
    swt_mat3 r = zxy(SWT_RADIANS(30), SWT_RADIANS(20), SWT_RADIANS(10));

    for (int k = 0; k < 5; k++)
        measured[k] = swt_add(swt_add(swt_rotate(&r, example_reference[k]), noise[k]),
                              swt_vec3_make(10, -20, 35));
}

static void worked_example_to_its_digits(void **state)
{
    /* Soederkvist & Wedin's problem; digits from two outside routes (NumPy SVD, SciPy
     * Rotation.align_vectors) */
    static const struct {
        double weight[5], zxy_deg[3], t[3], rms;
    } rows[] = {{{1, 1, 1, 1, 1},
                 {29.89798462, 20.25835544, 9.37300783},
                 {10.29665949, -20.1712749, 35.16312996},
                 1.4034563670},
                {{1, 1, 1, 1, .1},
                 {30.1236632, 19.78324219, 9.6421277},
                 {10.205611, -20.12816962, 35.05394903},
                 .8106385080}};
    swt_vec3 measured[5];

    (void)state;
    example(measured);
    for (int k = 0; k < 2; k++) {
        swt_pose pose = fit(example_reference, measured, rows[k].weight, 5);
        double(*r)[3] = pose.rotation.m;
        assert_close(SWT_DEGREES(atan2(-r[0][1], r[1][1])), rows[k].zxy_deg[0], 6e-9, "z");
        assert_close(SWT_DEGREES(asin(r[2][1])), rows[k].zxy_deg[1], 6e-9, "x");
        assert_close(SWT_DEGREES(atan2(-r[2][0], r[2][2])), rows[k].zxy_deg[2], 6e-9, "y");
        assert_close(pose.translation.x, rows[k].t[0], 6e-9, "tx");
        assert_close(pose.translation.y, rows[k].t[1], 6e-9, "ty");
        assert_close(pose.translation.z, rows[k].t[2], 6e-9, "tz");
        assert_close(pose.residual_m, rows[k].rms, 6e-11, "RMS");
    }
}

static void gsl_gives_the_same_rotation(void **state)
{
    uint64_t seed = 17;
    swt_vec3 a[MARKERS], b[MARKERS];
    double w[MARKERS];
    int fitted = 0;

    (void)state;
    for (int k = 0; k < 20000; k++) {
        size_t n = 3 + (size_t)(draw(&seed) * (MARKERS - 2));
        double noise = pow(10, -5 + 3.5 * draw(&seed)); /* 10 um to 30 mm */
        int flat = k % 4 == 0;                          /* every fourth cluster is planar */
        swt_mat3 r = random_rotation(&seed), tilt = random_rotation(&seed), svd;
        swt_pose pose;

        for (size_t m = 0; m < n; m++) {
            swt_vec3 p = {0.2 * draw(&seed), 0.1 * draw(&seed), flat ? 0 : 0.05 * draw(&seed)};
            a[m] = swt_rotate(&tilt, p);
            b[m] = swt_add(swt_rotate(&r, a[m]), swt_vec3_make(1.1, -2.3, 0.9));
            b[m].x += noise * draw_normal(&seed);
            b[m].y += noise * draw_normal(&seed);
            b[m].z += noise * draw_normal(&seed);
            w[m] = 0.2 + draw(&seed);
        }
        pose = fit(a, b, w, n);
        if (isnan(pose.residual_m))
            continue; /* nearly in line: refused, see below */
        fitted++;
        svd = rotation_by_svd(a, b, w, n);
        assert_same_rotation(&pose.rotation, &svd, 1e-11, "against GSL");
    }
    assert_true(fitted > 19000);
}

static void exact_markers_give_the_exact_pose(void **state)
{
    uint64_t seed = 4;
    swt_vec3 b[5], t = {0.4, 1.9, -3};

    (void)state;
    for (int k = 0; k < 1000; k++) {
        swt_mat3 r = random_rotation(&seed);
        swt_pose pose;
        for (int m = 0; m < 5; m++)
            b[m] = swt_add(swt_rotate(&r, swt_scale(example_reference[m], 1e-3)), t);
        swt_vec3 a[5];
        for (int m = 0; m < 5; m++)
            a[m] = swt_scale(example_reference[m], 1e-3);
        pose = fit(a, b, NULL, k % 2 ? 5 : 3); /* three markers: planar */
        assert_same_rotation(&pose.rotation, &r, 1e-13, "exact");
        assert_close(swt_norm(swt_sub(pose.translation, t)), 0, 1e-13, "exact");
        assert_true(pose.residual_m < 1e-14);
        assert_close(swt_norm(swt_sub(swt_pose_invert(&pose, b[2]), a[2])), 0, 1e-13, "invert");
    }
}

static void many_markers_are_fitted_as_few(void **state)
{
    uint64_t seed = 8;
    swt_vec3 reference[MARKERS], measured[MARKERS];
    swt_mat3 r = random_rotation(&seed);
    swt_pose pose;

    (void)state;
    for (size_t m = 0; m < MARKERS; m++) {
        reference[m] = swt_vec3_make(draw(&seed), draw(&seed), draw(&seed));
        measured[m] = swt_add(swt_rotate(&r, reference[m]), swt_vec3_make(1, 2, 3));
    }
    pose = fit(reference, measured, NULL, MARKERS);
    assert_same_rotation(&pose.rotation, &r, 1e-12, "rotation of 20 markers");
    assert_close(pose.residual_m, 0, 1e-12, "residual of 20 markers");
}

static void what_has_no_orientation_is_missing(void **state)
{
    swt_vec3 line[4], measured[4], mirrored[5], copy[5];

    (void)state;
    for (int k = 0; k < 4; k++) {
        line[k] = swt_vec3_make(0.1 * k, 0.05 * k, -0.2 * k);
        measured[k] = swt_add(line[k], swt_vec3_make(1e-3 * (k % 2), 0, 1e-3 * (k / 2)));
    }
    assert_true(isnan(fit(line, line, NULL, 4).residual_m));
    assert_true(isnan(fit(line, measured, NULL, 4).residual_m));
    assert_true(isnan(fit(example_reference, line, NULL, 4).residual_m));
    assert_true(isnan(fit(example_reference, example_reference, NULL, 2).residual_m));
    for (int k = 0; k < 5; k++) {
        mirrored[k] = example_reference[k];
        mirrored[k].z = -mirrored[k].z;
        copy[k] = swt_vec3_make(1, 1, 1);
    }
    assert_true(isnan(fit(example_reference, copy, NULL, 5).residual_m)); /* all in one place */
    /* a mirror image either has no pose or says by its residual how badly it fits */
    swt_pose pose = fit(example_reference, mirrored, NULL, 5);
    assert_true(isnan(pose.residual_m) || pose.residual_m > 10);
}

static void lost_markers_are_left_out(void **state)
{
    swt_vec3 measured[5];
    swt_pose all, fewer;
    static const double without[5] = {1, 0, 1, 1, 1};

    (void)state;
    example(measured);
    all = fit(example_reference, measured, without, 5);
    measured[1].y = nan("");
    fewer = fit(example_reference, measured, NULL, 5);
    assert_same_rotation(&all.rotation, &fewer.rotation, 0, "a lost marker is one of weight 0");
    assert_close(all.residual_m, fewer.residual_m, 0, "residual");
    measured[0].x = measured[4].z = nan("");
    assert_true(isnan(fit(example_reference, measured, NULL, 5).rotation.m[0][0]));
}

static void steady_turn_gives_its_angular_velocity(void **state)
{
    enum { FRAMES = 60 };
    const double rate = 240, speed = 42; /* rad/s, a fast club */
    const double theta = speed / rate;
    /* 5-point rule on sin and cos of a steady turn: (8 sin h - sin 2h) / 6 for h */
    const double seen = rate * (8 * sin(theta) - sin(2 * theta)) / 6;
    const swt_vec3 axis = {2 / 7., -3 / 7., 6 / 7.};
    swt_mat3 tilt = zxy(0.3, -0.8, 1.1), back;
    swt_pose pose[FRAMES];
    swt_vec3 omega[FRAMES], third;

    (void)state;
    /* a frame whose z is the axis of the turn */
    third = swt_direction(swt_cross(axis, swt_vec3_make(1, 0, 0)));
    back = swt_mat3_from_columns(swt_cross(third, axis), third, axis);
    for (int f = 0; f < FRAMES; f++) {
        swt_mat3 turn = swt_mat3_about_axis(2, theta * f), inverse = swt_mat3_transpose(&back);
        swt_mat3 r = swt_mat3_multiply(&back, &turn);
        r = swt_mat3_multiply(&r, &inverse);
        pose[f] = swt_pose_missing();
        pose[f].rotation = swt_mat3_multiply(&r, &tilt);
    }
    pose[20] = swt_pose_missing();
    assert_int_equal(swt_pose_angular_velocity(omega, pose, FRAMES, 40, rate, NULL), SWT_OK);
    assert_true(isnan(omega[20].x) && isnan(omega[20].z));
    for (int f = 0; f < FRAMES; f++) {
        bool central = (f >= 2 && f < 18) || (f >= 23 && f < 38) || (f >= 42 && f < FRAMES - 2);
        if (f == 20)
            continue;
        assert_close(swt_norm(swt_sub(omega[f], swt_scale(axis, central ? seen : speed))), 0,
                     central ? 1e-10 : 3e-2, "angular velocity");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_example_to_its_digits),
        cmocka_unit_test(gsl_gives_the_same_rotation),
        cmocka_unit_test(exact_markers_give_the_exact_pose),
        cmocka_unit_test(many_markers_are_fitted_as_few),
        cmocka_unit_test(what_has_no_orientation_is_missing),
        cmocka_unit_test(lost_markers_are_left_out),
        cmocka_unit_test(steady_turn_gives_its_angular_velocity),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
