/* Registration over time, over path length and over height, on motions whose answer is a formula.
 */
#include "kinematics/registration.h"
#include "kinematics/series.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdlib.h>

enum { FRAMES = 400, SPLIT = 350 };
static const double rate = 200, start = 0.2025, top = 1.0, acceleration = 6.0;

/* Club head: speed 6 t from takeaway on. Hands: height a parabola with its top at 1 s, and depth
 * by -0.1 m/s all the time, so that the way down is nearer the ball the lower it is. */
static swt_swing *make(void)
{
    swt_swing *s = calloc(1, sizeof *s);

    assert_non_null(s);
    s->n_frames = FRAMES;
    s->rate_hz = rate;
    s->split = SPLIT;
    for (int e = 0; e < SWT_EVENT_COUNT; e++)
        s->event[e].time_s = nan("");
    s->event[SWT_EVENT_TAKEAWAY] = (swt_event_time){start, nan(""), swt_usable()};
    s->event[SWT_EVENT_CLUB_TOP] = (swt_event_time){top, nan(""), swt_usable()};
    s->event[SWT_EVENT_IMPACT] = (swt_event_time){1.7, nan(""), swt_usable()};
    assert_int_equal(swt_series_new(s, SWT_SERIES_CLUB_HEAD_SPEED, NULL), SWT_OK);
    assert_int_equal(swt_series_new(s, SWT_SERIES_HAND_DEPTH, NULL), SWT_OK);
    assert_int_equal(swt_series_new(s, SWT_SERIES_HAND_HEIGHT, NULL), SWT_OK);
    for (size_t f = 0; f < FRAMES; f++) {
        double t = (double)f / rate;
        s->series[SWT_SERIES_CLUB_HEAD_SPEED][f] = acceleration * (t - start);
        s->series[SWT_SERIES_HAND_DEPTH][f] = 0.3 - 0.1 * t;
        s->series[SWT_SERIES_HAND_HEIGHT][f] = 1.8 - (t - top) * (t - top);
    }
    return s;
}

/* Between two events time is divided evenly; the hands' depth is 0.3 - 0.1 t there. */
static void phases_get_as_many_samples_each(void **state)
{
    static const double at[SWT_PHASES + 1] = {0.2025, 0.61, 1.0, 1.7, 1.9};

    (void)state;
    for (int absent = -1; absent <= SWT_PHASES; absent++) {
        swt_swing *s = make();
        for (int b = 0; b <= SWT_PHASES; b++)
            s->event[swt_phase_boundary[b]] =
                (swt_event_time){b == absent ? nan("") : at[b], nan(""), swt_usable()};
        assert_int_equal(swt_register_curves(s, NULL), SWT_OK);
        for (int k = 0; k < SWT_CURVE_SAMPLES; k++) {
            int phase = k == SWT_CURVE_SAMPLES - 1 ? SWT_PHASES - 1 : k / SWT_PHASE_STEPS;
            int within = k - phase * SWT_PHASE_STEPS;
            double t = at[phase] + (at[phase + 1] - at[phase]) * within / SWT_PHASE_STEPS;
            bool starts = absent != phase && absent != phase + 1;
            bool ends = within == 0 && phase > 0 && absent != phase && absent != phase - 1;
            if (starts || ends) { /* a boundary belongs to both of its phases */
                assert_close(s->curve_time_s[k], t, 1e-12, "clock");
                assert_close(s->curve[SWT_SERIES_HAND_DEPTH][k], 0.3 - 0.1 * t, 1e-9, "depth");
            } else {
                assert_true(isnan(s->curve_time_s[k]));
                assert_true(isnan(s->curve[SWT_SERIES_HAND_DEPTH][k]));
            }
        }
        assert_null(s->curve[SWT_SERIES_PELVIS_TURN]); /* there is no such series */
        swt_swing_free(s);
    }
}

static void events_out_of_order_make_no_phase(void **state)
{
    swt_swing *s = make();

    (void)state;
    for (int b = 0; b <= SWT_PHASES; b++)
        s->event[swt_phase_boundary[b]] = (swt_event_time){1.0 - 0.1 * b, nan(""), swt_usable()};
    assert_int_equal(swt_register_curves(s, NULL), SWT_OK);
    for (int k = 0; k < SWT_CURVE_SAMPLES; k++)
        assert_true(isnan(s->curve_time_s[k]));
    assert_null(s->curve[SWT_SERIES_HAND_DEPTH]); /* no sample at all */
    swt_swing_free(s);
}

