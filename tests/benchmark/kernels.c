/* Times the numerical kernels on one core: the least of many repetitions, in milliseconds. */
#include "kinematics/angle.h"
#include "kinematics/filter.h"
#include "kinematics/pose.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#define FRAMES 2000
#define CHANNELS 180
#define POSES 10
#define MARKERS 5
#define REPEAT 200

static double *block, *smooth;
static double cutoff[CHANNELS];
static const double *coordinate[POSES][3 * MARKERS];
static swt_pose pose[POSES][FRAMES];
static swt_vec3 reference[MARKERS], omega[FRAMES];
static double angle[3][FRAMES];

static double now_ms(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec * 1e3 + (double)t.tv_nsec * 1e-6;
}

static void check(swt_status rc)
{
    if (rc != SWT_OK)
        abort();
}

static void run_filter(void)
{
    check(swt_filter_channels(smooth, block, CHANNELS, FRAMES, 1500, 240, cutoff, NULL));
}
static void run_residual(void)
{
    double fc, sd;
    for (size_t c = 0; c < CHANNELS; c++)
        check(swt_filter_residual_cutoff(&fc, &sd, block + c * FRAMES, FRAMES, 1500, 240, NULL));
}
static void run_poses(void)
{
    swt_cluster cluster = {MARKERS, reference, NULL};
    for (size_t s = 0; s < POSES; s++)
        check(swt_pose_fit(pose[s], &cluster, coordinate[s], FRAMES, NULL));
}
static void run_angular_velocity(void)
{
    for (size_t s = 0; s < POSES; s++)
        check(swt_pose_angular_velocity(omega, pose[s], FRAMES, 1500, 240, NULL));
}
static void run_angles(void)
{
    for (size_t s = 0; s < POSES; s++)
        swt_angle_series(angle[0], angle[1], angle[2], pose[0], pose[s], FRAMES, SWT_SEQUENCE_ZXY,
                         NULL);
}

/** POSES segments of MARKERS markers that turn about a slanting axis, with 0.3 mm of noise. */
static void make_markers(void)
{
    uint64_t seed = 1;

    for (size_t m = 0; m < MARKERS; m++)
        reference[m] = swt_vec3_make(0.2 * draw(&seed), 0.1 * draw(&seed), 0.1 * draw(&seed));
    for (size_t f = 0; f < FRAMES; f++) {
        double a[3] = {2 * sin(0.005 * (double)f), 0.4, 1 - 0.001 * (double)f};
        swt_mat3 r = swt_angle_compose(a, SWT_SEQUENCE_ZXY);
        for (size_t c = 0; c < CHANNELS; c++) {
            swt_vec3 at = swt_rotate(&r, reference[(c / 3) % MARKERS]);
            double value = c % 3 == 0 ? at.x : c % 3 == 1 ? at.y : at.z;
            block[c * FRAMES + f] = 1 + value + 0.0003 * draw_normal(&seed);
        }
    }
    for (size_t s = 0; s < POSES; s++)
        for (size_t k = 0; k < 3 * MARKERS; k++)
            coordinate[s][k] = block + (s * 3 * MARKERS + k) % CHANNELS * FRAMES;
}

int main(void)
{
    static const struct {
        const char *name;
        void (*run)(void);
        int repeat;
    } kernels[] = {
        {"zero-lag filter, 180 channels x 2000 frames", run_filter, REPEAT},
        {"residual analysis, 180 channels x 2000 frames", run_residual, 10},
        {"rigid pose, 10 segments of 5 markers x 2000 frames", run_poses, REPEAT},
        {"angular velocity, 10 segments x 2000 frames", run_angular_velocity, REPEAT},
        {"Cardan angles, 10 segments x 2000 frames", run_angles, REPEAT},
    };

    block = malloc(sizeof *block * CHANNELS * FRAMES);
    smooth = malloc(sizeof *smooth * CHANNELS * FRAMES);
    if (!block || !smooth)
        return 1;
    for (size_t c = 0; c < CHANNELS; c++)
        cutoff[c] = 8 + (double)(c % 17);
    make_markers();
    for (size_t k = 0; k < sizeof kernels / sizeof *kernels; k++) {
        double least = HUGE_VAL;
        for (int i = 0; i < kernels[k].repeat; i++) {
            double start = now_ms();
            kernels[k].run();
            least = fmin(least, now_ms() - start);
        }
        printf("%-52s %8.3f ms\n", kernels[k].name, least);
    }
    free(block);
    free(smooth);
    return 0;
}
