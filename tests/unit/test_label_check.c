/* Labels: swaps that were made are found and undone; what is doubtful is only reported. */
#include "base/vector.h"
#include "kinematics/angle.h"
#include "kinematics/label_check.h"
#include "tests/support/support.h"

#include <math.h>
#include <string.h>

#define N 300
#define MARKERS 5

static double data[3 * MARKERS][N], clean[3 * MARKERS][N];
static double *series[3 * MARKERS];
static swt_label_limits limits = {240, 15, 0.05, true};

static const swt_vec3 irregular[MARKERS] = {
    {0, 0, 0}, {0.1, 0, 0}, {0, 0.16, 0}, {0, 0, 0.12}, {0.05, 0.04, 0.03}};
/* markers 0 and 1 are as far from each of the others */
static const swt_vec3 symmetric[MARKERS] = {
    {-0.05, 0, 0}, {0.05, 0, 0}, {0, 0.16, 0}, {0, 0, 0.12}, {0, 0.04, 0.07}};

/** A segment that turns at up to 20 rad/s and moves at up to 8 m/s, with 0.5 mm of noise. */
static void make_segment_of(const swt_vec3 *shape)
{
    uint64_t seed = 14;

    for (size_t f = 0; f < N; f++) {
        double t = (double)f / 240, a[3] = {4 * sin(5 * t), 0.5 * t, 1 - t};
        swt_mat3 r = swt_angle_compose(a, SWT_SEQUENCE_ZXY);
        swt_vec3 at = {1.6 * sin(5 * t), 1 + 0.4 * cos(4 * t), 0.9 + 0.2 * t};
        for (size_t m = 0; m < MARKERS; m++) {
            swt_vec3 p = swt_add(swt_rotate(&r, shape[m]), at);
            clean[3 * m][f] = p.x + 0.0005 * draw_normal(&seed);
            clean[3 * m + 1][f] = p.y + 0.0005 * draw_normal(&seed);
            clean[3 * m + 2][f] = p.z + 0.0005 * draw_normal(&seed);
        }
    }
    for (size_t k = 0; k < 3 * MARKERS; k++)
        series[k] = data[k];
    memcpy(data, clean, sizeof data);
}

static void make_segment(void)
{
    make_segment_of(irregular);
}

static void swap(size_t a, size_t b, size_t begin, size_t end)
{
    for (size_t axis = 0; axis < 3; axis++)
        for (size_t f = begin; f < end; f++) {
            double kept = data[3 * a + axis][f];
            data[3 * a + axis][f] = data[3 * b + axis][f];
            data[3 * b + axis][f] = kept;
        }
}

static void lose(size_t m, size_t begin, size_t end)
{
    for (size_t axis = 0; axis < 3; axis++)
        for (size_t f = begin; f < end; f++)
            data[3 * m + axis][f] = clean[3 * m + axis][f] = nan("");
}

static swt_label_report check(size_t n_markers)
{
    swt_label_report report;

    assert_int_equal(swt_label_check(&report, series, n_markers, N, &limits, NULL), SWT_OK);
    return report;
}

static void distances_are_those_of_the_shape(void **state)
{
    swt_pair_distance pair[MARKERS * (MARKERS - 1) / 2];

    (void)state;
    make_segment();
    data[3][77] += 0.05; /* marker 1, x */
    lose(4, 0, N);
    assert_int_equal(swt_label_distances(pair, (const double *const *)series, MARKERS, N, NULL),
                     SWT_OK);
    assert_int_equal(pair[0].a, 1);
    assert_int_equal(pair[0].b, 0);
    assert_int_equal(pair[2].a, 2);
    assert_int_equal(pair[2].b, 1);
    assert_close(pair[0].median_m, 0.1, 2e-4, "median");
    assert_close(pair[1].median_m, 0.16, 2e-4, "median");
    assert_int_equal(pair[9].n_frames, 0);
    assert_true(isnan(pair[9].median_m));
}

static void clean_data_raise_nothing(void **state)
{
    swt_label_report report;

    (void)state;
    make_segment();
    lose(2, 100, 108);
    report = check(MARKERS);
    assert_int_equal(report.n_findings, 0);
    swt_label_report_free(&report);
}

static void a_swap_is_found_and_undone(void **state)
{
    swt_label_report report;

    (void)state;
    make_segment();
    swap(2, 1, 90, 140);
    swap(3, 0, 200, 201); /* a single frame */
    report = check(MARKERS);
    assert_int_equal(report.n_findings, 2);
    assert_int_equal(report.finding[0].kind, SWT_LABEL_SWAP);
    assert_int_equal(report.finding[0].marker, 2);
    assert_int_equal(report.finding[0].other, 1);
    assert_int_equal(report.finding[0].first, 90);
    assert_int_equal(report.finding[0].last, 139);
    assert_true(report.finding[0].repaired);
    assert_int_equal(report.finding[1].first, 200);
    assert_int_equal(report.finding[1].last, 200);
    assert_true(report.finding[1].repaired);
    assert_memory_equal(data, clean, sizeof data);
    swt_label_report_free(&report);
}

static void a_swap_after_a_gap_is_undone(void **state)
{
    swt_label_report report;

    (void)state;
    make_segment();
    lose(1, 90, 94);
    lose(2, 91, 95);
    swap(2, 1, 95, 140);
    report = check(MARKERS);
    assert_int_equal(report.n_findings, 1);
    assert_int_equal(report.finding[0].first, 95);
    assert_true(report.finding[0].repaired);
    for (size_t k = 0; k < 3 * MARKERS; k++)
        for (size_t f = 0; f < N; f++)
            assert_true(data[k][f] == clean[k][f] || (isnan(data[k][f]) && isnan(clean[k][f])));
    swt_label_report_free(&report);
}

