#include "comparison/variance.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdlib.h>

/* Shrout & Fleiss 1979, Psychological Bulletin 86:420, table 2: six targets, four judges. */
static const double judges[] = {9, 2, 5, 8, 6,  1, 3, 2, 8, 4, 6, 8,
                                7, 1, 2, 6, 10, 5, 6, 9, 6, 2, 4, 7};

static void shrout_and_fleiss_table_comes_out(void **state)
{
    swt_reliability r;

    (void)state;
    assert_int_equal(swt_reliability_of(&r, judges, 6, 4, NULL), SWT_OK);
    /* printed .17 .29 .71 .44 .62 .91; digits recomputed with SciPy */
    assert_close(r.ms_subjects, 11.2416667, 5e-8, "BMS");
    assert_close(r.ms_within, 6.2638889, 5e-8, "WMS");
    assert_close(r.ms_trials, 32.4861111, 5e-8, "JMS");
    assert_close(r.ms_error, 1.0194444, 5e-8, "EMS");
    assert_close(r.icc_1_1, 0.1657418, 5e-8, "ICC(1,1)");
    assert_close(r.icc_2_1, 0.2897638, 5e-8, "ICC(2,1)");
    assert_close(r.icc_3_1, 0.7148407, 5e-8, "ICC(3,1)");
    assert_close(r.icc_1_k, 0.4427971, 5e-8, "ICC(1,4)");
    assert_close(r.icc_2_k, 0.6200505, 5e-8, "ICC(2,4)");
    assert_close(r.icc_3_k, 0.9093155, 5e-8, "ICC(3,4)");
}

static void weir_example_comes_out(void **state)
{
    /* Weir 2005, J Strength Cond Res 19:231, data set A; SEM 7.6 printed on page 236, F = .53,
     * p = .49, ICC(3,k) = .973 */
    static const double squat[] = {146, 140, 148, 152, 170, 152, 90,  99,
                                   157, 145, 156, 153, 176, 167, 205, 218};
    swt_reliability r;

    (void)state;
    assert_int_equal(swt_reliability_of(&r, squat, 8, 2, NULL), SWT_OK);
    assert_close(r.ms_subjects, 2098.5357, 5e-5, "MS subjects");
    assert_close(r.ms_trials, 30.25, 1e-9, "MS trials");
    assert_close(r.ms_error, 57.107143, 5e-7, "MS error");
    assert_close(r.f_trials, 0.5297, 5e-5, "F");
    assert_close(r.p_trials, 0.4904, 5e-5, "p");
    assert_close(r.icc_1_1, 0.9501, 5e-5, "ICC(1,1)");
    assert_close(r.icc_2_1, 0.9500, 5e-5, "ICC(2,1)");
    assert_close(r.icc_3_1, 0.9470, 5e-5, "ICC(3,1)");
    assert_close(r.icc_3_k, 0.9728, 5e-5, "ICC(3,k)");
    assert_close(r.sem, 7.5569, 5e-5, "SEM = sqrt(MS error), not 7.308 = SD sqrt(1 - ICC)");
    assert_close(r.detectable_change, 20.9467, 5e-4, "1.96 sqrt(2) SEM");
}

static void one_way_table_agrees_with_the_two_way_one(void **state)
{
    int target[24];
    swt_variance v;

    (void)state;
    for (int i = 0; i < 24; i++)
        target[i] = i / 4;
    assert_int_equal(swt_variance_split(&v, judges, target, 24, NULL), SWT_OK);
    assert_close(v.ms_between, 11.2416667, 5e-8, "BMS");
    assert_close(v.ms_within, 6.2638889, 5e-8, "WMS");
    assert_close(v.icc, 0.1657418, 5e-8, "ICC(1,1)");
    assert_close(v.n0, 4, 1e-12, "n0");
    assert_close(v.total, v.between_raw + v.within, 1e-12, "total, balanced");
    assert_close(v.mean, v.mean_of_groups, 1e-12, "means, balanced");
    assert_close(v.f, 11.2416667 / 6.2638889, 1e-6, "F");
}

