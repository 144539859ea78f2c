/* A player's page: the finding first, then the evidence. */
#include "io/report/page_parts.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* "3 swings, session S1, club driver, shot full, right-handed; measured against ..." */
static void add_make_up(swt_text *page, const swt_study *study, const swt_assessment *a,
                        const swt_assessed_player *p)
{
    const swt_study_swing *first = &study->swing[a->swing[p->first].swing];
    char swings[48];
    swt_text line = {0};

    swt_text_add(&line, "%s",
                 swt_words_count(swings, sizeof swings, p->n_swings, "swing", "swings"));
    if (*first->session)
        swt_text_add(&line, ", session %s", first->session);
    if (*first->club)
        swt_text_add(&line, ", club %s", first->club);
    if (*first->shot)
        swt_text_add(&line, ", shot %s", first->shot);
    swt_text_add(&line, ", %s-handed", first->side == SWT_LEFT_HANDED ? "left" : "right");
    if (a->options.group)
        swt_text_add(&line, "; measured against the group \"%s\"", a->options.group);
    swt_text_add(&line, ".");
    if (p->in_reference)
        swt_text_add(&line, " Other swings of this player are part of that group, which makes the "
                            "comparison kinder than with a new player.");
    swt_html_paragraph(page, "soft", line.bytes ? line.bytes : "");
    swt_text_reset(&line);
}

/* What makes the leading sentence less sure than its statistics: faults of the captures. */
static void add_doubts(swt_text *page, const swt_study *study, const swt_assessment *a,
                       const swt_assessed_player *p)
{
    const swt_compared *c =
        p->certainty > SWT_NOT_COMPARED ? &a->compared[p->departure[0].compared] : NULL;
    swt_verdict worst = swt_usable();
    size_t n_serious = 0;
    char reason[200], line[400];

    for (size_t k = 0; k < p->n_swings; k++) {
        size_t row = a->swing[p->first + k].swing;
        if (c)
            worst = swt_worse(worst, c->is_series ? study->series_verdict[c->index][row]
                                                  : study->measure[c->index][row].verdict);
        for (size_t i = 0; i < study->n_findings; i++)
            n_serious += study->finding[i].severity == SWT_SERIOUS &&
                         study->finding[i].capture == study->swing[row].capture &&
                         (study->finding[i].swing == -1 || study->finding[i].swing == (long)row);
    }
    if (worst.state == SWT_LIMITED) {
        snprintf(line, sizeof line, "This measure is limited in these captures: %s.",
                 swt_reason_text(reason, sizeof reason, worst));
        swt_html_paragraph(page, NULL, line);
    }
    if (n_serious > 0) {
        snprintf(line, sizeof line,
                 "The captures themselves are in doubt: %zu serious %s below. Settle that before "
                 "you read anything else on this page.",
                 n_serious, n_serious == 1 ? "finding is listed" : "findings are listed");
        swt_text_add(page, "<p><strong>");
        swt_html_text(page, line);
        swt_text_add(page, "</strong> <a href=\"#quality\">How good the captures are</a></p>\n");
    }
}

static void add_lead(swt_text *page, const swt_assessment *a, const swt_assessed_player *p)
{
    swt_text lead = {0};
    char *split;

    swt_report_lead(&lead, a, p);
    split = lead.bytes ? strstr(lead.bytes, "; ") : NULL;
    swt_text_add(page, "<p class=\"lead\"><strong>");
    if (split) { /* what departs first stands out from what came after */
        *split = '\0';
        swt_html_text(page, lead.bytes);
        swt_text_add(page, ";</strong> ");
        swt_html_text(page, split + 2);
        swt_text_add(page, "</p>\n");
    } else {
        swt_html_text(page, lead.bytes ? lead.bytes : "");
        swt_text_add(page, "</strong></p>\n");
    }
    swt_text_reset(&lead);
    if (!isfinite(p->event_s[SWT_EVENT_TAKEAWAY]) && p->certainty != SWT_NOT_COMPARED)
        swt_html_paragraph(page, NULL,
                           "The takeaway is not in these captures, so times after it are not "
                           "given, and what came before the first event that they hold could not "
                           "be compared: there may be an earlier departure.");
    if (p->n_swings == 1)
        swt_html_paragraph(page, NULL,
                           "One swing shows what happened once; it cannot show what is usual for "
                           "this player. Record at least three.");
    if (p->certainty > SWT_NOT_COMPARED && a->n_compared > 0 &&
        a->compared[p->n_departures ? p->departure[0].compared : 0].corridor->state ==
            SWT_CORRIDOR_LIMITED)
        swt_html_paragraph(
            page, NULL,
            a->compared[p->n_departures ? p->departure[0].compared : 0].corridor->reason);
    if (p->certainty == SWT_NOT_COMPARED && a->n_compared > 0 && a->n_family == 0)
        swt_html_paragraph(page, NULL, a->compared[0].corridor->reason);
}

