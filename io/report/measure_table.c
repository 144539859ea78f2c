/* Tables of a player's page: departures, all measures, definitions. */
#include "io/report/page_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void add_cell(swt_text *page, const char *text)
{
    swt_text_add(page, "<td class=\"n\">");
    swt_html_text(page, text);
    swt_text_add(page, "</td>");
}

void page_departure_table(swt_text *page, const swt_assessment *a, const swt_assessed_player *p)
{
    static const char *const columns[] = {"What departs",
                                          "From",
                                          "#Start (s)",
                                          "#Beyond the edge",
                                          "#Corridor widths",
                                          "In",
                                          "Stands for all measures"};
    char words[200];

    if (p->n_departures == 0)
        return;
    swt_html_table_begin(page, "All departures, the most certain first, each in its order in time",
                         columns, sizeof columns / sizeof *columns);
    for (size_t i = 0; i < p->n_departures; i++) {
        const swt_player_departure *d = &p->departure[i];
        const swt_compared *c = &a->compared[d->compared];
        swt_text clause = {0};
        page_clause(&clause, a, d);
        swt_text_add(page, "<tr><th scope=\"row\">");
        swt_html_text(page, clause.bytes ? clause.bytes : "");
        swt_text_add(page, "</th><td>");
        swt_text_reset(&clause);
        if (isfinite(d->start_s))
            swt_html_text(page, swt_words_moment(words, sizeof words, p->event_s, d->start_s));
        swt_text_add(page, "</td>");
        add_cell(page, swt_words_number(words, sizeof words, SWT_TIME, d->start_s));
        add_cell(page, swt_words_amount(words, sizeof words, c->quantity, d->largest_excess));
        snprintf(words, sizeof words, "%.1f", d->peak_ratio);
        add_cell(page, words);
        swt_text_add(page, "<td>%zu of %zu</td><td>%s</td></tr>\n", d->n_departing, d->n_swings,
                     !d->matters                          ? "too small to note"
                     : 2 * d->n_standing > d->n_departing ? "yes"
                     : d->n_standing > 0                  ? "in some swings"
                                                          : "no");
    }
    swt_html_table_end(page);
    swt_html_paragraph(page, "soft",
                       "Corridor widths: distance from the group's centre over the corridor's "
                       "half-width; 1 is the edge. Values are medians over the departing swings.");
}

/* One row; `value` and `sd` have room for the player's swings. */
static void add_measure_row(swt_text *page, const swt_study *study, const swt_assessment *a,
                            const swt_assessed_player *p, size_t row, double *value, double *sd)
{
    const swt_measure *m = swt_measure_row(row);
    long at = swt_compared_find(a, false, row);
    const swt_corridor *c = at >= 0 ? a->compared[at].corridor : NULL;
    swt_verdict worst = swt_usable(), why = swt_usable();
    size_t n = 0, above = 0, below = 0;
    char text[200];
    double ratio;

    if (c && c->state == SWT_CORRIDOR_REFUSED)
        c = NULL;
    for (size_t k = 0; k < p->n_swings; k++) {
        const swt_measurement *x = &study->measure[row][a->swing[p->first + k].swing];
        why = swt_worse(why, x->verdict);
        if (x->verdict.state == SWT_ABSENT)
            continue;
        worst = swt_worse(worst, x->verdict);
        value[n] = x->value;
        sd[n++] = x->sd;
        ratio = c ? swt_corridor_ratio(c, 0, x->value) : nan("");
        above += ratio > 1;
        below += ratio < -1;
    }
    swt_text_add(page, above + below > 0 ? "<tr class=\"out\">" : "<tr>");
    swt_text_add(page, "<th scope=\"row\"><a href=\"#def-%s\">", m->name);
    swt_html_text(page, m->title);
    swt_text_add(page, "</a></th><td>%s</td>",
                 m->quantity == SWT_FRACTION ? "" : swt_quantity_unit(m->quantity)->shown);
    add_cell(page, swt_words_number(text, sizeof text, m->quantity, swt_median(value, n)));
    add_cell(page, swt_words_number(text, sizeof text, m->quantity, swt_median(sd, n)));
    swt_text_add(page, "<td class=\"n\">%zu of %zu</td>", n, p->n_swings);
    add_cell(page, swt_words_number(text, sizeof text, m->quantity, c ? c->centre[0] : nan("")));
    if (c && isfinite(c->lower[0])) {
        char low[48], high[48];
        snprintf(text, sizeof text, "%s to %s",
                 swt_words_number(low, sizeof low, m->quantity, c->lower[0]),
                 swt_words_number(high, sizeof high, m->quantity, c->upper[0]));
        add_cell(page, text);
    } else {
        add_cell(page, "-");
    }
    if (n == 0 || !c || !isfinite(c->lower[0]))
        snprintf(text, sizeof text, "-");
    else if (above + below == 0)
        snprintf(text, sizeof text, "inside");
    else
        snprintf(text, sizeof text, "%s in %zu of %zu%s", above >= below ? "above" : "below",
                 above >= below ? above : below, n,
                 above && below ? " (and on the other side)" : "");
    swt_text_add(page, "<td>%s</td><td>", text);
    if (n == 0)
        worst = why;
    swt_text_add(page, "%s",
                 n < p->n_swings && n > 0 ? "absent in some swings: "
                                          : swt_state_name(worst.state));
    if (n < p->n_swings && n > 0)
        worst = why;
    else if (worst.state != SWT_USABLE)
        swt_text_add(page, ": ");
    if (worst.state != SWT_USABLE) {
        swt_reason_text(text, sizeof text, worst);
        swt_html_text(page, text);
    }
    swt_text_add(page, "</td></tr>\n");
}

