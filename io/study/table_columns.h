/** @file  What the columns of the CSV tables mean: for dictionary.csv.
 *  Layer: io. Included only by io/study. */
#ifndef SWT_IO_STUDY_TABLE_COLUMNS_H
#define SWT_IO_STUDY_TABLE_COLUMNS_H

#include <stddef.h>

typedef struct swt_table_column {
    const char *table, *name, *meaning, *unit; /**< table "*": every one about swings */
} swt_table_column;

extern const swt_table_column swt_table_columns[];
extern const size_t swt_table_n_columns;

/** Of the tables of a comparison (io/report), which have no columns of the sheet's own. */
extern const swt_table_column swt_comparison_columns[];
extern const size_t swt_comparison_n_columns;

#endif
