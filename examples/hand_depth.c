/* Prints how deep and how high the hands are at three instants of the swing in a capture.
 *
 *   cc -std=c17 hand_depth.c -o hand_depth $(pkg-config --cflags --libs swathe gsl)
 *   ./hand_depth capture.c3d map.ini right
 *
 * With CMake: find_package(swathe), find_package(GSL), and the targets swathe::libswathe and
 * GSL::gsl.
 */
#include <swathe.h>

#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

static void print(const swt_swing *swing)
{
    static const char *const names[] = {
        "hand_depth_at_shaft_level_backswing",
        "hand_height_at_shaft_level_backswing",
        "hand_depth_at_lead_arm_level_backswing",
        "hand_height_at_lead_arm_level_backswing",
        "hand_depth_at_club_top",
        "hand_height_at_club_top",
    };

    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        long row = swt_measure_find(names[i]);
        const swt_measurement *m;
        char why[160];

        if (row < 0)
            continue; /* a measure of another version */
        m = &swing->measure[row];
        if (isnan(m->value))
            printf("%-40s absent: %s\n", names[i], swt_reason_text(why, sizeof why, m->verdict));
        else
            printf("%-40s %7.1f mm, standard uncertainty %.1f mm\n", names[i], 1000 * m->value,
                   1000 * m->sd);
    }
}

int main(int argc, char **argv)
{
    swt_error err = SWT_ERROR_INIT;
    swt_marker_map map;
    swt_capture *capture = NULL;
    swt_landmark_set *landmarks = NULL;
    swt_swing *swing = NULL;
    swt_findings findings = {0};
    swt_analysis_options options;
    swt_handedness side;
    swt_status status;

    if (argc != 4) {
        fprintf(stderr, "Usage: hand_depth CAPTURE MAP right|left\n");
        return 2;
    }
    side = strcmp(argv[3], "left") == 0 ? SWT_LEFT_HANDED : SWT_RIGHT_HANDED;
    gsl_set_error_handler_off();
    swt_analysis_options_init(&options);
    status = swt_map_ini_read(&map, NULL, argv[2], &err);
    if (status == SWT_OK)
        status = swt_capture_read(&capture, argv[1], NULL, &err);
    if (status == SWT_OK)
        status = swt_marker_map_bind(&landmarks, &map, capture, side, &findings, &err);
    if (status == SWT_OK)
        status = swt_analyse(&swing, landmarks, NULL, &map, side, &findings, &options, &err);
    if (status == SWT_OK)
        print(swing);
    else
        fprintf(stderr, "hand_depth: %s\n", err.msg);
    swt_swing_free(swing);
    swt_landmark_set_free(landmarks);
    swt_capture_free(capture);
    swt_marker_map_reset(&map);
    return status != SWT_OK;
}
