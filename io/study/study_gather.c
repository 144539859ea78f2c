/* Captures picked from studies -> one study. Two passes over the sources, each open once a pass:
 * the first checks and counts all rows, the second copies the columns, run by run of captures that
 * stay neighbours. */
#include "io/study/study_layout.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { BLOCK = 8 << 20 }; /* bytes copied at a time */

/** Where a pick's rows go to; in the first pass, how many they are. */
typedef struct place {
    size_t row[SWT_AXES];
} place;

/** first[c] to first[c + 1] - 1 are the rows of capture c of a source, for each axis. */
typedef struct extents {
    size_t *first[SWT_AXES];
    size_t rows[SWT_AXES];
} extents;

typedef struct gathering {
    const char *const *source;
    extents *of; /* [n_sources], from the first pass */
    size_t n_sources;
    const swt_study_pick *pick;
    size_t n_picks;
    place *to;
    size_t *order, *first; /* picks by source: order[first[s]] to order[first[s + 1] - 1] */
    const swt_layout *layout;
    const size_t *text_length;
} gathering;

/* --- what a capture's rows are in its source ---------------------------------------------- */

static void extents_free(extents *e)
{
    for (int a = 0; a < SWT_AXES; a++)
        free(e->first[a]);
}

static swt_status out_of_order(const swt_study *s, const char *what, size_t i, swt_error *err)
{
    return swt_fail(err, SWT_EFORMAT, "%s: %s %zu is not in the order of the captures", s->path,
                    what, i);
}

static swt_status measure_extents(extents *e, const swt_study *s, swt_error *err)
{
    size_t n = s->n_captures, swing = 0, finding = 0, sample = 0;

    for (int a = 0; a < SWT_AXES; a++) {
        e->first[a] = calloc(n + 1, sizeof(size_t));
        if (!e->first[a])
            return swt_fail(err, SWT_ENOMEM, "out of memory");
    }
    for (size_t c = 0; c <= n; c++) {
        e->first[SWT_BY_CAPTURE][c] = c;
        e->first[SWT_BY_SWING][c] = swing;
        e->first[SWT_BY_FINDING][c] = finding;
        e->first[SWT_BY_SAMPLE][c] = sample;
        for (; swing < s->n_swings && s->swing[swing].capture == c; swing++)
            sample += s->swing[swing].n_frames;
        while (finding < s->n_findings && s->finding[finding].capture == c)
            finding++;
    }
    memcpy(e->rows, s->file->layout.rows, sizeof e->rows);
    if (swing < s->n_swings)
        return out_of_order(s, "swing", swing, err);
    return finding < s->n_findings ? out_of_order(s, "finding", finding, err) : SWT_OK;
}

static swt_status check_source(extents *e, const swt_study *study, const gathering *g, size_t s,
                               swt_error *err)
{
    swt_status rc;

    if (study->schema != SWT_STUDY_SCHEMA)
        return swt_fail(err, SWT_EDATA,
                        "%s: was written by an earlier swathe (schema %ld, now %d): measure its "
                        "captures again",
                        study->path, study->schema, SWT_STUDY_SCHEMA);
    rc = measure_extents(e, study, err);
    for (size_t i = g->first[s]; rc == SWT_OK && i < g->first[s + 1]; i++)
        if (g->pick[g->order[i]].capture >= study->n_captures)
            rc = swt_fail(err, SWT_EDATA, "%s: has changed while it was read", study->path);
    return rc;
}

/* --- first pass --------------------------------------------------------------------------- */

