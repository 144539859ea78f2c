/* Three ways to a pose on the same markers: the rigid fit, axes straight from landmarks, SciPy's
 * rotation alignment (values stored by pose_reference.py); and the analysis with and without a
 * static capture. */
#include "kinematics/segment.h"
#include "tests/reference/pose_values.inc"
#include "tests/support/support.h"
#include "tests/support/trial.h"

#include <math.h>
#include <string.h>

static swt_vec3 marker(const double *from, size_t index)
{
    return swt_vec3_make(from[3 * index], from[3 * index + 1], from[3 * index + 2]);
}

static void fit(swt_pose pose[POSE_FRAMES], const double *weight)
{
    double axis[3 * POSE_MARKERS][POSE_FRAMES];
    const double *coordinate[3 * POSE_MARKERS];
    swt_vec3 rest[POSE_MARKERS];
    swt_cluster cluster = {POSE_MARKERS, rest, weight};

    for (size_t m = 0; m < POSE_MARKERS; m++) {
        rest[m] = marker(pose_rest, m);
        for (size_t k = 0; k < 3; k++) {
            for (size_t f = 0; f < POSE_FRAMES; f++)
                axis[3 * m + k][f] = pose_markers[(f * POSE_MARKERS + m) * 3 + k];
            coordinate[3 * m + k] = axis[3 * m + k];
        }
    }
    swt_pose_fit(pose, &cluster, coordinate, POSE_FRAMES);
}

static void compare(const swt_pose pose[POSE_FRAMES], const double *rotation)
{
    for (size_t f = 0; f < POSE_FRAMES; f++)
        for (size_t i = 0; i < 9; i++)
            assert_close(pose[f].rotation.m[i / 3][i % 3], rotation[9 * f + i], 1e-9,
                         "element of the rotation");
}

static void rigid_fit_is_scipys(void **state)
{
    swt_pose pose[POSE_FRAMES];

    (void)state;
    fit(pose, NULL);
    compare(pose, pose_rotation_plain);
    fit(pose, pose_weights);
    compare(pose, pose_rotation_weighted);
}

static swt_mat3 direct_axes(const double *from, size_t first)
{
    return swt_pelvis_axes(marker(from, first), marker(from, first + 1),
                           swt_mid(marker(from, first + 2), marker(from, first + 3)));
}

/* On rigid markers the axes turn as the fit does; with 2 mm of noise they stay within 2 degrees. */
static void direct_axes_agree(void **state)
{
    swt_mat3 rest = direct_axes(pose_rest, 0), back = swt_mat3_transpose(&rest);

    (void)state;
    for (size_t f = 0; f < POSE_FRAMES; f++) {
        swt_mat3 now = direct_axes(pose_markers, f * POSE_MARKERS);
        swt_mat3 turn = swt_mat3_multiply(&now, &back);
        double bound = f < POSE_FRAMES / 2 ? 1e-9 : SWT_RADIANS(2);
        for (size_t i = 0; i < 9; i++)
            assert_close(turn.m[i / 3][i % 3], pose_rotation_plain[9 * f + i], bound,
                         "element of the rotation");
    }
}

static double *recorded(swt_capture *c, const char *label, size_t frame)
{
    for (size_t i = 0; i < c->n_points; i++)
        if (strcmp(c->label[i], label) == 0)
            return c->xyz + 3 * (frame * c->n_points + i);
    fail_msg("no marker %s", label);
    return NULL;
}

/* The trail PSIS 30 mm out of the plane of the others: a pelvis that is not its own mirror image,
 * for either hand the same one as the other sees it in a mirror. */
static void bend_pelvis(swt_capture *c, bool left_handed)
{
    const char *lead[] = {"L_ASIS", "L_PSIS"}, *trail[] = {"R_ASIS", "R_PSIS"};
    const char *const *on_lead = left_handed ? trail : lead, *const *on_trail =
                                                                 left_handed ? lead : trail;

    for (size_t f = 0; f < c->n_frames; f++) {
        swt_vec3 asis = marker(recorded(c, on_lead[0], f), 0);
        swt_vec3 out = swt_cross(swt_sub(marker(recorded(c, on_trail[0], f), 0), asis),
                                 swt_sub(marker(recorded(c, on_lead[1], f), 0), asis));
        swt_vec3 step = swt_scale(swt_direction(out), left_handed ? -30 : 30);
        double *moved = recorded(c, on_trail[1], f);
        moved[0] += step.x;
        moved[1] += step.y;
        moved[2] += step.z;
    }
}

