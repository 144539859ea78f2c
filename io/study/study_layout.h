/** @file  The study's columns as a table: written, merged, read and verified from one list.
 *  Layer: io. Included only by io/study. Adding a column is adding a line in study_layout.c. */
#ifndef SWT_IO_STUDY_STUDY_LAYOUT_H
#define SWT_IO_STUDY_STUDY_LAYOUT_H

#include "io/study/study_cells.h"
#include "io/study/study_column.h"
#include "kinematics/gaps.h"

typedef struct swt_layout {
    size_t n;
    swt_column *column;
    size_t rows[SWT_AXES];
} swt_layout;

/** The list for a set of covariates; the names are borrowed. */
SWT_MUST_USE swt_status swt_layout_build(swt_layout *layout, char *const *covariate, size_t n,
                                         swt_error *err);
void swt_layout_free(swt_layout *layout);

static inline bool swt_column_is_bulk(const swt_column *column)
{
    return column->source >= SWT_FROM_QUALITY;
}

/** Rows of a chunk where there are enough of them. */
static inline size_t swt_column_chunk_rows(const swt_column *column)
{
    return column->axis == SWT_BY_SAMPLE ? 16384 : 256;
}

/** Path of a bulk column in the file. */
void swt_layout_path(char *path, size_t size, swt_source source, size_t index);

/** Field of row `i` in the study's structs (a char **, double *, ...); not for bulk columns. */
void *swt_column_at(const swt_column *column, const swt_study *study, size_t i);

/** Splits "a\nb" into names; the caller frees the block. n = 0 gives NULL. */
SWT_MUST_USE swt_status swt_split_lines(char ***names, size_t *n, const char *text, swt_error *err);

/** The other way round; the caller frees; NULL: out of memory. */
char *swt_join_lines(char *const *name, size_t n);

/** SHA-256 of the first n provenance attributes, in the order of swt_provenance_name. */
void swt_provenance_hash(char out[SWT_SHA256_TEXT], const char *const *text, size_t n);

/** Names of the text attributes of the root, NULL at the end. */
extern const char *const swt_provenance_name[];
enum {
    SWT_TEXT_VERSION,
    SWT_TEXT_CREATED,
    SWT_TEXT_COMMAND,
    SWT_TEXT_OPTIONS,
    SWT_TEXT_SHEET,
    SWT_TEXT_SHEET_SHA256,
    SWT_TEXT_MAP,
    SWT_TEXT_MAP_SHA256,
    SWT_TEXT_COVARIATES,
    SWT_TEXT_NUMERICS,
    SWT_TEXT_PART,
    SWT_PROVENANCE_TEXTS,
    SWT_PROVENANCE_TEXTS_1 = SWT_TEXT_NUMERICS /**< of schema 1 */
};

/** The texts of a root; `created` has room for 32 characters and is filled with the time. */
void swt_provenance_texts(const char *text[SWT_PROVENANCE_TEXTS], char created[32],
                          const swt_provenance *provenance);

/** Allocates the row arrays for study->n_captures and so on. */
SWT_MUST_USE swt_status swt_study_rows_new(swt_study *study, swt_error *err);
/** Frees them; the texts only when the study owns them. */
void swt_study_rows_free(swt_study *study, bool texts_owned);

/** A study being written under its temporary name. */
typedef struct swt_study_draft {
    const char *path;
    char temporary[4300];
    hid_t file;
    swt_h5_storage storage; /**< plain: a checkpoint, read back by such a run alone, so without
                               words and dimension scales as well */
    size_t swings_expected; /**< of one that grows: sizes its chunks */
    hid_t *column;          /**< open datasets, in the layout's order; -1 where closed */
    size_t n_columns;
    swt_study_cells cells; /**< of a checkpoint: the columns that have no dataset */
} swt_study_draft;

SWT_MUST_USE swt_status swt_study_draft_open(swt_study_draft *draft, const char *path,
                                             swt_error *err);
/** A draft that begins as a copy of the study at `path`, to add to. */
SWT_MUST_USE swt_status swt_study_draft_copy(swt_study_draft *draft, const char *path,
                                             swt_error *err);
