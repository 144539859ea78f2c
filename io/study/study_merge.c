/* Parts -> one study: every column end to end, numbers that count rows moved along. */
#include "io/study/study_layout.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* What all parts together come to. */
typedef struct merging {
    swt_layout layout;
    size_t *text_length; /* longest cell of each column         */
    char **covariate;
    size_t n_covariates;
    char *text[SWT_PROVENANCE_TEXTS]; /* of the root; owned     */
} merging;

/* The text columns' longest cells, as the part stores them. */
static swt_status widen_texts(merging *m, const swt_study *part, swt_error *err)
{
    for (size_t i = 0; i < m->layout.n; i++) {
        const swt_column *c = &m->layout.column[i];
        hid_t dataset, type;
        size_t length = 0;
        if (c->field != SWT_FIELD_TEXT || part->file->layout.rows[c->axis] == 0)
            continue;
        dataset = H5Dopen2(part->file->file, c->path, H5P_DEFAULT);
        type = dataset >= 0 ? H5Dget_type(dataset) : -1;
        if (type >= 0) {
            length = H5Tget_size(type);
            H5Tclose(type);
        }
        if (dataset >= 0)
            H5Dclose(dataset);
        if (length == 0)
            return swt_h5_fail(err, SWT_EFORMAT, part->path, c->path, "cannot be read");
        if (length > m->text_length[i])
            m->text_length[i] = length;
    }
    return SWT_OK;
}

static bool has_line(const char *lines, const char *line)
{
    size_t n = strlen(line);

    for (const char *p = lines; p; p = strchr(p, '\n')) {
        p += *p == '\n';
        if (strncmp(p, line, n) == 0 && (p[n] == '\n' || p[n] == '\0'))
            return true;
    }
    return false;
}

/* Texts that may differ between parts are listed, each once, one a line. */
static swt_status add_line(char **lines, const char *line, swt_error *err)
{
    size_t have = strlen(*lines), more = strlen(line);
    char *longer;

    if (more == 0 || has_line(*lines, line))
        return SWT_OK;
    longer = realloc(*lines, have + more + 2);
    if (!longer)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    if (have > 0)
        longer[have++] = '\n';
    memcpy(longer + have, line, more + 1);
    *lines = longer;
    return SWT_OK;
}

/* Numbers made by other rules must not stand in one column. */
static swt_status join_root(merging *m, const swt_study *part, const char *first, swt_error *err)
{
    const char *same[3] = {part->version, part->options, NULL};
    const int same_at[3] = {0, 3, 8};
    const char *const same_name[3] = {"version of swathe", "options", "covariates"};
    const char *const listed[5] = {part->command, part->sheet, part->sheet_sha256, part->map,
                                   part->map_sha256};
    const int listed_at[5] = {2, 4, 5, 6, 7};
    char *names = swt_join_lines(part->covariate_name, part->n_covariates);
    swt_status rc = SWT_OK;

    same[2] = names;
    if (!names)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (int k = 0; k < 3 && rc == SWT_OK; k++) {
        char **text = &m->text[same_at[k]];
        if (!*text && !(*text = strdup(same[k])))
            rc = swt_fail(err, SWT_ENOMEM, "out of memory");
        else if (strcmp(*text, same[k]) != 0)
            rc = swt_fail(err, SWT_EDATA,
                          "%s: was made with other %s than %s: make the parts alike, then merge",
                          part->path, same_name[k], first);
    }
    if (rc == SWT_OK && (!m->text[1] || strcmp(part->created, m->text[1]) > 0)) {
        free(m->text[1]);
        m->text[1] = strdup(part->created); /* as young as its youngest part */
        if (!m->text[1])
            rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    }
    for (int k = 0; k < 5 && rc == SWT_OK; k++) {
        char **text = &m->text[listed_at[k]];
        if (!*text && !(*text = calloc(1, 1)))
            rc = swt_fail(err, SWT_ENOMEM, "out of memory");
        else
            rc = add_line(text, listed[k], err);
    }
    free(names);
    return rc;
}

/* First pass: are the parts alike, and what do they come to? */
static swt_status survey(merging *m, const char *const *path, size_t n, swt_error *err)
{
    swt_status rc = SWT_OK;

    for (size_t i = 0; i < n && rc == SWT_OK; i++) {
        swt_study *part;
        rc = swt_study_open(&part, path[i], err);
        if (rc != SWT_OK)
            return rc;
        rc = join_root(m, part, path[0], err);
        if (rc == SWT_OK && i == 0) {
            rc = swt_split_lines(&m->covariate, &m->n_covariates, m->text[8], err);
            if (rc == SWT_OK)
                rc = swt_layout_build(&m->layout, m->covariate, m->n_covariates, err);
            if (rc == SWT_OK && !(m->text_length = calloc(m->layout.n, sizeof(size_t))))
                rc = swt_fail(err, SWT_ENOMEM, "out of memory");
        }
        for (int a = 0; a < SWT_AXES && rc == SWT_OK; a++)
            m->layout.rows[a] += part->file->layout.rows[a];
        if (rc == SWT_OK)
            rc = widen_texts(m, part, err);
        swt_study_close(part);
    }
    return rc;
}

