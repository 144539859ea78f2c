#include "kinematics/bind.h"

#include "kinematics/impact_channel.h"

#include <gsl/gsl_statistics_double.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The part of a recorded label that the map's labels are compared with, or NULL. */
static const char *label_after_prefix(const char *label, const char *prefix)
{
    size_t length = strlen(prefix);

    if (length == 0)
        return label;
    if (strcmp(prefix, "*:") == 0) {
        const char *colon = strrchr(label, ':');
        return colon ? colon + 1 : label;
    }
    return strncmp(label, prefix, length) == 0 ? label + length : NULL;
}

static const char *point_name(const swt_marker_map *map, const swt_capture *capture, size_t point)
{
    const char *text =
        map->labels_from_descriptions ? capture->description[point] : capture->label[point];
    return label_after_prefix(text, map->prefix);
}

static long find_point(const swt_marker_map *map, const swt_capture *capture, const char *label,
                       swt_findings *findings)
{
    long found = -1;

    for (size_t p = 0; p < capture->n_points; p++) {
        const char *name = point_name(map, capture, p);
        if (!name || strcmp(name, label) != 0)
            continue;
        if (found >= 0) {
            swt_findings_add(findings, SWT_CAUTION, "label_twice",
                             "Label \"%s\" stands for two points (numbers %ld and %zu); the first "
                             "is used. With several subjects in one file, name the subject's "
                             "prefix in the map.",
                             label, found + 1, p + 1);
            break;
        }
        found = (long)p;
    }
    return found;
}

/* File axes -> right-handed axes with z up, x towards the target where the map names its axis.
 * Row i of the result is the outgoing axis i, written in file axes. */
static swt_status axes_matrix(swt_mat3 *m, const swt_marker_map *map, swt_error *err)
{
    int up = abs(map->up) - 1, target = map->target ? abs(map->target) - 1 : (up + 1) % 3, side;
    double want = map->axes_left_handed ? -1 : 1, sign;

    if (up < 0 || up > 2 || target > 2 || target == up)
        return swt_fail(err, SWT_EARG,
                        "the up axis and the target axis must be two different axes");
    side = 3 - up - target;
    memset(m, 0, sizeof *m);
    m->m[2][up] = map->up > 0 ? 1 : -1;
    m->m[0][target] = map->target < 0 ? -1 : 1;
    m->m[1][side] = 1;
    sign = swt_dot(swt_cross(swt_vec3_make(m->m[0][0], m->m[0][1], m->m[0][2]),
                             swt_vec3_make(m->m[1][0], m->m[1][1], m->m[1][2])),
                   swt_vec3_make(m->m[2][0], m->m[2][1], m->m[2][2]));
    m->m[1][side] = sign * want;
    return SWT_OK;
}

static void note_missing_entry(const swt_marker_map *map, const swt_capture *capture,
                               const swt_map_entry *entry, const bool *used, swt_findings *findings)
{
    const char *nearest = NULL;
    size_t best = strlen(entry->label[0]) > 4 ? 3 : 2; /* one or two edits, no wild guesses */

    for (size_t p = 0; p < capture->n_points; p++) {
        const char *name = point_name(map, capture, p);
        size_t distance;
        if (used[p] || !name)
            continue;
        distance = swt_label_distance(name, entry->label[0]);
        if (distance < best) {
            best = distance;
            nearest = name;
        }
    }
    swt_findings_add(findings, SWT_NOTE, "landmark_missing",
                     "%s: no label \"%s\" in the capture (map line %d)%s%s%s.", entry->key,
                     entry->label[0], entry->line,
                     nearest ? "; the nearest label left over is \"" : "", nearest ? nearest : "",
                     nearest ? "\"" : "");
}

/* One entry bound to the points that carry its labels; n = 0 when there are none. */
typedef struct binding {
    swt_landmark landmark;
    long point[SWT_MAP_ALTERNATIVES];
    size_t n;
} binding;

static binding bind_entry(const swt_marker_map *map, const swt_capture *capture,
                          const swt_map_entry *entry, swt_handedness side, swt_findings *findings)
{
    binding b = {swt_landmark_from_key(entry->key, side), {0}, 0};

    for (size_t k = 0; k < entry->n_labels; k++) {
        long point = find_point(map, capture, entry->label[k], findings);
        if (point >= 0)
            b.point[b.n++] = point;
        if (point >= 0 ? !entry->averaged : entry->averaged)
            break;
    }
    if (entry->averaged && b.n != entry->n_labels)
        b.n = 0;
    return b;
}

enum { FRAMES_AT_ONCE = 16 }; /* of a hundred landmarks: they stay in the nearest caches */

/* Where the points of one entry lie in some frames, in the file's unit and axes. */
typedef struct block {
    double axis[3][FRAMES_AT_ONCE];
} block;

