/* Corridors beside the family: of the time warp, of curves over the club head's travel, and of the
 * transition shift over hand height. They say again, in another way, what curves and times say, so
 * they are a family of their own; and the hand path's tube, which stands by itself. */
#include "io/report/assessment_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* What early hand depth is made of: the start of the swing is looked at for these alone. */
static const swt_series travelled[] = {SWT_SERIES_HAND_DEPTH, SWT_SERIES_HAND_HEIGHT,
                                       SWT_SERIES_LEAD_ARM_ACROSS_CHEST, SWT_SERIES_THORAX_TURN,
                                       SWT_SERIES_PELVIS_TURN};

enum { KINDS = 2 + sizeof travelled / sizeof *travelled };

static size_t samples_of(const swt_beside *b)
{
    switch (b->kind) {
    case SWT_BESIDE_TRAVEL:
        return SWT_TRAVEL_SAMPLES;
    case SWT_BESIDE_SHIFT:
        return SWT_SHIFT_SAMPLES;
    case SWT_BESIDE_WARP:
        break;
    }
    return SWT_CURVE_SAMPLES;
}

static swt_beside describe(size_t kind)
{
    swt_beside b = {.kind = SWT_BESIDE_WARP,
                    .quantity = SWT_TIME,
                    .name = "time_warp",
                    .title = "time of each registered moment"};

    if (kind == 1)
        b = (swt_beside){.kind = SWT_BESIDE_SHIFT,
                         .quantity = SWT_LENGTH,
                         .name = "transition_shift_over_height",
                         .title = "transition shift over hand height"};
    if (kind > 1) {
        const swt_series_info *info = swt_series_describe(travelled[kind - 2]);
        b = (swt_beside){
            .kind = SWT_BESIDE_TRAVEL, .series = travelled[kind - 2], .quantity = info->quantity};
        snprintf(b.name, sizeof b.name, "%s_over_travel", info->name);
        snprintf(b.title, sizeof b.title, "%s over the club head's travel", info->title);
    }
    return b;
}

/* n * samples_of values; `room` holds the heights, which are not compared. */
static swt_status read_values(double *out, double *room, const swt_beside *b,
                              const swt_study *study, const size_t *swing, size_t n, swt_error *err)
{
    switch (b->kind) {
    case SWT_BESIDE_TRAVEL:
        return swt_study_read_travel_curves(study, b->series, swing, n, out, err);
    case SWT_BESIDE_SHIFT:
        return swt_study_read_shift(study, swing, n, out, room, err);
    case SWT_BESIDE_WARP:
        break;
    }
    return swt_study_read_curve_times(study, swing, n, out, err);
}

static swt_status build(swt_assessment *a, const swt_study *study, double *values, double *room,
                        swt_error *err)
{
    swt_corridor_options options = a->options.corridor;
    const swt_corridor *list[KINDS];
    size_t usable = 0;
    swt_status rc = SWT_OK;

    options.sides = SWT_TWO_SIDED;
    for (size_t kind = 0; rc == SWT_OK && kind < KINDS; kind++) {
        swt_beside *b = &a->beside[a->n_beside];
        bool any = false;
        *b = describe(kind);
        rc = read_values(values, room, b, study, a->reference, a->n_reference, err);
        for (size_t i = 0; rc == SWT_OK && i < a->n_reference * samples_of(b) && !any; i++)
            any = isfinite(values[i]);
        if (rc != SWT_OK || !any)
            continue;
        rc = swt_corridor_build(&b->corridor, values, a->reference_player, a->n_reference,
                                samples_of(b), &options, err);
        if (rc != SWT_OK) {
            swt_error_prefix(err, "corridor of %s", b->title);
            continue;
        }
        a->n_beside++;
        if (b->corridor->state != SWT_CORRIDOR_REFUSED)
            list[usable++] = b->corridor;
    }
    if (rc == SWT_OK && usable > 0)
        rc = swt_corridor_family_factor(&a->beside_factor, &a->beside_false_alone, list, usable,
                                        a->options.corridor.coverage, err);
    return rc;
}

/* When each sample was reached, after takeaway: n * samples_of. The shift is at two times at each
 * height, so it has none. */
static swt_status read_times(double *out, const swt_beside *b, const swt_study *study,
                             const size_t *swing, size_t n, swt_error *err)
{
    switch (b->kind) {
    case SWT_BESIDE_TRAVEL:
        return swt_study_read_travel_times(study, swing, n, out, err);
    case SWT_BESIDE_SHIFT:
        for (size_t i = 0; i < n * SWT_SHIFT_SAMPLES; i++)
            out[i] = nan("");
        return SWT_OK;
    case SWT_BESIDE_WARP:
        break;
    }
    return swt_study_read_curve_times(study, swing, n, out, err);
}

