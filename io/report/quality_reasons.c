/* Why measures are limited or absent, over the whole study: one row a reason, the widest first. */
#include "io/report/page_parts.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { NAMED = 3 };

/* One state and reason, and where it was met. */
typedef struct reason_row {
    swt_verdict verdict;
    size_t n_swings, n_measures;
    size_t swing[NAMED];                      /* the first ones                 */
    size_t measure[NAMED], of_measure[NAMED]; /* the most met, in how many swings */
} reason_row;

static bool alike(swt_verdict a, swt_verdict b)
{
    return a.state == b.state && a.reason == b.reason && a.subject == b.subject;
}

/* The row of a verdict, added where it is new; NULL: no memory. */
static reason_row *find_row(reason_row **list, size_t *n, swt_verdict v)
{
    reason_row *larger;

    for (size_t i = 0; i < *n; i++)
        if (alike((*list)[i].verdict, v))
            return &(*list)[i];
    larger = realloc(*list, (*n + 1) * sizeof **list);
    if (!larger)
        return NULL;
    *list = larger;
    larger[*n] = (reason_row){.verdict = v};
    return &larger[(*n)++];
}

/* Keeps the measures that a reason was met in most, in that order. */
static void add_measure(reason_row *row, size_t measure, size_t met)
{
    size_t at = row->n_measures < NAMED ? row->n_measures : NAMED;

    if (met == 0)
        return;
    row->n_measures++;
    while (at > 0 && row->of_measure[at - 1] < met) {
        if (at < NAMED) {
            row->measure[at] = row->measure[at - 1];
            row->of_measure[at] = row->of_measure[at - 1];
        }
        at--;
    }
    if (at < NAMED) {
        row->measure[at] = measure;
        row->of_measure[at] = met;
    }
}

static bool collect(reason_row **list, size_t *n, const swt_study *study)
{
    for (size_t m = 0; m < swt_measure_count(); m++)
        for (size_t i = 0; i < study->n_swings; i++) {
            swt_verdict v = study->measure[m][i].verdict;
            if (v.state != SWT_USABLE && !find_row(list, n, v))
                return false;
        }
    for (size_t r = 0; r < *n; r++) {
        reason_row *row = &(*list)[r];
        for (size_t m = 0; m < swt_measure_count(); m++) {
            size_t met = 0;
            for (size_t i = 0; i < study->n_swings; i++)
                met += alike(study->measure[m][i].verdict, row->verdict);
            add_measure(row, m, met);
        }
        for (size_t i = 0; i < study->n_swings; i++) {
            bool any = false;
            for (size_t m = 0; m < swt_measure_count() && !any; m++)
                any = alike(study->measure[m][i].verdict, row->verdict);
            if (any && row->n_swings++ < NAMED)
                row->swing[row->n_swings - 1] = i;
        }
    }
    return true;
}

/* Absent before limited, then by the number of swings. */
static int by_weight(const void *left, const void *right)
{
    const reason_row *a = left, *b = right;

    if (a->verdict.state != b->verdict.state)
        return a->verdict.state == SWT_ABSENT ? -1 : 1;
    if (a->n_swings != b->n_swings)
        return a->n_swings > b->n_swings ? -1 : 1;
    return (int)swt_reason_pack(a->verdict) - (int)swt_reason_pack(b->verdict);
}

static void add_more(swt_text *page, size_t n)
{
    if (n > NAMED)
        swt_text_add(page, " and %zu more", n - NAMED);
}

static void add_row(swt_text *page, const swt_study *study, const reason_row *row)
{
    char text[240];

    swt_text_add(page, "<tr><th scope=\"row\">%s: ", swt_state_name(row->verdict.state));
    swt_reason_text(text, sizeof text, row->verdict);
    swt_html_text(page, *text ? text : "no reason given");
    swt_text_add(page, "</th><td data-v=\"%zu\">", row->n_measures);
    for (size_t k = 0; k < row->n_measures && k < NAMED; k++) {
        swt_text_add(page, k ? "; " : "");
        swt_html_text(page, swt_measure_row(row->measure[k])->title);
        swt_text_add(page, " (in %zu)", row->of_measure[k]);
    }
    add_more(page, row->n_measures);
    swt_text_add(page, "</td><td class=\"n\">%zu of %zu</td><td>", row->n_swings, study->n_swings);
    for (size_t k = 0; k < row->n_swings && k < NAMED; k++) {
        swt_text_add(page, k ? ", " : "");
        swt_html_text(page, swt_study_swing_name(text, sizeof text, study, row->swing[k]));
    }
    add_more(page, row->n_swings);
    swt_text_add(page, "</td></tr>\n");
}

void page_reasons(swt_text *page, const swt_study *study)
{
    static const char *const columns[] = {"State and reason", "Measures", "#In swings", "Such as"};
    reason_row *list = NULL;
    size_t n = 0, n_whole = 0;
    char swings[48], line[200];

    if (!collect(&list, &n, study)) {
        page->failed = true;
        free(list);
        return;
    }
    for (size_t i = 0; i < study->n_swings; i++) {
        bool whole = true;
        for (size_t m = 0; m < swt_measure_count() && whole; m++)
            whole = study->measure[m][i].verdict.state == SWT_USABLE;
        n_whole += whole;
    }
    snprintf(line, sizeof line, "%s of %zu %s all %zu measures usable%s",
             swt_words_count(swings, sizeof swings, n_whole, "swing", "swings"), study->n_swings,
             n_whole == 1 ? "has" : "have", swt_measure_count(),
             n > 0 ? "; where the others lack one, and why:" : ".");
    swt_html_paragraph(page, NULL, line);
    if (n > 0) {
        qsort(list, n, sizeof *list, by_weight);
        swt_html_table_begin(page, "Measures that are absent or limited, by reason", "stack",
                             columns, sizeof columns / sizeof *columns);
        for (size_t i = 0; i < n; i++)
            add_row(page, study, &list[i]);
        swt_html_table_end(page);
    }
    free(list);
}