static void unbalanced_table_by_hand(void **state)
{
    /* groups {1, 3}, {5}, {6, 8, 10}: N = 6, mean 5.5; SSB = 2 (2-5.5)^2 + .5^2 + 3 (8-5.5)^2 =
     * 43.5, SSW = 2 + 0 + 8 = 10; n0 = (6 - 14/6) / 2 = 11/6 */
    const double x[] = {1, 5, 6, 3, nan(""), 8, 10};
    const int group[] = {1, 2, 3, 1, 2, 3, 3};
    swt_variance v;

    (void)state;
    assert_int_equal(swt_variance_split(&v, x, group, 7, NULL), SWT_OK);
    assert_int_equal(v.n_groups, 3);
    assert_int_equal(v.n_values, 6);
    assert_int_equal(v.df_within, 3);
    assert_close(v.ms_between, 43.5 / 2, 1e-12, "MSB");
    assert_close(v.ms_within, 10.0 / 3, 1e-12, "MSW");
    assert_close(v.n0, 11.0 / 6, 1e-12, "n0");
    assert_close(v.between, (43.5 / 2 - 10.0 / 3) / (11.0 / 6), 1e-12, "between");
    assert_close(v.mean_of_groups, 5, 1e-12, "2, 5, 8");
    /* var(2, 5, 8) = 9; harmonic n = 3 / (1/2 + 1 + 1/3) = 18/11 */
    assert_close(v.total, 9 + (1 - 11.0 / 18) * 10 / 3, 1e-12, "total");
    /* Satterthwaite: 278/27 squared over 9^2 / 2 + (35/27)^2 / 3 */
    assert_close(v.df_total, pow(278.0 / 27, 2) / (40.5 + pow(35.0 / 27, 2) / 3), 1e-12, "df");
    assert_close(v.n_effective, 3 * (278.0 / 27) / 9, 1e-12, "effective n");
}

static void total_is_unbiased_in_unbalanced_groups(void **state)
{
    enum { N = 12, R = 4000 };
    uint64_t seed = 5;
    double total = 0, within = 0, between = 0;

    (void)state;
    for (int r = 0; r < R; r++) {
        double x[N * 4];
        int group[N * 4];
        size_t n = 0;
        swt_variance v;
        for (int p = 0; p < N; p++) {
            double a = 2 * draw_normal(&seed);
            for (int s = 0; s < 1 + p % 4; s++) {
                x[n] = a + draw_normal(&seed);
                group[n++] = p;
            }
        }
        assert_int_equal(swt_variance_split(&v, x, group, n, NULL), SWT_OK);
        total += v.total / R;
        within += v.within / R;
        between += v.between_raw / R;
    }
    assert_close(total, 5, 0.12, "total variance 4 + 1");
    assert_close(within, 1, 0.03, "within");
    assert_close(between, 4, 0.12, "between");
}

static void a_large_offset_costs_no_digits(void **state)
{
    /* NIST StRD NumAcc4: 1001 values around 10000000.2, mean exact, SD .1 exact; in groups of 7 */
    double x[1001];
    int group[1001];
    swt_variance v;

    (void)state;
    for (int i = 0; i < 1001; i++) {
        x[i] = i == 0 ? 10000000.2 : i % 2 ? 10000000.1 : 10000000.3;
        group[i] = i / 7;
    }
    assert_int_equal(swt_variance_split(&v, x, group, 1001, NULL), SWT_OK);
    assert_close(v.mean, 10000000.2, 4e-9, "mean");
    assert_close(
        sqrt((v.ms_between * (double)v.df_between + v.ms_within * (double)v.df_within) / 1000), 0.1,
        1e-8, "SD from the two sums of squares");
}

