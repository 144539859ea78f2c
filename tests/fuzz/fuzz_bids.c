/* Any bytes as a BIDS recording: the samples, the table of channels and the sidecar, parted by
   NUL. */
#include "io/bids/bids_read.h"
#include "tests/fuzz/fuzz.h"

#include <stdlib.h>
#include <string.h>

static size_t part(const uint8_t **at, size_t *left, const uint8_t **bytes)
{
    const uint8_t *end = *left > 0 ? memchr(*at, 0, *left) : NULL;
    size_t size = end ? (size_t)(end - *at) : *left;

    *bytes = *at;
    *at += size + (end != NULL);
    *left -= size + (end != NULL);
    return size;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const uint8_t *motion, *channels, *json;
    size_t n_motion = part(&data, &size, &motion), n_channels = part(&data, &size, &channels);
    size_t n_json = part(&data, &size, &json);
    swt_bids_channels table;
    swt_bids_facts facts = {0};
    swt_capture *c = NULL;
    swt_error err = SWT_ERROR_INIT;
    swt_status rc = swt_bids_channels_parse(&table, channels, n_channels, &err);

    if (rc == SWT_OK)
        rc = swt_bids_facts_add(&facts, json, n_json, &err);
    if (rc == SWT_OK)
        rc = swt_bids_parse(&c, motion, n_motion, &table, &facts, &err);
    if ((rc == SWT_OK) != (c != NULL) || (rc != SWT_OK && err.msg[0] == '\0'))
        abort();
    if (c && (c->n_frames == 0 || c->n_points == 0))
        abort();
    swt_capture_free(c);
    swt_bids_channels_reset(&table);
    return 0;
}
