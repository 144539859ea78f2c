#include "comparison/kinds.h"

#include <stdlib.h>

swt_status swt_commonest_kind(size_t *row, const size_t *kind, const bool *chosen, size_t n,
                              swt_error *err)
{
    size_t *count = calloc(n + 1, sizeof *count), most = 0;

    *row = n;
    if (!count)
        return swt_fail(err, SWT_ENOMEM, "no memory to count %zu swings", n);
    for (size_t i = 0; i < n; i++)
        count[kind[i]] += !chosen || chosen[i];
    for (size_t i = 0; i < n; i++)
        if ((!chosen || chosen[i]) && count[kind[i]] > most) {
            most = count[kind[i]];
            *row = i;
        }
    free(count);
    return SWT_OK;
}

swt_status swt_gather_sets(size_t *row, swt_set *set, size_t *n_sets, const bool *chosen,
                           const size_t *player, const size_t *kind, size_t n, swt_error *err)
{
    bool *left = calloc(n + 1, sizeof *left);
    size_t n_rows = 0;

    *n_sets = 0;
    if (!left)
        return swt_fail(err, SWT_ENOMEM, "no memory to gather %zu swings", n);
    for (size_t i = 0; i < n; i++)
        left[i] = chosen[i];
    for (size_t first = 0; first < n; first++) {
        bool fresh = left[first];
        for (size_t i = first; fresh && i < n; i++) { /* each kind of this player in turn */
            swt_set *s = &set[*n_sets];
            if (!left[i] || player[i] != player[first])
                continue;
            s->first = n_rows;
            for (size_t j = i; j < n; j++)
                if (left[j] && player[j] == player[first] && kind[j] == kind[i]) {
                    row[n_rows++] = j;
                    left[j] = false;
                }
            s->n = n_rows - s->first;
            ++*n_sets;
        }
    }
    free(left);
    return SWT_OK;
}
