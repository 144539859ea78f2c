#include "io/csv/csv_table.h"

#include "base/capture.h"
#include "base/numtext.h"
#include "io/text.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

swt_status swt_csv_list_add(swt_csv_list *list, double value, swt_error *err)
{
    if (list->n == list->capacity) {
        size_t capacity = 2 * list->capacity + 256;
        double *grown = realloc(list->value, capacity * sizeof *grown);
        if (!grown)
            return swt_fail(err, SWT_ENOMEM, "out of memory");
        list->value = grown;
        list->capacity = capacity;
    }
    list->value[list->n++] = value;
    return SWT_OK;
}

/* ---- key lines ---- */

static bool is_rate_key(const char *plain)
{
    static const char *const keys[] = {
        "rate",           "ratehz",     "framerate",    "frameratehz",       "samplingrate",
        "samplingratehz", "samplerate", "sampleratehz", "samplingfrequency", "frequency"};
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++)
        if (strcmp(plain, keys[i]) == 0)
            return true;
    return false;
}

static bool is_unit_key(const char *plain)
{
    static const char *const keys[] = {"unit", "units", "lengthunit", "lengthunits"};
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++)
        if (strcmp(plain, keys[i]) == 0)
            return true;
    return false;
}

/* "240", "239,76", "240 Hz" */
static bool parse_rate(double *rate_hz, const char *text, size_t length)
{
    while (length > 0 && strchr(" \t", text[length - 1]) && text[length - 1])
        length--;
    if (length > 2 && (text[length - 1] == 'z' || text[length - 1] == 'Z') &&
        (text[length - 2] == 'h' || text[length - 2] == 'H'))
        length -= 2;
    return (swt_parse_double(rate_hz, text, length, '.') ||
            swt_parse_double(rate_hz, text, length, ',')) &&
           *rate_hz > 0;
}

swt_status swt_csv_table_take_key(swt_csv_table *t, const char *key, size_t key_length,
                                  const char *value, size_t value_length, size_t line,
                                  swt_error *err)
{
    char plain[32], excerpt[SWT_EXCERPT];

    swt_csv_plain(plain, sizeof plain, key, key_length);
    while (value_length > 0 && strchr(" \t", value[0]) && value[0]) {
        value++;
        value_length--;
    }
    while (value_length > 0 && strchr(" \t", value[value_length - 1]) && value[value_length - 1])
        value_length--;
    if (is_rate_key(plain) && !parse_rate(&t->rate_hz, value, value_length))
        return swt_fail(err, SWT_EFORMAT,
                        "line %zu: '%s' is not a frame rate; expected a positive number of hertz",
                        line, swt_text_excerpt(excerpt, value, value_length));
    if (is_unit_key(plain)) {
        if (value_length >= sizeof t->unit)
            return swt_fail(err, SWT_EFORMAT, "line %zu: '%s' is not a length unit", line,
                            swt_text_excerpt(excerpt, value, value_length));
        memcpy(t->unit, value, value_length);
        t->unit[value_length] = '\0';
    }
    return SWT_OK;
}

static bool is_key(const char *text, size_t length)
{
    char plain[32];

    swt_csv_plain(plain, sizeof plain, text, length);
    return is_rate_key(plain) || is_unit_key(plain);
}

/* ---- header rows ---- */

static size_t count_filled(const swt_csv_row *row)
{
    size_t n = 0;

    for (size_t i = 0; i < row->n_cells; i++)
        n += !swt_text_is_missing(row->cell[i].text, row->cell[i].length);
    return n;
}

static swt_status keep_pending(swt_csv_table *t, const swt_csv_row *row, swt_error *err)
{
    size_t size = 0;
    char *at;

    for (size_t i = 0; i < row->n_cells; i++)
        size += row->cell[i].length;
    free(t->pending);
    free(t->pending_cell);
    t->pending = at = malloc(size + 1);
    t->pending_cell = malloc((row->n_cells + 1) * sizeof *t->pending_cell);
    if (!t->pending || !t->pending_cell)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; i < row->n_cells; i++) {
        size_t length = row->cell[i].length;
        if (length > 0)
            memcpy(at, row->cell[i].text, length);
        t->pending_cell[i] = (swt_csv_cell){at, length};
        at += length;
    }
    t->n_pending = row->n_cells;
    t->pending_line = row->line;
    return SWT_OK;
}

