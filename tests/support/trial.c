#include "tests/support/trial.h"
#include "kinematics/bind.h"

#include "io/sheet/map_ini.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const trial_event trial_events[TRIAL_EVENTS] = {
    {SWT_EVENT_TAKEAWAY, SWT_TRUE_TAKEAWAY},
    {SWT_EVENT_TRAVEL_061, SWT_TRUE_TRAVEL_061},
    {SWT_EVENT_SHAFT_LEVEL_BACKSWING, SWT_TRUE_SHAFT_UP},
    {SWT_EVENT_TRAVEL_183, SWT_TRUE_TRAVEL_183},
    {SWT_EVENT_LEAD_ARM_LEVEL_BACKSWING, SWT_TRUE_ARM_UP},
    {SWT_EVENT_PELVIS_REVERSAL, SWT_TRUE_PELVIS_REVERSAL},
    {SWT_EVENT_HANDS_TOP, SWT_TRUE_HANDS_TOP},
    {SWT_EVENT_THORAX_REVERSAL, SWT_TRUE_THORAX_REVERSAL},
    {SWT_EVENT_CLUB_TOP, SWT_TRUE_CLUB_TOP},
    {SWT_EVENT_LEAD_ARM_LEVEL_DOWNSWING, SWT_TRUE_ARM_DOWN},
    {SWT_EVENT_SHAFT_LEVEL_DOWNSWING, SWT_TRUE_SHAFT_DOWN},
    {SWT_EVENT_IMPACT, SWT_TRUE_IMPACT},
    {SWT_EVENT_SHAFT_LEVEL_FOLLOW_THROUGH, SWT_TRUE_SHAFT_THROUGH},
    {SWT_EVENT_FINISH, SWT_TRUE_FINISH},
};

int trial_series(double *offset, swt_series ours)
{
    static const struct {
        swt_series ours;
        swt_model_series theirs;
        double offset;
    } same[] = {
        {SWT_SERIES_HAND_ALONG, SWT_TRUE_HANDS_ALONG, 0},
        {SWT_SERIES_HAND_DEPTH, SWT_TRUE_HANDS_DEPTH, 0},
        {SWT_SERIES_HAND_HEIGHT, SWT_TRUE_HANDS_HEIGHT, 0},
        {SWT_SERIES_LEAD_ARM_ELEVATION, SWT_TRUE_LEAD_ARM, 0},
        {SWT_SERIES_LEAD_ARM_PLUMB, SWT_TRUE_LEAD_ARM_PLUMB, 0},
        {SWT_SERIES_LEAD_ARM_ACROSS_CHEST, SWT_TRUE_ACROSS_CHEST, SWT_PI / 2},
        {SWT_SERIES_SHAFT_ELEVATION, SWT_TRUE_SHAFT, 0},
        {SWT_SERIES_WRIST_SET, SWT_TRUE_WRIST_SET, 0},
        {SWT_SERIES_LEAD_ELBOW_FLEXION, SWT_TRUE_LEAD_ELBOW, 0},
        {SWT_SERIES_TRAIL_ELBOW_FLEXION, SWT_TRUE_TRAIL_ELBOW, 0},
        {SWT_SERIES_LEAD_KNEE_FLEXION, SWT_TRUE_LEAD_KNEE, 0},
        {SWT_SERIES_TRAIL_KNEE_FLEXION, SWT_TRUE_TRAIL_KNEE, 0},
        {SWT_SERIES_PELVIS_TURN, SWT_TRUE_PELVIS_TURN, 0},
        {SWT_SERIES_PELVIS_FORWARD_TILT, SWT_TRUE_PELVIS_FORWARD, 0},
        {SWT_SERIES_PELVIS_SIDE_TILT, SWT_TRUE_PELVIS_SIDE, 0},
        {SWT_SERIES_THORAX_TURN, SWT_TRUE_THORAX_TURN, 0},
        {SWT_SERIES_THORAX_FORWARD_TILT, SWT_TRUE_THORAX_FORWARD, 0},
        {SWT_SERIES_THORAX_SIDE_TILT, SWT_TRUE_THORAX_SIDE, 0},
        {SWT_SERIES_PELVIS_TURN_PROJECTED, SWT_TRUE_PELVIS_PROJECTED, 0},
        {SWT_SERIES_THORAX_TURN_PROJECTED, SWT_TRUE_THORAX_PROJECTED, 0},
        {SWT_SERIES_SEPARATION_JOINT, SWT_TRUE_SEPARATION_JOINT, 0},
        {SWT_SERIES_SEPARATION_PROJECTED, SWT_TRUE_SEPARATION_PROJECTED, 0},
        {SWT_SERIES_LEDGER_DEPTH_PELVIS, SWT_TRUE_LEDGER_PELVIS_DEPTH, 0},
        {SWT_SERIES_LEDGER_DEPTH_THORAX, SWT_TRUE_LEDGER_THORAX_DEPTH, 0},
        {SWT_SERIES_LEDGER_DEPTH_ARMS, SWT_TRUE_LEDGER_ARMS_DEPTH, 0},
        {SWT_SERIES_LEDGER_HEIGHT_PELVIS, SWT_TRUE_LEDGER_PELVIS_HEIGHT, 0},
        {SWT_SERIES_LEDGER_HEIGHT_THORAX, SWT_TRUE_LEDGER_THORAX_HEIGHT, 0},
        {SWT_SERIES_LEDGER_HEIGHT_ARMS, SWT_TRUE_LEDGER_ARMS_HEIGHT, 0},
    };

    for (size_t k = 0; k < sizeof same / sizeof *same; k++)
        if (same[k].ours == ours) {
            *offset = same[k].offset;
            return (int)same[k].theirs;
        }
    *offset = 0;
    return -1;
}

