/* A player over sessions: what changed by more than noise, and what did not. */
#include "comparison/change.h"
#include "comparison/variance.h"
#include "io/report/page_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define CONFIDENCE 0.95

static const swt_study_swing *first_of(const swt_study *study, const swt_assessment *a,
                                       const swt_assessed_player *p)
{
    return &study->swing[a->swing[p->first].swing];
}

/* Sets of one player with the same club and shot, in another session. */
static bool same_kind(const swt_study *study, const swt_assessment *a, const swt_assessed_player *p,
                      const swt_assessed_player *q)
{
    const swt_study_swing *x = first_of(study, a, p), *y = first_of(study, a, q);

    return strcmp(p->code, q->code) == 0 && strcmp(x->club, y->club) == 0 &&
           strcmp(x->shot, y->shot) == 0;
}

size_t page_sessions(size_t *set, const swt_study *study, const swt_assessment *a, size_t first)
{
    size_t n = 0;

    for (size_t i = 0; i < a->n_players; i++)
        if (same_kind(study, a, &a->player[first], &a->player[i])) {
            if (n == 0 && i != first)
                return 0; /* an earlier set tells of them */
            set[n++] = i;
        }
    return n > 1 ? n : 0;
}

static size_t values_of(double *value, const swt_study *study, const swt_assessment *a,
                        const swt_assessed_player *p, size_t row)
{
    for (size_t k = 0; k < p->n_swings; k++) {
        const swt_measurement *m = &study->measure[row][a->swing[p->first + k].swing];
        value[k] = m->verdict.state == SWT_ABSENT ? nan("") : m->value;
    }
    return p->n_swings;
}

/* Standard error of measurement: spread of a player's swings within a session, over this player's
 * sessions and the reference group's players. NaN where nobody has two swings. */
static double find_sem(const swt_study *study, const swt_assessment *a, const size_t *set, size_t n,
                       size_t row, double *value, int *number)
{
    swt_variance v;
    size_t k = 0;

    for (size_t i = 0; i < n; i++) {
        size_t some = values_of(value + k, study, a, &a->player[set[i]], row);
        for (size_t j = 0; j < some; j++)
            number[k++] = (int)i;
    }
    for (size_t i = 0; i < a->n_reference; i++) {
        const swt_measurement *m = &study->measure[row][a->reference[i]];
        value[k] = m->verdict.state == SWT_ABSENT ? nan("") : m->value;
        number[k++] = (int)n + a->reference_player[i];
    }
    return swt_variance_split(&v, value, number, k, NULL) == SWT_OK ? v.sem : nan("");
}

/* A measure's way from the first session to the last. */
typedef struct measure_change {
    size_t row;
    swt_change change;
} measure_change;

/* What moved most beyond noise comes first. */
static int by_size(const void *left, const void *right)
{
    const measure_change *a = left, *b = right;
    double x = fabs(a->change.difference) / a->change.detectable;
    double y = fabs(b->change.difference) / b->change.detectable;

    if (x != y)
        return x > y ? -1 : 1;
    return (a->row > b->row) - (a->row < b->row);
}

static swt_status find_changes(measure_change *change, size_t *n_changes, const swt_study *study,
                               const swt_assessment *a, const size_t *set, size_t n, swt_error *err)
{
    const swt_assessed_player *before = &a->player[set[0]], *after = &a->player[set[n - 1]];
    size_t room = a->n_reference;
    double *value, *x, *y;
    int *number;
    swt_status rc = SWT_OK;

    for (size_t i = 0; i < n; i++)
        room += a->player[set[i]].n_swings;
    value = calloc(room + 1, sizeof *value);
    x = calloc(room + 1, sizeof *x);
    y = calloc(room + 1, sizeof *y);
    number = calloc(room + 1, sizeof *number);
    *n_changes = 0;
    if (!value || !x || !y || !number)
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t row = 0; rc == SWT_OK && row < swt_measure_count(); row++) {
        double sem = find_sem(study, a, set, n, row, value, number);
        measure_change *c = &change[*n_changes];
        if (!(sem > 0))
            continue;
        c->row = row;
        rc = swt_change_between(&c->change, x, values_of(x, study, a, before, row), y,
                                values_of(y, study, a, after, row), sem, CONFIDENCE, err);
        *n_changes += rc == SWT_OK && c->change.verdict != SWT_CHANGE_UNKNOWN;
    }
    free(value);
    free(x);
    free(y);
    free(number);
    if (rc == SWT_OK)
        qsort(change, *n_changes, sizeof *change, by_size);
    return rc;
}

