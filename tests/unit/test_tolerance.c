#include "comparison/tolerance.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdio.h>

/* Exact factors at confidence .95, coverage .90 .95 .99: computed with SciPy 1.10 from the
 * definition in ISO 16269-6:2014; the n = 5 to 50 rows agree with the two-decimal table in
 * Berthouex & Brown, Statistics for Environmental Engineers (n = 10: 2.86, 3.39, 4.44). */
static const struct {
    double n, k90, k95, k99;
} table[] = {
    {4, 5.3681, 6.3411, 8.2207},  {5, 4.2906, 5.0769, 6.5980},   {6, 3.7326, 4.4222, 5.7577},
    {8, 3.1560, 3.7455, 4.8892},  {10, 2.8563, 3.3934, 4.4369},  {12, 2.6703, 3.1747, 4.1555},
    {15, 2.4922, 2.9649, 3.8853}, {20, 2.3188, 2.7603, 3.6210},  {30, 2.1451, 2.5549, 3.3546},
    {50, 1.9990, 2.3816, 3.1288}, {100, 1.8748, 2.2339, 2.9355},
};

static double two_sided(double n, double coverage, double confidence)
{
    double k = nan("");
    assert_int_equal(swt_tolerance_two_sided(&k, n, n - 1, coverage, confidence, NULL), SWT_OK);
    return k;
}

static double one_sided(double n, double coverage, double confidence)
{
    double k = nan("");
    assert_int_equal(swt_tolerance_one_sided(&k, n, n - 1, coverage, confidence, NULL), SWT_OK);
    return k;
}

static void two_sided_factors_match_the_table(void **state)
{
    (void)state;
    for (size_t i = 0; i < sizeof table / sizeof *table; i++) {
        char what[32];
        snprintf(what, sizeof what, "n = %g", table[i].n);
        assert_close(two_sided(table[i].n, 0.90, 0.95), table[i].k90, 5.1e-5, what);
        assert_close(two_sided(table[i].n, 0.95, 0.95), table[i].k95, 5.1e-5, what);
        assert_close(two_sided(table[i].n, 0.99, 0.95), table[i].k99, 5.1e-5, what);
    }
}

static void two_sided_factor_has_ten_digits(void **state)
{
    (void)state;
    /* published to 17 digits in a high-precision library's worked example (n = 200, .95/.95) */
    assert_close(two_sided(200, 0.95, 0.95), 2.1429443110713304, 1e-10, "n = 200");
    /* NIST/SEMATECH e-Handbook 7.2.6.3, N = 43, coverage .90, confidence .99: the page prints
     * Howe's approximation 2.217; the exact value was computed with SciPy */
    assert_close(two_sided(43, 0.90, 0.99), 2.2228251738, 1e-9, "handbook case, exact");
}

static void swapped_arguments_give_the_known_wrong_number(void **state)
{
    (void)state;
    /* a public copy of the handbook's lines swaps the two and prints 2.210167 */
    assert_close(two_sided(43, 0.99, 0.05), 2.2101674, 1e-7, "the trap");
}

static void one_sided_factors_match(void **state)
{
    (void)state;
    /* e-Handbook 7.2.6.3, noncentral t: 1.8740 (digits: SciPy) */
    assert_close(one_sided(43, 0.90, 0.99), 1.8739536, 1e-7, "handbook case");
    assert_close(one_sided(10, 0.90, 0.95), 2.3546, 5.1e-5, "n = 10, .90");
    assert_close(one_sided(10, 0.95, 0.95), 2.9110, 5.1e-5, "n = 10, .95");
    assert_close(one_sided(10, 0.99, 0.95), 3.9811, 5.1e-5, "n = 10, .99");
    assert_close(one_sided(50, 0.95, 0.95), 2.0649934178, 1e-9, "n = 50");
}

static void content_comes_true_in_simulation(void **state)
{
    uint64_t seed = 20;
    int good = 0;
    double k = two_sided(8, 0.90, 0.95);

    (void)state;
    for (int r = 0; r < 20000; r++) {
        double x[8], mean = 0, square = 0, s;
        for (int i = 0; i < 8; i++) {
            x[i] = draw_normal(&seed);
            mean += x[i] / 8;
        }
        for (int i = 0; i < 8; i++)
            square += (x[i] - mean) * (x[i] - mean) / 7;
        s = sqrt(square);
        good += (erf((mean + k * s) / sqrt(2)) - erf((mean - k * s) / sqrt(2))) / 2 >= 0.90;
    }
    assert_close(good / 20000.0, 0.95, 0.005, "share of intervals that hold 90 %");
}

