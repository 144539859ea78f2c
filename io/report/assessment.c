#include "io/report/assessment.h"

#include "base/capture.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

void swt_assessment_options_init(swt_assessment_options *options)
{
    static const swt_series left_out[] = {
        SWT_SERIES_HAND_FOOT_SPAN,        SWT_SERIES_PELVIS_TURN_PROJECTED,
        SWT_SERIES_THORAX_TURN_PROJECTED, SWT_SERIES_SEPARATION_PROJECTED,
        SWT_SERIES_LEAD_ARM_PLUMB,        SWT_SERIES_PELVIS_ANGULAR_SPEED,
        SWT_SERIES_THORAX_ANGULAR_SPEED,  SWT_SERIES_LEAD_ARM_ANGULAR_SPEED,
        SWT_SERIES_CLUB_ANGULAR_SPEED,    SWT_SERIES_SHAFT_LEAN,
        SWT_SERIES_FACE_TO_PATH};

    *options = (swt_assessment_options){.corridor = SWT_CORRIDOR_OPTIONS_INIT};
    for (int s = 0; s < SWT_SERIES_COUNT; s++)
        options->series[s] = true;
    for (size_t i = 0; i < sizeof left_out / sizeof *left_out; i++)
        options->series[left_out[i]] = false;
    options->least_excess[SWT_LENGTH] = 0.005;
    options->least_excess[SWT_ANGLE] = SWT_RADIANS(2);
    options->least_excess[SWT_TIME] = 0.02;
    options->least_excess[SWT_SPEED] = 0.2;
    options->least_excess[SWT_ANGULAR_SPEED] = SWT_RADIANS(20);
    options->least_excess[SWT_FRACTION] = 0.05;
}

double swt_event_after_takeaway(const swt_study *study, size_t swing, swt_event event)
{
    const swt_event_time *start = &study->event[SWT_EVENT_TAKEAWAY][swing];
    const swt_event_time *e = &study->event[event][swing];

    if (start->verdict.state == SWT_ABSENT || e->verdict.state == SWT_ABSENT)
        return nan("");
    return e->time_s - start->time_s;
}

long swt_compared_find(const swt_assessment *a, bool is_series, size_t index)
{
    for (size_t i = 0; i < a->n_compared; i++)
        if (a->compared[i].is_series == is_series && a->compared[i].index == index)
            return (long)i;
    return -1;
}

void swt_assessment_free(swt_assessment *a)
{
    if (!a)
        return;
    free((char *)a->options.group);
    free((char *)a->options.reference);
    free((char *)a->options.only);
    free(a->reference);
    free(a->reference_player);
    for (size_t i = 0; i < a->n_compared; i++)
        swt_corridor_free(a->compared[i].corridor);
    free(a->compared);
    for (size_t i = 0; i < a->n_beside; i++)
        swt_corridor_free(a->beside[i].corridor);
    free(a->beside);
    swt_score_model_free(a->scores);
    swt_path_corridor_free(a->hand_path);
    swt_path_corridor_free(a->hand_path_above);
    free(a->family.measure);
    for (size_t i = 0; i < a->n_swings; i++)
        swt_assessed_swing_reset(&a->swing[i]);
    free(a->swing);
    for (size_t i = 0; i < a->n_players; i++)
        swt_player_findings_reset(&a->player[i].found);
    free(a->player);
    free(a);
}

swt_assessment swt_assessment_without_group(const swt_assessment *assessment)
{
    swt_assessment bare = *assessment;

    bare.options.group = NULL;
    bare.n_compared = bare.family.n_measures = bare.family.n_members = 0;
    bare.n_reference = bare.n_reference_players = 0;
    bare.hand_path = bare.hand_path_above = NULL;
    bare.scores = NULL;
    bare.n_beside = 0;
    for (int e = 0; e < SWT_EVENT_COUNT; e++) {
        bare.group_facts.low_s[e] = bare.group_facts.middle_s[e] = nan("");
        bare.group_facts.high_s[e] = nan("");
        for (int s = 0; s < SWT_SERIES_COUNT; s++)
            bare.group_facts.at_event[s][e] = nan("");
    }
    return bare;
}
