/* The rise of a series between two moments, and gaps in it. */
#include "kinematics/measure.h"
#include "tests/support/support.h"

#include <math.h>
#include <string.h>

enum { FRAMES = 101 };

/* separation_stretch of a separation that rises by 0.25 rad after the first moment and falls. */
static swt_measurement rise(size_t gap_first, size_t gap_last)
{
    double series[FRAMES];
    unsigned char filled[FRAMES] = {0};
    swt_swing swing = {.n_frames = FRAMES, .rate_hz = 100, .split = FRAMES};

    for (size_t row = 0; row < swt_measure_count(); row++) {
        const swt_measure *m = swt_measure_row(row);
        if (strcmp(m->name, "separation_stretch") != 0)
            continue;
        for (int f = 0; f < FRAMES; f++)
            series[f] = 1 + 0.25 - pow((f - 50) / 40.0, 2);
        for (size_t f = gap_first; f <= gap_last; f++)
            series[f] = nan("");
        swing.series[m->series] = series;
        swing.series_filled[m->series] = filled;
        swing.series_verdict[m->series] = swt_usable();
        swing.event[m->from] = (swt_event_time){0.30, nan(""), swt_usable()};
        swing.event[m->to] = (swt_event_time){0.80, nan(""), swt_usable()};
        return m->compute(m, &swing);
    }
    fail_msg("there is no measure separation_stretch");
    return (swt_measurement){0};
}

static void a_rise_is_measured_and_a_gap_makes_none_of_it(void **state)
{
    (void)state;
    assert_close(rise(1, 0).value, 0.25, 1e-9, "from 0.30 s to the greatest at 0.50 s");
    assert_int_equal(rise(1, 0).verdict.state, SWT_USABLE);
    assert_close(rise(85, 90).value, 0.25, 1e-9, "a gap after the interval is none of it");
    for (size_t first = 25; first <= 75; first += 5) { /* at the start, at the peak, at the end */
        swt_measurement m = rise(first, first + 10);
        assert_true(isnan(m.value));
        assert_int_equal(m.verdict.state, SWT_ABSENT);
        assert_int_equal(m.verdict.reason, SWT_REASON_SAMPLES_MISSING);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_rise_is_measured_and_a_gap_makes_none_of_it),
    };
    return cmocka_run_group_tests_name("rise", tests, NULL, NULL);
}
