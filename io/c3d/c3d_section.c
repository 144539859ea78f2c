#include "io/c3d/c3d_section.h"

#include "io/c3d/c3d_layout.h"
#include "io/text.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { POINT = 1, ANALOG, TRIAL, EVENT, MANUFACTURER };
enum { PART = 255, MOST_BLOCKS = 255, SATURATED = 65535 };

/* Bytes that grow. A failed allocation is remembered and reported once, at the end. */
typedef struct section {
    unsigned char *bytes;
    size_t size, capacity;
    swt_c3d_processor processor;
    bool out_of_memory;
    const char *too_long; /* a text that no dimension can measure */
} section;

static unsigned char *grow(section *s, size_t size)
{
    if (s->out_of_memory)
        return NULL;
    if (s->size + size > s->capacity) {
        size_t capacity = 2 * (s->size + size);
        unsigned char *grown = realloc(s->bytes, capacity);
        if (!grown) {
            s->out_of_memory = true;
            return NULL;
        }
        s->bytes = grown;
        s->capacity = capacity;
    }
    s->size += size;
    memset(s->bytes + s->size - size, 0, size);
    return s->bytes + s->size - size;
}

static void put_group(section *s, int id, const char *name)
{
    size_t length = strlen(name);
    unsigned char *p = grow(s, length + 5);

    if (!p)
        return;
    p[0] = (unsigned char)length;
    p[1] = (unsigned char)-id;
    memcpy(p + 2, name, length);
    swt_c3d_put_word(p + 2 + length, 3, s->processor);
}

/* Opens a parameter with room for its data, zeroed, and returns where they go. */
static unsigned char *put_parameter(section *s, int group, const char *name, int type,
                                    size_t n_dimensions, const size_t *dimension)
{
    size_t length = strlen(name), size = (size_t)abs(type);
    unsigned char *p;

    for (size_t i = 0; i < n_dimensions; i++)
        size *= dimension[i];
    p = grow(s, length + 7 + n_dimensions + size);
    if (!p)
        return NULL;
    p[0] = (unsigned char)length;
    p[1] = (unsigned char)group;
    memcpy(p + 2, name, length);
    p += 2 + length;
    swt_c3d_put_word(p, (unsigned)(5 + n_dimensions + size), s->processor);
    p[2] = (unsigned char)type;
    p[3] = (unsigned char)n_dimensions;
    for (size_t i = 0; i < n_dimensions; i++)
        p[4 + i] = (unsigned char)dimension[i];
    return p + 4 + n_dimensions;
}

static void put_words(section *s, int group, const char *name, const unsigned *value, size_t n)
{
    unsigned char *p = put_parameter(s, group, name, 2, n > 1, &n);

    for (size_t i = 0; p && i < n; i++)
        swt_c3d_put_word(p + 2 * i, value[i], s->processor);
}

/* Reals in rows of `row`; beyond 255 rows in numbered parts. */
static void put_reals(section *s, int group, const char *name, const double *value, size_t row,
                      size_t n)
{
    for (size_t done = 0, part = 1; done < n; part++) {
        size_t here = n - done < PART ? n - done : PART;
        size_t dimension[] = {row, here};
        char numbered[64];
        unsigned char *p;
        snprintf(numbered, sizeof numbered, part > 1 ? "%s%zu" : "%s", name, part);
        p = row > 1 ? put_parameter(s, group, numbered, 4, 2, dimension)
                    : put_parameter(s, group, numbered, 4, 1, &here);
        for (size_t i = 0; p && i < here * row; i++)
            (void)swt_c3d_put_real(p + 4 * i, value[done * row + i], s->processor);
        done += here;
    }
}

static void put_real(section *s, int group, const char *name, double value)
{
    unsigned char *p = put_parameter(s, group, name, 4, 0, NULL);

    if (p)
        (void)swt_c3d_put_real(p, value, s->processor);
}

static void put_text(section *s, int group, const char *name, const char *text)
{
    size_t length = strlen(text);
    unsigned char *p;

    if (length > PART) {
        s->too_long = text;
        return;
    }
    p = put_parameter(s, group, name, -1, 1, &length);
    if (p)
        memcpy(p, text, length);
}

/* `text(owner, i)` gives the i-th of n texts: labels lie in structs of several kinds. */
typedef const char *text_of(const swt_capture *c, size_t i);

