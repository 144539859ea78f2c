#include "io/study/selection.h"

#include "base/numtext.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_CONDITIONS = 16, MOST_VALUES = 32, SHOWN_VALUES = 8 };

typedef enum relation { EQUAL, UNEQUAL, LESS, AT_MOST, MORE, AT_LEAST } relation;

static const char *const relation_text[] = {"=", "!=", "<", "<=", ">", ">="};

typedef struct condition {
    char *column;
    relation is;
    size_t n_values;
    char *value[MOST_VALUES];
    double number; /**< of the only value, for relations of order */
} condition;

struct swt_selection {
    size_t n;
    condition condition[MOST_CONDITIONS];
};

void swt_selection_free(swt_selection *selection)
{
    if (!selection)
        return;
    for (size_t i = 0; i < MOST_CONDITIONS; i++) {
        free(selection->condition[i].column);
        for (size_t k = 0; k < MOST_VALUES; k++)
            free(selection->condition[i].value[k]);
    }
    free(selection);
}

/* A text being taken apart. */
typedef struct reading {
    const char *text, *at;
    swt_error *err;
} reading;

static swt_status wrong(const reading *r, const char *what)
{
    return swt_fail(r->err, SWT_EARG,
                    "the selection '%.200s', at character %zu: %s; write conditions like: group = "
                    "tour, handicap <= 5, shot = full|half",
                    r->text, (size_t)(r->at - r->text) + 1, what);
}

static void skip_blanks(reading *r)
{
    while (*r->at == ' ' || *r->at == '\t')
        r->at++;
}

/* A word up to one of the `ends`, or a text in double quotes. */
static swt_status read_word(char **out, reading *r, const char *ends)
{
    size_t length = 0;
    bool quoted;
    char *word;

    skip_blanks(r);
    quoted = *r->at == '"';
    *out = word = malloc(strlen(r->at) + 1);
    if (!word)
        return swt_fail(r->err, SWT_ENOMEM, "out of memory");
    if (quoted) {
        for (r->at++; *r->at && (*r->at != '"' || r->at[1] == '"'); r->at++) {
            r->at += *r->at == '"';
            word[length++] = *r->at;
        }
        if (*r->at != '"')
            return wrong(r, "the double quote is not closed");
        r->at++;
        skip_blanks(r);
        if (*r->at && !strchr(ends, *r->at))
            return wrong(r, "something follows the double quote");
    } else {
        while (*r->at && !strchr(ends, *r->at) && *r->at != '"')
            word[length++] = *r->at++;
        if (*r->at == '"')
            return wrong(r, "a double quote inside a word");
        while (length > 0 && (word[length - 1] == ' ' || word[length - 1] == '\t'))
            length--;
        if (length == 0)
            return wrong(r, *r->at ? "a word is missing" : "it ends where a word must stand");
    }
    word[length] = '\0';
    return SWT_OK;
}

static bool read_relation(relation *out, reading *r)
{
    static const relation longest_first[] = {UNEQUAL, AT_MOST, AT_LEAST, EQUAL, LESS, MORE};

    for (size_t i = 0; i < sizeof longest_first / sizeof *longest_first; i++) {
        const char *text = relation_text[longest_first[i]];
        if (strncmp(r->at, text, strlen(text)) == 0) {
            *out = longest_first[i];
            r->at += strlen(text);
            return true;
        }
    }
    return false;
}

static swt_status read_condition(condition *c, reading *r)
{
    swt_status rc = read_word(&c->column, r, "=!<>,|");

    if (rc != SWT_OK)
        return rc;
    if (!read_relation(&c->is, r))
        return wrong(r, "one of = != < <= > >= must follow the column");
    do {
        if (c->n_values == MOST_VALUES)
            return wrong(r, "more than 32 values");
        r->at += c->n_values > 0; /* the bar */
        rc = read_word(&c->value[c->n_values++], r, "=!<>,|");
        if (rc != SWT_OK)
            return rc;
    } while (*r->at == '|');
    if (*r->at && *r->at != ',')
        return wrong(r, "a comma or the end must follow the value");
    if (c->is != EQUAL && c->is != UNEQUAL &&
        (c->n_values > 1 || !swt_parse_double(&c->number, c->value[0], strlen(c->value[0]), '.')))
        return wrong(r, "< <= > >= take one number, with a decimal point");
    return SWT_OK;
}

swt_status swt_selection_parse(swt_selection **out, const char *text, swt_error *err)
{
    reading r = {text, text, err};
    swt_selection *s = calloc(1, sizeof *s);
    swt_status rc = s ? SWT_OK : swt_fail(err, SWT_ENOMEM, "out of memory");

    *out = NULL;
    while (rc == SWT_OK) {
        if (s->n == MOST_CONDITIONS)
            rc = wrong(&r, "more than 16 conditions");
        else
            rc = read_condition(&s->condition[s->n++], &r);
        if (rc == SWT_OK && *r.at++ == '\0')
            break;
    }
    if (rc == SWT_OK)
        *out = s;
    else
        swt_selection_free(s);
    return rc;
}

enum { PLAYER, SESSION, GROUP, CLUB, SHOT, SIDE, FILE_NAME, COVARIATES };

static const char *const column_name[COVARIATES] = {"player", "session", "group", "club",
                                                    "shot",   "side",    "file"};

