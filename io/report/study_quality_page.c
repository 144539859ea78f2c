/* Which captures failed or are limited, and why: what is common first, then capture by capture. */
#include "io/report/page_parts.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { FILES_NAMED = 4 };

/* As in what the commands print: of a swing one kind by its code, of a whole capture by its words,
 * which are of many things under one code.
 */
static int compare_kinds(const swt_study_finding *a, const swt_study_finding *b)
{
    int order = strcmp(a->code, b->code);

    return order == 0 && a->swing < 0 && b->swing < 0 ? strcmp(a->text, b->text) : order;
}

/* Serious first; then what belongs together, by capture. */
static int by_kind(const void *left, const void *right)
{
    const swt_study_finding *a = *(const swt_study_finding *const *)left;
    const swt_study_finding *b = *(const swt_study_finding *const *)right;
    int order;

    if (a->severity != b->severity)
        return a->severity > b->severity ? -1 : 1;
    order = compare_kinds(a, b);
    if (order != 0)
        return order;
    if (a->capture != b->capture)
        return a->capture < b->capture ? -1 : 1;
    return (a > b) - (a < b);
}

/* "In 57 captures: a.c3d, b.c3d, c.c3d, d.c3d and 53 more. ..." for n findings of one kind. */
static void add_kind(swt_text *page, const swt_study *study, const swt_study_finding *const *kind,
                     size_t n)
{
    size_t n_captures = 0, named = 0, last = (size_t)-1;
    bool differ = false;
    char captures[48];

    for (size_t i = 0; i < n; i++) {
        n_captures += i == 0 || kind[i]->capture != kind[i - 1]->capture;
        differ = differ || strcmp(kind[i]->text, kind[0]->text) != 0;
    }
    swt_text_add(page, "<li><strong>In %s:</strong> ",
                 swt_words_count(captures, sizeof captures, n_captures, "capture", "captures"));
    swt_html_text(page, kind[0]->text);
    swt_text_add(page, " <span class=\"soft\">(");
    for (size_t i = 0; i < n && named < FILES_NAMED; i++) {
        if (kind[i]->capture == last)
            continue;
        last = kind[i]->capture;
        swt_text_add(page, named++ ? ", " : "");
        swt_html_text(page, study->capture[last].file);
    }
    if (n_captures > named)
        swt_text_add(page, " and %zu more", n_captures - named);
    swt_text_add(page, "%s)</span></li>\n",
                 differ ? "; the text is the first capture's, the others' differ in detail" : "");
}

static void add_kinds(swt_text *page, const swt_study *study)
{
    static const char *const heading[] = {
        "Notes", "Cautions: these limit some measures",
        "Serious: something is wrong with the capture or its map"};
    const swt_study_finding **order = calloc(study->n_findings + 1, sizeof *order);
    size_t n = study->n_findings;

    if (!order) {
        page->failed = true;
        return;
    }
    for (size_t i = 0; i < n; i++)
        order[i] = &study->finding[i];
    qsort(order, n, sizeof *order, by_kind);
    for (size_t i = 0, next; i < n; i = next) {
        swt_severity severity = order[i]->severity;
        bool opens = i == 0 || order[i - 1]->severity != severity;
        for (next = i + 1; next < n && order[next]->severity == severity &&
                           compare_kinds(order[next], order[i]) == 0;)
            next++;
        if (opens) {
            swt_html_heading(page, 3, NULL, heading[severity <= SWT_SERIOUS ? severity : 0]);
            swt_text_add(page, "<ul>\n");
        }
        add_kind(page, study, order + i, next - i);
        if (next == n || order[next]->severity != severity)
            swt_text_add(page, "</ul>\n");
    }
    free(order);
    if (n == 0)
        swt_html_paragraph(page, NULL, "Nothing to remark on any capture.");
}

/* What is said of one capture. */
static void add_remarks(swt_text *page, const swt_study *study, size_t capture)
{
    if (study->capture[capture].status != SWT_OK)
        swt_html_paragraph(page, NULL, study->capture[capture].message);
    page_findings(page, study, capture, EVERY_SWING, SWT_CAUTION);
}

