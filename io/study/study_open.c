/* Columns -> rows, and every check that keeps a damaged study from being believed. */
#include "base/capture.h"
#include "io/study/study_layout.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

typedef struct opening {
    swt_study *study;
    hid_t file;
    uint64_t file_size;
    swt_layout *layout;
    bool captures_only;
} opening;

static swt_status damaged(const opening *o, const char *object, const char *what, swt_error *err)
{
    return swt_h5_fail(err, SWT_EFORMAT, o->study->path, object, what);
}

static swt_status read_root(opening *o, swt_error *err)
{
    swt_study *study = o->study;
    char *format = swt_h5_get_text(o->file, "format"), *stored = NULL;
    char *text[SWT_PROVENANCE_TEXTS] = {NULL}, hash[SWT_SHA256_TEXT];
    bool is_study = format && strcmp(format, "swathe study") == 0;
    size_t n = SWT_PROVENANCE_TEXTS;
    swt_status rc = SWT_OK;

    free(format);
    H5Eclear2(H5E_DEFAULT);
    if (!is_study)
        return swt_fail(err, SWT_EFORMAT, "%s: an HDF5 file, but not a study of swathe",
                        study->path);
    if (!swt_h5_get_integer(&study->schema, o->file, "schema") || study->schema < 1)
        return damaged(o, "attribute schema", "cannot be read: the study is damaged", err);
    if (study->schema > SWT_STUDY_SCHEMA)
        return swt_fail(err, SWT_EFORMAT,
                        "%s: a study of schema %ld, and this swathe reads schemas 1 to %d: use a "
                        "newer swathe",
                        study->path, study->schema, SWT_STUDY_SCHEMA);
    if (study->schema == 1)
        n = SWT_PROVENANCE_TEXTS_1;
    for (size_t i = n; i < SWT_PROVENANCE_TEXTS && rc == SWT_OK; i++)
        rc = swt_string_set(&text[i], "", err);
    for (size_t i = 0; i < n && rc == SWT_OK; i++) {
        text[i] = swt_h5_get_text(o->file, swt_provenance_name[i]);
        if (!text[i])
            rc = damaged(o, swt_provenance_name[i], "cannot be read: the study is damaged", err);
    }
    if (rc == SWT_OK) {
        stored = swt_h5_get_text(o->file, "provenance_sha256");
        swt_provenance_hash(hash, (const char *const *)text, n);
        if (!stored || strcmp(stored, hash) != 0)
            rc = swt_fail(err, SWT_EFORMAT,
                          "%s: the root's texts do not fit their checksum: the study is damaged",
                          study->path);
    }
    free(stored);
    study->version = text[SWT_TEXT_VERSION];
    study->created = text[SWT_TEXT_CREATED];
    study->command = text[SWT_TEXT_COMMAND];
    study->options = text[SWT_TEXT_OPTIONS];
    study->sheet = text[SWT_TEXT_SHEET];
    study->sheet_sha256 = text[SWT_TEXT_SHEET_SHA256];
    study->map = text[SWT_TEXT_MAP];
    study->map_sha256 = text[SWT_TEXT_MAP_SHA256];
    study->numerics = text[SWT_TEXT_NUMERICS];
    study->part = text[SWT_TEXT_PART];
    if (rc == SWT_OK)
        rc = swt_split_lines(&study->covariate_name, &study->n_covariates,
                             text[SWT_TEXT_COVARIATES], err);
    free(text[SWT_TEXT_COVARIATES]);
    return rc;
}

static bool count_rows(opening *o, const char *name, size_t *rows)
{
    hid_t dataset = H5Dopen2(o->file, name, H5P_DEFAULT);
    hsize_t dims[2] = {0, 0};
    int rank = 0;
    bool ok;

    if (dataset < 0)
        return false;
    /* a row takes at least its index; more rows than the file has bytes for are a lie */
    ok = swt_h5_extents(dataset, &rank, dims) && rank == 1 && dims[0] <= o->file_size / 8;
    *rows = (size_t)dims[0];
    H5Dclose(dataset);
    return ok;
}

static swt_status count_all(opening *o, swt_error *err)
{
    static const char *const index[] = {"captures/index", "swings/index", "findings/index"};
    size_t rows[3] = {0};

    for (int a = 0; a < (o->captures_only ? 1 : 3); a++)
        if (o->study->file->cells.n > 0)
            rows[a] = o->layout->rows[a];
        else if (!count_rows(o, index[a], &rows[a]))
            return damaged(o, index[a], "is missing or damaged", err);
    o->study->n_captures = rows[0];
    o->study->n_swings = rows[1];
    o->study->n_findings = rows[2];
    return SWT_OK;
}

