/* A comparison out of the study; every number that points somewhere is checked. */
#include "io/study/comparison_columns.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

typedef struct loading {
    const swt_study *study;
    const char *name;
    swt_kept_comparison *c;
} loading;

static swt_status damaged(const loading *l, const char *object, swt_error *err)
{
    return swt_h5_fail(err, SWT_EFORMAT, l->study->path, object,
                       "cannot be read: the comparison is damaged");
}

/* Opens a dataset of a column's type; rows = its extent. Negative: damaged. */
static hid_t open_column(const loading *l, const char *path, const swt_column *column, size_t *rows,
                         size_t *length)
{
    hid_t dataset = H5Dopen2(l->study->file->file, path, H5P_DEFAULT);
    hsize_t dims[2] = {0, 1};
    int rank;

    if (dataset < 0)
        return -1;
    *length = swt_column_stored_length(dataset, column);
    /* all is written, so what is not stored is not there: no extent can ask for more memory */
    if (*length == 0 || !swt_h5_extents(dataset, &rank, dims) || dims[1] != column->width ||
        rank != (column->width > 1 ? 2 : 1) || *length > 4096 ||
        (dims[0] > 0 && dims[0] > H5Dget_storage_size(dataset) /
                                      (swt_column_size(column, *length) * column->width))) {
        H5Dclose(dataset);
        return -1;
    }
    *rows = (size_t)dims[0];
    return dataset;
}

static swt_status count_table(const loading *l, swt_kept_table table, size_t *rows, swt_error *err)
{
    size_t n, length;
    const swt_column *column = swt_kept_columns(&n, table);
    char path[512];
    hid_t dataset;

    swt_kept_path_of(path, sizeof path, l->name, table, column[0].path);
    dataset = open_column(l, path, &column[0], rows, &length);
    if (dataset < 0)
        return damaged(l, path, err);
    H5Dclose(dataset);
    return SWT_OK;
}

/* What a comparison that was stored before families were does not say: it had one family. */
static void infer_families(swt_kept_comparison *c)
{
    for (size_t i = 0; i < c->n_departures; i++)
        c->departure[i].family =
            c->departure[i].departure.measure < c->n_corridors ? SWT_OF_MEASURES : SWT_OF_PATH;
}

static swt_status load_table(const loading *l, swt_kept_table table, swt_error *err)
{
    size_t n, want = swt_kept_rows(l->c, table);
    const swt_column *column = swt_kept_columns(&n, table);
    swt_status rc = SWT_OK;

    for (size_t k = 0; k < n && rc == SWT_OK; k++) {
        size_t rows, length = 1, size;
        char path[512], *buffer = NULL;
        hid_t dataset, type = -1;
        bool ok;
        swt_kept_path_of(path, sizeof path, l->name, table, column[k].path);
        if (column[k].may_lack && H5Lexists(l->study->file->file, path, H5P_DEFAULT) <= 0) {
            infer_families(l->c);
            continue;
        }
        dataset = open_column(l, path, &column[k], &rows, &length);
        ok = dataset >= 0 && rows == want;
        size = swt_column_size(&column[k], length);
        if (ok) {
            buffer = malloc(rows * size + 1);
            type = swt_column_type(&column[k], length);
            ok = buffer && type >= 0 && swt_h5_read_rows(dataset, type, 0, rows, buffer);
        }
        for (size_t i = 0; ok && i < rows; i++)
            ok = swt_column_take(&column[k], swt_kept_at(l->c, table, &column[k], i),
                                 buffer + i * size, length, i);
        if (!ok)
            rc = damaged(l, path, err);
        if (type >= 0)
            H5Tclose(type);
        if (dataset >= 0)
            H5Dclose(dataset);
        free(buffer);
    }
    return rc;
}

