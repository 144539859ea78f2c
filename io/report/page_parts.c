/* Words and lists that several pages carry. */
#include "io/report/page_parts.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const swt_corridor *first_corridor(const swt_assessment *a)
{
    for (size_t i = 0; i < a->n_compared; i++)
        if (a->compared[i].corridor->state != SWT_CORRIDOR_REFUSED)
            return a->compared[i].corridor;
    return NULL;
}

/* Which corridors say less than they promise, each with its reason; the reason alone where it is
 * that of all of them (a small group). */
static void add_limited(swt_text *page, const swt_assessment *a)
{
    size_t limited = 0, built = 0;
    const swt_corridor *first = NULL;
    swt_text line = {0};

    for (size_t i = 0; i < a->n_compared; i++) {
        const swt_corridor *c = a->compared[i].corridor;
        built += c->state != SWT_CORRIDOR_REFUSED;
        limited += c->state == SWT_CORRIDOR_LIMITED;
        if (c->state == SWT_CORRIDOR_LIMITED && !first)
            first = c;
    }
    if (limited == 0)
        return;
    if (limited == built) {
        swt_html_paragraph(page, NULL, first->reason);
        return;
    }
    swt_text_add(&line,
                 "%zu of the %zu corridors are limited, their edges less sure than the others':",
                 limited, built);
    swt_html_paragraph(page, NULL, line.bytes ? line.bytes : "");
    swt_text_reset(&line);
    swt_text_add(page, "<ul>\n");
    for (size_t i = 0; i < a->n_compared; i++) {
        if (a->compared[i].corridor->state != SWT_CORRIDOR_LIMITED)
            continue;
        swt_text_add(page, "<li>");
        swt_html_text(page, a->compared[i].title);
        swt_text_add(page, ": ");
        swt_html_text(page, a->compared[i].corridor->reason);
        swt_text_add(page, "</li>\n");
    }
    swt_text_add(page, "</ul>\n");
}

/* How a corridor fared with each player left out: counted, and said when it kept less than it
 * promised. Players are the unit: 2 binomial standard errors with as many trials as players. */
static void add_left_out(swt_text *line, const char *what, size_t inside, size_t swings,
                         double coverage, const swt_assessment *a)
{
    double promised = a->options.corridor.coverage;
    double error = sqrt(promised * (1 - promised) / (double)a->n_reference_players);
    char share[64];

    if (swings == 0)
        return;
    swt_text_add(line, " That of %s held %s of the swings left out%s.", what,
                 swt_words_share(share, sizeof share, inside, swings),
                 coverage < promised - 2 * error
                     ? ", fewer than it is made for: read its edge with care"
                     : "");
}

void page_group_words(swt_text *page, const swt_assessment *a)
{
    const swt_corridor *any = first_corridor(a);
    swt_text line = {0};
    long depth = swt_compared_find(a, true, SWT_SERIES_HAND_DEPTH);
    char players[48], swings[48];

    if (!a->options.group) {
        swt_html_paragraph(page, NULL, "No reference group was chosen, so nothing is compared.");
        return;
    }
    swt_text_add(
        &line, "The reference group \"%s\" has %s with %s.", a->options.group,
        swt_words_count(players, sizeof players, a->n_reference_players, "player", "players"),
        swt_words_count(swings, sizeof swings, a->n_reference, "swing", "swings"));
    if ((a->club && *a->club) || (a->shot && *a->shot))
        swt_text_add(&line, " All have%s%s%s%s%s.", *a->shot ? " the shot length " : "", a->shot,
                     *a->shot && *a->club ? " and" : "", *a->club ? " the club " : "", a->club);
    if (a->n_reference_other > 0)
        swt_text_add(&line,
                     " %zu more of the group's swings have another club or shot length and are "
                     "left out, so that like is compared with like.",
                     a->n_reference_other);
    if (a->n_practice > 0)
        swt_text_add(&line, " %s of the study left out.",
                     swt_words_count(swings, sizeof swings, a->n_practice, "practice swing is",
                                     "practice swings are"));
    if (!any) {
        swt_text_add(&line, " It carries no corridor");
        if (a->n_compared > 0)
            swt_text_add(&line, ": %s", a->compared[0].corridor->reason);
        else
            swt_text_add(&line, ": its swings have no measures.");
        swt_html_paragraph(page, NULL, line.bytes ? line.bytes : "");
        swt_text_reset(&line);
        return;
    }
    swt_text_add(
        &line,
        " A corridor is made to hold the whole curve of %.0f %% of single swings of "
        "new players like these. To test that, the corridors were built again without each "
        "player in turn.",
        100 * a->options.corridor.coverage);
    if (depth >= 0)
        add_left_out(&line, "hand depth", a->compared[depth].corridor->loo_inside,
                     a->compared[depth].corridor->loo_swings,
                     a->compared[depth].corridor->loo_coverage, a);
    if (a->hand_path && a->hand_path->state != SWT_CORRIDOR_REFUSED)
        add_left_out(&line, "the hand path", a->hand_path->loo_inside, a->hand_path->loo_swings,
                     a->hand_path->loo_coverage, a);
    swt_text_add(&line, " Nothing is scaled to a player's size: where the group's statures are "
                        "mixed, its corridors of lengths are the wider, and a player of another "
                        "size can leave them by size alone.");
    swt_html_paragraph(page, NULL, line.bytes ? line.bytes : "");
    swt_text_reset(&line);
    add_limited(page, a);
    if (isfinite(a->family.factor)) {
        swt_text_add(&line,
                     "%zu measures are looked at together. Each by itself, an estimated %.0f %% of "
                     "swings of new players like the group's would leave at least one corridor; a "
                     "departure \"stands\" when it also leaves the corridor made %.2f times as "
                     "wide, which such swings leave anywhere in only %.0f %%.",
                     a->family.n_members, 100 * a->family.false_alone, a->family.factor,
                     100 * (1 - a->options.corridor.coverage));
        swt_html_paragraph(page, NULL, line.bytes ? line.bytes : "");
    }
    swt_text_reset(&line);
}

