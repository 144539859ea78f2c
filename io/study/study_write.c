/* Entries -> rows -> columns. */
#include "io/study/study_layout.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

static void add_findings(swt_study *rows, size_t *n, size_t capture, long swing,
                         const swt_findings *findings)
{
    for (size_t k = 0; k < findings->n; k++) {
        swt_study_finding *f = &rows->finding[(*n)++];
        f->capture = capture;
        f->swing = swing;
        f->severity = (swt_severity)findings->item[k].severity;
        f->code = (char *)findings->item[k].code;
        f->text = (char *)findings->item[k].text;
    }
    if (findings->dropped > 0) {
        swt_study_finding *f = &rows->finding[(*n)++];
        f->capture = capture;
        f->swing = swing;
        f->severity = SWT_NOTE;
        f->code = "findings_dropped";
        f->text = "There were more findings than are kept: mend the ones listed and run again.";
    }
}

static void fill_swing_row(swt_study *rows, size_t i, size_t capture, const swt_trial *trial,
                           const swt_swing *swing, size_t first_sample)
{
    swt_study_swing *row = &rows->swing[i];

    row->capture = capture;
    row->number = swing->number;
    row->strike = swing->strike;
    row->capture_frame = swing->capture_frame;
    row->n_frames = swing->n_frames;
    row->first_sample = first_sample;
    row->rate_hz = swing->rate_hz;
    row->player = trial->player;
    row->session = trial->session;
    row->group = trial->group;
    row->club = trial->club;
    row->shot = trial->shot;
    row->side = trial->side;
    row->covariate = trial->covariate;
    row->heel_depth_m = swing->heel_depth_m;
    row->target_from_stance = swing->quality.target_from_stance;
    for (int e = 0; e < SWT_EVENT_COUNT; e++)
        rows->event[e][i] = swing->event[e];
    for (int s = 0; s < SWT_SERIES_COUNT; s++)
        rows->series_verdict[s][i] = swing->series_verdict[s];
    for (size_t m = 0; m < swt_measure_count(); m++)
        rows->measure[m][i] = swing->measure[m];
}

/* The same rows that a reader gets; the texts are borrowed from the entries. */
static swt_status rows_from_entries(swt_study *rows, const swt_study_entry *entry, size_t n,
                                    swt_error *err)
{
    size_t n_swings = 0, n_findings = 0, first_sample = 0;
    swt_status rc;

    rows->n_captures = n;
    for (size_t i = 0; i < n; i++) {
        rows->n_swings += entry[i].n_swings;
        rows->n_findings += entry[i].facts->findings.n + (entry[i].facts->findings.dropped > 0);
        for (size_t k = 0; k < entry[i].n_swings; k++)
            rows->n_findings +=
                entry[i].swing[k]->findings.n + (entry[i].swing[k]->findings.dropped > 0);
    }
    rc = swt_study_rows_new(rows, err);
    for (size_t i = 0; i < n && rc == SWT_OK; i++) {
        const swt_capture_facts *facts = entry[i].facts;
        swt_study_capture *row = &rows->capture[i];
        row->file = entry[i].trial->file;
        row->sha256 = (char *)facts->sha256;
        row->format = (char *)facts->format;
        row->unit = (char *)facts->unit;
        row->message = (char *)facts->message;
        row->static_sha256 = (char *)facts->static_sha256;
        row->map_sha256 = (char *)facts->map_sha256;
        row->row_sha256 = (char *)facts->row_sha256;
        row->file_stamp = (char *)facts->file_stamp;
        row->static_stamp = (char *)facts->static_stamp;
        row->measured = facts->measured;
        row->status = facts->status;
        row->rate_hz = facts->rate_hz;
        row->n_frames = facts->n_frames;
        row->n_points = facts->n_points;
        add_findings(rows, &n_findings, i, -1, &facts->findings);
        for (size_t k = 0; k < entry[i].n_swings; k++, n_swings++) {
            const swt_swing *swing = entry[i].swing[k];
            fill_swing_row(rows, n_swings, i, entry[i].trial, swing, first_sample);
            add_findings(rows, &n_findings, i, (long)n_swings, &swing->findings);
            first_sample += swing->n_frames;
        }
    }
    return rc;
}

