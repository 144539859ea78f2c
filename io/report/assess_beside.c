/* Corridors beside the family: of the time warp, of curves over the club head's travel, and of the
 * transition shift over hand height. They say again, in another way, what curves and times say, so
 * they are a family of their own. */
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
        rc = swt_corridor_family_factor(&a->beside_factor, NULL, list, usable,
                                        a->options.corridor.coverage, err);
    return rc;
}

static swt_status compare(swt_assessed_swing *s, const swt_assessment *a, size_t index,
                          const double *curve, swt_error *err)
{
    const swt_departure_context context = {.measure = index, .family_factor = a->beside_factor};
    swt_departure *list = NULL, *more;
    size_t n = 0;
    swt_status rc =
        swt_departure_find(&list, &n, NULL, a->beside[index].corridor, curve, &context, err);

    if (rc == SWT_OK && n > 0) {
        more = realloc(s->beside, (s->n_beside + n) * sizeof *more);
        if (!more)
            rc = swt_fail(err, SWT_ENOMEM, "out of memory");
        for (size_t i = 0; more && i < n; i++)
            more[s->n_beside++] = list[i];
        if (more)
            s->beside = more;
    }
    free(list);
    return rc;
}

swt_status assess_beside(swt_assessment *a, const swt_study *study, swt_error *err)
{
    size_t n = a->n_swings > a->n_reference ? a->n_swings : a->n_reference;
    double *values = calloc(n * SWT_CURVE_SAMPLES + 1, sizeof *values);
    double *room = calloc(n * SWT_CURVE_SAMPLES + 1, sizeof *room);
    size_t *row = calloc(n + 1, sizeof *row);
    swt_status rc = SWT_OK;

    a->beside = calloc(KINDS, sizeof *a->beside);
    a->beside_factor = nan("");
    if (!values || !room || !row || !a->beside)
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    if (rc == SWT_OK && a->n_reference > 0)
        rc = build(a, study, values, room, err);
    for (size_t i = 0; rc == SWT_OK && i < a->n_swings; i++)
        row[i] = a->swing[i].swing;
    for (size_t b = 0; rc == SWT_OK && b < a->n_beside && a->n_swings > 0; b++) {
        if (a->beside[b].corridor->state == SWT_CORRIDOR_REFUSED)
            continue;
        rc = read_values(values, room, &a->beside[b], study, row, a->n_swings, err);
        for (size_t p = 0; p < a->n_players; p++)
            for (size_t k = a->player[p].first; rc == SWT_OK && a->player[p].alike &&
                                                k < a->player[p].first + a->player[p].n_swings;
                 k++)
                rc = compare(&a->swing[k], a, b, values + k * samples_of(&a->beside[b]), err);
    }
    free(values);
    free(room);
    free(row);
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
