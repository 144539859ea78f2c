/** @file  Delimited text, row by row (RFC 4180 through libcsv), with line numbers for messages.
 *  Layer: io. */
#ifndef SWT_IO_CSV_CSV_ROWS_H
#define SWT_IO_CSV_CSV_ROWS_H

#include "base/status.h"

#include <stddef.h>
#include <stdio.h>

typedef struct swt_csv_cell {
    const char *text; /**< not NUL-terminated */
    size_t length;
} swt_csv_cell;

/** One row; its cells live until the next row is read. */
typedef struct swt_csv_row {
    size_t line; /**< where it begins, counted from 1 */
    size_t n_cells;
    const swt_csv_cell *cell;
} swt_csv_row;

/** Takes one row; any status but SWT_OK ends the reading. */
typedef swt_status swt_csv_take_row(void *context, const swt_csv_row *row, swt_error *err);

/**
 * Hands every row that is not blank to `take`. Memory: one row.
 * @param first_line  the number of the first line, for messages
 * @retval SWT_EFORMAT  a quote in the wrong place or never closed, with its line
 * @retval SWT_ENOMEM, or what `take` returned
 */
SWT_MUST_USE swt_status swt_csv_rows(const char *text, size_t size, char delimiter,
                                     size_t first_line, swt_csv_take_row *take, void *context,
                                     swt_error *err);

/** Writes one cell, quoted when it holds a delimiter, a quote, a line end or outer blanks. */
void swt_csv_put_cell(FILE *stream, const char *text, char delimiter);

#endif
