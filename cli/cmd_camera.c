/* swathe camera: by how much one video camera misjudges the depth of the hands, and where to put
 * it.
 */
#include "cli/assess.h"
#include "cli/commands.h"
#include "io/report/hands.h"
#include "io/study/selection.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The hands of the swings looked at, and the camera that looks. */
typedef struct camera_case {
    size_t n;
    size_t *row;
    swt_vec3 *hands; /* n * SWT_HANDS_EVENTS */
    swt_vec3 *aim;   /* n                    */
    double *column;  /* n                    */
    swt_camera camera;
} camera_case;

static void release(camera_case *c)
{
    free(c->row);
    free(c->hands);
    free(c->aim);
    free(c->column);
}

/* `swing` alone, or where that is negative all that are `chosen` (NULL: all there are). */
static swt_status acquire(camera_case *c, const swt_study *study, long swing, const bool *chosen,
                          swt_camera_aim aim, swt_error *err)
{
    const size_t most = study->n_swings + 1;
    swt_vec3 at[SWT_EVENT_COUNT];
    swt_status rc = SWT_OK;

    c->row = calloc(most, sizeof *c->row);
    c->hands = calloc(most * SWT_HANDS_EVENTS, sizeof *c->hands);
    c->aim = calloc(most, sizeof *c->aim);
    c->column = calloc(most, sizeof *c->column);
    if (!c->row || !c->hands || !c->aim || !c->column)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; i < study->n_swings; i++)
        if (swing >= 0 ? i == (size_t)swing : !chosen || chosen[i])
            c->row[c->n++] = i;
    for (size_t k = 0; rc == SWT_OK && k < c->n; k++) {
        rc = swt_hands_at_events(at, study, c->row[k], err);
        for (size_t e = 0; rc == SWT_OK && e < SWT_HANDS_EVENTS; e++)
            c->hands[k * SWT_HANDS_EVENTS + e] = at[swt_hands_events[e]];
        if (rc == SWT_OK)
            c->aim[k] = swt_camera_aim_point(aim, at);
    }
    return rc;
}

/* A camera does not move from swing to swing: it aims at the median of what it would aim at. */
static void point_camera(camera_case *c)
{
    double *to[] = {&c->camera.aim.x, &c->camera.aim.y, &c->camera.aim.z};

    for (size_t axis = 0; axis < 3; axis++) {
        for (size_t k = 0; k < c->n; k++)
            c->column[k] = axis == 0 ? c->aim[k].x : axis == 1 ? c->aim[k].y : c->aim[k].z;
        *to[axis] = swt_median(c->column, c->n);
    }
}

/* Whole millimetres, without a sign before nought. */
static double in_mm(double length_m)
{
    double mm = round(1000 * length_m);

    return mm == 0 ? 0 : mm;
}

static void print_event(camera_case *c, size_t e)
{
    double depth, seen, worst = nan("");
    size_t n = 0;

    for (size_t k = 0; k < c->n; k++)
        c->column[k] = c->hands[k * SWT_HANDS_EVENTS + e].y;
    depth = swt_median(c->column, c->n);
    for (size_t k = 0; k < c->n; k++) {
        swt_vec3 at = c->hands[k * SWT_HANDS_EVENTS + e];
        c->column[k] = swt_camera_apparent_depth(&c->camera, at) - at.y;
        if (isfinite(c->column[k]) && !(fabs(c->column[k]) <= fabs(worst)))
            worst = c->column[k];
        n += isfinite(c->column[k]) != 0;
    }
    seen = depth + swt_median(c->column, c->n);
    if (n == 0)
        printf("%-24s %10s %10s %10s %10s %7d\n", swt_event_title(swt_hands_events[e]), "-", "-",
               "-", "-", 0);
    else
        printf("%-24s %10.0f %10.0f %+10.0f %+10.0f %7zu\n", swt_event_title(swt_hands_events[e]),
               in_mm(depth), in_mm(seen), in_mm(seen - depth), in_mm(worst), n);
}

static void print_place(const swt_camera *camera)
{
    swt_vec3 at = swt_camera_position(camera);

    printf("%.2f m high, %.2f m from what it aims at, %.0f deg to the target line; its lens is "
           "%.2f m %s the middle of the feet and %.0f mm %s the toe line",
           camera->height_m, camera->distance_m, SWT_DEGREES(camera->angle_rad), fabs(at.x),
           at.x < 0 ? "behind" : "beyond", 1000 * fabs(at.y), at.y < 0 ? "in front of" : "behind");
}

