/* A study under its temporary name: the empty columns, the root, and the way to its real name. */
#include "io/study/study_layout.h"

#include <errno.h>
#include <hdf5_hl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { ROWS_PER_CHUNK = 256 };

swt_status swt_study_check_output(const char *path, swt_error *err)
{
    struct stat facts;
    bool replaceable;
    hid_t file;

    swt_h5_quiet();
    if (stat(path, &facts) != 0)
        return SWT_OK;
    replaceable = S_ISREG(facts.st_mode) && facts.st_size == 0;
    if (S_ISREG(facts.st_mode) && H5Fis_hdf5(path) > 0) {
        file = swt_h5_open_file(path, false);
        replaceable =
            file < 0 || H5Aexists(file, "format") > 0; /* a damaged study is one as well */
        if (file >= 0)
            H5Fclose(file);
    }
    return replaceable ? SWT_OK
                       : swt_fail(err, SWT_EIO,
                                  "%s: exists and is not a study, so it is not replaced; give "
                                  "another output",
                                  path);
}

static swt_status name_draft(swt_study_draft *draft, const char *path, swt_error *err)
{
    draft->path = path;
    draft->file = -1;
    draft->column = NULL;
    draft->n_columns = 0;
    if (strlen(path) + 64 > sizeof draft->temporary)
        return swt_fail(err, SWT_EARG, "%s: path too long", path);
    /* the draft's address tells two threads of one process apart */
    snprintf(draft->temporary, sizeof draft->temporary, "%s.draft-%ld-%p", path, (long)getpid(),
             (void *)draft);
    return SWT_OK;
}

swt_status swt_study_draft_open(swt_study_draft *draft, const char *path, swt_error *err)
{
    swt_status rc = name_draft(draft, path, err);

    if (rc != SWT_OK)
        return rc;
    draft->file = swt_h5_create_file(draft->temporary);
    if (draft->file >= 0)
        return SWT_OK;
    unlink(draft->temporary);
    return swt_h5_fail(err, SWT_EIO, path, NULL,
                       "cannot be created: may the folder be written, is the disk full?");
}

static swt_status copy_file(const char *from, const char *to, swt_error *err)
{
    static const size_t room = 1 << 20;
    FILE *in = fopen(from, "rb"), *out = in ? fopen(to, "wb") : NULL;
    char *block = out ? malloc(room) : NULL;
    swt_status rc = SWT_OK;
    size_t n;

    if (!block)
        rc = swt_fail(err, out ? SWT_ENOMEM : SWT_EIO, "%s: %s", in ? to : from, strerror(errno));
    while (rc == SWT_OK && (n = fread(block, 1, room, in)) > 0)
        if (fwrite(block, 1, n, out) != n)
            rc = swt_fail(err, SWT_EIO, "%s: %s", to, strerror(errno));
    if (rc == SWT_OK && ferror(in))
        rc = swt_fail(err, SWT_EIO, "%s: %s", from, strerror(errno));
    if (out && fclose(out) != 0 && rc == SWT_OK)
        rc = swt_fail(err, SWT_EIO, "%s: %s", to, strerror(errno));
    if (in)
        fclose(in);
    free(block);
    return rc;
}

swt_status swt_study_draft_copy(swt_study_draft *draft, const char *path, swt_error *err)
{
    swt_status rc = name_draft(draft, path, err);

    if (rc == SWT_OK)
        rc = copy_file(path, draft->temporary, err);
    if (rc == SWT_OK && (draft->file = swt_h5_open_file(draft->temporary, true)) < 0)
        rc = swt_h5_fail(err, SWT_EFORMAT, path, NULL, "cannot be opened: the study is damaged");
    if (rc != SWT_OK)
        unlink(draft->temporary);
    return rc;
}

static bool close_columns(swt_study_draft *draft)
{
    bool ok = true;

    for (size_t i = 0; i < draft->n_columns; i++)
        if (draft->column[i] >= 0)
            ok = H5Dclose(draft->column[i]) >= 0 && ok;
    free(draft->column);
    draft->column = NULL;
    draft->n_columns = 0;
    return ok;
}

swt_status swt_study_draft_commit(swt_study_draft *draft, swt_error *err)
{
    bool written;
    int reason;
    swt_status rc;

    errno = 0;
    written = close_columns(draft);
    written = H5Fflush(draft->file, H5F_SCOPE_GLOBAL) >= 0 && written;
    reason = errno; /* the system's; HDF5's own words tell what it did next */
    written = H5Fclose(draft->file) >= 0 && written;
    draft->file = -1;
    rc = written ? swt_file_publish(draft->temporary, draft->path, err)
                 : swt_fail(err, SWT_EIO, "%s: cannot be written: %s", draft->path,
                            reason ? strerror(reason) : "is the disk full?");
    if (rc != SWT_OK)
        unlink(draft->temporary);
    return rc;
}

