/* The estimate from replicates that are written down, and the noise that a replicate gets. */
#include "kinematics/measure.h"
#include "kinematics/uncertainty.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { N = 8 };

/* A swing without trajectories: every event at 1 s, every measure 2, all usable. */
static swt_swing *swing_at(double time_s, double value)
{
    swt_swing *swing = calloc(1, sizeof *swing);

    assert_non_null(swing);
    swing->measure = calloc(swt_measure_count(), sizeof *swing->measure);
    assert_non_null(swing->measure);
    for (int e = 0; e < SWT_EVENT_COUNT; e++)
        swing->event[e] = (swt_event_time){time_s, nan(""), swt_usable()};
    for (size_t m = 0; m < swt_measure_count(); m++)
        swing->measure[m] = (swt_measurement){value, nan(""), swt_usable()};
    return swing;
}

/* Estimates from replicates whose events and measures differ by `difference`; NaN: not analysed. */
static swt_swing *estimate(const double difference[N], double value)
{
    swt_swing *swing = swing_at(1, value);
    swt_replicates *r;

    assert_int_equal(swt_replicates_new(&r, N, NULL), SWT_OK);
    for (size_t k = 0; k < N; k++) {
        swt_swing *copy = swing_at(1 + difference[k], value + difference[k]);
        swt_replicates_keep(r, k, isnan(difference[k]) ? NULL : copy);
        swt_swing_free(copy);
    }
    swt_uncertainty_estimate(swing, swing, r, NULL, NULL);
    swt_replicates_free(r);
    return swing;
}

/* Squares sum to 54, of 8: variance of Student's distribution 54 / 6 = 9. */
static void mean_square_about_the_value(void **state)
{
    const double difference[N] = {1, -1, 2, -2, 3, -3, 5, -1};
    swt_swing *swing = estimate(difference, 2);

    (void)state;
    assert_close(swing->event[SWT_EVENT_IMPACT].sd_s, 3, 1e-12, "event");
    assert_close(swing->measure[0].sd, 3, 1e-12, "measure");
    assert_int_equal(swing->measure[0].verdict.state, SWT_USABLE);
    swt_swing_free(swing);
}

/* All replicates a little high: that they are is an error of smoothing and noise, and counts. */
static void a_shift_counts(void **state)
{
    const double difference[N] = {3, 3, 3, 3, 3, 3, 3, 3};
    swt_swing *swing = estimate(difference, 2);

    (void)state;
    assert_close(swing->measure[0].sd, sqrt(12.0), 1e-12, "measure");
    swt_swing_free(swing);
}

static void lost_replicates_limit(void **state)
{
    const double some[N] = {1, -1, 1, -1, 1, -1, nan(""), nan("")};
    const double few[N] = {1, -1, 1, nan(""), nan(""), nan(""), nan(""), nan("")};
    swt_swing *swing = estimate(some, 2);

    (void)state;
    assert_close(swing->measure[0].sd, sqrt(6.0 / 4), 1e-12, "from those that have it");
    assert_int_equal(swing->measure[0].verdict.state, SWT_LIMITED);
    assert_int_equal(swing->measure[0].verdict.reason, SWT_REASON_NOISE_DECIDES);
    assert_int_equal(swing->event[0].verdict.reason, SWT_REASON_NOISE_DECIDES);
    swt_swing_free(swing);
    swing = estimate(few, 2);
    assert_true(isnan(swing->measure[0].sd));
    assert_true(isnan(swing->event[0].sd_s));
    assert_int_equal(swing->measure[0].verdict.state, SWT_LIMITED);
    swt_swing_free(swing);
}

/* One of eight at another instant: the value hangs on the noise. */
static void another_instant_limits(void **state)
{
    const double difference[N] = {0.01, -0.01, 0.01, -0.01, 0.01, -0.01, 0.01, 0.5};
    swt_swing *swing = estimate(difference, 2);

    (void)state;
    assert_int_equal(swing->event[SWT_EVENT_HANDS_TOP].verdict.reason, SWT_REASON_NOISE_DECIDES);
    assert_true(swing->event[SWT_EVENT_HANDS_TOP].sd_s > 0.15);
    swt_swing_free(swing);
}

static void angles_know_no_whole_turns(void **state)
{
    double difference[N];
    long angle = swt_measure_find("pelvis_turn_at_club_top"), length;
    swt_swing *swing;

    (void)state;
    length = swt_measure_find("hand_depth_at_club_top");
    for (int k = 0; k < N; k++)
        difference[k] = k % 2 ? 2 * SWT_PI + 0.1 : 0.1;
    swing = estimate(difference, 3.1);
    assert_close(swing->measure[angle].sd, 0.1 * sqrt(8.0 / 6), 1e-12, "angle");
    assert_true(swing->measure[length].sd > 4);
    swt_swing_free(swing);
}