static void put_texts(section *s, int group, const char *name, const swt_capture *c, text_of *text,
                      size_t n)
{
    for (size_t done = 0, part = 1; done < n; part++) {
        size_t here = n - done < PART ? n - done : PART, longest = 1;
        char numbered[64];
        unsigned char *p;
        for (size_t i = 0; i < here; i++) {
            size_t length = strlen(text(c, done + i));
            longest = length > longest ? length : longest;
            if (length > PART)
                s->too_long = text(c, done + i);
        }
        if (s->too_long)
            return;
        snprintf(numbered, sizeof numbered, part > 1 ? "%s%zu" : "%s", name, part);
        p = put_parameter(s, group, numbered, -1, 2, (size_t[]){longest, here});
        if (p)
            memset(p, ' ', longest * here);
        for (size_t i = 0; p && i < here; i++)
            memcpy(p + i * longest, text(c, done + i), strlen(text(c, done + i)));
        done += here;
    }
}

static const char *point_label(const swt_capture *c, size_t i)
{
    return c->label[i];
}
static const char *point_description(const swt_capture *c, size_t i)
{
    return c->description[i];
}
static const char *analog_label(const swt_capture *c, size_t i)
{
    return c->analog[i].label;
}
static const char *analog_unit(const swt_capture *c, size_t i)
{
    return c->analog[i].unit;
}
static const char *event_label(const swt_capture *c, size_t i)
{
    return c->event[i].label;
}
static const char *event_context(const swt_capture *c, size_t i)
{
    return c->event[i].context;
}

/* The i-th computed point: they are listed by their labels under SCALARS. */
static const char *computed_label(const swt_capture *c, size_t i)
{
    size_t p = 0;

    for (size_t seen = 0;; p++)
        if (c->is_computed[p] && seen++ == i)
            return c->label[p];
}

static void put_computed(section *s, const swt_capture *c)
{
    size_t n = 0;
    unsigned char *p;

    for (size_t i = 0; c->is_computed && i < c->n_points; i++)
        n += c->is_computed[i];
    if (n == 0)
        return;
    p = put_parameter(s, POINT, "TYPE_GROUPS", -1, 3, (size_t[]){7, 2, 1});
    if (p)
        memcpy(p, "SCALARSSCALAR ", 14);
    put_texts(s, POINT, "SCALARS", c, computed_label, n);
}

static unsigned saturated(size_t n)
{
    return n < SATURATED ? (unsigned)n : SATURATED;
}

static void put_points(section *s, size_t *data_start_at, const swt_capture *c,
                       const swt_c3d_form *form)
{
    bool described = false;

    put_group(s, POINT, "POINT");
    put_words(s, POINT, "USED", (unsigned[]){(unsigned)c->n_points}, 1);
    put_real(s, POINT, "SCALE", form->integers ? form->step : -form->step);
    put_real(s, POINT, "RATE", c->rate_hz);
    put_words(s, POINT, "DATA_START", (unsigned[]){0}, 1);
    *data_start_at = s->size - 3; /* a word and the length of the description follow */
    put_words(s, POINT, "FRAMES", (unsigned[]){saturated(c->n_frames)}, 1);
    if (c->n_frames > SATURATED)
        put_real(s, POINT, "LONG_FRAMES", (double)c->n_frames);
    if (c->unit[0] != '\0')
        put_text(s, POINT, "UNITS", c->unit);
    if (c->up_axis[0] != '\0')
        put_text(s, POINT, "Y_SCREEN", c->up_axis);
    put_texts(s, POINT, "LABELS", c, point_label, c->n_points);
    for (size_t i = 0; i < c->n_points; i++)
        described |= c->description[i][0] != '\0';
    if (described)
        put_texts(s, POINT, "DESCRIPTIONS", c, point_description, c->n_points);
    put_computed(s, c);
}