/* The sample of one point; NaN where it is not seen. */
static swt_vec3 sample_of(const swt_marker_map *map, const swt_capture *capture, size_t index)
{
    const double *p = capture->xyz + 3 * index;
    bool lost = p[0] == 0 && p[1] == 0 && p[2] == 0; /* how it is told without residuals */

    if (capture->residual && !map->residuals_meaningless)
        lost = lost || capture->residual[index] < 0;
    lost = lost || !isfinite(p[0]) || !isfinite(p[1]) || !isfinite(p[2]);
    return lost ? swt_vec3_nan() : swt_vec3_make(p[0], p[1], p[2]);
}

/* One frame of every entry: of one point, or the sum of several strobed ones. */
static void take_frame(block *blocks, size_t column, const swt_marker_map *map,
                       const swt_capture *capture, const binding *bound, size_t frame)
{
    for (size_t i = 0; i < map->n_entries; i++) {
        swt_vec3 sum = {0, 0, 0};
        for (size_t k = 0; k < bound[i].n; k++)
            sum = swt_add(sum, sample_of(map, capture,
                                         frame * capture->n_points + (size_t)bound[i].point[k]));
        blocks[i].axis[0][column] = sum.x;
        blocks[i].axis[1][column] = sum.y;
        blocks[i].axis[2][column] = sum.z;
    }
}

/* Writes `n` frames of a landmark in metres, its axes turned. */
static void put_block(swt_landmark_set *set, const binding *bound, const block *in,
                      const swt_mat3 *axes, double metres, size_t from, size_t n)
{
    double scale = metres / (double)bound->n;
    unsigned char *origin = set->origin[bound->landmark] + from;

    for (int k = 0; k < 3; k++) {
        const double *m = axes->m[k];
        double *out = set->axis[bound->landmark][k] + from;
        for (size_t f = 0; f < n; f++)
            out[f] = m[0] * (in->axis[0][f] * scale) + m[1] * (in->axis[1][f] * scale) +
                     m[2] * (in->axis[2][f] * scale);
    }
    for (size_t f = 0; f < n; f++)
        origin[f] = isnan(in->axis[0][f]) ? SWT_ORIGIN_MISSING : SWT_ORIGIN_RECORDED;
}

/* Frame by frame in the capture, series by series in the set: in blocks of frames. */
static swt_status fill_set(swt_landmark_set *set, const swt_marker_map *map,
                           const swt_capture *capture, const binding *bound, const swt_mat3 *axes,
                           double metres, swt_error *err)
{
    block *blocks = malloc(map->n_entries * sizeof *blocks);

    if (!blocks)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t from = 0, n; from < capture->n_frames; from += n) {
        n = capture->n_frames - from < FRAMES_AT_ONCE ? capture->n_frames - from : FRAMES_AT_ONCE;
        for (size_t f = 0; f < n; f++)
            take_frame(blocks, f, map, capture, bound, from + f);
        for (size_t i = 0; i < map->n_entries; i++)
            if (bound[i].n > 0)
                put_block(set, &bound[i], &blocks[i], axes, metres, from, n);
    }
    free(blocks);
    return SWT_OK;
}

/* A mapped label that stands under two prefixes belongs to two people. */
static bool is_of_two_subjects(const swt_marker_map *map, const swt_capture *capture, long point)
{
    const char *name = point_name(map, capture, (size_t)point);

    for (size_t p = (size_t)point + 1; p < capture->n_points; p++) {
        const char *other = point_name(map, capture, p);
        if (name && other && strcmp(name, other) == 0 &&
            strcmp(capture->label[p], capture->label[point]) != 0)
            return true;
    }
    return false;
}

/* Of several subjects in a capture, one must be named; so must one that is there. */
static swt_status check_subjects(const swt_marker_map *map, const swt_capture *capture,
                                 const binding *bound, size_t n_bound, swt_error *err)
{
    char list[300];
    size_t n = swt_capture_subjects(list, sizeof list, capture);
    bool chosen = map->prefix[0] != '\0' && strcmp(map->prefix, "*:") != 0;

    if (n == 0 || map->labels_from_descriptions || (chosen && n_bound > 0))
        return SWT_OK;
    if (n_bound == 0)
        return swt_fail(err, SWT_EDATA,
                        "none of the map's %zu labels is in the capture%s%s%s; its labels begin "
                        "with %s: name the subject in the sheet's column \"subject\", or say "
                        "\"prefix\" in the map, [capture]",
                        map->n_entries, chosen ? " with the prefix \"" : "",
                        chosen ? map->prefix : "", chosen ? "\"" : "", list);
    for (size_t i = 0; i < map->n_entries && n > 1; i++)
        for (size_t k = 0; k < bound[i].n; k++)
            if (is_of_two_subjects(map, capture, bound[i].point[k]))
                return swt_fail(err, SWT_EDATA,
                                "the capture holds %zu subjects, and label \"%s\" is that of "
                                "more than one; its labels begin with %s: name the subject in the "
                                "sheet's column \"subject\", or say \"prefix\" in the map, "
                                "[capture]",
                                n, point_name(map, capture, (size_t)bound[i].point[k]), list);
    return SWT_OK;
}

