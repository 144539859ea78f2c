/** @file  What a C3D file says about its data: names, units, events, kinds of point.
 *  Layer: io. Internal to the reader. */
#ifndef SWT_IO_C3D_C3D_DESCRIBE_H
#define SWT_IO_C3D_C3D_DESCRIBE_H

#include "io/c3d/c3d_layout.h"

/** Labels, descriptions, unit, up axis, format line; points without a label become M001, ... */
SWT_MUST_USE swt_status swt_c3d_describe_points(swt_capture *capture,
                                                const swt_c3d_parameters *parameters,
                                                const swt_c3d_layout *layout, swt_error *err);

/** Flags the points that POINT:ANGLES, FORCES, ... list: they hold no positions. */
SWT_MUST_USE swt_status swt_c3d_flag_computed(swt_capture *capture,
                                              const swt_c3d_parameters *parameters, swt_error *err);

/** Events of the EVENT group (times count from frame 1 of the recording) and of the header
 *  (times count from the first stored frame), once each. */
SWT_MUST_USE swt_status swt_c3d_read_events(swt_capture *capture, const unsigned char *header,
                                            const swt_c3d_parameters *parameters, swt_error *err);

/**
 * Allocates the analog channels with labels, units and room for their samples.
 * @param[out] offset,scale  heap blocks of n_analog values for swt_c3d_data_read; caller frees
 */
SWT_MUST_USE swt_status swt_c3d_describe_analog(swt_capture *capture, double **offset,
                                                double **scale, bool *is_unsigned,
                                                const swt_c3d_parameters *parameters,
                                                const swt_c3d_layout *layout, swt_error *err);

#endif