static void put_analog(section *s, const swt_capture *c, const swt_c3d_form *form)
{
    put_group(s, ANALOG, "ANALOG");
    put_words(s, ANALOG, "USED", (unsigned[]){(unsigned)c->n_analog}, 1);
    if (c->n_analog == 0)
        return;
    put_real(s, ANALOG, "RATE", c->rate_hz * (double)c->analog_per_frame);
    put_real(s, ANALOG, "GEN_SCALE", 1);
    put_text(s, ANALOG, "FORMAT", "SIGNED");
    put_words(s, ANALOG, "BITS", (unsigned[]){16}, 1);
    put_reals(s, ANALOG, "SCALE", form->analog_scale, 1, c->n_analog);
    for (size_t done = 0, part = 1; done < c->n_analog; done += PART, part++) {
        size_t here = c->n_analog - done < PART ? c->n_analog - done : PART;
        char name[32];
        snprintf(name, sizeof name, part > 1 ? "%s%zu" : "%s", "OFFSET", part);
        put_parameter(s, ANALOG, name, 2, 1, &here); /* its data are zeros */
    }
    put_texts(s, ANALOG, "LABELS", c, analog_label, c->n_analog);
    put_texts(s, ANALOG, "UNITS", c, analog_unit, c->n_analog);
}

static void put_trial(section *s, const swt_capture *c)
{
    unsigned long start = c->first_frame > 0 ? (unsigned long)c->first_frame : 0;
    unsigned long end = start + c->n_frames - 1;
    unsigned first[] = {(unsigned)(start & 65535), (unsigned)(start >> 16 & 65535)};
    unsigned last[] = {(unsigned)(end & 65535), (unsigned)(end >> 16 & 65535)};

    put_group(s, TRIAL, "TRIAL");
    put_words(s, TRIAL, "ACTUAL_START_FIELD", first, 2);
    put_words(s, TRIAL, "ACTUAL_END_FIELD", last, 2);
    put_real(s, TRIAL, "CAMERA_RATE", c->rate_hz);
}

/* Times count from frame 1 of the recording, in whole minutes and seconds. */
static void put_events(section *s, const swt_capture *c)
{
    double before_first_s = c->rate_hz > 0 ? (double)(c->first_frame - 1) / c->rate_hz : 0;
    double *time = malloc((2 * c->n_events + 1) * sizeof *time);

    if (!time) {
        s->out_of_memory = true;
        return;
    }
    for (size_t i = 0; i < c->n_events; i++) {
        double t = c->event[i].time_s + before_first_s;
        time[2 * i] = t > 0 ? floor(t / 60) : 0;
        time[2 * i + 1] = t - 60 * time[2 * i];
    }
    put_group(s, EVENT, "EVENT");
    put_words(s, EVENT, "USED", (unsigned[]){saturated(c->n_events)}, 1);
    put_reals(s, EVENT, "TIMES", time, 2, c->n_events);
    put_texts(s, EVENT, "LABELS", c, event_label, c->n_events);
    put_texts(s, EVENT, "CONTEXTS", c, event_context, c->n_events);
    free(time);
}

swt_status swt_c3d_section_make(unsigned char **out, size_t *size, size_t *data_start_at,
                                const swt_capture *c, const swt_c3d_form *form, swt_error *err)
{
    section s = {.processor = form->processor};
    char excerpt[SWT_EXCERPT];
    size_t blocks;

    *out = NULL;
    grow(&s, 4);
    put_points(&s, data_start_at, c, form);
    put_analog(&s, c, form);
    put_trial(&s, c);
    if (c->n_events > 0)
        put_events(&s, c);
    put_group(&s, MANUFACTURER, "MANUFACTURER");
    put_text(&s, MANUFACTURER, "SOFTWARE", "Swathe " SWT_VERSION);
    grow(&s, 2); /* terminator */
    blocks = (s.size + SWT_C3D_BLOCK - 1) / SWT_C3D_BLOCK;
    grow(&s, blocks * SWT_C3D_BLOCK - s.size);
    if (s.out_of_memory || s.too_long || blocks > MOST_BLOCKS) {
        free(s.bytes);
        if (s.out_of_memory)
            return swt_fail(err, SWT_ENOMEM, "out of memory");
        if (s.too_long)
            return swt_fail(err, SWT_EDATA, "'%s' has %zu bytes; C3D texts have at most 255",
                            swt_text_excerpt(excerpt, s.too_long, strlen(s.too_long)),
                            strlen(s.too_long));
        return swt_fail(err, SWT_EDATA,
                        "labels, descriptions and events take %zu blocks of 512 bytes; C3D has "
                        "room for 255: shorten or leave out descriptions",
                        blocks);
    }
    s.bytes[0] = 1;
    s.bytes[1] = 0x50;
    s.bytes[2] = (unsigned char)blocks;
    s.bytes[3] = (unsigned char)form->processor;
    *out = s.bytes;
    *size = s.size;
    return SWT_OK;
}