swt_status page_measure_table(swt_text *page, const swt_study *study, const swt_assessment *a,
                              const swt_assessed_player *p, swt_error *err)
{
    static const char *const columns[] = {
        "Measure", "Unit",          "#Player, median", "#Uncertainty (SD)",   "#Swings",
        "#Group",  "#Group's band", "Player's swings", "State and its reason"};
    double *room = calloc(2 * p->n_swings, sizeof *room);
    char note[400];

    if (!room)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    swt_html_table_begin(page, "All measures", columns, sizeof columns / sizeof *columns);
    for (size_t row = 0; row < swt_measure_count(); row++)
        add_measure_row(page, study, a, p, row, room, room + p->n_swings);
    swt_html_table_end(page);
    snprintf(note, sizeof note,
             "Group's band: the interval that holds %.0f %% of single swings of players like the "
             "group's, with %.0f %% confidence where the group's size allows it. Each row stands "
             "by itself: among so many rows, some lie outside by chance.",
             100 * a->options.corridor.coverage, 100 * a->options.corridor.confidence);
    swt_html_paragraph(page, "soft", note);
    free(room);
    return SWT_OK;
}

static void add_definition(swt_text *page, const char *name, const char *title,
                           const char *definition, const char *source)
{
    swt_text_add(page, "<dt id=\"def-%s\">", name);
    swt_html_text(page, title);
    swt_text_add(page, "</dt><dd>");
    swt_html_text(page, definition);
    if (source && *source) {
        swt_text_add(page, " <span class=\"soft\">(");
        swt_html_text(page, source);
        swt_text_add(page, ")</span>");
    }
    swt_text_add(page, "</dd>\n");
}

void page_definitions(swt_text *page, const swt_assessment *a)
{
    swt_html_heading(page, 2, "definitions", "What the measures are");
    swt_html_heading(page, 3, NULL, "Events");
    swt_text_add(page, "<dl>\n");
    for (int e = 0; e < SWT_EVENT_COUNT; e++)
        add_definition(page, swt_event_name((swt_event)e), swt_event_title((swt_event)e),
                       swt_event_definition((swt_event)e), NULL);
    swt_text_add(page, "</dl>\n");
    swt_html_heading(page, 3, NULL, "Curves");
    swt_text_add(page, "<dl>\n");
    for (size_t i = 0; i < a->n_compared; i++)
        if (a->compared[i].is_series) {
            const swt_series_info *info = swt_series_describe((swt_series)a->compared[i].index);
            char name[64];
            snprintf(name, sizeof name, "curve-%s", info->name);
            add_definition(page, name, info->title, info->definition, NULL);
        }
    swt_text_add(page, "</dl>\n");
    swt_html_heading(page, 3, NULL, "Measures");
    swt_text_add(page, "<dl>\n");
    for (size_t row = 0; row < swt_measure_count(); row++) {
        const swt_measure *m = swt_measure_row(row);
        add_definition(page, m->name, m->title, m->definition, m->source);
    }
    swt_text_add(page, "</dl>\n");
}
