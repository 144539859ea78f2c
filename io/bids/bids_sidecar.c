#include "io/bids/bids_sidecar.h"

#include "base/numtext.h"
#include "io/csv/csv_rows.h"
#include "io/text.h"

#include <jansson.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

/* ---- *_motion.json ---- */

static bool is_not_available(const json_t *value)
{
    return json_is_string(value) && strcasecmp(json_string_value(value), "n/a") == 0;
}

static swt_status add_rate(double *rate_hz, const json_t *all, const char *key, swt_error *err)
{
    const json_t *value = json_object_get(all, key);

    if (*rate_hz > 0 || !value || is_not_available(value))
        return SWT_OK;
    if (!json_is_number(value) || !(json_number_value(value) > 0) ||
        !isfinite(json_number_value(value)))
        return swt_fail(err, SWT_EFORMAT, "%s is not a positive number of hertz", key);
    *rate_hz = json_number_value(value);
    return SWT_OK;
}

/* A text that does not fit says nothing that is used here. */
static void add_text(char *out, size_t room, const json_t *all, const char *key)
{
    const json_t *value = json_object_get(all, key);

    if (out[0] == '\0' && json_is_string(value) && json_string_length(value) < room)
        memcpy(out, json_string_value(value), json_string_length(value) + 1);
}

/* Of several frames of reference nobody says which the positions are in. */
static const json_t *only_frame(const json_t *all)
{
    const json_t *levels = json_object_get(json_object_get(all, "reference_frame"), "Levels");
    void *first = json_object_iter((json_t *)levels);

    return json_object_size(levels) == 1 ? json_object_iter_value(first) : NULL;
}

swt_status swt_bids_facts_add(swt_bids_facts *facts, const void *bytes, size_t size, swt_error *err)
{
    json_error_t why;
    json_t *all = json_loadb(bytes, size, JSON_REJECT_DUPLICATES, &why);
    swt_status rc;

    if (!all)
        return swt_fail(err, SWT_EFORMAT, "line %d, column %d: no JSON: %s", why.line, why.column,
                        why.text);
    if (!json_is_object(all)) {
        json_decref(all);
        return swt_fail(err, SWT_EFORMAT, "no JSON object");
    }
    rc = add_rate(&facts->nominal_hz, all, "SamplingFrequency", err);
    if (rc == SWT_OK)
        rc = add_rate(&facts->effective_hz, all, "SamplingFrequencyEffective", err);
    add_text(facts->tracking_system, sizeof facts->tracking_system, all, "TrackingSystemName");
    add_text(facts->spatial_axes, sizeof facts->spatial_axes, all, "SpatialAxes");
    add_text(facts->spatial_axes, sizeof facts->spatial_axes, only_frame(all), "SpatialAxes");
    add_text(facts->missing_values, sizeof facts->missing_values, all, "MissingValues");
    json_decref(all);
    return rc;
}

/* ---- *_channels.tsv ---- */

enum { NAME, COMPONENT, TYPE, POINT, UNITS, RATE, COLUMNS };

static const struct {
    const char *name;
    bool required;
} known[COLUMNS] = {
    [NAME] = {"name", true},   [COMPONENT] = {"component", true},
    [TYPE] = {"type", true},   [POINT] = {"tracked_point", true},
    [UNITS] = {"units", true}, [RATE] = {"sampling_frequency", false},
};

typedef struct reading {
    swt_bids_channels *out;
    bool has_header;
    size_t column[COLUMNS], n_columns; /* SIZE_MAX: not there */
    size_t room;
} reading;

static bool cell_is(swt_csv_cell c, const char *text)
{
    return c.length == strlen(text) && memcmp(c.text, text, c.length) == 0;
}

static swt_status take_header(reading *r, const swt_csv_row *row, swt_error *err)
{
    r->has_header = true;
    r->n_columns = row->n_cells;
    for (int k = 0; k < COLUMNS; k++) {
        r->column[k] = SIZE_MAX;
        for (size_t i = row->n_cells; i-- > 0;)
            if (cell_is(row->cell[i], known[k].name))
                r->column[k] = i;
        if (known[k].required && r->column[k] == SIZE_MAX)
            return swt_fail(err, SWT_EFORMAT,
                            "line %zu: no column \"%s\"; BIDS wants name, component, type, "
                            "tracked_point and units",
                            row->line, known[k].name);
    }
    return SWT_OK;
}