static void the_absent_stay_so(void **state)
{
    const double difference[N] = {1, -1, 1, -1, 1, -1, 1, -1};
    swt_swing *swing = swing_at(1, 2);
    swt_replicates *r;

    (void)state;
    swing->measure[0] = (swt_measurement){nan(""), nan(""), swt_absent(SWT_REASON_NOT_REACHED, 0)};
    assert_int_equal(swt_replicates_new(&r, N, NULL), SWT_OK);
    for (size_t k = 0; k < N; k++) {
        swt_swing *copy = swing_at(1, 2 + difference[k]);
        swt_replicates_keep(r, k, copy);
        swt_swing_free(copy);
    }
    swt_uncertainty_estimate(swing, swing, r, NULL, NULL);
    swt_replicates_free(r);
    assert_true(isnan(swing->measure[0].sd));
    assert_int_equal(swing->measure[0].verdict.state, SWT_ABSENT);
    assert_int_equal(swing->measure[0].verdict.reason, SWT_REASON_NOT_REACHED);
    assert_close(swing->measure[1].sd, sqrt(8.0 / 6), 1e-12, "its neighbour");
    swt_swing_free(swing);
}

/* Two landmarks at rest for 4,000 frames; the second one's noise is not known. */
static void noise_is_as_estimated(void **state)
{
    enum { FRAMES = 4000 };
    const bool present[SWT_LANDMARK_COUNT] = {[SWT_C7] = true, [SWT_T8] = true};
    swt_swing swing = {.n_frames = FRAMES, .rate_hz = 240};
    swt_landmark_set *one, *again, *other;
    double squares[2] = {0, 0}, product = 0;

    (void)state;
    assert_int_equal(swt_landmark_set_new(&swing.body, FRAMES, 240, present, NULL), SWT_OK);
    for (int k = 0; k < 3; k++) {
        memset(swing.body->axis[SWT_C7][k], 0, FRAMES * sizeof(double));
        memset(swing.body->axis[SWT_T8][k], 0, FRAMES * sizeof(double));
    }
    memset(swing.body->origin[SWT_C7], SWT_ORIGIN_RECORDED, FRAMES);
    memset(swing.body->origin[SWT_T8], SWT_ORIGIN_RECORDED, FRAMES);
    swing.body->origin[SWT_T8][7] = SWT_ORIGIN_SPLINE;
    swing.quality.noise_m[SWT_C7] = 0.0005;
    swing.quality.noise_m[SWT_T8] = nan("");
    assert_int_equal(swt_replicate_draw(&one, swing.body, &swing.quality, 3, NULL), SWT_OK);
    assert_int_equal(swt_replicate_draw(&other, swing.body, &swing.quality, 4, NULL), SWT_OK);
    assert_int_equal(swt_replicate_draw(&again, swing.body, &swing.quality, 3, NULL), SWT_OK);
    for (size_t f = 0; f < FRAMES; f++) {
        squares[0] += pow(one->axis[SWT_C7][1][f], 2);
        squares[1] += f == 7 ? 0 : pow(one->axis[SWT_T8][2][f], 2);
        product += one->axis[SWT_C7][1][f] * other->axis[SWT_C7][1][f];
    }
    /* four standard deviations of the estimates from 4,000 samples */
    assert_close(sqrt(squares[0] / FRAMES), 0.0005, 0.000023, "estimated noise");
    assert_close(sqrt(squares[1] / FRAMES), 0.0005, 0.000023, "usual noise");
    assert_close(product / FRAMES / 0.0005 / 0.0005, 0, 0.064, "correlation of two replicates");
    assert_memory_equal(one->axis[SWT_C7][0], again->axis[SWT_C7][0], FRAMES * sizeof(double));
    assert_true(isnan(one->axis[SWT_T8][0][7]));
    assert_int_equal(one->origin[SWT_T8][7], SWT_ORIGIN_MISSING);
    swt_landmark_set_free(one);
    swt_landmark_set_free(again);
    swt_landmark_set_free(other);
    swt_landmark_set_free(swing.body);
}

