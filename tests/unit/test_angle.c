/* Angles: worked matrices, round trips through all sequences, lock, continuity, projection. */
#include "kinematics/angle.h"
#include "tests/support/support.h"

#include <math.h>

static void assert_matrix(const swt_mat3 *r, const double want[9], double tolerance)
{
    for (int k = 0; k < 9; k++)
        assert_close(r->m[k / 3][k % 3], want[k], tolerance, "matrix element");
}

static void worked_matrices(void **state)
{
    /* digits computed outside (NumPy) from R = R1 R2 R3, column convention */
    static const double zxy[9] = {.82317294,  -.46984631, .31879578, .54383814, .81379768,
                                  -.20487413, -.16317591, .34202014, .92541658};
    static const double yxy[9] = {.55844515, -.5566704, .61502608,  -.36599815, .5,
                                  .78488557, -.7444356, -.66341395, .07548224};
    double a[3] = {SWT_RADIANS(30), SWT_RADIANS(20), SWT_RADIANS(10)};
    double e[3] = {SWT_RADIANS(40), SWT_RADIANS(-60), SWT_RADIANS(25)};
    swt_mat3 r = swt_angle_compose(a, SWT_SEQUENCE_ZXY);

    (void)state;
    assert_matrix(&r, zxy, 6e-9);
    r = swt_angle_compose(e, SWT_SEQUENCE_YXY);
    assert_matrix(&r, yxy, 6e-9);
    /* the humerus is described with a negative middle angle: the other triple */
    swt_angle_decompose(a, &r, SWT_SEQUENCE_YXY);
    assert_close(a[1], SWT_RADIANS(60), 1e-14, "principal");
    swt_angle_other(a, SWT_SEQUENCE_YXY);
    for (int k = 0; k < 3; k++)
        assert_close(a[k], e[k], 1e-14, "other triple");
}

static void the_sequence_changes_the_axial_angle(void **state)
{
    /* one posture, R = Ry(-60) Rz(-30) Rx(25): its turn about y by sequence, degrees;
     * digits from SciPy's Rotation.as_euler */
    static const struct {
        swt_sequence sequence;
        int place;
        double axial_deg;
    } rows[] = {{SWT_SEQUENCE_YZX, 0, -60},
                {SWT_SEQUENCE_ZXY, 2, -70.19065405},
                {SWT_SEQUENCE_XZY, 2, -64.06930932},
                {SWT_SEQUENCE_YXZ, 0, -73.12426812},
                {SWT_SEQUENCE_ZYX, 1, -48.59037789}};
    double posture[3] = {SWT_RADIANS(-60), SWT_RADIANS(-30), SWT_RADIANS(25)}, a[3];
    swt_mat3 r = swt_angle_compose(posture, SWT_SEQUENCE_YZX);

    (void)state;
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        swt_angle_decompose(a, &r, rows[k].sequence);
        assert_close(SWT_DEGREES(a[rows[k].place]), rows[k].axial_deg, 6e-9, "axial angle");
    }
    assert_close(SWT_DEGREES(swt_angle_projected(swt_mat3_column(&r, 2), swt_vec3_make(0, 0, 1),
                                                 swt_vec3_make(0, 1, 0))),
                 -73.12426812, 6e-9, "z axis projected on the floor");
}

static void every_sequence_returns_its_angles(void **state)
{
    uint64_t seed = 9;

    (void)state;
    for (int s = 0; s < SWT_SEQUENCE_COUNT; s++)
        for (int k = 0; k < 500; k++) {
            swt_sequence sequence = (swt_sequence)s;
            bool euler = sequence >= SWT_SEQUENCE_XYX;
            double a[3] = {(2 * draw(&seed) - 1) * SWT_PI,
                           euler ? 0.01 + 3.12 * draw(&seed) : 3.12 * (draw(&seed) - 0.5),
                           (2 * draw(&seed) - 1) * SWT_PI};
            double b[3];
            swt_mat3 r = swt_angle_compose(a, sequence), again;
            swt_angle_decompose(b, &r, sequence);
            for (int j = 0; j < 3; j++)
                assert_close(b[j], a[j], 1e-12, "round trip");
            swt_angle_other(b, sequence);
            again = swt_angle_compose(b, sequence);
            for (int j = 0; j < 9; j++)
                assert_close(again.m[j / 3][j % 3], r.m[j / 3][j % 3], 1e-14, "other triple");
            assert_true(fabs(b[0] - a[0]) > 1);
            swt_angle_nearest(b, a, sequence);
            for (int j = 0; j < 3; j++)
                assert_close(b[j], a[j], 1e-12, "nearest");
        }
}

static void lock_is_measured_and_survived(void **state)
{
    (void)state;
    for (int s = 0; s < SWT_SEQUENCE_COUNT; s++) {
        swt_sequence sequence = (swt_sequence)s;
        bool euler = sequence >= SWT_SEQUENCE_XYX;
        double ends[2] = {euler ? 0 : -SWT_PI / 2, euler ? SWT_PI : SWT_PI / 2};
        for (int end = 0; end < 2; end++) {
            double a[3] = {0.4, ends[end], -1.1}, b[3];
            swt_mat3 r = swt_angle_compose(a, sequence), again;
            assert_close(swt_angle_lock_distance(a, sequence), 0, 1e-15, "locked");
            swt_angle_decompose(b, &r, sequence);
            assert_close(b[2], 0, 0, "third angle at lock");
            again = swt_angle_compose(b, sequence);
            for (int j = 0; j < 9; j++)
                assert_close(again.m[j / 3][j % 3], r.m[j / 3][j % 3], 1e-9, "still the rotation");
            a[1] += end ? -0.2 : 0.2;
            assert_close(swt_angle_lock_distance(a, sequence), 0.2, 1e-14, "distance");
        }
    }
}

