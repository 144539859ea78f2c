/** @file  Reading a capture file, whatever its format.
 *  Layer: io. */
#ifndef SWT_IO_CAPTURE_READ_H
#define SWT_IO_CAPTURE_READ_H

#include "base/capture.h"
#include "io/files.h"

/**
 * Reads a C3D, CSV or BIDS capture; which one is told from the content and the name's ending
 * (`*_motion.tsv` is BIDS, and what lies beside it is read too).
 *
 * @param[out] out     NULL on failure
 * @param[out] sha256  of the file's bytes, as text; may be NULL; set whenever the file was read
 * @retval SWT_EIO      the file cannot be read
 * @retval SWT_EFORMAT  it is broken, or no capture; every message begins with the path
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_capture_read(swt_capture **out, const char *path,
                                         char sha256[SWT_SHA256_TEXT], swt_error *err);

#endif