/* The values of a column into their structs. */
static swt_status take_column(opening *o, const swt_column *column, size_t rows, const char *buffer,
                              size_t length, swt_error *err)
{
    size_t size = swt_column_size(column, length);

    for (size_t i = 0; i < rows; i++)
        if (!swt_column_take(column,
                             column->field == SWT_FIELD_INDEX ? NULL
                                                              : swt_column_at(column, o->study, i),
                             buffer + i * size, length, i))
            return swt_fail(err, SWT_EFORMAT, "%s: %s: row %zu holds no valid value",
                            o->study->path, column->path, i);
    return SWT_OK;
}

static swt_status read_column(opening *o, size_t at, size_t rows, swt_error *err)
{
    const swt_column *column = &o->layout->column[at];
    const swt_study_cells *cells = &o->study->file->cells;
    hid_t dataset, type = -1;
    size_t length = 0, size;
    char *buffer = NULL;
    hsize_t dims[2];
    swt_status rc = SWT_OK;
    int rank;

    if (swt_study_cells_hold(cells, at))
        return take_column(o, column, rows, swt_study_cells_of(cells, at), cells->length[at], err);
    dataset = H5Dopen2(o->file, column->path, H5P_DEFAULT);
    if (dataset < 0)
        return damaged(
            o, column->path,
            "is missing: damaged, or made by another version of swathe; make the study again", err);
    length = swt_column_stored_length(dataset, column);
    size = swt_column_size(column, length);
    if (length == 0 || !swt_h5_extents(dataset, &rank, dims) || rank != 1 || dims[0] != rows) {
        rc = damaged(o, column->path, "has another type or another number of rows", err);
    } else if (rows > 0 && (length > o->file_size || size > o->file_size / rows)) {
        rc = damaged(o, column->path, "claims more than the file holds", err);
    } else {
        buffer = malloc(rows * size + 1);
        type = swt_column_type(column, length);
        if (!buffer || type < 0)
            rc = swt_fail(err, SWT_ENOMEM, "%s: %s: out of memory", o->study->path, column->path);
        else if (!swt_h5_read_rows(dataset, type, 0, rows, buffer))
            rc = damaged(o, column->path, "cannot be read: the study is damaged", err);
    }
    if (rc == SWT_OK)
        rc = take_column(o, column, rows, buffer, length, err);
    if (type >= 0)
        H5Tclose(type);
    H5Dclose(dataset);
    free(buffer);
    return rc;
}

/* A study of another version may lack a measure; then it is absent, and not an error. */
static bool file_lacks_measure(opening *o, const swt_column *column)
{
    char group[sizeof column->path];

    if (column->source != SWT_FROM_MEASURE)
        return false;
    snprintf(group, sizeof group, "%.*s", (int)(strrchr(column->path, '/') - column->path),
             column->path);
    return H5Lexists(o->file, group, H5P_DEFAULT) == 0;
}

static void mark_measure_absent(swt_study *study, size_t measure)
{
    for (size_t i = 0; i < study->n_swings; i++)
        study->measure[measure][i] =
            (swt_measurement){nan(""), nan(""), swt_absent(SWT_REASON_NOT_DEFINED, 0)};
}

/* What a study of an earlier schema does not say: texts are empty, numbers 0, and each capture had
 * one swing at most. */
static swt_status fill_in(swt_study *study, const swt_column *column, swt_error *err)
{
    swt_status rc = SWT_OK;

    if (column->field == SWT_FIELD_TEXT)
        for (size_t i = 0; i < study->n_captures && rc == SWT_OK; i++)
            rc = swt_string_set(swt_column_at(column, study, i), "", err);
    for (size_t i = 0; i < study->n_swings; i++)
        study->swing[i].number = 1;
    return rc;
}

/* Every number that points somewhere must point inside. */
static swt_status check_references(const opening *o, swt_error *err)
{
    const swt_study *s = o->study;
    size_t samples = 0;

    for (size_t i = 0; i < s->n_swings; i++) {
        const swt_study_swing *swing = &s->swing[i];
        if (swing->capture >= s->n_captures)
            return swt_fail(err, SWT_EFORMAT, "%s: swing %zu belongs to no capture", s->path, i);
        if (swing->first_sample != samples || swing->n_frames > SIZE_MAX / 32 - samples)
            return swt_fail(err, SWT_EFORMAT, "%s: swing %zu: its series do not follow the last",
                            s->path, i);
        samples += swing->n_frames;
        if (!(swing->rate_hz > 0) || !isfinite(swing->rate_hz))
            return swt_fail(err, SWT_EFORMAT, "%s: swing %zu: the frame rate is not positive",
                            s->path, i);
    }
    /* each sample of a swing has a byte at least, of its landmarks' origin */
    if (samples > o->file_size)
        return swt_fail(err, SWT_EFORMAT, "%s: the swings claim more frames than the file holds",
                        s->path);
    for (size_t i = 0; i < s->n_findings; i++)
        if (s->finding[i].capture >= s->n_captures || s->finding[i].swing < -1 ||
            (s->finding[i].swing >= 0 && (size_t)s->finding[i].swing >= s->n_swings))
            return swt_fail(err, SWT_EFORMAT, "%s: finding %zu belongs to no capture", s->path, i);
    o->layout->rows[SWT_BY_SAMPLE] = samples;
    return SWT_OK;
}