static swt_status load_array(const loading *l, const swt_kept_array *array, swt_error *err)
{
    swt_kept_table table = array->of_path ? SWT_KEPT_PATHS : SWT_KEPT_CORRIDORS;
    const swt_column column = {.field = array->counts ? SWT_FIELD_SIZE : SWT_FIELD_DOUBLE,
                               .width = array->width};
    size_t n = swt_kept_rows(l->c, table), rows = 0, length, at = 0;
    char path[512];
    hid_t dataset;
    bool ok;

    swt_kept_path_of(path, sizeof path, l->name, table, array->name);
    dataset = open_column(l, path, &column, &rows, &length);
    ok = dataset >= 0;
    for (size_t i = 0; ok && i < n; i++) {
        size_t samples = swt_kept_samples(l->c, array->of_path, i);
        void **block = swt_kept_array_at(l->c, array, i);
        ok = samples <= rows - at && (*block = calloc(samples + 1, 8 * array->width)) &&
             swt_h5_read_rows(dataset, array->counts ? H5T_NATIVE_INT64 : H5T_NATIVE_DOUBLE, at,
                              samples, *block);
        at += samples;
    }
    ok = ok && at == rows;
    if (dataset >= 0)
        H5Dclose(dataset);
    return ok ? SWT_OK : damaged(l, path, err);
}

static swt_status load_head(const loading *l, const char *path, swt_error *err)
{
    hid_t group = H5Gopen2(l->study->file->file, path, H5P_DEFAULT);
    double *const number[2] = {&l->c->family_factor, &l->c->false_alone};
    static const char *const number_name[2] = {"family_factor", "false_alone"};
    bool ok;

    if (group < 0)
        return damaged(l, path, err);
    l->c->group = swt_h5_get_text(group, "group");
    l->c->selection = swt_h5_get_text(group, "selection");
    l->c->options = swt_h5_get_text(group, "options");
    ok = l->c->group && l->c->selection && l->c->options;
    for (int k = 0; k < 2 && ok; k++) {
        hid_t attribute = H5Aopen(group, number_name[k], H5P_DEFAULT);
        hid_t space = attribute >= 0 ? H5Aget_space(attribute) : -1;
        ok = space >= 0 && H5Sget_simple_extent_npoints(space) == 1 &&
             H5Aread(attribute, H5T_NATIVE_DOUBLE, number[k]) >= 0;
        if (space >= 0)
            H5Sclose(space);
        if (attribute >= 0)
            H5Aclose(attribute);
    }
    H5Gclose(group);
    return ok ? SWT_OK : damaged(l, path, err);
}

static swt_status make_rows(const loading *l, swt_error *err)
{
    swt_kept_comparison *c = l->c;
    bool ok;

    c->reference = calloc(c->n_reference + 1, sizeof *c->reference);
    c->corridor = calloc(c->n_corridors + 1, sizeof *c->corridor);
    c->path = calloc(c->n_paths + 1, sizeof *c->path);
    c->departure = calloc(c->n_departures + 1, sizeof *c->departure);
    c->score = calloc(c->n_scores + 1, sizeof *c->score);
    ok = c->reference && c->corridor && c->path && c->departure && c->score;
    for (size_t i = 0; ok && i < c->n_corridors; i++)
        ok = (c->corridor[i].corridor = calloc(1, sizeof(swt_corridor))) != NULL;
    for (size_t i = 0; ok && i < c->n_paths; i++)
        ok = (c->path[i].corridor = calloc(1, sizeof(swt_path_corridor))) != NULL;
    return ok ? SWT_OK : swt_fail(err, SWT_ENOMEM, "%s: out of memory", l->study->path);
}

static swt_status check_references(const loading *l, swt_error *err)
{
    const swt_kept_comparison *c = l->c;
    bool ok = true;

    for (size_t i = 0; i < c->n_reference; i++)
        ok = ok && c->reference[i] < l->study->n_swings;
    for (size_t i = 0; i < c->n_scores; i++)
        ok = ok && c->score[i].swing < l->study->n_swings;
    for (size_t i = 0; i < c->n_departures && ok; i++) {
        const swt_departure *d = &c->departure[i].departure;
        size_t samples;
        ok = c->departure[i].swing < l->study->n_swings && d->measure < c->n_corridors + c->n_paths;
        if (!ok)
            break;
        samples = d->measure < c->n_corridors
                      ? c->corridor[d->measure].corridor->n_samples
                      : c->path[d->measure - c->n_corridors].corridor->n_samples;
        ok = d->first <= d->last && d->last < samples && d->peak < samples;
    }
    return ok ? SWT_OK
              : swt_fail(err, SWT_EFORMAT, "%s: comparison %s: a number points nowhere",
                         l->study->path, l->name);
}

typedef struct listing {
    swt_names *names;
    swt_error *err;
} listing;

