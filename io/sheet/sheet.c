#define _XOPEN_SOURCE 700 /* realpath */
#include "io/sheet/sheet.h"

#include "base/numtext.h"
#include "io/sheet/cells.h"
#include "kinematics/marker_map.h"

#include <ctype.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>

enum { MOST_COLUMNS = 1000, LONGEST_NAME = 200 };

enum { FILE_, PLAYER, SESSION, GROUP, SIDE, CLUB, SHOT, STATIC, MAP, SUBJECT, KNOWN_COLUMNS };

static const struct {
    const char *name;
    bool required;
} known[KNOWN_COLUMNS] = {
    [FILE_] = {"file", true},       [PLAYER] = {"player", true},  [SESSION] = {"session", false},
    [GROUP] = {"group", false},     [SIDE] = {"side", false},     [CLUB] = {"club", false},
    [SHOT] = {"shot", false},       [STATIC] = {"static", false}, [MAP] = {"map", false},
    [SUBJECT] = {"subject", false},
};

/* Everything while a sheet is read: the row being collected, the columns, the problems. */
typedef struct reading {
    swt_sheet *sheet;
    FILE *problems;
    size_t n_problems;
    bool out_of_memory, have_header;
    int line; /* of the current row */
    size_t n_cells;
    char **cell;
    size_t n_columns;
    long column[KNOWN_COLUMNS]; /* -1 = the sheet does not have it */
    size_t *covariate_column;
    size_t trial_room;
} reading;

static void problem(reading *r, int line, const char *format, ...) SWT_PRINTF(3, 4);

static void problem(reading *r, int line, const char *format, ...)
{
    va_list args;

    r->n_problems++;
    if (line > 0)
        fprintf(r->problems, "line %d: ", line);
    va_start(args, format);
    vfprintf(r->problems, format, args);
    va_end(args);
    fputc('\n', r->problems);
}

static char *copy_text(reading *r, const char *text)
{
    char *copy = strdup(text);
    if (!copy)
        r->out_of_memory = true;
    return copy;
}

static bool make_room(reading *r)
{
    size_t more = r->trial_room ? r->trial_room * 2 : 64;
    swt_trial *bigger;

    if (r->sheet->n_trials < r->trial_room)
        return true;
    bigger =
        more > SIZE_MAX / sizeof *bigger ? NULL : realloc(r->sheet->trial, more * sizeof *bigger);
    if (!bigger) {
        r->out_of_memory = true;
        return false;
    }
    r->sheet->trial = bigger;
    r->trial_room = more;
    return true;
}

static bool has_control(const char *text, const char *allowed)
{
    for (const unsigned char *p = (const unsigned char *)text; *p; p++)
        if ((*p < 0x20 || *p == 0x7f) && !strchr(allowed, *p))
            return true;
    return false;
}

/* Would a person who typed `name` have meant `wanted`? Two letters swapped, one letter wrong in a
 * word of five or more, or a plural. Nothing looser: "size" is a covariate and not a "side". */
static bool is_near_miss(const char *name, const char *wanted)
{
    size_t n = strlen(wanted), first = 0;

    if (strlen(name) == n) {
        while (first < n && tolower((unsigned char)name[first]) == wanted[first])
            first++;
        if (first + 1 < n && tolower((unsigned char)name[first]) == wanted[first + 1] &&
            tolower((unsigned char)name[first + 1]) == wanted[first] &&
            strcasecmp(name + first + 2, wanted + first + 2) == 0)
            return true;
    }
    if (strlen(name) == n + 1 && strncasecmp(name, wanted, n) == 0 &&
        (name[n] == 's' || name[n] == 'S'))
        return true;
    return n >= 5 && strlen(name) < SWT_MAP_LABEL && swt_label_distance(name, wanted) <= 1;
}

static void add_covariate(reading *r, char *name, size_t column)
{
    swt_sheet *sheet = r->sheet;
    size_t n = sheet->n_covariates;

    for (int k = 0; k < KNOWN_COLUMNS; k++)
        if (r->column[k] < 0 && is_near_miss(name, known[k].name)) {
            problem(r, r->line,
                    "column %zu is called \"%s\": did you mean \"%s\"? Correct it, or give the "
                    "covariate a name that is less like it",
                    column + 1, name, known[k].name);
            return;
        }
    sheet->covariate_name[n] = copy_text(r, name);
    r->covariate_column[n] = column;
    sheet->n_covariates += !r->out_of_memory;
}