void swt_study_draft_discard(swt_study_draft *draft)
{
    close_columns(draft);
    if (draft->file < 0)
        return;
    H5Fclose(draft->file);
    draft->file = -1;
    unlink(draft->temporary);
}

static swt_status draft_fail(const swt_study_draft *draft, const char *object, swt_error *err)
{
    return swt_h5_fail(err, SWT_EIO, draft->path, object, "cannot be written: is the disk full?");
}

bool swt_h5_describe(hid_t dataset, const char *units, const char *title, const char *definition,
                     const char *source)
{
    return swt_h5_set_label(dataset, "units", units) &&
           swt_h5_set_label(dataset, "long_name", title) &&
           (definition[0] == '\0' || swt_h5_set_label(dataset, "definition", definition)) &&
           (source[0] == '\0' || swt_h5_set_label(dataset, "source", source));
}

/* One of the fixed tables that every study carries. */
static swt_status write_table(swt_study_draft *draft, const char *name, hid_t type, hsize_t n,
                              const void *values, const char *units, const char *title,
                              const char *scale, swt_error *err)
{
    hid_t dataset =
        swt_h5_create_dataset(draft->file, name, type, NULL, 1, &n, ROWS_PER_CHUNK, SWT_H5_FIXED);
    bool ok = dataset >= 0 && swt_h5_write_rows(dataset, type, 0, n, values) &&
              swt_h5_describe(dataset, units, title, "", "") &&
              (!scale || H5DSset_scale(dataset, scale) >= 0);

    if (dataset >= 0)
        ok = H5Dclose(dataset) >= 0 && ok;
    return ok ? SWT_OK : draft_fail(draft, name, err);
}

/* How many subjects a reason can have: its text names a landmark, an event, a series or none. */
static unsigned subjects_of(unsigned reason)
{
    switch (reason) {
    case SWT_REASON_LANDMARK_MISSING:
        return SWT_LANDMARK_COUNT;
    case SWT_REASON_EVENT_ABSENT:
        return SWT_EVENT_COUNT;
    case SWT_REASON_SERIES_ABSENT:
        return SWT_SERIES_COUNT;
    default:
        return 1;
    }
}

static swt_status write_reasons(swt_study_draft *draft, swt_error *err)
{
    enum {
        TEXT = 200,
        MOST = SWT_REASON_COUNT + SWT_LANDMARK_COUNT + SWT_EVENT_COUNT + SWT_SERIES_COUNT
    };
    unsigned short *code = malloc(MOST * sizeof *code);
    char *text = calloc(MOST, TEXT);
    hid_t type = swt_h5_text_type(TEXT);
    swt_status rc = SWT_OK;
    size_t n = 0;

    if (!code || !text || type < 0) {
        rc = swt_fail(err, SWT_ENOMEM, "%s: out of memory", draft->path);
        goto done;
    }
    for (unsigned r = 0; r < SWT_REASON_COUNT; r++)
        for (unsigned s = 0; s < subjects_of(r); s++, n++) {
            swt_verdict v = {SWT_ABSENT, (unsigned char)r, (unsigned char)s};
            code[n] = (unsigned short)swt_reason_pack(v);
            swt_reason_text(text + n * TEXT, TEXT, v);
        }
    rc = write_table(draft, "reasons/code", H5T_STD_U16LE, n, code, "1",
                     "reason code, as in the `reason` columns", NULL, err);
    if (rc == SWT_OK)
        rc = write_table(draft, "reasons/text", type, n, text, "", "reason in words", NULL, err);
done:
    if (type >= 0)
        H5Tclose(type);
    free(text);
    free(code);
    return rc;
}

