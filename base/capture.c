#include "base/capture.h"

#include "base/block.h"

#include <math.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

static char *copy_text(const char *text)
{
    size_t size = strlen(text) + 1;
    char *copy = malloc(size);
    if (copy)
        memcpy(copy, text, size);
    return copy;
}

swt_status swt_string_set(char **field, const char *text, swt_error *err)
{
    char *copy = copy_text(text);
    if (!copy)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    free(*field);
    *field = copy;
    return SWT_OK;
}

static bool fill_with_empty(char **text, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (!(text[i] = copy_text("")))
            return false;
    return true;
}

swt_capture *swt_capture_new_unset(size_t n_frames, size_t n_points)
{
    swt_capture *c = calloc(1, sizeof *c);
    size_t n;

    if (!c)
        return NULL;
    if (n_points > 0 && n_frames > SIZE_MAX / n_points / (3 * sizeof(double)))
        goto fail;
    n = n_frames * n_points;
    c->n_frames = n_frames;
    c->n_points = n_points;
    c->first_frame = 1;
    c->label = calloc(n_points ? n_points : 1, sizeof *c->label);
    c->description = calloc(n_points ? n_points : 1, sizeof *c->description);
    c->xyz = swt_block_alloc(3 * n * sizeof *c->xyz);
    c->unit = copy_text("");
    c->format = copy_text("");
    c->up_axis = copy_text("");
    if (!c->label || !c->description || !c->xyz || !c->unit || !c->format || !c->up_axis ||
        !fill_with_empty(c->label, n_points) || !fill_with_empty(c->description, n_points))
        goto fail;
    return c;
fail:
    swt_capture_free(c);
    return NULL;
}

swt_capture *swt_capture_new(size_t n_frames, size_t n_points)
{
    swt_capture *c = swt_capture_new_unset(n_frames, n_points);

    if (c)
        for (size_t i = 0; i < 3 * n_frames * n_points; i++)
            c->xyz[i] = nan("");
    return c;
}

void swt_capture_free(swt_capture *c)
{
    if (!c)
        return;
    for (size_t i = 0; i < c->n_points; i++) {
        if (c->label)
            free(c->label[i]);
        if (c->description)
            free(c->description[i]);
    }
    for (size_t i = 0; i < c->n_events; i++) {
        free(c->event[i].label);
        free(c->event[i].context);
    }
    for (size_t i = 0; i < c->n_analog; i++) {
        free(c->analog[i].label);
        free(c->analog[i].unit);
        free(c->analog[i].sample);
    }
    for (size_t i = 0; i < c->n_warnings; i++)
        free(c->warning[i]);
    free(c->label);
    free(c->description);
    free(c->xyz);
    free(c->residual);
    free(c->cameras);
    free(c->is_computed);
    free(c->event);
    free(c->analog);
    free(c->warning);
    free(c->unit);
    free(c->format);
    free(c->up_axis);
    free(c);
}

void swt_capture_warn(swt_capture *c, const char *format, ...)
{
    char text[256];
    char **grown;
    va_list args;

    va_start(args, format);
    vsnprintf(text, sizeof text, format, args);
    va_end(args);
    grown = realloc(c->warning, (c->n_warnings + 1) * sizeof *grown);
    if (!grown)
        return;
    c->warning = grown;
    if ((grown[c->n_warnings] = copy_text(text)))
        c->n_warnings++;
}

swt_status swt_capture_add_event(swt_capture *c, const char *label, const char *context,
                                 double time_s, swt_error *err)
{
    swt_capture_event *grown = realloc(c->event, (c->n_events + 1) * sizeof *grown);
    swt_capture_event added = {copy_text(label), copy_text(context), time_s};

    if (grown)
        c->event = grown;
    if (!grown || !added.label || !added.context) {
        free(added.label);
        free(added.context);
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    }
    c->event[c->n_events++] = added;
    return SWT_OK;
}

static size_t subject_length(const char *label)
{
    const char *colon = strrchr(label, ':');

    return colon ? (size_t)(colon - label) : 0;
}

size_t swt_capture_subjects(char *list, size_t room, const swt_capture *c)
{
    size_t n = 0, used = 0;

    list[0] = '\0';
    for (size_t i = 0; i < c->n_points; i++) {
        size_t length = subject_length(c->label[i]), before = 0;
        if (length == 0)
            continue;
        while (before < i && !(subject_length(c->label[before]) == length &&
                               memcmp(c->label[before], c->label[i], length) == 0))
            before++;
        if (before < i)
            continue;
        n++;
        if (used + length + 8 < room)
            used += (size_t)snprintf(list + used, room - used, "%s%.*s:", n > 1 ? ", " : "",
                                     (int)length, c->label[i]);
        else if (used + 4 < room && !strstr(list, "..."))
            used += (size_t)snprintf(list + used, room - used, "...");
    }
    return n;
}

long swt_capture_find(const swt_capture *c, const char *label)
{
    for (size_t i = 0; i < c->n_points; i++)
        if (strcmp(c->label[i], label) == 0)
            return (long)i;
    return -1;
}

bool swt_capture_residuals_mean_something(const swt_capture *c)
{
    if (!c->residual)
        return false;
    for (size_t i = 0; i < c->n_frames * c->n_points; i++)
        if (c->residual[i] >= 0)
            return true;
    return false;
}

double swt_metres_per_unit(const char *unit)
{
    static const struct {
        const char *name;
        double metres;
    } units[] = {{"mm", 0.001},
                 {"millimetre", 0.001},
                 {"millimetres", 0.001},
                 {"millimeter", 0.001},
                 {"millimeters", 0.001},
                 {"cm", 0.01},
                 {"centimetre", 0.01},
                 {"centimetres", 0.01},
                 {"centimeter", 0.01},
                 {"centimeters", 0.01},
                 {"m", 1},
                 {"metre", 1},
                 {"metres", 1},
                 {"meter", 1},
                 {"meters", 1},
                 {"mete", 1},
                 {"dm", 0.1},
                 {"in", 0.0254},
                 {"inch", 0.0254},
                 {"inches", 0.0254},
                 {"ft", 0.3048},
                 {"feet", 0.3048}};

    for (size_t i = 0; i < sizeof units / sizeof *units; i++)
        if (strcasecmp(units[i].name, unit) == 0)
            return units[i].metres;
    return 0;
}
