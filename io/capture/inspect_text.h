/** @file  The forms in which a capture's content is printed.
 *  Layer: io. Internal to inspect.c. */
#ifndef SWT_IO_CAPTURE_INSPECT_TEXT_H
#define SWT_IO_CAPTURE_INSPECT_TEXT_H

#include "io/capture/inspect.h"

/** Seconds from the first frame to the last, plus one frame; NaN without a rate. */
double swt_inspect_duration_s(const swt_capture *capture);

/** Points that hold no positions. */
size_t swt_inspect_computed(const swt_capture *capture);

void swt_inspect_text(FILE *stream, const swt_capture *capture, const char *path,
                      const swt_point_summary *points);
void swt_inspect_json(FILE *stream, const swt_capture *capture, const char *path,
                      const swt_point_summary *points);

#endif
