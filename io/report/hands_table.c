/* Where the hands are in the backswing, and what brought them there, beside what is usual in the
 * group: what a coach looks for before any statistics. */
#include "io/report/figure.h"
#include "io/report/page_parts.h"

#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOMENTS = 3 };

static const swt_event moments[MOMENTS] = {SWT_EVENT_SHAFT_LEVEL_BACKSWING,
                                           SWT_EVENT_LEAD_ARM_LEVEL_BACKSWING, SWT_EVENT_CLUB_TOP};

static const struct {
    const char *name, *title, *more, *less;
} rows[] = {
    {"hand_depth", "Depth behind the toe line", "deeper", "less deep"},
    {"hand_height", "Height above the floor", "higher", "lower"},
    {"depth_from_pelvis", "Depth made by the pelvis", "more", "less"},
    {"depth_from_thorax", "Depth made by the thorax", "more", "less"},
    {"depth_from_arms", "Depth made by the arms", "more", "less"},
};

enum { ROWS = sizeof rows / sizeof *rows };

static void add_outside(swt_text *page, const page_row_facts *f, size_t row)
{
    const char *stress = 2 * (f->above + f->below) > f->n ? "strong" : "span";

    if (f->above + f->below == 0)
        return;
    swt_text_add(page, "<%s>, ", stress);
    if (f->above)
        swt_text_add(page, "%s in %zu", rows[row].more, f->above);
    if (f->below)
        swt_text_add(page, "%s%s in %zu", f->above ? ", " : "", rows[row].less, f->below);
    swt_text_add(page, " of %zu</%s>", f->n, stress);
}

static void add_cell(swt_text *page, const page_row_facts *f, size_t row)
{
    char low[48], high[48];

    swt_text_add(page, "<td>");
    if (f->n == 0)
        swt_text_add(page, "-");
    else
        swt_text_add(page, "<strong>%s</strong>",
                     swt_words_number(low, sizeof low, SWT_LENGTH, f->median));
    add_outside(page, f, row);
    if (f->corridor)
        swt_text_add(page, "<br><span class=\"soft\">%s to %s</span>",
                     swt_words_number(low, sizeof low, SWT_LENGTH, f->corridor->lower[0]),
                     swt_words_number(high, sizeof high, SWT_LENGTH, f->corridor->upper[0]));
    swt_text_add(page, "</td>");
}

/* A row of the table of measures at one of the moments. */
static page_row_facts find_at(const swt_study *study, const swt_assessment *a,
                              const swt_assessed_player *p, const char *what, swt_event event,
                              double *room)
{
    char name[96];
    long row;

    snprintf(name, sizeof name, "%s_at_%s", what, swt_event_name(event));
    row = swt_measure_find(name);
    if (row < 0)
        return (page_row_facts){.absent = swt_usable()};
    return page_find_facts(study, a, p, (size_t)row, room);
}

/* What the numbers count from, and why they need not agree with the curves' corridors. */
static void add_note(swt_text *page, const page_row_facts *start, bool any_interval)
{
    char text[48], line[600] = "";
    size_t used = 0;

    if (start->n > 0)
        used = (size_t)snprintf(line, sizeof line,
                                "The depth made by pelvis, thorax and arms counts from takeaway, "
                                "where the hands are %s "
                                "%s the toe line.",
                                swt_words_amount(text, sizeof text, SWT_LENGTH, start->median),
                                start->median < 0 ? "in front of" : "behind");
    if (any_interval)
        snprintf(line + used, sizeof line - used,
                 "%sThe interval of one moment is narrower than the corridor in the pictures, "
                 "which is to hold a whole curve. Nothing is scaled to the player's size: a small "
                 "player's hands are lower than a tall one's.",
                 used ? " " : "");
    if (*line)
        swt_html_paragraph(page, "soft", line);
}

static bool is_empty(const page_row_facts f[MOMENTS])
{
    return f[0].n + f[1].n + f[2].n == 0;
}

