#include "io/report/figure.h"
#include "io/report/figure_parts.h"
#include "io/report/text.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const struct {
    const char *words;
    int point; /* gnuplot's filled forms: 5 square, 7 disc, 9 and 11 triangles, 13 diamond, 15
                  pentagon */
} event_face[SWT_EVENT_COUNT] = {
    [SWT_EVENT_TAKEAWAY] = {"takeaway", 7},
    [SWT_EVENT_TRAVEL_061] = {"club 0.61 m", 15},
    [SWT_EVENT_SHAFT_LEVEL_BACKSWING] = {"shaft level", 5},
    [SWT_EVENT_TRAVEL_183] = {"club 1.83 m", 15},
    [SWT_EVENT_LEAD_ARM_LEVEL_BACKSWING] = {"lead arm level", 9},
    [SWT_EVENT_PELVIS_REVERSAL] = {"pelvis reversal", 15},
    [SWT_EVENT_HANDS_TOP] = {"hands top", 15},
    [SWT_EVENT_THORAX_REVERSAL] = {"thorax reversal", 15},
    [SWT_EVENT_CLUB_TOP] = {"club top", 13},
    [SWT_EVENT_LEAD_ARM_LEVEL_DOWNSWING] = {"arm level, down", 11},
    [SWT_EVENT_SHAFT_LEVEL_DOWNSWING] = {"shaft level, down", 5},
    [SWT_EVENT_IMPACT] = {"impact", 7},
    [SWT_EVENT_SHAFT_LEVEL_FOLLOW_THROUGH] = {"shaft level", 5},
    [SWT_EVENT_FINISH] = {"finish", 13},
};

const char *swt_event_short(swt_event event)
{
    return event_face[event].words;
}

int figure_event_point(swt_event event)
{
    return event_face[event].point;
}

void figure_reach(double *low, double *high, double value)
{
    if (!isfinite(value))
        return;
    *low = fmin(*low, value);
    *high = fmax(*high, value);
}

double figure_step(double range, double most)
{
    static const double round_step[] = {1, 2, 2.5, 5, 10};
    double power = pow(10, floor(log10(range / most)));

    for (size_t i = 0; i < sizeof round_step / sizeof *round_step; i++)
        if (range / (round_step[i] * power) <= most)
            return round_step[i] * power;
    return 10 * power;
}

static size_t count_characters(const char *text)
{
    size_t n = 0;

    for (; *text; text++)
        n += ((unsigned char)*text & 0xc0) != 0x80;
    return n;
}

double figure_text_width(const char *text, double font)
{
    return 0.57 * font * (double)count_characters(text);
}

double figure_to_x(const figure_box *box, double shown)
{
    return box->left + (box->right - box->left) * (shown - box->x_low) / (box->x_high - box->x_low);
}

double figure_to_y(const figure_box *box, double shown)
{
    return box->bottom +
           (box->top - box->bottom) * (shown - box->y_low) / (box->y_high - box->y_low);
}

/* A text of ours or of the user at a place on the canvas. */
static void add_text(swt_plot *plot, const char *text, size_t most, double x, double y,
                     const char *align, double font, const char *colour)
{
    swt_plot_canvas c = swt_plot_get_canvas(plot);

    swt_plot_add(plot, "set label ");
    swt_plot_quote(plot, text, most);
    swt_plot_add(plot, " at screen %.4f,%.4f %s font ',%.2f' textcolor rgb '%s' front\n",
                 x / c.width, y / c.height, align, font * c.font_per_unit, colour);
}

/* "Group NAME: 20 players, ...": the counts are always seen whole, a long name gives way. */
static void add_caption_line(swt_plot *plot, const char *kind, const char *name, const char *facts,
                             double y)
{
    swt_plot_canvas c = swt_plot_get_canvas(plot);
    double font = 0.82 * c.font;
    size_t room = (size_t)((c.width - 1.4 * c.font) / (0.57 * font));
    size_t taken = strlen(kind) + 1 + strlen(facts);
    char shown[256], line[512];

    swt_text_clean(shown, sizeof shown, name, room > taken + 8 ? room - taken : 8);
    snprintf(line, sizeof line, "%s%s%s%s", kind, *shown ? " " : "", shown, facts);
    add_text(plot, line, 200, 0.7 * c.font, y, "left", font, MUTED);
}

