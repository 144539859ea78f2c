/** @file  Text that grows: scripts and pages are made in memory and written when whole.
 *  Layer: io. Numbers come out with a decimal point in every locale. */
#ifndef SWT_IO_REPORT_TEXT_H
#define SWT_IO_REPORT_TEXT_H

#include "base/status.h"

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>

/** Zero-initialise; `bytes` is NUL-terminated once something was added. */
typedef struct swt_text {
    char *bytes;
    size_t length, capacity;
    bool failed; /**< out of memory at some time: the text is not whole */
} swt_text;

/** Appends, printf style. A failure is remembered and told by swt_text_check. */
void swt_text_add(swt_text *text, const char *format, ...) SWT_PRINTF(2, 3);

/** As swt_text_add. */
void swt_text_add_list(swt_text *text, const char *format, va_list arguments) SWT_PRINTF(2, 0);

/** Appends `length` bytes as they are. */
void swt_text_put(swt_text *text, const char *bytes, size_t length);

/** Appends bytes as base64 (RFC 4648, section 4). */
void swt_text_put_base64(swt_text *text, const void *bytes, size_t size);

/** @retval SWT_ENOMEM  some part was lost */
SWT_MUST_USE swt_status swt_text_check(const swt_text *text, swt_error *err);

/** Frees the bytes; the text is empty and usable again. */
void swt_text_reset(swt_text *text);

/**
 * Copies at most `most` characters of UTF-8 text and marks a cut with an ellipsis. Bytes that are
 * no UTF-8 become '?', control characters a blank: the result can go into XML and into a script.
 * @return out
 */
char *swt_text_clean(char *out, size_t size, const char *in, size_t most);

#endif