static swt_status settle_kind(swt_bids_channel *c, const swt_csv_row *row, swt_csv_cell component,
                              swt_error *err)
{
    char excerpt[SWT_EXCERPT];

    if (strcmp(c->type, "LATENCY") == 0) {
        c->kind = SWT_BIDS_LATENCY;
    } else if (strcmp(c->type, "MISC") == 0) {
        c->kind = SWT_BIDS_MISC;
    } else if (strcmp(c->type, "POS") == 0) {
        static const char *const axis[] = {"x", "y", "z"};
        c->kind = SWT_BIDS_POSITION;
        for (c->axis = 0; c->axis < 3 && !cell_is(component, axis[c->axis]); c->axis++)
            ;
        if (c->axis == 3)
            return swt_fail(err, SWT_EFORMAT,
                            "line %zu: component \"%s\" of a position; expected x, y or z",
                            row->line, swt_text_excerpt(excerpt, component.text, component.length));
    } else {
        c->kind = SWT_BIDS_OTHER;
    }
    return SWT_OK;
}

static swt_status take_channel(reading *r, const swt_csv_row *row, swt_error *err)
{
    swt_bids_channel *c;
    const swt_csv_cell *cell = row->cell;

    if (row->n_cells != r->n_columns)
        return swt_fail(err, SWT_EFORMAT, "line %zu: %zu cells, the header has %zu", row->line,
                        row->n_cells, r->n_columns);
    if (r->out->n == r->room) {
        size_t room = 2 * r->room + 64;
        swt_bids_channel *grown = realloc(r->out->channel, room * sizeof *grown);
        if (!grown)
            return swt_fail(err, SWT_ENOMEM, "out of memory");
        r->out->channel = grown;
        r->room = room;
    }
    c = &r->out->channel[r->out->n++];
    memset(c, 0, sizeof *c);
    c->name = swt_text_to_utf8(cell[r->column[NAME]].text, cell[r->column[NAME]].length);
    c->type = swt_text_to_utf8(cell[r->column[TYPE]].text, cell[r->column[TYPE]].length);
    c->point = swt_text_to_utf8(cell[r->column[POINT]].text, cell[r->column[POINT]].length);
    c->unit = swt_text_to_utf8(cell[r->column[UNITS]].text, cell[r->column[UNITS]].length);
    if (!c->name || !c->type || !c->point || !c->unit)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    if (strcmp(c->unit, "n/a") == 0)
        c->unit[0] = '\0';
    if (r->column[RATE] != SIZE_MAX)
        (void)swt_parse_double(&c->rate_hz, cell[r->column[RATE]].text,
                               cell[r->column[RATE]].length, '.');
    return settle_kind(c, row, cell[r->column[COMPONENT]], err);
}

static swt_status take_row(void *context, const swt_csv_row *row, swt_error *err)
{
    reading *r = context;

    return r->has_header ? take_channel(r, row, err) : take_header(r, row, err);
}

swt_status swt_bids_channels_parse(swt_bids_channels *out, const void *text, size_t size,
                                   swt_error *err)
{
    reading r = {.out = out};
    const char *at = text;
    swt_status rc;

    memset(out, 0, sizeof *out);
    if (size >= 3 && memcmp(at, "\xef\xbb\xbf", 3) == 0) {
        at += 3; /* byte order mark */
        size -= 3;
    }
    rc = swt_csv_rows(at, size, '\t', 1, take_row, &r, err);
    if (rc == SWT_OK && out->n == 0)
        rc = swt_fail(err, SWT_EFORMAT, "no channels in it");
    if (rc != SWT_OK)
        swt_bids_channels_reset(out);
    return rc;
}

void swt_bids_channels_reset(swt_bids_channels *channels)
{
    for (size_t i = 0; i < channels->n; i++) {
        free(channels->channel[i].name);
        free(channels->channel[i].type);
        free(channels->channel[i].point);
        free(channels->channel[i].unit);
    }
    free(channels->channel);
    memset(channels, 0, sizeof *channels);
}
