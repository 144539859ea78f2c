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

/* "Other swings of A1: session 2, full; ..." */
static void add_others(swt_text *page, const swt_assessment *a, const swt_assessed_player *p,
                       const page_links *links)
{
    size_t n = 0;

    for (size_t i = 0; i < a->n_players; i++) {
        const swt_assessed_player *other = &a->player[i];
        if (other == p || strcmp(other->code, p->code) != 0)
            continue;
        if (n++ == 0) {
            swt_text_add(page, "<p class=\"links\">Other swings of ");
            swt_html_text(page, p->code);
            swt_text_add(page, ": ");
        } else {
            swt_text_add(page, "; ");
        }
        swt_html_link(page, links->player[i], other->kind[0] ? other->kind : other->name);
    }
    if (n > 0)
        swt_text_add(page, ".</p>\n");
}

/* The way from a session's page to what changed. */
static void add_progress(swt_text *page, const swt_assessment *a, const swt_assessed_player *p,
                         const swt_progress *progress)
{
    char slug[96], href[112];

    for (size_t i = 0; progress && i < progress->n_sets; i++)
        for (size_t b = 0; b < progress->set[i].n_blocks; b++)
            for (size_t k = 0; k < progress->set[i].block[b].n_swings; k++) {
                if (progress->set[i].block[b].swing[k] != a->swing[p->first].swing)
                    continue;
                snprintf(href, sizeof href, "%s.html",
                         page_progress_slug(slug, sizeof slug, &progress->set[i], i));
                swt_text_add(page, "<p class=\"links\">Over sessions: ");
                swt_html_link(page, href, "what changed, and is it more than noise?");
                swt_text_add(page, "</p>\n");
            }
}

/* Serious findings come before the lead: what follows cannot be trusted until they are settled. */
static void add_serious(swt_text *page, const swt_study *study, const swt_assessment *a,
                        const swt_assessed_player *p)
{
    const swt_study_finding *first;
    size_t n = page_serious(&first, study, a, p);

    if (n == 0)
        return;
    swt_text_add(page, "<p class=\"lead warn\"><strong>Do not rely on this page yet: the capture "
                       "itself is in doubt.</strong> ");
    swt_html_text(page, first->text);
    if (n > 1)
        swt_text_add(page, " There %s %zu more serious %s.", n == 2 ? "is" : "are", n - 1,
                     n == 2 ? "finding" : "findings");
    swt_text_add(page, " <a href=\"#quality\">How good the captures are</a></p>\n");
}

/* What makes the leading sentence less sure than its statistics: faults of the captures. */
static void add_doubts(swt_text *page, const swt_study *study, const swt_assessment *a,
                       const swt_assessed_player *p)
{
    const swt_compared *c = p->found.certainty > SWT_NOT_COMPARED
                                ? &a->compared[p->found.departure[0].over.measure]
                                : NULL;
    swt_verdict worst = swt_usable();
    char reason[200], line[400];

    for (size_t k = 0; k < p->n_swings; k++) {
        size_t row = a->swing[p->first + k].swing;
        if (c)
            worst = swt_worse(worst, c->is_series ? study->series_verdict[c->index][row]
                                                  : study->measure[c->index][row].verdict);
    }
    if (worst.state == SWT_LIMITED) {
        snprintf(line, sizeof line, "This measure is limited in these captures: %s.",
                 swt_reason_text(reason, sizeof reason, worst));
        swt_html_paragraph(page, NULL, line);
    }
}

static void add_lead(swt_text *page, const swt_study *study, const swt_assessment *a,
                     const swt_assessed_player *p)
{
    const swt_study_swing *first = &study->swing[a->swing[p->first].swing];
    swt_text lead = {0};
    char *split;

    swt_report_lead(&lead, a, p);
    split =
        lead.bytes ? strstr(lead.bytes, ". ") : NULL; /* no number has a blank after its point */
    swt_text_add(page, "<p class=\"lead\"><strong>");
    if (split) { /* what departs first stands out from what came after */
        *split = '\0';
        swt_html_text(page, lead.bytes);
        swt_text_add(page, ".</strong> ");
        swt_html_text(page, split + 2);
        swt_text_add(page, "</p>\n");
    } else {
        swt_html_text(page, lead.bytes ? lead.bytes : "");
        swt_text_add(page, "</strong></p>\n");
    }
    swt_text_reset(&lead);
    if (!isfinite(p->event_s[SWT_EVENT_TAKEAWAY]) && p->found.certainty != SWT_NOT_COMPARED)
        swt_html_paragraph(page, NULL,
                           "The takeaway is not in these captures, so times after it are not "
                           "given, and what came before the first event that they hold could not "
                           "be compared: there may be an earlier departure.");
    if (!p->alike && *first->shot) {
        swt_text_add(page, "<p>Whether a player's positions hold from one shot length to another "
                           "is told by the command <code>swathe shots ");
        swt_html_text(page, study->path);
        swt_text_add(page, "</code>.</p>\n");
    }
    if (p->n_swings == 1)
        swt_html_paragraph(page, NULL,
                           "One swing shows what happened once; it cannot show what is usual for "
                           "this player. Record at least three.");
    if (p->found.certainty > SWT_NOT_COMPARED && a->n_compared > 0 &&
        a->compared[p->found.n_departures ? p->found.departure[0].over.measure : 0]
                .corridor->state == SWT_CORRIDOR_LIMITED)
        swt_html_paragraph(
            page, NULL,
            a->compared[p->found.n_departures ? p->found.departure[0].over.measure : 0]
                .corridor->reason);
    if (p->found.certainty == SWT_NOT_COMPARED && a->n_compared > 0 && a->family.n_members == 0)
        swt_html_paragraph(page, NULL, a->compared[0].corridor->reason);
}

