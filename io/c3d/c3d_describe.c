#include "io/c3d/c3d_describe.h"

#include "io/text.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* Replaces *field by the first string of a parameter; an absent one leaves it. */
static swt_status take_text(char **field, const swt_c3d_parameters *parameters, const char *group,
                            const char *name, swt_error *err)
{
    const swt_c3d_parameter *p = swt_c3d_find(parameters, group, name);
    char *text;

    if (swt_c3d_text_count(p) == 0)
        return SWT_OK;
    text = swt_c3d_text_at(p, 0);
    if (!text)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    free(*field);
    *field = text;
    return SWT_OK;
}

static int by_text(const void *a, const void *b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

static char **sorted_labels(const swt_capture *c)
{
    char **sorted = malloc((c->n_points ? c->n_points : 1) * sizeof *sorted);

    if (sorted && c->n_points > 0) {
        memcpy(sorted, c->label, c->n_points * sizeof *sorted);
        qsort(sorted, c->n_points, sizeof *sorted, by_text);
    }
    return sorted;
}

static swt_status warn_of_repeated_labels(swt_capture *c, swt_error *err)
{
    char **sorted = sorted_labels(c);
    const char *example = NULL;
    size_t n = 0;

    if (!sorted)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 1; i < c->n_points; i++) {
        if (strcmp(sorted[i - 1], sorted[i]) == 0) {
            example = sorted[i];
            n++;
        }
    }
    if (n > 0)
        swt_capture_warn(c, "%zu points repeat the label of another one, for instance '%s'", n,
                         example);
    free(sorted);
    return SWT_OK;
}

static swt_status complete_labels(swt_capture *c, size_t found, swt_error *err)
{
    size_t blank = 0;
    char text[32];

    for (size_t i = 0; i < c->n_points; i++) {
        if (c->label[i][0] != '\0')
            continue;
        blank++;
        snprintf(text, sizeof text, "M%03zu", i + 1);
        if (swt_string_set(&c->label[i], text, err) != SWT_OK)
            return SWT_ENOMEM;
    }
    if (blank > 0)
        swt_capture_warn(c,
                         "%zu of %zu points have no label; they are called M001, M002, ... by "
                         "their place in the file",
                         blank, c->n_points);
    if (found > c->n_points)
        swt_capture_warn(c, "the file has %zu labels for %zu points; the first %zu are taken",
                         found, c->n_points, c->n_points);
    return warn_of_repeated_labels(c, err);
}

/* Y_SCREEN names the laboratory axis that points up on a screen. */
static swt_status take_up_axis(swt_capture *c, const swt_c3d_parameters *parameters, swt_error *err)
{
    swt_status rc = take_text(&c->up_axis, parameters, "POINT", "Y_SCREEN", err);
    const char *axis = c->up_axis;
    char excerpt[SWT_EXCERPT];

    if (rc == SWT_OK && axis[0] != '\0' && (strlen(axis) > 2 || !strpbrk(axis, "XYZxyz"))) {
        swt_capture_warn(c, "POINT:Y_SCREEN '%s' names no axis",
                         swt_text_excerpt(excerpt, axis, strlen(axis)));
        rc = swt_string_set(&c->up_axis, "", err);
    }
    return rc;
}

swt_status swt_c3d_describe_points(swt_capture *c, const swt_c3d_parameters *parameters,
                                   const swt_c3d_layout *layout, swt_error *err)
{
    size_t found, ignored;
    char text[96];
    swt_status rc =
        swt_c3d_texts(&found, c->label, c->n_points, parameters, "POINT", "LABELS", err);

    if (rc == SWT_OK)
        rc = complete_labels(c, found, err);
    if (rc == SWT_OK)
        rc = swt_c3d_texts(&ignored, c->description, c->n_points, parameters, "POINT",
                           "DESCRIPTIONS", err);
    if (rc == SWT_OK)
        rc = take_text(&c->unit, parameters, "POINT", "UNITS", err);
    if (rc == SWT_OK)
        rc = take_up_axis(c, parameters, err);
    if (rc != SWT_OK)
        return rc;
    if (c->n_points == 0)
        swt_capture_warn(c, "the file holds no marker data, only analog channels");
    else if (c->unit[0] == '\0')
        swt_capture_warn(c, "the file states no length unit");
    else if (swt_metres_per_unit(c->unit) == 0)
        swt_capture_warn(c, "'%s' is not a length unit that is known here",
                         swt_text_excerpt(text, c->unit, strlen(c->unit)));
    snprintf(text, sizeof text, "C3D, %s, %s data", swt_c3d_processor_name(layout->processor),
             layout->is_real ? "32-bit real" : "16-bit integer");
    return swt_string_set(&c->format, text, err);
}

