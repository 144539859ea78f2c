/* Gaps: what is filled is near the truth and marked; what cannot be filled stays missing. */
#include "kinematics/angle.h"
#include "kinematics/gaps.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define N 200
#define MARKERS 5

static double data[MARKERS][3][N], truth[MARKERS][3][N];
static unsigned char origin[MARKERS][N];
static swt_track track[MARKERS];

static const swt_vec3 shape[MARKERS] = {
    {0, 0, 0}, {0.1, 0, 0}, {0, 0.08, 0}, {0, 0, 0.06}, {0.05, 0.04, 0.03}};

/** A turning, moving segment, with `noise` on each coordinate, and an origin track each. */
static void make_segment(double noise)
{
    uint64_t seed = 8;

    for (size_t f = 0; f < N; f++) {
        double t = (double)f / 200, a[3] = {2 * sin(3 * t), 0.5 * t, 1 - t};
        swt_mat3 r = swt_angle_compose(a, SWT_SEQUENCE_ZXY);
        swt_vec3 at = {sin(5 * t), 1 + 0.4 * cos(4 * t), 0.9 + 0.2 * t};
        for (size_t m = 0; m < MARKERS; m++) {
            swt_vec3 p = swt_add(swt_rotate(&r, shape[m]), at);
            double xyz[3] = {p.x, p.y, p.z};
            for (size_t axis = 0; axis < 3; axis++) {
                truth[m][axis][f] = xyz[axis];
                data[m][axis][f] = xyz[axis] + noise * draw_normal(&seed);
            }
        }
    }
    for (size_t m = 0; m < MARKERS; m++) {
        track[m] = (swt_track){{data[m][0], data[m][1], data[m][2]}, origin[m]};
        swt_gap_mark(&track[m], N);
    }
}

static void lose(size_t m, size_t begin, size_t end)
{
    for (size_t f = begin; f < end; f++)
        data[m][1][f] = nan(""); /* one coordinate is enough */
    swt_gap_mark(&track[m], N);
}

static double error_at(size_t m, size_t f)
{
    return sqrt(pow(data[m][0][f] - truth[m][0][f], 2) + pow(data[m][1][f] - truth[m][1][f], 2) +
                pow(data[m][2][f] - truth[m][2][f], 2));
}

static void summary_counts(void **state)
{
    swt_gap_summary s;

    (void)state;
    make_segment(0);
    lose(0, 0, 4);
    lose(0, 50, 61);
    lose(0, 100, 101);
    s = swt_gap_summarise(&track[0], N);
    assert_int_equal(s.recorded, N - 16);
    assert_int_equal(s.missing, 16);
    assert_int_equal(s.n_gaps, 3);
    assert_int_equal(s.longest, 11);
    assert_int_equal(s.longest_begin, 50);
    assert_true(isnan(data[0][0][55]) && isnan(data[0][2][55])); /* all three or none */
    s = swt_gap_summarise(&track[1], N);
    assert_int_equal(s.n_gaps, 0);
    assert_int_equal(s.longest, 0);
}

static void spline_fills_short_gaps_well(void **state)
{
    size_t filled;

    (void)state;
    make_segment(0);
    lose(0, 50, 60);
    lose(0, 80, 91);
    assert_int_equal(swt_gap_fill_spline(&track[0], N, SWT_NO_SPLIT, 10, &filled, NULL), SWT_OK);
    assert_int_equal(filled, 10);
    for (size_t f = 0; f < N; f++) {
        if (f >= 80 && f < 91) {
            assert_true(isnan(data[0][0][f]) && origin[0][f] == SWT_ORIGIN_MISSING);
            continue;
        }
        assert_true(error_at(0, f) < 2e-5);
        assert_int_equal(origin[0][f], f >= 50 && f < 60 ? SWT_ORIGIN_SPLINE : SWT_ORIGIN_RECORDED);
    }
    assert_int_equal(swt_gap_summarise(&track[0], N).by_spline, 10);
    assert_int_equal(swt_gap_summarise(&track[0], N).longest, 11);
}

