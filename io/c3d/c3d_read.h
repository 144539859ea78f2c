/** @file  Reading C3D files, the open format of motion laboratories.
 *  Layer: io. Source: public description of the format at c3d.org; deviations that real files
 *  show are accepted with a warning, see io/capture/README.md. */
#ifndef SWT_IO_C3D_C3D_READ_H
#define SWT_IO_C3D_C3D_READ_H

#include "base/capture.h"

#include <stdbool.h>

/** True when the bytes carry the C3D key (byte 1 = 0x50). */
bool swt_c3d_recognise(const void *bytes, size_t size);

/**
 * Reads a C3D file held in memory.
 *
 * Coordinates stay in the file's unit and axes, invalid points stay as recorded with residual -1.
 * Analog channels are scaled to their units; event times count from the first stored frame.
 *
 * @param[out] out  the capture, with a warning for each deviation; NULL on failure
 * @retval SWT_EFORMAT  names the byte offset, what was found and what was expected
 * @retval SWT_ENOMEM
 * Never reads outside the block; memory stays within a small multiple of `size`.
 */
SWT_MUST_USE swt_status swt_c3d_parse(swt_capture **out, const void *bytes, size_t size,
                                      swt_error *err);

#endif