/* The header's names, as many as there is room for; none is cut. */
static void list_header(char *list, size_t size, const reading *r)
{
    size_t used = 0, last = sizeof ", ...";

    list[0] = '\0';
    for (size_t c = 0; c < r->n_columns; c++) {
        bool fits = used + strlen(r->cell[c]) + 2 + last <= size;
        used += (size_t)snprintf(list + used, size - used, "%s%s", c > 0 ? ", " : "",
                                 fits ? r->cell[c] : "...");
        if (!fits)
            return;
    }
}

static void read_header(reading *r)
{
    char found[120];

    r->have_header = true;
    r->n_columns = r->n_cells;
    for (int k = 0; k < KNOWN_COLUMNS; k++)
        r->column[k] = -1;
    if (r->n_columns > MOST_COLUMNS) {
        problem(r, r->line, "%zu columns: expected at most %d", r->n_columns, MOST_COLUMNS);
        return;
    }
    r->sheet->covariate_name = calloc(r->n_columns, sizeof(char *));
    r->covariate_column = calloc(r->n_columns, sizeof *r->covariate_column);
    if (!r->sheet->covariate_name || !r->covariate_column) {
        r->out_of_memory = true;
        return;
    }
    for (size_t c = 0; c < r->n_columns; c++)
        for (int k = 0; k < KNOWN_COLUMNS; k++)
            if (r->column[k] < 0 && strcasecmp(r->cell[c], known[k].name) == 0)
                r->column[k] = (long)c;
    for (size_t c = 0; c < r->n_columns; c++) {
        size_t twin = 0;
        bool is_known = false;
        while (twin < c && strcasecmp(r->cell[twin], r->cell[c]) != 0)
            twin++;
        for (int k = 0; k < KNOWN_COLUMNS; k++)
            is_known = is_known || r->column[k] == (long)c;
        if (r->cell[c][0] == '\0')
            problem(r, r->line, "column %zu has no name", c + 1);
        else if (twin < c)
            problem(r, r->line, "columns %zu and %zu are both called \"%s\"", twin + 1, c + 1,
                    r->cell[c]);
        else if (has_control(r->cell[c], ""))
            problem(r, r->line, "the name of column %zu holds a control character", c + 1);
        else if (strlen(r->cell[c]) > LONGEST_NAME)
            problem(r, r->line, "the name of column %zu is longer than %d bytes", c + 1,
                    LONGEST_NAME);
        else if (!is_known)
            add_covariate(r, r->cell[c], c);
    }
    list_header(found, sizeof found, r);
    for (int k = 0; k < KNOWN_COLUMNS; k++)
        if (known[k].required && r->column[k] < 0)
            problem(r, r->line, "there is no column \"%s\"; found: %s (see: swathe help sheet)",
                    known[k].name, found);
}

static const char *cell_of(const reading *r, int which)
{
    return r->column[which] >= 0 ? r->cell[r->column[which]] : "";
}

/* A path of the sheet means what it means in the sheet's own folder. */
static char *resolve(reading *r, const char *file)
{
    const char *slash = strrchr(r->sheet->path, '/');
    size_t folder = slash ? (size_t)(slash - r->sheet->path) + 1 : 0, length = strlen(file);
    char *path;

    if (length == 0 || file[0] == '/')
        folder = 0;
    path = malloc(folder + length + 1);
    if (!path) {
        r->out_of_memory = true;
        return NULL;
    }
    memcpy(path, r->sheet->path, folder);
    memcpy(path + folder, file, length + 1);
    return path;
}

static void check_file(reading *r, const char *column, const char *written, const char *path)
{
    struct stat st;

    if (!path || path[0] == '\0')
        return;
    if (stat(path, &st) != 0)
        problem(r, r->line, "%s \"%s\" does not exist (looked for %s)", column, written, path);
    else if (!S_ISREG(st.st_mode))
        problem(r, r->line, "%s \"%s\" is not a regular file", column, written);
}

static swt_handedness read_side(reading *r)
{
    const char *text = cell_of(r, SIDE);

    if (r->column[SIDE] < 0 || strcasecmp(text, "right") == 0 || strcasecmp(text, "r") == 0)
        return SWT_RIGHT_HANDED;
    if (strcasecmp(text, "left") == 0 || strcasecmp(text, "l") == 0)
        return SWT_LEFT_HANDED;
    problem(r, r->line, "side is \"%s\": expected right or left", text);
    return SWT_RIGHT_HANDED;
}

