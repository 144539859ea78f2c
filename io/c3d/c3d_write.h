/** @file  Writing C3D files.
 *  Layer: io. */
#ifndef SWT_IO_C3D_C3D_WRITE_H
#define SWT_IO_C3D_C3D_WRITE_H

#include "base/capture.h"
#include "io/c3d/c3d_number.h"

typedef struct swt_c3d_options {
    swt_c3d_processor processor;
    bool integers; /**< 16-bit integer data instead of 32-bit reals                        */
    double step;   /**< length unit per integer step and per residual step; 0 = chosen so
                        that the largest value fits                                        */
} swt_c3d_options;

#define SWT_C3D_OPTIONS_INIT                                                                       \
    {                                                                                              \
        .processor = SWT_C3D_INTEL, .integers = false, .step = 0                                   \
    }

/**
 * Makes a C3D file in memory from a capture: points, residuals, camera masks, analog channels,
 * events (EVENT group), labels, descriptions, unit, up axis, first frame.
 *
 * In the form of reals every coordinate that is a single-precision number comes back exactly; a
 * NaN coordinate is written as the format demands, 0, 0, 0 with residual -1. Integers come back
 * within half a step. Event times are stored as single-precision seconds.
 *
 * @param[out] bytes    heap block, the caller frees; NULL on failure
 * @param[in]  options  NULL for SWT_C3D_OPTIONS_INIT
 * @retval SWT_EARG   no frames, or neither points nor analog channels
 * @retval SWT_EDATA  more than the format can hold: a value, a count, the names' size
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_c3d_format(unsigned char **bytes, size_t *size,
                                       const swt_capture *capture, const swt_c3d_options *options,
                                       swt_error *err);

/** The same to a file, which appears only when it is complete. @retval SWT_EIO */
SWT_MUST_USE swt_status swt_c3d_write(const char *path, const swt_capture *capture,
                                      const swt_c3d_options *options, swt_error *err);

#endif