/** Closes and publishes. The draft is removed on failure. */
SWT_MUST_USE swt_status swt_study_draft_commit(swt_study_draft *draft, swt_error *err);
/** Closes and removes; harmless after commit. */
void swt_study_draft_discard(swt_study_draft *draft);

/** "units", "long_name" and, where not empty, "definition" and "source". */
bool swt_h5_describe(hid_t dataset, const char *units, const char *title, const char *definition,
                     const char *source);

/** A link's name cannot hold '/' nor be ".": '|' and "_" stand for them. Returns `out`. */
char *swt_link_name(char *out, size_t size, const char *name);

/** Creates every column that is not there yet, empty, and leaves it open; with attributes and
 *  scales, save in a checkpoint. Text lengths by column; 0: to be created by a later call. */
SWT_MUST_USE swt_status swt_study_create_columns(swt_study_draft *draft, const swt_layout *layout,
                                                 const size_t *text_length, swt_error *err);

/** Length of the longest text of a column's n rows, 1 at least and for columns of numbers. */
size_t swt_column_longest_text(const swt_column *column, const swt_study *rows, size_t n);

/** Writes n rows of an open column from a buffer of its cells. */
SWT_MUST_USE swt_status swt_study_put_rows(swt_study_draft *draft, size_t at,
                                           const swt_column *column, size_t length, size_t first,
                                           size_t n, const void *buffer, swt_error *err);

/** Lets its cached chunk go. */
SWT_MUST_USE swt_status swt_study_close_column(swt_study_draft *draft, size_t at,
                                               const swt_column *column, swt_error *err);

/** Fills column `at` of the draft from rows in memory, one that is bulk from the entries' swings;
 *  and closes it. The growing study gets the same rows, unless it is NULL. */
SWT_MUST_USE swt_status swt_study_write_column(swt_study_draft *draft, size_t at,
                                               const swt_column *column, size_t rows_n,
                                               size_t length, const swt_study *rows,
                                               const swt_study_entry *entry, size_t n_entries,
                                               swt_study_growth *growth, swt_error *err);

/** Adds rows to a column of a growing study; a buffer of NULL: they are missing. The buffer's
 *  numbers of rows are moved behind the rows that are there. */
SWT_MUST_USE swt_status swt_study_growth_take(swt_study_growth *growth, size_t at, size_t length,
                                              size_t n, void *buffer, swt_error *err);

/** Notes that a checkpoint with so many rows, all of them taken, will be found at `path`. */
SWT_MUST_USE swt_status swt_study_growth_checkpoint(swt_study_growth *growth, const char *path,
                                                    const size_t rows[SWT_AXES], swt_error *err);

/** Has the system begin to bring a growing study to the disk, so that the sync at its end is short.
 */
void swt_study_growth_begin_writing(const swt_study_growth *growth);

/** Opens a study whose rows have been read before, for its columns: how many there are is known,
 * and no row is read. */
SWT_MUST_USE swt_status swt_study_open_columns(swt_study **out, const char *path,
                                               const size_t rows[SWT_AXES], swt_error *err);

/** Copies runs of a column of an open study into column `at` of the draft; numbers that count rows
 *  of an axis are moved along with the run's rows there. */
SWT_MUST_USE swt_status swt_study_copy_column(swt_study_draft *draft, size_t at,
                                              const swt_study *source, const swt_column *column,
                                              size_t length, const swt_row_run *run, size_t n_runs,
                                              swt_error *err);

/** swt_study_gather with the root's texts as they are to be written. */
SWT_MUST_USE swt_status swt_study_gather_as(const char *path, const char *const *source,
                                            size_t n_sources, const swt_study_pick *pick,
                                            size_t n_picks, const char *const *text,
                                            swt_error *err);

/** Writes the root's attributes. `text` in the order of swt_provenance_name. */
SWT_MUST_USE swt_status swt_study_write_root(swt_study_draft *draft, const char *const *text,
                                             swt_error *err);

struct swt_study_file {
    hid_t file;
    swt_layout layout;
    swt_study_cells cells; /**< of a checkpoint */
};

#endif