static void add_caption(swt_plot *plot, const swt_figure_frame *frame)
{
    swt_plot_canvas c = swt_plot_get_canvas(plot);
    char facts[96];

    if (frame->n_players == 0)
        facts[0] = '\0';
    else if (frame->coverage > 0)
        snprintf(facts, sizeof facts, ": %zu players, %zu swings, %.0f %% %s", frame->n_players,
                 frame->n_swings, 100 * frame->coverage,
                 frame->is_interval ? "interval" : "corridor");
    else
        snprintf(facts, sizeof facts, ": %zu players, %zu swings", frame->n_players,
                 frame->n_swings);
    add_caption_line(plot,
                     !frame->n_players           ? "No group to compare with"
                     : strchr(frame->group, '=') ? "Reference" /* conditions, not a name */
                                                 : "Group",
                     frame->n_players ? frame->group : "", facts, 0.75 * c.font);
    if (!frame->player)
        return;
    snprintf(facts, sizeof facts, ": %zu swing%s", frame->n_player_swings,
             frame->n_player_swings == 1 ? "" : "s");
    if (frame->n_chosen_players > 0)
        snprintf(facts + strlen(facts), sizeof facts - strlen(facts), ", %zu player%s",
                 frame->n_chosen_players, frame->n_chosen_players == 1 ? "" : "s");
    add_caption_line(plot,
                     frame->n_chosen_players == 0 ? "Player"
                     : *frame->player             ? "Swings with"
                                                  : "All swings",
                     frame->player, facts, 1.95 * c.font);
}

static void add_rectangle(swt_plot *plot, double x, double y, double w, double h,
                          const char *colour)
{
    swt_plot_canvas c = swt_plot_get_canvas(plot);

    swt_plot_add(plot,
                 "set object rectangle from screen %.4f,%.4f to screen %.4f,%.4f "
                 "fc rgb '%s' fs solid 1 border lc rgb '" BAND_EDGE "' lw 0.6\n",
                 x / c.width, y / c.height, (x + w) / c.width, (y + h) / c.height, colour);
}

static void add_stroke(swt_plot *plot, double x, double y, double length, const char *style)
{
    swt_plot_canvas c = swt_plot_get_canvas(plot);

    swt_plot_add(plot, "set arrow from screen %.4f,%.4f to screen %.4f,%.4f nohead %s\n",
                 x / c.width, y / c.height, (x + length) / c.width, y / c.height, style);
}

static void add_legend_form(swt_plot *plot, legend_form form, double x, double y, double length,
                            double height)
{
    switch (form) {
    case LEGEND_BAND:
        add_rectangle(plot, x, y - height / 2, length, height, BAND);
        break;
    case LEGEND_DARK:
        add_rectangle(plot, x, y - height / 2, length, height, FILL_DARK);
        break;
    case LEGEND_MIDDLE:
        add_rectangle(plot, x, y - height / 2, length, height, FILL_MIDDLE);
        break;
    case LEGEND_LIGHT:
        add_rectangle(plot, x, y - height / 2, length, height, FILL_LIGHT);
        break;
    case LEGEND_CENTRE:
        add_stroke(plot, x, y, length, "dt (6,4) lw 1.3 lc rgb '" MUTED "'");
        break;
    case LEGEND_PLAYER:
        add_stroke(plot, x, y, length, "lw 2.2 lc rgb '" PLAYER "'");
        break;
    case LEGEND_SWINGS:
        add_stroke(plot, x, y, length, "lw 0.7 lc rgb '" PLAYER "'");
        break;
    case LEGEND_STRESS:
        add_stroke(plot, x, y, length, "lw 5 lc rgb '" STRESS "'");
        break;
    case LEGEND_POINT: {
        swt_plot_canvas c = swt_plot_get_canvas(plot);
        swt_plot_add(plot,
                     "set label '' at screen %.4f,%.4f point pt 7 ps 0.6 lc rgb '" PLAYER "'\n",
                     (x + length / 2) / c.width, y / c.height);
        break;
    }
    }
}