swt_model_recording trial_recording(void)
{
    swt_model_recording r = swt_model_recording_default();
    r.target = true;
    r.ball = true;
    r.clusters = false; /* no measure reads them */
    return r;
}

/* A landmark whose label no capture carries is absent. */
static void leave_out(swt_marker_map *map, const char *const *without, size_t n_without)
{
    for (size_t i = 0; i < map->n_entries; i++)
        for (size_t k = 0; k < n_without; k++)
            if (strstr(map->entry[i].key, without[k]))
                snprintf(map->entry[i].label[0], sizeof map->entry[i].label[0], "NOT_THERE");
}

static swt_handedness side_of(const swt_model_player *player)
{
    return player->left_handed ? SWT_LEFT_HANDED : SWT_RIGHT_HANDED;
}

swt_status trial_bind(swt_landmark_set **set, swt_marker_map *map, const swt_capture *capture,
                      const swt_model_player *player, const swt_model_recording *r,
                      const char *const *without, size_t n_without, swt_findings *findings,
                      swt_error *err)
{
    swt_status rc;

    *set = NULL;
    rc = swt_map_ini_read(map, NULL, SWT_SOURCE_DIR "/datasets/maps/demo.ini", err);
    if (rc != SWT_OK)
        return rc;
    map->target = 0; /* ball and target markers give the line, whatever the laboratory */
    map->up = r->up_axis == 'x' ? 1 : r->up_axis == 'y' ? 2 : 3;
    map->axes_left_handed = r->left_handed_axes;
    leave_out(map, without, n_without);
    return swt_marker_map_bind(set, map, capture, side_of(player), findings, err);
}

static swt_status analyse(trial *t, const swt_model_player *player, const swt_model_recording *r,
                          const char *const *without, size_t n_without, long replicates,
                          swt_error *err)
{
    swt_analysis_options options;
    swt_findings findings = {0};
    swt_landmark_set *set = NULL, *rest = NULL;
    swt_marker_map map = {0};
    swt_status rc =
        trial_bind(&set, &map, t->capture, player, r, without, n_without, &findings, err);

    swt_analysis_options_init(&options);
    options.uncertainty_replicates = replicates;
    if (rc == SWT_OK && t->rest)
        rc = swt_marker_map_bind(&rest, &map, t->rest, side_of(player), &findings, err);
    if (rc == SWT_OK)
        rc = swt_analyse(&t->swing, set, rest, &map, side_of(player), &findings, &options, err);
    swt_landmark_set_free(set);
    swt_landmark_set_free(rest);
    swt_marker_map_reset(&map);
    return rc;
}

swt_status trial_analyse(trial *t, const swt_model_player *player, const swt_model_recording *r,
                         const char *const *without, size_t n_without, swt_error *err)
{
    return analyse(t, player, r, without, n_without, 0, err);
}

swt_status trial_run_uncertain(trial *t, const swt_model_player *player,
                               const swt_model_swing *swing, const swt_model_recording *r,
                               long replicates, swt_error *err)
{
    swt_status rc;

    *t = (trial){0};
    rc = swt_model_capture(&t->capture, &t->truth, player, swing, r, err);
    if (rc == SWT_OK)
        rc = analyse(t, player, r, NULL, 0, replicates, err);
    return rc;
}

swt_status trial_run(trial *t, const swt_model_player *player, const swt_model_swing *swing,
                     const swt_model_recording *r, const char *const *without, size_t n_without,
                     swt_error *err)
{
    swt_status rc;

    *t = (trial){NULL, NULL, NULL, NULL};
    rc = swt_model_capture(&t->capture, &t->truth, player, swing, r, err);
    if (rc == SWT_OK)
        rc = trial_analyse(t, player, r, without, n_without, err);
    return rc;
}

void trial_done(trial *t)
{
    swt_capture_free(t->capture);
    swt_model_truth_free(t->truth);
    swt_swing_free(t->swing);
    swt_capture_free(t->rest);
    *t = (trial){NULL, NULL, NULL, NULL};
}

double trial_measure(const trial *t, const char *name)
{
    long i = swt_measure_find(name);

    if (i < 0) {
        fprintf(stderr, "there is no measure '%s'\n", name);
        abort();
    }
    return t->swing->measure[i].value;
}
