#include "io/c3d/c3d_parameters.h"

#include "io/text.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum {
    MOST_RECORDS = 65536, /* real files have a few hundred */
    MOST_PARTS = 258      /* 65,535 items, the most that a 16-bit count can ask for, by 255 */
};

typedef struct walk {
    const unsigned char *bytes;
    size_t end;
    swt_c3d_parameters *into;
    swt_capture *notes;
} walk;

/* Room for one more element; sizes double so that the walk stays linear. */
static void *room_for_one(void *list, size_t n, size_t element)
{
    if (n == 0)
        return realloc(list, 16 * element);
    if (n >= 16 && (n & (n - 1)) == 0)
        return realloc(list, 2 * n * element);
    return list;
}

static swt_status add_group(walk *w, int id, const unsigned char *name, size_t length,
                            swt_error *err)
{
    swt_c3d_parameters *into = w->into;
    swt_c3d_group *grown = room_for_one(into->group, into->n_groups, sizeof *grown);

    if (!grown)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    into->group = grown;
    grown[into->n_groups++] = (swt_c3d_group){id, name, length};
    return SWT_OK;
}

/* Reads the type, dimensions and data range at `at`; false when they make no sense or lead past
   `limit`. */
static bool read_shape(swt_c3d_parameter *p, const walk *w, size_t at, size_t limit)
{
    size_t size;

    if (limit < at + 2)
        return false;
    p->type = (signed char)w->bytes[at];
    p->n_dimensions = w->bytes[at + 1];
    at += 2;
    if (p->type != -1 && p->type != 1 && p->type != 2 && p->type != 4)
        return false;
    if (p->n_dimensions > SWT_C3D_MAX_DIMENSIONS || limit - at < p->n_dimensions)
        return false;
    p->count = 1;
    for (size_t i = 0; i < p->n_dimensions; i++) {
        p->dimension[i] = w->bytes[at + i];
        p->count *= p->dimension[i]; /* 255^7 < 2^56: no overflow */
    }
    at += p->n_dimensions;
    size = p->count * (size_t)abs(p->type);
    if (limit - at < size)
        return false;
    p->data = w->bytes + at;
    return true;
}

static swt_status add_parameter(walk *w, swt_c3d_parameter *p, size_t at, size_t next,
                                swt_error *err)
{
    swt_c3d_parameters *into = w->into;
    swt_c3d_parameter *grown;
    char excerpt[SWT_EXCERPT];

    if (!read_shape(p, w, at, next)) {
        swt_capture_warn(w->notes,
                         "parameter %s at byte %zu is damaged (type, dimensions or size do not "
                         "fit its record); left out",
                         swt_text_excerpt(excerpt, p->name, p->name_length),
                         (size_t)(p->name - w->bytes) - 2);
        return SWT_OK;
    }
    grown = room_for_one(into->parameter, into->n_parameters, sizeof *grown);
    if (!grown)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    into->parameter = grown;
    grown[into->n_parameters++] = *p;
    return SWT_OK;
}

/* Reads the record at *at and moves *at to the next; *at becomes 0 when there is none. */
static swt_status read_record(walk *w, size_t *at, swt_error *err)
{
    size_t start = *at, name_length, fixed, step, next;
    int length, id;
    swt_status rc;

    *at = 0;
    if (w->end - start < 2 || w->bytes[start] == 0)
        return SWT_OK;
    length = (signed char)w->bytes[start]; /* negative: locked against editing, no more */
    id = (signed char)w->bytes[start + 1];
    name_length = (size_t)abs(length);
    if (w->end - start < name_length + 4) {
        swt_capture_warn(w->notes, "parameter section ends inside the record at byte %zu", start);
        return SWT_OK;
    }
    fixed = start + 2 + name_length; /* where `next` stands, which counts from itself */
    step = swt_c3d_word(w->bytes + fixed, w->into->processor);
    next = step == 0 ? w->end : fixed + step;
    if (step == 1 || next > w->end) {
        swt_capture_warn(w->notes,
                         "parameter record at byte %zu says that the next one is %zu bytes on, "
                         "outside the section; reading stops there",
                         start, step);
        next = w->end;
        step = 0;
    }
    if (id < 0) {
        rc = add_group(w, -id, w->bytes + start + 2, name_length, err);
    } else {
        swt_c3d_parameter p = {
            .group = id, .name = w->bytes + start + 2, .name_length = name_length};
        rc = id == 0 ? SWT_OK : add_parameter(w, &p, fixed + 2, next, err);
    }
    if (step != 0)
        *at = next;
    return rc;
}

swt_status swt_c3d_parameters_read(swt_c3d_parameters *out, const unsigned char *bytes,
                                   size_t start, size_t end, swt_c3d_processor processor,
                                   swt_capture *notes, swt_error *err)
{
    walk w = {bytes, end, out, notes};
    size_t at = start < end ? start : 0, n = 0;
    swt_status rc = SWT_OK;

    memset(out, 0, sizeof *out);
    out->processor = processor;
    while (at != 0 && rc == SWT_OK) {
        if (n++ == MOST_RECORDS) {
            swt_capture_warn(notes, "more than %d parameter records; the rest is not read",
                             (int)MOST_RECORDS);
            break;
        }
        rc = read_record(&w, &at, err);
    }
    if (rc != SWT_OK)
        swt_c3d_parameters_reset(out);
    return rc;
}

