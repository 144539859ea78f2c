/* A comparison into the study: on a copy, which then takes the study's name. */
#include "io/study/comparison_columns.h"

#include <stdlib.h>
#include <string.h>

enum { CHUNK = 4096 };

static swt_status not_written(const swt_study_draft *draft, const char *object, swt_error *err)
{
    return swt_h5_fail(err, SWT_EIO, draft->path, object, "cannot be written: is the disk full?");
}

static swt_status write_dataset(swt_study_draft *draft, const char *path, const swt_column *column,
                                size_t length, size_t rows, const void *buffer, swt_error *err)
{
    const double missing = nan("");
    hsize_t dims[2] = {rows, column->width};
    hid_t type = swt_column_type(column, length), dataset = -1;
    bool ok;

    if (type >= 0)
        dataset = swt_h5_create_dataset(draft->file, path, type,
                                        column->field == SWT_FIELD_DOUBLE ? &missing : NULL,
                                        column->width > 1 ? 2 : 1, dims, CHUNK, SWT_H5_FIXED);
    ok = dataset >= 0 && swt_h5_write_rows(dataset, type, 0, rows, buffer) &&
         swt_h5_describe(dataset, column->units, column->title, column->definition,
                         column->source_text);
    if (dataset >= 0)
        ok = H5Dclose(dataset) >= 0 && ok;
    if (type >= 0)
        H5Tclose(type);
    return ok ? SWT_OK : not_written(draft, path, err);
}

static swt_status write_table(swt_study_draft *draft, const char *name,
                              const swt_kept_comparison *c, swt_kept_table table, swt_error *err)
{
    size_t n, rows = swt_kept_rows(c, table);
    const swt_column *column = swt_kept_columns(&n, table);
    swt_status rc = SWT_OK;

    for (size_t k = 0; k < n && rc == SWT_OK; k++) {
        size_t length = 1, size;
        char path[512], *buffer;
        for (size_t i = 0; column[k].field == SWT_FIELD_CHARS && i < rows; i++) {
            size_t used = strlen(swt_kept_at(c, table, &column[k], i));
            length = used > length ? used : length;
        }
        size = swt_column_size(&column[k], length);
        buffer = calloc(rows + 1, size);
        if (!buffer)
            return swt_fail(err, SWT_ENOMEM, "%s: out of memory", draft->path);
        for (size_t i = 0; i < rows; i++)
            swt_column_put(&column[k], buffer + i * size, length,
                           swt_kept_at(c, table, &column[k], i), i);
        swt_kept_path_of(path, sizeof path, name, table, column[k].path);
        rc = write_dataset(draft, path, &column[k], length, rows, buffer, err);
        free(buffer);
    }
    return rc;
}

/* One packed column: the arrays of all corridors, or of all paths, end to end. */
static swt_status write_array(swt_study_draft *draft, const char *name,
                              const swt_kept_comparison *c, const swt_kept_array *array,
                              swt_error *err)
{
    swt_kept_table table = array->of_path ? SWT_KEPT_PATHS : SWT_KEPT_CORRIDORS;
    const swt_column column = {.field = array->counts ? SWT_FIELD_SIZE : SWT_FIELD_DOUBLE,
                               .width = array->width,
                               .units = array->counts ? "1" : "SI of the measure",
                               .title = array->title,
                               .definition = "",
                               .source_text = ""};
    size_t rows = swt_kept_rows(c, table), total = 0, at = 0, size = 8 * array->width;
    char path[512], *buffer;
    swt_status rc;

    for (size_t i = 0; i < rows; i++)
        total += swt_kept_samples(c, array->of_path, i);
    buffer = calloc(total + 1, size);
    if (!buffer)
        return swt_fail(err, SWT_ENOMEM, "%s: out of memory", draft->path);
    for (size_t i = 0; i < rows; i++) {
        size_t n = swt_kept_samples(c, array->of_path, i);
        memcpy(buffer + at, *swt_kept_array_at(c, array, i), n * size);
        at += n * size;
    }
    swt_kept_path_of(path, sizeof path, name, table, array->name);
    rc = write_dataset(draft, path, &column, 1, total, buffer, err);
    free(buffer);
    return rc;
}

