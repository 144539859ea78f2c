/* The analysis against the forward model, whose truth comes from its own chain and its own code.
 *
 * Demanded of noise-free captures at 240 Hz: events within half a frame (2.08 ms), depth and
 * height within 1 mm, angles within 0.1 degree, depth ledger closed within 0.5 mm. The bounds here
 * are tighter where the analysis is (measured over full swings: 0.07 ms, 0.02 mm, 0.005 degrees,
 * closure 0.007 mm; a slow half shot with a wedge has up to 0.07 degrees, since the cut-off that
 * the residual analysis chooses follows the speed of the motion). */
#include "io/sheet/map_ini.h"
#include "kinematics/bind.h"
#include "tests/support/support.h"
#include "tests/support/trial.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* A drawn posture that the chain can't take has no swing. */
static trial run_without(const swt_model_player *player, const swt_model_swing *model,
                         const swt_model_recording *r, const char *const *keys, size_t n_keys)
{
    swt_error err = SWT_ERROR_INIT;
    trial t;
    swt_status rc = trial_run(&t, player, model, r, keys, n_keys, &err);

    if (rc != SWT_OK && (rc != SWT_ENUM || t.capture))
        fail_msg("%s", err.msg);
    return t;
}

static trial run(const swt_model_player *player, const swt_model_swing *model,
                 const swt_model_recording *r)
{
    return run_without(player, model, r, NULL, 0);
}

/* Tolerances in SI; `offset`: the model counts from another zero. */
static const struct {
    swt_series ours;
    swt_model_series theirs;
    double tolerance, offset;
} series[] = {
    {SWT_SERIES_HAND_ALONG, SWT_TRUE_HANDS_ALONG, 1e-4, 0},
    {SWT_SERIES_HAND_DEPTH, SWT_TRUE_HANDS_DEPTH, 1e-4, 0},
    {SWT_SERIES_HAND_HEIGHT, SWT_TRUE_HANDS_HEIGHT, 1e-4, 0},
    {SWT_SERIES_LEAD_ARM_ELEVATION, SWT_TRUE_LEAD_ARM, SWT_RADIANS(0.1), 0},
    {SWT_SERIES_LEAD_ARM_PLUMB, SWT_TRUE_LEAD_ARM_PLUMB, SWT_RADIANS(0.1), 0},
    {SWT_SERIES_LEAD_ARM_ACROSS_CHEST, SWT_TRUE_ACROSS_CHEST, SWT_RADIANS(0.1), SWT_PI / 2},
    {SWT_SERIES_SHAFT_ELEVATION, SWT_TRUE_SHAFT, SWT_RADIANS(0.1), 0},
    {SWT_SERIES_WRIST_SET, SWT_TRUE_WRIST_SET, SWT_RADIANS(0.1), 0},
    {SWT_SERIES_LEAD_ELBOW_FLEXION, SWT_TRUE_LEAD_ELBOW, SWT_RADIANS(0.1), 0},
    {SWT_SERIES_TRAIL_ELBOW_FLEXION, SWT_TRUE_TRAIL_ELBOW, SWT_RADIANS(0.1), 0},
    {SWT_SERIES_LEAD_KNEE_FLEXION, SWT_TRUE_LEAD_KNEE, SWT_RADIANS(0.1), 0},
    {SWT_SERIES_TRAIL_KNEE_FLEXION, SWT_TRUE_TRAIL_KNEE, SWT_RADIANS(0.1), 0},
    {SWT_SERIES_PELVIS_TURN, SWT_TRUE_PELVIS_TURN, SWT_RADIANS(0.1), 0},
    {SWT_SERIES_PELVIS_FORWARD_TILT, SWT_TRUE_PELVIS_FORWARD, SWT_RADIANS(0.1), 0},
    {SWT_SERIES_PELVIS_SIDE_TILT, SWT_TRUE_PELVIS_SIDE, SWT_RADIANS(0.1), 0},
    {SWT_SERIES_THORAX_TURN, SWT_TRUE_THORAX_TURN, SWT_RADIANS(0.1), 0},
    {SWT_SERIES_THORAX_FORWARD_TILT, SWT_TRUE_THORAX_FORWARD, SWT_RADIANS(0.1), 0},
    {SWT_SERIES_THORAX_SIDE_TILT, SWT_TRUE_THORAX_SIDE, SWT_RADIANS(0.1), 0},
    {SWT_SERIES_PELVIS_TURN_PROJECTED, SWT_TRUE_PELVIS_PROJECTED, SWT_RADIANS(0.1), 0},
    {SWT_SERIES_THORAX_TURN_PROJECTED, SWT_TRUE_THORAX_PROJECTED, SWT_RADIANS(0.1), 0},
    {SWT_SERIES_PELVIS_ANGULAR_SPEED, SWT_TRUE_PELVIS_SPEED, 0.02, 0},
    {SWT_SERIES_THORAX_ANGULAR_SPEED, SWT_TRUE_THORAX_SPEED, 0.03, 0},
    {SWT_SERIES_LEAD_ARM_ANGULAR_SPEED, SWT_TRUE_ARM_SPEED, 0.1, 0},
    {SWT_SERIES_CLUB_ANGULAR_SPEED, SWT_TRUE_CLUB_SPEED, 0.15, 0},
    {SWT_SERIES_HAND_SPEED, SWT_TRUE_HAND_SPEED, 0.05, 0},
    {SWT_SERIES_CLUB_HEAD_SPEED, SWT_TRUE_HEAD_SPEED, 0.15, 0},
    {SWT_SERIES_LEDGER_DEPTH_PELVIS, SWT_TRUE_LEDGER_PELVIS_DEPTH, 2e-4, 0},
    {SWT_SERIES_LEDGER_DEPTH_THORAX, SWT_TRUE_LEDGER_THORAX_DEPTH, 2e-4, 0},
    {SWT_SERIES_LEDGER_DEPTH_ARMS, SWT_TRUE_LEDGER_ARMS_DEPTH, 2e-4, 0},
    {SWT_SERIES_LEDGER_HEIGHT_PELVIS, SWT_TRUE_LEDGER_PELVIS_HEIGHT, 2e-4, 0},
    {SWT_SERIES_LEDGER_HEIGHT_THORAX, SWT_TRUE_LEDGER_THORAX_HEIGHT, 2e-4, 0},
    {SWT_SERIES_LEDGER_HEIGHT_ARMS, SWT_TRUE_LEDGER_ARMS_HEIGHT, 2e-4, 0},
};