void page_cautions(swt_text *page, const swt_assessment *a)
{
    char players[48], swings[48];

    swt_html_heading(page, 2, "cautions", "Before you act on it");
    swt_text_add(page, "<ul>\n<li>These measures describe motion; they do not diagnose.");
    if (a->options.group) {
        swt_text_add(page, " A departure is not a fault by itself: the corridor describes the "
                           "group \"");
        swt_html_text(page, a->options.group);
        swt_text_add(
            page, "\" (%s, %s) and nobody else, and a swing may be good outside it.",
            swt_words_count(players, sizeof players, a->n_reference_players, "player", "players"),
            swt_words_count(swings, sizeof swings, a->n_reference, "swing", "swings"));
    }
    swt_text_add(page, "</li>\n");
    if (a->options.group)
        swt_text_add(page, "<li>The order is an order in time. That one departure came before "
                           "another does not show that it brought the other about.</li>\n");
    swt_text_add(page,
                 "<li>A player who has pain, or is returning from injury, needs a qualified "
                 "clinician before any change of motion.</li>\n"
                 "<li>Captures are personal data. Players appear as codes; consent and the rules "
                 "of the place come first.</li>\n</ul>\n");
}

static void add_fact(swt_text *page, const char *name, const char *value)
{
    if (!value || !*value)
        return;
    swt_text_add(page, "<dt>%s</dt><dd>", name);
    swt_html_text(page, value);
    swt_text_add(page, "</dd>\n");
}

void page_provenance(swt_text *page, const swt_study *study, const swt_assessment *a,
                     const swt_report_options *options)
{
    char line[400];

    swt_html_heading(page, 2, "provenance", "Where the numbers come from");
    swt_text_add(page, "<dl class=\"facts\">\n");
    add_fact(page, "Study file", study->path);
    add_fact(page, "Made by swathe", study->version);
    add_fact(page, "On", study->created);
    add_fact(page, "With the command", study->command);
    add_fact(page, "Sheet", study->sheet);
    add_fact(page, "Sheet, SHA-256", study->sheet_sha256);
    add_fact(page, "Marker map", study->map);
    add_fact(page, "Marker map, SHA-256", study->map_sha256);
    if (!*study->sheet && !*study->map && !*study->command)
        add_fact(page, "Sheet, map and command",
                 "not kept, as in every copy for sharing (swathe deidentify)");
    add_fact(page, "Report made by swathe", SWT_VERSION);
    add_fact(page, "With the command", options->command);
    snprintf(line, sizeof line, "coverage %g, confidence of intervals %g, %zu resamples, seed %lu",
             a->options.corridor.coverage, a->options.corridor.confidence,
             a->options.corridor.n_resamples, a->options.corridor.seed);
    add_fact(page, "Corridor", line);
    swt_text_add(page, "</dl>\n");
    if (study->options && *study->options) {
        swt_html_paragraph(page, "soft", "Options of the study:");
        swt_text_add(page, "<pre>");
        for (const char *s = study->options; *s;) { /* lines stay lines */
            size_t length = strcspn(s, "\n");
            char one[512];
            snprintf(one, sizeof one, "%.*s", (int)(length < 500 ? length : 500), s);
            swt_html_text(page, one);
            swt_text_add(page, "\n");
            s += length + (s[length] == '\n');
        }
        swt_text_add(page, "</pre>\n");
    }
}

size_t page_serious(const swt_study_finding **first, const swt_study *study,
                    const swt_assessment *a, const swt_assessed_player *p)
{
    size_t n = 0;

    for (size_t k = 0; k < p->n_swings; k++) {
        size_t row = a->swing[p->first + k].swing;
        for (size_t i = 0; i < study->n_findings; i++) {
            const swt_study_finding *f = &study->finding[i];
            if (f->severity != SWT_SERIOUS || f->capture != study->swing[row].capture ||
                (f->swing != -1 && f->swing != (long)row))
                continue;
            if (n++ == 0 && first)
                *first = f;
        }
    }
    return n;
}

size_t page_findings(swt_text *page, const swt_study *study, size_t capture, long swing,
                     swt_severity least)
{
    static const char *const weight[] = {"Note", "Caution", "Serious"};
    size_t n = 0;

    for (int severity = SWT_SERIOUS; severity >= (int)least; severity--)
        for (size_t i = 0; i < study->n_findings; i++) {
            const swt_study_finding *f = &study->finding[i];
            if ((int)f->severity != severity || f->capture != capture ||
                (swing != EVERY_SWING && f->swing != -1 && f->swing != swing))
                continue;
            swt_text_add(page, n++ == 0 ? "<ul>\n<li>" : "<li>");
            swt_text_add(page, "<strong>%s:</strong> ", weight[severity]);
            swt_html_text(page, f->text);
            swt_text_add(page, "</li>\n");
        }
    if (n > 0)
        swt_text_add(page, "</ul>\n");
    return n;
}

char *page_slug(char *out, size_t room, const char *code, size_t number)
{
    char part[48];

    snprintf(out, room, "player-%02zu-%s", number + 1, swt_html_slug(part, sizeof part, code));
    return out;
}

char *page_progress_slug(char *out, size_t room, const swt_progress_set *set, size_t number)
{
    char part[48];

    snprintf(out, room, "progress-%02zu-%s", number + 1,
             swt_html_slug(part, sizeof part, set->name));
    return out;
}