static void add_number(swt_text *page, swt_quantity quantity, double si, bool with_sign)
{
    char text[48];

    swt_words_number(text, sizeof text, quantity, si);
    swt_text_add(page, "<td class=\"n\">%s%s</td>",
                 with_sign && si > 0 && text[0] != '-' ? "+" : "", text);
}

/* Is the change towards the group's centre? "" where the group has none. */
static const char *way(const swt_assessment *a, const measure_change *c)
{
    long at = swt_compared_find(a, false, c->row);
    double centre;

    if (at < 0 || a->compared[at].corridor->state == SWT_CORRIDOR_REFUSED ||
        c->change.verdict == SWT_CHANGE_NOT_DETECTABLE)
        return "";
    centre = a->compared[at].corridor->centre[0];
    return fabs(c->change.after - centre) < fabs(c->change.before - centre)
               ? "nearer to the group's centre"
               : "farther from the group's centre";
}

static void add_changes(swt_text *page, const swt_study *study, const swt_assessment *a,
                        const size_t *set, const measure_change *change, size_t n_changes, size_t n)
{
    char before[96], after[96];
    const char *columns[] = {"Measure",    "Unit",     before,
                             after,        "#Change",  "#Smallest to be seen",
                             "What it is", "Which way"};

    (void)n_changes;
    snprintf(before, sizeof before, "#Session %s", first_of(study, a, &a->player[set[0]])->session);
    snprintf(after, sizeof after, "#Session %s",
             first_of(study, a, &a->player[set[n - 1]])->session);
    swt_html_table_begin(page, "First session to last, the clearest change first", "wide", columns,
                         sizeof columns / sizeof *columns);
    for (size_t i = 0; i < n_changes; i++) {
        const swt_measure *m = swt_measure_row(change[i].row);
        const swt_change *c = &change[i].change;
        bool seen = c->verdict != SWT_CHANGE_NOT_DETECTABLE;
        swt_text_add(page, "<tr%s><th scope=\"row\"><a href=\"#def-%s\">",
                     seen ? " class=\"out\"" : "", m->name);
        swt_html_text(page, m->title);
        swt_text_add(page, "</a></th><td>%s</td>",
                     m->quantity == SWT_FRACTION ? "" : swt_quantity_unit(m->quantity)->shown);
        add_number(page, m->quantity, c->before, false);
        add_number(page, m->quantity, c->after, false);
        add_number(page, m->quantity, c->difference, true);
        add_number(page, m->quantity, c->detectable, false);
        swt_text_add(page, "<td>%s</td><td>%s</td></tr>\n",
                     !seen                         ? "no more than noise"
                     : c->verdict == SWT_CHANGE_UP ? m->more
                                                   : m->less,
                     way(a, &change[i]));
    }
    swt_html_table_end(page);
}

static void add_sessions(swt_text *page, const swt_study *study, const swt_assessment *a,
                         const size_t *set, size_t n, const char *const *file_name)
{
    static const char *const columns[] = {"Session", "#Swings", "What departs first"};

    swt_html_table_begin(page, "The sessions", "stack", columns, 3);
    for (size_t i = 0; i < n; i++) {
        const swt_assessed_player *p = &a->player[set[i]];
        swt_text words = {0};
        swt_report_lead_short(&words, a, p);
        swt_text_add(page, "<tr><th scope=\"row\">");
        swt_html_link(page, file_name[set[i]], first_of(study, a, p)->session);
        swt_text_add(page, "</th><td class=\"n\">%zu</td><td>", p->n_swings);
        swt_html_text(page, words.bytes ? words.bytes : "");
        swt_text_add(page, "</td></tr>\n");
        swt_text_reset(&words);
    }
    swt_html_table_end(page);
}

