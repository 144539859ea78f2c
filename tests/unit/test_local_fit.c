/* Local fits and turning points, against polynomials and motions known in closed form. */
#include "kinematics/local_fit.h"
#include "tests/support/support.h"

#include <math.h>

enum { N = 200 };

static void recovers_a_polynomial(void **state)
{
    double x[N], v[4];
    swt_local_fit fit;

    (void)state;
    for (int i = 0; i < N; i++) {
        double t = i - 50;
        x[i] = 3 - 0.5 * t + 0.02 * t * t - 1e-3 * t * t * t + 2e-5 * t * t * t * t;
    }
    swt_local_fit_make(&fit, x, 40, 13, 4);
    swt_local_fit_at(v, &fit, 53.5);
    assert_close(v[0], 3 - 0.5 * 3.5 + 0.02 * 12.25 - 1e-3 * 42.875 + 2e-5 * 3.5 * 3.5 * 3.5 * 3.5,
                 1e-11, "value");
    assert_close(v[1], -0.5 + 0.04 * 3.5 - 3e-3 * 12.25 + 8e-5 * 42.875, 1e-11, "first");
    assert_close(v[2], 0.04 - 6e-3 * 3.5 + 24e-5 * 12.25, 1e-11, "second");
    assert_close(v[3], -6e-3 + 48e-5 * 3.5, 1e-11, "third");
}

/* Slope of a line through n points: variance 12 / (n (n^2 - 1)), anywhere. */
static void slope_variance_of_a_line(void **state)
{
    double x[N] = {0};
    swt_local_fit fit;

    (void)state;
    swt_local_fit_make(&fit, x, 0, 10, 1);
    assert_close(swt_local_fit_slope_variance(&fit, 4), 12.0 / (10 * 99), 1e-15, "line");
    assert_close(swt_local_fit_slope_variance(&fit, 9), 12.0 / (10 * 99), 1e-15,
                 "line, at its end");
}

/* A cosine turns round at 100.3; noise-free the narrow window stays and the bias with it. */
static void turning_point_of_a_cosine(void **state)
{
    double x[N], frame = 101.4;
    const double *one = x;

    (void)state;
    for (int i = 0; i < N; i++)
        x[i] = -cos(0.05 * (i - 100.3));
    assert_true(swt_turning_point(&frame, &one, 1, N, SWT_NO_SPLIT, 1e-6, 40));
    assert_close(frame, 100.3, 1e-3, "turning point");
}

/* Over many draws: the error is far below that of the narrowest window, and not one-sided. */
static void noise_widens_the_window(void **state)
{
    double x[N], squares = 0, sum = 0, narrow;
    const double *one = x;
    const double noise = 0.01, bend = 0.05 * 0.05;
    uint64_t seed = 5;
    enum { DRAWS = 200 };
    swt_local_fit fit;

    (void)state;
    swt_local_fit_make(&fit, (double[N]){0}, 98, 5, 3);
    narrow = noise * sqrt(swt_local_fit_slope_variance(&fit, 100.3)) / bend;
    for (int k = 0; k < DRAWS; k++) {
        double frame = 100;
        for (int i = 0; i < N; i++)
            x[i] = -cos(0.05 * (i - 100.3)) + noise * draw_normal(&seed);
        assert_true(swt_turning_point(&frame, &one, 1, N, SWT_NO_SPLIT, noise, 40));
        sum += frame - 100.3;
        squares += (frame - 100.3) * (frame - 100.3);
    }
    assert_true(sqrt(squares / DRAWS) < 0.25 * narrow);
    assert_true(fabs(sum / DRAWS) < 3 * sqrt(squares / DRAWS / DRAWS));
}

/* A point that swings by without ever stopping: least speed where the parabola is flattest. */
static void least_speed_of_a_path(void **state)
{
    double x[N], y[N], z[N], frame = 61;
    const double *path[] = {x, y, z};

    (void)state;
    for (int i = 0; i < N; i++) {
        double t = i - 60.25;
        x[i] = 0.2 * t;
        y[i] = 0.01 * t * t;
        z[i] = 1;
    }
    assert_true(swt_turning_point(&frame, path, 3, N, SWT_NO_SPLIT, 1e-6, 40));
    assert_close(frame, 60.25, 1e-6, "least speed");
}

static void gaps_and_contact_end_the_window(void **state)
{
    double x[N], frame = 100.3;
    const double *one = x;

    (void)state;
    for (int i = 0; i < N; i++)
        x[i] = i < 103 ? -cos(0.05 * (i - 100.3)) : 7;
    assert_true(swt_turning_point(&frame, &one, 1, N, 103, 1e-6, 40));
    assert_close(frame, 100.3, 2e-3, "before contact");
    x[99] = x[102] = nan("");
    frame = 100.3;
    assert_false(swt_turning_point(&frame, &one, 1, N, 103, 1e-6, 40));
    assert_close(frame, 100.3, 0, "untouched");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(recovers_a_polynomial),
        cmocka_unit_test(slope_variance_of_a_line),
        cmocka_unit_test(turning_point_of_a_cosine),
        cmocka_unit_test(noise_widens_the_window),
        cmocka_unit_test(least_speed_of_a_path),
        cmocka_unit_test(gaps_and_contact_end_the_window),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