static void series_is_continuous_through_turns_and_gaps(void **state)
{
    enum { FRAMES = 400 };
    static swt_pose thorax[FRAMES], pelvis[FRAMES];
    static double a[FRAMES], b[FRAMES], c[FRAMES];
    const double near[3] = {-0.3, -1, 0.2};

    (void)state;
    for (int f = 0; f < FRAMES; f++) {
        /* the second angle passes lock far off, the first makes 1.3 turns */
        double joint[3] = {0.02 * f, 0.9 * sin(0.03 * f), -0.5 + 0.01 * f};
        double p[3] = {0.3, 0.01 * f, -0.2};
        swt_mat3 relative = swt_angle_compose(joint, SWT_SEQUENCE_ZXY);
        thorax[f] = pelvis[f] = swt_pose_missing();
        pelvis[f].rotation = swt_angle_compose(p, SWT_SEQUENCE_YXZ);
        thorax[f].rotation = swt_mat3_multiply(&pelvis[f].rotation, &relative);
    }
    thorax[150] = pelvis[151] = swt_pose_missing();
    swt_angle_series(a, b, c, pelvis, thorax, FRAMES, SWT_SEQUENCE_ZXY, NULL);
    for (int f = 0; f < FRAMES; f++) {
        if (f == 150 || f == 151) {
            assert_true(isnan(a[f]) && isnan(b[f]) && isnan(c[f]));
            continue;
        }
        assert_close(a[f], 0.02 * f, 1e-12, "first");
        assert_close(b[f], 0.9 * sin(0.03 * f), 1e-12, "second");
        assert_close(c[f], -0.5 + 0.01 * f, 1e-12, "third");
    }
    /* an Euler middle angle that passes through zero-free negative values stays negative */
    for (int f = 0; f < FRAMES; f++) {
        double humerus[3] = {-0.3 + 0.01 * f, -1 + 0.3 * sin(0.1 * f), 0.2};
        thorax[f].rotation = swt_angle_compose(humerus, SWT_SEQUENCE_YXY);
    }
    swt_angle_series(a, b, c, NULL, thorax, FRAMES, SWT_SEQUENCE_YXY, near);
    for (int f = 0; f < FRAMES; f++) {
        assert_close(a[f], -0.3 + 0.01 * f, 1e-12, "plane of elevation");
        assert_close(b[f], -1 + 0.3 * sin(0.1 * f), 1e-12, "negative elevation");
    }
}

static void unwrapping_removes_whole_turns(void **state)
{
    double x[100];

    (void)state;
    for (int i = 0; i < 100; i++)
        x[i] = remainder(3 + 0.4 * i, 2 * SWT_PI);
    x[0] = x[50] = nan("");
    swt_angle_unwrap(x, 100);
    for (int i = 2; i < 100; i++)
        if (i != 50 && i != 51)
            assert_close(x[i] - x[1], 0.4 * (i - 1), 1e-12, "unwrapped");
    assert_true(isnan(x[0]) && isnan(x[50]));
    assert_close(swt_angle_turns(0.1, 12.7), 0.1 + 4 * SWT_PI, 1e-14, "turns");
}

static void directions(void **state)
{
    swt_vec3 x = {1, 0, 0}, y = {0, 1, 0}, z = {0, 0, 1}, zero = {0, 0, 0};

    (void)state;
    assert_close(swt_angle_between(x, swt_vec3_make(1, 1e-9, 0)), 1e-9, 1e-20, "tiny angle");
    assert_close(swt_angle_between(x, swt_vec3_make(-3, 0, 0)), SWT_PI, 0, "opposite");
    assert_true(isnan(swt_angle_between(x, zero)));
    assert_close(swt_angle_projected(swt_vec3_make(1, 1, 5), x, z), SWT_PI / 4, 1e-15, "projected");
    assert_close(swt_angle_projected(y, x, swt_scale(z, -2)), -SWT_PI / 2, 1e-15, "other side");
    assert_true(isnan(swt_angle_projected(z, x, z)));
    assert_true(isnan(swt_angle_projected(x, y, zero)));
    assert_close(swt_angle_elevation(swt_vec3_make(0, 0, -2)), -SWT_PI / 2, 0, "hanging");
    assert_close(swt_angle_elevation(swt_vec3_make(3, 4, 5)), SWT_PI / 4, 1e-15, "half way up");
    assert_true(isnan(swt_angle_elevation(zero)));
    assert_true(isnan(swt_angle_elevation(swt_vec3_nan())));
    assert_true(isnan(swt_angle_between(swt_vec3_nan(), x)));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_matrices),
        cmocka_unit_test(the_sequence_changes_the_axial_angle),
        cmocka_unit_test(every_sequence_returns_its_angles),
        cmocka_unit_test(lock_is_measured_and_survived),
        cmocka_unit_test(series_is_continuous_through_turns_and_gaps),
        cmocka_unit_test(unwrapping_removes_whole_turns),
        cmocka_unit_test(directions),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