/* The text columns' longest cells, as the source stores them. */
static swt_status widen_texts(size_t *text_length, const swt_layout *layout,
                              const swt_study *source, swt_error *err)
{
    for (size_t i = 0; i < layout->n; i++) {
        const swt_column *c = &layout->column[i];
        hid_t dataset, type;
        size_t length = 0;
        if (c->field != SWT_FIELD_TEXT || source->file->layout.rows[c->axis] == 0)
            continue;
        if (swt_study_cells_hold(&source->file->cells, i)) {
            length = source->file->cells.length[i];
            text_length[i] = length > text_length[i] ? length : text_length[i];
            continue;
        }
        dataset = H5Dopen2(source->file->file, c->path, H5P_DEFAULT);
        type = dataset >= 0 ? H5Dget_type(dataset) : -1;
        if (type >= 0) {
            length = H5Tget_size(type);
            H5Tclose(type);
        }
        if (dataset >= 0)
            H5Dclose(dataset);
        if (length == 0)
            return swt_h5_fail(err, SWT_EFORMAT, source->path, c->path, "cannot be read");
        if (length > text_length[i])
            text_length[i] = length;
    }
    return SWT_OK;
}

static swt_status count_source(gathering *g, size_t s, size_t *text_length, swt_error *err)
{
    swt_study *study = NULL;
    extents *e = &g->of[s];
    swt_status rc = swt_study_open(&study, g->source[s], err);

    if (rc == SWT_OK)
        rc = check_source(e, study, g, s, err);
    for (size_t i = g->first[s]; rc == SWT_OK && i < g->first[s + 1]; i++) {
        size_t p = g->order[i], c = g->pick[p].capture;
        for (int a = 0; a < SWT_AXES; a++)
            g->to[p].row[a] = e->first[a][c + 1] - e->first[a][c];
    }
    if (rc == SWT_OK)
        rc = widen_texts(text_length, g->layout, study, err);
    swt_study_close(study);
    return rc;
}

/* Counts become places; returns the sums. */
static void place_all(gathering *g, size_t rows[SWT_AXES])
{
    memset(rows, 0, SWT_AXES * sizeof *rows);
    for (size_t p = 0; p < g->n_picks; p++)
        for (int a = 0; a < SWT_AXES; a++) {
            size_t n = g->to[p].row[a];
            g->to[p].row[a] = rows[a];
            rows[a] += n;
        }
}

static swt_status sort_picks(gathering *g, swt_error *err)
{
    g->first = calloc(g->n_sources + 2, sizeof *g->first);
    g->order = calloc(g->n_picks + 1, sizeof *g->order);
    g->to = calloc(g->n_picks + 1, sizeof *g->to);
    g->of = calloc(g->n_sources + 1, sizeof *g->of);
    if (!g->first || !g->order || !g->to || !g->of)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t p = 0; p < g->n_picks; p++)
        g->first[g->pick[p].source + 2]++;
    for (size_t s = 0; s < g->n_sources; s++)
        g->first[s + 2] += g->first[s + 1];
    for (size_t p = 0; p < g->n_picks; p++) /* after this, first[s + 1] has become the end of s */
        g->order[g->first[g->pick[p].source + 1]++] = p;
    return SWT_OK;
}

/* --- second pass -------------------------------------------------------------------------- */

/* One run, in blocks that end where chunks of the target end. */
static swt_status copy_run(hid_t to, hid_t from, hid_t type, const swt_column *column, size_t size,
                           char *buffer, const swt_row_run *run, const char *to_path,
                           const char *from_path, swt_error *err)
{
    size_t chunk = swt_column_chunk_rows(column), block = BLOCK / size / chunk * chunk;

    block = block ? block : chunk;
    for (size_t done = 0, n; done < run->n[column->axis]; done += n) {
        size_t target = run->to[column->axis] + done;
        n = block - target % block;
        n = n < run->n[column->axis] - done ? n : run->n[column->axis] - done;
        if (!swt_h5_read_rows(from, type, run->from[column->axis] + done, n, buffer))
            return swt_h5_fail(err, SWT_EFORMAT, from_path, column->path, "cannot be read");
        swt_column_shift(column, buffer, n, run);
        if (!swt_h5_write_rows(to, type, target, n, buffer))
            return swt_h5_fail(err, SWT_EIO, to_path, column->path,
                               "cannot be written: is the disk full?");
    }
    return SWT_OK;
}

