/** @file  The parameter section that the C3D writer makes.
 *  Layer: io. Internal to the writer. */
#ifndef SWT_IO_C3D_C3D_SECTION_H
#define SWT_IO_C3D_C3D_SECTION_H

#include "base/capture.h"
#include "io/c3d/c3d_number.h"

/** What the section says about the data, settled before it is made. */
typedef struct swt_c3d_form {
    swt_c3d_processor processor;
    bool integers;
    double step;          /**< > 0, a single-precision number                        */
    double *analog_scale; /**< n_analog; 1 in the form of reals                      */
} swt_c3d_form;

/**
 * Makes the parameter section, padded to whole blocks.
 * @param[out] section        heap block, the caller frees
 * @param[out] data_start_at  where in it the 16-bit number of the first data block goes
 * @retval SWT_EDATA  a label of more than 255 bytes, or more than 255 blocks of names
 */
SWT_MUST_USE swt_status swt_c3d_section_make(unsigned char **section, size_t *size,
                                             size_t *data_start_at, const swt_capture *capture,
                                             const swt_c3d_form *form, swt_error *err);

#endif
