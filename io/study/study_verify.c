/* Reads every byte that has a checksum, and checks every number that points somewhere. */
#include "io/study/study_layout.h"

#include <stdlib.h>
#include <string.h>

enum { BLOCK = 1 << 20 };

typedef struct verifying {
    const char *path;
    swt_status status;
    swt_error *err;
} verifying;

/* Reads a dataset block by block: HDF5 compares each chunk with its Fletcher-32 sum. */
static bool read_through(hid_t dataset)
{
    hid_t type = H5Dget_type(dataset);
    size_t size = type >= 0 ? H5Tget_size(type) : 0, rows;
    hsize_t dims[2];
    char *block = NULL;
    bool ok = false;
    int rank;

    if (size > 0 && swt_h5_extents(dataset, &rank, dims) && dims[1] > 0 && dims[1] <= BLOCK / 8 &&
        size <= 64 * BLOCK) {
        rows = BLOCK / (size_t)dims[1] / size;
        rows = rows ? rows : 1;
        block = malloc(rows * (size_t)dims[1] * size);
        ok = block != NULL;
        if (H5Dget_storage_size(dataset) == 0)
            dims[0] = 0; /* fill values only: nothing is stored that could be damaged */
        for (hsize_t at = 0; ok && at < dims[0]; at += rows)
            ok = swt_h5_read_rows(dataset, type, at, dims[0] - at < rows ? dims[0] - at : rows,
                                  block);
    }
    free(block);
    if (type >= 0)
        H5Tclose(type);
    return ok;
}

static herr_t visit(hid_t root, const char *name, const H5O_info_t *info, void *user)
{
    verifying *v = user;
    hid_t dataset;
    bool ok;

    if (info->type != H5O_TYPE_DATASET)
        return 0;
    dataset = H5Dopen2(root, name, H5P_DEFAULT);
    ok = dataset >= 0 && read_through(dataset);
    if (!ok)
        v->status =
            swt_h5_fail(v->err, SWT_EFORMAT, v->path, name, "cannot be read: the study is damaged");
    if (dataset >= 0)
        H5Dclose(dataset);
    return ok ? 0 : -1;
}

static swt_status check_bulk_shapes(const swt_study *study, swt_error *err)
{
    const swt_layout *layout = &study->file->layout;

    for (size_t i = 0; i < layout->n; i++) {
        const swt_column *c = &layout->column[i];
        hid_t dataset, stored, wanted;
        hsize_t dims[2];
        bool ok = false;
        int rank;
        if (!swt_column_is_bulk(c) || c->since > study->schema ||
            swt_column_lacks(c, study->file->file))
            continue; /* checked when the study was opened */
        dataset = H5Dopen2(study->file->file, c->path, H5P_DEFAULT);
        if (dataset >= 0) {
            stored = H5Dget_type(dataset);
            wanted = swt_column_type(c, 0);
            ok = stored >= 0 && wanted >= 0 && H5Tequal(stored, wanted) > 0 &&
                 swt_h5_extents(dataset, &rank, dims) && rank == (c->width > 1 ? 2 : 1) &&
                 dims[0] == layout->rows[c->axis] && dims[1] == c->width;
            if (wanted >= 0)
                H5Tclose(wanted);
            if (stored >= 0)
                H5Tclose(stored);
            H5Dclose(dataset);
        }
        if (!ok)
            return swt_h5_fail(err, SWT_EFORMAT, study->path, c->path,
                               "is missing, or has another type or shape");
    }
    return SWT_OK;
}

swt_status swt_study_verify(const char *path, swt_error *err)
{
    verifying v = {path, SWT_OK, err};
    swt_study *study;
    swt_status rc = swt_study_open(&study, path, err);

    if (rc != SWT_OK)
        return rc;
    rc = check_bulk_shapes(study, err);
    if (rc == SWT_OK &&
        H5Ovisit2(study->file->file, H5_INDEX_NAME, H5_ITER_INC, visit, &v, H5O_INFO_BASIC) < 0)
        rc = v.status != SWT_OK
                 ? v.status
                 : swt_h5_fail(err, SWT_EFORMAT, path, NULL, "the list of datasets is damaged");
    swt_study_close(study);
    return rc;
}