/* The same of a checkpoint's cells; a text may be longer in the target. */
static swt_status copy_cells(swt_study_draft *draft, size_t at, const swt_study *source,
                             const swt_column *column, size_t length, const swt_row_run *run,
                             swt_error *err)
{
    const swt_study_cells *cells = &source->file->cells;
    size_t n = run->n[column->axis], size = swt_column_size(column, length);
    size_t stored = swt_column_size(column, cells->length[at]);
    const char *from = swt_study_cells_of(cells, at) + run->from[column->axis] * stored;
    char *buffer = calloc(n + 1, size);
    swt_status rc;

    if (!buffer)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; i < n; i++)
        memcpy(buffer + i * size, from + i * stored, stored < size ? stored : size);
    swt_column_shift(column, buffer, n, run);
    rc = swt_study_put_rows(draft, at, column, length, run->to[column->axis], n, buffer, err);
    free(buffer);
    return rc;
}

swt_status swt_study_copy_column(swt_study_draft *draft, size_t at, const swt_study *source,
                                 const swt_column *column, size_t length, const swt_row_run *run,
                                 size_t n_runs, swt_error *err)
{
    size_t rows = source->file->layout.rows[column->axis], chunk = swt_column_chunk_rows(column);
    size_t size = swt_column_size(column, length) * column->width;
    size_t room = BLOCK > chunk * size ? BLOCK : chunk * size;
    swt_column named = *column;
    hid_t from, type = -1;
    hsize_t dims[2] = {0, 0};
    char *buffer = NULL;
    swt_status rc = SWT_OK;
    int rank;

    for (size_t i = 0; i < n_runs && rc == SWT_OK && swt_study_cells_hold(&source->file->cells, at);
         i++)
        rc = copy_cells(draft, at, source, column, length, &run[i], err);
    if (rc != SWT_OK || swt_study_cells_hold(&source->file->cells, at))
        return rc;
    swt_column_find_name(&named, source->file->file);
    if (rows == 0 || swt_column_lacks(&named, source->file->file))
        return SWT_OK;
    from = H5Dopen2(source->file->file, named.path, H5P_DEFAULT);
    if (from < 0 || !swt_h5_extents(from, &rank, dims) || dims[0] != rows ||
        dims[1] != column->width) {
        rc = swt_h5_fail(
            err, SWT_EFORMAT, source->path, column->path,
            "is missing: damaged, or made by another version of swathe; make the study again");
        goto done;
    }
    if (H5Dget_storage_size(from) == 0)
        goto done; /* nothing but fill values */
    buffer = malloc(rows * size < room ? rows * size : room);
    type = swt_column_type(column, length);
    if (!buffer || type < 0)
        rc = swt_fail(err, SWT_ENOMEM, "%s: %s: out of memory", source->path, column->path);
    for (size_t i = 0; i < n_runs && rc == SWT_OK; i++)
        rc = copy_run(draft->column[at], from, type, column, size, buffer, &run[i], draft->path,
                      source->path, err);
done:
    if (type >= 0)
        H5Tclose(type);
    if (from >= 0)
        H5Dclose(from);
    free(buffer);
    return rc;
}

/* Picks of source s that follow one another both there and here make one run. */
static size_t find_runs(swt_row_run *run, const gathering *g, size_t s, const extents *e)
{
    size_t n = 0;

    for (size_t i = g->first[s]; i < g->first[s + 1]; i++) {
        size_t p = g->order[i], c = g->pick[p].capture;
        bool goes_on = i > g->first[s] && g->order[i - 1] + 1 == p &&
                       g->pick[g->order[i - 1]].capture + 1 == c;
        if (!goes_on)
            run[n++] = (swt_row_run){{0}, {0}, {0}};
        for (int a = 0; a < SWT_AXES; a++) {
            if (!goes_on) {
                run[n - 1].from[a] = e->first[a][c];
                run[n - 1].to[a] = g->to[p].row[a];
            }
            run[n - 1].n[a] += e->first[a][c + 1] - e->first[a][c];
        }
    }
    return n;
}

