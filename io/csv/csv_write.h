/** @file  Writing captures as CSV, wide or long.
 *  Layer: io. */
#ifndef SWT_IO_CSV_CSV_WRITE_H
#define SWT_IO_CSV_CSV_WRITE_H

#include "base/capture.h"

#include <stdio.h>

typedef struct swt_csv_options {
    char delimiter;    /**< ',', ';' or a tab                                             */
    char decimal_mark; /**< '.' or ','                                                    */
    bool keep_invalid; /**< write coordinates that the file declares invalid, as recorded */
    bool is_long;      /**< a row per marker and frame; analog channels are left out      */
} swt_csv_options;

#define SWT_CSV_OPTIONS_INIT                                                                       \
    {                                                                                              \
        .delimiter = ',', .decimal_mark = '.', .keep_invalid = false, .is_long = false             \
    }

/**
 * Prints key lines (rate, unit), a header row, then wide: a row per frame with frame, time_s when
 * the rate is known, NAME.x, NAME.y, NAME.z of every point, and a column "NAME analog (UNIT)" of
 * every analog channel, its mean over the frame (swt_analog_at_points); or long: a row per marker
 * and frame with marker, frame, time_s, x, y, z. A sample that is no position is left empty.
 * Coordinates read back exactly; the readers leave the analog columns aside.
 * @param[in] options  NULL for SWT_CSV_OPTIONS_INIT
 * @retval SWT_EARG   the decimal mark is also the delimiter
 * @retval SWT_EDATA  two points have one label, or a label is empty
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_csv_print(FILE *stream, const swt_capture *capture,
                                      const swt_csv_options *options, swt_error *err);

/** The same to a file, which appears only when it is complete. @retval SWT_EIO */
SWT_MUST_USE swt_status swt_csv_write(const char *path, const swt_capture *capture,
                                      const swt_csv_options *options, swt_error *err);

#endif