void swt_c3d_parameters_reset(swt_c3d_parameters *parameters)
{
    free(parameters->group);
    free(parameters->parameter);
    memset(parameters, 0, sizeof *parameters);
}

/* Names are ASCII and match in any case; some writers pad them. */
static bool name_is(const unsigned char *name, size_t length, const char *wanted)
{
    size_t n = strlen(wanted);

    while (length > n && (name[length - 1] == ' ' || name[length - 1] == 0))
        length--;
    if (length != n)
        return false;
    for (size_t i = 0; i < n; i++)
        if (toupper(name[i]) != wanted[i])
            return false;
    return true;
}

static bool group_is(const swt_c3d_parameters *parameters, int id, const char *wanted)
{
    for (size_t i = 0; i < parameters->n_groups; i++) {
        const swt_c3d_group *g = &parameters->group[i];
        if (g->id == id && name_is(g->name, g->name_length, wanted))
            return true;
    }
    return false;
}

const swt_c3d_parameter *swt_c3d_find(const swt_c3d_parameters *parameters, const char *group,
                                      const char *name)
{
    const swt_c3d_parameter *empty = NULL;

    for (size_t i = 0; i < parameters->n_parameters; i++) {
        const swt_c3d_parameter *p = &parameters->parameter[i];
        if (!name_is(p->name, p->name_length, name) || !group_is(parameters, p->group, group))
            continue;
        if (p->count > 0)
            return p;
        if (!empty)
            empty = p;
    }
    return empty;
}

const swt_c3d_parameter *swt_c3d_find_part(const swt_c3d_parameters *parameters, const char *group,
                                           const char *name, unsigned part)
{
    const swt_c3d_parameter *p;
    char numbered[64];

    if (part > MOST_PARTS)
        return NULL;
    if (part > 1)
        snprintf(numbered, sizeof numbered, "%s%u", name, part);
    p = swt_c3d_find(parameters, group, part > 1 ? numbered : name);
    return p && p->count > 0 ? p : NULL;
}

bool swt_c3d_number_at(double *out, const swt_c3d_parameters *parameters,
                       const swt_c3d_parameter *p, size_t i, bool is_unsigned)
{
    if (!p || i >= p->count)
        return false;
    switch (p->type) {
    case 1:
        *out = is_unsigned ? p->data[i] : (signed char)p->data[i];
        return true;
    case 2: {
        unsigned word = swt_c3d_word(p->data + 2 * i, parameters->processor);
        *out = is_unsigned ? (double)word : (double)(int16_t)(uint16_t)word;
        return true;
    }
    case 4:
        *out = swt_c3d_real(p->data + 4 * i, parameters->processor);
        return true;
    default:
        return false;
    }
}

bool swt_c3d_number(double *out, const swt_c3d_parameters *parameters, const char *group,
                    const char *name, bool is_unsigned)
{
    return swt_c3d_number_at(out, parameters, swt_c3d_find(parameters, group, name), 0,
                             is_unsigned);
}

static size_t text_length(const swt_c3d_parameter *p)
{
    return p->n_dimensions == 0 ? 1 : p->dimension[0];
}

size_t swt_c3d_text_count(const swt_c3d_parameter *p)
{
    if (!p || p->type != -1 || p->count == 0)
        return 0;
    return p->count / text_length(p);
}

char *swt_c3d_text_at(const swt_c3d_parameter *p, size_t i)
{
    size_t length = text_length(p);

    return swt_text_to_utf8(p->data + i * length, length);
}

swt_status swt_c3d_texts(size_t *found, char **texts, size_t n,
                         const swt_c3d_parameters *parameters, const char *group, const char *name,
                         swt_error *err)
{
    const swt_c3d_parameter *p;

    *found = 0;
    for (unsigned part = 1; (p = swt_c3d_find_part(parameters, group, name, part)); part++) {
        size_t count = swt_c3d_text_count(p);
        for (size_t i = 0; i < count && *found + i < n; i++) {
            char *text = swt_c3d_text_at(p, i);
            if (!text)
                return swt_fail(err, SWT_ENOMEM, "out of memory");
            free(texts[*found + i]);
            texts[*found + i] = text;
        }
        *found += count;
    }
    return SWT_OK;
}

size_t swt_c3d_numbers(double *values, size_t n, const swt_c3d_parameters *parameters,
                       const char *group, const char *name, bool is_unsigned)
{
    const swt_c3d_parameter *p;
    size_t found = 0;

    for (unsigned part = 1; (p = swt_c3d_find_part(parameters, group, name, part)); part++) {
        for (size_t i = 0; i < p->count && found + i < n; i++)
            if (!swt_c3d_number_at(&values[found + i], parameters, p, i, is_unsigned))
                return found + i;
        found += p->count;
    }
    return found;
}