/* Labels with their places, sorted, so that long lists of computed points stay cheap. */
typedef struct labelled {
    const char *label;
    size_t point;
} labelled;

static int by_label(const void *a, const void *b)
{
    const labelled *p = a, *q = b;
    int order = strcmp(p->label, q->label);

    return order ? order : (p->point > q->point) - (p->point < q->point);
}

static void flag_label(swt_capture *c, const labelled *sorted, const char *label)
{
    size_t low = 0, high = c->n_points;

    while (low < high) {
        size_t middle = low + (high - low) / 2;
        if (strcmp(sorted[middle].label, label) < 0)
            low = middle + 1;
        else
            high = middle;
    }
    for (; low < c->n_points && strcmp(sorted[low].label, label) == 0; low++)
        c->is_computed[sorted[low].point] = true;
}

static swt_status flag_list(swt_capture *c, const labelled *sorted,
                            const swt_c3d_parameters *parameters, const char *name, swt_error *err)
{
    const swt_c3d_parameter *p;

    for (unsigned part = 1; (p = swt_c3d_find_part(parameters, "POINT", name, part)); part++) {
        for (size_t i = 0; i < swt_c3d_text_count(p); i++) {
            char *label = swt_c3d_text_at(p, i);
            if (!label)
                return swt_fail(err, SWT_ENOMEM, "out of memory");
            if (label[0] != '\0')
                flag_label(c, sorted, label);
            free(label);
        }
    }
    return SWT_OK;
}

/* TYPE_GROUPS holds pairs (name of a list, name of its unit). Modelled markers are positions. */
static swt_status flag_type_groups(swt_capture *c, const labelled *sorted,
                                   const swt_c3d_parameters *parameters, swt_error *err)
{
    const swt_c3d_parameter *p = swt_c3d_find(parameters, "POINT", "TYPE_GROUPS");
    swt_status rc = SWT_OK;

    for (size_t i = 0; i < swt_c3d_text_count(p) && i < 64 && rc == SWT_OK; i += 2) {
        char *list = swt_c3d_text_at(p, i);
        if (!list)
            return swt_fail(err, SWT_ENOMEM, "out of memory");
        if (list[0] != '\0' && strlen(list) < 48 && !strstr(list, "MARKER"))
            rc = flag_list(c, sorted, parameters, list, err);
        free(list);
    }
    return rc;
}

swt_status swt_c3d_flag_computed(swt_capture *c, const swt_c3d_parameters *parameters,
                                 swt_error *err)
{
    static const char *const lists[] = {"ANGLES", "FORCES", "MOMENTS", "POWERS", "SCALARS"};
    labelled *sorted = malloc((c->n_points ? c->n_points : 1) * sizeof *sorted);
    bool any = false;
    swt_status rc = SWT_OK;

    c->is_computed = calloc(c->n_points ? c->n_points : 1, sizeof *c->is_computed);
    if (!sorted || !c->is_computed) {
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
        goto done;
    }
    for (size_t i = 0; i < c->n_points; i++)
        sorted[i] = (labelled){c->label[i], i};
    qsort(sorted, c->n_points, sizeof *sorted, by_label);
    for (size_t i = 0; i < sizeof lists / sizeof *lists && rc == SWT_OK; i++)
        rc = flag_list(c, sorted, parameters, lists[i], err);
    if (rc == SWT_OK)
        rc = flag_type_groups(c, sorted, parameters, err);
    for (size_t i = 0; i < c->n_points; i++)
        any |= c->is_computed[i];
    if (!any) {
        free(c->is_computed);
        c->is_computed = NULL;
    }
done:
    free(sorted);
    return rc;
}