static swt_status accept_header(swt_csv_table *t, swt_error *err)
{
    t->has_header = true;
    t->n_markers = t->header.is_long ? 1 : t->header.markers.n;
    if (t->header.unit[0] != '\0') {
        if (t->unit[0] != '\0' && strcmp(t->unit, t->header.unit) != 0)
            return swt_fail(err, SWT_EFORMAT,
                            "a key line says unit '%s', the column names say '%s'", t->unit,
                            t->header.unit);
        memcpy(t->unit, t->header.unit, strlen(t->header.unit) + 1);
    }
    return SWT_OK;
}

static swt_status take_before_header(swt_csv_table *t, const swt_csv_row *row, swt_error *err)
{
    size_t filled = count_filled(row);
    swt_status rc;

    if (filled == 0)
        return SWT_OK;
    if (filled <= 2 && row->n_cells >= 2 && is_key(row->cell[0].text, row->cell[0].length))
        return swt_csv_table_take_key(t, row->cell[0].text, row->cell[0].length, row->cell[1].text,
                                      row->cell[1].length, row->line, err);
    if (t->pending && swt_csv_is_axes_row(row)) {
        swt_csv_row names = {t->pending_line, t->n_pending, t->pending_cell};
        rc = swt_csv_header_read(&t->header, &t->has_header, &names, row, err);
    } else {
        rc = swt_csv_header_read(&t->header, &t->has_header, row, NULL, err);
    }
    if (rc != SWT_OK)
        return rc;
    if (t->has_header)
        return accept_header(t, err);
    if (t->pending && filled >= 3) /* two rows of words in a row: neither is a title */
        return swt_fail(err, SWT_EFORMAT,
                        "line %zu: no coordinate columns; expected NAME.x, NAME.y, NAME.z, or "
                        "names above a row of x, y, z, or the columns marker, frame, x, y, z",
                        t->pending_line);
    return filled >= 2 ? keep_pending(t, row, err) : SWT_OK; /* one filled cell: a title */
}

/* ---- rows of numbers ---- */

/* Reads a cell; the first one with a mark settles which mark the file uses. */
static bool read_number(double *out, swt_csv_table *t, swt_csv_cell cell)
{
    if (t->decimal_mark == 0 && cell.length > 0) {
        if (memchr(cell.text, '.', cell.length))
            t->decimal_mark = '.';
        else if (t->delimiter != ',' && memchr(cell.text, ',', cell.length))
            t->decimal_mark = ',';
    }
    return swt_parse_double(out, cell.text, cell.length, t->decimal_mark ? t->decimal_mark : '.');
}

static swt_status refuse_cell(const swt_csv_row *row, size_t i, const char *expected,
                              swt_error *err)
{
    char excerpt[SWT_EXCERPT];

    return swt_fail(err, SWT_EFORMAT, "line %zu, column %zu: '%s' is not %s", row->line, i + 1,
                    swt_text_excerpt(excerpt, row->cell[i].text, row->cell[i].length), expected);
}

static swt_status take_cell(swt_csv_table *t, double *xyz, double key[2], const swt_csv_row *row,
                            size_t i, swt_error *err)
{
    const swt_csv_column *column = &t->header.column[i];
    swt_csv_cell cell = row->cell[i];
    bool missing = swt_text_is_missing(cell.text, cell.length);
    size_t marker = 0;

    switch (column->role) {
    case SWT_CSV_TIME:
    case SWT_CSV_FRAME:
        if (missing || !read_number(&key[column->role == SWT_CSV_TIME], t, cell))
            return refuse_cell(row, i, column->role == SWT_CSV_TIME ? "a time" : "a frame number",
                               err);
        key[column->role == SWT_CSV_TIME] *= column->role == SWT_CSV_TIME ? column->second : 1;
        return SWT_OK;
    case SWT_CSV_MARKER:
        if (!t->header.is_long)
            return SWT_OK;
        if (cell.length == 0)
            return refuse_cell(row, i, "a marker's name", err);
        if (swt_names_add(&marker, &t->names, cell.text, cell.length, err) != SWT_OK)
            return SWT_ENOMEM;
        return swt_csv_list_add(&t->which, (double)marker, err);
    case SWT_CSV_COORDINATE:
        if (!missing && !read_number(&xyz[3 * column->marker + column->axis], t, cell))
            return refuse_cell(row, i,
                               "a number; leave the cell empty where the marker was not seen", err);
        return SWT_OK;
    case SWT_CSV_UNRELATED:
        break;
    }
    return SWT_OK;
}