static void read_trial(reading *r)
{
    swt_sheet *sheet = r->sheet;
    swt_trial *t;

    if (r->n_cells != r->n_columns) {
        problem(r, r->line, "%zu cell%s, but the header has %zu columns", r->n_cells,
                r->n_cells == 1 ? "" : "s", r->n_columns);
        return;
    }
    if (!sheet->covariate_name || !make_room(r))
        return;
    for (int k = 0; k < KNOWN_COLUMNS; k++) {
        if (has_control(cell_of(r, k), ""))
            problem(r, r->line, "%s holds a control character", known[k].name);
        if (known[k].required && r->column[k] >= 0 && cell_of(r, k)[0] == '\0')
            problem(r, r->line, "%s is empty", known[k].name);
    }
    t = &sheet->trial[sheet->n_trials++];
    memset(t, 0, sizeof *t);
    t->line = r->line;
    t->file = copy_text(r, cell_of(r, FILE_));
    t->player = copy_text(r, cell_of(r, PLAYER));
    t->session = copy_text(r, cell_of(r, SESSION));
    t->group = copy_text(r, cell_of(r, GROUP));
    t->club = copy_text(r, cell_of(r, CLUB));
    t->shot = copy_text(r, cell_of(r, SHOT));
    t->subject = copy_text(r, cell_of(r, SUBJECT));
    if (strlen(cell_of(r, SUBJECT)) > SWT_MAP_LABEL - 2)
        problem(r, r->line, "subject is longer than %d bytes", SWT_MAP_LABEL - 2);
    t->side = read_side(r);
    t->path = resolve(r, cell_of(r, FILE_));
    t->static_path = resolve(r, cell_of(r, STATIC));
    t->map_path = resolve(r, cell_of(r, MAP));
    check_file(r, "file", cell_of(r, FILE_), t->path);
    check_file(r, "static", cell_of(r, STATIC), t->static_path);
    check_file(r, "map", cell_of(r, MAP), t->map_path);
    t->covariate = calloc(sheet->n_covariates + 1, sizeof(char *));
    if (!t->covariate) {
        r->out_of_memory = true;
        return;
    }
    for (size_t c = 0; c < sheet->n_covariates; c++) {
        t->covariate[c] = copy_text(r, r->cell[r->covariate_column[c]]);
        if (has_control(r->cell[r->covariate_column[c]], "\t\r\n"))
            problem(r, r->line, "%s holds a control character", sheet->covariate_name[c]);
    }
}

typedef struct trial_key {
    const swt_trial *trial;
    char *where; /* canonical path, else the path as resolved */
} trial_key;

static int compare_keys(const void *a, const void *b)
{
    const trial_key *x = a, *y = b;
    int order = strcmp(x->where, y->where);

    if (order == 0)
        order = strcmp(x->trial->map_path, y->trial->map_path);
    if (order == 0)
        order = strcmp(x->trial->subject, y->trial->subject);
    return order ? order : (x->trial->line > y->trial->line) - (x->trial->line < y->trial->line);
}

/* The same file twice is a slip, unless the rows take two subjects from it. */
static void find_duplicates(reading *r)
{
    size_t n = r->sheet->n_trials, made = 0;
    trial_key *key = calloc(n + 1, sizeof *key);

    if (!key) {
        r->out_of_memory = true;
        return;
    }
    for (; made < n && !r->out_of_memory; made++) {
        const swt_trial *t = &r->sheet->trial[made];
        key[made].trial = t;
        key[made].where = realpath(t->path, NULL);
        if (!key[made].where)
            key[made].where = copy_text(r, t->path);
    }
    if (!r->out_of_memory) {
        qsort(key, n, sizeof *key, compare_keys);
        for (size_t i = 1; i < n; i++)
            if (key[i].trial->file[0] && strcmp(key[i].where, key[i - 1].where) == 0 &&
                strcmp(key[i].trial->map_path, key[i - 1].trial->map_path) == 0 &&
                strcmp(key[i].trial->subject, key[i - 1].trial->subject) == 0)
                problem(r, key[i].trial->line, "file \"%s\" is already in line %d",
                        key[i].trial->file, key[i - 1].trial->line);
    }
    for (size_t i = 0; i < made; i++)
        free(key[i].where);
    free(key);
}

/* A column that holds 2 and 1,5: a condition such as "<= 2" would take the one and pass over the
 * other, and make a smaller group without a word. */
