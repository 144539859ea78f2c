/* Bulk columns on demand: curves, series, body, quality of the swings asked for. */
#include "io/study/study_layout.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* An open bulk column, and whether it has the shape that the layout promises. */
typedef struct bulk {
    const swt_column *column;
    hid_t dataset, type;
} bulk;

static const swt_column *find_column(const swt_study *study, swt_source source, size_t index)
{
    const swt_layout *layout = &study->file->layout;

    for (size_t i = 0; i < layout->n; i++)
        if (layout->column[i].source == source && layout->column[i].index == index)
            return &layout->column[i];
    return NULL;
}

static void bulk_close(bulk *b)
{
    if (b->type >= 0)
        H5Tclose(b->type);
    if (b->dataset >= 0)
        H5Dclose(b->dataset);
    b->type = b->dataset = -1;
}

static swt_status bulk_open(bulk *b, const swt_study *study, swt_source source, size_t index,
                            swt_error *err)
{
    hid_t stored = -1;
    hsize_t dims[2];
    bool ok = false;
    int rank;

    swt_h5_quiet();
    b->dataset = b->type = -1;
    b->column = find_column(study, source, index);
    if (!b->column)
        return swt_fail(err, SWT_EARG, "%s: no such column", study->path);
    b->dataset = H5Dopen2(study->file->file, b->column->path, H5P_DEFAULT);
    if (b->dataset >= 0) {
        b->type = swt_column_type(b->column, 0);
        stored = H5Dget_type(b->dataset);
        ok = b->type >= 0 && stored >= 0 && H5Tequal(stored, b->type) > 0 &&
             swt_h5_extents(b->dataset, &rank, dims) && rank == (b->column->width > 1 ? 2 : 1) &&
             dims[0] == study->file->layout.rows[b->column->axis] && dims[1] == b->column->width;
        if (stored >= 0)
            H5Tclose(stored);
    }
    if (ok)
        return SWT_OK;
    bulk_close(b);
    return swt_h5_fail(err, SWT_EFORMAT, study->path, b->column->path,
                       "is missing, or has another type or shape");
}

static swt_status bulk_read(const bulk *b, const swt_study *study, size_t first, size_t n,
                            void *out, swt_error *err)
{
    if (swt_h5_read_rows(b->dataset, b->type, first, n, out))
        return SWT_OK;
    return swt_h5_fail(err, SWT_EFORMAT, study->path, b->column->path,
                       "cannot be read: the study is damaged");
}

static swt_status check_swing(const swt_study *study, size_t swing, swt_error *err)
{
    return swing < study->n_swings ? SWT_OK
                                   : swt_fail(err, SWT_EARG, "%s: swing %zu of %zu", study->path,
                                              swing, study->n_swings);
}

/* Rows of a column by swing; neighbours in the list that are neighbours in the file in one go. */
static swt_status read_listed(const bulk *b, const swt_study *study, const size_t *swing, size_t n,
                              void *out, swt_error *err)
{
    size_t size = b->column->width * swt_column_size(b->column, 0);
    swt_status rc = SWT_OK;

    for (size_t i = 0; i < n && rc == SWT_OK; i++)
        rc = check_swing(study, swing[i], err);
    for (size_t i = 0, run; i < n && rc == SWT_OK; i += run) {
        run = 1;
        while (i + run < n && swing[i + run] == swing[i] + run)
            run++;
        rc = bulk_read(b, study, swing[i], run, (char *)out + i * size, err);
    }
    return rc;
}

/* A column by swing, of the swings listed, as the column's own type. */
static swt_status read_column(const swt_study *study, swt_source source, size_t index,
                              const size_t *swing, size_t n, void *out, swt_error *err)
{
    bulk b;
    swt_status rc = bulk_open(&b, study, source, index, err);

    if (rc == SWT_OK)
        rc = read_listed(&b, study, swing, n, out, err);
    bulk_close(&b);
    return rc;
}

