/* Any bytes as a marker map. */
#include "io/sheet/map_ini.h"
#include "tests/fuzz/fuzz.h"

#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    unsigned char *text = malloc(size + 1);
    swt_marker_map map;
    swt_error err = SWT_ERROR_INIT;
    swt_status rc;

    if (!text)
        return 0;
    if (size > 0)
        memcpy(text, data, size);
    text[size] = 0;
    rc = swt_map_ini_parse(&map, text, size, &err);
    if (rc != SWT_OK && (map.entry || err.msg[0] == '\0'))
        abort();
    for (size_t e = 0; e < map.n_entries; e++) /* nothing that binding could trip over */
        if (map.entry[e].n_labels == 0 || map.entry[e].n_labels > SWT_MAP_ALTERNATIVES ||
            swt_landmark_from_key(map.entry[e].key, SWT_LEFT_HANDED) == SWT_LANDMARK_COUNT)
            abort();
    if (rc == SWT_OK && (map.n_entries == 0 || map.up == 0))
        abort();
    swt_marker_map_reset(&map);
    free(text);
    return 0;
}
