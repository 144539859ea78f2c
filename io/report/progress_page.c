/* A player over sessions: what changed by more than noise, and what did not. */
#include "io/report/page_parts.h"
#include "io/report/progress.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { DRAWN = 4 }; /* measures with a figure: those that changed most clearly */

/* One measure from the block that all are held against to the last. */
typedef struct measure_change {
    size_t measure; /* of the progress */
    const swt_progress_step *before, *after;
} measure_change;

static double clearness(const measure_change *c)
{
    return fabs(c->after->since_from.difference) / c->after->since_from.detectable;
}

static int by_clearness(const void *left, const void *right)
{
    const measure_change *a = left, *b = right;
    double x = clearness(a), y = clearness(b);

    if (x != y)
        return x > y ? -1 : 1;
    return (a->measure > b->measure) - (a->measure < b->measure);
}

static bool stands(const swt_progress *progress, const measure_change *c)
{
    return c->after->p_all <= 1 - progress->options.confidence;
}

static size_t find_changes(measure_change *change, const swt_progress *progress,
                           const swt_progress_set *set)
{
    size_t n = 0;

    for (size_t m = 0; m < progress->n_measures; m++) {
        change[n] = (measure_change){m, swt_progress_at(progress, set, set->from, m),
                                     swt_progress_at(progress, set, set->n_blocks - 1, m)};
        n += change[n].after->since_from.verdict != SWT_CHANGE_UNKNOWN;
    }
    qsort(change, n, sizeof *change, by_clearness);
    return n;
}

/* The page of the set of swings that holds this row; NULL: it is not assessed. */
static const swt_assessed_player *assessed(const swt_assessment *a, size_t row)
{
    for (size_t i = 0; i < a->n_players; i++)
        for (size_t k = 0; k < a->player[i].n_swings; k++)
            if (a->swing[a->player[i].first + k].swing == row)
                return &a->player[i];
    return NULL;
}

static void add_sessions(swt_text *page, const swt_assessment *a, const swt_progress_set *set,
                         const page_links *links)
{
    static const char *const columns[] = {"Session", "Swings", "What departs first"};

    swt_html_table_begin(page, "The sessions", "stack", columns, 3);
    for (size_t b = 0; b < set->n_blocks; b++) {
        const swt_assessed_player *p = assessed(a, set->block[b].swing[0]);
        swt_text words = {0};
        char swings[48];
        swt_text_add(page, "<tr><th scope=\"row\">");
        if (p) {
            swt_html_link(page, links->player[p - a->player], set->block[b].name);
            swt_report_lead_short(&words, a, p);
        } else {
            swt_html_text(page, set->block[b].name);
            swt_text_add(&words, "not assessed");
        }
        swt_text_add(
            page, "</th><td>%s</td><td>",
            swt_words_count(swings, sizeof swings, set->block[b].n_swings, "swing", "swings"));
        swt_html_text(page, words.bytes ? words.bytes : "");
        swt_text_add(page, "</td></tr>\n");
        swt_text_reset(&words);
    }
    swt_html_table_end(page);
}

/* The departure of the same measure to the same side that most swings have; NULL: none. */
static const swt_player_departure *same_departure(const swt_assessed_player *p,
                                                  const swt_player_departure *d)
{
    const swt_player_departure *same = NULL;

    for (size_t i = 0; i < p->found.n_departures; i++) {
        const swt_player_departure *other = &p->found.departure[i];
        if (other->over.measure == d->over.measure && other->over.direction == d->over.direction &&
            (!same || other->over.n_departing > same->over.n_departing))
            same = other;
    }
    return same;
}

/* What became of that which departed first; nothing where it cannot be told. */
static void add_first_departure(swt_text *line, const swt_assessment *a,
                                const swt_progress_set *set)
{
    const swt_progress_block *from = &set->block[set->from], *last = &set->block[set->n_blocks - 1];
    const swt_assessed_player *before = assessed(a, from->swing[0]);
    const swt_assessed_player *after = assessed(a, last->swing[0]);
    const swt_player_departure *first, *now;
    const swt_compared *c;
    char amount[48], swings[48];

    if (!before || !after || before->found.certainty < SWT_MOST_SWINGS ||
        after->found.certainty == SWT_NOT_COMPARED)
        return;
    first = &before->found.departure[0];
    c = &a->compared[first->over.measure];
    for (size_t k = 0; k < after->n_swings; k++) {
        const swt_assessed_swing *s = &a->swing[after->first + k];
        if (!s->was_compared[first->over.measure] || s->unseen[first->over.measure] != 0)
            return;
    }
    now = same_departure(after, first);
    swt_text_add(line, " What departs first in session %s (", from->name);
    page_clause(line, a, first);
    if (c->is_series)
        swt_text_add(
            line, ", by up to %s",
            swt_words_amount(amount, sizeof amount, c->quantity, first->over.largest_excess));
    swt_text_add(
        line, ", %s) ",
        swt_words_swings(swings, sizeof swings, first->over.n_departing, first->over.n_swings));
    if (!now)
        swt_text_add(line, "stays inside the group's corridor in every swing of session %s.",
                     last->name);
    else
        swt_text_add(
            line, "is still seen in session %s%s: beyond the edge by up to %s, %s.", last->name,
            now->matters ? "" : ", but too small to note",
            swt_words_amount(amount, sizeof amount, c->quantity, now->over.largest_excess),
            swt_words_swings(swings, sizeof swings, now->over.n_departing, now->over.n_swings));
}