static void compare_events(const trial *t, double tolerance_s)
{
    for (size_t k = 0; k < TRIAL_EVENTS; k++) {
        const swt_event_time *ours = &t->swing->event[trial_events[k].ours];
        double truth = t->truth->event_s[trial_events[k].theirs];
        if (isnan(truth)) {
            if (ours->verdict.state != SWT_ABSENT)
                fail_msg("%s found at %g s; it does not occur",
                         swt_event_name(trial_events[k].ours), ours->time_s);
            assert_int_equal(ours->verdict.reason, SWT_REASON_NOT_REACHED);
        } else {
            assert_close(ours->time_s, truth, tolerance_s, swt_event_name(trial_events[k].ours));
        }
    }
}

/* The two sides of contact are smoothed apart, so the samples at contact count too. */
static void compare_series(const trial *t)
{
    for (size_t k = 0; k < sizeof series / sizeof *series; k++) {
        const double *ours = t->swing->series[series[k].ours];
        const double *theirs = t->truth->series[series[k].theirs];
        char what[96];
        assert_non_null(ours);
        for (size_t f = 0; f < t->swing->n_frames; f++) {
            if (isnan(theirs[f]) || isnan(ours[f]))
                continue;
            snprintf(what, sizeof what, "%s in frame %zu",
                     swt_series_describe(series[k].ours)->name, f);
            double error = ours[f] - theirs[f] - series[k].offset;
            if (swt_series_describe(series[k].ours)->quantity == SWT_ANGLE)
                error = remainder(error, 2 * SWT_PI); /* whole turns are the same direction */
            assert_close(error, 0, series[k].tolerance, what);
        }
    }
}

