#include "io/csv/csv_rows.h"

#include <csv.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

enum { CHUNK = 65536 }; /* bytes between two looks at whether to go on */

typedef struct reader {
    swt_csv_take_row *take;
    void *context;
    swt_error *err;
    swt_status rc;
    size_t line;     /* of the row being read */
    size_t newlines; /* inside its quoted cells */
    bool after_return;
    char *text; /* the row's cells, one after the other */
    size_t used, capacity;
    swt_csv_cell *cell; /* lengths at once, pointers when the row is whole */
    size_t n_cells, cell_capacity;
} reader;

static bool make_room(reader *r, size_t length)
{
    if (!r->text || r->used + length > r->capacity) {
        size_t capacity = 2 * (r->used + length) + 256;
        char *grown = realloc(r->text, capacity);
        if (!grown)
            return false;
        r->text = grown;
        r->capacity = capacity;
    }
    if (r->n_cells == r->cell_capacity) {
        size_t capacity = 2 * r->cell_capacity + 64;
        swt_csv_cell *grown = realloc(r->cell, capacity * sizeof *grown);
        if (!grown)
            return false;
        r->cell = grown;
        r->cell_capacity = capacity;
    }
    return true;
}

static void on_cell(void *text, size_t length, void *context)
{
    reader *r = context;
    const char *p = text;

    if (r->rc != SWT_OK)
        return;
    if (!make_room(r, length)) {
        r->rc = swt_fail(r->err, SWT_ENOMEM, "out of memory");
        return;
    }
    r->after_return = false;
    for (size_t i = 0; i < length; i++)
        r->newlines += p[i] == '\n' || (p[i] == '\r' && (i + 1 == length || p[i + 1] != '\n'));
    if (length > 0)
        memcpy(r->text + r->used, p, length);
    r->used += length;
    r->cell[r->n_cells++] = (swt_csv_cell){NULL, length};
}

/* Called at every line end outside quotes: CR and LF of one line end come as two. */
static void on_line_end(int c, void *context)
{
    reader *r = context;

    if (r->rc == SWT_OK && r->n_cells > 0) {
        swt_csv_row row = {r->line, r->n_cells, r->cell};
        const char *at = r->text;
        for (size_t i = 0; i < r->n_cells; i++) {
            r->cell[i].text = at;
            at += r->cell[i].length;
        }
        r->rc = r->take(r->context, &row, r->err);
    }
    if (!(c == '\n' && r->after_return && r->n_cells == 0))
        r->line += 1 + r->newlines;
    r->after_return = c == '\r';
    r->newlines = 0;
    r->n_cells = 0;
    r->used = 0;
}

static swt_status explain(const reader *r, struct csv_parser *parser, swt_error *err)
{
    switch (csv_error(parser)) {
    case CSV_EPARSE:
        return swt_fail(err, SWT_EFORMAT,
                        "line %zu, column %zu: a quote in the wrong place; a cell with quotes "
                        "begins and ends with one and doubles those inside",
                        r->line + r->newlines, r->n_cells + 1);
    default:
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    }
}

swt_status swt_csv_rows(const char *text, size_t size, char delimiter, size_t first_line,
                        swt_csv_take_row *take, void *context, swt_error *err)
{
    struct csv_parser parser;
    reader r = {.take = take, .context = context, .err = err, .line = first_line};

    if (csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI | CSV_REPALL_NL) != 0)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    csv_set_delim(&parser, (unsigned char)delimiter);
    for (size_t at = 0; at < size && r.rc == SWT_OK;) {
        size_t n = size - at < CHUNK ? size - at : CHUNK;
        if (csv_parse(&parser, text + at, n, on_cell, on_line_end, &r) != n && r.rc == SWT_OK)
            r.rc = explain(&r, &parser, err);
        at += n;
    }
    if (r.rc == SWT_OK && csv_fini(&parser, on_cell, on_line_end, &r) != 0 && r.rc == SWT_OK)
        r.rc = explain(&r, &parser, err);
    csv_free(&parser);
    free(r.text);
    free(r.cell);
    return r.rc;
}

void swt_csv_put_cell(FILE *stream, const char *text, char delimiter)
{
    size_t length = strlen(text);
    bool quoted = strpbrk(text, "\"\r\n") || strchr(text, delimiter) ||
                  (length > 0 && (text[0] == ' ' || text[length - 1] == ' ' || text[0] == '#'));

    if (quoted)
        csv_fwrite(stream, text, length);
    else
        fputs(text, stream);
}