/* Are the map's names where it does not look: in the descriptions, or in the labels? */
static bool fits_elsewhere(const swt_marker_map *map, const swt_capture *capture)
{
    swt_marker_map other = *map;

    other.labels_from_descriptions = !map->labels_from_descriptions;
    for (size_t p = 0; p < capture->n_points; p++) {
        const char *name = point_name(&other, capture, p);
        for (size_t i = 0; name && i < map->n_entries; i++)
            for (size_t k = 0; k < map->entry[i].n_labels; k++)
                if (strcmp(map->entry[i].label[k], name) == 0)
                    return true;
    }
    return false;
}

static swt_status fail_unbound(const swt_marker_map *map, const swt_capture *capture,
                               swt_error *err)
{
    bool described = map->labels_from_descriptions;

    if (fits_elsewhere(map, capture))
        return swt_fail(err, SWT_EDATA,
                        "none of the map's %zu labels is among the capture's point %s, but its "
                        "point %s hold some: say \"labels = %s\" under [capture] in the map",
                        map->n_entries, described ? "descriptions" : "labels",
                        described ? "labels" : "descriptions",
                        described ? "labels" : "descriptions");
    return swt_fail(err, SWT_EDATA,
                    "none of the map's %zu labels is in the capture, whose first %s is \"%s\": is "
                    "it the right map?",
                    map->n_entries, described ? "point description" : "label",
                    described ? capture->description[0] : capture->label[0]);
}

static void note_left_over(const swt_marker_map *map, const swt_capture *capture, const bool *used,
                           swt_findings *findings)
{
    char list[200] = "";
    size_t count = 0, length = 0;

    for (size_t p = 0; p < capture->n_points; p++) {
        const char *name = point_name(map, capture, p);
        if (used[p] || (capture->is_computed && capture->is_computed[p]))
            continue;
        count++;
        if (length < sizeof list - 1)
            length +=
                (size_t)snprintf(list + length, sizeof list - length, "%s%s", count > 1 ? ", " : "",
                                 name && *name ? name : capture->label[p]);
    }
    if (count > 0)
        swt_findings_add(findings, SWT_NOTE, "labels_left_over",
                         "%zu %s in the capture and not in the map: %s%s", count,
                         count == 1 ? "label is" : "labels are", list,
                         length >= sizeof list - 1 ? "..." : ".");
}

static double metres_of(const swt_marker_map *map, const swt_capture *capture,
                        swt_findings *findings)
{
    double metres = swt_metres_per_unit(capture->unit);

    if (metres > 0)
        return metres;
    if (map->metres_per_unit > 0)
        swt_findings_add(findings, SWT_NOTE, "unit_from_map",
                         "The capture states %s%s%s; the unit is taken from the map.",
                         *capture->unit ? "an unknown length unit (\"" : "no length unit",
                         capture->unit, *capture->unit ? "\")" : "");
    return map->metres_per_unit;
}

static void check_residuals(const swt_marker_map *map, const swt_capture *capture,
                            swt_findings *findings)
{
    size_t n = capture->n_frames * capture->n_points;
    bool placed = false;

    for (size_t i = 0; capture->residual && i < n; i++) {
        const double *p = capture->xyz + 3 * i;
        if (!(capture->residual[i] < 0))
            return;
        placed = placed || (isfinite(p[0]) && (p[0] != 0 || p[1] != 0 || p[2] != 0));
    }
    if (!placed)
        return;
    if (map->residuals_meaningless)
        swt_findings_add(findings, SWT_CAUTION, "residuals_all_negative",
                         "Every residual in the file is negative, which declares every sample "
                         "invalid, although coordinates are there; they are used because the map "
                         "says that residuals are meaningless. Lost samples can't be told apart.");
    else
        swt_findings_add(findings, SWT_SERIOUS, "residuals_all_negative",
                         "Every residual in the file is negative, which declares every sample "
                         "invalid, although coordinates are there. If the recording system wrote "
                         "no true residuals, say \"residuals = meaningless\" under [capture].");
}

/* Median of the finite samples, of one in `stride`; NaN for none. `room` holds n values. */
static double median_of(const double *x, size_t n, size_t stride, double *room)
{
    size_t finite = 0;

    for (size_t f = 0; f < n; f += stride)
        if (isfinite(x[f]))
            room[finite++] = x[f];
    if (finite == 0)
        return nan("");
    return gsl_stats_select(room, 1, finite, finite / 2);
}

