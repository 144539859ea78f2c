/* Series of simple motions whose angles are known by construction. */
#include "kinematics/series.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { FRAMES = 40 };

typedef struct scene {
    swt_swing *swing;
    swt_body body;
    swt_swing_frame frame;
    swt_location at;
} scene;

static void place(scene *s, swt_landmark landmark, size_t f, double x, double y, double z)
{
    s->swing->body->axis[landmark][0][f] = x;
    s->swing->body->axis[landmark][1][f] = y;
    s->swing->body->axis[landmark][2][f] = z;
    s->swing->body->origin[landmark][f] = SWT_ORIGIN_RECORDED;
}

static scene open_scene(const swt_landmark *landmark, size_t n)
{
    bool present[SWT_LANDMARK_COUNT] = {false};
    scene s;

    memset(&s, 0, sizeof s);
    s.swing = calloc(1, sizeof *s.swing);
    assert_non_null(s.swing);
    for (size_t k = 0; k < n; k++)
        present[landmark[k]] = true;
    s.swing->n_frames = s.swing->split = FRAMES;
    s.swing->rate_hz = 100;
    assert_int_equal(swt_landmark_set_new(&s.swing->body, FRAMES, 100, present, NULL), SWT_OK);
    s.frame.has_direction = s.frame.has_origin = s.frame.has_floor = true;
    s.frame.heel_depth_m = 0.2;
    s.at.address_last = 2;
    s.at.quiet = true;
    return s;
}

static void fill(scene *s)
{
    swt_error err = SWT_ERROR_INIT;

    if (swt_body_build(&s->body, s->swing->body, NULL, 0.04, &err) != SWT_OK ||
        swt_series_fill(s->swing, &s->body, &s->frame, &s->at, &err) != SWT_OK)
        fail_msg("%s", err.msg);
}

static void close_scene(scene *s)
{
    swt_body_reset(&s->body);
    swt_swing_free(s->swing);
}

/* The head moves 10 degrees from in to out (away from the player: depth falls); the face is square
 * to the target line, so it is 10 degrees closed to the path. The grip is 0.1 m nearer the target
 * and 0.9 m above the head: the shaft leans by atan(1/9). */
static void club_at_impact(void **state)
{
    static const swt_landmark used[] = {SWT_CLUB_GRIP, SWT_CLUB_HEAD, SWT_CLUB_TOE, SWT_CLUB_HEEL};
    double turn = SWT_RADIANS(10.0);
    scene s = open_scene(used, 4);

    (void)state;
    for (size_t f = 0; f < FRAMES; f++) {
        double way = 0.3 * (double)f, x = way * cos(turn), y = -way * sin(turn);
        place(&s, SWT_CLUB_HEAD, f, x, y, 0.05);
        place(&s, SWT_CLUB_GRIP, f, x + 0.1, y + 0.4, 0.95);
        place(&s, SWT_CLUB_HEEL, f, x, y - 0.01, 0.03);
        place(&s, SWT_CLUB_TOE, f, x, y - 0.09, 0.04);
    }
    fill(&s);
    for (size_t f = 0; f < FRAMES; f++) {
        assert_close(s.swing->series[SWT_SERIES_FACE_TO_PATH][f], -turn, 1e-12, "face to path");
        assert_close(s.swing->series[SWT_SERIES_SHAFT_LEAN][f], atan2(0.1, 0.9), 1e-12,
                     "shaft lean");
        assert_close(s.swing->series[SWT_SERIES_CLUB_HEAD_SPEED][f], 30, 1e-9, "speed");
        assert_close(s.swing->series[SWT_SERIES_SHAFT_ELEVATION][f], -atan2(0.9, hypot(0.1, 0.4)),
                     1e-12, "shaft elevation");
    }
    close_scene(&s);
}

/* A pelvis and a thorax that turn steadily about the vertical, away from the target: positive
 * turns, angular speed negative (it counts towards the target). */