static void bad_arguments_are_refused(void **state)
{
    double k = 7;
    (void)state;
    assert_int_equal(swt_tolerance_two_sided(&k, 0, 5, .9, .9, NULL), SWT_EARG);
    assert_int_equal(swt_tolerance_two_sided(&k, 5, 0.5, .9, .9, NULL), SWT_EARG);
    assert_int_equal(swt_tolerance_two_sided(&k, 5, 4, 1, .9, NULL), SWT_EARG);
    assert_int_equal(swt_tolerance_one_sided(&k, 5, 4, .9, 0, NULL), SWT_EARG);
    assert_int_equal(swt_tolerance_one_sided(&k, nan(""), 4, .9, .9, NULL), SWT_EARG);
    assert_true(k > 6.9 && k < 7.1);
}

static void order_statistics_need_the_known_sample_sizes(void **state)
{
    size_t trim;
    double achieved;
    (void)state;
    /* Wilks 1941; sizes from memory, recomputed with SciPy: 46, 93, 29, 59 at confidence .95 */
    assert_int_equal(swt_order_least_n(2, 0.90, 0.95), 46);
    assert_int_equal(swt_order_least_n(2, 0.95, 0.95), 93);
    assert_int_equal(swt_order_least_n(1, 0.90, 0.95), 29);
    assert_int_equal(swt_order_least_n(1, 0.95, 0.95), 59);
    swt_order_limits(&trim, &achieved, 45, 0.90, 0.95);
    assert_int_equal(trim, 0);
    assert_true(achieved < 0.95);
    /* 1 - n p^(n-1) + (n-1) p^n, the closed form for smallest to largest */
    assert_close(achieved, 1 - 45 * pow(.9, 44) + 44 * pow(.9, 45), 1e-12, "closed form");
    swt_order_limits(&trim, &achieved, 200, 0.90, 0.95);
    assert_true(trim > 0 && achieved >= 0.95);
}

static void shapiro_wilk_matches_published_examples(void **state)
{
    /* Shapiro & Wilk 1965 example 1 (weights of 11 men), W = .79 in the paper; digits and p:
     * scipy.stats.shapiro 1.10 */
    static const double men[] = {148, 154, 158, 160, 161, 162, 166, 170, 182, 195, 236};
    double w, p, x[30], line[20];
    (void)state;
    assert_int_equal(swt_shapiro_wilk(&w, &p, men, 11, NULL), SWT_OK);
    assert_close(w, 0.79, 0.005, "W of 11 men, as printed");
    assert_close(w, 0.78881478, 1e-6, "W of 11 men");
    assert_close(p, 0.0067038331, 2e-5, "p of 11 men");
    for (int i = 0; i < 30; i++)
        x[i] = pow(i + 1, 2) + (i % 3);
    assert_int_equal(swt_shapiro_wilk(&w, &p, x, 30, NULL), SWT_OK);
    assert_close(w, 0.90172821, 1e-6, "W of 30");
    assert_close(p, 0.0092596235, 2e-5, "p of 30");
    for (int i = 0; i < 20; i++)
        line[i] = sin(3.0 * i) + 1e6;
    assert_int_equal(swt_shapiro_wilk(&w, &p, line, 4, NULL), SWT_OK);
    assert_close(w, 0.99862224, 1e-6, "W of 4");
    assert_close(p, 0.99584728, 2e-5, "p of 4");
    assert_int_equal(swt_shapiro_wilk(&w, &p, line, 3, NULL), SWT_OK);
    assert_close(w, 0.96520555, 1e-6, "W of 3");
    assert_close(p, 0.64164877, 2e-5, "p of 3");
}

static void shapiro_wilk_has_nothing_to_say_of_constants(void **state)
{
    double w, p, x[5] = {2, 2, 2, 2, 2};
    (void)state;
    assert_int_equal(swt_shapiro_wilk(&w, &p, x, 5, NULL), SWT_OK);
    assert_true(isnan(w) && isnan(p));
    x[2] = nan("");
    assert_int_equal(swt_shapiro_wilk(&w, &p, x, 5, NULL), SWT_OK);
    assert_true(isnan(p));
    assert_int_equal(swt_shapiro_wilk(&w, &p, x, 2, NULL), SWT_OK);
    assert_true(isnan(p));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(two_sided_factors_match_the_table),
        cmocka_unit_test(two_sided_factor_has_ten_digits),
        cmocka_unit_test(swapped_arguments_give_the_known_wrong_number),
        cmocka_unit_test(one_sided_factors_match),
        cmocka_unit_test(content_comes_true_in_simulation),
        cmocka_unit_test(bad_arguments_are_refused),
        cmocka_unit_test(order_statistics_need_the_known_sample_sizes),
        cmocka_unit_test(shapiro_wilk_matches_published_examples),
        cmocka_unit_test(shapiro_wilk_has_nothing_to_say_of_constants),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