static void compare_scalars(const trial *t)
{
    const swt_model_truth *truth = t->truth;

    assert_close(trial_measure(t, "backswing_time"), truth->backswing_s, 2e-4, "backswing time");
    assert_close(trial_measure(t, "downswing_time"), truth->downswing_s, 2e-4, "downswing time");
    assert_close(trial_measure(t, "club_head_speed_at_impact"), truth->impact_head_speed_m_s,
                 0.005 * truth->impact_head_speed_m_s, "club-head speed at impact");
    assert_close(trial_measure(t, "swing_plane_slope"), truth->plane_slope_rad, SWT_RADIANS(0.1),
                 "swing-plane slope");
    assert_close(trial_measure(t, "swing_plane_direction"), -truth->plane_direction_rad,
                 SWT_RADIANS(0.1), "swing-plane direction, in to out");
    assert_close(trial_measure(t, "pelvis_towards_ball"), truth->pelvis_towards_ball_m, 1e-4,
                 "pelvis towards ball");
    assert_close(t->swing->heel_depth_m, truth->heel_line_m, 1e-4, "heel line");
    if (isfinite(truth->transition_shift_m))
        assert_close(trial_measure(t, "transition_shift"), truth->transition_shift_m, 1e-4,
                     "transition shift");
    assert_true(t->swing->quality.ledger_closure_m < 5e-4);
}

static void matches_the_truth(void **state)
{
    static const struct {
        const char *club;
        double shot, rate_hz;
        bool left_handed;
    } rows[] = {{"driver", 1, 240, false},
                {"driver", 1, 240, true},
                {"7-iron", 1, 240, false},
                {"7-iron", 0.75, 240, false},
                {"wedge", 0.5, 240, false}};

    (void)state;
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        swt_model_player player = swt_model_player_default(1.78);
        swt_model_swing model = swt_model_swing_default(rows[k].club);
        swt_model_recording r = trial_recording();
        trial t;
        player.left_handed = rows[k].left_handed;
        model.shot = rows[k].shot;
        r.rate_hz = rows[k].rate_hz;
        t = run(&player, &model, &r);
        compare_events(&t, 0.0003);
        compare_series(&t);
        compare_scalars(&t);
        trial_done(&t);
    }
}

/* Drawn players and swings: the same demands over the range that the demo study covers. */
static void matches_the_truth_over_many_players(void **state)
{
    int taken = 0;

    (void)state;
    for (uint64_t seed = 1; seed <= 12; seed++) {
        swt_model_player player = swt_model_player_default(1.78);
        swt_model_swing model = swt_model_swing_default("7-iron");
        swt_model_recording r = trial_recording();
        trial t;
        swt_model_draw_player(&player, &model, seed);
        swt_model_draw_swing(&model, 100 + seed);
        t = run(&player, &model, &r);
        if (!t.swing)
            continue;
        taken++;
        compare_events(&t, 0.001);
        compare_series(&t);
        compare_scalars(&t);
        trial_done(&t);
    }
    assert_true(taken >= 8);
}

/* Where the laboratory stands, its unit, its axes and the player's side change no answer. */
static void the_laboratory_does_not_matter(void **state)
{
    static const struct {
        double yaw_deg, x_m, y_m;
        const char *up, *unit;
        bool left_handed_axes, left_handed;
    } rows[] = {{37, 1.2, -3.4, "z", "mm", false, false},
                {-140, 0, 0, "x", "m", false, false},
                {90, 5, 5, "y", "cm", false, true},
                {12, 1, 2, "z", "mm", true, false},
                {12, 1, 2, "y", "m", true, true}};
    swt_model_player player = swt_model_player_default(1.70);
    swt_model_swing model = swt_model_swing_default("driver");
    swt_model_recording r = trial_recording();
    trial plain = run(&player, &model, &r);

    (void)state;
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        trial t;
        r = trial_recording();
        r.yaw_rad = SWT_RADIANS(rows[k].yaw_deg);
        r.origin_m[0] = rows[k].x_m;
        r.origin_m[1] = rows[k].y_m;
        r.up_axis = rows[k].up[0];
        r.unit = rows[k].unit;
        r.left_handed_axes = rows[k].left_handed_axes;
        player.left_handed = rows[k].left_handed;
        t = run(&player, &model, &r);
        for (size_t i = 0; i < swt_measure_count(); i++) {
            const swt_measure *row = swt_measure_row(i);
            double tolerance = 1e-6 * (1 + fabs(plain.swing->measure[i].value));
            if (isnan(plain.swing->measure[i].value)) {
                assert_true(isnan(t.swing->measure[i].value));
                continue;
            }
            assert_close(t.swing->measure[i].value, plain.swing->measure[i].value, tolerance,
                         row->name);
        }
        trial_done(&t);
    }
    trial_done(&plain);
}