/* A trial whose static capture is the same player standing still at address, without noise. */
static trial trial_of(bool bent, bool left_handed, double noise_m, const swt_model_stretch *missing,
                      bool with_static)
{
    swt_model_player player = swt_model_player_default(1.78);
    swt_model_swing swing = swt_model_swing_default("7-iron");
    swt_model_recording r = trial_recording(), still = trial_recording();
    swt_error err = SWT_ERROR_INIT;
    trial t = {NULL, NULL, NULL, NULL};

    player.left_handed = left_handed;
    r.noise_m = noise_m;
    r.stretch = missing;
    r.n_stretches = missing ? 1 : 0;
    r.yaw_rad = 0.4; /* the static capture is from another place */
    if (swt_model_capture(&t.capture, &t.truth, &player, &swing, &r, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    still.clip_end_s = (double)(t.capture->n_frames - 1) / r.rate_hz - 0.3;
    if (with_static && swt_model_capture(&t.rest, NULL, &player, &swing, &still, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    if (bent) {
        bend_pelvis(t.capture, left_handed);
        bend_pelvis(t.rest, left_handed);
    }
    if (trial_analyse(&t, &player, &r, NULL, 0, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    return t;
}

static trial model_trial(double noise_m, const swt_model_stretch *missing, bool with_static)
{
    return trial_of(false, false, noise_m, missing, with_static);
}

static void static_capture_changes_nothing_on_rigid_markers(void **state)
{
    trial with = model_trial(0, NULL, true), without = model_trial(0, NULL, false);

    (void)state;
    for (size_t i = 0; i < swt_measure_count(); i++) {
        double a = with.swing->measure[i].value, b = without.swing->measure[i].value;
        if (isnan(b))
            assert_true(isnan(a));
        else
            assert_close(a, b, 2e-5 * (1 + fabs(b)), swt_measure_row(i)->name);
    }
    trial_done(&with);
    trial_done(&without);
}

/* The static capture of a left-handed player is mirrored as the swing is. */
static void with_a_static_capture_left_is_right_in_the_mirror(void **state)
{
    trial right = trial_of(true, false, 0, NULL, true), left = trial_of(true, true, 0, NULL, true);

    (void)state;
    for (size_t i = 0; i < swt_measure_count(); i++) {
        double a = left.swing->measure[i].value, b = right.swing->measure[i].value;
        if (isnan(b))
            assert_true(isnan(a));
        else
            assert_close(a, b, 1e-6 * (1 + fabs(b)), swt_measure_row(i)->name);
    }
    trial_done(&right);
    trial_done(&left);
}

static double rms_error(const trial *t, swt_series ours, swt_model_series theirs)
{
    double sum = 0;
    size_t n = 0;

    for (size_t f = 0; f < t->swing->split; f++) {
        double error = t->swing->series[ours][f] - t->truth->series[theirs][f];
        if (!isfinite(error))
            continue;
        sum += error * error;
        n++;
    }
    assert_true(n > 100);
    return sqrt(sum / (double)n);
}

/* More markers, less noise. */
static void static_capture_lowers_noise(void **state)
{
    static const struct {
        swt_series ours;
        swt_model_series theirs;
    } rows[] = {{SWT_SERIES_PELVIS_FORWARD_TILT, SWT_TRUE_PELVIS_FORWARD},
                {SWT_SERIES_THORAX_SIDE_TILT, SWT_TRUE_THORAX_SIDE}};
    trial with = model_trial(0.001, NULL, true), without = model_trial(0.001, NULL, false);

    (void)state;
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++)
        if (!(rms_error(&with, rows[k].ours, rows[k].theirs) <
              rms_error(&without, rows[k].ours, rows[k].theirs)))
            fail_msg("%s: %g with, %g without", swt_series_describe(rows[k].ours)->name,
                     rms_error(&with, rows[k].ours, rows[k].theirs),
                     rms_error(&without, rows[k].ours, rows[k].theirs));
    trial_done(&with);
    trial_done(&without);
}

/* Angular speed comes from all markers, with and without a static capture: drawn axes alone,
 * through the jugular notch and C7, would have half as much noise again. */
static void all_markers_tell_the_turning(void **state)
{
    trial with = model_trial(0.001, NULL, true), without = model_trial(0.001, NULL, false);
    double a = rms_error(&with, SWT_SERIES_THORAX_ANGULAR_SPEED, SWT_TRUE_THORAX_SPEED);
    double b = rms_error(&without, SWT_SERIES_THORAX_ANGULAR_SPEED, SWT_TRUE_THORAX_SPEED);

    (void)state;
    if (!(b < 1.05 * a))
        fail_msg("%g with, %g without", a, b);
    trial_done(&with);
    trial_done(&without);
}

/* One PSIS lost for longer than any filling bridges, over lead arm level and the top: three markers
 * are a pose still, two ASIS are none. */
static void static_capture_stands_in_for_a_lost_marker(void **state)
{
    const swt_model_stretch lost = {"R_PSIS", NULL, 0.85, 1.45};
    trial with = model_trial(0.0005, &lost, true), without = model_trial(0.0005, &lost, false);
    double truth = with.truth->at_event[SWT_TRUE_ARM_UP][SWT_TRUE_PELVIS_TURN];

    (void)state;
    assert_true(with.truth->event_s[SWT_TRUE_ARM_UP] > 0.9);
    assert_true(with.truth->event_s[SWT_TRUE_CLUB_TOP] < 1.4);
    assert_true(isnan(trial_measure(&without, "pelvis_turn_at_lead_arm_level_backswing")));
    assert_close(trial_measure(&with, "pelvis_turn_at_lead_arm_level_backswing"), truth,
                 SWT_RADIANS(0.5), "pelvis turn while a PSIS is lost");
    truth = with.truth->at_event[SWT_TRUE_CLUB_TOP][SWT_TRUE_PELVIS_TURN];
    assert_true(isnan(trial_measure(&without, "pelvis_turn_at_club_top")));
    assert_close(trial_measure(&with, "pelvis_turn_at_club_top"), truth, SWT_RADIANS(0.5),
                 "pelvis turn at the top while a PSIS is lost");
    trial_done(&with);
    trial_done(&without);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rigid_fit_is_scipys),
        cmocka_unit_test(direct_axes_agree),
        cmocka_unit_test(static_capture_changes_nothing_on_rigid_markers),
        cmocka_unit_test(with_a_static_capture_left_is_right_in_the_mirror),
        cmocka_unit_test(static_capture_lowers_noise),
        cmocka_unit_test(all_markers_tell_the_turning),
        cmocka_unit_test(static_capture_stands_in_for_a_lost_marker),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
