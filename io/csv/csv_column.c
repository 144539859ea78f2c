#include "io/csv/csv_column.h"

#include "base/capture.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void swt_csv_plain(char *out, size_t size, const char *text, size_t length)
{
    size_t n = 0;

    for (size_t i = 0; i < length && n + 1 < size; i++)
        if (isalnum((unsigned char)text[i]))
            out[n++] = (char)tolower((unsigned char)text[i]);
    out[n] = '\0';
}

static swt_csv_cell trimmed(swt_csv_cell c)
{
    while (c.length > 0 && isspace((unsigned char)c.text[0])) {
        c.text++;
        c.length--;
    }
    while (c.length > 0 && isspace((unsigned char)c.text[c.length - 1]))
        c.length--;
    return c;
}

/* Cuts "(mm)" or "[mm]" off the end of a column's name; `unit` is "" when there is none. */
static swt_csv_cell cut_unit(swt_csv_cell c, char *unit, size_t size)
{
    char close, open;
    size_t at;

    unit[0] = '\0';
    c = trimmed(c);
    close = c.length > 0 ? c.text[c.length - 1] : '\0';
    if (close != ')' && close != ']')
        return c;
    open = close == ')' ? '(' : '[';
    for (at = c.length - 1; at > 0 && c.text[at] != open; at--)
        ;
    if (c.text[at] != open || c.length - at - 2 >= size)
        return c;
    memcpy(unit, c.text + at + 1, c.length - at - 2);
    unit[c.length - at - 2] = '\0';
    c.length = at;
    return trimmed(c);
}

static bool is_one_of(const char *text, const char *const *list)
{
    for (; *list; list++)
        if (strcmp(text, *list) == 0)
            return true;
    return false;
}

/* Sets role and time unit when the name is that of a time, frame or marker column. */
static bool is_key_column(swt_csv_column *column, swt_csv_cell cell)
{
    static const char *const seconds[] = {"time",        "times",   "t",   "timesec",
                                          "timeseconds", "seconds", "sec", NULL};
    static const char *const milliseconds[] = {"timems", "timemsec", "timemilliseconds", NULL};
    static const char *const frames[] = {"frame",      "frames", "framenumber",  "frameno",
                                         "frameindex", "sample", "samplenumber", NULL};
    static const char *const markers[] = {"marker",   "markername", "label", "point",
                                          "landmark", "name",       NULL};
    char unit[16], plain[32];

    cell = cut_unit(cell, unit, sizeof unit);
    swt_csv_plain(plain, sizeof plain, cell.text, cell.length);
    column->second = 1;
    if (is_one_of(plain, seconds) || is_one_of(plain, milliseconds)) {
        column->role = SWT_CSV_TIME;
        if (is_one_of(plain, milliseconds) || strcmp(unit, "ms") == 0)
            column->second = 0.001;
        return true;
    }
    if (is_one_of(plain, frames))
        column->role = SWT_CSV_FRAME;
    else if (is_one_of(plain, markers))
        column->role = SWT_CSV_MARKER;
    return column->role != SWT_CSV_UNRELATED;
}

static bool axis_letter(size_t *axis, swt_csv_cell c)
{
    const char *letters = "xyz", *found;

    if (c.length != 1 || !(found = strchr(letters, tolower((unsigned char)c.text[0]))) || !*found)
        return false;
    *axis = (size_t)(found - letters);
    return true;
}

/* Splits "NAME.x", "NAME_x", "NAME X", "NAME:X", "NAME-x" into name and axis. */
static bool split_axis(swt_csv_cell *name, size_t *axis, swt_csv_cell c)
{
    if (c.length < 3 || !strchr("._ :-", c.text[c.length - 2]) || c.text[c.length - 2] == '\0')
        return false;
    if (!axis_letter(axis, (swt_csv_cell){c.text + c.length - 1, 1}))
        return false;
    c.length -= 2;
    *name = trimmed(c);
    return name->length > 0;
}

