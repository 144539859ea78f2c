/* A study written checkpoint by checkpoint while its captures are being measured. */
#include "base/capture.h"
#include "io/files.h"
#include "io/study/study_layout.h"

#include <stdlib.h>
#include <string.h>

/* Where the texts of some neighbouring captures are found at the end. */
typedef struct grown_checkpoint {
    char *path;
    swt_row_run run;
} grown_checkpoint;

/* Rows of a column that wait to be written: adding few rows to a dataset costs as much as adding
 * many, and there are hundreds of columns. */
typedef struct waiting {
    char *cells;
    size_t n, room; /* rows */
} waiting;

struct swt_study_growth {
    swt_study_draft draft;
    char *path, **covariate;
    swt_layout layout; /* its rows: those that are there, written or waiting */
    size_t *text_length;
    waiting *waiting; /* by column */
    size_t n_checkpoints;
    grown_checkpoint *checkpoint;
};

void swt_study_growth_free(swt_study_growth *growth)
{
    if (!growth)
        return;
    swt_study_draft_discard(&growth->draft);
    for (size_t i = 0; i < growth->n_checkpoints; i++)
        free(growth->checkpoint[i].path);
    free(growth->checkpoint);
    for (size_t i = 0; growth->waiting && i < growth->layout.n; i++)
        free(growth->waiting[i].cells);
    free(growth->waiting);
    free(growth->text_length);
    swt_layout_free(&growth->layout);
    free(growth->covariate);
    free(growth->path);
    free(growth);
}

static swt_status begin(swt_study_growth *growth, const char *path,
                        const swt_provenance *provenance, swt_error *err)
{
    const char *text[SWT_PROVENANCE_TEXTS];
    char created[32];
    size_t n_covariates;
    swt_status rc = swt_string_set(&growth->path, path, err);

    swt_provenance_texts(text, created, provenance);
    if (rc == SWT_OK)
        rc = swt_split_lines(&growth->covariate, &n_covariates, text[SWT_TEXT_COVARIATES], err);
    if (rc == SWT_OK)
        rc = swt_layout_build(&growth->layout, growth->covariate, n_covariates, err);
    if (rc != SWT_OK)
        return rc;
    growth->text_length = calloc(growth->layout.n, sizeof *growth->text_length);
    growth->waiting = calloc(growth->layout.n, sizeof *growth->waiting);
    if (!growth->text_length || !growth->waiting)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; i < growth->layout.n; i++)
        growth->text_length[i] = growth->layout.column[i].field != SWT_FIELD_TEXT;
    rc = swt_study_draft_open(&growth->draft, growth->path, err);
    if (rc == SWT_OK)
        rc = swt_study_write_root(&growth->draft, text, err);
    if (rc == SWT_OK)
        rc = swt_study_create_columns(&growth->draft, &growth->layout, growth->text_length, err);
    for (size_t i = 0; i < growth->layout.n; i++)
        growth->text_length[i] = 1;
    return rc;
}

swt_status swt_study_growth_new(swt_study_growth **out, const char *path, size_t n_expected,
                                const swt_provenance *provenance, swt_error *err)
{
    swt_study_growth *growth = calloc(1, sizeof *growth);
    swt_status rc;

    *out = NULL;
    swt_h5_quiet();
    if (!growth)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    growth->draft = (swt_study_draft){
        .file = -1, .storage = SWT_H5_GROWING, .swings_expected = n_expected ? n_expected : 1};
    rc = begin(growth, path, provenance, err);
    if (rc == SWT_OK)
        *out = growth;
    else
        swt_study_growth_free(growth);
    return rc;
}

size_t swt_study_growth_captures(const swt_study_growth *growth)
{
    return growth ? growth->layout.rows[SWT_BY_CAPTURE] : 0;
}

/* Makes room for n rows behind `first` and writes them; NULL: they are missing. */
static swt_status add_rows(swt_study_growth *growth, size_t at, size_t first, size_t n,
                           const char *cells, swt_error *err)
{
    const swt_column *column = &growth->layout.column[at];

    if (!swt_h5_extend(growth->draft.column[at], first + n))
        return swt_h5_fail(err, SWT_EIO, growth->path, column->path,
                           "cannot be written: is the disk full?");
    return cells ? swt_study_put_rows(&growth->draft, at, column, 1, first, n, cells, err) : SWT_OK;
}