static void check_decimals(reading *r, size_t covariate)
{
    const swt_trial *point = NULL, *comma = NULL;

    for (size_t i = 0; i < r->sheet->n_trials && !(point && comma); i++) {
        const swt_trial *t = &r->sheet->trial[i];
        const char *text = t->covariate ? t->covariate[covariate] : "";
        double number;
        if (swt_parse_double(&number, text, strlen(text), '.'))
            point = point ? point : t;
        else if (swt_parse_double(&number, text, strlen(text), ','))
            comma = comma ? comma : t;
    }
    if (point && comma)
        problem(r, comma->line,
                "%s is \"%s\", and \"%s\" in line %d: numbers with and without a decimal comma; "
                "write the decimals of this column with a point",
                r->sheet->covariate_name[covariate], comma->covariate[covariate],
                point->covariate[covariate], point->line);
}

static bool take_row(void *user, int line, char **cell, size_t n)
{
    reading *r = user;

    r->line = line;
    r->cell = cell;
    r->n_cells = n;
    if (r->have_header)
        read_trial(r);
    else
        read_header(r);
    return !r->out_of_memory;
}

static void take_problem(void *user, int line, const char *text)
{
    problem(user, line, "%s", text);
}

static void read_text(reading *r, const unsigned char *bytes, size_t size)
{
    const swt_cells_taker taker = {take_row, take_problem, r};

    if (swt_cells_read(bytes, size, &taker) != SWT_OK)
        r->out_of_memory = true;
    if (r->out_of_memory)
        return;
    if (!r->have_header && r->n_problems == 0)
        problem(r, 0, "the sheet is empty: expected a header line with at least file and player");
    else if (r->sheet->n_trials == 0 && r->n_problems == 0)
        problem(r, 0, "the sheet has a header and no rows");
    find_duplicates(r);
    for (size_t c = 0; c < r->sheet->n_covariates && !r->out_of_memory; c++)
        check_decimals(r, c);
}

swt_status swt_sheet_parse(swt_sheet **out, char **problems, const unsigned char *bytes,
                           size_t size, const char *path, swt_error *err)
{
    reading r = {0};
    char *text = NULL;
    size_t text_size;

    *out = NULL;
    *problems = NULL;
    if (strlen(path) >= sizeof r.sheet->path)
        return swt_fail(err, SWT_EARG, "the sheet's path is too long");
    r.sheet = calloc(1, sizeof *r.sheet);
    r.problems = open_memstream(&text, &text_size);
    if (r.sheet && r.problems) {
        strcpy(r.sheet->path, path);
        swt_sha256(r.sheet->sha256, bytes, size);
        read_text(&r, bytes, size);
    } else {
        r.out_of_memory = true;
    }
    if (r.problems && fclose(r.problems) != 0)
        r.out_of_memory = true;
    free(r.covariate_column);
    if (r.out_of_memory) {
        free(text);
        swt_sheet_free(r.sheet);
        return swt_fail(err, SWT_ENOMEM, "%s: out of memory", path);
    }
    *problems = text;
    if (r.n_problems > 0) {
        swt_sheet_free(r.sheet);
        return swt_fail(err, SWT_EFORMAT, "%s: %zu problem%s; the first: %.*s", path, r.n_problems,
                        r.n_problems == 1 ? "" : "s", (int)strcspn(text, "\n"), text);
    }
    *out = r.sheet;
    return SWT_OK;
}

swt_status swt_sheet_read(swt_sheet **out, char **problems, const char *path, swt_error *err)
{
    unsigned char *bytes;
    size_t size;
    swt_status rc = swt_file_read(&bytes, &size, path, err);

    *out = NULL;
    *problems = NULL;
    if (rc != SWT_OK) {
        swt_error_prefix(err, "%s", path);
        return rc;
    }
    rc = swt_sheet_parse(out, problems, bytes, size, path, err);
    free(bytes);
    return rc;
}

void swt_sheet_free(swt_sheet *sheet)
{
    if (!sheet)
        return;
    for (size_t i = 0; i < sheet->n_trials; i++) {
        swt_trial *t = &sheet->trial[i];
        for (size_t c = 0; t->covariate && c < sheet->n_covariates; c++)
            free(t->covariate[c]);
        free(t->covariate);
        free(t->file);
        free(t->path);
        free(t->player);
        free(t->session);
        free(t->group);
        free(t->club);
        free(t->shot);
        free(t->static_path);
        free(t->subject);
        free(t->map_path);
    }
    free(sheet->trial);
    for (size_t c = 0; c < sheet->n_covariates; c++)
        free(sheet->covariate_name[c]);
    free(sheet->covariate_name);
    free(sheet);
}
