/* The index: the group, and every assessed player at a glance. */
#include "io/report/page_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

typedef struct entry {
    const swt_assessed_player *player;
    size_t number;
} entry;

/* Earliest departure first, the larger one first where they begin together; then those of whom
 * less is certain; the clean ones last. */
static int by_departure(const void *left, const void *right)
{
    const swt_assessed_player *a = ((const entry *)left)->player;
    const swt_assessed_player *b = ((const entry *)right)->player;
    double ta = HUGE_VAL, tb = HUGE_VAL, ra = 0, rb = 0;

    if (a->found.certainty != b->found.certainty)
        return (int)b->found.certainty - (int)a->found.certainty;
    if (a->found.n_departures) {
        ta = floor(2 * a->found.departure->position);
        ra = a->found.departure->over.peak_ratio;
    }
    if (b->found.n_departures) {
        tb = floor(2 * b->found.departure->position);
        rb = b->found.departure->over.peak_ratio;
    }
    if (ta != tb)
        return ta < tb ? -1 : 1;
    if (ra != rb)
        return ra > rb ? -1 : 1;
    return ((const entry *)left)->number < ((const entry *)right)->number ? -1 : 1;
}

static const char *certainty_words(swt_certainty certainty)
{
    switch (certainty) {
    case SWT_STANDS:
        return "stands after allowing for all measures";
    case SWT_MOST_SWINGS:
        return "a hint: can be chance among so many measures";
    case SWT_SOME_SWINGS:
        return "in some swings only";
    case SWT_NOT_COMPARED:
        return "no comparison";
    case SWT_NOTHING_DEPARTS:
        break;
    }
    return "";
}

/* The departure with the most corridor half-widths among those in most swings that matter. */
static void add_largest(swt_text *page, const swt_assessment *a, const swt_assessed_player *p)
{
    const swt_player_departure *most = &p->found.departure[0];
    swt_text words = {0};

    for (size_t i = 1; i < p->found.n_chain; i++)
        if (p->found.departure[i].over.peak_ratio > most->over.peak_ratio)
            most = &p->found.departure[i];
    page_clause(&words, a, most);
    swt_text_add(page, "</td><td data-v=\"%.4f\">%.1f half-widths: ", most->over.peak_ratio,
                 most->over.peak_ratio);
    swt_html_text(page, words.bytes ? words.bytes : "");
    swt_text_add(page, "</td>");
    swt_text_reset(&words);
}

static void add_player(swt_text *page, const swt_study *study, const swt_assessment *a,
                       const swt_assessed_player *p, const char *file_name)
{
    swt_text words = {0};
    char text[200] = "";

    swt_report_lead_short(&words, a, p);
    swt_text_add(page, "<tr><th scope=\"row\">");
    swt_html_link(page, file_name, p->name);
    swt_text_add(page, "</th><td>");
    swt_html_text(page, words.bytes ? words.bytes : "");
    swt_text_reset(&words);
    if (page_serious(NULL, study, a, p) > 0)
        swt_text_add(page, " <strong>(capture in doubt)</strong>");
    swt_text_add(page, "</td>");
    if (p->found.certainty > SWT_NOT_COMPARED) {
        const swt_player_departure *d = &p->found.departure[0];
        swt_text_add(page, "<td data-v=\"%.4f\">", d->position);
        if (isfinite(d->over.start_s) && d->over.start_s < 0.005)
            swt_html_text(page, "at takeaway");
        else if (isfinite(d->over.start_s))
            swt_text_add(page, "%.2f s, %s", d->over.start_s,
                         swt_words_moment(text, sizeof text, p->event_s, d->over.start_s));
        else
            swt_html_text(page, swt_words_phase(text, sizeof text, d->position));
        add_largest(page, a, p);
        swt_text_add(page, "<td data-v=\"%.4f\">%s</td><td>%s</td></tr>\n",
                     (double)d->over.n_departing / (double)d->over.n_swings,
                     swt_words_swings(text, sizeof text, d->over.n_departing, d->over.n_swings),
                     certainty_words(p->found.certainty));
    } else {
        swt_text_add(page, "<td></td><td></td><td>%zu %s</td><td>%s</td></tr>\n", p->n_swings,
                     p->n_swings == 1 ? "swing" : "swings", certainty_words(p->found.certainty));
    }
}

/* "; 2 with a hint"; nothing where there is none. */
static void add_kind(swt_text *line, size_t n, const char *words)
{
    size_t length = line->length;

    if (n > 0)
        swt_text_add(line, "%s%zu %s", line->bytes[length - 1] == ':' ? " " : "; ", n, words);
}

/* Without a group there is nothing to say but whose swings there are. */
static void add_alone(swt_text *page, const swt_study *study, const swt_assessment *a,
                      const page_links *links)
{
    static const char *const columns[] = {"Player", "Swings"};
    char text[64];

    swt_html_table_begin(page, "Players", "stack", columns, sizeof columns / sizeof *columns);
    for (size_t i = 0; i < a->n_players; i++) {
        const swt_assessed_player *p = &a->player[i];
        swt_text_add(page, "<tr><th scope=\"row\">");
        swt_html_link(page, links->player[i], p->name);
        swt_text_add(page, "</th><td data-v=\"%zu\">%s%s</td></tr>\n", p->n_swings,
                     swt_words_count(text, sizeof text, p->n_swings, "swing", "swings"),
                     page_serious(NULL, study, a, p) > 0 ? " <strong>(capture in doubt)</strong>"
                                                         : "");
    }
    swt_html_table_end(page);
}

