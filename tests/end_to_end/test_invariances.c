/* What must not matter: the frame rate, and when in the capture the swing begins. */
#include "tests/support/support.h"
#include "tests/support/trial.h"

#include <math.h>

static trial run(double rate_hz, double later_s)
{
    swt_model_player player = swt_model_player_default(1.78);
    swt_model_swing swing = swt_model_swing_default("7-iron");
    swt_model_recording recording = trial_recording();
    swt_error err = SWT_ERROR_INIT;
    trial t;

    recording.rate_hz = rate_hz;
    swing.quiet_s += later_s;
    if (trial_run(&t, &player, &swing, &recording, NULL, 0, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    return t;
}

/* Largest difference allowed, SI, of a measure taken twice. The club face turns by 0.3 degrees in a
 * tenth of a millisecond, which is how well a moment is found. */
static double allowed(const swt_measure *measure, double value)
{
    switch (measure->quantity) {
    case SWT_ANGLE:
        return SWT_RADIANS(measure->moment == SWT_EVENT_IMPACT ? 0.3 : 0.1);
    case SWT_LENGTH:
        return 0.001;
    case SWT_TIME:
        return 0.001;
    default: /* speeds, rates, shares: half a percent of their size, or of one */
        return 0.005 * fmax(fabs(value), 1);
    }
}

static void compare_measures(const trial *a, const trial *b, double part, const char *what)
{
    size_t compared = 0;

    for (size_t i = 0; i < swt_measure_count(); i++) {
        const swt_measure *row = swt_measure_row(i);
        double x = a->swing->measure[i].value, y = b->swing->measure[i].value;
        if (isnan(x) != isnan(y))
            fail_msg("%s: %s is %g and %g", what, row->name, x, y);
        if (isnan(x))
            continue;
        compared++;
        if (!(fabs(x - y) <= part * allowed(row, x)))
            fail_msg("%s: %s is %.6g and %.6g", what, row->name, x, y);
    }
    assert_true(compared > swt_measure_count() / 2);
}

static void the_frame_rate_does_not_matter(void **state)
{
    static const double rate_hz[] = {360, 480, 1000};
    trial usual = run(240, 0);

    (void)state;
    for (size_t k = 0; k < sizeof rate_hz / sizeof *rate_hz; k++) {
        trial t = run(rate_hz[k], 0);
        compare_measures(&usual, &t, 1, "rate");
        for (int e = 0; e < SWT_EVENT_COUNT; e++)
            if (isfinite(usual.swing->event[e].time_s))
                assert_close(t.swing->event[e].time_s, usual.swing->event[e].time_s, 0.001,
                             swt_event_name((swt_event)e));
        trial_done(&t);
    }
    trial_done(&usual);
}

/* By whole frames: the same samples, later. */
static void the_beginning_does_not_matter(void **state)
{
    const double later_s = 31 / 240.0;
    trial usual = run(240, 0), late = run(240, later_s);

    (void)state;
    compare_measures(&usual, &late, 1e-3, "later");
    for (int e = 0; e < SWT_EVENT_COUNT; e++)
        if (isfinite(usual.swing->event[e].time_s))
            assert_close(late.swing->event[e].time_s - later_s, usual.swing->event[e].time_s, 1e-6,
                         swt_event_name((swt_event)e));
    trial_done(&late);
    trial_done(&usual);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_frame_rate_does_not_matter),
        cmocka_unit_test(the_beginning_does_not_matter),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