/* One corridor against one swing. */
static swt_status compare_beside(swt_assessed_swing *s, const swt_assessment *a, size_t index,
                                 const double *time_s, const double *curve, swt_error *err)
{
    const swt_departure_context context = {
        .measure = index, .time_s = time_s, .family_factor = a->beside_factor};
    swt_departure *list = NULL;
    size_t n = 0;
    swt_status rc =
        swt_departure_find(&list, &n, NULL, a->beside[index].corridor, curve, &context, err);

    return rc == SWT_OK ? swt_departure_join(&s->beside, &s->n_beside, list, n, err) : rc;
}

/* The tube against one swing: no factor, since it is one path by itself. */
static swt_status compare_path(swt_assessed_swing *s, const swt_assessment *a, const double *time_s,
                               const double *depth, const double *height, swt_error *err)
{
    const swt_departure_context context = {.time_s = time_s};

    return swt_departure_find_path(&s->path, &s->n_path, NULL, a->hand_path, depth, height,
                                   &context, err);
}

typedef struct room {
    size_t *row;
    double *value, *other, *time; /* SWT_CURVE_SAMPLES for each swing */
} room;

/* Corridor `index`, or, from n_beside on, the tube, against every swing that is like the
 * reference. */
static swt_status compare(swt_assessment *a, room *r, const swt_study *study, size_t index,
                          swt_error *err)
{
    bool is_path = index == a->n_beside;
    size_t n = is_path ? SWT_CURVE_SAMPLES : samples_of(&a->beside[index]);
    swt_status rc;

    if (is_path) {
        rc = swt_study_read_curve_times(study, r->row, a->n_swings, r->time, err);
        if (rc == SWT_OK)
            rc = swt_study_read_curves(study, SWT_SERIES_HAND_DEPTH, r->row, a->n_swings, r->value,
                                       err);
        if (rc == SWT_OK)
            rc = swt_study_read_curves(study, SWT_SERIES_HAND_HEIGHT, r->row, a->n_swings, r->other,
                                       err);
    } else {
        rc = read_values(r->value, r->other, &a->beside[index], study, r->row, a->n_swings, err);
        if (rc == SWT_OK)
            rc = read_times(r->time, &a->beside[index], study, r->row, a->n_swings, err);
    }
    for (size_t p = 0; p < a->n_players; p++) {
        size_t end = a->player[p].first + a->player[p].n_swings;
        for (size_t k = a->player[p].first; rc == SWT_OK && a->player[p].alike && k < end; k++) {
            const double *time = r->time + k * n, *value = r->value + k * n;
            rc = is_path ? compare_path(&a->swing[k], a, time, value, r->other + k * n, err)
                         : compare_beside(&a->swing[k], a, index, time, value, err);
        }
    }
    return rc;
}

swt_status assess_beside(swt_assessment *a, const swt_study *study, swt_error *err)
{
    size_t n = a->n_swings > a->n_reference ? a->n_swings : a->n_reference;
    size_t samples = n * SWT_CURVE_SAMPLES + 1;
    room r = {.row = calloc(n + 1, sizeof *r.row),
              .value = calloc(samples, sizeof *r.value),
              .other = calloc(samples, sizeof *r.other),
              .time = calloc(samples, sizeof *r.time)};
    swt_status rc = SWT_OK;

    a->beside = calloc(KINDS, sizeof *a->beside);
    a->beside_factor = a->beside_false_alone = nan("");
    if (!r.value || !r.other || !r.time || !r.row || !a->beside)
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    if (rc == SWT_OK && a->n_reference > 0)
        rc = build(a, study, r.value, r.other, err);
    for (size_t i = 0; rc == SWT_OK && i < a->n_swings; i++)
        r.row[i] = a->swing[i].swing;
    for (size_t b = 0; rc == SWT_OK && b <= a->n_beside && a->n_swings > 0; b++) {
        bool refused = b < a->n_beside
                           ? a->beside[b].corridor->state == SWT_CORRIDOR_REFUSED
                           : !a->hand_path || a->hand_path->state == SWT_CORRIDOR_REFUSED;
        if (!refused)
            rc = compare(a, &r, study, b, err);
    }
    free(r.row);
    free(r.value);
    free(r.other);
    free(r.time);
    return rc;
}

bool swt_beside_is_known(const char *name)
{
    for (size_t kind = 0; kind < KINDS; kind++) {
        swt_beside b = describe(kind);
        if (strcmp(b.name, name) == 0)
            return true;
    }
    return false;
}
