/* Times the numerical kernels on one core: the least of many repetitions, in milliseconds; and two
 * steps of the disk's side, a capture's bytes read from cache and a swing's numbers written as HDF5
 * by the simplest means. Of them scripts/benchmark makes the floor that it holds the program
 * against.
 */
#include "io/files.h"
#include "kinematics/angle.h"
#include "kinematics/filter.h"
#include "kinematics/pose.h"
#include "tests/support/support.h"

#include <hdf5.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

#define DATASETS                                                                                   \
    84 /* of a swing: 39 series and 45 landmarks; two columns each hold their mean width */
#define WIDTH 2
#define CAPTURE_BYTES (60 * 4 * 4 * 2000)
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
    double *to[CHANNELS];
    const double *from[CHANNELS];
    for (size_t c = 0; c < CHANNELS; c++) {
        to[c] = smooth + c * FRAMES;
        from[c] = block + c * FRAMES;
    }
    check(swt_filter_channels(to, from, CHANNELS, FRAMES, 1500, 240, cutoff, NULL));
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
        swt_pose_fit(pose[s], &cluster, coordinate[s], FRAMES);
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

static char capture[] = "/tmp/benchmark-XXXXXX", study[sizeof capture + 3];
static float single[WIDTH * FRAMES];
static char bytes[CAPTURE_BYTES];

static void make_capture(void)
{
    int file = mkstemp(capture);
    if (file < 0 || write(file, bytes, sizeof bytes) != sizeof bytes || close(file) != 0)
        abort();
    snprintf(study, sizeof study, "%s.h5", capture);
}

static void run_read(void)
{
    FILE *file = fopen(capture, "rb");
    if (!file || fread(bytes, 1, sizeof bytes, file) != sizeof bytes)
        abort();
    fclose(file);
}

static void run_hash(void)
{
    char text[SWT_SHA256_TEXT];
    swt_sha256(text, bytes, sizeof bytes);
}

/* Every series of one swing into a file that is open for some tens of captures. */
static void run_write(void)
{
    static hid_t file = -1;
    static int calls;
    hsize_t size[2] = {FRAMES, WIDTH};
    hid_t space = H5Screate_simple(2, size, NULL);
    char name[32];

    if (file < 0) {
        hid_t access = H5Pcreate(H5P_FILE_ACCESS);
        H5Pset_libver_bounds(access, H5F_LIBVER_V110, H5F_LIBVER_V110);
        file = H5Fcreate(study, H5F_ACC_TRUNC, H5P_DEFAULT, access);
        H5Pclose(access);
    }
    for (int s = 0; s < DATASETS; s++) {
        hid_t set;
        for (int f = 0; f < WIDTH * FRAMES; f++)
            single[f] = (float)block[s * WIDTH * FRAMES + f];
        snprintf(name, sizeof name, "%d-%d", calls, s);
        set = H5Dcreate2(file, name, H5T_IEEE_F32LE, space, H5P_DEFAULT, H5P_DEFAULT, H5P_DEFAULT);
        if (H5Dwrite(set, H5T_NATIVE_FLOAT, H5S_ALL, H5S_ALL, H5P_DEFAULT, single) < 0)
            abort();
        H5Dclose(set);
    }
    H5Sclose(space);
    if (++calls % 32 == 0) {
        H5Fclose(file);
        file = -1;
    }
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
        {"residual analysis, 180 channels x 2000 frames", run_residual, 30},
        {"rigid pose, 10 segments of 5 markers x 2000 frames", run_poses, REPEAT},
        {"angular velocity, 10 segments x 2000 frames", run_angular_velocity, REPEAT},
        {"Cardan angles, 10 segments x 2000 frames", run_angles, REPEAT},
        {"1.9 MB read from cache", run_read, REPEAT},
        {"SHA-256 of 1.9 MB", run_hash, 30},
        {"84 datasets of 2 x 2000 written as HDF5", run_write, 64},
    };

    block = malloc(sizeof *block * CHANNELS * FRAMES);
    smooth = malloc(sizeof *smooth * CHANNELS * FRAMES);
    if (!block || !smooth)
        return 1;
    for (size_t c = 0; c < CHANNELS; c++)
        cutoff[c] = 8 + (double)(c % 17);
    make_markers();
    make_capture();
    for (size_t k = 0; k < sizeof kernels / sizeof *kernels; k++) {
        double least = HUGE_VAL;
        for (int i = 0; i < kernels[k].repeat; i++) {
            double start = now_ms();
            kernels[k].run();
            least = fmin(least, now_ms() - start);
        }
        printf("%-52s %8.3f ms\n", kernels[k].name, least);
    }
    remove(capture);
    remove(study);
    free(block);
    free(smooth);
    return 0;
}