/* A capture clipped at both ends loses what was cut off, with the reason, and nothing else moves.
 */
static void clipped_captures_lose_only_what_was_cut(void **state)
{
    swt_model_player player = swt_model_player_default(1.78);
    swt_model_swing model = swt_model_swing_default("driver");
    swt_model_recording r = trial_recording();
    trial whole = run(&player, &model, &r), late, early;
    double impact = whole.truth->event_s[SWT_TRUE_IMPACT];

    (void)state;
    r.clip_start_s = whole.truth->event_s[SWT_TRUE_TAKEAWAY] + 0.15;
    late = run(&player, &model, &r);
    assert_int_equal(late.swing->event[SWT_EVENT_TAKEAWAY].verdict.reason, SWT_REASON_STARTS_LATE);
    assert_close(late.swing->event[SWT_EVENT_CLUB_TOP].time_s,
                 late.truth->event_s[SWT_TRUE_CLUB_TOP], 0.002, "club top");
    assert_true(isnan(trial_measure(&late, "backswing_time")));
    assert_close(trial_measure(&late, "downswing_time"), trial_measure(&whole, "downswing_time"),
                 0.004, "downswing time");
    r.clip_start_s = 0;
    r.clip_end_s = (double)(whole.swing->n_frames - 1) / whole.swing->rate_hz - impact + 0.02;
    early = run(&player, &model, &r);
    assert_int_equal(early.swing->event[SWT_EVENT_IMPACT].verdict.state, SWT_ABSENT);
    assert_int_equal(early.swing->event[SWT_EVENT_IMPACT].verdict.reason, SWT_REASON_ENDS_EARLY);
    assert_close(trial_measure(&early, "hand_depth_at_lead_arm_level_backswing"),
                 trial_measure(&whole, "hand_depth_at_lead_arm_level_backswing"), 1e-4,
                 "hand depth");
    assert_true(isnan(trial_measure(&early, "club_head_speed_at_impact")));
    trial_done(&whole);
    trial_done(&late);
    trial_done(&early);
}

/* A default swing analysed with some of the map's landmarks taken out. */
static trial default_without(const char *const *keys, size_t n_keys)
{
    swt_model_player player = swt_model_player_default(1.78);
    swt_model_swing model = swt_model_swing_default("driver");
    swt_model_recording r = trial_recording();

    return run_without(&player, &model, &r, keys, n_keys);
}

/* Without club markers the events come from the hands and say so. */
static void without_a_club_the_hands_serve(void **state)
{
    static const char *const keys[] = {"club."};
    static const swt_event named[] = {SWT_EVENT_TAKEAWAY, SWT_EVENT_CLUB_TOP, SWT_EVENT_IMPACT};
    trial t = default_without(keys, 1);

    (void)state;
    for (size_t k = 0; k < 3; k++) {
        assert_int_equal(t.swing->event[named[k]].verdict.state, SWT_LIMITED);
        assert_int_equal(t.swing->event[named[k]].verdict.reason, SWT_REASON_FROM_HANDS);
    }
    assert_close(t.swing->event[SWT_EVENT_LEAD_ARM_LEVEL_BACKSWING].time_s,
                 t.truth->event_s[SWT_TRUE_ARM_UP], 0.0003, "lead arm level needs no club");
    assert_close(t.swing->event[SWT_EVENT_IMPACT].time_s, t.truth->event_s[SWT_TRUE_IMPACT], 0.03,
                 "impact from the hands");
    assert_int_equal(t.swing->event[SWT_EVENT_SHAFT_LEVEL_BACKSWING].verdict.state, SWT_ABSENT);
    assert_true(isnan(trial_measure(&t, "club_head_speed_at_impact")));
    trial_done(&t);
}