/* Fills scale (general scale included) and offset of every channel, and says how samples count. */
static swt_status read_scaling(swt_capture *c, double *offset, double *scale, bool *is_unsigned,
                               const swt_c3d_parameters *parameters, swt_error *err)
{
    size_t n = c->n_analog, found;
    double general = 1;
    char *form = NULL;
    swt_status rc = take_text(&form, parameters, "ANALOG", "FORMAT", err);

    *is_unsigned = form && strcasecmp(form, "UNSIGNED") == 0;
    free(form);
    if (rc != SWT_OK)
        return rc;
    if (!swt_c3d_number(&general, parameters, "ANALOG", "GEN_SCALE", false) || !isfinite(general)) {
        swt_capture_warn(c, "no usable ANALOG:GEN_SCALE; 1 is taken");
        general = 1;
    }
    for (size_t k = 0; k < n; k++)
        scale[k] = 1;
    found = swt_c3d_numbers(scale, n, parameters, "ANALOG", "SCALE", false);
    if (found < n)
        swt_capture_warn(c,
                         "ANALOG:SCALE has %zu values for %zu channels; 1 is taken for the "
                         "others",
                         found, n);
    for (size_t k = 0; k < n; k++)
        scale[k] *= general;
    swt_c3d_numbers(offset, n, parameters, "ANALOG", "OFFSET", *is_unsigned);
    return SWT_OK;
}

/* Allocates a channel's samples and names it, A001 and so on where the file does not. */
static swt_status begin_channel(swt_capture_analog *a, size_t k, const char *label,
                                const char *unit, size_t n_samples, swt_error *err)
{
    char name[32];
    swt_status rc;

    snprintf(name, sizeof name, "A%03zu", k + 1);
    a->sample = malloc((n_samples ? n_samples : 1) * sizeof *a->sample);
    if (!a->sample)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    rc = swt_string_set(&a->label, label && label[0] ? label : name, err);
    return rc == SWT_OK ? swt_string_set(&a->unit, unit ? unit : "", err) : rc;
}

static swt_status begin_channels(swt_capture *c, const swt_c3d_parameters *parameters,
                                 swt_error *err)
{
    size_t n = c->n_analog, ignored;
    char **labels = calloc(n, sizeof *labels), **units = calloc(n, sizeof *units);
    swt_status rc = SWT_OK;

    if (!labels || !units)
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    if (rc == SWT_OK)
        rc = swt_c3d_texts(&ignored, labels, n, parameters, "ANALOG", "LABELS", err);
    if (rc == SWT_OK)
        rc = swt_c3d_texts(&ignored, units, n, parameters, "ANALOG", "UNITS", err);
    for (size_t k = 0; k < n && rc == SWT_OK; k++)
        rc = begin_channel(&c->analog[k], k, labels[k], units[k], c->n_frames * c->analog_per_frame,
                           err);
    for (size_t k = 0; k < n; k++) {
        if (labels)
            free(labels[k]);
        if (units)
            free(units[k]);
    }
    free(labels);
    free(units);
    return rc;
}

swt_status swt_c3d_describe_analog(swt_capture *c, double **offset, double **scale,
                                   bool *is_unsigned, const swt_c3d_parameters *parameters,
                                   const swt_c3d_layout *layout, swt_error *err)
{
    size_t n = layout->n_channels;
    swt_status rc;

    *is_unsigned = false;
    *offset = calloc(n + 1, sizeof **offset);
    *scale = calloc(n + 1, sizeof **scale);
    c->analog = calloc(n + 1, sizeof *c->analog);
    if (!*offset || !*scale || !c->analog)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    if (n == 0)
        return SWT_OK;
    c->n_analog = n;
    c->analog_per_frame = layout->samples_per_frame;
    rc = read_scaling(c, *offset, *scale, is_unsigned, parameters, err);
    return rc == SWT_OK ? begin_channels(c, parameters, err) : rc;
}