static swt_status read_rows(opening *o, swt_error *err)
{
    swt_study *study = o->study;
    swt_status rc = count_all(o, err);

    if (rc == SWT_OK)
        rc = swt_study_rows_new(study, err);
    if (rc != SWT_OK)
        return rc;
    for (size_t i = 0; i < study->n_swings; i++) {
        study->swing[i].covariate = calloc(study->n_covariates + 1, sizeof(char *));
        if (!study->swing[i].covariate)
            return swt_fail(err, SWT_ENOMEM, "%s: out of memory", study->path);
    }
    o->layout->rows[SWT_BY_CAPTURE] = study->n_captures;
    o->layout->rows[SWT_BY_SWING] = study->n_swings;
    o->layout->rows[SWT_BY_FINDING] = study->n_findings;
    for (size_t i = 0; i < o->layout->n && rc == SWT_OK; i++) {
        const swt_column *column = &o->layout->column[i];
        if (swt_column_is_bulk(column) || (o->captures_only && column->axis != SWT_BY_CAPTURE))
            continue;
        if (column->since > study->schema)
            rc = fill_in(study, column, err);
        else if (!swt_study_cells_hold(&study->file->cells, i) && file_lacks_measure(o, column))
            mark_measure_absent(study, column->index);
        else
            rc = read_column(o, i, o->layout->rows[column->axis], err);
    }
    return rc == SWT_OK ? check_references(o, err) : rc;
}

static swt_status open_study(swt_study **out, const char *path, bool captures_only,
                             const size_t *rows, swt_error *err)
{
    opening o = {.file = -1, .captures_only = captures_only};
    struct stat st;
    swt_status rc;

    *out = NULL;
    swt_h5_quiet();
    if (stat(path, &st) != 0 || !S_ISREG(st.st_mode))
        return swt_fail(err, SWT_EIO, "%s: %s", path, "no such file, or not a regular one");
    o.file_size = (uint64_t)st.st_size;
    o.study = calloc(1, sizeof *o.study);
    if (!o.study || !(o.study->path = strdup(path)) ||
        !(o.study->file = calloc(1, sizeof *o.study->file))) {
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
        goto done;
    }
    o.layout = &o.study->file->layout;
    o.file = o.study->file->file = swt_h5_open_file(path, false);
    if (o.file < 0) {
        rc = swt_h5_fail(err, SWT_EFORMAT, path, NULL,
                         H5Fis_hdf5(path) > 0 ? "cannot be opened: the study is damaged"
                                              : "not a study: it is not an HDF5 file");
        goto done;
    }
    rc = read_root(&o, err);
    if (rc == SWT_OK)
        rc = swt_layout_build(o.layout, o.study->covariate_name, o.study->n_covariates, err);
    for (size_t i = 0; rc == SWT_OK && i < o.layout->n; i++)
        swt_column_find_name(&o.layout->column[i], o.file);
    if (rc == SWT_OK && swt_study_cells_are_in(o.file) &&
        !swt_study_cells_read(&o.study->file->cells, o.layout, o.file, o.file_size))
        rc = damaged(&o, "cells", "cannot be read: the checkpoint is damaged", err);
    if (rc == SWT_OK && rows && o.study->file->cells.n > 0 &&
        memcmp(rows, o.layout->rows, sizeof o.layout->rows) != 0)
        rc = swt_fail(err, SWT_EDATA, "%s: has changed while it was read", path);
    if (rc == SWT_OK && rows)
        memcpy(o.layout->rows, rows, sizeof o.layout->rows);
    else if (rc == SWT_OK)
        rc = read_rows(&o, err);
    if (rc == SWT_OK) {
        *out = o.study;
        return SWT_OK;
    }
done:
    swt_study_close(o.study);
    return rc;
}

swt_status swt_study_open(swt_study **out, const char *path, swt_error *err)
{
    return open_study(out, path, false, NULL, err);
}

swt_status swt_study_open_captures(swt_study **out, const char *path, swt_error *err)
{
    return open_study(out, path, true, NULL, err);
}

swt_status swt_study_open_columns(swt_study **out, const char *path, const size_t rows[SWT_AXES],
                                  swt_error *err)
{
    return open_study(out, path, false, rows, err);
}

void swt_study_close(swt_study *study)
{
    if (!study)
        return;
    swt_study_rows_free(study, true);
    if (study->file) {
        swt_layout_free(&study->file->layout);
        swt_study_cells_free(&study->file->cells);
        if (study->file->file >= 0)
            H5Fclose(study->file->file);
        free(study->file);
    }
    free(study->path);
    free(study->version);
    free(study->created);
    free(study->command);
    free(study->options);
    free(study->sheet);
    free(study->sheet_sha256);
    free(study->map);
    free(study->map_sha256);
    free(study->numerics);
    free(study->part);
    free(study->covariate_name);
    free(study);
}
