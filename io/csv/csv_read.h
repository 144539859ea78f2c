/** @file  Reading captures from delimited text.
 *  Layer: io. The accepted layouts are described in io/capture/README.md. */
#ifndef SWT_IO_CSV_CSV_READ_H
#define SWT_IO_CSV_CSV_READ_H

#include "base/capture.h"

/**
 * Reads a CSV capture held in memory: wide form (one row a frame, NAME.x, NAME.y, NAME.z, in one
 * header row or two) or long form (one row a marker and frame: marker, frame or time, x, y, z).
 *
 * Comma, semicolon or tab and the decimal mark are detected. Key lines before the header state
 * rate and unit; both may be missing (rate_hz 0, unit ""), since a marker map can supply them.
 * Empty cells and the usual spellings of "missing" become NaN. Frames that the frame or time
 * column leaves out become frames of NaN, with a warning.
 *
 * @param[out] out  NULL on failure; residual, events and analog channels are absent
 * @retval SWT_EFORMAT  names line and column, what was found and what was expected
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_csv_parse(swt_capture **out, const void *bytes, size_t size,
                                      swt_error *err);

#endif
