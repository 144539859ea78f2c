/** @file  A growing list of distinct names, found again in constant time.
 *  Layer: io. */
#ifndef SWT_IO_NAMES_H
#define SWT_IO_NAMES_H

#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>

/** Zero it to begin; swt_names_reset ends it. */
typedef struct swt_names {
    size_t n;
    char **name; /**< in the order in which they were added; NUL-terminated */
    size_t n_slots;
    size_t *slot; /**< open addressing: index + 1, 0 = free */
} swt_names;

/** Index of `text[0..length)`, which is added when it is new. @retval SWT_ENOMEM */
SWT_MUST_USE swt_status swt_names_add(size_t *index, swt_names *names, const char *text,
                                      size_t length, swt_error *err);

/** Is `text[0..length)` among the names? `index` is set only then. */
bool swt_names_find(size_t *index, const swt_names *names, const char *text, size_t length);

/** Frees all; a zeroed struct is allowed. */
void swt_names_reset(swt_names *names);

#endif
