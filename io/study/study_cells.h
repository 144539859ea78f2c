/** @file  The row columns of a checkpoint, one after the other in one dataset.
 *  Layer: io. Included only by io/study. They are some hundreds, of a few dozen cells each: as
 *  datasets of their own they cost as much time as all samples of the captures. */
#ifndef SWT_IO_STUDY_STUDY_CELLS_H
#define SWT_IO_STUDY_STUDY_CELLS_H

#include "io/study/study_column.h"

struct swt_layout;

/** Cells of every column that is not bulk; empty (zero) where a study has none in one dataset. */
typedef struct swt_study_cells {
    size_t n, size; /**< columns of the layout, bytes in all                    */
    size_t *length; /**< of a text column's cells, 1 for numbers, 0 for bulk    */
    size_t *at;     /**< where a column begins among the bytes                  */
    char *bytes;    /**< owned, as the lists                                    */
} swt_study_cells;

/** Room for the layout's rows; text lengths by column. */
SWT_MUST_USE swt_status swt_study_cells_new(swt_study_cells *cells, const struct swt_layout *layout,
                                            const size_t *length, swt_error *err);
void swt_study_cells_free(swt_study_cells *cells);

static inline bool swt_study_cells_hold(const swt_study_cells *cells, size_t column)
{
    return column < cells->n && cells->length[column] > 0;
}

/** The cells of a column that is held. */
static inline char *swt_study_cells_of(const swt_study_cells *cells, size_t column)
{
    return cells->bytes + cells->at[column];
}

bool swt_study_cells_write(hid_t file, const swt_study_cells *cells, const size_t rows[SWT_AXES]);

/** Is there such a dataset? */
bool swt_study_cells_are_in(hid_t file);

/** Reads it; the layout's rows become those of the file. @return false where it is damaged; free it
 *  all the same */
bool swt_study_cells_read(swt_study_cells *cells, struct swt_layout *layout, hid_t file,
                          uint64_t file_size);

#endif
