/* Tables of a player's page: departures, all measures, definitions. */
#include "io/report/page_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* How many times a spread: two digits; a dash where it is not known. Beyond a hundred the number
 * tells nothing more. */
static char *times(char *out, size_t size, double ratio)
{
    if (ratio >= 99.5)
        snprintf(out, size, "over 100");
    else if (isfinite(ratio))
        snprintf(out, size, ratio < 9.95 ? "%.1f" : "%.0f", ratio);
    else
        snprintf(out, size, "-");
    return out;
}

/* An excess with its unit; one that would read as 0 is told by what it is below. */
static char *excess(char *out, size_t size, swt_quantity quantity, double si)
{
    const swt_unit *unit = swt_quantity_unit(quantity);
    double least = pow(10, -unit->decimals) / 2;

    if (fabs(si) * unit->shown_per_si < least)
        snprintf(out, size, "under %.*f %s", unit->decimals + 2, least, unit->shown);
    else
        swt_words_amount(out, size, quantity, si);
    return out;
}

void page_departure_table(swt_text *page, const swt_assessment *a, const swt_assessed_player *p)
{
    static const char *const columns[] = {
        "What departs",     "From",         "#Start (s)",
        "#Beyond the edge", "#Half-widths", "#Swing-to-swing SDs",
        "#Uncertainties",   "#Swings",      "Stands for all measures"};
    char words[200];

    if (p->found.n_departures == 0)
        return;
    swt_html_table_begin(page, "The surest first; the equally sure in order of time", "wide",
                         columns, sizeof columns / sizeof *columns);
    for (size_t i = 0; i < p->found.n_departures; i++) {
        const swt_player_departure *d = &p->found.departure[i];
        const swt_compared *c = &a->compared[d->over.measure];
        swt_text clause = {0};
        page_clause(&clause, a, d);
        swt_text_add(page, "<tr><th scope=\"row\">");
        swt_html_text(page, clause.bytes ? clause.bytes : "");
        swt_text_add(page, "</th><td data-v=\"%.4f\">", d->position);
        swt_text_reset(&clause);
        swt_html_text(page, isfinite(d->over.start_s)
                                ? swt_words_moment(words, sizeof words, p->event_s, d->over.start_s)
                                : swt_words_phase(words, sizeof words, d->position));
        swt_text_add(page, "</td>");
        swt_html_number_cell(page,
                             swt_words_number(words, sizeof words, SWT_TIME, d->over.start_s));
        swt_html_number_cell(page,
                             excess(words, sizeof words, c->quantity, d->over.largest_excess));
        snprintf(words, sizeof words, "%.1f", d->over.peak_ratio);
        swt_html_number_cell(page, words);
        swt_html_number_cell(page, times(words, sizeof words, d->over.peak_within_sd));
        swt_html_number_cell(page, times(words, sizeof words, d->over.peak_measurement_sd));
        swt_text_add(page, "<td class=\"n\">%zu of %zu</td><td>%s</td></tr>\n", d->over.n_departing,
                     d->over.n_swings,
                     !d->matters                                    ? "too small to note"
                     : 2 * d->over.n_standing > d->over.n_departing ? "yes"
                     : d->over.n_standing > 0                       ? "in some swings"
                                                                    : "no");
    }
    swt_html_table_end(page);
    swt_html_paragraph(
        page, "soft",
        "Half-widths: distance from the group's centre over the corridor's "
        "half-width; 1 is the edge. There, the excess beyond the edge is also told in "
        "standard deviations from swing to swing of one player of the group, and in "
        "standard uncertainties from marker noise, where these are known. Values "
        "are medians over the departing swings. The sentence at the top of the page names the "
        "first row and, of what most swings show after it, three at most in order of time: the "
        "hands' depth and height before all else, then the largest by half-widths.");
}

page_row_facts page_find_facts(const swt_study *study, const swt_assessment *a,
                               const swt_assessed_player *p, size_t row, double *room)
{
    long at = swt_compared_find(a, false, row);
    page_row_facts f = {.verdict = swt_usable(), .absent = swt_usable()};
    double *value = room, *sd = room + p->n_swings;

    if (at >= 0 && a->compared[at].corridor->state != SWT_CORRIDOR_REFUSED &&
        isfinite(a->compared[at].corridor->lower[0]))
        f.corridor = a->compared[at].corridor;
    for (size_t k = 0; k < p->n_swings; k++) {
        const swt_measurement *x = &study->measure[row][a->swing[p->first + k].swing];
        double ratio = f.corridor ? swt_corridor_ratio(f.corridor, 0, x->value) : nan("");
        if (x->verdict.state == SWT_ABSENT) {
            f.absent = x->verdict;
            continue;
        }
        f.verdict = swt_worse(f.verdict, x->verdict);
        value[f.n] = x->value;
        sd[f.n++] = x->sd;
        f.above += ratio > 1;
        f.below += ratio < -1;
    }
    f.median = swt_median(value, f.n);
    f.sd = swt_median(sd, f.n);
    return f;
}

static void add_state(swt_text *page, const page_row_facts *f, size_t n_swings)
{
    swt_verdict shown = f->n < n_swings ? f->absent : f->verdict;
    char text[200];

    if (f->n > 0 && f->n < n_swings)
        swt_text_add(page, "<td>absent in some swings");
    else
        swt_text_add(page, "<td>%s", swt_state_name(shown.state));
    if (shown.reason != SWT_REASON_NONE) {
        swt_text_add(page, ": ");
        swt_html_text(page, swt_reason_text(text, sizeof text, shown));
    }
    swt_text_add(page, "</td></tr>\n");
}