static void add_lead(swt_text *page, const swt_assessment *a, const swt_progress *progress,
                     const swt_progress_set *set, const measure_change *change, size_t n)
{
    size_t n_standing = 0;
    char text[48];
    swt_text line = {0};

    for (size_t i = 0; i < n; i++)
        n_standing += stands(progress, &change[i]);
    swt_text_add(&line,
                 "%zu of %zu measures changed from session %s to session %s by more than "
                 "the noise of single swings explains, after allowing for all of them",
                 n_standing, n, set->block[set->from].name, set->block[set->n_blocks - 1].name);
    if (n_standing > 0) {
        const swt_measure *m = swt_measure_row(progress->measure[change[0].measure]);
        const swt_change *c = &change[0].after->since_from;
        swt_text_add(&line, "; most clearly %s, by %s (%s)", m->title,
                     swt_words_value(text, sizeof text, m->quantity, c->difference),
                     c->difference > 0 ? m->more : m->less);
    }
    swt_text_add(&line, ".");
    add_first_departure(&line, a, set);
    swt_html_paragraph(page, "lead", line.bytes ? line.bytes : "");
    swt_text_reset(&line);
    swt_html_paragraph(
        page, NULL,
        n == 0 ? "Too few swings of the study tell how much single swings scatter, so no change "
                 "can be told from noise."
               : "Noise is how far a player's swings of one session scatter around their mean, "
                 "over the players of the study. What differs from day to day without any change "
                 "in the player, markers put on anew above all, is not in it: a small change, "
                 "even one that stands, may be the markers.");
}

static void add_number(swt_text *page, swt_quantity quantity, double si, bool with_sign)
{
    char text[48], signed_text[64];

    swt_words_number(text, sizeof text, quantity, si);
    snprintf(signed_text, sizeof signed_text, "%s%s", with_sign && si > 0 ? "+" : "", text);
    swt_html_number_cell(page, signed_text);
}

/* Where the means lie beside the group's interval; "" where the group has none or nothing changed.
 */
static const char *place(const swt_corridor *corridor, const measure_change *c)
{
    double before, after;

    if (!corridor || c->after->since_from.verdict == SWT_CHANGE_NOT_DETECTABLE)
        return "";
    before = fabs(swt_corridor_ratio(corridor, 0, c->before->mean));
    after = fabs(swt_corridor_ratio(corridor, 0, c->after->mean));
    if (!isfinite(before) || !isfinite(after))
        return "";
    if (before > 1 && after <= 1)
        return "into its interval";
    if (before <= 1 && after > 1)
        return "out of its interval";
    if (after < before)
        return after > 1 ? "nearer, still outside" : "nearer to its centre";
    return after > 1 ? "farther outside" : "farther from its centre";
}

static void add_change(swt_text *page, const swt_study *study, const swt_assessment *a,
                       const swt_progress *progress, const swt_progress_set *set,
                       const measure_change *c)
{
    const swt_measure *m = swt_measure_row(progress->measure[c->measure]);
    const swt_change *change = &c->after->since_from;
    bool seen = change->verdict != SWT_CHANGE_NOT_DETECTABLE;

    swt_text_add(page, "<tr%s><th scope=\"row\"><a href=\"#def-%s\">",
                 stands(progress, c) ? " class=\"out\"" : "", m->name);
    swt_html_text(page, m->title);
    swt_text_add(page, "</a></th><td>%s</td>",
                 m->quantity == SWT_FRACTION ? "" : swt_quantity_unit(m->quantity)->shown);
    add_number(page, m->quantity, c->before->mean, false);
    add_number(page, m->quantity, c->after->mean, false);
    add_number(page, m->quantity, change->difference, true);
    add_number(page, m->quantity, change->detectable, false);
    swt_text_add(page, "<td>%s</td><td>%s</td><td>%s</td></tr>\n",
                 stands(progress, c) ? "yes"
                 : seen              ? "alone, not among all"
                                     : "no more than noise",
                 !seen                    ? ""
                 : change->difference > 0 ? m->more
                                          : m->less,
                 place(swt_progress_corridor(progress, set, c->measure, study, a), c));
}

