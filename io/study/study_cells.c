#include "io/study/study_cells.h"

#include "io/study/study_layout.h"

#include <stdlib.h>

static const char cells_name[] = "cells", length_name[] = "cell_lengths", rows_name[] = "cell_rows";

void swt_study_cells_free(swt_study_cells *cells)
{
    free(cells->length);
    free(cells->at);
    free(cells->bytes);
    *cells = (swt_study_cells){0};
}

/** Where each column begins, from the lengths; false where that is more than `most` bytes. */
static bool place(swt_study_cells *cells, const swt_layout *layout, uint64_t most)
{
    cells->size = 0;
    for (size_t i = 0; i < cells->n; i++) {
        const swt_column *c = &layout->column[i];
        size_t rows = layout->rows[c->axis];
        cells->at[i] = cells->size;
        if (cells->length[i] == 0)
            continue;
        if (cells->length[i] > most || rows > most ||
            (rows > 0 && swt_column_size(c, cells->length[i]) > (most - cells->size) / rows))
            return false;
        cells->size += rows * swt_column_size(c, cells->length[i]);
    }
    return true;
}

static bool make_lists(swt_study_cells *cells, const swt_layout *layout)
{
    cells->length = calloc(layout->n, sizeof *cells->length);
    cells->at = calloc(layout->n, sizeof *cells->at);
    cells->n = cells->length && cells->at ? layout->n : 0;
    return cells->n > 0;
}

swt_status swt_study_cells_new(swt_study_cells *cells, const swt_layout *layout,
                               const size_t *length, swt_error *err)
{
    *cells = (swt_study_cells){0};
    if (make_lists(cells, layout)) {
        for (size_t i = 0; i < layout->n; i++)
            cells->length[i] = swt_column_is_bulk(&layout->column[i]) ? 0 : length[i];
        if (place(cells, layout, SIZE_MAX / 2))
            cells->bytes = malloc(cells->size + 1);
    }
    return cells->bytes ? SWT_OK : swt_fail(err, SWT_ENOMEM, "out of memory");
}

static bool write_one(hid_t file, const char *name, hid_t type, hsize_t n, const void *values)
{
    hid_t dataset = swt_h5_create_dataset(file, name, type, NULL, 1, &n, 1, SWT_H5_PLAIN);
    bool ok = dataset >= 0 && swt_h5_write_rows(dataset, type, 0, n, values);

    if (dataset >= 0)
        ok = H5Dclose(dataset) >= 0 && ok;
    return ok;
}

bool swt_study_cells_write(hid_t file, const swt_study_cells *cells, const size_t rows[SWT_AXES])
{
    return write_one(file, rows_name, H5T_NATIVE_HSIZE, SWT_AXES, rows) &&
           write_one(file, length_name, H5T_NATIVE_HSIZE, cells->n, cells->length) &&
           write_one(file, cells_name, H5T_NATIVE_UCHAR, cells->size, cells->bytes);
}

bool swt_study_cells_are_in(hid_t file)
{
    return H5Lexists(file, cells_name, H5P_DEFAULT) > 0;
}

/** Exactly n values. */
static bool read_one(void *values, hid_t file, const char *name, hid_t type, hsize_t n)
{
    hid_t dataset = H5Dopen2(file, name, H5P_DEFAULT);
    hsize_t dims[2];
    int rank;
    bool ok = dataset >= 0 && swt_h5_extents(dataset, &rank, dims) && rank == 1 && dims[0] == n &&
              swt_h5_read_rows(dataset, type, 0, n, values);

    if (dataset >= 0)
        H5Dclose(dataset);
    return ok;
}

bool swt_study_cells_read(swt_study_cells *cells, swt_layout *layout, hid_t file,
                          uint64_t file_size)
{
    *cells = (swt_study_cells){0};
    if (!make_lists(cells, layout) ||
        !read_one(layout->rows, file, rows_name, H5T_NATIVE_HSIZE, SWT_AXES) ||
        !read_one(cells->length, file, length_name, H5T_NATIVE_HSIZE, layout->n))
        return false;
    for (size_t i = 0; i < layout->n; i++) {
        const swt_column *c = &layout->column[i];
        bool fits = swt_column_is_bulk(c)   ? cells->length[i] == 0
                    : swt_column_is_text(c) ? cells->length[i] > 0
                                            : cells->length[i] == 1;
        if (!fits)
            return false;
    }
    /* what the file has no room for is not there to be read */
    if (!place(cells, layout, file_size))
        return false;
    cells->bytes = malloc(cells->size + 1);
    return cells->bytes && read_one(cells->bytes, file, cells_name, H5T_NATIVE_UCHAR, cells->size);
}
