/** @file  A CSV text as rows of cells, the way spreadsheets write it (libcsv).
 *  Layer: io. Knows nothing of what the cells mean. */
#ifndef SWT_IO_SHEET_CELLS_H
#define SWT_IO_SHEET_CELLS_H

#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>

enum { SWT_CELL_LONGEST = 2000 };

/** Who takes the rows and the complaints. Texts are valid during the call only. */
typedef struct swt_cells_taker {
    /** One row that is not blank; cells are trimmed UTF-8. @return false to stop (no memory) */
    bool (*row)(void *user, int line, char **cell, size_t n);
    /** A line that cannot be read, in words; `line` 0 means the whole text. */
    void (*problem)(void *user, int line, const char *text);
    void *user;
} swt_cells_taker;

/**
 * Splits a text into rows. The separator is the comma, semicolon or tab that is most frequent in
 * the first line; '#' lines and blank rows are passed over; a byte-order mark, LF, CR LF and CR,
 * and quoted cells with line breaks are all understood.
 * @retval SWT_OK      read to the end, or to the first line that cannot be read: see `problem`
 * @retval SWT_ENOMEM  out of memory, or `row` returned false
 */
SWT_MUST_USE swt_status swt_cells_read(const unsigned char *bytes, size_t size,
                                       const swt_cells_taker *taker);

#endif