/* Writes the legend row by row under the title; with a NULL plot it only counts the rows. */
static size_t add_legend(swt_plot *plot, swt_plot_canvas c, const legend_item *item, size_t n)
{
    double font = 0.88 * c.font, sample = 1.7 * c.font;
    double x = 0.7 * c.font, y = c.height - 2.75 * c.font;
    size_t rows = n > 0;

    for (size_t i = 0; i < n; i++) {
        double width = sample + 0.4 * c.font + figure_text_width(item[i].text, font);
        if (i > 0 && x + width > c.width - 0.5 * c.font) {
            x = 0.7 * c.font;
            y -= 1.4 * c.font;
            rows++;
        }
        if (plot) {
            add_legend_form(plot, item[i].form, x, y, sample, 0.75 * c.font);
            add_text(plot, item[i].text, 80, x + sample + 0.4 * c.font, y, "left", font, INK);
        }
        x += width + 0.9 * c.font;
    }
    return rows;
}

figure_box figure_begin(swt_plot *plot, const swt_figure_frame *frame, const char *title,
                        double left_margin, double bottom_margin, const legend_item *item,
                        size_t n_items)
{
    swt_plot_canvas c = swt_plot_get_canvas(plot);
    double rows = (double)add_legend(NULL, c, item, n_items);
    figure_box box = {.left = left_margin,
                      .right = c.width - 1.2 * c.font,
                      .bottom = bottom_margin + (frame->player ? 2.9 : 1.7) * c.font,
                      .top = c.height - (2.3 + 1.45 * rows) * c.font};

    swt_plot_add(plot,
                 "set lmargin at screen %.4f\nset rmargin at screen %.4f\n"
                 "set bmargin at screen %.4f\nset tmargin at screen %.4f\n",
                 box.left / c.width, box.right / c.width, box.bottom / c.height,
                 box.top / c.height);
    swt_plot_add(plot, "unset key\nset border 3 lc rgb '" MUTED "' lw 0.8\n"
                       "set tics nomirror out scale 0.5 textcolor rgb '" INK "'\n"
                       "set style fill solid 1 noborder\n");
    add_text(plot, title, 200, 0.7 * c.font, c.height - 1.2 * c.font, "left", 1.15 * c.font, INK);
    add_legend(plot, c, item, n_items);
    add_caption(plot, frame);
    return box;
}

void figure_axis_names(swt_plot *plot, const figure_box *box, const char *x_name,
                       const char *y_name, double drop)
{
    swt_plot_canvas c = swt_plot_get_canvas(plot);

    add_text(plot, x_name, 80, (box->left + box->right) / 2, box->bottom - drop * c.font, "center",
             0.92 * c.font, INK);
    if (y_name) { /* a long one in smaller letters, so that it stays beside its axis */
        double font = 0.92 * c.font, length = figure_text_width(y_name, font);
        double room = box->top - box->bottom;
        add_text(plot, y_name, 80, 1.0 * c.font, (box->bottom + box->top) / 2,
                 "center rotate by 90", font * fmin(1, room / length), INK);
    }
}

void figure_ranges(swt_plot *plot, const figure_box *box)
{
    swt_plot_canvas c = swt_plot_get_canvas(plot);
    double x_step =
        figure_step(box->x_high - box->x_low, (box->right - box->left) / (4.5 * c.font));
    double y_step =
        figure_step(box->y_high - box->y_low, (box->top - box->bottom) / (2.4 * c.font));

    swt_plot_add(plot, "set xrange [%.6g:%.6g]\nset yrange [%.6g:%.6g]\n", box->x_low, box->x_high,
                 box->y_low, box->y_high);
    swt_plot_add(plot, "set xtics %.6g\nset ytics %.6g\n", x_step, y_step);
}
