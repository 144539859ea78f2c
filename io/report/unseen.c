/* What could not be compared: nothing may sound sure about what was not seen. */
#include "io/report/page_parts.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void page_unseen_sentence(swt_text *out, const swt_assessment *a, const swt_assessed_player *p)
{
    size_t none = a->family.n_members - p->found.n_throughout - p->found.n_in_part;
    char stretch[400];

    swt_text_add(out, " Of the %zu measures %zu could be compared throughout", a->family.n_members,
                 p->found.n_throughout);
    if (p->found.n_in_part > 0)
        swt_text_add(out, "%s%zu in part", none > 0 ? ", " : " and ", p->found.n_in_part);
    if (p->found.n_in_part > 0 &&
        *swt_words_stretch(stretch, sizeof stretch, p->found.phase_unseen))
        swt_text_add(out, " (no curve %s)", stretch);
    if (none > 0)
        swt_text_add(out, " and %zu not at all", none);
    swt_text_add(out, ".");
}

char *page_absent_event(char *out, size_t size, const swt_study *study, const size_t *row, size_t n,
                        const bool phase[SWT_PHASES])
{
    char reason[200];

    out[0] = '\0';
    for (size_t b = 0; b <= SWT_PHASES; b++) {
        swt_event event = swt_phase_boundary[b];
        if (!(b > 0 && phase[b - 1]) && !(b < SWT_PHASES && phase[b]))
            continue;
        for (size_t k = 0; k < n; k++) {
            swt_verdict v = study->event[event][row[k]].verdict;
            if (v.state != SWT_ABSENT)
                continue;
            snprintf(out, size, "%s: %s", swt_event_title(event),
                     swt_reason_text(reason, sizeof reason, v));
            return out;
        }
    }
    return out;
}

/* Why one measure of the family could not be compared throughout; measures with the same words are
 * told together. "" where it could. */
static void explain(char *out, size_t size, const swt_study *study, const swt_assessment *a,
                    const swt_assessed_player *p, size_t compared, const size_t *row)
{
    const swt_compared *c = &a->compared[compared];
    bool some = false, throughout = true, phase[SWT_PHASES];
    unsigned hidden = ~0u;
    swt_verdict worst = swt_usable();
    char reason[280], stretch[400];

    out[0] = '\0';
    for (size_t k = 0; k < p->n_swings; k++) {
        const swt_assessed_swing *s = &a->swing[p->first + k];
        some = some || s->was_compared[compared];
        throughout = throughout && s->was_compared[compared] && s->unseen[compared] == 0;
        hidden &= s->was_compared[compared] ? s->unseen[compared] : ~0u;
        worst = swt_worse(worst, c->is_series ? study->series_verdict[c->index][row[k]]
                                              : study->measure[c->index][row[k]].verdict);
    }
    if (throughout)
        return;
    for (unsigned i = 0; i < SWT_PHASES; i++)
        phase[i] = c->is_series && (hidden >> i & 1u);
    if (!some) {
        /* a curve may be lost to gaps although its series is there: then no reason is known */
        swt_reason_text(reason, sizeof reason, worst.state == SWT_ABSENT ? worst : swt_usable());
        snprintf(out, size, "Not at all%s%s", *reason ? ", since " : "", reason);
    } else if (*swt_words_stretch(stretch, sizeof stretch, phase)) {
        page_absent_event(reason, sizeof reason, study, row, p->n_swings, phase);
        snprintf(out, size, "Not %s%s%s%s", stretch, *reason ? " (" : "", reason,
                 *reason ? ")" : "");
    } else {
        snprintf(out, size, "Not in every swing, or not at every moment");
    }
}

enum { WORDS = 800 };

void page_unseen(swt_text *page, const swt_study *study, const swt_assessment *a,
                 const swt_assessed_player *p)
{
    char(*why)[WORDS] = calloc(a->n_compared + 1, sizeof *why);
    size_t *row = calloc(p->n_swings + 1, sizeof *row);

    if (!why || !row)
        page->failed = true;
    if (page->failed || p->found.certainty == SWT_NOT_COMPARED ||
        p->found.n_throughout == a->family.n_members)
        goto done;
    for (size_t k = 0; k < p->n_swings; k++)
        row[k] = a->swing[p->first + k].swing;
    for (size_t i = 0; i < a->n_compared; i++)
        if (a->compared[i].in_family)
            explain(why[i], WORDS, study, a, p, i, row);
    swt_html_heading(page, 2, "unseen", "What could not be compared");
    swt_text_add(page, "<ul>\n");
    for (size_t i = 0; i < a->n_compared; i++) {
        if (!*why[i])
            continue;
        swt_text_add(page, "<li><strong>");
        swt_html_text(page, why[i]);
        swt_text_add(page, ":</strong> ");
        swt_html_text(page, a->compared[i].title);
        for (size_t j = i + 1; j < a->n_compared; j++)
            if (strcmp(why[i], why[j]) == 0) {
                swt_text_add(page, "; ");
                swt_html_text(page, a->compared[j].title);
                why[j][0] = '\0';
            }
        swt_text_add(page, ".</li>\n");
    }
    swt_text_add(page, "</ul>\n");
done:
    free(why);
    free(row);
}
