/* How fast captures are read, beside how fast this machine copies as many bytes from memory to
   memory that is fresh from the system, as a reader's is: the least of some repetitions by the
   clock, so on a quiet machine. The C3D file has 100 MB of 60 points in reals; the same frames as
   VAX, big-endian and integer files; fewer as CSV and BIDS. Argument: a folder for files [.]. */
#include "io/bids/bids_write.h"
#include "io/c3d/c3d_read.h"
#include "io/c3d/c3d_write.h"
#include "io/capture/inspect.h"
#include "io/capture/read.h"
#include "io/csv/csv_read.h"
#include "io/csv/csv_write.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

enum { POINTS = 60, FRAMES = 104167, TEXT_FRAMES = 8000, REPEAT = 9 };

static double now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec * 1e-9;
}

static void check(swt_status rc, const swt_error *err)
{
    if (rc != SWT_OK) {
        fprintf(stderr, "%s\n", err->msg);
        exit(1);
    }
}

/** Markers that move by some metres, in mm as single-precision numbers. */
static swt_capture *make(size_t n_frames)
{
    swt_capture *c = swt_capture_new(n_frames, POINTS);
    swt_error err = SWT_ERROR_INIT;
    char label[32];

    if (!c)
        exit(1);
    c->rate_hz = 240;
    check(swt_string_set(&c->unit, "mm", &err), &err);
    for (size_t p = 0; p < POINTS; p++) {
        snprintf(label, sizeof label, "M%02zu", p);
        check(swt_string_set(&c->label[p], label, &err), &err);
    }
    for (size_t i = 0; i < 3 * n_frames * POINTS; i++)
        c->xyz[i] = (double)(float)(1000 * sin(0.001 * (double)(i % 7919)) + (double)(i % 13));
    return c;
}

/* ---- what is timed ---- */

static const unsigned char *block;
static size_t block_size;
static unsigned char *warm;
static char path[4096];

static void copy_to_fresh_memory(void)
{
    unsigned char *to = malloc(block_size);

    if (!to)
        exit(1);
    memcpy(to, block, block_size);
    if (to[block_size / 2] != block[block_size / 2])
        exit(1); /* so that the copy is not left out */
    free(to);
}

static void copy_to_used_memory(void)
{
    memcpy(warm, block, block_size);
}

static void parse_c3d(void)
{
    swt_capture *c;
    swt_error err = SWT_ERROR_INIT;

    check(swt_c3d_parse(&c, block, block_size, &err), &err);
    swt_capture_free(c);
}

static void parse_csv(void)
{
    swt_capture *c;
    swt_error err = SWT_ERROR_INIT;

    check(swt_csv_parse(&c, block, block_size, &err), &err);
    swt_capture_free(c);
}

static void read_file(void)
{
    unsigned char *bytes;
    size_t size;
    swt_error err = SWT_ERROR_INIT;

    check(swt_file_read(&bytes, &size, path, &err), &err);
    free(bytes);
}

static void read_capture(void)
{
    swt_capture *c;
    swt_error err = SWT_ERROR_INIT;

    check(swt_capture_read(&c, path, NULL, &err), &err);
    swt_capture_free(c);
}

static void read_capture_and_hash(void)
{
    swt_capture *c;
    char sha256[SWT_SHA256_TEXT];
    swt_error err = SWT_ERROR_INIT;

    check(swt_capture_read(&c, path, sha256, &err), &err);
    swt_capture_free(c);
}

static void inspect(void)
{
    swt_capture *c;
    swt_error err = SWT_ERROR_INIT;
    FILE *nowhere = fopen("/dev/null", "w");

    if (!nowhere)
        exit(1);
    check(swt_capture_read(&c, path, NULL, &err), &err);
    check(swt_inspect_print(nowhere, c, path, SWT_INSPECT_TEXT, &err), &err);
    swt_capture_free(c);
    fclose(nowhere);
}

/* Another program on the machine slows both alike when they take turns. */
static void least_s(double least[2], void (*run)(void), void (*reference)(void))
{
    least[0] = least[1] = HUGE_VAL;
    for (int i = 0; i < REPEAT; i++) {
        double start = now_s();
        run();
        least[0] = fmin(least[0], now_s() - start);
        start = now_s();
        if (reference)
            reference();
        least[1] = fmin(least[1], now_s() - start);
    }
}

static double tell(const char *what, void (*run)(void), void (*reference)(void))
{
    double s[2];

    least_s(s, run, reference);
    printf("%-52s %8.1f ms %8.0f MB/s", what, 1e3 * s[0], 1e-6 * (double)block_size / s[0]);
    if (reference)
        printf("   %.2f of the copy's speed", s[1] / s[0]);
    putchar('\n');
    fflush(stdout);
    return s[0];
}