size_t swt_column_longest_text(const swt_column *column, const swt_study *rows, size_t n)
{
    size_t longest = 1;

    if (column->field == SWT_FIELD_TEXT)
        for (size_t i = 0; i < n; i++) {
            size_t length = strlen(*(char **)swt_column_at(column, rows, i));
            longest = length > longest ? length : longest;
        }
    return longest;
}

/* The numbers of one swing that a bulk column of one row a swing holds; NULL when it has none. */
static const void *bulk_rows(const swt_column *column, const swt_swing *swing)
{
    switch (column->source) {
    case SWT_FROM_QUALITY:
        return (const char *)&swing->quality + column->offset;
    case SWT_FROM_CURVE:
        return swing->curve[column->index];
    case SWT_FROM_CURVE_SD:
        return swing->curve_sd[column->index];
    case SWT_FROM_CURVE_TIME:
        return swing->curve_time_s;
    case SWT_FROM_TRAVEL_CURVE:
        return swing->travel_curve[column->index];
    case SWT_FROM_TRAVEL_TIME:
        return swing->travel_time_s;
    case SWT_FROM_SHIFT:
        return swing->shift_m;
    default:
        return swing->shift_height_m;
    }
}

static void put_missing(const swt_column *column, char *to, size_t values)
{
    double missing = nan("");
    float missing_float = nanf("");

    for (size_t i = 0; i < values; i++)
        if (column->field == SWT_FIELD_DOUBLE)
            memcpy(to + i * sizeof missing, &missing, sizeof missing);
        else if (column->field == SWT_FIELD_FLOAT)
            memcpy(to + i * sizeof missing_float, &missing_float, sizeof missing_float);
        else
            to[i] = SWT_ORIGIN_MISSING;
}

/* The same of a column of one row a frame. */
static const void *bulk_samples(const swt_column *column, const swt_packed *packed)
{
    switch (column->source) {
    case SWT_FROM_ORIGIN:
        return packed->origin[column->index];
    case SWT_FROM_BODY:
        return packed->body[column->index];
    default:
        return packed->series[column->index];
    }
}

/* What one swing gives a bulk column; NULL when it has nothing for it. */
static const void *bulk_of(const swt_column *column, const swt_study_entry *entry, size_t swing)
{
    return column->axis == SWT_BY_SAMPLE ? bulk_samples(column, entry->packed[swing])
                                         : bulk_rows(column, entry->swing[swing]);
}

static bool any_has(const swt_column *column, const swt_study_entry *entry, size_t n_entries)
{
    for (size_t i = 0; i < n_entries; i++)
        for (size_t k = 0; k < entry[i].n_swings; k++)
            if (bulk_of(column, &entry[i], k))
                return true;
    return false;
}

static void fill_bulk(const swt_column *column, char *buffer, const swt_study_entry *entry,
                      size_t n_entries)
{
    size_t size = swt_column_size(column, 0), at = 0;

    for (size_t i = 0; i < n_entries; i++)
        for (size_t k = 0; k < entry[i].n_swings; k++) {
            const void *from = bulk_of(column, &entry[i], k);
            size_t values = column->width;
            if (column->axis == SWT_BY_SAMPLE)
                values *= entry[i].swing[k]->n_frames;
            if (from)
                memcpy(buffer + at, from, values * size);
            else
                put_missing(column, buffer + at, values);
            at += values * size;
        }
}

/* The cells of a column, each of which is set. */
static void fill_column(const swt_column *column, char *buffer, size_t rows_n, size_t length,
                        const swt_study *rows, const swt_study_entry *entry, size_t n_entries)
{
    size_t size = swt_column_size(column, length);

    if (swt_column_is_bulk(column))
        fill_bulk(column, buffer, entry, n_entries);
    else
        for (size_t i = 0; i < rows_n; i++)
            swt_column_put(column, buffer + i * size, length,
                           column->field == SWT_FIELD_INDEX ? NULL : swt_column_at(column, rows, i),
                           i);
}