static void shift(const swt_column *column, void *buffer, size_t rows,
                  const size_t offset[SWT_AXES])
{
    int64_t *number = buffer;

    if (column->counts >= 0)
        for (size_t i = 0; i < rows; i++)
            if (number[i] >= 0) /* -1: of no swing in particular */
                number[i] += (int64_t)offset[column->counts];
}

swt_status swt_study_copy_column(swt_study_draft *draft, const swt_study *part,
                                 const swt_column *column, size_t length,
                                 const size_t offset[SWT_AXES], swt_error *err)
{
    size_t rows = part->file->layout.rows[column->axis];
    size_t size = swt_column_size(column, length) * column->width;
    hid_t from = -1, to = -1, type = -1;
    hsize_t dims[2] = {0, 0};
    void *buffer = NULL;
    swt_status rc = SWT_OK;
    int rank;

    if (rows == 0)
        return SWT_OK;
    from = H5Dopen2(part->file->file, column->path, H5P_DEFAULT);
    if (from < 0 || !swt_h5_extents(from, &rank, dims) || dims[0] != rows ||
        dims[1] != column->width) {
        rc = swt_h5_fail(
            err, SWT_EFORMAT, part->path, column->path,
            "is missing: damaged, or made by another version of swathe; make the study again");
        goto done;
    }
    if (H5Dget_storage_size(from) == 0)
        goto done; /* nothing but fill values */
    buffer = malloc(rows * size);
    type = swt_column_type(column, length);
    to = H5Dopen2(draft->file, column->path, H5P_DEFAULT);
    if (!buffer || type < 0)
        rc = swt_fail(err, SWT_ENOMEM, "%s: %s: out of memory", part->path, column->path);
    else if (!swt_h5_read_rows(from, type, 0, rows, buffer))
        rc = swt_h5_fail(err, SWT_EFORMAT, part->path, column->path, "cannot be read");
    if (rc == SWT_OK) {
        shift(column, buffer, rows, offset);
        if (to < 0 || !swt_h5_write_rows(to, type, offset[column->axis], rows, buffer))
            rc = swt_h5_fail(err, SWT_EIO, draft->path, column->path,
                             "cannot be written: is the disk full?");
    }
done:
    if (to >= 0 && H5Dclose(to) < 0 && rc == SWT_OK)
        rc = swt_h5_fail(err, SWT_EIO, draft->path, column->path,
                         "cannot be written: is the disk full?");
    if (type >= 0)
        H5Tclose(type);
    if (from >= 0)
        H5Dclose(from);
    free(buffer);
    return rc;
}

/* Second pass: one part in memory at a time, and of it one column. */
static swt_status copy_parts(swt_study_draft *draft, const merging *m, const char *const *path,
                             size_t n, swt_error *err)
{
    size_t offset[SWT_AXES] = {0};
    swt_status rc = SWT_OK;

    for (size_t i = 0; i < n && rc == SWT_OK; i++) {
        swt_study *part;
        rc = swt_study_open(&part, path[i], err);
        for (size_t c = 0; c < m->layout.n && rc == SWT_OK; c++)
            rc = swt_study_copy_column(draft, part, &m->layout.column[c], m->text_length[c], offset,
                                       err);
        for (int a = 0; a < SWT_AXES && rc == SWT_OK; a++)
            offset[a] += part->file->layout.rows[a];
        swt_study_close(part);
    }
    return rc;
}

swt_status swt_study_merge(const char *path, const char *const *part, size_t n_parts,
                           swt_error *err)
{
    merging m = {.text = {NULL}};
    swt_study_draft draft = {.file = -1};
    swt_status rc;

    swt_h5_quiet();
    if (n_parts == 0)
        return swt_fail(err, SWT_EARG, "%s: there are no parts to merge", path);
    rc = survey(&m, part, n_parts, err);
    if (rc == SWT_OK)
        rc = swt_study_draft_open(&draft, path, err);
    if (rc == SWT_OK)
        rc = swt_study_write_root(&draft, m.text, err);
    if (rc == SWT_OK)
        rc = swt_study_create_columns(&draft, &m.layout, m.text_length, err);
    if (rc == SWT_OK)
        rc = copy_parts(&draft, &m, part, n_parts, err);
    if (rc == SWT_OK)
        rc = swt_study_draft_commit(&draft, err);
    swt_study_draft_discard(&draft);
    swt_layout_free(&m.layout);
    free(m.text_length);
    free(m.covariate);
    for (size_t i = 0; i < SWT_PROVENANCE_TEXTS; i++)
        free(m.text[i]);
    return rc;
}