static swt_status write_scales(swt_study_draft *draft, swt_error *err)
{
    enum { NAME = 32 };
    char landmark[SWT_LANDMARK_COUNT][NAME];
    double sample[SWT_CURVE_SAMPLES], travel[SWT_TRAVEL_SAMPLES], level[SWT_SHIFT_SAMPLES];
    hid_t type = swt_h5_text_type(NAME);
    swt_status rc;

    memset(landmark, 0, sizeof landmark);
    for (int i = 0; i < SWT_LANDMARK_COUNT; i++)
        snprintf(landmark[i], NAME, "%s", swt_landmark_name((swt_landmark)i));
    for (int i = 0; i < SWT_CURVE_SAMPLES; i++)
        sample[i] = (double)i / SWT_PHASE_STEPS;
    for (int i = 0; i < SWT_TRAVEL_SAMPLES; i++)
        travel[i] = i * SWT_TRAVEL_STEP_M;
    for (int i = 0; i < SWT_SHIFT_SAMPLES; i++)
        level[i] = (double)i / SWT_SHIFT_SAMPLES;
    rc = type < 0 ? draft_fail(draft, "quality/landmark", err)
                  : write_table(draft, "quality/landmark", type, SWT_LANDMARK_COUNT, landmark, "",
                                "landmark", "landmark", err);
    if (type >= 0)
        H5Tclose(type);
    if (rc == SWT_OK)
        rc = write_table(draft, "registration/phase", H5T_NATIVE_DOUBLE, SWT_CURVE_SAMPLES, sample,
                         "1",
                         "phase: 0 takeaway, 1 lead arm level in the backswing, 2 club top, "
                         "3 impact, 4 finish",
                         "phase", err);
    if (rc == SWT_OK)
        rc = write_table(draft, "travel/length", H5T_NATIVE_DOUBLE, SWT_TRAVEL_SAMPLES, travel, "m",
                         "club-head path length since takeaway", "club-head path length", err);
    if (rc == SWT_OK)
        rc = write_table(draft, "transition/level", H5T_NATIVE_DOUBLE, SWT_SHIFT_SAMPLES, level,
                         "1", "hand height: 0 at takeaway, 1 at its greatest before impact",
                         "relative hand height", err);
    return rc;
}

static hid_t create_column(const swt_study_draft *draft, const swt_column *column, size_t rows,
                           size_t text_length)
{
    static const unsigned char origin = SWT_ORIGIN_MISSING;
    double not_a_number = nan("");
    float not_a_float = nanf("");
    const void *fill = column->field == SWT_FIELD_DOUBLE   ? (const void *)&not_a_number
                       : column->field == SWT_FIELD_FLOAT  ? (const void *)&not_a_float
                       : column->field == SWT_FIELD_ORIGIN ? (const void *)&origin
                                                           : NULL;
    hsize_t dims[2] = {rows, column->width}, chunk = swt_column_chunk_rows(column);
    hid_t type = swt_column_type(column, text_length), dataset = -1;
    swt_h5_storage storage = draft->storage;

    if (type < 0)
        return -1;
    if (storage == SWT_H5_GROWING && column->field == SWT_FIELD_TEXT)
        storage = SWT_H5_FIXED; /* comes last, when all is known */
    else if (storage == SWT_H5_GROWING && chunk > draft->swings_expected)
        chunk = column->axis == SWT_BY_SAMPLE ? chunk : draft->swings_expected;
    dataset = swt_h5_create_dataset(draft->file, column->path, type, fill,
                                    column->width > 1 ? 2 : 1, dims, chunk, storage);
    H5Tclose(type);
    return dataset;
}

/* The scales: one per axis (its `index` column), and one for each kind of second axis. */
typedef struct scales {
    hid_t axis[SWT_AXES], phase, landmark, travel, level;
} scales;

static hid_t second_scale(const swt_column *column, const scales *scale)
{
    switch (column->source) {
    case SWT_FROM_QUALITY:
        return scale->landmark;
    case SWT_FROM_TRAVEL_CURVE:
    case SWT_FROM_TRAVEL_TIME:
        return scale->travel;
    case SWT_FROM_SHIFT:
    case SWT_FROM_SHIFT_HEIGHT:
        return scale->level;
    default:
        return scale->phase;
    }
}

static bool attach_scales(hid_t dataset, const swt_column *column, const scales *scale)
{
    if (column->axis == SWT_BY_SAMPLE)
        return H5DSset_label(dataset, 0, "sample") >= 0 &&
               (column->width == 1 || H5DSset_label(dataset, 1, "along, depth, height") >= 0);
    return H5DSattach_scale(dataset, scale->axis[column->axis], 0) >= 0 &&
           (column->width == 1 || H5DSattach_scale(dataset, second_scale(column, scale), 1) >= 0);
}

static bool open_scales(scales *scale, const swt_study_draft *draft)
{
    scale->phase = H5Dopen2(draft->file, "registration/phase", H5P_DEFAULT);
    scale->landmark = H5Dopen2(draft->file, "quality/landmark", H5P_DEFAULT);
    scale->travel = H5Dopen2(draft->file, "travel/length", H5P_DEFAULT);
    scale->level = H5Dopen2(draft->file, "transition/level", H5P_DEFAULT);
    return scale->phase >= 0 && scale->landmark >= 0 && scale->travel >= 0 && scale->level >= 0;
}

