/* The reference group: who is in it, what its corridor looks like, how well it holds, how its
 * players and their swings differ. */
#include "io/report/page_parts.h"
#include "io/report/player_figures.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { N = SWT_CURVE_SAMPLES };

/* What a row of players shows beside their number of swings. */
static const char *const shown[] = {"hand_depth_at_lead_arm_level_backswing",
                                    "hand_height_at_lead_arm_level_backswing", "backswing_time",
                                    "tempo_ratio"};

enum { SHOWN = sizeof shown / sizeof *shown };

/* ---- figures ---- */

static const swt_series curves[] = {SWT_SERIES_HAND_DEPTH, SWT_SERIES_HAND_HEIGHT,
                                    SWT_SERIES_LEAD_ARM_ACROSS_CHEST, SWT_SERIES_SEPARATION_JOINT};

static swt_figure_frame group_frame(const swt_assessment *a)
{
    return (swt_figure_frame){.group = a->options.group,
                              .n_players = a->n_reference_players,
                              .n_swings = a->n_reference,
                              .coverage = a->options.corridor.coverage};
}

/* The corridor of one look at the hands, with the group's events on it. */
static swt_status draw_tube(swt_plot *plot, const swt_assessment *a, const path_view *view,
                            double heel_m, swt_error *err)
{
    const swt_path_corridor *tube = view->from_above ? a->hand_path_above : a->hand_path;
    double ellipse[3 * N];
    swt_figure_mark mark[4];
    swt_figure_rule rule[2] = {{0, view->from_above, "toe line"},
                               {heel_m, view->from_above, "heel line"}};
    swt_figure_path f = {.frame = group_frame(a),
                         .title = view->title,
                         .x_label = view->x_label,
                         .y_label = view->y_label,
                         .n = view->n,
                         .ellipse = ellipse,
                         .n_marks = 4,
                         .mark = mark,
                         .n_rules = isfinite(heel_m) ? 2 : 1,
                         .rule = rule};

    if (!tube || tube->state == SWT_CORRIDOR_REFUSED)
        return swt_fail(err, SWT_EDATA, "the group has no corridor of the hand path");
    f.centre_x = tube->centre_depth + view->first;
    f.centre_y = tube->centre_height + view->first;
    for (size_t i = 0; i < 3 * view->n; i++)
        ellipse[i] = tube->multiplier * tube->multiplier * tube->covariance[3 * view->first + i];
    for (size_t e = 0; e < 4; e++)
        mark[e] = (swt_figure_mark){.event = view->mark[e],
                                    .x = nan(""),
                                    .y = nan(""),
                                    .group_x = a->group_facts.at_event[view->x][view->mark[e]],
                                    .group_y = a->group_facts.at_event[view->y][view->mark[e]]};
    return swt_figure_draw_path(plot, &f, err);
}

static swt_status draw_curve(swt_plot *plot, const swt_assessment *a, swt_series series,
                             swt_error *err)
{
    long at = swt_compared_find(a, true, (size_t)series);
    const swt_corridor *c = at >= 0 ? a->compared[at].corridor : NULL;

    if (!c || c->state == SWT_CORRIDOR_REFUSED)
        return swt_fail(err, SWT_EDATA, "the group has no corridor of this");
    return swt_figure_draw_curve(plot,
                                 &(swt_figure_curve){.frame = group_frame(a),
                                                     .series = series,
                                                     .centre = c->centre,
                                                     .lower = c->lower,
                                                     .upper = c->upper},
                                 err);
}

static page_picture *name_picture(page_pictures *pictures, const char *folder, const char *name)
{
    page_picture *item = &pictures->item[pictures->n];

    *item = (page_picture){.alt = ""};
    snprintf(item->path, sizeof item->path, "%s/group-%s.svg", folder, name);
    return item;
}