static swt_status add_pictures(swt_text *page, const page_pictures *pictures, swt_error *err)
{
    swt_status rc = SWT_OK;

    swt_text_add(page, "<div class=\"grid\">\n");
    for (size_t i = 0; rc == SWT_OK && i < pictures->n; i++) {
        const page_picture *item = &pictures->item[i];
        char caption[600];
        snprintf(caption, sizeof caption, "%s%s%s", item->alt, item->caption ? " " : "",
                 item->caption ? item->caption : "");
        rc = swt_html_figure(page, item->path, item->alt, caption, err);
    }
    swt_text_add(page, "</div>\n");
    return rc;
}

static void add_quality(swt_text *page, const swt_study *study, const swt_assessment *a,
                        const swt_assessed_player *p)
{
    swt_html_heading(page, 2, "quality", "How good the captures are");
    for (size_t k = 0; k < p->n_swings; k++) {
        size_t row = a->swing[p->first + k].swing;
        const swt_study_swing *s = &study->swing[row];
        const swt_study_capture *c = &study->capture[s->capture];
        char line[160];
        swt_html_heading(page, 3, NULL, c->file);
        snprintf(line, sizeof line, "%.0f frames a second, %zu frames, swing of %.2f s.",
                 s->rate_hz, c->n_frames, s->rate_hz > 0 ? (double)s->n_frames / s->rate_hz : 0.0);
        swt_html_paragraph(page, "soft", line);
        if (s->target_from_stance)
            swt_html_paragraph(page, NULL,
                               "The target line was taken from the toes, since the capture gives "
                               "none: an open or closed stance shifts depth.");
        if (page_findings(page, study, s->capture, (long)row) == 0)
            swt_html_paragraph(page, NULL, "Nothing to remark.");
    }
}

swt_status page_player(swt_text *page, const swt_study *study, const swt_assessment *a,
                       const swt_assessed_player *p, const page_pictures *pictures,
                       const char *figures_note, const swt_report_options *options, swt_error *err)
{
    char title[400];
    swt_status rc = SWT_OK;

    snprintf(title, sizeof title, "Player %s", p->name);
    swt_html_begin(page, title);
    swt_text_add(page, "<p><a href=\"index.html\">All players</a></p>\n");
    swt_html_heading(page, 1, NULL, title);
    add_make_up(page, study, a, p);
    add_lead(page, a, p);
    add_doubts(page, study, a, p);
    swt_html_heading(page, 2, "evidence", "What it looks like");
    if (figures_note)
        swt_html_paragraph(page, NULL, figures_note);
    else
        rc = add_pictures(page, pictures, err);
    if (rc != SWT_OK)
        return rc;
    swt_html_heading(page, 2, "departures", "In what order");
    if (p->n_departures == 0)
        swt_html_paragraph(page, NULL,
                           p->certainty == SWT_NOT_COMPARED ? "Nothing was compared."
                                                            : "Nothing leaves the corridor.");
    page_departure_table(page, a, p);
    page_cautions(page, a);
    swt_html_heading(page, 2, "measures", "All measures");
    rc = page_measure_table(page, study, a, p, err);
    if (rc != SWT_OK)
        return rc;
    add_quality(page, study, a, p);
    swt_html_heading(page, 2, "group", "The group");
    page_group_words(page, a);
    page_definitions(page, a);
    page_provenance(page, study, a, options);
    swt_html_end(page);
    return SWT_OK;
}
