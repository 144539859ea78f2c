/* Between the samples: exact on cubics, silent across gaps and impact. */
#include "kinematics/subframe.h"
#include "tests/support/support.h"

#include <math.h>

#define N 40

static double cubic(double t)
{
    return 1 + t * (0.3 + t * (-0.05 + t * 0.001));
}

static void value_is_exact_on_a_cubic(void **state)
{
    double x[N];

    (void)state;
    for (size_t i = 0; i < N; i++)
        x[i] = cubic((double)i);
    for (double t = 0; t <= N - 1; t += 0.37)
        assert_close(swt_subframe_value(x, N, SWT_NO_SPLIT, t), cubic(t), 1e-12, "cubic");
    assert_close(swt_subframe_value(x, N, SWT_NO_SPLIT, N - 1), x[N - 1], 0, "last sample");
    assert_true(isnan(swt_subframe_value(x, N, SWT_NO_SPLIT, -0.01)));
    assert_true(isnan(swt_subframe_value(x, N, SWT_NO_SPLIT, N - 0.99)));
    assert_true(isnan(swt_subframe_value(x, N, SWT_NO_SPLIT, nan(""))));
    assert_true(isnan(swt_subframe_value(x, 0, SWT_NO_SPLIT, 0)));
}

static void value_comes_from_the_four_nearest(void **state)
{
    double x[N];

    (void)state;
    for (size_t i = 0; i < N; i++)
        x[i] = sin(0.9 * (double)i);
    for (size_t i = 1; i + 2 < N; i++)
        assert_close(swt_subframe_value(x, N, SWT_NO_SPLIT, (double)i + 0.5),
                     (-x[i - 1] + 9 * x[i] + 9 * x[i + 1] - x[i + 2]) / 16, 1e-14, "half way");
    assert_close(swt_subframe_value(x, N, SWT_NO_SPLIT, 0.5),
                 (5 * x[0] + 15 * x[1] - 5 * x[2] + x[3]) / 16, 1e-14, "at the start");
}

static void value_uses_its_own_run_only(void **state)
{
    double x[N];
    const size_t split = 20;

    (void)state;
    for (size_t i = 0; i < N; i++)
        x[i] = i < split ? cubic((double)i) : 1000 + (double)i;
    x[30] = x[33] = nan("");
    assert_close(swt_subframe_value(x, N, split, 18.5), cubic(18.5), 1e-12, "before impact");
    assert_close(swt_subframe_value(x, N, split, 20.5), 1020.5, 1e-9, "after impact");
    assert_true(isnan(swt_subframe_value(x, N, split, 19.5)));
    assert_true(isnan(swt_subframe_value(x, N, split, 29.5)));
    assert_true(isnan(swt_subframe_value(x, N, split, 30)));
    assert_close(swt_subframe_value(x, N, split, 31.25), 1031.25, 1e-9, "run of two");
}

static void before_impact_extrapolates_one_frame(void **state)
{
    double x[N];
    const size_t split = 20;

    (void)state;
    for (size_t i = 0; i < N; i++)
        x[i] = i < split ? 2 + 3.0 * (double)i - 0.1 * (double)(i * i) : -77;
    assert_close(swt_subframe_before(x, N, split, 19.6), 2 + 3 * 19.6 - 0.1 * 19.6 * 19.6, 1e-11,
                 "parabola");
    assert_close(swt_subframe_before(x, N, split, 20), 2 + 60 - 40, 1e-11, "one whole frame");
    assert_true(isnan(swt_subframe_before(x, N, split, 20.01)));
    assert_close(swt_subframe_before(x, N, split, 7.5), swt_subframe_value(x, N, split, 7.5), 0,
                 "earlier");
    x[18] = nan("");
    assert_true(isnan(swt_subframe_before(x, N, split, 19.5))); /* a lone sample has no trend */
}

