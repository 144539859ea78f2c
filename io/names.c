#include "io/names.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* FNV-1a, 64 bits (Fowler, Noll, Vo). */
static uint64_t hash(const char *text, size_t length)
{
    uint64_t h = 14695981039346656037u;

    for (size_t i = 0; i < length; i++)
        h = (h ^ (unsigned char)text[i]) * 1099511628211u;
    return h;
}

/* The slot that holds the name, or the free one where it belongs. */
static size_t find_slot(const swt_names *names, const char *text, size_t length)
{
    size_t at = (size_t)hash(text, length) & (names->n_slots - 1);

    for (; names->slot[at] != 0; at = (at + 1) & (names->n_slots - 1)) {
        const char *name = names->name[names->slot[at] - 1];
        if (strlen(name) == length && memcmp(name, text, length) == 0)
            break;
    }
    return at;
}

/* Doubles the table, always a power of two and at most half full. */
static swt_status make_room(swt_names *names, swt_error *err)
{
    size_t n_slots = names->n_slots ? 2 * names->n_slots : 64;
    size_t *slot = calloc(n_slots, sizeof *slot);
    char **name = realloc(names->name, n_slots / 2 * sizeof *name);

    if (name)
        names->name = name;
    if (!slot || !name) {
        free(slot);
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    }
    free(names->slot);
    names->slot = slot;
    names->n_slots = n_slots;
    for (size_t i = 0; i < names->n; i++)
        slot[find_slot(names, name[i], strlen(name[i]))] = i + 1;
    return SWT_OK;
}

swt_status swt_names_add(size_t *index, swt_names *names, const char *text, size_t length,
                         swt_error *err)
{
    const char *nul = length ? memchr(text, 0, length) : NULL;
    size_t at;
    char *copy;

    if (nul)
        length = (size_t)(nul - text);
    if (names->n_slots == 0 || names->n == names->n_slots / 2) {
        swt_status rc = make_room(names, err);
        if (rc != SWT_OK)
            return rc;
    }
    at = find_slot(names, text, length);
    if (names->slot[at] == 0) {
        copy = malloc(length + 1);
        if (!copy)
            return swt_fail(err, SWT_ENOMEM, "out of memory");
        if (length > 0)
            memcpy(copy, text, length);
        copy[length] = '\0';
        names->name[names->n] = copy;
        names->slot[at] = ++names->n;
    }
    *index = names->slot[at] - 1;
    return SWT_OK;
}

bool swt_names_find(size_t *index, const swt_names *names, const char *text, size_t length)
{
    size_t at = names->n_slots ? names->slot[find_slot(names, text, length)] : 0;

    if (at > 0)
        *index = at - 1;
    return at > 0;
}

void swt_names_reset(swt_names *names)
{
    for (size_t i = 0; i < names->n; i++)
        free(names->name[i]);
    free(names->name);
    free(names->slot);
    memset(names, 0, sizeof *names);
}