/* Without feet depth has no zero and height no floor; turns, the ledger and times stay. */
static void without_feet_depth_is_absent(void **state)
{
    static const char *const keys[] = {"CAL", "MT2", "MT5"};
    trial t = default_without(keys, 3), whole = default_without(NULL, 0);
    static const char *const gone[] = {"hand_depth_at_lead_arm_level_backswing",
                                       "hand_foot_span_at_club_top", "hand_height_at_club_top"};
    static const char *const kept[] = {"backswing_time", "thorax_turn_at_club_top",
                                       "depth_from_arms_at_club_top", "swing_plane_slope",
                                       "pelvis_towards_ball"};

    (void)state;
    for (size_t k = 0; k < sizeof gone / sizeof *gone; k++) {
        const swt_measurement *m = &t.swing->measure[swt_measure_find(gone[k])];
        assert_int_equal(m->verdict.state, SWT_ABSENT);
        assert_int_equal(m->verdict.reason, SWT_REASON_LANDMARK_MISSING);
    }
    for (size_t k = 0; k < sizeof kept / sizeof *kept; k++)
        assert_close(trial_measure(&t, kept[k]), trial_measure(&whole, kept[k]), 2e-4, kept[k]);
    assert_int_equal(whole.swing->series_verdict[SWT_SERIES_LEDGER_HEIGHT_ARMS].state, SWT_USABLE);
    trial_done(&t);
    trial_done(&whole);
}

/* Without trunk landmarks the hands and the club are still measured; what needs a trunk is not. */
static void without_a_trunk_the_hands_stay(void **state)
{
    static const char *const keys[] = {"ASIS", "PSIS", "IJ", "PX", "C7", "T8"};
    trial t = default_without(keys, 6), whole = default_without(NULL, 0);

    (void)state;
    assert_close(trial_measure(&t, "hand_depth_at_shaft_level_backswing"),
                 trial_measure(&whole, "hand_depth_at_shaft_level_backswing"), 2e-4, "hand depth");
    assert_close(trial_measure(&t, "backswing_time"), trial_measure(&whole, "backswing_time"), 1e-4,
                 "backswing time");
    assert_true(isnan(trial_measure(&t, "pelvis_turn_at_club_top")));
    assert_true(isnan(trial_measure(&t, "depth_from_pelvis_at_club_top")));
    assert_int_equal(
        t.swing->measure[swt_measure_find("lead_arm_plumb_at_shaft_level_backswing")].verdict.state,
        SWT_LIMITED);
    trial_done(&t);
    trial_done(&whole);
}

/* Marker noise of 0.5 mm, no gaps: what a laboratory has. */
static void noise_moves_little(void **state)
{
    swt_model_player player = swt_model_player_default(1.78);
    swt_model_swing model = swt_model_swing_default("7-iron");
    swt_model_recording r = trial_recording();

    (void)state;
    r.noise_m = 0.0005;
    for (uint64_t seed = 1; seed <= 5; seed++) {
        trial t;
        r.seed = seed;
        t = run(&player, &model, &r);
        for (size_t k = 0; k < TRIAL_EVENTS; k++)
            assert_close(t.swing->event[trial_events[k].ours].time_s,
                         t.truth->event_s[trial_events[k].theirs],
                         trial_events[k].ours == SWT_EVENT_TAKEAWAY ? 0.015 : 0.012,
                         swt_event_name(trial_events[k].ours));
        assert_close(trial_measure(&t, "hand_depth_at_lead_arm_level_backswing"),
                     t.truth->at_event[SWT_TRUE_ARM_UP][SWT_TRUE_HANDS_DEPTH], 0.002, "hand depth");
        assert_close(trial_measure(&t, "thorax_turn_at_club_top"),
                     t.truth->at_event[SWT_TRUE_CLUB_TOP][SWT_TRUE_THORAX_TURN], SWT_RADIANS(0.7),
                     "thorax turn at top");
        assert_close(t.swing->quality.noise_m[SWT_TRAIL_CAL], 0.0005, 0.0001, "noise found");
        assert_true(t.swing->quality.ledger_closure_m < 5e-4);
        trial_done(&t);
    }
}