bool swt_csv_is_axes_row(const swt_csv_row *row)
{
    size_t axes = 0, axis;

    for (size_t i = 0; i < row->n_cells; i++) {
        char unit[16];
        swt_csv_cell c = cut_unit(row->cell[i], unit, sizeof unit);
        swt_csv_column key = {0};
        if (c.length == 0)
            continue;
        if (axis_letter(&axis, c))
            axes++;
        else if (!is_key_column(&key, c))
            return false;
    }
    return axes >= 3;
}

static swt_status take_unit(swt_csv_header *h, const char *unit, size_t line, size_t column,
                            swt_error *err)
{
    if (unit[0] == '\0')
        return SWT_OK;
    if (h->unit[0] != '\0' && strcmp(h->unit, unit) != 0)
        return swt_fail(err, SWT_EFORMAT,
                        "line %zu, column %zu: unit '%s', but columns before it have '%s'; one "
                        "file holds one length unit",
                        line, column, unit, h->unit);
    memcpy(h->unit, unit, strlen(unit) + 1);
    return SWT_OK;
}

static void leave_aside(swt_csv_header *h, size_t i, swt_csv_cell name)
{
    h->column[i].role = SWT_CSV_UNRELATED;
    if (h->n_unrelated++ == 0)
        swt_text_excerpt(h->unrelated, name.text, name.length);
}

static bool has_plain_axes(const swt_csv_row *row)
{
    bool seen[3] = {false};
    size_t axis;

    for (size_t i = 0; i < row->n_cells; i++) {
        char unit[16];
        if (axis_letter(&axis, cut_unit(row->cell[i], unit, sizeof unit)))
            seen[axis] = true;
    }
    return seen[0] && seen[1] && seen[2];
}

/* The columns x, y, z of a long form, which has a marker column too. */
static swt_status read_long(swt_csv_header *h, const swt_csv_row *names, swt_error *err)
{
    bool seen[3] = {false};

    for (size_t i = 0; i < names->n_cells; i++) {
        char unit[16];
        swt_csv_cell c = cut_unit(names->cell[i], unit, sizeof unit);
        swt_csv_column *column = &h->column[i];
        if (column->role != SWT_CSV_UNRELATED)
            continue;
        if (!axis_letter(&column->axis, c)) {
            leave_aside(h, i, c);
            continue;
        }
        if (seen[column->axis])
            return swt_fail(err, SWT_EFORMAT, "line %zu, column %zu: a second column %c",
                            names->line, i + 1, "xyz"[column->axis]);
        seen[column->axis] = true;
        column->role = SWT_CSV_COORDINATE;
        if (take_unit(h, unit, names->line, i + 1, err) != SWT_OK)
            return SWT_EFORMAT;
    }
    if (!h->has_time && !h->has_frame)
        return swt_fail(err, SWT_EFORMAT,
                        "line %zu: a row per marker needs a frame or a time column", names->line);
    h->is_long = true;
    return SWT_OK;
}

/* Gives the columns of wide form their marker and axis; the last names filled in from the left
   where a row of axes stands below. */
static swt_status read_wide(swt_csv_header *h, swt_names *found, const swt_csv_row *names,
                            const swt_csv_row *axes, swt_error *err)
{
    swt_csv_cell last = {"", 0};

    for (size_t i = 0; i < h->n_columns; i++) {
        swt_csv_column *column = &h->column[i];
        char unit[16] = "", axis_unit[16] = "";
        swt_csv_cell name = {"", 0}, own;
        bool ok;
        own = i < names->n_cells ? cut_unit(names->cell[i], unit, sizeof unit)
                                 : (swt_csv_cell){"", 0};
        if (own.length > 0)
            last = own;
        if (column->role != SWT_CSV_UNRELATED)
            continue;
        if (axes) {
            swt_csv_cell below =
                i < axes->n_cells ? cut_unit(axes->cell[i], axis_unit, sizeof axis_unit) : name;
            ok = axis_letter(&column->axis, below) && last.length > 0;
            name = last;
            if (ok && axis_unit[0] != '\0')
                memcpy(unit, axis_unit, sizeof unit);
        } else {
            ok = split_axis(&name, &column->axis, own);
        }
        if (!ok) {
            if (own.length > 0)
                leave_aside(h, i, own);
            continue;
        }
        column->role = SWT_CSV_COORDINATE;
        if (swt_names_add(&column->marker, found, name.text, name.length, err) != SWT_OK)
            return SWT_ENOMEM;
        if (take_unit(h, unit, names->line, i + 1, err) != SWT_OK)
            return SWT_EFORMAT;
    }
    return SWT_OK;
}