static swt_status copy_source(swt_study_draft *draft, const gathering *g, size_t s, swt_error *err)
{
    swt_study *study = NULL;
    swt_row_run *run = calloc(g->first[s + 1] - g->first[s] + 1, sizeof *run);
    swt_status rc = run ? swt_study_open_columns(&study, g->source[s], g->of[s].rows, err)
                        : swt_fail(err, SWT_ENOMEM, "out of memory");
    size_t n = rc == SWT_OK ? find_runs(run, g, s, &g->of[s]) : 0;

    for (size_t c = 0; c < g->layout->n && rc == SWT_OK; c++)
        rc = swt_study_copy_column(draft, c, study, &g->layout->column[c], g->text_length[c], run,
                                   n, err);
    free(run);
    swt_study_close(study);
    return rc;
}

static swt_status gather(const char *path, gathering *g, swt_layout *layout, size_t *text_length,
                         const char *const *text, swt_error *err)
{
    swt_study_draft draft = {.file = -1};
    swt_status rc = sort_picks(g, err);

    for (size_t s = 0; s < g->n_sources && rc == SWT_OK; s++)
        if (g->first[s + 1] > g->first[s])
            rc = count_source(g, s, text_length, err);
    if (rc == SWT_OK) {
        place_all(g, layout->rows);
        rc = swt_study_draft_open(&draft, path, err);
    }
    if (rc == SWT_OK)
        rc = swt_study_write_root(&draft, text, err);
    if (rc == SWT_OK)
        rc = swt_study_create_columns(&draft, layout, text_length, err);
    for (size_t s = 0; s < g->n_sources && rc == SWT_OK; s++)
        if (g->first[s + 1] > g->first[s])
            rc = copy_source(&draft, g, s, err);
    if (rc == SWT_OK)
        rc = swt_study_draft_commit(&draft, err);
    swt_study_draft_discard(&draft);
    return rc;
}

swt_status swt_study_gather_as(const char *path, const char *const *source, size_t n_sources,
                               const swt_study_pick *pick, size_t n_picks, const char *const *text,
                               swt_error *err)
{
    gathering g = {.source = source, .n_sources = n_sources, .pick = pick, .n_picks = n_picks};
    swt_layout layout = {0};
    char **covariate = NULL;
    size_t n_covariates, *text_length = NULL;
    swt_status rc;

    swt_h5_quiet();
    rc = swt_split_lines(&covariate, &n_covariates, text[SWT_TEXT_COVARIATES], err);
    if (rc == SWT_OK)
        rc = swt_layout_build(&layout, covariate, n_covariates, err);
    if (rc == SWT_OK && !(text_length = calloc(layout.n, sizeof *text_length)))
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; rc == SWT_OK && i < layout.n; i++)
        text_length[i] = 1;
    g.layout = &layout;
    g.text_length = text_length;
    if (rc == SWT_OK)
        rc = gather(path, &g, &layout, text_length, text, err);
    swt_layout_free(&layout);
    free(text_length);
    free(covariate);
    for (size_t i = 0; g.of && i < n_sources; i++)
        extents_free(&g.of[i]);
    free(g.of);
    free(g.first);
    free(g.order);
    free(g.to);
    return rc;
}

swt_status swt_study_gather(const char *path, const char *const *source, size_t n_sources,
                            const swt_study_pick *pick, size_t n_picks,
                            const swt_provenance *provenance, swt_error *err)
{
    const char *text[SWT_PROVENANCE_TEXTS];
    char created[32];

    swt_provenance_texts(text, created, provenance);
    return swt_study_gather_as(path, source, n_sources, pick, n_picks, text, err);
}