/* How far apart the landmarks rest (medians, so that a stray sample says nothing) must be a
 * person's size: a wrong length unit would give numbers that look right in all but size. */
static swt_status check_size(const swt_landmark_set *set, swt_error *err)
{
    double low[3] = {HUGE_VAL, HUGE_VAL, HUGE_VAL}, high[3] = {-HUGE_VAL, -HUGE_VAL, -HUGE_VAL};
    double widest = 0, *room = malloc(set->n_frames * sizeof *room);
    size_t stride = 1 + set->n_frames / 60; /* so many samples tell a person from a house */
    int judged = 0;

    if (!room)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (int i = 0; i < SWT_LANDMARK_COUNT; i++) {
        if (!set->present[i] || i == SWT_BALL || i == SWT_TARGET)
            continue;
        for (int k = 0; k < 3; k++) {
            double v = median_of(set->axis[i][k], set->n_frames, stride, room);
            low[k] = fmin(low[k], v); /* fmin and fmax pass over a NaN */
            high[k] = fmax(high[k], v);
        }
        judged++;
    }
    free(room);
    for (int k = 0; k < 3; k++)
        if (high[k] - low[k] > widest)
            widest = high[k] - low[k];
    if (judged < 5 || (widest >= 0.3 && widest <= 12))
        return SWT_OK; /* a few markers on a club may be as near together as they like */
    if (!isfinite(low[0]))
        return swt_fail(err, SWT_EDATA,
                        "no landmark has a valid sample: the capture declares them all missing "
                        "(negative residuals, or no coordinates); if the coordinates that "
                        "`swathe inspect` shows are real, say \"residuals = meaningless\" under "
                        "[capture] in the map");
    return swt_fail(err, SWT_EDATA,
                    "the landmarks lie %.3g m apart, which is not a person with a club (0.3 m to "
                    "12 m): check the length unit of the capture or of the map",
                    widest);
}

swt_status swt_marker_map_bind(swt_landmark_set **out, const swt_marker_map *map,
                               const swt_capture *capture, swt_handedness side,
                               swt_findings *findings, swt_error *err)
{
    bool present[SWT_LANDMARK_COUNT] = {false};
    binding *bound = NULL;
    bool *used = NULL;
    double metres, rate;
    swt_mat3 axes;
    size_t n_bound = 0;
    swt_status rc;

    *out = NULL;
    rc = axes_matrix(&axes, map, err);
    if (rc != SWT_OK)
        return rc;
    metres = metres_of(map, capture, findings);
    if (!(metres > 0))
        return swt_fail(err, SWT_EDATA,
                        "no usable length unit (\"%s\"): name one in the marker map, [capture] "
                        "units",
                        capture->unit);
    rate = capture->rate_hz > 0 ? capture->rate_hz : map->rate_hz;
    if (!(rate > 0))
        return swt_fail(err, SWT_EDATA,
                        "no frame rate: name one in the marker map, [capture] rate_hz");
    bound = calloc(map->n_entries ? map->n_entries : 1, sizeof *bound);
    used = calloc(capture->n_points ? capture->n_points : 1, sizeof *used);
    if (!bound || !used) {
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
        goto done;
    }
    for (size_t i = 0; i < map->n_entries; i++) {
        bound[i] = bind_entry(map, capture, &map->entry[i], side, findings);
        if (bound[i].landmark == SWT_LANDMARK_COUNT)
            bound[i].n = 0;
        for (size_t k = 0; k < bound[i].n; k++)
            used[bound[i].point[k]] = true;
        if (bound[i].n > 0) {
            present[bound[i].landmark] = true;
            n_bound++;
        }
    }
    for (size_t i = 0; i < map->n_entries; i++)
        if (bound[i].n == 0)
            note_missing_entry(map, capture, &map->entry[i], used, findings);
    if (capture->n_frames == 0 || capture->n_points == 0) {
        rc = swt_fail(err, SWT_EDATA, "no marker data in the capture");
        goto done;
    }
    rc = check_subjects(map, capture, bound, n_bound, err);
    if (rc != SWT_OK)
        goto done;
    if (n_bound == 0) {
        rc = fail_unbound(map, capture, err);
        goto done;
    }
    note_left_over(map, capture, used, findings);
    check_residuals(map, capture, findings);
    rc = swt_landmark_set_new_unset(out, capture->n_frames, rate, present, err);
    if (rc != SWT_OK)
        goto done;
    rc = fill_set(*out, map, capture, bound, &axes, metres, err);
    if (rc == SWT_OK)
        rc = check_size(*out, err);
    if (rc == SWT_OK)
        rc = swt_onsets_of_capture(*out, map, capture, findings, err);
    if (rc != SWT_OK) {
        swt_landmark_set_free(*out);
        *out = NULL;
    }
done:
    free(bound);
    free(used);
    return rc;
}