/* "From takeaway to club top: the corridor is 310 mm deep at lead arm level in the backswing." */
static void say_width(page_picture *item, const swt_assessment *a, swt_series series)
{
    long at = swt_compared_find(a, true, (size_t)series);
    const swt_corridor *c = at >= 0 ? a->compared[at].corridor : NULL;
    const swt_series_info *info = swt_series_describe(series);
    char low[48], high[48];

    if (!c || !isfinite(c->lower[SWT_PHASE_STEPS]))
        snprintf(item->alt, sizeof item->alt, "The group's corridor of %s.", info->title);
    else
        snprintf(item->alt, sizeof item->alt,
                 "The group's corridor of %s: at lead arm level in the backswing from %s to %s.",
                 info->title,
                 swt_words_value(low, sizeof low, info->quantity, c->lower[SWT_PHASE_STEPS]),
                 swt_words_value(high, sizeof high, info->quantity, c->upper[SWT_PHASE_STEPS]));
}

/* Where the middle of the group's hands is at the event that tells most of a look. */
static void say_middle(page_picture *item, const swt_assessment *a, const path_view *view)
{
    swt_event e = view->mark[view->first == 0 ? 2 : 1]; /* lead arm level, on the way */
    double depth = a->group_facts.at_event[SWT_SERIES_HAND_DEPTH][e];

    snprintf(item->alt, sizeof item->alt, "The group's corridor. %s.", view->what);
    if (isfinite(depth))
        snprintf(item->alt + strlen(item->alt), sizeof item->alt - strlen(item->alt),
                 " At %s the mean of the players' hands is %.0f mm %s the toe line.",
                 swt_event_phrase(e), 1000 * fabs(depth), depth < 0 ? "in front of" : "behind");
    snprintf(item->alt + strlen(item->alt), sizeof item->alt - strlen(item->alt), " %s",
             view->caption);
}

static swt_status draw_all(page_pictures *pictures, swt_plot *plot, const char *folder,
                           const swt_assessment *a, double heel_m, swt_error *err)
{
    swt_status rc = SWT_OK;

    for (size_t v = 0; rc == SWT_OK && v < PLAYER_VIEWS; v++) {
        page_picture *item = name_picture(pictures, folder, player_views[v].name);
        say_middle(item, a, &player_views[v]);
        rc = swt_plot_picture(plot, item->path, SWT_PLOT_SVG, SWT_PLOT_COLUMN,
                              player_views[v].ratio, err);
        if (rc == SWT_OK)
            rc = page_keep_picture(pictures, plot,
                                   draw_tube(plot, a, &player_views[v], heel_m, err));
    }
    for (size_t i = 0; rc == SWT_OK && i < sizeof curves / sizeof *curves; i++) {
        page_picture *item = name_picture(pictures, folder, swt_series_describe(curves[i])->name);
        say_width(item, a, curves[i]);
        rc = swt_plot_picture(plot, item->path, SWT_PLOT_SVG, SWT_PLOT_COLUMN,
                              SWT_FIGURE_CURVE_RATIO, err);
        if (rc == SWT_OK)
            rc = page_keep_picture(pictures, plot, draw_curve(plot, a, curves[i], err));
    }
    return rc;
}

swt_status page_draw_group(page_pictures *pictures, const char *folder, const swt_study *study,
                           const swt_assessment *a, const char *keep_script, swt_error *err)
{
    double *heel = calloc(a->n_reference + 1, sizeof *heel);
    char script[PATH_ROOM];
    swt_plot *plot = NULL;
    swt_status rc = heel ? swt_plot_new(&plot, err) : swt_fail(err, SWT_ENOMEM, "out of memory");

    pictures->n = 0;
    pictures->drawn = pictures->has_still = false;
    for (size_t i = 0; heel && i < a->n_reference; i++)
        heel[i] = study->swing[a->reference[i]].heel_depth_m;
    if (rc == SWT_OK)
        rc = draw_all(pictures, plot, folder, a, swt_median(heel, a->n_reference), err);
    free(heel);
    if (rc != SWT_OK || pictures->n == 0) {
        swt_plot_discard(plot);
        return rc;
    }
    if (keep_script)
        snprintf(script, sizeof script, "%s/group.gp", keep_script);
    rc = swt_plot_draw(plot, keep_script ? script : NULL, err);
    pictures->drawn = rc == SWT_OK;
    return rc;
}