/* All rows of a column; NULL: they are missing. */
static swt_status put_column(swt_study_draft *draft, size_t at, const swt_column *column,
                             size_t rows_n, size_t length, const char *buffer, swt_error *err)
{
    swt_status rc =
        buffer ? swt_study_put_rows(draft, at, column, length, 0, rows_n, buffer, err) : SWT_OK;

    return rc == SWT_OK ? swt_study_close_column(draft, at, column, err) : rc;
}

swt_status swt_study_write_column(swt_study_draft *draft, size_t at, const swt_column *column,
                                  size_t rows_n, size_t length, const swt_study *rows,
                                  const swt_study_entry *entry, size_t n_entries,
                                  swt_study_growth *growth, swt_error *err)
{
    char *buffer = NULL;
    swt_status rc = SWT_OK;

    if (rows_n == 0)
        return SWT_OK;
    /* else the fill value says it all, and takes no room */
    if (!swt_column_is_bulk(column) || any_has(column, entry, n_entries)) {
        buffer = malloc(rows_n * swt_column_size(column, length) * column->width);
        if (!buffer)
            return swt_fail(err, SWT_ENOMEM, "%s: %s: out of memory", draft->path, column->path);
        fill_column(column, buffer, rows_n, length, rows, entry, n_entries);
    }
    if (swt_study_cells_hold(&draft->cells, at))
        memcpy(swt_study_cells_of(&draft->cells, at), buffer,
               rows_n * swt_column_size(column, length));
    else
        rc = put_column(draft, at, column, rows_n, length, buffer, err);
    if (rc == SWT_OK && growth)
        rc = swt_study_growth_take(growth, at, length, rows_n, buffer, err);
    free(buffer);
    return rc;
}

static swt_status write_rows(swt_study_draft *draft, const swt_study *rows, swt_layout *layout,
                             const swt_study_entry *entry, size_t n_entries,
                             swt_study_growth *growth, swt_error *err)
{
    size_t *length = calloc(2 * layout->n, sizeof *length), *own;
    swt_status rc = SWT_OK;

    if (!length)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    own = length + layout->n; /* of those that get a dataset of their own */
    for (size_t i = 0; i < layout->n; i++)
        length[i] =
            swt_column_longest_text(&layout->column[i], rows, layout->rows[layout->column[i].axis]);
    if (draft->storage == SWT_H5_PLAIN)
        rc = swt_study_cells_new(&draft->cells, layout, length, err);
    for (size_t i = 0; i < layout->n; i++)
        own[i] = swt_study_cells_hold(&draft->cells, i) ? 0 : length[i];
    if (rc == SWT_OK)
        rc = swt_study_create_columns(draft, layout, own, err);
    for (size_t i = 0; i < layout->n && rc == SWT_OK; i++)
        rc = swt_study_write_column(draft, i, &layout->column[i],
                                    layout->rows[layout->column[i].axis], length[i], rows, entry,
                                    n_entries, growth, err);
    if (rc == SWT_OK && draft->storage == SWT_H5_PLAIN &&
        !swt_study_cells_write(draft->file, &draft->cells, layout->rows))
        rc = swt_h5_fail(err, SWT_EIO, draft->path, NULL, "cannot be written: is the disk full?");
    if (rc == SWT_OK && growth)
        rc = swt_study_growth_checkpoint(growth, draft->path, layout->rows, err);
    free(length);
    return rc;
}