static void add_lead(swt_text *page, const swt_study *study, const swt_assessment *a,
                     const size_t *set, size_t n, const measure_change *change, size_t n_changes)
{
    size_t seen = 0;
    char text[48];
    swt_text line = {0};

    for (size_t i = 0; i < n_changes; i++)
        seen += change[i].change.verdict != SWT_CHANGE_NOT_DETECTABLE;
    swt_text_add(&line,
                 "%zu of %zu measures changed from session \"%s\" to session \"%s\" by more than "
                 "the noise of single swings explains",
                 seen, n_changes, first_of(study, a, &a->player[set[0]])->session,
                 first_of(study, a, &a->player[set[n - 1]])->session);
    if (seen > 0) {
        const swt_measure *m = swt_measure_row(change[0].row);
        swt_text_add(&line, "; most clearly %s, by %s (%s)", m->title,
                     swt_words_value(text, sizeof text, m->quantity, change[0].change.difference),
                     change[0].change.verdict == SWT_CHANGE_UP ? m->more : m->less);
    }
    swt_text_add(&line, ".");
    swt_html_paragraph(page, "lead", line.bytes ? line.bytes : "");
    swt_text_reset(&line);
    swt_text_add(&line,
                 "Of %zu measures that did not change at all about %.0f would be named by chance "
                 "(%.0f %% each). Noise is the spread of swings within a session, of this player "
                 "and of the reference group. What another day's marker placement does to a "
                 "measure is not in it unless the sheet holds sessions of other days, so a small "
                 "change, even a named one, may be the markers.",
                 n_changes, (1 - CONFIDENCE) * (double)n_changes, 100 * (1 - CONFIDENCE));
    swt_html_paragraph(page, NULL, line.bytes ? line.bytes : "");
    swt_text_reset(&line);
}

swt_status page_progress(swt_text *page, const swt_study *study, const swt_assessment *a,
                         const size_t *set, size_t n, const char *const *file_name,
                         const swt_report_options *options, swt_error *err)
{
    measure_change *change = calloc(swt_measure_count() + 1, sizeof *change);
    const swt_study_swing *first = first_of(study, a, &a->player[set[0]]);
    size_t n_changes = 0;
    char title[400];
    swt_status rc;

    if (!change)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    rc = find_changes(change, &n_changes, study, a, set, n, err);
    if (rc == SWT_OK) {
        snprintf(title, sizeof title, "Player %s over sessions%s%s%s%s", first->player,
                 *first->club ? ", " : "", first->club, *first->shot ? ", " : "", first->shot);
        swt_html_begin(page, title);
        swt_text_add(page, "<p><a href=\"index.html\">All players</a></p>\n");
        swt_html_heading(page, 1, NULL, title);
        add_lead(page, study, a, set, n, change, n_changes);
        swt_html_heading(page, 2, "sessions", "Session by session");
        add_sessions(page, study, a, set, n, file_name);
        swt_html_heading(page, 2, "changes", "What changed");
        add_changes(page, study, a, set, change, n_changes, n);
        swt_html_paragraph(page, "soft",
                           "Smallest to be seen: the difference of two session means that noise "
                           "alone exceeds in 5 % of cases, 1.96 SEM sqrt(1/n1 + 1/n2) (after Weir "
                           "2005, J Strength Cond Res 19:231). Nearer to the group's centre is no "
                           "judgement: a swing may be good elsewhere.");
        page_cautions(page, a);
        page_definitions(page, a);
        page_provenance(page, study, a, options);
        swt_html_end(page);
    }
    free(change);
    return rc;
}
