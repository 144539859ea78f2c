#include "io/csv/csv_read.h"

#include "io/csv/csv_frames.h"
#include "io/csv/csv_table.h"
#include "io/text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_CELLS_PER_ROW = 16, FREE_CELLS = 4096 };

/* ---- what comes before the table ---- */

static size_t line_length(const char *text, size_t size)
{
    size_t n = 0;

    while (n < size && text[n] != '\n' && text[n] != '\r')
        n++;
    return n;
}

/* Takes comment and blank lines off the top; comments may hold "key = value" or "key: value". */
static swt_status take_preamble(swt_csv_table *t, const char **text, size_t *size, size_t *line,
                                swt_error *err)
{
    *line = 1;
    if (*size >= 2 && (memcmp(*text, "\xff\xfe", 2) == 0 || memcmp(*text, "\xfe\xff", 2) == 0))
        return swt_fail(err, SWT_EFORMAT, "the text is UTF-16; save it as UTF-8");
    if (*size >= 3 && memcmp(*text, "\xef\xbb\xbf", 3) == 0) {
        *text += 3; /* byte order mark */
        *size -= 3;
    }
    while (*size > 0) {
        size_t n = line_length(*text, *size), start = 0;
        const char *at;
        while (start < n && ((*text)[start] == ' ' || (*text)[start] == '\t'))
            start++;
        if (start < n && (*text)[start] != '#')
            return SWT_OK;
        for (at = *text + start; at < *text + n && *at != '=' && *at != ':'; at++)
            ;
        if (at < *text + n) {
            const char *key = *text + start + 1;
            swt_status rc = swt_csv_table_take_key(t, key, (size_t)(at - key), at + 1,
                                                   (size_t)(*text + n - at - 1), *line, err);
            if (rc != SWT_OK)
                return rc;
        }
        if (n < *size && (*text)[n] == '\r' && n + 1 < *size && (*text)[n + 1] == '\n')
            n++;
        n += n < *size;
        *text += n;
        *size -= n;
        ++*line;
    }
    return SWT_OK;
}

/* The delimiter that the first wide line has most of, outside quotes. */
static char find_delimiter(const char *text, size_t size)
{
    static const char marks[] = {'\t', ';', ','};

    for (int lines = 0; lines < 32 && size > 0; lines++) {
        size_t n = line_length(text, size), count[3] = {0};
        int best = 0;
        bool quoted = false;
        for (size_t i = 0; i < n; i++) {
            quoted ^= text[i] == '"';
            for (int k = 0; k < 3; k++)
                count[k] += !quoted && text[i] == marks[k];
        }
        for (int k = 1; k < 3; k++)
            if (count[k] > count[best])
                best = k;
        if (count[best] >= 3)
            return marks[best];
        n += n < size;
        text += n;
        size -= n;
    }
    return ',';
}

/* ---- from rows to frames ---- */

static swt_status describe(swt_capture *c, const swt_csv_table *t, const swt_csv_frames *frames,
                           const swt_names *names, swt_error *err)
{
    char *unit = swt_text_to_utf8(t->unit, strlen(t->unit));
    swt_status rc = SWT_OK;

    if (!unit)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    free(c->unit);
    c->unit = unit;
    c->rate_hz = frames->rate_hz;
    c->first_frame = frames->first_frame;
    for (size_t i = 0; i < names->n && rc == SWT_OK; i++) {
        char *label = swt_text_to_utf8(names->name[i], strlen(names->name[i]));
        if (!label)
            return swt_fail(err, SWT_ENOMEM, "out of memory");
        free(c->label[i]);
        c->label[i] = label;
    }
    if (rc == SWT_OK)
        rc = swt_string_set(
            &c->format,
            t->header.is_long ? "CSV, a row per marker and frame" : "CSV, a row per frame", err);
    if (t->unit[0] == '\0')
        swt_capture_warn(c, "the file states no length unit");
    else if (swt_metres_per_unit(t->unit) == 0)
        swt_capture_warn(c, "'%s' is not a length unit that is known here", unit);
    if (c->rate_hz == 0)
        swt_capture_warn(c, "the file states no frame rate and has no time column");
    if (t->header.n_unrelated > 0)
        swt_capture_warn(c, "%zu columns are no whole marker and are left aside, first '%s'",
                         t->header.n_unrelated, t->header.unrelated);
    return rc;
}