static swt_status write_entries(const char *path, swt_h5_storage storage,
                                const swt_study_entry *entry, size_t n_entries,
                                const swt_provenance *provenance, swt_study_growth *growth,
                                swt_error *err)
{
    swt_study rows = {0};
    swt_layout layout = {0};
    swt_study_draft draft = {.file = -1, .storage = storage};
    const char *text[SWT_PROVENANCE_TEXTS];
    char created[32], **covariate = NULL;
    swt_status rc;

    swt_h5_quiet();
    swt_provenance_texts(text, created, provenance);
    rc = swt_split_lines(&covariate, &rows.n_covariates, text[SWT_TEXT_COVARIATES], err);
    if (rc == SWT_OK)
        rc = rows_from_entries(&rows, entry, n_entries, err);
    if (rc == SWT_OK)
        rc = swt_layout_build(&layout, covariate, rows.n_covariates, err);
    if (rc != SWT_OK)
        goto done;
    layout.rows[SWT_BY_CAPTURE] = rows.n_captures;
    layout.rows[SWT_BY_SWING] = rows.n_swings;
    layout.rows[SWT_BY_FINDING] = rows.n_findings;
    for (size_t i = 0; i < rows.n_swings; i++)
        layout.rows[SWT_BY_SAMPLE] += rows.swing[i].n_frames;
    rc = swt_study_draft_open(&draft, path, err);
    if (rc == SWT_OK)
        rc = swt_study_write_root(&draft, text, err);
    if (rc == SWT_OK)
        rc = write_rows(&draft, &rows, &layout, entry, n_entries, growth, err);
    if (rc == SWT_OK)
        rc = swt_study_draft_commit(&draft, err);
done:
    swt_study_draft_discard(&draft);
    swt_study_cells_free(&draft.cells);
    swt_layout_free(&layout);
    swt_study_rows_free(&rows, false);
    free(covariate);
    return rc;
}

/* Packs the swings of the entries that bring them unpacked. */
static swt_status pack(swt_packed ***own, swt_study_entry *entry, size_t n_entries, swt_error *err)
{
    size_t n = 0;
    swt_status rc = SWT_OK;

    for (size_t i = 0; i < n_entries; i++)
        n += entry[i].n_swings;
    *own = calloc(n + 1, sizeof **own);
    if (!*own)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    n = 0;
    for (size_t i = 0; i < n_entries && rc == SWT_OK; i++) {
        if (entry[i].packed)
            continue;
        entry[i].packed = *own + n;
        for (size_t k = 0; k < entry[i].n_swings && rc == SWT_OK; k++)
            rc = swt_packed_new(&(*own)[n++], entry[i].swing[k], err);
    }
    return rc;
}

static swt_status write_packed(const char *path, swt_h5_storage storage,
                               const swt_study_entry *given, size_t n_entries,
                               const swt_provenance *provenance, swt_study_growth *growth,
                               swt_error *err)
{
    swt_study_entry *entry = malloc((n_entries + 1) * sizeof *entry);
    swt_packed **own = NULL;
    swt_status rc;

    if (!entry)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    if (n_entries > 0)
        memcpy(entry, given, n_entries * sizeof *entry);
    rc = pack(&own, entry, n_entries, err);
    if (rc == SWT_OK)
        rc = write_entries(path, storage, entry, n_entries, provenance, growth, err);
    for (size_t i = 0; own && own[i]; i++)
        swt_packed_free(own[i]);
    free(own);
    free(entry);
    return rc;
}

swt_status swt_study_write(const char *path, const swt_study_entry *entry, size_t n_entries,
                           const swt_provenance *provenance, swt_error *err)
{
    return write_packed(path, SWT_H5_FIXED, entry, n_entries, provenance, NULL, err);
}

swt_status swt_study_write_checkpoint(const char *path, const swt_study_entry *entry,
                                      size_t n_entries, const swt_provenance *provenance,
                                      swt_study_growth *growth, swt_error *err)
{
    swt_status rc = write_packed(path, SWT_H5_PLAIN, entry, n_entries, provenance, growth, err);

    if (rc == SWT_OK && growth) /* now that the sync of the checkpoint does not wait for it */
        swt_study_growth_begin_writing(growth);
    return rc;
}