static void add_changes(swt_text *page, const swt_study *study, const swt_assessment *a,
                        const swt_progress *progress, const swt_progress_set *set,
                        const measure_change *change, size_t n)
{
    char before[96], after[96];
    const char *columns[] = {"Measure", "Unit",      before,
                             after,     "#Change",   "#Smallest to be seen",
                             "Stands",  "Which way", "Beside the group"};

    snprintf(before, sizeof before, "#Session %s", set->block[set->from].name);
    snprintf(after, sizeof after, "#Session %s", set->block[set->n_blocks - 1].name);
    swt_html_table_begin(page, "First session to last, the clearest change first", "wide", columns,
                         sizeof columns / sizeof *columns);
    for (size_t i = 0; i < n; i++)
        add_change(page, study, a, progress, set, &change[i]);
    swt_html_table_end(page);
    swt_html_paragraph(page, "soft",
                       "Smallest to be seen: the difference of two session means that noise alone "
                       "exceeds in 5 % of cases, 1.96 SEM sqrt(1/n1 + 1/n2) (after Weir 2005, J "
                       "Strength Cond Res 19:231). Stands: also after Holm's adjustment over all "
                       "measures. Beside the group: where the session's mean lies in the group's "
                       "interval, which is no judgement: a swing may be good elsewhere.");
}

/* Draws the clearest changes into files and puts them on the page. */
static swt_status add_figures(swt_text *page, const char *folder, const char *slug,
                              const swt_study *study, const swt_assessment *a,
                              const swt_progress *progress, const swt_progress_set *set,
                              const measure_change *change, size_t n, swt_error *err)
{
    char path[PATH_ROOM], alt[400], value[48];
    swt_status rc = SWT_OK;

    swt_text_add(page, "<div class=\"grid\">\n");
    for (size_t i = 0; rc == SWT_OK && i < n && i < DRAWN; i++) {
        const swt_measure *m = swt_measure_row(progress->measure[change[i].measure]);
        const swt_change *c = &change[i].after->since_from;
        snprintf(path, sizeof path, "%s/%s-%s.svg", folder, slug, m->name);
        snprintf(alt, sizeof alt, "From session to session, %s: %s, %s.", m->title,
                 swt_words_value(value, sizeof value, m->quantity, c->difference),
                 c->verdict == SWT_CHANGE_NOT_DETECTABLE ? "no more than noise"
                 : c->difference > 0                     ? m->more
                                                         : m->less);
        rc = swt_progress_draw(path, progress, set, change[i].measure, study, a, SWT_PLOT_SVG,
                               SWT_PLOT_COLUMN, err);
        if (rc == SWT_OK)
            rc = swt_html_figure(page, path, alt, alt, err);
    }
    swt_text_add(page, "</div>\n");
    return rc;
}

swt_status page_progress(swt_text *page, const char *figures, const char *slug,
                         const swt_study *study, const swt_assessment *a, const page_links *links,
                         const swt_progress_set *set, const swt_report_options *options,
                         swt_error *err)
{
    const swt_progress *progress = links->progress;
    measure_change *change = calloc(progress->n_measures + 1, sizeof *change);
    char title[400];
    size_t n;
    swt_status rc = SWT_OK;

    if (!change)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    n = find_changes(change, progress, set);
    snprintf(title, sizeof title, "Player %s over sessions", set->name);
    swt_html_begin(page, title);
    swt_text_add(page, "<p class=\"links\"><a href=\"index.html\">All players</a></p>\n");
    swt_html_heading(page, 1, NULL, title);
    add_lead(page, a, progress, set, change, n);
    swt_html_heading(page, 2, "sessions", "Session by session");
    add_sessions(page, a, set, links);
    if (figures && n > 0) {
        swt_html_heading(page, 2, "figures", "What changed most clearly");
        rc = add_figures(page, figures, slug, study, a, progress, set, change, n, err);
    }
    if (rc == SWT_OK) {
        swt_html_heading(page, 2, "changes", "All measures");
        add_changes(page, study, a, progress, set, change, n);
        page_cautions(page, a);
        page_definitions(page, a);
        page_provenance(page, study, a, options);
        swt_html_end(page);
    }
    free(change);
    return rc;
}
