/* Local fits against polynomials. */
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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(recovers_a_polynomial),
        cmocka_unit_test(slope_variance_of_a_line),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
