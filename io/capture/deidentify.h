/** @file  Captures without what tells whose they are, for sharing.
 *  Layer: io. Keeps what kinematics needs: labels, trajectories, analog channels, rate, unit, axes,
 *  times of events. */
#ifndef SWT_IO_CAPTURE_DEIDENTIFY_H
#define SWT_IO_CAPTURE_DEIDENTIFY_H

#include "base/capture.h"
#include "io/names.h"

/**
 * Takes descriptions, names of events and reader's notes out of a capture and calls the subjects
 * before labels ("NAME:LASI") S1, S2, ... in the order in which they come.
 * @param[out] removed  gets a line for each kind of thing that was taken out, never its content
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_capture_deidentify(swt_capture *capture, swt_names *removed,
                                               swt_error *err);

/**
 * Reads a capture, de-identifies it and writes it in the same kind of format, C3D as C3D in reals,
 * everything else as CSV. Of a C3D file each parameter that is not carried over is listed too.
 * @param[in] path_without_ending  ".c3d" or ".csv" is added
 * @param[out] written             the whole path; the caller frees
 */
SWT_MUST_USE swt_status swt_capture_file_deidentify(char **written, swt_names *removed,
                                                    const char *path_without_ending,
                                                    const char *source, swt_error *err);

#endif
