/** @file  The columns of a stored comparison. Included only by io/study. */
#ifndef SWT_IO_STUDY_COMPARISON_COLUMNS_H
#define SWT_IO_STUDY_COMPARISON_COLUMNS_H

#include "io/study/comparison_store.h"
#include "io/study/study_layout.h"

/** A table of a comparison: a row per corridor, path, departure, scored or reference swing. */
typedef enum swt_kept_table {
    SWT_KEPT_REFERENCE,
    SWT_KEPT_CORRIDORS,
    SWT_KEPT_PATHS,
    SWT_KEPT_DEPARTURES,
    SWT_KEPT_SCORES,
    SWT_KEPT_TABLES
} swt_kept_table;

/** Values packed over the samples of all corridors (or paths), in the order of their rows. */
typedef struct swt_kept_array {
    const char *name, *title;
    bool of_path, counts; /**< counts: size_t, else double               */
    size_t offset;        /**< of the pointer in the corridor            */
    size_t width;         /**< values a sample                           */
} swt_kept_array;

extern const swt_kept_array swt_kept_arrays[];
extern const size_t swt_kept_n_arrays;

/** The columns of a table; the block is static. */
const swt_column *swt_kept_columns(size_t *n, swt_kept_table table);

/** Number of rows of a table. */
size_t swt_kept_rows(const swt_kept_comparison *c, swt_kept_table table);

/** Field of a row. */
void *swt_kept_at(const swt_kept_comparison *c, swt_kept_table table, const swt_column *column,
                  size_t row);

/** "corridors/<name>", "corridors/<name>/paths", "departures/<name>",
 *  "departures/<name>/scores", for one dataset in it. */
void swt_kept_path_of(char *out, size_t size, const char *comparison, swt_kept_table table,
                      const char *column);

/** Samples of a row of corridors or paths. */
size_t swt_kept_samples(const swt_kept_comparison *c, bool of_path, size_t row);

/** The pointer to a row's array. */
void **swt_kept_array_at(const swt_kept_comparison *c, const swt_kept_array *array, size_t row);

#endif
