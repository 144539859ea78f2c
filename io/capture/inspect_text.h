/** @file  The forms in which a capture's content is printed.
 *  Layer: io. Internal to inspect.c. */
#ifndef SWT_IO_CAPTURE_INSPECT_TEXT_H
#define SWT_IO_CAPTURE_INSPECT_TEXT_H

#include "io/capture/point_summary.h"

#include <stdio.h>

void swt_inspect_text(FILE *stream, const swt_capture *capture, const char *path,
                      const swt_point_summary *points);
void swt_inspect_json(FILE *stream, const swt_capture *capture, const char *path,
                      const swt_point_summary *points);

#endif