/* Times of `samples` a swing, made to count from takeaway. */
static swt_status read_times(const swt_study *study, swt_source source, const size_t *swing,
                             size_t n, size_t samples, double *out, swt_error *err)
{
    swt_status rc = read_column(study, source, 0, swing, n, out, err);

    for (size_t i = 0; i < n && rc == SWT_OK; i++)
        for (size_t k = 0; k < samples; k++)
            out[i * samples + k] -= study->event[SWT_EVENT_TAKEAWAY][swing[i]].time_s;
    return rc;
}

swt_status swt_study_read_curves(const swt_study *study, swt_series series, const size_t *swing,
                                 size_t n, double *out, swt_error *err)
{
    return read_column(study, SWT_FROM_CURVE, (size_t)series, swing, n, out, err);
}

swt_status swt_study_read_curve_sds(const swt_study *study, swt_series series, const size_t *swing,
                                    size_t n, double *out, swt_error *err)
{
    size_t values = n * SWT_CURVE_SAMPLES;
    const swt_column *column = find_column(study, SWT_FROM_CURVE_SD, (size_t)series);
    float *room = NULL;
    swt_status rc = SWT_OK;

    for (size_t i = 0; i < values; i++)
        out[i] = nan("");
    if (!column || swt_column_lacks(column, study->file->file))
        return SWT_OK;
    room = malloc(values * sizeof *room + 1);
    if (!room)
        return swt_fail(err, SWT_ENOMEM, "%s: out of memory", study->path);
    rc = read_column(study, SWT_FROM_CURVE_SD, (size_t)series, swing, n, room, err);
    for (size_t i = 0; rc == SWT_OK && i < values; i++)
        out[i] = (double)room[i];
    free(room);
    return rc;
}

swt_status swt_study_read_curve_times(const swt_study *study, const size_t *swing, size_t n,
                                      double *out, swt_error *err)
{
    return read_times(study, SWT_FROM_CURVE_TIME, swing, n, SWT_CURVE_SAMPLES, out, err);
}

swt_status swt_study_read_travel_curves(const swt_study *study, swt_series series,
                                        const size_t *swing, size_t n, double *out, swt_error *err)
{
    return read_column(study, SWT_FROM_TRAVEL_CURVE, (size_t)series, swing, n, out, err);
}

swt_status swt_study_read_travel_times(const swt_study *study, const size_t *swing, size_t n,
                                       double *out, swt_error *err)
{
    return read_times(study, SWT_FROM_TRAVEL_TIME, swing, n, SWT_TRAVEL_SAMPLES, out, err);
}

swt_status swt_study_read_shift(const swt_study *study, const size_t *swing, size_t n,
                                double *shift, double *height, swt_error *err)
{
    swt_status rc = read_column(study, SWT_FROM_SHIFT, 0, swing, n, shift, err);

    return rc == SWT_OK ? read_column(study, SWT_FROM_SHIFT_HEIGHT, 0, swing, n, height, err) : rc;
}

swt_status swt_study_read_series(const swt_study *study, swt_series series, size_t swing,
                                 double *out, swt_error *err)
{
    bulk b;
    swt_status rc = check_swing(study, swing, err);

    if (rc != SWT_OK)
        return rc;
    rc = bulk_open(&b, study, SWT_FROM_SERIES, (size_t)series, err);
    if (rc != SWT_OK)
        return rc;
    if (H5Dget_storage_size(b.dataset) == 0) { /* no swing of the study has it */
        for (size_t f = 0; f < study->swing[swing].n_frames; f++)
            out[f] = nan("");
    } else {
        hid_t stored = b.type;
        b.type = H5T_NATIVE_DOUBLE;
        rc = bulk_read(&b, study, study->swing[swing].first_sample, study->swing[swing].n_frames,
                       out, err);
        b.type = stored;
    }
    bulk_close(&b);
    return rc;
}