/* What belongs to the comparison as a whole: attributes of its group. */
static swt_status write_head(swt_study_draft *draft, const char *name, const char *path,
                             const swt_kept_comparison *c, swt_error *err)
{
    const double number[2] = {c->family_factor, c->false_alone};
    static const char *const number_name[2] = {"family_factor", "false_alone"};
    hid_t group = H5Gopen2(draft->file, path, H5P_DEFAULT), space = H5Screate(H5S_SCALAR);
    bool ok = group >= 0 && space >= 0 && swt_h5_set_text(group, "name", name) &&
              swt_h5_set_text(group, "group", c->group) &&
              swt_h5_set_text(group, "selection", c->selection) &&
              swt_h5_set_text(group, "options", c->options);

    for (int k = 0; k < 2 && ok; k++) {
        hid_t attribute =
            H5Acreate2(group, number_name[k], H5T_IEEE_F64LE, space, H5P_DEFAULT, H5P_DEFAULT);
        ok = attribute >= 0 && H5Awrite(attribute, H5T_NATIVE_DOUBLE, &number[k]) >= 0;
        if (attribute >= 0)
            ok = H5Aclose(attribute) >= 0 && ok;
    }
    if (space >= 0)
        H5Sclose(space);
    if (group >= 0)
        H5Gclose(group);
    return ok ? SWT_OK : not_written(draft, path, err);
}

/* Removes what an earlier comparison of this name left. */
static swt_status make_way(swt_study_draft *draft, const char *folder, const char *path,
                           swt_error *err)
{
    if (H5Lexists(draft->file, folder, H5P_DEFAULT) <= 0 ||
        H5Lexists(draft->file, path, H5P_DEFAULT) <= 0)
        return SWT_OK;
    return H5Ldelete(draft->file, path, H5P_DEFAULT) >= 0 ? SWT_OK : not_written(draft, path, err);
}

swt_status swt_comparison_store(const char *path, const char *name,
                                const swt_kept_comparison *comparison, swt_error *err)
{
    swt_study_draft draft = {.file = -1};
    char link[300], corridors[400], departures[400];
    swt_study *study;
    swt_status rc;

    swt_h5_quiet();
    if (name[0] == '\0' || strlen(name) >= sizeof link)
        return swt_fail(err, SWT_EARG, "a comparison's name has 1 to %zu bytes", sizeof link - 1);
    swt_link_name(link, sizeof link, name);
    snprintf(corridors, sizeof corridors, "corridors/%s", link);
    snprintf(departures, sizeof departures, "departures/%s", link);
    rc = swt_study_open(&study, path, err); /* a damaged study is not copied as if it were whole */
    swt_study_close(study);
    if (rc == SWT_OK)
        rc = swt_study_draft_copy(&draft, path, err);
    if (rc == SWT_OK)
        rc = make_way(&draft, "corridors", corridors, err);
    if (rc == SWT_OK)
        rc = make_way(&draft, "departures", departures, err);
    for (int t = 0; t < SWT_KEPT_TABLES && rc == SWT_OK; t++)
        rc = write_table(&draft, name, comparison, (swt_kept_table)t, err);
    for (size_t k = 0; k < swt_kept_n_arrays && rc == SWT_OK; k++)
        rc = write_array(&draft, name, comparison, &swt_kept_arrays[k], err);
    if (rc == SWT_OK)
        rc = write_head(&draft, name, corridors, comparison, err);
    if (rc == SWT_OK)
        rc = swt_study_draft_commit(&draft, err);
    swt_study_draft_discard(&draft);
    return rc;
}
