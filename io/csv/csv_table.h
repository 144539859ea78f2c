/** @file  A CSV capture while it is being read: preamble, header, samples so far.
 *  Layer: io. Internal to the CSV reader. */
#ifndef SWT_IO_CSV_CSV_TABLE_H
#define SWT_IO_CSV_CSV_TABLE_H

#include "io/csv/csv_column.h"

/** Doubles that grow. */
typedef struct swt_csv_list {
    double *value;
    size_t n, capacity;
} swt_csv_list;

typedef struct swt_csv_table {
    char delimiter;
    char decimal_mark; /**< '.' or ','; 0 until a cell shows it        */
    double rate_hz;    /**< stated in a key line, 0 when not           */
    char unit[32];     /**< stated in a key line or header, "" if not */
    bool has_header;
    swt_csv_header header;
    char *pending; /**< a row of names that waits for its row of axes  */
    swt_csv_cell *pending_cell;
    size_t n_pending, pending_line;
    size_t n_rows;
    size_t n_markers; /**< columns of `xyz` / 3; 1 in long form          */
    swt_csv_list xyz; /**< 3 * n_markers values a row                    */
    swt_csv_list frame, time_s, line;
    swt_names names;    /**< long form                                   */
    swt_csv_list which; /**< long form: the marker of each row           */
} swt_csv_table;

/** Takes one row of the file, whatever it is: a swt_csv_take_row for swt_csv_rows. */
swt_status swt_csv_table_take(void *table, const swt_csv_row *row, swt_error *err);

/** Takes "rate_hz = 240", "units: mm" and their like; other text is no failure.
 *  @retval SWT_EFORMAT  a key that is known, with a value that cannot be used */
SWT_MUST_USE swt_status swt_csv_table_take_key(swt_csv_table *table, const char *key,
                                               size_t key_length, const char *value,
                                               size_t value_length, size_t line, swt_error *err);

SWT_MUST_USE swt_status swt_csv_list_add(swt_csv_list *list, double value, swt_error *err);

void swt_csv_table_reset(swt_csv_table *table);

#endif
