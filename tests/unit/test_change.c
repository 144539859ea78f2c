#include "comparison/change.h"
#include "comparison/variance.h"
#include "tests/support/support.h"

#include <math.h>

static void one_against_one_is_weirs_number(void **state)
{
    /* Weir 2005: SEM 7.557 gives 20.95 at 95 % */
    assert_close(swt_detectable_change(7.556926, 1, 1, 0.95), 20.9467, 5e-4, "1.96 sqrt(2) SEM");
    assert_true(isnan(swt_detectable_change(1, 0, 1, 0.95)));
    (void)state;
}

static void verdicts(void **state)
{
    const double before[] = {10, 12, nan(""), 11}, after[] = {14, 16, 15}, none[] = {nan("")};
    swt_change c;

    (void)state;
    assert_int_equal(swt_change_between(&c, before, 4, after, 3, 1.0, 0.95, NULL), SWT_OK);
    assert_int_equal(c.n_before, 3);
    assert_close(c.before, 11, 1e-12, "before");
    assert_close(c.after, 15, 1e-12, "after");
    assert_close(c.difference, 4, 1e-12, "15 - 11");
    assert_close(c.low, 4 - 1.959963984540054 * sqrt(2.0 / 3), 1e-12, "low");
    assert_close(c.high, 4 + 1.959963984540054 * sqrt(2.0 / 3), 1e-12, "high");
    assert_close(c.detectable, 1.959963984540054 * sqrt(2.0 / 3), 1e-12, "three and three");
    assert_int_equal(c.verdict, SWT_CHANGE_UP);
    assert_int_equal(swt_change_between(&c, after, 3, before, 4, 1.0, 0.95, NULL), SWT_OK);
    assert_int_equal(c.verdict, SWT_CHANGE_DOWN);
    assert_int_equal(swt_change_between(&c, before, 4, after, 3, 3.0, 0.95, NULL), SWT_OK);
    assert_int_equal(c.verdict, SWT_CHANGE_NOT_DETECTABLE);
    assert_true(c.low < 0 && c.high > 0);
    assert_int_equal(swt_change_between(&c, none, 1, after, 3, 3.0, 0.95, NULL), SWT_OK);
    assert_int_equal(c.verdict, SWT_CHANGE_UNKNOWN);
    assert_int_equal(swt_change_between(&c, before, 4, after, 3, 0, 0.95, NULL), SWT_EARG);
    assert_int_equal(swt_change_between(&c, before, 4, after, 3, nan(""), 0.95, NULL), SWT_EARG);
    assert_int_equal(swt_change_between(&c, before, 4, after, 3, 1, 1, NULL), SWT_EARG);
}

static void noise_alone_is_called_change_once_in_twenty(void **state)
{
    uint64_t seed = 6;
    int called = 0;

    (void)state;
    for (int r = 0; r < 20000; r++) {
        double before[5], after[3];
        swt_change c;
        for (int i = 0; i < 5; i++)
            before[i] = 2 * draw_normal(&seed);
        for (int i = 0; i < 3; i++)
            after[i] = 2 * draw_normal(&seed);
        assert_int_equal(swt_change_between(&c, before, 5, after, 3, 2, 0.95, NULL), SWT_OK);
        called += c.verdict != SWT_CHANGE_NOT_DETECTABLE;
    }
    assert_close(called / 20000.0, 0.05, 0.006, "false alarms");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_against_one_is_weirs_number),
        cmocka_unit_test(verdicts),
        cmocka_unit_test(noise_alone_is_called_change_once_in_twenty),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
