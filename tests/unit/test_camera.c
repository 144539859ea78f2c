/* One camera and the hands, by geometry worked out by hand. */
#include "kinematics/camera.h"

#include "tests/support/support.h"

#include <math.h>

/* Level (aims at its own height): no tilt, so distances along the axis are those along x alone. */
static swt_camera level(double height, double distance, double angle_deg, double aim_y)
{
    return (swt_camera){.height_m = height,
                        .distance_m = distance,
                        .angle_rad = SWT_RADIANS(angle_deg),
                        .aim = {0, aim_y, height}};
}

/* Camera 4 m behind, at depth -0.25: similar triangles give apparent = yc + (y - yc) 4 / (4 + x);
 * hands 0.6 m before the toes' plane at depth 0.15: -0.25 + 0.40 * 4 / 3.4. */
static void similar_triangles(void **state)
{
    swt_camera c = level(1.0, 4.0, 0, -0.25);

    (void)state;
    assert_close(swt_camera_apparent_depth(&c, swt_vec3_make(-0.6, 0.15, 1.7)),
                 -0.25 + 0.40 * 4 / 3.4, 1e-12, "hands nearer than the toes");
    assert_close(swt_camera_apparent_depth(&c, swt_vec3_make(0, 0.15, 1.7)), 0.15, 1e-12,
                 "in the plane of the toes nothing is off");
    assert_close(swt_camera_apparent_depth(&c, swt_vec3_make(0.8, -0.25, 0.2)), -0.25, 1e-12,
                 "on the camera's own line nothing is off");
}

/* Facing the player (90 deg) the target is to the right, and depth is along the line of sight. */
static void facing_the_player_the_target_is_right(void **state)
{
    swt_camera c = level(1.0, 3.0, 90, 0);
    swt_vec3 at = swt_camera_position(&c);
    double across, up;

    (void)state;
    assert_close(at.x, 0, 1e-12, "x");
    assert_close(at.y, -3, 1e-12, "y: on the ball's side");
    swt_camera_project(&across, &up, &c, swt_vec3_make(0.6, 0, 1.3));
    assert_close(across, 0.2, 1e-12, "0.6 m over 3 m");
    assert_close(up, 0.1, 1e-12, "0.3 m over 3 m");
}

/* Tilted: camera 3 m high, 4 m behind, aims at the floor at the toes: f = (0.8, 0, -0.6), the toes
 * are 5 m away along it. A point 1 m above them: (4, 0.5, -2).f = 3.2 + 1.2 = 4.4. */
static void a_tilt_makes_high_points_nearer(void **state)
{
    swt_camera c = {.height_m = 3, .distance_m = 4, .aim = {0, 0, 0}};

    (void)state;
    assert_close(swt_camera_apparent_depth(&c, swt_vec3_make(0, 0.5, 1)), 0.5 * 5 / 4.4, 1e-12,
                 "scaled by 5 / 4.4");
}

/* Far away the lines of sight are parallel: at angle a apparent depth is y cos a - x sin a. */
static void far_away_only_the_angle_matters(void **state)
{
    double a = SWT_RADIANS(10.0);
    swt_camera c = level(1.0, 1e7, 10, 0);

    (void)state;
    assert_close(swt_camera_apparent_depth(&c, swt_vec3_make(-0.5, 0.2, 1)),
                 0.2 * cos(a) + 0.5 * sin(a), 1e-6, "turned to the ball's side, hands at -0.5 m");
}

/* The worst of several points is the same in whatever order they come. */
static void the_worst_point_counts_wherever_it_stands(void **state)
{
    swt_camera c = level(1.0, 4.0, 0, -0.25);
    swt_vec3 point[] = {{0, 0.15, 1.7}, {-0.6, 0.15, 1.7}, {0.1, 0.15, 1.7}};
    const double worst = 0.40 * 4 / 3.4 - 0.40;

    (void)state;
    for (int k = 0; k < 3; k++) {
        swt_vec3 first = point[0];
        assert_close(swt_camera_worst_error(&c, point, 3), worst, 1e-12, "worst");
        point[0] = point[1];
        point[1] = point[2];
        point[2] = first;
    }
}

static void what_is_not_seen_has_no_depth(void **state)
{
    swt_camera c = level(1.0, 2.0, 0, 0);
    swt_vec3 none[1] = {swt_vec3_nan()};

    (void)state;
    assert_true(isnan(swt_camera_apparent_depth(&c, swt_vec3_make(-2.5, 0, 1))));
    assert_true(isnan(swt_camera_apparent_depth(&c, swt_vec3_nan())));
    assert_true(isnan(swt_camera_worst_error(&c, none, 1)));
}

/* Hands in the vertical plane through (0, 0.10) along the target line: a camera in that plane errs
 * by nothing, at any height, and the lowest is named first. */
static void the_best_angle_is_on_the_hands_line(void **state)
{
    const swt_vec3 hands[] = {{-0.7, 0.1, 1.0}, {-0.2, 0.1, 0.8}, {0.3, 0.1, 1.4}};
    swt_camera c = level(1.0, 4.0, 12, 0.1), best;
    double worst = swt_camera_best_place(&best, &c, hands, 3);

    (void)state;
    assert_close(worst, 0, 1e-12, "no error");
    assert_close(best.angle_rad, 0, 1e-12, "angle");
    assert_close(best.height_m, 0.5, 1e-9, "height");
    assert_true(swt_camera_worst_error(&c, hands, 3) > 0.05);
}

/* Hands at the toes' distance, beside the aim point: a camera that is level with what it aims at
 * errs by nothing; any tilt brings one of them nearer than the toes. */
static void the_best_height_is_level(void **state)
{
    const swt_vec3 hands[] = {{0, 0.5, 0.7}, {0, 0.5, 1.3}, {0, -0.3, 1.9}};
    swt_camera c = level(1.0, 4.0, 0, 0.1), best;

    (void)state;
    c.height_m = 2.0;
    assert_true(swt_camera_worst_error(&c, hands, 3) > 0.03);
    assert_close(swt_camera_best_place(&best, &c, hands, 3), 0, 1e-9, "no error");
    assert_close(best.height_m, 1.0, 1e-9, "height");
    assert_close(best.angle_rad, 0, 1e-12, "angle");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(similar_triangles),
        cmocka_unit_test(facing_the_player_the_target_is_right),
        cmocka_unit_test(a_tilt_makes_high_points_nearer),
        cmocka_unit_test(far_away_only_the_angle_matters),
        cmocka_unit_test(the_worst_point_counts_wherever_it_stands),
        cmocka_unit_test(what_is_not_seen_has_no_depth),
        cmocka_unit_test(the_best_angle_is_on_the_hands_line),
        cmocka_unit_test(the_best_height_is_level),
    };
    return cmocka_run_group_tests_name("camera", tests, NULL, NULL);
}
