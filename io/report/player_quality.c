/* How good a player's captures are: what was remarked on, captures with the same remarks together.
 */
#include "io/report/page_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The moments that were not found, since much hangs on them; nothing when all were. */
static void add_absent_events(swt_text *page, const swt_study *study, size_t row)
{
    char reason[200];
    swt_text line = {0};

    for (int e = 0; e < SWT_EVENT_COUNT; e++) {
        swt_verdict v = study->event[e][row].verdict;
        if (v.state == SWT_ABSENT)
            swt_text_add(&line, "%s%s (%s)",
                         line.length ? "; " : "Moments not found: ", swt_event_title((swt_event)e),
                         swt_reason_text(reason, sizeof reason, v));
    }
    if (line.length) {
        swt_text_add(&line, ".");
        swt_html_paragraph(page, NULL, line.bytes ? line.bytes : "");
    }
    swt_text_reset(&line);
}

/* A swing's remarks; stays empty when there are none. */
static void add_remarks(swt_text *page, const swt_study *study, size_t row)
{
    const swt_study_swing *s = &study->swing[row];

    if (s->target_from_stance)
        swt_html_paragraph(page, NULL,
                           "The target line was taken from the toes, since the capture gives "
                           "none: an open or closed stance shifts depth.");
    add_absent_events(page, study, row);
    page_findings(page, study, s->capture, (long)row, SWT_NOTE);
}

/* What captures that are told of together have from .. to. */
typedef struct reach {
    double low, high;
} reach;

static void stretch(reach *r, double value)
{
    r->low = fmin(r->low, value);
    r->high = fmax(r->high, value);
}

/* "577 to 593 frames", "240 frames a second" where all have the same. */
static void add_reach(swt_text *line, const reach *r, int decimals, const char *words)
{
    char low[48], high[48];

    snprintf(low, sizeof low, "%.*f", decimals, r->low);
    snprintf(high, sizeof high, "%.*f", decimals, r->high);
    if (strcmp(low, high) != 0)
        swt_text_add(line, "%s to ", low);
    swt_text_add(line, "%s %s", high, words);
}

static bool same(const swt_text *a, const swt_text *b)
{
    return a->length == b->length && (a->length == 0 || strcmp(a->bytes, b->bytes) == 0);
}

/* The swings from `first` on that share its remarks, under their names. */
static void add_alike(swt_text *page, const swt_study *study, const size_t *row,
                      const swt_text *remarks, bool *told, size_t first, size_t n)
{
    reach rate = {HUGE_VAL, 0}, frames = {HUGE_VAL, 0}, seconds = {HUGE_VAL, 0};
    swt_text names = {0}, sizes = {0};
    char name[600];

    for (size_t k = first; k < n; k++) {
        if (told[k] || !same(&remarks[k], &remarks[first]))
            continue;
        told[k] = true;
        swt_text_add(&names, "%s%s", names.length ? ", " : "",
                     swt_study_swing_name(name, sizeof name, study, row[k]));
        stretch(&rate, study->swing[row[k]].rate_hz);
        stretch(&frames, (double)study->capture[study->swing[row[k]].capture].n_frames);
        if (study->swing[row[k]].rate_hz > 0)
            stretch(&seconds, (double)study->swing[row[k]].n_frames / study->swing[row[k]].rate_hz);
    }
    add_reach(&sizes, &rate, 0, "frames a second, ");
    add_reach(&sizes, &frames, 0, "frames, ");
    add_reach(&sizes, &seconds, 2, "s from the swing's first frame to its last.");
    if (remarks[first].length) {
        swt_html_heading(page, 3, NULL, names.bytes ? names.bytes : "");
        swt_html_paragraph(page, "soft", sizes.bytes ? sizes.bytes : "");
        swt_text_add(page, "%s", remarks[first].bytes);
    } else {
        swt_text_add(&names, ": nothing to remark on.");
        swt_html_paragraph(page, NULL, names.bytes ? names.bytes : "");
        swt_html_paragraph(page, "soft", sizes.bytes ? sizes.bytes : "");
    }
    swt_text_reset(&names);
    swt_text_reset(&sizes);
}

void page_player_quality(swt_text *page, const swt_study *study, const swt_assessment *a,
                         const swt_assessed_player *p)
{
    size_t *row = calloc(p->n_swings + 1, sizeof *row);
    swt_text *remarks = calloc(p->n_swings + 1, sizeof *remarks);
    bool *told = calloc(p->n_swings + 1, sizeof *told);

    if (!row || !remarks || !told) {
        page->failed = true;
        goto done;
    }
    for (size_t k = 0; k < p->n_swings; k++) {
        row[k] = a->swing[p->first + k].swing;
        add_remarks(&remarks[k], study, row[k]);
        page->failed = page->failed || remarks[k].failed;
    }
    swt_html_heading(page, 2, "quality", "How good the captures are");
    for (size_t k = 0; k < p->n_swings && !page->failed; k++)
        if (!told[k])
            add_alike(page, study, row, remarks, told, k, p->n_swings);
done:
    for (size_t k = 0; remarks && k < p->n_swings; k++)
        swt_text_reset(&remarks[k]);
    free(row);
    free(remarks);
    free(told);
}
