/** @file  Writing captures as wide CSV.
 *  Layer: io. */
#ifndef SWT_IO_CAPTURE_CSV_WRITE_H
#define SWT_IO_CAPTURE_CSV_WRITE_H

#include "base/capture.h"

#include <stdio.h>

typedef struct swt_csv_options {
    char delimiter;    /**< ',', ';' or a tab                                             */
    char decimal_mark; /**< '.' or ','                                                    */
    bool keep_invalid; /**< write coordinates that the file declares invalid, as recorded */
} swt_csv_options;

#define SWT_CSV_OPTIONS_INIT                                                                       \
    {                                                                                              \
        .delimiter = ',', .decimal_mark = '.', .keep_invalid = false                               \
    }

/**
 * Prints key lines (rate, unit), a header row and a row per frame: frame, time_s when the rate is
 * known, and NAME.x, NAME.y, NAME.z of every point. A sample that is no position is left empty.
 * Numbers read back exactly.
 * @param[in] options  NULL for SWT_CSV_OPTIONS_INIT
 * @retval SWT_EARG   the decimal mark is also the delimiter
 * @retval SWT_EDATA  two points have one label, or a label is empty
 */
SWT_MUST_USE swt_status swt_csv_print(FILE *stream, const swt_capture *capture,
                                      const swt_csv_options *options, swt_error *err);

/** The same to a file, which appears only when it is complete. @retval SWT_EIO */
SWT_MUST_USE swt_status swt_csv_write(const char *path, const swt_capture *capture,
                                      const swt_csv_options *options, swt_error *err);

#endif
