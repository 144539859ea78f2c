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

struct swt_study_growth {
    swt_study_draft draft;
    char *path, **covariate;
    swt_layout layout; /* its rows: those that are there */
    size_t *text_length;
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
    if (rc == SWT_OK && !(growth->text_length = calloc(growth->layout.n, sizeof(size_t))))
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    if (rc != SWT_OK)
        return rc;
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
    if (!swt_h5_extend(growth->draft.column[at], first + n))
        return swt_h5_fail(err, SWT_EIO, growth->path, column->path,
                           "cannot be written: is the disk full?");
    if (!buffer)
        return SWT_OK;
    memcpy(run.to, growth->layout.rows, sizeof run.to);
    swt_column_shift(column, buffer, n, &run);
    return swt_study_put_rows(&growth->draft, at, column, length, first, n, buffer, err);
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

    for (size_t i = 0; i < growth->n_checkpoints && rc == SWT_OK; i++)
        rc = copy_texts(growth, &growth->checkpoint[i], err);
    return rc == SWT_OK ? swt_study_draft_commit(&growth->draft, err) : rc;
}