static void turns_have_their_signs(void **state)
{
    static const swt_landmark used[] = {SWT_LEAD_ASIS,  SWT_TRAIL_ASIS, SWT_LEAD_PSIS,
                                        SWT_TRAIL_PSIS, SWT_IJ,         SWT_PX,
                                        SWT_C7,         SWT_T8};
    /* facing the ball (-depth), lead side towards the target (+along): x, y, z of each */
    static const double at_rest[8][3] = {{0.12, 0.20, 1.0},  {-0.12, 0.20, 1.0}, {0.05, 0.40, 1.0},
                                         {-0.05, 0.40, 1.0}, {0, 0.22, 1.4},     {0, 0.20, 1.2},
                                         {0, 0.36, 1.45},    {0, 0.38, 1.25}};
    scene s = open_scene(used, 8);
    double step_pelvis = SWT_RADIANS(1.0), step_thorax = SWT_RADIANS(2.0);

    (void)state;
    for (size_t f = 0; f < FRAMES; f++)
        for (size_t k = 0; k < 8; k++) {
            double a = -(double)f * (k < 4 ? step_pelvis : step_thorax); /* clockwise from above */
            double dx = at_rest[k][0], dy = at_rest[k][1] - 0.3;
            place(&s, used[k], f, dx * cos(a) - dy * sin(a), 0.3 + dx * sin(a) + dy * cos(a),
                  at_rest[k][2]);
        }
    s.at.address_last = 0;
    fill(&s);
    for (size_t f = 0; f < FRAMES; f++) {
        double frames = (double)f;
        assert_close(s.swing->series[SWT_SERIES_PELVIS_TURN][f], frames * step_pelvis, 1e-9,
                     "pelvis turn");
        assert_close(s.swing->series[SWT_SERIES_THORAX_TURN_PROJECTED][f], frames * step_thorax,
                     1e-9, "thorax turn, projected");
        assert_close(s.swing->series[SWT_SERIES_SEPARATION_PROJECTED][f],
                     frames * (step_thorax - step_pelvis), 1e-9, "separation, projected");
        assert_close(s.swing->series[SWT_SERIES_PELVIS_ANGULAR_SPEED][f], -100 * step_pelvis, 1e-5,
                     "pelvis angular speed");
    }
    close_scene(&s);
}

/* A trunk that leans forward by 30 degrees and sideways by none; then one that bends to the trail
 * side by 20. */
static void tilts_have_their_signs(void **state)
{
    static const swt_landmark used[] = {SWT_IJ, SWT_PX, SWT_C7, SWT_T8};
    static const double at_rest[4][2] = {{-0.08, 1.4}, {-0.10, 1.2}, {0.08, 1.4}, {0.10, 1.2}};
    double forward = SWT_RADIANS(30.0), side = SWT_RADIANS(20.0);
    scene s = open_scene(used, 4);

    (void)state;
    for (size_t f = 0; f < FRAMES; f++)
        for (size_t k = 0; k < 4; k++) {
            double depth = at_rest[k][0], up = at_rest[k][1] - 1.0;
            if (f < FRAMES / 2) /* about the line along the target: up turns towards the ball */
                place(&s, used[k], f, 0, depth * cos(forward) - up * sin(forward),
                      1.0 + depth * sin(forward) + up * cos(forward));
            else /* about the depth axis: up turns away from the target */
                place(&s, used[k], f, -up * sin(side), depth, 1.0 + up * cos(side));
        }
    fill(&s);
    assert_close(s.swing->series[SWT_SERIES_THORAX_FORWARD_TILT][5], forward, 1e-9, "forward tilt");
    assert_close(s.swing->series[SWT_SERIES_THORAX_SIDE_TILT][5], 0, 1e-9, "no side tilt");
    assert_close(s.swing->series[SWT_SERIES_THORAX_SIDE_TILT][FRAMES - 5], side, 1e-9,
                 "side tilt to the trail side");
    assert_close(s.swing->series[SWT_SERIES_THORAX_FORWARD_TILT][FRAMES - 5], 0, 1e-9,
                 "no forward tilt");
    close_scene(&s);
}

/* Bent so far to the side that the sequence nears gimbal lock: limited, and named. */
static void gimbal_lock_is_told(void **state)
{
    static const swt_landmark used[] = {SWT_IJ, SWT_PX, SWT_C7, SWT_T8};
    static const double at_rest[4][2] = {{-0.08, 1.4}, {-0.10, 1.2}, {0.08, 1.4}, {0.10, 1.2}};
    double side = SWT_RADIANS(80.0);
    scene s = open_scene(used, 4);

    (void)state;
    for (size_t f = 0; f < FRAMES; f++)
        for (size_t k = 0; k < 4; k++) {
            double up = at_rest[k][1] - 1.0;
            place(&s, used[k], f, -up * sin(side), at_rest[k][0], 1.0 + up * cos(side));
        }
    fill(&s);
    assert_int_equal(s.swing->series_verdict[SWT_SERIES_THORAX_TURN].reason,
                     SWT_REASON_NEAR_GIMBAL_LOCK);
    assert_int_equal(s.swing->findings.n, 1);
    assert_string_equal(s.swing->findings.item[0].code, "near_gimbal_lock");
    close_scene(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(club_at_impact),
        cmocka_unit_test(turns_have_their_signs),
        cmocka_unit_test(tilts_have_their_signs),
        cmocka_unit_test(gimbal_lock_is_told),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
