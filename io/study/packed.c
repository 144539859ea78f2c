#include "io/study/packed.h"

#include <stdlib.h>
#include <string.h>

/* One block: the struct, then single-precision numbers, then a byte of origin a frame. */
static size_t count_series(const swt_swing *swing)
{
    size_t n = 0;

    for (int s = 0; s < SWT_SERIES_COUNT; s++)
        n += swing->series[s] != NULL;
    return n;
}

static size_t count_landmarks(const swt_swing *swing)
{
    size_t n = 0;

    for (int i = 0; i < SWT_LANDMARK_COUNT; i++)
        n += swing->body && swing->body->present[i];
    return n;
}

static void pack_series(float *restrict to, const double *restrict from, size_t n)
{
    for (size_t f = 0; f < n; f++)
        to[f] = (float)from[f];
}

static void pack_landmark(float *restrict to, double *const axis[3], size_t n)
{
    const double *restrict x = axis[0], *restrict y = axis[1], *restrict z = axis[2];

    for (size_t f = 0; f < n; f++) {
        to[3 * f] = (float)x[f];
        to[3 * f + 1] = (float)y[f];
        to[3 * f + 2] = (float)z[f];
    }
}

swt_status swt_packed_new(swt_packed **out, const swt_swing *swing, swt_error *err)
{
    size_t n = swing->n_frames, n_landmarks = count_landmarks(swing);
    size_t numbers = (count_series(swing) + 3 * n_landmarks) * n;
    swt_packed *packed = malloc(sizeof *packed + numbers * sizeof(float) + n_landmarks * n);
    unsigned char *origin;
    float *at;

    *out = packed;
    if (!packed)
        return swt_fail(err, SWT_ENOMEM, "out of memory for %zu frames", n);
    memset(packed, 0, sizeof *packed);
    at = (float *)(void *)(packed + 1);
    origin = (unsigned char *)(at + numbers);
    for (int s = 0; s < SWT_SERIES_COUNT; s++) {
        if (!swing->series[s])
            continue;
        packed->series[s] = at;
        pack_series(at, swing->series[s], n);
        at += n;
    }
    for (int i = 0; i < SWT_LANDMARK_COUNT; i++) {
        if (!swing->body || !swing->body->present[i])
            continue;
        packed->body[i] = at;
        pack_landmark(at, swing->body->axis[i], n);
        at += 3 * n;
        packed->origin[i] = origin;
        memcpy(origin, swing->body->origin[i], n);
        origin += n;
    }
    return SWT_OK;
}

void swt_packed_free(swt_packed *packed)
{
    free(packed);
}