static void close_scales(const scales *scale)
{
    const hid_t second[] = {scale->phase, scale->landmark, scale->travel, scale->level};

    for (size_t i = 0; i < sizeof second / sizeof *second; i++)
        if (second[i] >= 0)
            H5Dclose(second[i]);
}

/* The axes' scales are the `index` columns, which come before the others of their axis. */
static void find_axes(scales *scale, const swt_study_draft *draft, const swt_layout *layout)
{
    for (size_t i = 0; i < layout->n; i++)
        if (layout->column[i].field == SWT_FIELD_INDEX)
            scale->axis[layout->column[i].axis] = draft->column[i];
}

static bool describe_column(scales *scale, hid_t dataset, const swt_column *c)
{
    static const char *const axis_name[SWT_AXES] = {"capture", "swing", "finding", "sample"};

    if (!swt_h5_describe(dataset, c->units, c->title, c->definition, c->source_text))
        return false;
    if (c->field != SWT_FIELD_INDEX)
        return attach_scales(dataset, c, scale);
    scale->axis[c->axis] = dataset;
    return H5DSset_scale(dataset, axis_name[c->axis]) >= 0;
}

/* What every study carries, and room for the handles of the columns. */
static swt_status begin_columns(swt_study_draft *draft, size_t n, swt_error *err)
{
    swt_status rc = SWT_OK;

    draft->column = malloc((n + 1) * sizeof *draft->column);
    if (!draft->column)
        return swt_fail(err, SWT_ENOMEM, "%s: out of memory", draft->path);
    while (draft->n_columns < n)
        draft->column[draft->n_columns++] = -1;
    if (draft->storage != SWT_H5_PLAIN)
        rc = write_reasons(draft, err);
    if (draft->storage != SWT_H5_PLAIN && rc == SWT_OK)
        rc = write_scales(draft, err);
    return rc;
}

swt_status swt_study_create_columns(swt_study_draft *draft, const swt_layout *layout,
                                    const size_t *text_length, swt_error *err)
{
    scales scale = {{-1, -1, -1, -1}, -1, -1, -1, -1};
    bool described = draft->storage != SWT_H5_PLAIN;
    swt_status rc = draft->column ? SWT_OK : begin_columns(draft, layout->n, err);

    if (rc == SWT_OK && described && !open_scales(&scale, draft))
        rc = draft_fail(draft, "the dimension scales", err);
    find_axes(&scale, draft, layout);
    for (size_t i = 0; i < layout->n && rc == SWT_OK; i++) {
        const swt_column *c = &layout->column[i];
        if (draft->column[i] >= 0 || text_length[i] == 0)
            continue;
        draft->column[i] = create_column(draft, c, layout->rows[c->axis], text_length[i]);
        if (draft->column[i] < 0 || (described && !describe_column(&scale, draft->column[i], c)))
            rc = draft_fail(draft, c->path, err);
    }
    close_scales(&scale);
    return rc;
}

swt_status swt_study_put_rows(swt_study_draft *draft, size_t at, const swt_column *column,
                              size_t length, size_t first, size_t n, const void *buffer,
                              swt_error *err)
{
    hid_t type = swt_column_type(column, length);
    bool ok = type >= 0 && swt_h5_write_rows(draft->column[at], type, first, n, buffer);

    if (type >= 0)
        H5Tclose(type);
    return ok ? SWT_OK : draft_fail(draft, column->path, err);
}

swt_status swt_study_close_column(swt_study_draft *draft, size_t at, const swt_column *column,
                                  swt_error *err)
{
    hid_t dataset = draft->column[at];

    draft->column[at] = -1;
    return H5Dclose(dataset) >= 0 ? SWT_OK : draft_fail(draft, column->path, err);
}

swt_status swt_study_write_root(swt_study_draft *draft, const char *const *text, swt_error *err)
{
    char hash[SWT_SHA256_TEXT];
    bool ok;

    swt_provenance_hash(hash, text, SWT_PROVENANCE_TEXTS);
    ok = swt_h5_set_text(draft->file, "format", "swathe study") &&
         swt_h5_set_integer(draft->file, "schema", SWT_STUDY_SCHEMA) &&
         swt_h5_set_text(draft->file, "provenance_sha256", hash);
    for (size_t i = 0; i < SWT_PROVENANCE_TEXTS && ok; i++)
        ok = swt_h5_set_text(draft->file, swt_provenance_name[i], text[i]);
    return ok ? SWT_OK : draft_fail(draft, "the root's attributes", err);
}