/* NIST StRD, one-way analysis of variance, SmLs01 to SmLs06 (Simon & Lesage 1989): nine treatments
 * whose means are .1 apart, values .1 around them, made by rule. Certified for r replicates:
 * between SS .08 r, within SS .09 (r - 1), F = r. The last three have 1000000 added; doubles hold
 * ten of the digits then. SmLs07 to 09, at 1e12, are beyond double precision: their values are off
 * by 6e-5. */
static void strd_analysis_of_variance(void **state)
{
    static const struct {
        int replicates;
        double offset, digits;
    } sets[] = {{21, 0, 1e-13},  {201, 0, 1e-13},  {2001, 0, 1e-12},
                {21, 1e6, 1e-8}, {201, 1e6, 1e-8}, {2001, 1e6, 1e-8}};
    static double x[9 * 2001];
    static int group[9 * 2001];

    (void)state;
    for (size_t k = 0; k < sizeof sets / sizeof *sets; k++) {
        int r = sets[k].replicates;
        size_t n = 0;
        swt_variance v;
        for (int t = 0; t < 9; t++)
            for (int i = 0; i < r; i++) {
                int tenths = (t == 0 ? 4 : t % 2 ? 3 : 5) + (i == 0 ? 0 : i % 2 ? -1 : 1);
                x[n] = sets[k].offset + 1 + tenths / 10.0;
                group[n++] = t;
            }
        assert_int_equal(swt_variance_split(&v, x, group, n, NULL), SWT_OK);
        assert_int_equal(v.df_between, 8);
        assert_int_equal(v.df_within, 9 * (r - 1));
        assert_close(v.ms_between * 8, 0.08 * r, 0.08 * r * sets[k].digits, "between SS");
        assert_close(v.ms_within * (double)v.df_within, 0.09 * (r - 1),
                     0.09 * (r - 1) * sets[k].digits, "within SS");
        assert_close(v.f, r, r * sets[k].digits, "F");
        assert_close(sqrt(v.ms_within), 0.1, 0.1 * sets[k].digits, "residual SD");
    }
}

/* NIST StRD, univariate: mean and SD of a set that is cut into groups of ten, since the two sums of
 * squares of the split add up to the total. */
static void strd_univariate(void **state)
{
    static const double mavro[50] = {
        2.00180, 2.00170, 2.00180, 2.00190, 2.00180, 2.00170, 2.00150, 2.00140, 2.00150, 2.00150,
        2.00170, 2.00180, 2.00180, 2.00190, 2.00190, 2.00210, 2.00200, 2.00160, 2.00140, 2.00130,
        2.00130, 2.00150, 2.00150, 2.00160, 2.00150, 2.00140, 2.00130, 2.00140, 2.00150, 2.00140,
        2.00150, 2.00160, 2.00150, 2.00160, 2.00190, 2.00200, 2.00200, 2.00210, 2.00220, 2.00230,
        2.00240, 2.00250, 2.00270, 2.00260, 2.00260, 2.00260, 2.00270, 2.00260, 2.00250, 2.00240};
    static double accurate[2][1001]; /* NumAcc2 and NumAcc3: 1001 values made by rule */
    const struct {
        const char *name;
        const double *x;
        int n;
        double mean, sd, digits;
    } sets[] = {{"Mavro", mavro, 50, 2.00185600000000, 0.000429123454003053, 1e-12},
                {"NumAcc2", accurate[0], 1001, 1.2, 0.1, 1e-14},
                {"NumAcc3", accurate[1], 1001, 1000000.2, 0.1, 1e-9}};

    (void)state;
    for (int i = 0; i < 1001; i++) {
        accurate[0][i] = i == 0 ? 1.2 : i % 2 ? 1.1 : 1.3;
        accurate[1][i] = i == 0 ? 1000000.2 : i % 2 ? 1000000.1 : 1000000.3;
    }
    for (size_t k = 0; k < sizeof sets / sizeof *sets; k++) {
        int group[1001];
        swt_variance v;
        for (int i = 0; i < sets[k].n; i++)
            group[i] = i / 10;
        assert_int_equal(swt_variance_split(&v, sets[k].x, group, (size_t)sets[k].n, NULL), SWT_OK);
        assert_close(v.mean, sets[k].mean, 1e-14 * sets[k].mean, sets[k].name);
        assert_close(
            sqrt((v.ms_between * (double)v.df_between + v.ms_within * (double)v.df_within) /
                 (sets[k].n - 1)),
            sets[k].sd, sets[k].digits, sets[k].name);
    }
}