static int look(const swt_cli_command *self, const char *path, long swing, const char *only,
                swt_camera_aim aim, const swt_camera *camera)
{
    camera_case c = {.camera = *camera};
    swt_study *study = NULL;
    bool *chosen = NULL;
    swt_error err = SWT_ERROR_INIT;
    swt_camera best;
    double worst, least;
    char name[300];
    int code = swt_cli_open_measured(&study, self, path);

    if (code == SWT_CLI_GO_ON && swing >= 0 && (size_t)swing >= study->n_swings)
        code = swt_cli_fail(self, SWT_EXIT_USAGE,
                            "--swing %ld: the study has swings 0 to %zu (the number in its tables)",
                            swing, study->n_swings - 1);
    if (code != SWT_CLI_GO_ON)
        goto done;
    code = SWT_EXIT_NO_INPUT;
    if (swt_selection_choose(&chosen, study, only, &err) != SWT_OK ||
        acquire(&c, study, swing, chosen, aim, &err) != SWT_OK) {
        swt_cli_fail(self, code, "%s", err.msg);
        goto done;
    }
    point_camera(&c);
    worst = swt_camera_worst_error(&c.camera, c.hands, c.n * SWT_HANDS_EVENTS);
    if (!isfinite(worst)) {
        swt_cli_fail(self, code,
                     "this camera sees the hands at none of the events: they are absent, or it "
                     "stands too near");
        goto done;
    }
    code = SWT_EXIT_ALL_DONE;
    if (swing >= 0)
        printf("%s (swing %ld of the tables)\n",
               swt_study_swing_name(name, sizeof name, study, (size_t)swing), swing);
    else
        printf("%zu swing%s%s%s: medians, and the one swing that is misjudged most\n", c.n,
               c.n == 1 ? "" : "s", only ? " with " : "", only ? only : "");
    printf("camera ");
    print_place(&c.camera);
    printf("\n\n%-24s %10s %10s %10s %10s %7s\n", "hands, mm behind the toes", "depth", "as seen",
           "off by", "at most", "swings");
    for (size_t e = 0; e < SWT_HANDS_EVENTS; e++)
        print_event(&c, e);
    least = swt_camera_best_place(&best, &c.camera, c.hands, c.n * SWT_HANDS_EVENTS);
    printf("\nhere off by up to %.0f mm; at the same distance least, up to %.0f mm, with the "
           "camera ",
           1000 * worst, 1000 * least);
    print_place(&best);
    printf("\n");
done:
    free(chosen);
    release(&c);
    swt_study_close(study);
    return code;
}

int swt_cmd_camera(const swt_cli_command *self, int argc, char **argv)
{
    double height = 1.0, distance = 4.0, angle = 0;
    long swing = -1;
    char *aim = NULL, *only = NULL;
    const struct poptOption options[] = {
        {"height", '\0', POPT_ARG_DOUBLE, &height, 0, "of the lens above the floor", "M"},
        {"distance", '\0', POPT_ARG_DOUBLE, &distance, 0, "over the floor to what it aims at", "M"},
        {"angle", '\0', POPT_ARG_DOUBLE, &angle, 0,
         "0 looks along the target line from behind, 90 faces the player", "DEG"},
        {"aim", '\0', POPT_ARG_STRING, &aim, 0,
         "hands (at address) or toes (the toe line, at that height) [hands]", "POINT"},
        SWT_CLI_ONLY(only),
        {"swing", '\0', POPT_ARG_LONG, &swing, 0,
         "one swing, by its number in the tables; -1 is all of them", "N"},
        POPT_TABLEEND,
    };
    swt_cli_line line;
    int code = swt_cli_begin(&line, self, argc, argv, options, 1, 1);

    if (code == SWT_CLI_GO_ON && aim && strcmp(aim, "hands") != 0 && strcmp(aim, "toes") != 0)
        code = swt_cli_usage(self, "--aim %s: hands or toes", aim);
    if (code == SWT_CLI_GO_ON && !(height > 0 && height <= 20))
        code = swt_cli_usage(self, "--height %g: more than 0 and at most 20 m", height);
    if (code == SWT_CLI_GO_ON && !(distance > 0 && distance <= 100))
        code = swt_cli_usage(self, "--distance %g: more than 0 and at most 100 m", distance);
    if (code == SWT_CLI_GO_ON && !(fabs(angle) <= 180))
        code = swt_cli_usage(self, "--angle %g: -180 to 180 deg", angle);
    if (code == SWT_CLI_GO_ON && swing >= 0 && only)
        code = swt_cli_usage(self, "--swing and --only exclude each other");
    if (code == SWT_CLI_GO_ON && swing < -1)
        code = swt_cli_usage(self, "--swing %ld: the number of a swing, from 0", swing);
    if (code == SWT_CLI_GO_ON) {
        const swt_camera camera = {
            .height_m = height, .distance_m = distance, .angle_rad = SWT_RADIANS(angle)};
        code = look(self, line.operand[0], swing, only,
                    aim && strcmp(aim, "toes") == 0 ? SWT_AIM_TOES : SWT_AIM_HANDS, &camera);
    }
    swt_cli_end(&line);
    return code;
}