static const char *cell(const swt_study *study, size_t swing, size_t column)
{
    const swt_study_swing *s = &study->swing[swing];

    switch (column) {
    case PLAYER:
        return s->player;
    case SESSION:
        return s->session;
    case GROUP:
        return s->group;
    case CLUB:
        return s->club;
    case SHOT:
        return s->shot;
    case SIDE:
        return s->side == SWT_LEFT_HANDED ? "left" : "right";
    case FILE_NAME:
        return study->capture[s->capture].file;
    default:
        return s->covariate[column - COVARIATES];
    }
}

static swt_status find_column(size_t *column, const swt_study *study, const char *name,
                              swt_error *err)
{
    char list[400] = "";
    size_t used = 0;

    for (*column = 0; *column < COVARIATES + study->n_covariates; ++*column) {
        const char *own = *column < COVARIATES ? column_name[*column]
                                               : study->covariate_name[*column - COVARIATES];
        if (strcmp(own, name) == 0)
            return SWT_OK;
        if (used + 60 < sizeof list)
            used += (size_t)snprintf(list + used, sizeof list - used, "%s%.50s",
                                     *column ? ", " : "", own);
    }
    return swt_fail(err, SWT_EARG, "there is no column '%.60s' to select by; the study has: %s",
                    name, list);
}

static bool number_of(double *out, const char *text)
{
    return swt_parse_double(out, text, strlen(text), '.');
}

static bool meets(const condition *c, const char *text)
{
    double number, wanted;
    bool is_number = number_of(&number, text);

    switch (c->is) {
    case LESS:
        return is_number && number < c->number;
    case AT_MOST:
        return is_number && number <= c->number;
    case MORE:
        return is_number && number > c->number;
    case AT_LEAST:
        return is_number && number >= c->number;
    case EQUAL:
    case UNEQUAL:
        break;
    }
    for (size_t k = 0; k < c->n_values; k++)
        if (strcmp(c->value[k], text) == 0 || (is_number && number_of(&wanted, c->value[k]) &&
                                               !(number < wanted) && !(number > wanted)))
            return c->is == EQUAL;
    return c->is == UNEQUAL;
}

/* The values that the column has among the swings that the earlier conditions have left. */
static swt_status none_left(const swt_study *study, const bool *chosen, const condition *c,
                            size_t column, bool first, swt_error *err)
{
    char values[400] = "";
    size_t used = 0, shown = 0, others = 0;

    for (size_t i = 0; i < study->n_swings; i++) {
        bool seen = false;
        for (size_t j = 0; j < i && !seen; j++)
            seen = chosen[j] && strcmp(cell(study, i, column), cell(study, j, column)) == 0;
        if (!chosen[i] || seen)
            continue;
        if (shown == SHOWN_VALUES || used + 50 > sizeof values) {
            others++;
            continue;
        }
        used += (size_t)snprintf(values + used, sizeof values - used, "%s\"%.30s\"",
                                 shown++ ? ", " : "", cell(study, i, column));
    }
    if (others > 0)
        snprintf(values + used, sizeof values - used, " and %zu more", others);
    return swt_fail(err, SWT_EDATA, "no swing of %s has %.60s %s \"%.60s\"%s; %s values: %s",
                    first ? "the study" : "those that the other conditions leave", c->column,
                    relation_text[c->is], c->value[0], c->n_values > 1 ? "|..." : "",
                    first ? "its" : "their", shown ? values : "none, since it has no swings");
}

swt_status swt_selection_apply(bool *chosen, size_t *n_chosen, const swt_selection *selection,
                               const swt_study *study, swt_error *err)
{
    bool *next = calloc(study->n_swings + 1, sizeof *next);
    swt_status rc = next ? SWT_OK : swt_fail(err, SWT_ENOMEM, "out of memory");

    for (size_t i = 0; i < study->n_swings; i++)
        chosen[i] = true;
    *n_chosen = study->n_swings;
    for (size_t k = 0; rc == SWT_OK && k < selection->n; k++) {
        const condition *c = &selection->condition[k];
        size_t column;
        rc = find_column(&column, study, c->column, err);
        if (rc != SWT_OK)
            break;
        *n_chosen = 0;
        for (size_t i = 0; i < study->n_swings; i++) {
            next[i] = chosen[i] && meets(c, cell(study, i, column));
            *n_chosen += next[i];
        }
        if (*n_chosen == 0)
            rc = none_left(study, chosen, c, column, k == 0, err);
        memcpy(chosen, next, study->n_swings * sizeof *next);
    }
    free(next);
    return rc;
}

char *swt_selection_text(const char *column, const char *value, const char *more)
{
    size_t room = strlen(column) + 2 * strlen(value) + (more ? strlen(more) : 0) + 16;
    char *text = malloc(room), *at;

    if (!text)
        return NULL;
    at = text + snprintf(text, room, "%s = \"", column);
    for (; *value; value++) {
        *at++ = *value;
        if (*value == '"')
            *at++ = '"';
    }
    snprintf(at, room - (size_t)(at - text), "\"%s%s", more ? ", " : "", more ? more : "");
    return text;
}

swt_status swt_selection_choose(bool **chosen, const swt_study *study, const char *text,
                                swt_error *err)
{
    swt_selection *selection = NULL;
    size_t n;
    swt_status rc = SWT_OK;

    *chosen = calloc(study->n_swings + 1, sizeof **chosen);
    if (!*chosen)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; i < study->n_swings; i++)
        (*chosen)[i] = true;
    if (text)
        rc = swt_selection_parse(&selection, text, err);
    if (selection)
        rc = swt_selection_apply(*chosen, &n, selection, study, err);
    swt_selection_free(selection);
    if (rc != SWT_OK) {
        free(*chosen);
        *chosen = NULL;
    }
    return rc;
}
