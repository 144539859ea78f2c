/* A recording with what lies beside it. */
#include "base/numtext.h"
#include "io/bids/bids_read.h"
#include "io/csv/csv_rows.h"
#include "io/files.h"
#include "io/text.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* ---- *_events.tsv ---- */

typedef struct events {
    swt_capture *capture;
    bool has_header;
    size_t n_columns, onset, type; /* SIZE_MAX: not there */
} events;

static swt_status take_event(void *context, const swt_csv_row *row, swt_error *err)
{
    events *e = context;
    char *label;
    double onset_s;
    swt_status rc;

    if (!e->has_header) {
        e->has_header = true;
        e->n_columns = row->n_cells;
        for (size_t i = row->n_cells; i-- > 0;) {
            if (row->cell[i].length == 5 && memcmp(row->cell[i].text, "onset", 5) == 0)
                e->onset = i;
            if (row->cell[i].length == 10 && memcmp(row->cell[i].text, "trial_type", 10) == 0)
                e->type = i;
        }
        return e->onset != SIZE_MAX
                   ? SWT_OK
                   : swt_fail(err, SWT_EFORMAT, "line %zu: no column \"onset\"", row->line);
    }
    if (row->n_cells != e->n_columns)
        return swt_fail(err, SWT_EFORMAT, "line %zu: %zu cells, the header has %zu", row->line,
                        row->n_cells, e->n_columns);
    if (!swt_parse_double(&onset_s, row->cell[e->onset].text, row->cell[e->onset].length, '.'))
        return SWT_OK; /* n/a: it happened, but nobody knows when */
    label = e->type == SIZE_MAX
                ? strdup("")
                : swt_text_to_utf8(row->cell[e->type].text, row->cell[e->type].length);
    if (!label)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    rc = swt_capture_add_event(e->capture, label, "", onset_s, err);
    free(label);
    return rc;
}

swt_status swt_bids_events_parse(swt_capture *capture, const void *text, size_t size,
                                 swt_error *err)
{
    events e = {.capture = capture, .onset = SIZE_MAX, .type = SIZE_MAX};

    return swt_csv_rows(text, size, '\t', 1, take_event, &e, err);
}

/* ---- files ---- */

static swt_status read_facts(swt_bids_facts *facts, const swt_bids_beside *beside, swt_error *err)
{
    swt_status rc = SWT_OK;

    for (size_t i = 0; i < beside->n_json && rc == SWT_OK; i++) {
        unsigned char *bytes;
        size_t size;
        rc = swt_file_read(&bytes, &size, beside->json[i], err);
        if (rc == SWT_OK)
            rc = swt_bids_facts_add(facts, bytes, size, err);
        if (rc != SWT_OK)
            swt_error_prefix(err, "%s", beside->json[i]);
        free(bytes);
    }
    return rc;
}

static swt_status read_channels(swt_bids_channels *channels, const swt_bids_beside *beside,
                                swt_error *err)
{
    unsigned char *bytes;
    size_t size;
    swt_status rc;

    if (!beside->channels)
        return swt_fail(err, SWT_EFORMAT,
                        "no *_channels.tsv beside it or above it tells what its columns are");
    rc = swt_file_read(&bytes, &size, beside->channels, err);
    if (rc == SWT_OK)
        rc = swt_bids_channels_parse(channels, bytes, size, err);
    if (rc != SWT_OK)
        swt_error_prefix(err, "%s", beside->channels);
    free(bytes);
    return rc;
}

static swt_status read_events(swt_capture *capture, const swt_bids_beside *beside, swt_error *err)
{
    unsigned char *bytes;
    size_t size;
    swt_status rc;

    if (!beside->events)
        return SWT_OK;
    rc = swt_file_read(&bytes, &size, beside->events, err);
    if (rc == SWT_OK)
        rc = swt_bids_events_parse(capture, bytes, size, err);
    if (rc != SWT_OK)
        swt_error_prefix(err, "%s", beside->events);
    free(bytes);
    return rc;
}

swt_status swt_bids_read(swt_capture **out, const char *path, const void *motion, size_t size,
                         swt_error *err)
{
    swt_bids_beside beside;
    swt_bids_channels channels = {0};
    swt_bids_facts facts = {0};
    swt_capture *capture = NULL;
    swt_status rc = swt_bids_beside_find(&beside, path, err);

    *out = NULL;
    if (rc != SWT_OK)
        return rc;
    rc = read_channels(&channels, &beside, err);
    if (rc == SWT_OK)
        rc = read_facts(&facts, &beside, err);
    if (rc == SWT_OK)
        rc = swt_bids_parse(&capture, motion, size, &channels, &facts, err);
    if (rc == SWT_OK && beside.n_json == 0)
        swt_capture_warn(capture, "no *_motion.json beside it or above it");
    if (rc == SWT_OK)
        rc = read_events(capture, &beside, err);
    if (rc == SWT_OK) {
        *out = capture;
        capture = NULL;
    }
    swt_capture_free(capture);
    swt_bids_channels_reset(&channels);
    swt_bids_beside_reset(&beside);
    return rc;
}