static void the_doubtful_is_reported_only(void **state)
{
    swt_label_report report;
    bool swap_seen = false;

    (void)state;
    make_segment();
    swap(2, 1, 250, N); /* never comes back */
    memcpy(clean, data, sizeof data);
    report = check(MARKERS);
    for (size_t k = 0; k < report.n_findings; k++) {
        assert_false(report.finding[k].repaired);
        if (report.finding[k].kind == SWT_LABEL_SWAP) {
            swap_seen = true;
            assert_int_equal(report.finding[k].first, 250);
            assert_int_equal(report.finding[k].last, N - 1);
            assert_non_null(strstr(report.finding[k].reason, "one end"));
        }
    }
    assert_true(swap_seen);
    assert_memory_equal(data, clean, sizeof data);
    swt_label_report_free(&report);

    make_segment(); /* two markers alone: nothing can confirm */
    swap(1, 0, 90, 140);
    memcpy(clean, data, sizeof data);
    report = check(2);
    assert_true(report.n_findings >= 1);
    for (size_t k = 0; k < report.n_findings; k++)
        assert_false(report.finding[k].repaired);
    assert_memory_equal(data, clean, sizeof data);
    swt_label_report_free(&report);

    make_segment_of(symmetric); /* both ends are seen, but the distances say nothing */
    swap(1, 0, 90, 140);
    memcpy(clean, data, sizeof data);
    report = check(MARKERS);
    assert_true(report.n_findings >= 1);
    for (size_t k = 0; k < report.n_findings; k++)
        assert_false(report.finding[k].repaired);
    assert_memory_equal(data, clean, sizeof data);
    swt_label_report_free(&report);

    make_segment();
    swap(2, 1, 90, 140);
    memcpy(clean, data, sizeof data);
    limits.repair = false;
    report = check(MARKERS);
    assert_memory_equal(data, clean, sizeof data);
    swt_label_report_free(&report);
    limits.repair = true;
}

static void a_jump_is_reported_with_its_speed(void **state)
{
    swt_label_report report;

    (void)state;
    make_segment();
    for (size_t f = 150; f < N; f++)
        data[3 * 4 + 2][f] += 0.3; /* marker 4 leaps 300 mm up in a frame: 72 m/s and more */
    report = check(MARKERS);
    assert_int_equal(report.n_findings, 1);
    assert_int_equal(report.finding[0].kind, SWT_LABEL_JUMP);
    assert_int_equal(report.finding[0].marker, 4);
    assert_int_equal(report.finding[0].first, 149);
    assert_int_equal(report.finding[0].last, 150);
    assert_close(report.finding[0].speed_mps, 72, 8, "speed");
    swt_label_report_free(&report);
}

/* Noise that alone makes steps faster than the limit is no jump; a jump in it is one still. */
static void noise_is_no_jump(void **state)
{
    const double rate_hz = limits.rate_hz, noise_m = limits.max_speed_mps / (10 * rate_hz);
    swt_label_report report;
    size_t found = 0;
    uint64_t seed = 3;

    (void)state;
    make_segment();
    limits.rate_hz = 10 * rate_hz; /* there 6 mm of noise do: too little to mistake a label */
    for (size_t c = 0; c < (size_t)3 * MARKERS; c++)
        for (size_t f = 0; f < N; f++)
            data[c][f] = clean[c][0] + noise_m * draw_normal(&seed);
    report = check(MARKERS);
    for (size_t i = 0; i < report.n_findings; i++)
        assert_int_not_equal(report.finding[i].kind, SWT_LABEL_JUMP);
    swt_label_report_free(&report);
    for (size_t f = 150; f < N; f++)
        data[3 * 4 + 2][f] += 15 * noise_m; /* limit and six SD of a step are 9.5, an SD 1.4 */
    report = check(MARKERS);
    limits.rate_hz = rate_hz;
    for (size_t i = 0; i < report.n_findings; i++)
        found += report.finding[i].kind == SWT_LABEL_JUMP && report.finding[i].marker == 4 &&
                 report.finding[i].first == 149 && report.finding[i].last == 150;
    assert_int_equal(found, 1);
    swt_label_report_free(&report);
}

static void bad_limits_are_refused(void **state)
{
    swt_label_report report = {3, NULL};
    swt_label_limits bad = limits;

    (void)state;
    make_segment();
    bad.rate_hz = 0;
    assert_int_equal(swt_label_check(&report, series, MARKERS, N, &bad, NULL), SWT_EARG);
    assert_int_equal(report.n_findings, 0);
    bad = limits;
    bad.max_speed_mps = nan("");
    assert_int_equal(swt_label_check(&report, series, MARKERS, N, &bad, NULL), SWT_EARG);
    assert_int_equal(swt_label_check(&report, series, 0, N, &limits, NULL), SWT_OK);
    assert_int_equal(swt_label_check(&report, series, MARKERS, 0, &limits, NULL), SWT_OK);
    swt_label_report_free(&report);
    swt_label_report_free(NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(distances_are_those_of_the_shape),
        cmocka_unit_test(clean_data_raise_nothing),
        cmocka_unit_test(a_swap_is_found_and_undone),
        cmocka_unit_test(a_swap_after_a_gap_is_undone),
        cmocka_unit_test(the_doubtful_is_reported_only),
        cmocka_unit_test(a_jump_is_reported_with_its_speed),
        cmocka_unit_test(noise_is_no_jump),
        cmocka_unit_test(bad_limits_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