/* H5Literate's: goes on as long as it gives 0. */
static herr_t list_name(hid_t group, const char *name, const H5L_info_t *info, void *user)
{
    listing *l = user;
    size_t index;

    (void)group;
    (void)info;
    return swt_names_add(&index, l->names, name, strlen(name), l->err) == SWT_OK ? 0 : 1;
}

swt_status swt_comparison_list(swt_names *names, const swt_study *study, swt_error *err)
{
    listing l = {names, err};
    hid_t group;
    herr_t stopped;

    if (H5Lexists(study->file->file, "corridors", H5P_DEFAULT) <= 0)
        return SWT_OK;
    group = H5Gopen2(study->file->file, "corridors", H5P_DEFAULT);
    stopped = group >= 0 ? H5Literate(group, H5_INDEX_NAME, H5_ITER_INC, NULL, list_name, &l) : -1;
    if (group >= 0)
        H5Gclose(group);
    if (stopped < 0)
        return swt_h5_fail(err, SWT_EFORMAT, study->path, "corridors", "cannot be read");
    return stopped == 0 ? SWT_OK : SWT_ENOMEM;
}

static swt_status none_of_that_name(const loading *l, swt_error *err)
{
    swt_names names = {0};
    char list[200] = "";
    size_t used = 0;
    swt_status rc = swt_comparison_list(&names, l->study, err);

    for (size_t i = 0; i < names.n && used < sizeof list; i++)
        used += (size_t)snprintf(list + used, sizeof list - used, "%s%s", used ? ", " : "",
                                 names.name[i]);
    swt_names_reset(&names);
    return rc != SWT_OK ? rc
                        : swt_fail(err, SWT_EARG, "%s: there is no comparison \"%s\"; there %s%s",
                                   l->study->path, l->name, list[0] ? "are: " : "is none", list);
}

static swt_status load(const loading *l, const char *path, swt_error *err)
{
    size_t *const rows[SWT_KEPT_TABLES] = {&l->c->n_reference, &l->c->n_corridors, &l->c->n_paths,
                                           &l->c->n_departures, &l->c->n_scores};
    swt_status rc = load_head(l, path, err);

    for (int t = 0; t < SWT_KEPT_TABLES && rc == SWT_OK; t++) {
        size_t n = 0;
        rc = count_table(l, (swt_kept_table)t, &n, err);
        *rows[t] = rc == SWT_OK ? n : 0;
    }
    if (rc == SWT_OK)
        rc = make_rows(l, err);
    for (int t = 0; t < SWT_KEPT_TABLES && rc == SWT_OK; t++)
        rc = load_table(l, (swt_kept_table)t, err);
    for (size_t k = 0; k < swt_kept_n_arrays && rc == SWT_OK; k++)
        rc = load_array(l, &swt_kept_arrays[k], err);
    return rc == SWT_OK ? check_references(l, err) : rc;
}

swt_status swt_comparison_load(swt_kept_comparison **out, const swt_study *study, const char *name,
                               swt_error *err)
{
    loading l = {study, name, NULL};
    char link[300], path[400];
    swt_status rc;

    *out = NULL;
    swt_h5_quiet();
    snprintf(path, sizeof path, "corridors/%s", swt_link_name(link, sizeof link, name));
    if (name[0] == '\0' || H5Lexists(study->file->file, "corridors", H5P_DEFAULT) <= 0 ||
        H5Lexists(study->file->file, path, H5P_DEFAULT) <= 0)
        return none_of_that_name(&l, err);
    l.c = calloc(1, sizeof *l.c);
    if (!l.c)
        return swt_fail(err, SWT_ENOMEM, "%s: out of memory", study->path);
    rc = load(&l, path, err);
    if (rc != SWT_OK) {
        swt_kept_comparison_free(l.c);
        return rc;
    }
    *out = l.c;
    return SWT_OK;
}

void swt_kept_comparison_free(swt_kept_comparison *c)
{
    if (!c)
        return;
    for (size_t i = 0; c->corridor && i < c->n_corridors; i++)
        swt_corridor_free(c->corridor[i].corridor);
    for (size_t i = 0; c->path && i < c->n_paths; i++)
        swt_path_corridor_free(c->path[i].corridor);
    free(c->corridor);
    free(c->path);
    free(c->departure);
    free(c->score);
    free(c->reference);
    free(c->group);
    free(c->selection);
    free(c->options);
    free(c);
}