static void crossings_are_found_where_they_are(void **state)
{
    double x[300], frame = -1;

    (void)state;
    for (size_t i = 0; i < 300; i++)
        x[i] = sin((double)i * 0.05 - 0.3); /* rises through 0.5 at 16.47, falls at 58.36 */
    assert_true(
        swt_subframe_crossing(&frame, x, 300, SWT_NO_SPLIT, 0.5, SWT_CROSSING_RISING, 0, 299));
    assert_close(frame, (asin(0.5) + 0.3) / 0.05, 2e-5, "first rise");
    assert_true(
        swt_subframe_crossing(&frame, x, 300, SWT_NO_SPLIT, 0.5, SWT_CROSSING_FALLING, 0, 299));
    assert_close(frame, (acos(-1.0) - asin(0.5) + 0.3) / 0.05, 2e-5, "first fall");
    assert_true(
        swt_subframe_last_crossing(&frame, x, 300, SWT_NO_SPLIT, 0.5, SWT_CROSSING_RISING, 0, 299));
    assert_close(frame, (4 * acos(-1.0) + asin(0.5) + 0.3) / 0.05, 2e-5, "last rise");
    frame = 99;
    assert_false(
        swt_subframe_crossing(&frame, x, 300, SWT_NO_SPLIT, 0.5, SWT_CROSSING_RISING, 20, 100));
    assert_false(swt_subframe_crossing(&frame, x, 300, 17, 0.5, SWT_CROSSING_RISING, 0, 100));
    x[16] = nan("");
    assert_false(
        swt_subframe_crossing(&frame, x, 300, SWT_NO_SPLIT, 0.5, SWT_CROSSING_RISING, 0, 100));
    assert_close(frame, 99, 0, "untouched");
}

static void a_sample_on_the_level_is_one_crossing(void **state)
{
    static const double x[] = {-2, -1, 0, 1, 2};
    double frame;

    (void)state;
    assert_true(swt_subframe_crossing(&frame, x, 5, SWT_NO_SPLIT, 0, SWT_CROSSING_RISING, 0, 4));
    assert_close(frame, 2, 1e-9, "on the sample");
    assert_false(swt_subframe_crossing(&frame, x, 5, SWT_NO_SPLIT, 0, SWT_CROSSING_RISING, 2, 4));
    assert_false(swt_subframe_crossing(&frame, x, 5, SWT_NO_SPLIT, 0, SWT_CROSSING_FALLING, 0, 4));
}

static void extremes_lie_between_samples(void **state)
{
    double x[N], frame, value;

    (void)state;
    for (size_t i = 0; i < N; i++)
        x[i] = 4 + 0.5 * pow((double)i - 12.3, 2);
    assert_true(swt_subframe_minimum(&frame, &value, x, N, SWT_NO_SPLIT, 0, N - 1));
    assert_close(frame, 12.3, 1e-12, "frame");
    assert_close(value, 4, 1e-12, "value");
    for (size_t i = 0; i < N; i++)
        x[i] = -x[i];
    assert_true(swt_subframe_maximum(&frame, &value, x, N, SWT_NO_SPLIT, 0, N - 1));
    assert_close(frame, 12.3, 1e-12, "frame of the maximum");
    assert_close(value, -4, 1e-12, "value of the maximum");
    assert_true(swt_subframe_maximum(&frame, NULL, x, N, SWT_NO_SPLIT, 20, 30));
    assert_close(frame, 20, 0, "at the edge of the range of a falling series");
    assert_true(swt_subframe_maximum(&frame, NULL, x, N, 12, 0, N - 1));
    assert_close(frame, 12, 0, "no parabola across impact");
    for (size_t i = 0; i < N; i++)
        x[i] = nan("");
    assert_false(swt_subframe_minimum(&frame, &value, x, N, SWT_NO_SPLIT, 0, N - 1));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(value_is_exact_on_a_cubic),
        cmocka_unit_test(value_comes_from_the_four_nearest),
        cmocka_unit_test(value_uses_its_own_run_only),
        cmocka_unit_test(before_impact_extrapolates_one_frame),
        cmocka_unit_test(crossings_are_found_where_they_are),
        cmocka_unit_test(a_sample_on_the_level_is_one_crossing),
        cmocka_unit_test(extremes_lie_between_samples),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
