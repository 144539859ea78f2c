/* Plane fit: a worked arc, exact planes in every position, degenerate points. */
#include "kinematics/plane.h"
#include "tests/support/support.h"

#include <math.h>

#define N 64

static void worked_arc(void **state)
{
    /* 180 degrees of arc, slope 50, direction 5, radius 1.7 m, 1 cm of wobble along the normal;
     * digits computed outside (NumPy SVD) */
    double x[N], y[N], z[N];
    size_t n = 0;
    double d = SWT_RADIANS(5), s = SWT_RADIANS(50);
    swt_vec3 e1 = {cos(d), sin(d), 0}, e2 = {-sin(d) * cos(s), cos(d) * cos(s), sin(s)};
    swt_vec3 normal = swt_cross(e1, e2);
    swt_plane plane;

    (void)state;
    for (int deg = -100; deg <= 80; deg += 5, n++) {
        double th = SWT_RADIANS(deg);
        swt_vec3 p = swt_add(swt_add(swt_scale(e1, 1.7 * sin(th)), swt_scale(e2, -1.7 * cos(th))),
                             swt_scale(normal, .01 * cos(5 * th)));
        x[n] = p.x;
        y[n] = p.y;
        z[n] = p.z;
    }
    x[n] = y[n] = 0;
    z[n] = nan("");
    assert_int_equal(swt_plane_fit(&plane, x, y, z, n + 1, NULL), SWT_OK);
    assert_int_equal(plane.n_points, 37);
    assert_close(SWT_DEGREES(plane.slope_rad), 50.15353907, 6e-9, "slope");
    assert_close(SWT_DEGREES(plane.direction_rad), 4.94677, 6e-6, "direction");
    assert_close(plane.rms_m, .00687450824, 6e-12, "RMS");
    assert_close(plane.max_m, .01094813723, 6e-12, "greatest distance");
}

static void exact_planes(void **state)
{
    uint64_t seed = 2;
    double x[N], y[N], z[N];

    (void)state;
    for (int k = 0; k < 200; k++) {
        double slope = 0.01 + 1.55 * draw(&seed), direction = 3.1 * (draw(&seed) - 0.5);
        swt_vec3 e1 = {cos(direction), sin(direction), 0};
        swt_vec3 e2 = {-sin(direction) * cos(slope), cos(direction) * cos(slope), sin(slope)};
        swt_plane plane;
        for (int i = 0; i < N; i++) {
            swt_vec3 p = swt_add(swt_scale(e1, draw(&seed)), swt_scale(e2, draw(&seed)));
            x[i] = p.x + 3;
            y[i] = p.y - 1;
            z[i] = p.z + 0.5;
        }
        assert_int_equal(swt_plane_fit(&plane, x, y, z, N, NULL), SWT_OK);
        assert_close(plane.slope_rad, slope, 1e-12, "slope");
        assert_close(plane.direction_rad, direction, 1e-11, "direction");
        assert_true(plane.max_m < 1e-14);
        assert_close(fabs(swt_plane_distance(&plane, swt_add(plane.centre, plane.normal))), 1,
                     1e-14, "distance");
    }
}

static void no_plane(void **state)
{
    double x[N], y[N], z[N];
    swt_plane plane = {.n_points = 77};
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    for (int i = 0; i < N; i++) {
        x[i] = i;
        y[i] = 2 - i;
        z[i] = 3.0 * i;
    }
    assert_int_equal(swt_plane_fit(&plane, x, y, z, N, &err), SWT_EDATA);
    assert_int_equal(swt_plane_fit(&plane, x, y, z, 2, &err), SWT_EDATA);
    assert_int_equal(swt_plane_fit(&plane, x, y, z, 0, &err), SWT_EDATA);
    assert_int_equal(plane.n_points, 77);
    for (int i = 0; i < N; i++) {
        y[i] = i % 5;
        z[i] = 1;
    }
    assert_int_equal(swt_plane_fit(&plane, x, y, z, N, &err), SWT_OK);
    assert_close(plane.slope_rad, 0, 1e-12, "level");
    assert_true(isnan(plane.direction_rad));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_arc),
        cmocka_unit_test(exact_planes),
        cmocka_unit_test(no_plane),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