static swt_status add_pictures(swt_text *page, const page_pictures *pictures, swt_error *err)
{
    swt_status rc = SWT_OK;

    swt_text_add(page, "<div class=\"grid\">\n");
    for (size_t i = pictures->has_still; rc == SWT_OK && i < pictures->n; i++) {
        const page_picture *item = &pictures->item[i];
        char caption[1400];
        snprintf(caption, sizeof caption, "%s%s%s%s", item->alt, item->caption ? " " : "",
                 item->caption ? item->caption : "",
                 item->group_signs ? " Open signs: the group at the same events." : "");
        rc = swt_html_figure(page, item->path, item->alt, caption, err);
    }
    swt_text_add(page, "</div>\n");
    return rc;
}

swt_status page_player(swt_text *page, const swt_study *study, const swt_assessment *a,
                       const swt_assessed_player *p, const replay_group *group,
                       const page_pictures *pictures, const char *figures_note,
                       const page_links *links, const swt_report_options *options, swt_error *err)
{
    char title[400];
    swt_status rc = SWT_OK;

    snprintf(title, sizeof title, "Player %s", p->name);
    swt_html_begin(page, title);
    swt_text_add(page, "<p class=\"links\"><a href=\"index.html\">All players</a></p>\n");
    swt_html_heading(page, 1, NULL, title);
    add_make_up(page, study, a, p);
    add_others(page, a, p, links);
    add_progress(page, a, p, links->progress);
    add_serious(page, study, a, p);
    add_lead(page, study, a, p);
    add_doubts(page, study, a, p);
    swt_text_add(
        page,
        "<p class=\"soft links\">On this page: <a href=\"#hands\">where the hands are</a>, "
        "<a href=\"#evidence\">what it looks like</a>, "
        "<a href=\"#replay\">the swing in space</a>, %s"
        "<a href=\"#measures\">all measures</a>, "
        "<a href=\"#quality\">how good the captures are</a></p>\n",
        p->found.certainty == SWT_NOT_COMPARED ? ""
                                               : "<a href=\"#departures\">all that departs</a>, ");
    rc = page_hands_table(page, study, a, p, err);
    if (rc != SWT_OK)
        return rc;
    swt_html_heading(page, 2, "evidence", "What it looks like");
    if (figures_note)
        swt_html_paragraph(page, NULL, figures_note);
    else
        rc = add_pictures(page, pictures, err);
    if (rc == SWT_OK)
        rc = page_replay(page, study, a, p, group,
                         pictures->has_still && !figures_note ? &pictures->item[0] : NULL, err);
    if (rc != SWT_OK)
        return rc;
    if (p->found.certainty != SWT_NOT_COMPARED) {
        swt_html_heading(page, 2, "departures", "All that departs");
        if (p->found.n_departures == 0)
            swt_html_paragraph(page, NULL,
                               p->found.n_throughout == a->family.n_members
                                   ? "Nothing leaves the corridor."
                                   : "Nothing that could be compared leaves the corridor.");
        page_departure_table(page, a, p);
        page_unseen(page, study, a, p);
    }
    page_cautions(page, a);
    swt_html_heading(page, 2, "measures", "All measures");
    rc = page_measure_table(page, study, a, p, err);
    if (rc != SWT_OK)
        return rc;
    page_player_quality(page, study, a, p);
    swt_html_heading(page, 2, "group", "The group");
    page_group_words(page, a);
    page_definitions(page, a);
    page_provenance(page, study, a, options);
    swt_html_end(page);
    return SWT_OK;
}