/* Keeps the markers that have all three axes, once each, and numbers them in their order. */
static swt_status keep_whole_markers(swt_csv_header *h, const swt_names *found,
                                     const swt_csv_row *names, swt_error *err)
{
    size_t *place = calloc(found->n + 1, 3 * sizeof *place); /* column + 1 of each axis */
    swt_status rc = SWT_OK;

    if (!place)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; i < h->n_columns && rc == SWT_OK; i++) {
        const swt_csv_column *c = &h->column[i];
        size_t *at;
        if (c->role != SWT_CSV_COORDINATE)
            continue;
        at = &place[3 * c->marker + c->axis];
        if (*at != 0)
            rc = swt_fail(err, SWT_EFORMAT,
                          "line %zu, column %zu: marker '%s' has its %c already in column %zu",
                          names->line, i + 1, found->name[c->marker], "xyz"[c->axis], *at);
        *at = i + 1;
    }
    for (size_t i = 0; i < h->n_columns && rc == SWT_OK; i++) {
        swt_csv_column *c = &h->column[i];
        const char *name;
        const size_t *at;
        if (c->role != SWT_CSV_COORDINATE)
            continue;
        name = found->name[c->marker];
        at = &place[3 * c->marker];
        if (at[0] && at[1] && at[2])
            rc = swt_names_add(&c->marker, &h->markers, name, strlen(name), err);
        else
            leave_aside(h, i, (swt_csv_cell){name, strlen(name)});
    }
    free(place);
    return rc;
}

static void find_key_columns(swt_csv_header *h, bool *has_marker, const swt_csv_row *row)
{
    for (size_t i = 0; row && i < row->n_cells; i++) {
        swt_csv_column key = {0}, *column = &h->column[i];
        if (column->role != SWT_CSV_UNRELATED || !is_key_column(&key, row->cell[i]))
            continue;
        /* a second time or frame column is an unrelated one */
        if ((key.role == SWT_CSV_TIME && h->has_time) ||
            (key.role == SWT_CSV_FRAME && h->has_frame) ||
            (key.role == SWT_CSV_MARKER && *has_marker))
            continue;
        *column = key;
        h->has_time |= key.role == SWT_CSV_TIME;
        h->has_frame |= key.role == SWT_CSV_FRAME;
        *has_marker |= key.role == SWT_CSV_MARKER;
    }
}

swt_status swt_csv_header_read(swt_csv_header *out, bool *recognised, const swt_csv_row *names,
                               const swt_csv_row *axes, swt_error *err)
{
    swt_csv_header h = {0};
    swt_names found = {0};
    bool has_marker = false;
    swt_status rc;

    *recognised = false;
    memset(out, 0, sizeof *out);
    h.n_columns = names->n_cells;
    if (axes && axes->n_cells > h.n_columns)
        h.n_columns = axes->n_cells;
    h.column = calloc(h.n_columns + 1, sizeof *h.column);
    if (!h.column)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    find_key_columns(&h, &has_marker, names);
    find_key_columns(&h, &has_marker, axes);
    if (has_marker && !axes && has_plain_axes(names)) {
        rc = read_long(&h, names, err);
        *recognised = rc == SWT_OK;
    } else {
        rc = read_wide(&h, &found, names, axes, err);
        if (rc == SWT_OK)
            rc = keep_whole_markers(&h, &found, names, err);
        *recognised = rc == SWT_OK && h.markers.n > 0;
    }
    swt_names_reset(&found);
    if (!*recognised) {
        swt_csv_header_reset(&h);
        return rc;
    }
    *out = h;
    return SWT_OK;
}

void swt_csv_header_reset(swt_csv_header *h)
{
    free(h->column);
    swt_names_reset(&h->markers);
    memset(h, 0, sizeof *h);
}
