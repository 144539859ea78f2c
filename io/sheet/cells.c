#include "io/sheet/cells.h"

#include "io/text.h"

#include <csv.h>
#include <ctype.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct splitting {
    const swt_cells_taker *taker;
    bool out_of_memory, row_ended, overlong;
    int line; /* on which the current row began */
    size_t n, room;
    char **cell;
} splitting;

static void complain(const splitting *s, int line, const char *text)
{
    s->taker->problem(s->taker->user, line, text);
}

static void trim(char *text)
{
    size_t n = strlen(text), start = 0;

    while (n > 0 && isspace((unsigned char)text[n - 1]))
        n--;
    while (start < n && isspace((unsigned char)text[start]))
        start++;
    memmove(text, text + start, n - start);
    text[n - start] = '\0';
}

static bool make_room(splitting *s)
{
    size_t more = s->room ? s->room * 2 : 16;
    char **bigger;

    if (s->n < s->room)
        return true;
    bigger = more > SIZE_MAX / sizeof *bigger ? NULL : realloc(s->cell, more * sizeof *bigger);
    if (!bigger) {
        s->out_of_memory = true;
        return false;
    }
    s->cell = bigger;
    s->room = more;
    return true;
}

static void on_cell(void *text, size_t length, void *user)
{
    splitting *s = user;
    char *copy;

    if (length > SWT_CELL_LONGEST) {
        s->overlong = true;
        length = 0;
    }
    if (!make_room(s))
        return;
    copy = malloc(length + 1);
    if (!copy) {
        s->out_of_memory = true;
        return;
    }
    if (length > 0)
        memcpy(copy, text, length);
    copy[length] = '\0';
    trim(copy);
    s->cell[s->n++] = copy;
}

static void forget_row(splitting *s)
{
    for (size_t i = 0; i < s->n; i++)
        free(s->cell[i]);
    s->n = 0;
    s->overlong = false;
}

static void on_row(int terminator, void *user)
{
    splitting *s = user;
    bool blank = true;
    char text[80];

    (void)terminator;
    s->row_ended = true;
    for (size_t i = 0; i < s->n; i++)
        blank = blank && s->cell[i][0] == '\0';
    if (s->overlong) {
        snprintf(text, sizeof text, "a cell is longer than %d bytes", SWT_CELL_LONGEST);
        complain(s, s->line, text);
    } else if (!blank && !s->out_of_memory) {
        s->out_of_memory = !s->taker->row(s->taker->user, s->line, s->cell, s->n);
    }
    forget_row(s);
}

/* The separator that occurs most often in the header line, outside quotes. */
static unsigned char find_separator(const char *line, size_t length)
{
    static const char candidates[] = ",;\t";
    size_t count[3] = {0, 0, 0}, best = 0;
    bool quoted = false;

    for (size_t i = 0; i < length; i++) {
        const char *hit = line[i] ? strchr(candidates, line[i]) : NULL;
        quoted = quoted != (line[i] == '"');
        if (hit && !quoted)
            count[hit - candidates]++;
    }
    for (size_t k = 1; k < 3; k++)
        if (count[k] > count[best])
            best = k;
    return (unsigned char)candidates[best];
}

/* Length of the line at `text` with its end: LF, CR LF, or the lone CR of old spreadsheets. */
static size_t line_length(const char *text, size_t left)
{
    for (size_t i = 0; i < left; i++) {
        if (text[i] == '\n')
            return i + 1;
        if (text[i] == '\r')
            return i + 1 < left && text[i + 1] == '\n' ? i + 2 : i + 1;
    }
    return left;
}

/* '#' lines and blank lines, where a row could begin. */
static bool is_passed_over(const char *line, size_t length)
{
    size_t i = 0;

    if (line[0] == '#')
        return true;
    while (i < length && isspace((unsigned char)line[i]))
        i++;
    return i == length;
}

/* libcsv counts no lines: it is fed one at a time, and says when a row ended. */
static void read_rows(splitting *s, const char *text, size_t size)
{
    struct csv_parser parser;
    bool between_rows = true, separator_known = false;
    int line = 0;

    if (csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI) != 0) {
        s->out_of_memory = true;
        return;
    }
    for (size_t at = 0, n; at < size && !s->out_of_memory; at += n) {
        n = line_length(text + at, size - at);
        line++;
        if (between_rows && is_passed_over(text + at, n))
            continue;
        if (!separator_known) {
            csv_set_delim(&parser, find_separator(text + at, n));
            separator_known = true;
        }
        if (between_rows)
            s->line = line;
        s->row_ended = false;
        if (csv_parse(&parser, text + at, n, on_cell, on_row, s) != n) {
            if (csv_error(&parser) == CSV_EPARSE)
                complain(s, line,
                         "a quotation mark in the middle of a cell: put the whole cell in quotes "
                         "and double the mark (reading stopped here)");
            else
                s->out_of_memory = true;
            goto done;
        }
        between_rows = s->row_ended;
    }
    if (!s->out_of_memory && csv_fini(&parser, on_cell, on_row, s) != 0)
        complain(s, s->line, "a quoted cell that begins here is not closed before the end");
done:
    csv_free(&parser);
}

/* What would make every later message wrong: not text, or not UTF-8. */
static bool is_readable_text(const splitting *s, const unsigned char *bytes, size_t size)
{
    int line = 1;

    if (size >= 2 &&
        ((bytes[0] == 0xff && bytes[1] == 0xfe) || (bytes[0] == 0xfe && bytes[1] == 0xff))) {
        complain(s, 0, "the text is in UTF-16: save it as CSV in UTF-8");
        return false;
    }
    for (size_t at = 0, n; at < size; at += n, line++) {
        n = line_length((const char *)bytes + at, size - at);
        if (memchr(bytes + at, 0, n))
            complain(s, line, "a NUL byte: this is not CSV, or it is damaged");
        else if (!swt_text_is_utf8(bytes + at, n))
            complain(s, line, "not UTF-8 text: save it as CSV in UTF-8");
        else
            continue;
        return false;
    }
    return true;
}

swt_status swt_cells_read(const unsigned char *bytes, size_t size, const swt_cells_taker *taker)
{
    splitting s = {.taker = taker};

    if (!is_readable_text(&s, bytes, size))
        return SWT_OK;
    if (size >= 3 && memcmp(bytes, "\xef\xbb\xbf", 3) == 0) {
        bytes += 3;
        size -= 3;
    }
    read_rows(&s, (const char *)bytes, size);
    forget_row(&s);
    free(s.cell);
    return s.out_of_memory ? SWT_ENOMEM : SWT_OK;
}
