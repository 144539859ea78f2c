/** @file  Text from files whose encoding nobody declared.
 *  Layer: io. */
#ifndef SWT_IO_TEXT_H
#define SWT_IO_TEXT_H

#include <stdbool.h>
#include <stddef.h>

/** True when the bytes are well-formed UTF-8 (RFC 3629: no overlong form, no surrogate). */
bool swt_text_is_utf8(const void *bytes, size_t length);

/**
 * Copies text as UTF-8: unchanged when it already is, else read as Latin-1, the code page of the
 * recorders that predate UTF-8. Ends at the first NUL; blanks at both ends are dropped.
 * @return a heap string that the caller frees, NULL when memory is out
 */
char *swt_text_to_utf8(const void *bytes, size_t length);

#define SWT_EXCERPT 48 /**< room for an excerpt */

/** The start of a text, fit for a message: whole UTF-8 characters, '?' for what is none or is a
 *  control character, "..." at the end when it was cut. Returns `out`. */
const char *swt_text_excerpt(char out[SWT_EXCERPT], const void *bytes, size_t length);

/** Columns that a UTF-8 text takes on a terminal (0 for combining marks, 2 for wide scripts). */
size_t swt_text_width(const char *text);

#endif
