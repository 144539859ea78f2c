#include "kinematics/landmark.h"

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

static const struct {
    const char *name, *key, *what;
} table[SWT_LANDMARK_COUNT] = {
#define X(id, key, what) {"lead." key, key, what}, {"trail." key, key, what},
    SWT_SIDED_LANDMARKS(X)
#undef X
#define X(id, key, what) {key, key, what},
        SWT_SINGLE_LANDMARKS(X)
#undef X
};

const char *swt_landmark_name(swt_landmark landmark)
{
    return landmark < SWT_LANDMARK_COUNT ? table[landmark].name : "?";
}

const char *swt_landmark_description(swt_landmark landmark)
{
    return landmark < SWT_LANDMARK_COUNT ? table[landmark].what : "?";
}

char *swt_landmark_words(char *out, size_t size, swt_landmark landmark)
{
    const char *what = swt_landmark_description(landmark), *plain = strchr(what, '(');

    if (plain)
        snprintf(out, size, "%s %.*s", swt_landmark_name(landmark), (int)strcspn(plain, ")") + 1,
                 plain);
    else
        snprintf(out, size, "%s", swt_landmark_name(landmark));
    return out;
}

swt_landmark swt_landmark_from_key(const char *key, swt_handedness side)
{
    int offset = -1;
    const char *rest = key;

    if (strncasecmp(key, "left.", 5) == 0) {
        offset = side == SWT_RIGHT_HANDED ? 0 : 1;
        rest = key + 5;
    } else if (strncasecmp(key, "right.", 6) == 0) {
        offset = side == SWT_RIGHT_HANDED ? 1 : 0;
        rest = key + 6;
    }
    if (offset >= 0) {
        for (int i = 0; i < SWT_FIRST_SINGLE; i += 2)
            if (strcasecmp(table[i].key, rest) == 0)
                return (swt_landmark)(i + offset);
    } else {
        for (int i = SWT_FIRST_SINGLE; i < SWT_LANDMARK_COUNT; i++)
            if (strcasecmp(table[i].key, key) == 0)
                return (swt_landmark)i;
    }
    return SWT_LANDMARK_COUNT;
}

swt_status swt_landmark_set_new_unset(swt_landmark_set **out, size_t n_frames, double rate_hz,
                                      const bool present[SWT_LANDMARK_COUNT], swt_error *err)
{
    swt_landmark_set *set;
    size_t count = 0;
    double *coordinate;
    unsigned char *origin;

    *out = NULL;
    for (int i = 0; i < SWT_LANDMARK_COUNT; i++)
        count += present[i];
    if (n_frames == 0 || count == 0 || n_frames > SIZE_MAX / (count * 4 * sizeof(double)))
        return swt_fail(err, SWT_EARG, "no frames or no landmarks");
    /* One block: the struct, then all coordinates, then all flags. */
    set = malloc(sizeof *set + count * n_frames * (3 * sizeof(double) + 1));
    if (!set)
        return swt_fail(err, SWT_ENOMEM, "out of memory for %zu frames", n_frames);
    memset(set, 0, sizeof *set);
    coordinate = (double *)(void *)(set + 1);
    origin = (unsigned char *)(coordinate + 3 * count * n_frames);
    set->n_frames = n_frames;
    set->rate_hz = rate_hz;
    for (int i = 0; i < SWT_LANDMARK_COUNT; i++) {
        if (!present[i])
            continue;
        set->present[i] = true;
        for (int k = 0; k < 3; k++, coordinate += n_frames)
            set->axis[i][k] = coordinate;
        set->origin[i] = origin;
        origin += n_frames;
    }
    *out = set;
    return SWT_OK;
}

swt_status swt_landmark_set_new(swt_landmark_set **out, size_t n_frames, double rate_hz,
                                const bool present[SWT_LANDMARK_COUNT], swt_error *err)
{
    swt_status rc = swt_landmark_set_new_unset(out, n_frames, rate_hz, present, err);

    for (int i = 0; rc == SWT_OK && i < SWT_LANDMARK_COUNT; i++) {
        if (!present[i])
            continue;
        for (int k = 0; k < 3; k++)
            for (size_t f = 0; f < n_frames; f++)
                (*out)->axis[i][k][f] = nan("");
        memset((*out)->origin[i], SWT_ORIGIN_MISSING, n_frames);
    }
    return rc;
}

swt_status swt_landmark_set_new_like(swt_landmark_set **out, const swt_landmark_set *set,
                                     swt_error *err)
{
    swt_status rc = swt_landmark_set_new_unset(out, set->n_frames, set->rate_hz, set->present, err);

    if (rc != SWT_OK)
        return rc;
    (*out)->first_frame = set->first_frame;
    (*out)->onsets = set->onsets;
    for (int i = 0; i < SWT_LANDMARK_COUNT; i++)
        if (set->present[i])
            memcpy((*out)->origin[i], set->origin[i], set->n_frames);
    return SWT_OK;
}

swt_status swt_landmark_set_copy(swt_landmark_set **out, const swt_landmark_set *set, size_t first,
                                 size_t n, swt_error *err)
{
    swt_status rc;

    *out = NULL;
    if (first > set->n_frames || n > set->n_frames - first)
        return swt_fail(err, SWT_EARG, "frames %zu to %zu of %zu", first, first + n, set->n_frames);
    rc = swt_landmark_set_new_unset(out, n, set->rate_hz, set->present, err);
    if (rc != SWT_OK)
        return rc;
    (*out)->first_frame = set->first_frame + first;
    (*out)->onsets = set->onsets;
    for (int i = 0; i < SWT_LANDMARK_COUNT; i++) {
        if (!set->present[i])
            continue;
        for (int k = 0; k < 3; k++)
            memcpy((*out)->axis[i][k], set->axis[i][k] + first, n * sizeof(double));
        memcpy((*out)->origin[i], set->origin[i] + first, n);
    }
    return SWT_OK;
}

void swt_landmark_set_free(swt_landmark_set *set)
{
    free(set);
}

swt_vec3 swt_landmark_mean(const swt_landmark_set *set, swt_landmark landmark, size_t first,
                           size_t last)
{
    swt_vec3 sum = {0, 0, 0};
    size_t n = 0;

    for (size_t f = first; f <= last && f < set->n_frames; f++) {
        swt_vec3 p = swt_landmark_at(set, landmark, f);
        if (!swt_vec3_is_finite(p))
            continue;
        sum = swt_add(sum, p);
        n++;
    }
    return n > 0 ? swt_scale(sum, 1 / (double)n) : swt_vec3_nan();
}