static void warn_of_absent(swt_capture *c, size_t present)
{
    if (c->n_frames > present)
        swt_capture_warn(c, "%zu of %zu frames are absent from the file and stay empty",
                         c->n_frames - present, c->n_frames);
}

/* Line numbers as sizes; frames, times and rows go together. */
static size_t *lines_of(const swt_csv_table *t, const size_t *row, size_t n)
{
    size_t *line = malloc((n + 1) * sizeof *line);

    for (size_t i = 0; line && i < n; i++)
        line[i] = (size_t)t->line.value[row ? row[i] : i];
    return line;
}

static swt_status assemble_wide(swt_capture **out, const swt_csv_table *t, swt_error *err)
{
    size_t *line = lines_of(t, NULL, t->n_rows);
    swt_csv_instants in = {t->n_rows, t->header.has_frame ? t->frame.value : NULL,
                           t->header.has_time ? t->time_s.value : NULL, line, t->rate_hz};
    swt_csv_frames frames = {0};
    size_t width = 3 * t->n_markers;
    swt_status rc;

    rc =
        line ? swt_csv_frames_place(&frames, &in, err) : swt_fail(err, SWT_ENOMEM, "out of memory");
    if (rc != SWT_OK)
        goto done;
    *out = swt_capture_new(frames.n_frames, t->n_markers);
    if (!*out) {
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
        goto done;
    }
    for (size_t i = 0; i < t->n_rows; i++)
        memcpy((*out)->xyz + frames.index[i] * width, t->xyz.value + i * width,
               width * sizeof(double));
    rc = describe(*out, t, &frames, &t->header.markers, err);
    warn_of_absent(*out, t->n_rows);
done:
    free(frames.index);
    free(line);
    return rc;
}

/* The rows of long form in the order of their instants. */
typedef struct keyed_row {
    double key;
    size_t row;
} keyed_row;

static int by_key(const void *a, const void *b)
{
    const keyed_row *p = a, *q = b;

    if (p->key != q->key)
        return p->key < q->key ? -1 : 1;
    return (p->row > q->row) - (p->row < q->row);
}

/* Everything that turning long rows into frames needs; freed together. */
typedef struct sorting {
    keyed_row *sorted;
    size_t *instant; /* of each sorted row                   */
    size_t *first;   /* the first row of each instant        */
    size_t n_instants;
    double *frame, *time_s; /* of each instant                      */
    size_t *line;
} sorting;

static void free_sorting(sorting *s)
{
    free(s->sorted);
    free(s->instant);
    free(s->first);
    free(s->frame);
    free(s->time_s);
    free(s->line);
}

static swt_status sort_rows(sorting *s, const swt_csv_table *t, swt_error *err)
{
    size_t n = t->n_rows;
    const double *key = t->header.has_frame ? t->frame.value : t->time_s.value;

    s->sorted = malloc((n + 1) * sizeof *s->sorted);
    s->instant = malloc((n + 1) * sizeof *s->instant);
    s->first = malloc((n + 1) * sizeof *s->first);
    s->frame = malloc((n + 1) * sizeof *s->frame);
    s->time_s = malloc((n + 1) * sizeof *s->time_s);
    if (!s->sorted || !s->instant || !s->first || !s->frame || !s->time_s)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; i < n; i++)
        s->sorted[i] = (keyed_row){key[i], i};
    qsort(s->sorted, n, sizeof *s->sorted, by_key);
    for (size_t i = 0; i < n; i++) {
        size_t row = s->sorted[i].row;
        if (i == 0 || s->sorted[i].key > s->sorted[i - 1].key) {
            s->first[s->n_instants] = row;
            s->frame[s->n_instants] = t->header.has_frame ? t->frame.value[row] : 0;
            s->time_s[s->n_instants] = t->header.has_time ? t->time_s.value[row] : 0;
            s->n_instants++;
        }
        s->instant[i] = s->n_instants - 1;
    }
    s->line = lines_of(t, s->first, s->n_instants);
    return s->line ? SWT_OK : swt_fail(err, SWT_ENOMEM, "out of memory");
}

