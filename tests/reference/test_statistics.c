/* Against what SciPy and NumPy make of the same numbers; statistics_reference.py says which. */
#include "comparison/association.h"
#include "comparison/principal.h"
#include "comparison/tolerance.h"
#include "tests/reference/statistics_values.inc"
#include "tests/support/support.h"

static void rank_correlation_and_slope_are_scipys(void **state)
{
    int one_player[PAIRS] = {0};

    (void)state;
    for (size_t k = 0; k < 4; k++) {
        const double *x = sample_x + k * PAIRS, *y = sample_y + k * PAIRS;
        double rho;
        swt_association a;
        assert_int_equal(swt_spearman(&rho, x, y, PAIRS, NULL), SWT_OK);
        assert_close(rho, want_rho[k], 1e-13, "Spearman");
        assert_int_equal(swt_association_within(&a, x, y, one_player, PAIRS, 99, 1, NULL), SWT_OK);
        assert_close(a.slope, want_slope[k], 1e-12, "Theil and Sen");
    }
}

static void mahalanobis_is_numpys(void **state)
{
    double squared;

    (void)state;
    assert_int_equal(swt_mahalanobis(&squared, point, table, ROWS, COLUMNS, NULL), SWT_OK);
    assert_close(squared, want_squared[0], 1e-11 * want_squared[0], "squared distance");
    assert_close(ROWS * squared, want_squared[1], 1e-11 * want_squared[1], "Hotelling's T2");
}

static void one_sided_factors_are_scipys(void **state)
{
    (void)state;
    for (size_t k = 0; k < sizeof want_factor / sizeof *want_factor / 4; k++) {
        const double *want = want_factor + 4 * k;
        double factor;
        assert_int_equal(
            swt_tolerance_one_sided(&factor, want[0], want[0] - 1, want[1], want[2], NULL), SWT_OK);
        assert_close(factor, want[3], 1e-8 * want[3], "noncentral t");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rank_correlation_and_slope_are_scipys),
        cmocka_unit_test(mahalanobis_is_numpys),
        cmocka_unit_test(one_sided_factors_are_scipys),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