/* `first`: the number of the first row that waits. */
static swt_status write_waiting(swt_study_growth *growth, size_t at, size_t first, swt_error *err)
{
    waiting *w = &growth->waiting[at];
    swt_status rc = w->n > 0 ? add_rows(growth, at, first, w->n, w->cells, err) : SWT_OK;

    w->n = 0;
    return rc;
}

/* Adds rows to those that wait; writes them when they fill a chunk. */
static swt_status wait_with(swt_study_growth *growth, size_t at, size_t n, const char *cells,
                            swt_error *err)
{
    const swt_column *column = &growth->layout.column[at];
    waiting *w = &growth->waiting[at];
    size_t size = swt_column_size(column, 1), chunk = swt_column_chunk_rows(column);
    size_t first = growth->layout.rows[column->axis] - w->n;

    if (w->n + n > w->room) {
        size_t room = w->n + n > chunk ? w->n + n : chunk;
        char *more = realloc(w->cells, room * size);
        if (!more)
            return swt_fail(err, SWT_ENOMEM, "out of memory");
        w->cells = more;
        w->room = room;
    }
    memcpy(w->cells + w->n * size, cells, n * size);
    w->n += n;
    return w->n >= chunk ? write_waiting(growth, at, first, err) : SWT_OK;
}

swt_status swt_study_growth_take(swt_study_growth *growth, size_t at, size_t length, size_t n,
                                 void *buffer, swt_error *err)
{
    const swt_column *column = &growth->layout.column[at];
    size_t first = growth->layout.rows[column->axis];
    swt_row_run run = {{0}, {0}, {0}};

    if (column->field == SWT_FIELD_TEXT) {
        if (length > growth->text_length[at])
            growth->text_length[at] = length;
        return SWT_OK;
    }
    if (swt_column_is_bulk(column))
        return add_rows(growth, at, first, n, buffer, err);
    memcpy(run.to, growth->layout.rows, sizeof run.to);
    swt_column_shift(column, buffer, n, &run);
    return wait_with(growth, at, n, buffer, err);
}

swt_status swt_study_growth_checkpoint(swt_study_growth *growth, const char *path,
                                       const size_t rows[SWT_AXES], swt_error *err)
{
    grown_checkpoint *checkpoint =
        realloc(growth->checkpoint, (growth->n_checkpoints + 1) * sizeof *checkpoint);

    if (!checkpoint)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    growth->checkpoint = checkpoint;
    checkpoint += growth->n_checkpoints++;
    memset(checkpoint, 0, sizeof *checkpoint);
    for (int a = 0; a < SWT_AXES; a++) {
        checkpoint->run.to[a] = growth->layout.rows[a];
        checkpoint->run.n[a] = rows[a];
        growth->layout.rows[a] += rows[a];
    }
    return swt_string_set(&checkpoint->path, path, err);
}

void swt_study_growth_begin_writing(const swt_study_growth *growth)
{
    swt_file_begin_writing(growth->draft.temporary);
}

static swt_status copy_texts(swt_study_growth *growth, const grown_checkpoint *checkpoint,
                             swt_error *err)
{
    swt_study *study;
    swt_status rc = swt_study_open_columns(&study, checkpoint->path, checkpoint->run.n, err);

    for (size_t i = 0; i < growth->layout.n && rc == SWT_OK; i++)
        if (growth->layout.column[i].field == SWT_FIELD_TEXT)
            rc = swt_study_copy_column(&growth->draft, i, study, &growth->layout.column[i],
                                       growth->text_length[i], &checkpoint->run, 1, err);
    swt_study_close(study);
    return rc;
}

swt_status swt_study_growth_finish(swt_study_growth *growth, swt_error *err)
{
    swt_status rc =
        swt_study_create_columns(&growth->draft, &growth->layout, growth->text_length, err);

    for (size_t i = 0; i < growth->layout.n && rc == SWT_OK; i++)
        rc = write_waiting(
            growth, i, growth->layout.rows[growth->layout.column[i].axis] - growth->waiting[i].n,
            err);
    for (size_t i = 0; i < growth->n_checkpoints && rc == SWT_OK; i++)
        rc = copy_texts(growth, &growth->checkpoint[i], err);
    return rc == SWT_OK ? swt_study_draft_commit(&growth->draft, err) : rc;
}
