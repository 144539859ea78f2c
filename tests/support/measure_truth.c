#include "tests/support/measure_truth.h"

#include <math.h>
#include <string.h>

static double event_truth(const swt_model_truth *truth, swt_event event)
{
    for (int k = 0; k < TRIAL_EVENTS; k++)
        if (trial_events[k].ours == event)
            return truth->event_s[trial_events[k].theirs];
    return nan("");
}

/* A series at an event. */
static double at_event(const swt_model_truth *truth, const swt_measure *row)
{
    double offset;
    int series = trial_series(&offset, row->series);

    for (int k = 0; k < TRIAL_EVENTS; k++) {
        const double *at = truth->at_event[trial_events[k].theirs];
        if (trial_events[k].ours != row->from)
            continue;
        if (row->series == SWT_SERIES_HAND_FOOT_SPAN)
            return at[SWT_TRUE_HANDS_DEPTH] / truth->heel_line_m;
        return series < 0 ? nan("") : at[series] + offset;
    }
    return nan("");
}

/* Greatest joint separation from the pelvis' reversal to impact, less that at the reversal. */
static double separation_stretch(const swt_model_truth *truth, double rate_hz)
{
    double from = event_truth(truth, SWT_EVENT_PELVIS_REVERSAL);
    double to = event_truth(truth, SWT_EVENT_IMPACT), greatest = nan("");

    for (size_t i = 0; i < truth->n_frames; i++) {
        double time_s = (double)i / rate_hz;
        double at = truth->series[SWT_TRUE_SEPARATION_JOINT][i];
        if (time_s >= from && time_s <= to && !(at <= greatest))
            greatest = at;
    }
    return greatest - truth->at_event[SWT_TRUE_PELVIS_REVERSAL][SWT_TRUE_SEPARATION_JOINT];
}

double measure_truth(const trial *t, size_t measure)
{
    const swt_model_truth *truth = t->truth;
    const swt_measure *row = swt_measure_row(measure);
    double impact = event_truth(truth, SWT_EVENT_IMPACT);
    const struct {
        const char *name;
        double value;
    } known[] = {
        {"backswing_time", truth->backswing_s},
        {"downswing_time", truth->downswing_s},
        {"tempo_ratio", truth->tempo_ratio},
        {"half_time_fraction", truth->half_time_fraction},
        {"transition_shift", truth->transition_shift_m},
        {"pelvis_towards_ball", truth->pelvis_towards_ball_m},
        {"club_head_speed_at_impact", truth->impact_head_speed_m_s},
        {"peak_club_head_speed", truth->peak_head_speed_m_s},
        {"peak_hand_speed", truth->peak_hand_speed_m_s},
        {"peak_pelvis_angular_speed", truth->peak_rad_s[0]},
        {"peak_thorax_angular_speed", truth->peak_rad_s[1]},
        {"peak_lead_arm_angular_speed", truth->peak_rad_s[2]},
        {"peak_club_angular_speed", truth->peak_rad_s[3]},
        {"pelvis_angular_speed_peak_lead", impact - truth->peak_s[0]},
        {"thorax_angular_speed_peak_lead", impact - truth->peak_s[1]},
        {"lead_arm_angular_speed_peak_lead", impact - truth->peak_s[2]},
        {"club_angular_speed_peak_lead", impact - truth->peak_s[3]},
        {"separation_stretch", separation_stretch(truth, t->swing->rate_hz)},
        {"speed_gain_thorax", truth->peak_rad_s[1] / truth->peak_rad_s[0]},
        {"speed_gain_lead_arm", truth->peak_rad_s[2] / truth->peak_rad_s[1]},
        {"speed_gain_club", truth->peak_rad_s[3] / truth->peak_rad_s[2]},
        {"swing_plane_slope", truth->plane_slope_rad},
        {"swing_plane_direction", -truth->plane_direction_rad},
        {"swing_plane_rms", truth->plane_rms_m},
    };

    for (size_t k = 0; k < sizeof known / sizeof *known; k++)
        if (strcmp(known[k].name, row->name) == 0)
            return known[k].value;
    return strstr(row->name, "_at_") ? at_event(truth, row) : nan("");
}

double measure_error(const trial *t, size_t measure)
{
    double error = t->swing->measure[measure].value - measure_truth(t, measure);

    if (swt_measure_row(measure)->quantity == SWT_ANGLE)
        error = remainder(error, 2 * SWT_PI);
    return error;
}