static swt_status check_width(const swt_csv_table *t, const swt_csv_row *row, swt_error *err)
{
    size_t width = row->n_cells;

    while (width > t->header.n_columns && row->cell[width - 1].length == 0)
        width--; /* a delimiter at the end of a line makes an empty cell */
    for (size_t i = width; i < t->header.n_columns; i++)
        if (t->header.column[i].role != SWT_CSV_UNRELATED)
            return swt_fail(err, SWT_EFORMAT,
                            "line %zu: %zu cells, the header has %zu columns; the row is cut short",
                            row->line, width, t->header.n_columns);
    if (width > t->header.n_columns)
        return swt_fail(err, SWT_EFORMAT, "line %zu: %zu cells, the header has only %zu columns%s",
                        row->line, width, t->header.n_columns,
                        t->delimiter == ',' ? "; decimal commas need another delimiter" : "");
    return SWT_OK;
}

/* A row of units below the header: text in every filled coordinate column, all the same. */
static bool is_units_row(const swt_csv_table *t, const swt_csv_row *row, swt_csv_cell *unit)
{
    size_t n = 0;
    double number;

    for (size_t i = 0; i < row->n_cells && i < t->header.n_columns; i++) {
        swt_csv_cell c = row->cell[i];
        if (t->header.column[i].role != SWT_CSV_COORDINATE || c.length == 0)
            continue;
        if (swt_parse_double(&number, c.text, c.length, '.') || c.length >= sizeof t->unit)
            return false;
        if (n > 0 && (c.length != unit->length || memcmp(c.text, unit->text, c.length) != 0))
            return false;
        *unit = c;
        n++;
    }
    if (n < 3)
        return false;
    {
        char text[sizeof t->unit];
        memcpy(text, unit->text, unit->length);
        text[unit->length] = '\0';
        return swt_metres_per_unit(text) > 0;
    }
}

static swt_status take_units_row(swt_csv_table *t, const swt_csv_row *row, swt_csv_cell unit,
                                 swt_error *err)
{
    char excerpt[SWT_EXCERPT];

    if (t->unit[0] != '\0' &&
        (strlen(t->unit) != unit.length || memcmp(t->unit, unit.text, unit.length) != 0))
        return swt_fail(err, SWT_EFORMAT,
                        "line %zu: this row says unit '%s', but '%s' stands above it", row->line,
                        swt_text_excerpt(excerpt, unit.text, unit.length), t->unit);
    memcpy(t->unit, unit.text, unit.length);
    t->unit[unit.length] = '\0';
    return SWT_OK;
}

static swt_status take_sample(swt_csv_table *t, const swt_csv_row *row, swt_error *err)
{
    size_t start = t->xyz.n;
    double key[2] = {0, 0}; /* frame number, time */
    swt_status rc = check_width(t, row, err);

    for (size_t i = 0; i < 3 * t->n_markers && rc == SWT_OK; i++)
        rc = swt_csv_list_add(&t->xyz, nan(""), err);
    for (size_t i = 0; i < row->n_cells && i < t->header.n_columns && rc == SWT_OK; i++)
        rc = take_cell(t, t->xyz.value + start, key, row, i, err);
    if (rc == SWT_OK && t->header.has_frame)
        rc = swt_csv_list_add(&t->frame, key[0], err);
    if (rc == SWT_OK && t->header.has_time)
        rc = swt_csv_list_add(&t->time_s, key[1], err);
    if (rc == SWT_OK)
        rc = swt_csv_list_add(&t->line, (double)row->line, err);
    t->n_rows++;
    return rc;
}

swt_status swt_csv_table_take(void *table, const swt_csv_row *row, swt_error *err)
{
    swt_csv_table *t = table;
    swt_csv_cell unit;
    bool empty = true;

    if (row->cell[0].length > 0 && row->cell[0].text[0] == '#')
        return SWT_OK; /* a comment between rows */
    if (!t->has_header)
        return take_before_header(t, row, err);
    for (size_t i = 0; i < row->n_cells; i++)
        empty &= row->cell[i].length == 0;
    if (empty && (row->n_cells == 1 || t->header.has_frame || t->header.has_time))
        return SWT_OK; /* what spreadsheets leave below a table */
    if (t->n_rows == 0 && is_units_row(t, row, &unit))
        return take_units_row(t, row, unit, err);
    return take_sample(t, row, err);
}

void swt_csv_table_reset(swt_csv_table *t)
{
    swt_csv_header_reset(&t->header);
    swt_names_reset(&t->names);
    free(t->pending);
    free(t->pending_cell);
    free(t->xyz.value);
    free(t->frame.value);
    free(t->time_s.value);
    free(t->line.value);
    free(t->which.value);
    memset(t, 0, sizeof *t);
}
