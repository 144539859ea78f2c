#include "kinematics/marker_map.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

void swt_marker_map_init(swt_marker_map *map)
{
    memset(map, 0, sizeof *map);
    map->up = 3;
    map->marker_radius_m = 0.007;
    map->shoulder_drop_m = 0.040;
}

void swt_marker_map_reset(swt_marker_map *map)
{
    free(map->entry);
    swt_marker_map_init(map);
}

size_t swt_label_distance(const char *a, const char *b)
{
    size_t row[SWT_MAP_LABEL + 1];
    size_t n = strlen(b);

    if (n > SWT_MAP_LABEL)
        n = SWT_MAP_LABEL;
    for (size_t j = 0; j <= n; j++)
        row[j] = j;
    for (size_t i = 1; *a; a++, i++) {
        size_t diagonal = row[0];
        row[0] = i;
        for (size_t j = 1; j <= n; j++) {
            size_t above = row[j];
            size_t best =
                diagonal + (tolower((unsigned char)*a) != tolower((unsigned char)b[j - 1]));
            if (above + 1 < best)
                best = above + 1;
            if (row[j - 1] + 1 < best)
                best = row[j - 1] + 1;
            row[j] = best;
            diagonal = above;
        }
    }
    return row[n];
}
