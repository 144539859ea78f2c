#include "kinematics/swing.h"

#include <stdlib.h>

const swt_event swt_phase_boundary[SWT_PHASES + 1] = {
    SWT_EVENT_TAKEAWAY, SWT_EVENT_LEAD_ARM_LEVEL_BACKSWING, SWT_EVENT_CLUB_TOP, SWT_EVENT_IMPACT,
    SWT_EVENT_FINISH};

static const struct {
    const char *name, *title, *definition;
} events[SWT_EVENT_COUNT] = {
#define X(id, name, title, definition) {name, title, definition},
    SWT_EVENTS(X)
#undef X
};

static const swt_series_info series_table[SWT_SERIES_COUNT] = {
#define X(id, name, title, quantity, definition) {name, title, quantity, definition},
    SWT_SERIES(X)
#undef X
};

const char *swt_event_name(swt_event event)
{
    return events[event].name;
}

const char *swt_event_title(swt_event event)
{
    return events[event].title;
}

const char *swt_event_definition(swt_event event)
{
    return events[event].definition;
}

const swt_series_info *swt_series_describe(swt_series series)
{
    return &series_table[series];
}

const swt_unit *swt_quantity_unit(swt_quantity quantity)
{
    static const swt_unit units[SWT_QUANTITY_COUNT] = {
        [SWT_LENGTH] = {"m", "mm", 1000, 0},
        [SWT_ANGLE] = {"rad", "deg", 180 / SWT_PI, 1},
        [SWT_TIME] = {"s", "s", 1, 3},
        [SWT_SPEED] = {"m/s", "m/s", 1, 1},
        [SWT_ANGULAR_SPEED] = {"rad/s", "deg/s", 180 / SWT_PI, 0},
        [SWT_FRACTION] = {"1", "1", 1, 2},
    };
    return &units[quantity];
}

const char *swt_strike_name(swt_strike strike)
{
    static const char *const name[] = {"unknown", "struck", "practice"};
    return strike <= SWT_PRACTICE ? name[strike] : "?";
}

void swt_swing_drop_samples(swt_swing *swing)
{
    for (int i = 0; i < SWT_SERIES_COUNT; i++) {
        free(swing->series[i]);
        free(swing->series_filled[i]);
        swing->series[i] = NULL;
        swing->series_filled[i] = NULL;
    }
    swt_landmark_set_free(swing->body);
    swing->body = NULL;
}

void swt_swing_free(swt_swing *swing)
{
    if (!swing)
        return;
    swt_swing_drop_samples(swing);
    for (int i = 0; i < SWT_SERIES_COUNT; i++) {
        free(swing->curve[i]);
        free(swing->curve_sd[i]);
        free(swing->travel_curve[i]);
    }
    free(swing->measure);
    free(swing);
}
