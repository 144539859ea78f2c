/* Derivatives and integrals: exact on the polynomials they must be exact on, right order of error,
 * nothing across gaps or impact. */
#include "kinematics/derivative.h"
#include "tests/support/support.h"

#include <math.h>

#define N 64

static double poly(double t, int degree)
{
    static const double c[] = {0.7, -1.3, 2.1, 0.9, -0.4};
    double y = 0;
    for (int k = degree; k >= 0; k--)
        y = y * t + c[k];
    return y;
}
static double poly_d(double t, int degree)
{
    static const double c[] = {-1.3, 4.2, 2.7, -1.6};
    double y = 0;
    for (int k = degree - 1; k >= 0; k--)
        y = y * t + c[k];
    return y;
}
static void exact_on_polynomials_of_every_run_length(void **state)
{
    double x[N], d[N];
    const double rate = 50;

    (void)state;
    for (size_t n = 2; n < 20; n++) {
        int degree = n < 5 ? (int)n - 1 : 4;
        for (size_t i = 0; i < n; i++)
            x[i] = poly((double)i / rate - 0.1, degree);
        swt_derivative_first(d, x, n, SWT_NO_SPLIT, rate);
        for (size_t i = 0; i < n; i++) {
            double t = (double)i / rate - 0.1;
            assert_close(d[i], poly_d(t, degree), 1e-12, "first derivative");
        }
    }
}

/** Largest error of the derivative and the integral of sin(4t) sampled at `rate`. */
static void worst(double error[2], double rate)
{
    static double x[1000], y[1000];
    size_t n = (size_t)(1.5 * rate);

    for (size_t i = 0; i < n; i++)
        x[i] = sin(4 * (double)i / rate);
    error[0] = error[1] = 0;
    swt_derivative_first(y, x, n, SWT_NO_SPLIT, rate);
    for (size_t i = 0; i < n; i++)
        error[0] = fmax(error[0], fabs(y[i] - 4 * cos(4 * (double)i / rate)));
    swt_integral_from(y, x, n, SWT_NO_SPLIT, 0, rate);
    for (size_t i = 0; i < n; i++)
        error[1] = fmax(error[1], fabs(y[i] - (1 - cos(4 * (double)i / rate)) / 4));
}

static void error_falls_with_the_fourth_power(void **state)
{
    double coarse[2], fine[2];

    (void)state;
    worst(coarse, 100);
    worst(fine, 200);
    for (int k = 0; k < 2; k++) {
        double order = log2(coarse[k] / fine[k]);
        assert_true(order > 3.7 && order < 5.3);
    }
}

static void gaps_and_impact_divide(void **state)
{
    double x[N], d[N], whole[N];
    const size_t split = 20;

    (void)state;
    for (size_t i = 0; i < N; i++)
        x[i] = i < split ? (double)(i * i) : 1e6 - (double)i;
    x[40] = x[42] = nan("");
    swt_derivative_first(d, x, N, split, 1);
    for (size_t i = 0; i < N; i++) {
        if (i >= 40 && i <= 42)
            assert_true(isnan(d[i])); /* a lone sample has no derivative */
        else
            assert_close(d[i], i < split ? 2 * (double)i : -1, 1e-8, "each side alone");
    }
    swt_derivative_first(whole, x, N, SWT_NO_SPLIT, 1);
    assert_true(fabs(whole[split]) > 1e4); /* the split is what kept them apart */
}

static void integral_undoes_the_derivative_from_any_start(void **state)
{
    double x[N], y[N];

    (void)state;
    for (size_t n = 2; n < 30; n++) {
        int degree = n < 4 ? (int)n - 1 : 3;
        for (size_t start = 0; start < n; start += 5) {
            for (size_t i = 0; i < n; i++)
                x[i] = poly_d((double)i / 10, degree + 1);
            swt_integral_from(y, x, n, SWT_NO_SPLIT, start, 10);
            for (size_t i = 0; i < n; i++)
                assert_close(
                    y[i], poly((double)i / 10, degree + 1) - poly((double)start / 10, degree + 1),
                    1e-11, "integral");
        }
    }
}

static void integral_keeps_to_its_run_and_steps_over_impact(void **state)
{
    double x[N], y[N], want = 0;
    const size_t split = 20;

    (void)state;
    for (size_t i = 0; i < N; i++)
        x[i] = i < split ? 3 : -2;
    x[5] = x[50] = nan("");
    swt_integral_from(y, x, N, split, 10, 1);
    for (size_t i = 0; i < N; i++) {
        if (i <= 5 || i >= 50) {
            assert_true(isnan(y[i]));
            continue;
        }
        want = i < split ? 3 * ((double)i - 10) : 27 + 0.5 - 2 * (double)(i - split);
        assert_close(y[i], want, 1e-12, "across impact by the trapezoid");
    }
    swt_integral_from(y, x, N, split, 30, 1);
    assert_close(y[10], 20 - 0.5 - 27, 1e-12, "backwards over impact");
    swt_integral_from(y, x, N, split, 5, 1);
    assert_true(isnan(y[10]) && isnan(y[5]));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(exact_on_polynomials_of_every_run_length),
        cmocka_unit_test(error_falls_with_the_fourth_power),
        cmocka_unit_test(gaps_and_impact_divide),
        cmocka_unit_test(integral_undoes_the_derivative_from_any_start),
        cmocka_unit_test(integral_keeps_to_its_run_and_steps_over_impact),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