static void write_block(const char *folder, const char *name)
{
    FILE *file;

    snprintf(path, sizeof path, "%s/%s", folder, name);
    file = fopen(path, "wb");
    if (!file || fwrite(block, 1, block_size, file) != block_size || fclose(file) != 0)
        exit(1);
}

static const unsigned char *reals;
static size_t reals_size;

static void parse_reals(void)
{
    swt_capture *c;
    swt_error err = SWT_ERROR_INIT;

    check(swt_c3d_parse(&c, reals, reals_size, &err), &err);
    swt_capture_free(c);
}

static unsigned char *format(swt_c3d_options options, const swt_capture *c)
{
    unsigned char *bytes;
    swt_error err = SWT_ERROR_INIT;

    check(swt_c3d_format(&bytes, &block_size, c, &options, &err), &err);
    block = bytes;
    return bytes;
}

/* Reals of this machine's own order, beside the copy. */
static void time_reals(const char *folder)
{
    printf("%.1f MB, %d points, %d frames\n", 1e-6 * (double)block_size, POINTS, FRAMES);
    warm = malloc(block_size);
    if (!warm)
        exit(1);
    memset(warm, 1, block_size);
    tell("memcpy to memory in use", copy_to_used_memory, NULL);
    free(warm);
    tell("memcpy to fresh memory, the copy below", copy_to_fresh_memory, NULL);
    tell("C3D, little-endian reals, from memory", parse_c3d, copy_to_fresh_memory);
    write_block(folder, "benchmark_reading.c3d");
    tell("the file's bytes, from the system's cache", read_file, copy_to_fresh_memory);
    tell("the file as a capture", read_capture, copy_to_fresh_memory);
    tell("and its SHA-256, as import wants it", read_capture_and_hash, copy_to_fresh_memory);
    tell("inspect", inspect, copy_to_fresh_memory);
    unlink(path);
}

static void time_c3d(const char *folder)
{
    static const struct {
        const char *name;
        swt_c3d_options options;
    } form[] = {{"C3D, VAX reals", {SWT_C3D_DEC, false, 0}},
                {"C3D, big-endian reals", {SWT_C3D_SGI, false, 0}},
                {"C3D, little-endian integers", {SWT_C3D_INTEL, true, 0.05}},
                {"C3D, big-endian integers", {SWT_C3D_SGI, true, 0.05}}};
    swt_capture *c = make(FRAMES);
    unsigned char *own = format((swt_c3d_options){SWT_C3D_INTEL, false, 0}, c);

    swt_capture_free(c); /* so that the copy has the memory to itself */
    reals = own;
    reals_size = block_size;
    time_reals(folder);
    for (size_t k = 0; k < sizeof form / sizeof *form; k++) {
        unsigned char *bytes;
        double s[2];
        c = make(FRAMES);
        bytes = format(form[k].options, c);
        swt_capture_free(c);
        least_s(s, parse_c3d, parse_reals);
        printf("%-52s %8.1f ms %8.0f MB/s   %.2f times the time of little-endian reals\n",
               form[k].name, 1e3 * s[0], 1e-6 * (double)block_size / s[0], s[0] / s[1]);
        free(bytes);
    }
    free(own);
}

static void time_text(const char *folder)
{
    static const struct {
        const char *name;
        swt_csv_options options;
    } form[] = {{"CSV, wide", {',', '.', false, false}},
                {"CSV, wide, decimal commas", {';', ',', false, false}},
                {"CSV, long", {',', '.', false, true}}};
    swt_capture *c = make(TEXT_FRAMES);
    swt_error err = SWT_ERROR_INIT;

    for (size_t k = 0; k < sizeof form / sizeof *form; k++) {
        char *text;
        FILE *stream = open_memstream(&text, &block_size);
        if (!stream)
            exit(1);
        check(swt_csv_print(stream, c, &form[k].options, &err), &err);
        fclose(stream);
        block = (unsigned char *)text;
        tell(form[k].name, parse_csv, NULL);
        free(text);
    }
    snprintf(path, sizeof path, "%s/sub-1_task-benchmark_tracksys-o_motion.tsv", folder);
    check(swt_bids_write(path, c, NULL, &err), &err);
    tell("BIDS motion, from a file", read_capture, NULL);
    swt_capture_free(c);
}

int main(int argc, char **argv)
{
    const char *folder = argc > 1 ? argv[1] : ".";

    time_c3d(folder);
    time_text(folder);
    return 0;
}
