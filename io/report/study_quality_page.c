/* Which captures failed or are limited, and why. */
#include "io/report/page_parts.h"

#include <stdio.h>

static void count_states(size_t count[3], const swt_study *study, size_t swing)
{
    count[SWT_ABSENT] = count[SWT_LIMITED] = count[SWT_USABLE] = 0;
    for (size_t m = 0; m < swt_measure_count(); m++)
        count[study->measure[m][swing].verdict.state]++;
}

static void add_swings(swt_text *page, const swt_study *study)
{
    static const char *const columns[] = {"Capture", "Player",   "Group",  "#Rate (1/s)",
                                          "#Usable", "#Limited", "#Absent"};

    swt_html_table_begin(page, "Swings and how many of their measures can be used", "wide", columns,
                         sizeof columns / sizeof *columns);
    for (size_t i = 0; i < study->n_swings; i++) {
        const swt_study_swing *s = &study->swing[i];
        size_t count[3];
        count_states(count, study, i);
        swt_text_add(page, "<tr><th scope=\"row\">");
        swt_html_text(page, study->capture[s->capture].file);
        swt_text_add(page, "</th><td>");
        swt_html_text(page, s->player);
        swt_text_add(page, "</td><td>");
        swt_html_text(page, s->group);
        swt_text_add(page,
                     "</td><td class=\"n\">%.0f</td><td class=\"n\">%zu</td><td class=\"n\">%zu"
                     "</td><td class=\"n\">%zu</td></tr>\n",
                     s->rate_hz, count[SWT_USABLE], count[SWT_LIMITED], count[SWT_ABSENT]);
    }
    swt_html_table_end(page);
}

void page_study_quality(swt_text *page, const swt_study *study, const swt_assessment *a,
                        const swt_report_options *options)
{
    size_t n_failed = 0, n_remarked = 0;
    char captures[48], line[256];

    for (size_t i = 0; i < study->n_captures; i++)
        n_failed += study->capture[i].status != SWT_OK;
    swt_html_begin(page, "Quality of the captures");
    swt_text_add(page, "<p><a href=\"index.html\">All players</a></p>\n");
    swt_html_heading(page, 1, NULL, "Quality of the captures");
    snprintf(line, sizeof line, "%s, %zu of them without a swing that can be used.",
             swt_words_count(captures, sizeof captures, study->n_captures, "capture", "captures"),
             n_failed);
    swt_html_paragraph(page, "lead", line);
    swt_html_heading(page, 2, NULL, "What was found, capture by capture");
    for (size_t i = 0; i < study->n_captures; i++) {
        const swt_study_capture *c = &study->capture[i];
        bool any = c->status != SWT_OK;
        for (size_t f = 0; f < study->n_findings && !any; f++)
            any = study->finding[f].capture == i;
        if (!any)
            continue;
        n_remarked++;
        swt_html_heading(page, 3, NULL, c->file);
        if (c->status != SWT_OK)
            swt_html_paragraph(page, NULL, c->message);
        page_findings(page, study, i, EVERY_SWING);
    }
    if (n_remarked == 0)
        swt_html_paragraph(page, NULL, "Nothing to remark on any capture.");
    swt_html_heading(page, 2, NULL, "Swing by swing");
    add_swings(page, study);
    page_provenance(page, study, a, options);
    swt_html_end(page);
}
