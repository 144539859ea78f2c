/** @file  The data section of a C3D file: points and analog samples, frame by frame.
 *  Layer: io. */
#ifndef SWT_IO_C3D_C3D_DATA_H
#define SWT_IO_C3D_C3D_DATA_H

#include "io/c3d/c3d_layout.h"

/**
 * Fills coordinates, residuals, camera masks and analog samples of a capture of
 * `layout->n_frames` frames, whose n_analog channels have been allocated.
 *
 * Points: integer X, Y, Z times the scale; real ones as they are. Fourth word (reals: converted
 * to 16 bits first): negative = invalid; else low byte = residual in steps of the scale, high
 * byte = cameras. Analog: (raw - offset) * scale * general scale.
 *
 * An infinite coordinate is no number and comes out as NaN.
 *
 * @param[in] offset,scale  n_analog values each; scale includes the general scale
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_c3d_data_read(swt_capture *capture, const unsigned char *bytes,
                                          const swt_c3d_layout *layout, const double *offset,
                                          const double *scale, bool analog_is_unsigned,
                                          swt_error *err);

#endif