/* Cut-offs above and below give 2 w apart: rectangular, w^2 / 3 more of variance. */
static void the_choice_of_cutoff_counts(void **state)
{
    swt_measurement value[3][256];
    swt_swing s[3] = {{.measure = value[0]}, {.measure = value[1]}, {.measure = value[2]}};
    swt_replicates *r;

    (void)state;
    assert_int_equal(swt_replicates_new(&r, 20, NULL), SWT_OK);
    for (int i = 0; i < 3; i++) {
        for (int e = 0; e < SWT_EVENT_COUNT; e++)
            s[i].event[e] = (swt_event_time){1 + 0.1 * (i == 1) - 0.1 * (i == 2), 0, swt_usable()};
        for (size_t m = 0; m < swt_measure_count(); m++)
            value[i][m] = (swt_measurement){5 + 0.2 * (i == 1) - 0.2 * (i == 2), 0, swt_usable()};
    }
    for (size_t k = 0; k < 20; k++)
        swt_replicates_keep(r, k, &s[0]); /* no noise */
    swt_uncertainty_estimate(&s[0], &s[0], r, &s[1], &s[2]);
    assert_close(s[0].event[SWT_EVENT_IMPACT].sd_s, 0.1 / sqrt(3), 1e-12, "event");
    assert_close(value[0][3].sd, 0.2 / sqrt(3), 1e-12, "measure");
    s[1].event[SWT_EVENT_IMPACT].time_s = nan(""); /* not found: says nothing */
    swt_uncertainty_estimate(&s[0], &s[0], r, &s[1], &s[2]);
    assert_close(s[0].event[SWT_EVENT_IMPACT].sd_s, 0, 0, "without one of them");
    swt_replicates_free(r);
}

/* Squares of the differences sum to 54 over 8 replicates: 54 / 6 = 9, and 0.6 between the cut-offs
 * adds 0.36 / 12. A whole turn is no difference of an angle; what few replicates have has no u. */
static void curves_have_their_own(void **state)
{
    const double difference[N] = {1, -1, 2, -2, 3, -3, 5, -1};
    static double flat[SWT_CURVE_SAMPLES], drawn[SWT_CURVE_SAMPLES], lower[SWT_CURVE_SAMPLES],
        higher[SWT_CURVE_SAMPLES];
    static swt_swing s, reference, copy, low, high;
    swt_replicates *r;

    (void)state;
    reference.curve[SWT_SERIES_HAND_DEPTH] = reference.curve[SWT_SERIES_PELVIS_TURN] = flat;
    copy.curve[SWT_SERIES_HAND_DEPTH] = copy.curve[SWT_SERIES_PELVIS_TURN] = drawn;
    low.curve[SWT_SERIES_HAND_DEPTH] = lower;
    high.curve[SWT_SERIES_HAND_DEPTH] = higher;
    lower[7] = -0.2;
    higher[7] = 0.4;
    assert_int_equal(swt_replicates_new(&r, N, NULL), SWT_OK);
    for (size_t k = 0; k < N; k++) {
        drawn[0] = drawn[7] = 0.01 * difference[k];
        drawn[1] = 0.01 * difference[k] + 2 * SWT_PI * (k % 2 ? 1 : -1);
        drawn[2] = k < 5 ? 0.01 * difference[k] : nan("");
        drawn[3] = k < 4 ? 0.01 * difference[k] : nan("");
        swt_replicates_keep_curves(r, &reference, &copy);
    }
    assert_int_equal(swt_uncertainty_of_curves(&s, r, &low, &high, NULL), SWT_OK);
    assert_close((double)s.curve_sd[SWT_SERIES_HAND_DEPTH][0], 0.03, 1e-7, "depth");
    assert_close((double)s.curve_sd[SWT_SERIES_HAND_DEPTH][7], sqrt(9e-4 + 0.36 / 12), 1e-7,
                 "cut-off");
    assert_close((double)s.curve_sd[SWT_SERIES_HAND_DEPTH][2], 0.01 * sqrt(19 / 3.0), 1e-7,
                 "five of 8");
    assert_true(isnan((double)s.curve_sd[SWT_SERIES_HAND_DEPTH][3]));
    assert_close((double)s.curve_sd[SWT_SERIES_PELVIS_TURN][1], 0.03, 1e-7, "turn");
    assert_close((double)s.curve_sd[SWT_SERIES_PELVIS_TURN][7], 0.03, 1e-7,
                 "no other cut-offs' curves");
    assert_null(s.curve_sd[SWT_SERIES_HAND_HEIGHT]);
    swt_replicates_free(r);
    free(s.curve_sd[SWT_SERIES_HAND_DEPTH]);
    free(s.curve_sd[SWT_SERIES_PELVIS_TURN]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(mean_square_about_the_value),
        cmocka_unit_test(a_shift_counts),
        cmocka_unit_test(lost_replicates_limit),
        cmocka_unit_test(another_instant_limits),
        cmocka_unit_test(angles_know_no_whole_turns),
        cmocka_unit_test(the_absent_stay_so),
        cmocka_unit_test(noise_is_as_estimated),
        cmocka_unit_test(the_choice_of_cutoff_counts),
        cmocka_unit_test(curves_have_their_own),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
