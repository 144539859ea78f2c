/* Counts the blocks of memory that one analysis asks for, with 1,000 frames and with 2,000: a frame
 * must cost none. Prints one line; fails where the count grows with the frames. */
#include "kinematics/swings.h"
#include "tests/support/trial.h"

#include <stdio.h>
#include <stdlib.h>

/* glibc's own, under the names by which a program may count what passes through. */
extern void *__libc_malloc(size_t size);
extern void *__libc_calloc(size_t n, size_t size);
extern void *__libc_realloc(void *block, size_t size);

static size_t count;

void *malloc(size_t size)
{
    count++;
    return __libc_malloc(size);
}

void *calloc(size_t n, size_t size)
{
    count++;
    return __libc_calloc(n, size);
}

void *realloc(void *block, size_t size)
{
    count++;
    return __libc_realloc(block, size);
}

/** Blocks that binding and analysing a swing of so many frames take. */
static size_t blocks(size_t n_frames)
{
    swt_model_player player = swt_model_player_default(1.80);
    swt_model_swing swing = swt_model_swing_default("driver");
    swt_model_recording recording = trial_recording();
    swt_analysis_options options;
    swt_capture *capture = NULL;
    swt_model_truth *truth = NULL;
    swt_landmark_set *set = NULL;
    swt_marker_map map;
    swt_findings findings = {0};
    swt_swing **found = NULL;
    swt_error err = SWT_ERROR_INIT;
    size_t n = 0, before;
    swt_status rc;

    recording.noise_m = 0.0005;
    swing.quiet_s = 1.5;
    swing.hold_s = (double)n_frames / recording.rate_hz; /* enough, and cut below */
    rc = swt_model_capture(&capture, &truth, &player, &swing, &recording, &err);
    if (rc == SWT_OK) {
        capture->n_frames = n_frames;
        rc = trial_bind(&set, &map, capture, &player, &recording, NULL, 0, &findings, &err);
    }
    swt_analysis_options_init(&options);
    options.uncertainty_replicates = 0;
    before = count;
    if (rc == SWT_OK)
        rc = swt_analyse_capture(&found, &n, set, NULL, &map, SWT_RIGHT_HANDED, &options, &findings,
                                 &err);
    before = count - before;
    if (rc != SWT_OK || n != 1) {
        fprintf(stderr, "benchmark_allocations: %s\n", rc == SWT_OK ? "not one swing" : err.msg);
        exit(1);
    }
    return before; /* the program ends: nothing is freed */
}

int main(void)
{
    size_t few = blocks(1000), many = blocks(2000);

    printf("blocks of memory an analysis: %zu with 1000 frames, %zu with 2000\n", few, many);
    return many < few + 50 ? 0 : 1;
}