/* ---- tables ---- */

static void add_number(swt_text *page, swt_quantity quantity, double si)
{
    char text[48];

    swt_html_number_cell(page, swt_words_number(text, sizeof text, quantity, si));
}

/* A player's median of a measure; NaN for none. `room`: a number for each reference swing. */
static double median_of(const swt_study *study, const swt_assessment *a, int player, size_t row,
                        double *room)
{
    size_t n = 0;

    for (size_t i = 0; i < a->n_reference; i++) {
        const swt_measurement *m = &study->measure[row][a->reference[i]];
        if (a->reference_player[i] == player && m->verdict.state != SWT_ABSENT)
            room[n++] = m->value;
    }
    return swt_median(room, n);
}

static void add_players(swt_text *page, const swt_study *study, const swt_assessment *a)
{
    double *room = calloc(a->n_reference + 1, sizeof *room);
    char head[SHOWN][96];
    const char *columns[SHOWN + 3] = {"Player", "Side", "#Swings"};

    if (!room) {
        page->failed = true;
        return;
    }
    for (size_t k = 0; k < SHOWN; k++) {
        const swt_measure *m = swt_measure_row((size_t)swt_measure_find(shown[k]));
        snprintf(head[k], sizeof head[k], "#%s%s%s%s", m->title,
                 m->quantity == SWT_FRACTION ? "" : " (",
                 m->quantity == SWT_FRACTION ? "" : swt_quantity_unit(m->quantity)->shown,
                 m->quantity == SWT_FRACTION ? "" : ")");
        columns[3 + k] = head[k];
    }
    swt_html_table_begin(page, "Players of the group, medians of their swings", "wide", columns,
                         SHOWN + 3);
    for (size_t p = 0; p < a->n_reference_players; p++) {
        size_t n = 0, first = 0;
        for (size_t i = a->n_reference; i-- > 0;)
            if (a->reference_player[i] == (int)p) {
                n++;
                first = a->reference[i];
            }
        swt_text_add(page, "<tr><th scope=\"row\">");
        swt_html_text(page, study->swing[first].player);
        swt_text_add(page, "</th><td>%s</td><td class=\"n\">%zu</td>",
                     study->swing[first].side == SWT_LEFT_HANDED ? "left" : "right", n);
        for (size_t k = 0; k < SHOWN; k++) {
            size_t row = (size_t)swt_measure_find(shown[k]);
            add_number(page, swt_measure_row(row)->quantity,
                       median_of(study, a, (int)p, row, room));
        }
        swt_text_add(page, "</tr>\n");
    }
    swt_html_table_end(page);
    free(room);
}

/* Median over the samples that have one. */
static double typical(const double *of_samples, size_t n)
{
    double room[N];
    size_t k = 0;

    for (size_t i = 0; i < n && i < N; i++)
        if (isfinite(of_samples[i]))
            room[k++] = of_samples[i];
    return swt_median(room, k);
}

static double half_widths(double room[N], const swt_corridor *c)
{
    for (size_t i = 0; i < c->n_samples && i < N; i++)
        room[i] = (c->upper[i] - c->lower[i]) / 2;
    return typical(room, c->n_samples);
}

