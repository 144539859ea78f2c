/* Makes the captures of the speed benchmark: swings of drawn players, each of 60 markers x 2,000
 * frames at 240 Hz in C3D with 0.5 mm of noise, a static capture for each, the sheet and the map.
 *
 *   benchmark_captures FOLDER CAPTURES DIFFERENT
 *
 * DIFFERENT captures are made; the others are hard links to them, under names of their own, so
 * that 10,000 captures lie in the memory of a small machine. */
#include "datasets/generator/model.h"
#include "io/c3d/c3d_write.h"
#include "io/files.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { MARKERS = 60, FRAMES = 2000, STATIC_FRAMES = 240 };
static const double quiet_s = 4, rate_hz = 240;

static void stop(const char *what)
{
    fprintf(stderr, "benchmark_captures: %s\n", what);
    exit(1);
}

/* The first MARKERS points and n_frames frames; the points that no map names lie at the end. */
static void cut(swt_capture *c, size_t n_frames)
{
    if (c->n_points < MARKERS || c->n_frames < n_frames)
        stop("the model's capture is too small");
    for (size_t f = 0; f < n_frames; f++)
        memmove(c->xyz + f * MARKERS * 3, c->xyz + f * c->n_points * 3,
                MARKERS * 3 * sizeof *c->xyz);
    for (size_t p = MARKERS; p < c->n_points; p++) {
        free(c->label[p]);
        free(c->description[p]);
    }
    c->n_points = MARKERS;
    c->n_frames = n_frames;
}

static void make(const char *folder, size_t index)
{
    swt_model_player player = swt_model_player_default(1.70 + 0.002 * (double)(index % 90));
    swt_model_swing swing = swt_model_swing_default("driver");
    swt_model_recording recording = swt_model_recording_default();
    swt_error err = SWT_ERROR_INIT;
    swt_capture *c;
    char path[4300];

    swt_model_draw_player(&player, &swing, 100 + index / 4);
    swt_model_draw_swing(&swing, 5000 + index);
    swing.quiet_s = quiet_s;
    swing.hold_s = (double)FRAMES / rate_hz; /* enough, whatever was drawn */
    recording.noise_m = 0.0005;
    recording.seed = index + 1;
    if (swt_model_capture(&c, NULL, &player, &swing, &recording, &err) != SWT_OK)
        stop(err.msg);
    cut(c, FRAMES);
    snprintf(path, sizeof path, "%s/swing-%05zu.c3d", folder, index);
    if (swt_c3d_write(path, c, NULL, &err) != SWT_OK)
        stop(err.msg);
    cut(c, STATIC_FRAMES); /* the player stands still until the swing begins */
    snprintf(path, sizeof path, "%s/static-%05zu.c3d", folder, index);
    if (swt_c3d_write(path, c, NULL, &err) != SWT_OK)
        stop(err.msg);
    swt_capture_free(c);
}

static void link_to(const char *folder, size_t index, size_t different)
{
    char from[4300], to[4300];

    snprintf(from, sizeof from, "%s/swing-%05zu.c3d", folder, index % different);
    snprintf(to, sizeof to, "%s/swing-%05zu.c3d", folder, index);
    if (link(from, to) != 0)
        stop("cannot make a hard link: is the folder new?");
}

static void write_sheet(const char *folder, size_t n, size_t different)
{
    char path[4300];
    FILE *sheet;

    snprintf(path, sizeof path, "%s/sheet.csv", folder);
    sheet = fopen(path, "w");
    if (!sheet)
        stop("the sheet cannot be written");
    fputs("file,static,player,group,side\n", sheet);
    for (size_t i = 0; i < n; i++)
        fprintf(sheet, "swing-%05zu.c3d,static-%05zu.c3d,P%05zu,players,right\n", i, i % different,
                i / 4);
    if (fclose(sheet) != 0)
        stop("the sheet cannot be written");
}

int main(int argc, char **argv)
{
    swt_error err = SWT_ERROR_INIT;
    size_t n, different;

    if (argc != 4)
        stop("usage: benchmark_captures FOLDER CAPTURES DIFFERENT");
    n = (size_t)strtoul(argv[2], NULL, 10);
    different = (size_t)strtoul(argv[3], NULL, 10);
    if (n == 0 || different == 0)
        stop("at least one capture");
    if (swt_folder_make(argv[1], &err) != SWT_OK)
        stop(err.msg);
    for (size_t i = 0; i < n && i < different; i++)
        make(argv[1], i);
    for (size_t i = different; i < n; i++)
        link_to(argv[1], i, different);
    write_sheet(argv[1], n, different);
    return 0;
}
