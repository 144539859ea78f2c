/* Runs against the plainest possible search, over random gaps and splits. */
#include "kinematics/run.h"
#include "tests/support/support.h"

#include <math.h>

#define N 120

static bool same_run(const double *x, size_t split, size_t i)
{
    return isfinite(x[i - 1]) && isfinite(x[i]) && i != split;
}

static void runs_are_those_of_the_plain_search(void **state)
{
    uint64_t seed = 6;
    double x[N];

    (void)state;
    for (int k = 0; k < 3000; k++) {
        size_t n = (size_t)(draw(&seed) * (N + 1)), split = (size_t)(draw(&seed) * (N + 10));
        double loss = k % 3 == 0 ? 0 : k % 3 == 1 ? 0.02 : 0.4;
        swt_run run = {0, 0};
        size_t expected = 0;
        for (size_t i = 0; i < n; i++) {
            x[i] = draw_normal(&seed);
            if (draw(&seed) < loss)
                x[i] = i % 2 ? nan("") : -HUGE_VAL;
        }
        while (expected < n) {
            size_t begin = expected, end;
            if (!isfinite(x[begin])) {
                expected++;
                continue;
            }
            for (end = begin + 1; end < n && same_run(x, split, end); end++)
                ;
            assert_true(swt_run_next(&run, x, n, split));
            assert_int_equal(run.begin, begin);
            assert_int_equal(run.end, end);
            for (size_t i = begin; i < end; i++) {
                swt_run around = swt_run_around(x, n, split, i);
                assert_int_equal(around.begin, begin);
                assert_int_equal(around.end, end);
            }
            expected = end;
        }
        assert_false(swt_run_next(&run, x, n, split));
    }
    x[3] = nan("");
    assert_int_equal(swt_run_around(x, N, SWT_NO_SPLIT, 3).end, 3);
    assert_int_equal(swt_run_around(x, N, SWT_NO_SPLIT, N).end, N);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(runs_are_those_of_the_plain_search)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