static void spline_leaves_what_it_must_not_touch(void **state)
{
    size_t filled;

    (void)state;
    make_segment(0);
    lose(0, 0, 3);     /* start */
    lose(0, N - 2, N); /* end */
    lose(0, 50, 52);   /* two recorded samples, then another gap: too little support */
    lose(0, 54, 56);
    lose(0, 98, 100); /* contact between its sides */
    lose(0, 120, 122);
    assert_int_equal(swt_gap_fill_spline(&track[0], N, 100, 10, &filled, NULL), SWT_OK);
    assert_int_equal(filled, 2);
    for (size_t f = 0; f < N; f++)
        if (isnan(data[0][0][f]))
            assert_int_equal(origin[0][f], SWT_ORIGIN_MISSING);
    assert_true(isnan(data[0][0][0]) && isnan(data[0][0][N - 1]) && isnan(data[0][0][50]));
    assert_true(isnan(data[0][0][55]) && isnan(data[0][0][99]));
    assert_true(error_at(0, 121) < 1e-6);

    make_segment(0);
    lose(0, 97, 103); /* contact inside: six frames, with samples enough on both sides */
    assert_int_equal(swt_gap_fill_spline(&track[0], N, 100, 10, &filled, NULL), SWT_OK);
    assert_int_equal(filled, 0);
    assert_true(isnan(data[0][0][97]) && isnan(data[0][0][102]));
}

static void spline_reads_one_side_of_contact_only(void **state)
{
    double before;

    (void)state;
    make_segment(0);
    lose(0, 92, 94);
    assert_int_equal(swt_gap_fill_spline(&track[0], N, 100, 10, NULL, NULL), SWT_OK);
    before = data[0][0][93];
    make_segment(0);
    lose(0, 92, 94);
    for (size_t f = 100; f < N; f++)
        data[0][0][f] += 5;
    assert_int_equal(swt_gap_fill_spline(&track[0], N, 100, 10, NULL, NULL), SWT_OK);
    assert_close(data[0][0][93], before, 0, "samples after contact");
}

static void shape_comes_from_whole_frames(void **state)
{
    swt_vec3 found[MARKERS];
    size_t used;

    (void)state;
    make_segment(0.0005);
    lose(2, 0, 40);
    assert_int_equal(swt_gap_shape(found, &used, track, MARKERS, N, NULL), SWT_OK);
    assert_int_equal(used, N - 40);
    for (size_t a = 0; a < MARKERS; a++)
        for (size_t b = 0; b < a; b++)
            assert_close(swt_norm(swt_sub(found[a], found[b])),
                         swt_norm(swt_sub(shape[a], shape[b])), 2e-4, "distance");
    lose(2, 0, N);
    assert_int_equal(swt_gap_shape(found, &used, track, MARKERS, N, NULL), SWT_EDATA);
}

static void rigid_fill_bridges_long_gaps(void **state)
{
    size_t filled;
    swt_gap_summary s;

    (void)state;
    make_segment(0.0003);
    lose(0, 60, 140);
    lose(4, 130, 135); /* another marker is lost meanwhile: three others are left */
    assert_int_equal(swt_gap_fill_rigid(track, shape, MARKERS, N, 100, 0.002, &filled, NULL),
                     SWT_OK);
    assert_int_equal(filled, 85);
    for (size_t f = 60; f < 140; f++) {
        assert_true(error_at(0, f) < 0.002);
        assert_int_equal(origin[0][f], SWT_ORIGIN_RIGID);
    }
    s = swt_gap_summarise(&track[0], N);
    assert_int_equal(s.rigidly, 80);
    assert_int_equal(s.longest, 80);
}

static void rigid_fill_meets_its_ends(void **state)
{
    (void)state;
    make_segment(0);
    for (size_t f = 0; f < N; f++)
        data[0][2][f] = truth[0][2][f] += 0.012;
    lose(0, 100, 106);
    assert_int_equal(swt_gap_fill_rigid(track, shape, MARKERS, N, 100, 0.002, NULL, NULL), SWT_OK);
    for (size_t f = 100; f < 106; f++)
        assert_true(error_at(0, f) < 1e-12);
}

static void rigid_fill_refuses_the_doubtful(void **state)
{
    size_t filled;

    (void)state;
    make_segment(0);
    lose(0, 0, 5);   /* start */
    lose(0, 50, 60); /* another two lost in one frame of it */
    lose(1, 55, 56);
    lose(2, 55, 56);
    lose(0, 100, 110); /* the others do not fit the shape there */
    data[3][2][104] += 0.05;
    lose(0, 140, 160); /* longer than allowed */
    assert_int_equal(swt_gap_fill_rigid(track, shape, MARKERS, N, 15, 0.002, &filled, NULL),
                     SWT_OK);
    assert_int_equal(filled, 0);
    assert_int_equal(swt_gap_summarise(&track[0], N).missing, 45);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(summary_counts),
        cmocka_unit_test(spline_fills_short_gaps_well),
        cmocka_unit_test(spline_leaves_what_it_must_not_touch),
        cmocka_unit_test(spline_reads_one_side_of_contact_only),
        cmocka_unit_test(shape_comes_from_whole_frames),
        cmocka_unit_test(rigid_fill_bridges_long_gaps),
        cmocka_unit_test(rigid_fill_meets_its_ends),
        cmocka_unit_test(rigid_fill_refuses_the_doubtful),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