/* Why a row is left out; rows with the same reason together. */
static void add_left_out(swt_text *page, page_row_facts f[][MOMENTS])
{
    char reason[200], other[200];
    bool told[ROWS] = {false};

    for (size_t row = 0; row < ROWS; row++) {
        if (told[row] || !is_empty(f[row]))
            continue;
        swt_reason_text(reason, sizeof reason, f[row][0].absent);
        swt_text_add(page, "<p class=\"soft\">%s", rows[row].title);
        for (size_t k = row + 1; k < ROWS; k++)
            if (is_empty(f[k]) &&
                strcmp(reason, swt_reason_text(other, sizeof other, f[k][0].absent)) == 0) {
                swt_text_add(page, "; %c%s", tolower((unsigned char)rows[k].title[0]),
                             rows[k].title + 1);
                told[k] = true;
            }
        swt_text_add(page, ": ");
        swt_html_text(page, *reason ? reason : "not to be had in these swings");
        swt_text_add(page, ".</p>\n");
    }
}

/* Why a moment has no numbers, in the words of the first swing that lacks it. */
static void add_absent(swt_text *page, const swt_study *study, const swt_assessment *a,
                       const swt_assessed_player *p)
{
    char reason[200], line[300];

    for (size_t m = 0; m < MOMENTS; m++)
        for (size_t k = 0; k < p->n_swings; k++) {
            swt_verdict v = study->event[moments[m]][a->swing[p->first + k].swing].verdict;
            if (v.state != SWT_ABSENT)
                continue;
            snprintf(line, sizeof line, "At %s: %s.", swt_event_short(moments[m]),
                     swt_reason_text(reason, sizeof reason, v));
            swt_html_paragraph(page, "soft", line);
            break;
        }
}

static void add_table(swt_text *page, page_row_facts f[][MOMENTS], bool any_interval)
{
    swt_text_add(page,
                 "<div class=\"scroll\" tabindex=\"0\" role=\"region\" aria-label=\"The hands in "
                 "the backswing\"><table class=\"hands\"><caption>In mm: the player's median%s"
                 "</caption>\n<thead><tr><td></td>",
                 any_interval ? "; below it what is usual, the group's interval" : "");
    for (size_t m = 0; m < MOMENTS; m++)
        swt_text_add(page, "<th scope=\"col\">at %s</th>", swt_event_short(moments[m]));
    swt_text_add(page, "</tr></thead>\n<tbody>\n");
    for (size_t row = 0; row < ROWS; row++) {
        if (is_empty(f[row]))
            continue;
        swt_text_add(page, "<tr><th scope=\"row\">%s</th>", rows[row].title);
        for (size_t m = 0; m < MOMENTS; m++)
            add_cell(page, &f[row][m], row);
        swt_text_add(page, "</tr>\n");
    }
    swt_text_add(page, "</tbody></table></div>\n");
}

swt_status page_hands_table(swt_text *page, const swt_study *study, const swt_assessment *a,
                            const swt_assessed_player *p, swt_error *err)
{
    double *room = calloc(2 * p->n_swings, sizeof *room);
    page_row_facts f[ROWS][MOMENTS], start;
    bool any = false, any_interval = false;

    if (!room)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t row = 0; row < ROWS; row++)
        for (size_t m = 0; m < MOMENTS; m++) {
            f[row][m] = find_at(study, a, p, rows[row].name, moments[m], room);
            any = any || f[row][m].n > 0;
            any_interval = any_interval || f[row][m].corridor;
        }
    start = find_at(study, a, p, rows[0].name, SWT_EVENT_TAKEAWAY, room);
    free(room);
    swt_html_heading(page, 2, "hands", "Where the hands are in the backswing");
    if (any)
        add_table(page, f, any_interval);
    add_left_out(page, f);
    if (any)
        add_absent(page, study, a, p);
    add_note(page, &start, any_interval);
    return SWT_OK;
}
