#include "kinematics/registration.h"

#include "kinematics/series.h"

#include <stdlib.h>

static void fill_clock(swt_swing *swing)
{
    for (int k = 0; k < SWT_CURVE_SAMPLES; k++)
        swing->curve_time_s[k] = nan("");
    for (int phase = 0; phase < SWT_PHASES; phase++) {
        double from = swing->event[swt_phase_boundary[phase]].time_s;
        double to = swing->event[swt_phase_boundary[phase + 1]].time_s;
        if (!(to > from))
            continue;
        for (int k = 0; k <= SWT_PHASE_STEPS; k++)
            swing->curve_time_s[phase * SWT_PHASE_STEPS + k] =
                from + (to - from) * (double)k / SWT_PHASE_STEPS;
    }
}

swt_status swt_register_curves(swt_swing *swing, swt_error *err)
{
    fill_clock(swing);
    for (int s = 0; s < SWT_SERIES_COUNT; s++) {
        int finite = 0;
        double *curve;
        if (!swing->series[s])
            continue;
        curve = malloc(SWT_CURVE_SAMPLES * sizeof *curve);
        if (!curve)
            return swt_fail(err, SWT_ENOMEM, "out of memory");
        for (int k = 0; k < SWT_CURVE_SAMPLES; k++) {
            curve[k] = swt_series_at(swing, (swt_series)s, swing->curve_time_s[k]);
            finite += isfinite(curve[k]) != 0;
        }
        if (finite > 0)
            swing->curve[s] = curve;
        else
            free(curve);
    }
    return SWT_OK;
}
