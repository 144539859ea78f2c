/** @file  What the columns of a CSV capture hold, told from their names.
 *  Layer: io. Internal to the reader. */
#ifndef SWT_IO_CSV_CSV_COLUMN_H
#define SWT_IO_CSV_CSV_COLUMN_H

#include "io/csv/csv_rows.h"
#include "io/names.h"
#include "io/text.h"

#include <stdbool.h>

typedef enum swt_csv_role {
    SWT_CSV_UNRELATED,
    SWT_CSV_TIME,
    SWT_CSV_FRAME,
    SWT_CSV_MARKER,    /**< long form: the marker's name    */
    SWT_CSV_COORDINATE /**< of `marker` (0 in long form)    */
} swt_csv_role;

typedef struct swt_csv_column {
    swt_csv_role role;
    size_t marker;
    size_t axis;   /**< 0, 1, 2                              */
    double second; /**< of a time column: its unit in seconds */
} swt_csv_column;

typedef struct swt_csv_header {
    bool is_long;
    size_t n_columns;
    swt_csv_column *column;
    swt_names markers;           /**< of the wide form                                        */
    char unit[16];               /**< stated in column names, "" when not                     */
    size_t n_unrelated;          /**< columns that are left aside                             */
    char unrelated[SWT_EXCERPT]; /**< the name of the first of them                           */
    bool has_time, has_frame;
} swt_csv_header;

/**
 * Tries to read a header from one row, or from a row of names and a row of axes below it.
 * @param[in]  axes        NULL for a header of one row
 * @param[out] recognised  false when these rows are no header; `out` is then empty
 * @retval SWT_EFORMAT     it is one, but ambiguous; line and column are named
 */
SWT_MUST_USE swt_status swt_csv_header_read(swt_csv_header *out, bool *recognised,
                                            const swt_csv_row *names, const swt_csv_row *axes,
                                            swt_error *err);

void swt_csv_header_reset(swt_csv_header *header);

/** True when every cell of the row that is not empty is x, y, z or names a time or frame column,
 *  and at least three are axes. */
bool swt_csv_is_axes_row(const swt_csv_row *row);

/** Lower-case letters and digits of a text, cut to size: "Frame rate [Hz]" -> "frameratehz". */
void swt_csv_plain(char *out, size_t size, const char *text, size_t length);

#endif