/* One landmark: present when any of its samples is not missing. */
static swt_status read_landmark(swt_landmark_set *set, const swt_study *study,
                                swt_landmark landmark, size_t first, double *scratch,
                                swt_error *err)
{
    size_t n = set->n_frames;
    bulk b;
    swt_status rc = bulk_open(&b, study, SWT_FROM_BODY, landmark, err);

    if (rc != SWT_OK)
        return rc;
    {
        hid_t stored = b.type;
        b.type = H5T_NATIVE_DOUBLE;
        rc = bulk_read(&b, study, first, n, scratch, err);
        b.type = stored;
    }
    bulk_close(&b);
    for (size_t f = 0; f < n && rc == SWT_OK; f++)
        for (size_t k = 0; k < 3; k++)
            set->axis[landmark][k][f] = scratch[3 * f + k];
    if (rc == SWT_OK)
        rc = bulk_open(&b, study, SWT_FROM_ORIGIN, landmark, err);
    if (rc == SWT_OK)
        rc = bulk_read(&b, study, first, n, set->origin[landmark], err);
    bulk_close(&b);
    for (size_t f = 0; f < n && rc == SWT_OK; f++)
        if (set->origin[landmark][f] > SWT_ORIGIN_MISSING)
            rc = swt_fail(err, SWT_EFORMAT, "%s: body/%s/origin: no valid value", study->path,
                          swt_landmark_name(landmark));
    return rc;
}

/* Which landmarks a swing has: those with a sample that is not missing. */
static swt_status find_present(bool present[SWT_LANDMARK_COUNT], const swt_study *study,
                               size_t first, size_t n, unsigned char *scratch, swt_error *err)
{
    swt_status rc = SWT_OK;

    for (int k = 0; k < SWT_LANDMARK_COUNT && rc == SWT_OK; k++) {
        bulk b;
        present[k] = false;
        rc = bulk_open(&b, study, SWT_FROM_ORIGIN, (size_t)k, err);
        if (rc == SWT_OK && H5Dget_storage_size(b.dataset) > 0) {
            rc = bulk_read(&b, study, first, n, scratch, err);
            for (size_t f = 0; f < n && rc == SWT_OK; f++)
                present[k] = present[k] || scratch[f] != SWT_ORIGIN_MISSING;
        }
        bulk_close(&b);
    }
    return rc;
}

swt_status swt_study_read_body(swt_landmark_set **out, const swt_study *study, size_t swing,
                               swt_error *err)
{
    bool present[SWT_LANDMARK_COUNT];
    swt_landmark_set *set = NULL;
    double *scratch = NULL;
    size_t first, n;
    swt_status rc = check_swing(study, swing, err);

    *out = NULL;
    if (rc != SWT_OK)
        return rc;
    first = study->swing[swing].first_sample;
    n = study->swing[swing].n_frames;
    /* what the file has no room for is not there to be read */
    scratch = calloc(n + 1, 3 * sizeof *scratch);
    if (!scratch)
        return swt_fail(err, SWT_ENOMEM, "%s: out of memory for %zu frames", study->path, n);
    rc = find_present(present, study, first, n, (unsigned char *)scratch, err);
    if (rc == SWT_OK)
        rc = swt_landmark_set_new(&set, n, study->swing[swing].rate_hz, present, err);
    for (int k = 0; k < SWT_LANDMARK_COUNT && rc == SWT_OK; k++)
        if (present[k])
            rc = read_landmark(set, study, (swt_landmark)k, first, scratch, err);
    free(scratch);
    if (rc != SWT_OK) {
        swt_landmark_set_free(set);
        return rc;
    }
    *out = set;
    return SWT_OK;
}

swt_status swt_study_read_quality(swt_quality *out, const swt_study *study, size_t swing,
                                  swt_error *err)
{
    const swt_layout *layout = &study->file->layout;
    swt_status rc = check_swing(study, swing, err);

    memset(out, 0, sizeof *out);
    for (size_t i = 0; i < layout->n && rc == SWT_OK; i++) {
        const swt_column *c = &layout->column[i];
        unsigned char flag = 0;
        bulk b;
        if (c->source != SWT_FROM_QUALITY)
            continue;
        rc = bulk_open(&b, study, SWT_FROM_QUALITY, c->index, err);
        if (rc == SWT_OK)
            rc = bulk_read(&b, study, swing, 1,
                           c->field == SWT_FIELD_BOOL ? (void *)&flag : (char *)out + c->offset,
                           err);
        if (rc == SWT_OK && c->field == SWT_FIELD_BOOL)
            *(bool *)(void *)((char *)out + c->offset) = flag != 0;
        bulk_close(&b);
    }
    return rc;
}