static void length_takes_the_place_of_time(void **state)
{
    swt_swing *s = make();

    (void)state;
    assert_int_equal(swt_register_travel(s, NULL), SWT_OK);
    for (int k = 0; k < SWT_TRAVEL_SAMPLES; k++) {
        double t = start + sqrt(2 * k * SWT_TRAVEL_STEP_M / acceleration);
        assert_close(s->travel_time_s[k], t, 1e-9, "time of a length");
        assert_close(s->travel_curve[SWT_SERIES_HAND_DEPTH][k], 0.3 - 0.1 * t, 1e-9, "depth");
    }
    swt_swing_free(s);
}

static void a_short_backswing_leaves_the_rest_open(void **state)
{
    swt_swing *s = make();

    (void)state;
    s->event[SWT_EVENT_CLUB_TOP].time_s = 0.7; /* 0.7425 m travelled */
    assert_int_equal(swt_register_travel(s, NULL), SWT_OK);
    assert_true(isfinite(s->travel_time_s[24]));
    assert_true(isnan(s->travel_time_s[25]));
    assert_true(isnan(s->travel_curve[SWT_SERIES_HAND_DEPTH][25]));
    swt_swing_free(s);
    s = make();
    s->event[SWT_EVENT_TAKEAWAY].time_s = nan("");
    assert_int_equal(swt_register_travel(s, NULL), SWT_OK);
    assert_true(isnan(s->travel_time_s[0]));
    assert_null(s->travel_curve[SWT_SERIES_HAND_DEPTH]);
    swt_swing_free(s);
}

static void both_ways_are_compared_at_one_height(void **state)
{
    swt_swing *s = make();
    double low = 1.8 - (start - top) * (start - top);

    (void)state;
    swt_register_shift(s);
    for (int k = 0; k < SWT_SHIFT_SAMPLES; k++) {
        double height = low + (1.8 - low) * k / SWT_SHIFT_SAMPLES;
        double away = sqrt(1.8 - height); /* from the top, both ways */
        assert_close(s->shift_height_m[k], height, 1e-9, "height");
        if (top + away < 1.7)
            assert_close(s->shift_m[k], -0.1 * 2 * away, 1e-9, "shift");
        else
            assert_true(isnan(s->shift_m[k])); /* impact comes before that height */
    }
    assert_true(isnan(s->shift_m[0]) && isfinite(s->shift_m[20]));
    swt_swing_free(s);
}

static void without_impact_there_is_no_shift(void **state)
{
    swt_swing *s = make();

    (void)state;
    s->event[SWT_EVENT_IMPACT].verdict = swt_absent(SWT_REASON_ENDS_EARLY, 0);
    swt_register_shift(s);
    assert_true(isnan(s->shift_m[20]) && isnan(s->shift_height_m[20]));
    swt_swing_free(s);
}

/* Between registered samples a curve is a straight line; outside them it is nothing. */
static void a_registered_curve_is_read_between_samples(void **state)
{
    double time_s[SWT_CURVE_SAMPLES], curve[SWT_CURVE_SAMPLES];

    (void)state;
    for (int k = 0; k < SWT_CURVE_SAMPLES; k++) {
        time_s[k] = 0.01 * k + 0.0001 * k * k; /* not evenly */
        curve[k] = 3 - 2 * time_s[k];
    }
    for (int k = 0; k < 30; k++) {
        double at_s = 0.001 + 0.031 * k;
        assert_close(swt_registered_at(time_s, curve, at_s), 3 - 2 * at_s, 1e-12, "between");
    }
    assert_true(isnan(swt_registered_at(time_s, curve, -0.01)));
    assert_true(isnan(swt_registered_at(time_s, curve, time_s[SWT_CURVE_SAMPLES - 1] + 0.01)));
    curve[1] = nan("");
    assert_true(isnan(swt_registered_at(time_s, curve, 0.005)));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_registered_curve_is_read_between_samples),
        cmocka_unit_test(phases_get_as_many_samples_each),
        cmocka_unit_test(events_out_of_order_make_no_phase),
        cmocka_unit_test(length_takes_the_place_of_time),
        cmocka_unit_test(a_short_backswing_leaves_the_rest_open),
        cmocka_unit_test(both_ways_are_compared_at_one_height),
        cmocka_unit_test(without_impact_there_is_no_shift),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