static void add_spread_row(swt_text *page, const swt_compared *c)
{
    const swt_corridor *k = c->corridor;
    double between = typical(k->sd_between, k->n_samples),
           within = typical(k->sd_within, k->n_samples), room[N];
    char text[48];

    swt_text_add(page, "<tr><th scope=\"row\"><a href=\"#def-%s%s\">", c->is_series ? "curve-" : "",
                 c->is_series ? swt_series_describe((swt_series)c->index)->name
                              : swt_measure_row(c->index)->name);
    swt_html_text(page, c->title);
    swt_text_add(page, "</a></th>");
    if (!c->is_series)
        swt_html_number_cell(page, swt_words_value(text, sizeof text, c->quantity, k->centre[0]));
    swt_html_number_cell(page,
                         swt_words_amount(text, sizeof text, c->quantity, half_widths(room, k)));
    swt_html_number_cell(page, swt_words_amount(text, sizeof text, c->quantity, between));
    swt_html_number_cell(page, swt_words_amount(text, sizeof text, c->quantity, within));
    snprintf(text, sizeof text, "%.0f %%",
             100 * between * between / (between * between + within * within));
    swt_html_number_cell(page, isfinite(between + within) && between + within > 0 ? text : "-");
    snprintf(text, sizeof text, "%zu of %zu", k->loo_inside, k->loo_swings);
    swt_text_add(page, "<td class=\"n\" data-v=\"%.4f\">%s</td>",
                 k->loo_swings ? (double)k->loo_inside / (double)k->loo_swings : 0.0,
                 k->loo_swings ? text : "-");
    swt_text_add(page, "<td>%s</td></tr>\n", k->state == SWT_CORRIDOR_LIMITED ? "limited" : "");
}

static void add_spread(swt_text *page, const swt_assessment *a, bool of_curves)
{
    static const char *const columns[] = {
        "Measure",          "#Centre",           "#Half-width",         "#Between players",
        "#Within a player", "#Between, of both", "#Held when left out", "State"};
    const char *kept[8];
    size_t n = 0;

    for (size_t i = 0; i < 8; i++)
        if (!of_curves || i != 1)
            kept[n++] = columns[i];
    swt_html_table_begin(page,
                         of_curves ? "Curves: typical spread through the swing (medians over time)"
                                   : "Single numbers: spread (standard deviations)",
                         "wide", kept, n);
    for (size_t i = 0; i < a->n_compared; i++)
        if (a->compared[i].is_series == of_curves &&
            a->compared[i].corridor->state != SWT_CORRIDOR_REFUSED)
            add_spread_row(page, &a->compared[i]);
    swt_html_table_end(page);
}

swt_status page_group(swt_text *page, const swt_study *study, const swt_assessment *a,
                      const page_pictures *pictures, const char *figures_note,
                      const swt_report_options *options, swt_error *err)
{
    char players[48], swings[48];
    swt_status rc = SWT_OK;

    swt_html_begin(page, "The reference group");
    swt_text_add(page, "<p class=\"links\"><a href=\"index.html\">All players</a></p>\n");
    swt_html_heading(page, 1, NULL, "The reference group");
    swt_text_add(
        page,
        "<p class=\"lead\">%s with %s: what every other swing of this study is held "
        "against.</p>\n",
        swt_words_count(players, sizeof players, a->n_reference_players, "player", "players"),
        swt_words_count(swings, sizeof swings, a->n_reference, "swing", "swings"));
    swt_html_heading(page, 2, "worth", "What its corridor is worth");
    page_group_words(page, a);
    swt_html_heading(page, 2, "corridor", "What it looks like");
    if (figures_note)
        swt_html_paragraph(page, NULL, figures_note);
    swt_text_add(page, "<div class=\"grid\">\n");
    for (size_t i = 0; !figures_note && rc == SWT_OK && i < pictures->n; i++)
        rc = swt_html_figure(page, pictures->item[i].path, pictures->item[i].alt,
                             pictures->item[i].alt, err);
    swt_text_add(page, "</div>\n");
    if (rc != SWT_OK)
        return rc;
    swt_html_heading(page, 2, "players", "Who is in it");
    add_players(page, study, a);
    swt_html_heading(page, 2, "spread", "How players and their swings differ");
    swt_html_paragraph(page, NULL,
                       "Between players: how far players' own averages lie apart. Within a player: "
                       "how far one player's swings lie apart. The share tells how much of the "
                       "variance of single swings lies between players: where it is high the "
                       "measure tells players apart, where it is low it mostly tells swings apart. "
                       "Held when left out: swings inside a corridor that was built without their "
                       "player.");
    add_spread(page, a, true);
    add_spread(page, a, false);
    page_cautions(page, a);
    page_definitions(page, a);
    page_provenance(page, study, a, options);
    swt_html_end(page);
    return SWT_OK;
}