/* Another smoother, the same swing: cross-validated splines against the low-pass filter. */
static void splines_and_filter_agree(void **state)
{
    static const char *const names[] = {"hand_depth_at_shaft_level_backswing",
                                        "hand_height_at_club_top", "thorax_turn_at_club_top",
                                        "backswing_time", "depth_from_arms_at_club_top"};
    /* backswing time: at this noise either takeaway has a 95th percentile of 7 ms (accuracy.md) */
    static const double tolerance[] = {0.0015, 0.003, SWT_RADIANS(0.5), 0.010, 0.006};
    swt_model_player player = swt_model_player_default(1.78);
    swt_model_swing model = swt_model_swing_default("7-iron");
    swt_model_recording r = trial_recording();
    swt_error err = SWT_ERROR_INIT;
    swt_analysis_options options;
    swt_marker_map map;
    swt_landmark_set *set = NULL;
    swt_findings findings = {0};
    swt_swing *splined = NULL;
    trial t;

    (void)state;
    r.noise_m = 0.0005;
    t = run(&player, &model, &r);
    swt_analysis_options_init(&options);
    options.smooth_by_spline = 1;
    if (trial_bind(&set, &map, t.capture, &player, &r, NULL, 0, &findings, &err) != SWT_OK ||
        swt_analyse(&splined, set, NULL, &map, SWT_RIGHT_HANDED, &findings, &options, &err) !=
            SWT_OK)
        fail_msg("%s", err.msg);
    for (size_t k = 0; k < sizeof names / sizeof *names; k++)
        assert_close(splined->measure[swt_measure_find(names[k])].value,
                     trial_measure(&t, names[k]), tolerance[k], names[k]);
    assert_close(splined->quality.noise_m[SWT_TRAIL_CAL], 0.0005, 0.0001, "noise found");
    swt_swing_free(splined);

    /* a cut-off that the user gives: it is used, and the noise is found all the same */
    options.smooth_by_spline = 0;
    options.cutoff_hz = 14;
    if (swt_analyse(&splined, set, NULL, &map, SWT_RIGHT_HANDED, &findings, &options, &err) !=
        SWT_OK)
        fail_msg("%s", err.msg);
    for (int i = 0; i < SWT_LANDMARK_COUNT; i++)
        if (set->present[i] && i != SWT_BALL && i != SWT_TARGET) {
            assert_close(splined->quality.cutoff_hz[i], 14, 0, "cut-off");
            assert_close(splined->quality.noise_m[i], t.swing->quality.noise_m[i], 1e-9, "noise");
        }
    assert_close(splined->measure[swt_measure_find("hand_height_at_club_top")].value,
                 trial_measure(&t, "hand_height_at_club_top"), 0.003, "hand height at the top");
    swt_swing_free(splined);
    swt_landmark_set_free(set);
    swt_marker_map_reset(&map);
    trial_done(&t);
}