/* Copies every row to its place; a marker twice in one frame is ambiguous. */
static swt_status fill_long(swt_capture *c, const sorting *s, const size_t *index,
                            const swt_csv_table *t, swt_error *err)
{
    unsigned char *taken = calloc(c->n_frames * c->n_points + 1, 1);
    swt_status rc = SWT_OK;

    if (!taken)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; i < t->n_rows && rc == SWT_OK; i++) {
        size_t row = s->sorted[i].row, marker = (size_t)t->which.value[row];
        size_t at = index[s->instant[i]] * c->n_points + marker;
        if (taken[at]++)
            rc = swt_fail(err, SWT_EFORMAT, "line %zu: marker '%s' has this frame twice",
                          (size_t)t->line.value[row], c->label[marker]);
        memcpy(c->xyz + 3 * at, t->xyz.value + 3 * row, 3 * sizeof(double));
    }
    free(taken);
    return rc;
}

static swt_status assemble_long(swt_capture **out, const swt_csv_table *t, swt_error *err)
{
    sorting s = {0};
    swt_csv_frames frames = {0};
    swt_csv_instants in;
    size_t most = MOST_CELLS_PER_ROW * t->n_rows + FREE_CELLS;
    swt_status rc = sort_rows(&s, t, err);

    if (rc != SWT_OK)
        goto done;
    in = (swt_csv_instants){s.n_instants, t->header.has_frame ? s.frame : NULL,
                            t->header.has_time ? s.time_s : NULL, s.line, t->rate_hz};
    rc = swt_csv_frames_place(&frames, &in, err);
    if (rc != SWT_OK)
        goto done;
    if (t->names.n > 0 && frames.n_frames > most / t->names.n) {
        rc = swt_fail(err, SWT_EFORMAT,
                      "%zu markers in %zu frames, but only %zu rows: the marker and frame columns "
                      "are not what they seem",
                      t->names.n, frames.n_frames, t->n_rows);
        goto done;
    }
    *out = swt_capture_new(frames.n_frames, t->names.n);
    if (!*out) {
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
        goto done;
    }
    rc = describe(*out, t, &frames, &t->names, err);
    if (rc == SWT_OK)
        rc = fill_long(*out, &s, frames.index, t, err);
    warn_of_absent(*out, s.n_instants);
done:
    free(frames.index);
    free_sorting(&s);
    return rc;
}

swt_status swt_csv_parse(swt_capture **out, const void *bytes, size_t size, swt_error *err)
{
    swt_csv_table table = {0};
    swt_capture *capture = NULL;
    const char *text = bytes;
    size_t line;
    swt_status rc;

    *out = NULL;
    rc = take_preamble(&table, &text, &size, &line, err);
    if (rc == SWT_OK) {
        table.delimiter = find_delimiter(text, size);
        rc = swt_csv_rows(text, size, table.delimiter, line, swt_csv_table_take, &table, err);
    }
    if (rc == SWT_OK && !table.has_header)
        rc = swt_fail(err, SWT_EFORMAT,
                      "no header with coordinate columns; expected NAME.x, NAME.y, NAME.z, or the "
                      "columns marker, frame, x, y, z");
    if (rc == SWT_OK && table.n_rows == 0)
        rc = swt_fail(err, SWT_EFORMAT, "a header, but no rows of numbers below it");
    if (rc == SWT_OK)
        rc = table.header.is_long ? assemble_long(&capture, &table, err)
                                  : assemble_wide(&capture, &table, err);
    if (rc == SWT_OK) {
        *out = capture;
        capture = NULL;
    }
    swt_capture_free(capture);
    swt_csv_table_reset(&table);
    return rc;
}