/* The group's place and the player's beside it. */
static void add_beside(swt_text *page, const swt_measure *m, const page_row_facts *f)
{
    const swt_corridor *c = f->corridor;
    char text[200], low[48], high[48];

    swt_html_number_cell(
        page, swt_words_number(text, sizeof text, m->quantity, c ? c->centre[0] : nan("")));
    if (c)
        snprintf(text, sizeof text, "%s to %s",
                 swt_words_number(low, sizeof low, m->quantity, c->lower[0]),
                 swt_words_number(high, sizeof high, m->quantity, c->upper[0]));
    swt_html_number_cell(page, c ? text : "-");
    if (!c || f->n == 0)
        snprintf(text, sizeof text, "-");
    else if (f->above && f->below)
        snprintf(text, sizeof text, "above in %zu, below in %zu of %zu", f->above, f->below, f->n);
    else if (f->above || f->below)
        snprintf(text, sizeof text, "%s in %zu of %zu", f->above ? "above" : "below",
                 f->above + f->below, f->n);
    else
        snprintf(text, sizeof text, "inside");
    swt_text_add(page, "<td>%s</td>", text);
}

/* What there is to show beside the values: a column of nothing but dashes helps nobody. */
typedef struct shown_columns {
    bool sd, group;
} shown_columns;

static void add_measure_row(swt_text *page, const swt_measure *m, const page_row_facts *f,
                            size_t n_swings, shown_columns shown)
{
    char text[200];

    swt_text_add(page, f->above + f->below > 0 ? "<tr class=\"out\">" : "<tr>");
    swt_text_add(page, "<th scope=\"row\"><a href=\"#def-%s\">", m->name);
    swt_html_text(page, m->title);
    swt_text_add(page, "</a></th><td>%s</td>",
                 m->quantity == SWT_FRACTION ? "" : swt_quantity_unit(m->quantity)->shown);
    swt_html_number_cell(page, swt_words_number(text, sizeof text, m->quantity, f->median));
    if (shown.sd)
        swt_html_number_cell(page, swt_words_uncertainty(text, sizeof text, m->quantity, f->sd));
    swt_text_add(page, "<td class=\"n\">%zu of %zu</td>", f->n, n_swings);
    if (shown.group)
        add_beside(page, m, f);
    add_state(page, f, n_swings);
}

static void begin_measures(swt_text *page, shown_columns shown)
{
    const char *columns[9] = {"Measure", "Unit", "#Player, median"};
    size_t n = 3;

    if (shown.sd)
        columns[n++] = "#Standard uncertainty";
    columns[n++] = "#Swings";
    if (shown.group) {
        columns[n++] = "#Group";
        columns[n++] = "#Group's interval";
        columns[n++] = "Player's swings";
    }
    columns[n++] = "State and its reason";
    swt_html_table_begin(
        page, shown.group ? "The player's swings and the group's interval" : "The player's swings",
        "wide measures", columns, n);
}

swt_status page_measure_table(swt_text *page, const swt_study *study, const swt_assessment *a,
                              const swt_assessed_player *p, swt_error *err)
{
    size_t n_rows = swt_measure_count();
    double *room = calloc(2 * p->n_swings, sizeof *room);
    page_row_facts *facts = calloc(n_rows, sizeof *facts);
    shown_columns shown = {false, false};
    char note[400];

    if (!room || !facts) {
        free(room);
        free(facts);
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    }
    for (size_t row = 0; row < n_rows; row++) {
        facts[row] = page_find_facts(study, a, p, row, room);
        shown.sd = shown.sd || isfinite(facts[row].sd);
        shown.group = shown.group || facts[row].corridor;
    }
    begin_measures(page, shown);
    for (size_t row = 0; row < n_rows; row++)
        add_measure_row(page, swt_measure_row(row), &facts[row], p->n_swings, shown);
    swt_html_table_end(page);
    snprintf(note, sizeof note,
             "Group's interval: it holds %.0f %% of single swings of players like the "
             "group's, with %.0f %% confidence where the group's size allows it. Each row stands "
             "by itself: among so many rows, some lie outside by chance.",
             100 * a->options.corridor.coverage, 100 * a->options.corridor.confidence);
    if (shown.group)
        swt_html_paragraph(page, "soft", note);
    if (shown.sd)
        swt_html_paragraph(
            page, "soft",
            "Standard uncertainty: how much marker noise alone makes the value of "
            "one swing uncertain, as a standard deviation in the row's unit, median "
            "over the swings; about twice as much covers 95 %. Where the markers sit "
            "on the skin is not in it.");
    free(room);
    free(facts);
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
    swt_text_add(page, "<dl class=\"terms\">\n");
    for (int e = 0; e < SWT_EVENT_COUNT; e++)
        add_definition(page, swt_event_name((swt_event)e), swt_event_title((swt_event)e),
                       swt_event_definition((swt_event)e), NULL);
    swt_text_add(page, "</dl>\n");
    swt_html_heading(page, 3, NULL, "Curves");
    swt_text_add(page, "<dl class=\"terms\">\n");
    for (size_t i = 0; i < a->n_compared; i++)
        if (a->compared[i].is_series) {
            const swt_series_info *info = swt_series_describe((swt_series)a->compared[i].index);
            char name[64];
            snprintf(name, sizeof name, "curve-%s", info->name);
            add_definition(page, name, info->title, info->definition, NULL);
        }
    swt_text_add(page, "</dl>\n");
    swt_html_heading(page, 3, NULL, "Measures");
    swt_text_add(page, "<dl class=\"terms\">\n");
    for (size_t row = 0; row < swt_measure_count(); row++) {
        const swt_measure *m = swt_measure_row(row);
        add_definition(page, m->name, m->title, m->definition, m->source);
    }
    swt_text_add(page, "</dl>\n");
}