/* Bland & Altman 1986, Lancet 1:307, peak flow by two meters, 17 subjects, first readings: mean
 * difference -2.1, SD 38.8 l/min; the limits lie 1.96 SD from it. With two trials Weir's detectable
 * change is that half-width, since MS error is half of the differences' variance. */
static void bland_and_altman_limits_come_out(void **state)
{
    static const double wright[17] = {494, 395, 516, 434, 476, 557, 413, 442, 650,
                                      433, 417, 656, 267, 478, 178, 423, 427};
    static const double mini[17] = {512, 430, 520, 428, 500, 600, 364, 380, 658,
                                    445, 432, 626, 260, 477, 259, 350, 451};
    double table[34], bias = 0;
    swt_reliability r;

    (void)state;
    for (int i = 0; i < 17; i++) {
        table[2 * i] = wright[i];
        table[2 * i + 1] = mini[i];
        bias += (wright[i] - mini[i]) / 17;
    }
    assert_int_equal(swt_reliability_of(&r, table, 17, 2, NULL), SWT_OK);
    assert_close(bias, -2.1176471, 1e-7, "mean difference");
    assert_close(sqrt(2 * r.ms_error), 38.7651299, 1e-7, "SD of differences");
    assert_close(bias - r.detectable_change, -78.0973, 2e-3, "lower limit");
    assert_close(bias + r.detectable_change, 73.8620, 2e-3, "upper limit");
    /* the mean difference is no more than chance */
    assert_true(r.p_trials > 0.5);
}

static void what_cannot_be_split_is_refused_or_absent(void **state)
{
    const double x[] = {3, 3, 3, 3}, none[] = {nan(""), nan("")};
    const int one[] = {1, 1, 1, 1}, four[] = {1, 2, 3, 4}, two[] = {1, 1, 2, 2};
    swt_variance v;
    swt_reliability r;

    (void)state;
    assert_int_equal(swt_variance_split(&v, x, one, 4, NULL), SWT_EDATA);
    assert_int_equal(swt_variance_split(&v, none, one, 2, NULL), SWT_EDATA);
    assert_int_equal(swt_variance_split(&v, none, one, 0, NULL), SWT_EDATA);
    assert_true(isnan(v.total));
    assert_int_equal(swt_variance_split(&v, x, four, 4, NULL), SWT_OK);
    assert_true(isnan(v.within) && isnan(v.icc)); /* one swing each: no within-player spread */
    assert_int_equal(swt_variance_split(&v, x, two, 4, NULL), SWT_OK);
    assert_close(v.total, 0, 0, "identical");
    assert_true(isnan(v.f) && isnan(v.icc));
    assert_int_equal(swt_reliability_of(&r, x, 4, 1, NULL), SWT_EDATA);
    assert_int_equal(swt_reliability_of(&r, none, 1, 2, NULL), SWT_EDATA);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(shrout_and_fleiss_table_comes_out),
        cmocka_unit_test(weir_example_comes_out),
        cmocka_unit_test(one_way_table_agrees_with_the_two_way_one),
        cmocka_unit_test(unbalanced_table_by_hand),
        cmocka_unit_test(total_is_unbiased_in_unbalanced_groups),
        cmocka_unit_test(a_large_offset_costs_no_digits),
        cmocka_unit_test(strd_analysis_of_variance),
        cmocka_unit_test(strd_univariate),
        cmocka_unit_test(bland_and_altman_limits_come_out),
        cmocka_unit_test(what_cannot_be_split_is_refused_or_absent),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
