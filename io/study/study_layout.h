/** @file  The study's columns as a table: written, merged, read and verified from one list.
 *  Layer: io. Included only by io/study. Adding a column is adding a line in study_layout.c. */
#ifndef SWT_IO_STUDY_STUDY_LAYOUT_H
#define SWT_IO_STUDY_STUDY_LAYOUT_H

#include "io/study/h5_util.h"
#include "io/study/study.h"
#include "kinematics/gaps.h"

/** What the rows of a column are. */
typedef enum swt_axis {
    SWT_BY_CAPTURE,
    SWT_BY_SWING,
    SWT_BY_FINDING,
    SWT_BY_SAMPLE,
    SWT_AXES
} swt_axis;

/** How a value is stored, and as what it is held in memory. */
typedef enum swt_field {
    SWT_FIELD_TEXT,     /**< UTF-8, fixed length; char *        */
    SWT_FIELD_DOUBLE,   /**< float64; double                    */
    SWT_FIELD_SIZE,     /**< int64; size_t                      */
    SWT_FIELD_LONG,     /**< int64; long                        */
    SWT_FIELD_BOOL,     /**< enum FALSE, TRUE; bool             */
    SWT_FIELD_SIDE,     /**< enum; swt_handedness               */
    SWT_FIELD_STATUS,   /**< enum; swt_status                   */
    SWT_FIELD_SEVERITY, /**< enum; swt_severity                 */
    SWT_FIELD_STATE,    /**< enum; swt_verdict.state            */
    SWT_FIELD_REASON,   /**< uint16, explained in /reasons; swt_verdict */
    SWT_FIELD_INDEX,    /**< int64, the row's own number        */
    SWT_FIELD_FLOAT,    /**< float32; bulk                      */
    SWT_FIELD_ORIGIN    /**< enum; bulk                         */
} swt_field;

/** Where the values come from. */
typedef enum swt_source {
    SWT_FROM_ROW, /**< the struct of the axis' row, at `offset`   */
    SWT_FROM_COVARIATE,
    SWT_FROM_EVENT,
    SWT_FROM_MEASURE,
    SWT_FROM_SERIES_VERDICT,
    /* bulk: written from the swings, read on demand */
    SWT_FROM_QUALITY,
    SWT_FROM_CURVE,
    SWT_FROM_CURVE_TIME,
    SWT_FROM_SERIES,
    SWT_FROM_BODY,
    SWT_FROM_ORIGIN
} swt_source;

typedef struct swt_column {
    char path[512];
    swt_axis axis;
    swt_field field;
    swt_source source;
    size_t index;  /**< of the event, measure, series, landmark or covariate */
    size_t offset; /**< of the field in its struct                           */
    size_t width;  /**< values in a row                                      */
    int counts;    /**< swt_axis that the values number, -1: none; merging shifts them */
    const char *units, *title, *definition, *source_text;
} swt_column;

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

/** Path of a bulk column in the file. */
void swt_layout_path(char *path, size_t size, swt_source source, size_t index);

/** The file type of a column; `length` is for texts. The caller closes it. */
hid_t swt_column_type(const swt_column *column, size_t length);

/** Bytes of one value in memory buffers of `swt_column_type`. */
size_t swt_column_size(const swt_column *column, size_t length);

/** Field of row `i` in the study's structs (a char **, double *, ...); not for bulk columns. */
void *swt_column_at(const swt_column *column, const swt_study *study, size_t i);

/** Splits "a\nb" into names; the caller frees the block. n = 0 gives NULL. */
SWT_MUST_USE swt_status swt_split_lines(char ***names, size_t *n, const char *text, swt_error *err);

/** SHA-256 of the provenance attributes, in the order of swt_provenance_name. */
void swt_provenance_hash(char out[SWT_SHA256_TEXT], char *const *text);

/** Names of the text attributes of the root, NULL at the end. */
extern const char *const swt_provenance_name[];
enum { SWT_PROVENANCE_TEXTS = 9 };

/** Allocates the row arrays for study->n_captures and so on. */
SWT_MUST_USE swt_status swt_study_rows_new(swt_study *study, swt_error *err);
/** Frees them; the texts only when the study owns them. */
void swt_study_rows_free(swt_study *study, bool texts_owned);

/** A study being written under its temporary name. */
typedef struct swt_study_draft {
    const char *path;
    char temporary[4300];
    hid_t file;
} swt_study_draft;

SWT_MUST_USE swt_status swt_study_draft_open(swt_study_draft *draft, const char *path,
                                             swt_error *err);
/** Closes and publishes. The draft is removed on failure. */
SWT_MUST_USE swt_status swt_study_draft_commit(swt_study_draft *draft, swt_error *err);
/** Closes and removes; harmless after commit. */
void swt_study_draft_discard(swt_study_draft *draft);

/** Creates every column, empty, with attributes and scales; text lengths by column. */
SWT_MUST_USE swt_status swt_study_create_columns(swt_study_draft *draft, const swt_layout *layout,
                                                 const size_t *text_length, swt_error *err);

/** Writes the root's attributes. `text` in the order of swt_provenance_name. */
SWT_MUST_USE swt_status swt_study_write_root(swt_study_draft *draft, char *const *text,
                                             swt_error *err);

struct swt_study_file {
    hid_t file;
    swt_layout layout;
};

#endif
