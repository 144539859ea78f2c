/** @file  What a capture holds, for a person or a script.
 *  Layer: io. */
#ifndef SWT_IO_CAPTURE_INSPECT_H
#define SWT_IO_CAPTURE_INSPECT_H

#include "base/capture.h"

#include <stdio.h>

typedef enum swt_inspect_form {
    SWT_INSPECT_TEXT, /**< aligned tables                          */
    SWT_INSPECT_JSON, /**< one object on one line per capture       */
    SWT_INSPECT_CSV   /**< one row per point, after a header row    */
} swt_inspect_form;

/** Prints what goes before the first capture: the header row of the CSV form. */
void swt_inspect_begin(FILE *stream, swt_inspect_form form);

/** Prints one capture. `path` is only shown. @retval SWT_ENOMEM */
SWT_MUST_USE swt_status swt_inspect_print(FILE *stream, const swt_capture *capture,
                                          const char *path, swt_inspect_form form, swt_error *err);

#endif