/* A gap and a mislabelled stretch in the pelvis are mended, and said to be. */
static void damage_is_mended_and_named(void **state)
{
    swt_model_player player = swt_model_player_default(1.78);
    swt_model_swing model = swt_model_swing_default("driver");
    swt_model_recording r = trial_recording();
    const swt_model_stretch stretch[] = {{"C7", NULL, 1.00, 1.06},
                                         {"L_PSIS", "R_PSIS", 0.60, 0.90},
                                         {"L_WRIST_RAD", "R_WRIST_RAD", 1.00, 1.12}};
    trial clean = run(&player, &model, &r), t;
    size_t named = 0;

    (void)state;
    r.stretch = stretch;
    r.n_stretches = 3;
    t = run(&player, &model, &r);
    for (size_t i = 0; i < t.swing->findings.n; i++)
        named += strcmp(t.swing->findings.item[i].code, "labels_exchanged") == 0;
    assert_int_equal(named, 2);
    assert_close(t.swing->event[SWT_EVENT_LEAD_ARM_LEVEL_BACKSWING].time_s,
                 clean.swing->event[SWT_EVENT_LEAD_ARM_LEVEL_BACKSWING].time_s, 0.0005,
                 "lead arm level, in the middle of the exchanged wrists");
    assert_close(trial_measure(&t, "pelvis_turn_at_shaft_level_backswing"),
                 trial_measure(&clean, "pelvis_turn_at_shaft_level_backswing"), SWT_RADIANS(0.2),
                 "pelvis turn inside the mislabelled stretch");
    assert_close(trial_measure(&t, "thorax_turn_at_lead_arm_level_backswing"),
                 trial_measure(&clean, "thorax_turn_at_lead_arm_level_backswing"), SWT_RADIANS(0.5),
                 "thorax turn inside the gap");
    assert_true(t.swing->quality.filled_fraction[SWT_C7] > 0.01);
    trial_done(&clean);
    trial_done(&t);
}

/* A map that names another axis for up, or another unit, is refused: its numbers would look right.
 */
static void a_wrong_map_is_refused(void **state)
{
    static const struct {
        int up;
        const char *unit, *word;
    } rows[] = {
        {1, "mm", "up"}, {-1, "mm", "up"}, {-3, "mm", "up"}, {3, "cm", "unit"}, {3, "m", "unit"}};
    swt_model_player player = swt_model_player_default(1.78);
    swt_model_swing model = swt_model_swing_default("driver");
    swt_model_recording r = trial_recording();
    swt_analysis_options options;

    (void)state;
    swt_analysis_options_init(&options);
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        swt_error err = SWT_ERROR_INIT;
        swt_findings findings = {0};
        swt_capture *capture = NULL;
        swt_landmark_set *set = NULL;
        swt_swing *swing = NULL;
        swt_marker_map map;
        swt_status rc;

        assert_int_equal(
            swt_map_ini_read(&map, NULL, SWT_SOURCE_DIR "/datasets/maps/demo.ini", &err), SWT_OK);
        map.target = 0;
        map.up = rows[k].up;
        assert_int_equal(swt_model_capture(&capture, NULL, &player, &model, &r, &err), SWT_OK);
        assert_int_equal(swt_string_set(&capture->unit, rows[k].unit, &err), SWT_OK);
        rc = swt_marker_map_bind(&set, &map, capture, SWT_RIGHT_HANDED, &findings, &err);
        if (rc == SWT_OK)
            rc = swt_analyse(&swing, set, NULL, &map, SWT_RIGHT_HANDED, &findings, &options, &err);
        if (rc != SWT_EDATA || !strstr(err.msg, rows[k].word))
            fail_msg("up %d, unit %s: status %d, \"%s\"", rows[k].up, rows[k].unit, (int)rc,
                     err.msg);
        assert_null(swing);
        swt_landmark_set_free(set);
        swt_marker_map_reset(&map);
        swt_capture_free(capture);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(matches_the_truth),
        cmocka_unit_test(matches_the_truth_over_many_players),
        cmocka_unit_test(the_laboratory_does_not_matter),
        cmocka_unit_test(clipped_captures_lose_only_what_was_cut),
        cmocka_unit_test(without_a_club_the_hands_serve),
        cmocka_unit_test(without_feet_depth_is_absent),
        cmocka_unit_test(without_a_trunk_the_hands_stay),
        cmocka_unit_test(noise_moves_little),
        cmocka_unit_test(splines_and_filter_agree),
        cmocka_unit_test(a_wrong_map_is_refused),
        cmocka_unit_test(damage_is_mended_and_named),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