static void add_lead(swt_text *page, const swt_study *study, const swt_assessment *a)
{
    size_t n[SWT_STANDS + 1] = {0}, n_part = 0, n_doubtful = 0;
    swt_text line = {0};
    char count[64];

    for (size_t i = 0; i < a->n_players; i++) {
        n[a->player[i].found.certainty]++;
        n_doubtful += page_serious(NULL, study, a, &a->player[i]) > 0;
    }
    for (size_t i = 0; i < a->n_players; i++)
        n_part += a->player[i].found.certainty == SWT_NOTHING_DEPARTS &&
                  a->player[i].found.n_throughout < a->family.n_members;
    swt_words_count(count, sizeof count, a->n_players, "set of swings", "sets of swings");
    if (!a->options.group) {
        swt_text_add(&line, "%s, with no reference group to compare with", count);
    } else {
        swt_text_add(&line, "%s against the group \"%s\"%s", count, a->options.group,
                     a->n_players > 0 ? ":" : "");
        add_kind(&line, n[SWT_STANDS], "with a departure that stands");
        add_kind(&line, n[SWT_MOST_SWINGS], "with a hint, which may be chance");
        add_kind(&line, n[SWT_SOME_SWINGS] + n[SWT_NOTHING_DEPARTS],
                 "with nothing of note in most swings");
        if (n_part > 0)
            swt_text_add(&line, " (in %zu of these not all could be compared)", n_part);
        add_kind(&line, n[SWT_NOT_COMPARED], "not compared");
    }
    swt_text_add(&line, ".");
    if (n_doubtful > 0)
        swt_text_add(&line, " The captures of %zu %s in doubt: settle that first.", n_doubtful,
                     n_doubtful == 1 ? "set are" : "sets are");
    swt_html_paragraph(page, "lead", line.bytes ? line.bytes : "");
    swt_text_reset(&line);
}

static void add_failures(swt_text *page, const swt_study *study)
{
    static const char *const columns[] = {"Capture", "Why it gave no swing"};
    size_t n = 0;

    for (size_t i = 0; i < study->n_captures; i++)
        n += study->capture[i].status != SWT_OK;
    swt_html_heading(page, 2, "failed", "Captures that gave no swing");
    if (n == 0) {
        swt_html_paragraph(page, NULL, "None: every capture of the sheet gave a swing.");
        return;
    }
    swt_html_table_begin(page, "Captures that gave no swing", "stack", columns, 2);
    for (size_t i = 0; i < study->n_captures; i++) {
        if (study->capture[i].status == SWT_OK)
            continue;
        swt_text_add(page, "<tr><th scope=\"row\">");
        swt_html_text(page, study->capture[i].file);
        swt_text_add(page, "</th><td>");
        swt_html_text(page, study->capture[i].message);
        swt_text_add(page, "</td></tr>\n");
    }
    swt_html_table_end(page);
}

static void add_progress(swt_text *page, const swt_progress *progress)
{
    char slug[96], href[112];

    if (!progress)
        return;
    swt_html_heading(page, 2, "progress", "Over sessions");
    for (size_t i = 0; i < progress->n_sets; i++) {
        snprintf(href, sizeof href, "%s.html",
                 page_progress_slug(slug, sizeof slug, &progress->set[i], i));
        swt_text_add(page, "<p>");
        swt_html_link(page, href, progress->set[i].name);
        swt_text_add(page, ": what changed from session to session</p>\n");
    }
}

void page_index(swt_text *page, const swt_study *study, const swt_assessment *a,
                const page_links *links, const swt_report_options *options)
{
    static const char *const columns[] = {"Player",  "First departure", "When",
                                          "Largest", "How often",       "How sure"};
    entry *order = calloc(a->n_players + 1, sizeof *order);
    const char *title;

    if (!order) {
        page->failed = true;
        return;
    }
    for (size_t i = 0; i < a->n_players; i++)
        order[i] = (entry){&a->player[i], i};
    qsort(order, a->n_players, sizeof *order, by_departure);

    title = a->options.group ? "Swings against their group" : "Swings";
    swt_html_begin(page, title);
    swt_html_heading(page, 1, NULL, title);
    add_lead(page, study, a);
    swt_html_heading(page, 2, "players",
                     a->options.group ? "Who departs first, and where" : "Whose swings there are");
    if (a->n_players == 0) {
        swt_html_paragraph(page, NULL,
                           "All swings of the study belong to the reference group; there is nobody "
                           "to compare with it.");
    } else if (!a->options.group) {
        add_alone(page, study, a, links);
    } else {
        swt_html_table_begin(page, "Assessed players, earliest departure first", "stack", columns,
                             sizeof columns / sizeof *columns);
        for (size_t i = 0; i < a->n_players; i++)
            add_player(page, study, a, order[i].player, links->player[order[i].number]);
        swt_html_table_end(page);
        swt_html_paragraph(page, "soft",
                           "Largest: the distance from the group's centre over the corridor's "
                           "half-width; 1 is the edge. How sure: what \"stands\" means is said of "
                           "the reference group, below.");
    }
    free(order);
    add_progress(page, links->progress);
    swt_html_heading(page, 2, "group", "The reference group");
    page_group_words(page, a);
    if (a->n_reference > 0)
        swt_text_add(page, "<p><a href=\"group.html\">Who is in the group, its corridor, how its "
                           "players differ</a></p>\n");
    add_failures(page, study);
    swt_text_add(page, "<p><a href=\"study-quality.html\">Quality of all captures</a></p>\n");
    page_cautions(page, a);
    page_provenance(page, study, a, options);
    swt_html_end(page);
}
