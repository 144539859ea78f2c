/** @file  Cells of the CSV tables that are written beside a report.
 *  Layer: io. */
#ifndef SWT_IO_CSV_CSV_CELLS_H
#define SWT_IO_CSV_CSV_CELLS_H

#include <stdio.h>

/** A text in quotes (libcsv), and a comma. */
void swt_csv_put_text(FILE *stream, const char *text);

/** A number of 12 digits, nothing where it is not finite; then `after`: a comma or the row's end.
 */
void swt_csv_put_number(FILE *stream, double value, const char *after);

#endif