/* Neighbours of which the same is said, under their names. */
static void add_run(swt_text *page, swt_text *names, swt_text *remarks)
{
    if (names->length) {
        swt_html_heading(page, 3, NULL, names->bytes);
        swt_text_add(page, "%s", remarks->bytes ? remarks->bytes : "");
    }
    page->failed = page->failed || names->failed || remarks->failed;
    swt_text_reset(names);
    swt_text_reset(remarks);
}

/* Captures that failed, or with more than notes. */
static void add_captures(swt_text *page, const swt_study *study)
{
    bool *worth = calloc(study->n_captures + 1, sizeof *worth);
    swt_text names = {0}, remarks = {0}, own = {0};
    size_t n = 0;

    if (!worth) {
        page->failed = true;
        return;
    }
    for (size_t i = 0; i < study->n_findings; i++)
        if (study->finding[i].severity > SWT_NOTE)
            worth[study->finding[i].capture] = true;
    for (size_t i = 0; i < study->n_captures; i++) {
        const swt_study_capture *c = &study->capture[i];
        if (c->status == SWT_OK && !worth[i])
            continue;
        n++;
        add_remarks(&own, study, i);
        if (own.failed || !own.bytes || !remarks.bytes || strcmp(own.bytes, remarks.bytes) != 0) {
            add_run(page, &names, &remarks);
            remarks = own;
            own = (swt_text){0};
        }
        swt_text_reset(&own);
        swt_text_add(&names, "%s%s", names.length ? ", " : "", c->file);
    }
    add_run(page, &names, &remarks);
    if (n == 0)
        swt_html_paragraph(page, NULL, "No capture failed, and none has more than notes.");
    free(worth);
}

/* Captures that gave a swing, and a serious finding. */
static size_t count_doubtful(swt_text *page, const swt_study *study)
{
    bool *seen = calloc(study->n_captures + 1, sizeof *seen);
    size_t n = 0;

    if (!seen)
        page->failed = true;
    for (size_t i = 0; seen && i < study->n_findings; i++) {
        const swt_study_finding *f = &study->finding[i];
        if (f->severity != SWT_SERIOUS || seen[f->capture])
            continue;
        seen[f->capture] = true;
        n += study->capture[f->capture].status == SWT_OK;
    }
    free(seen);
    return n;
}

void page_study_quality(swt_text *page, const swt_study *study, const swt_assessment *a,
                        const swt_report_options *options)
{
    size_t n_failed = 0, n_doubtful = count_doubtful(page, study);
    char captures[48], line[256];

    for (size_t i = 0; i < study->n_captures; i++)
        n_failed += study->capture[i].status != SWT_OK;
    swt_html_begin(page, "Quality of the captures");
    swt_text_add(page, "<p class=\"links\"><a href=\"index.html\">All players</a></p>\n");
    swt_html_heading(page, 1, NULL, "Quality of the captures");
    swt_words_count(captures, sizeof captures, study->n_captures, "capture", "captures");
    if (n_failed == 0 && n_doubtful == 0)
        snprintf(line, sizeof line, "%s: every one gave a swing that can be used.", captures);
    else if (n_failed == 0)
        snprintf(line, sizeof line, "%s: every one gave a swing, %zu of them in serious doubt.",
                 captures, n_doubtful);
    else if (n_doubtful == 0)
        snprintf(line, sizeof line, "%s, %zu of them without a swing that can be used.", captures,
                 n_failed);
    else
        snprintf(line, sizeof line,
                 "%s, %zu of them without a swing that can be used, %zu in serious doubt.",
                 captures, n_failed, n_doubtful);
    swt_html_paragraph(page, "lead", line);
    swt_html_heading(page, 2, "findings", "What was found");
    add_kinds(page, study);
    swt_html_heading(page, 2, "captures", "Captures to look at");
    add_captures(page, study);
    swt_html_heading(page, 2, "reasons", "What could not be measured, or not well");
    page_reasons(page, study);
    page_provenance(page, study, a, options);
    swt_html_end(page);
}
