/* Stick figures at the events, one beside the other, seen from two sides. */
#include "io/report/figure.h"
#include "io/report/figure_parts.h"

#include <math.h>

#define PANEL_M 2.0 /* width of a figure's place  */
#define ROW_M 2.35  /* height of a row            */

enum { POINTS_MOST = 4 * 2 * SWT_STICK_LINES * 3 }; /* events, looks, lines, ends and a gap */

/* Lines of some kinds as gaps-separated points; depth grows to the left when looking to the target.
 */
static int add_lines(swt_plot *plot, const swt_figure_body *f, const double *const *body,
                     unsigned kinds)
{
    double x[POINTS_MOST], y[POINTS_MOST];
    const double *column[] = {x, y};
    size_t n = 0;

    for (size_t e = 0; e < f->n_events; e++)
        for (int facing = 0; body[e] && facing < 2; facing++)
            for (size_t l = 0; l < SWT_STICK_LINES; l++) {
                if (!(kinds & 1U << swt_stick_lines[l].kind))
                    continue;
                for (int end = 0; end < 2; end++) {
                    const double *p =
                        body[e] + 3 * (end ? swt_stick_lines[l].to : swt_stick_lines[l].from);
                    x[n] = PANEL_M * ((double)e + 0.5) + (facing ? p[0] : 0.15 - p[1]);
                    y[n++] = p[2] + (facing ? 0 : ROW_M);
                }
                x[n] = y[n] = nan("");
                n++;
            }
    return swt_plot_data(plot, n, 2, column);
}

static void add_heads(swt_plot *plot, const swt_figure_body *f, const double *const *body,
                      const char *style)
{
    for (size_t e = 0; e < f->n_events; e++)
        for (int facing = 0; body[e] && facing < 2; facing++) {
            const double *p = body[e] + 3 * (size_t)SWT_STICK_HEAD;
            if (isfinite(p[0] + p[1] + p[2]))
                swt_plot_add(plot, "set object circle at %.3f,%.3f size 0.1 %s front\n",
                             PANEL_M * ((double)e + 0.5) + (facing ? p[0] : 0.15 - p[1]),
                             p[2] + (facing ? 0 : ROW_M), style);
        }
}

static void add_names(swt_plot *plot, const swt_figure_body *f)
{
    swt_plot_canvas c = swt_plot_get_canvas(plot);

    for (size_t e = 0; e < f->n_events; e++) {
        swt_plot_add(plot, "set label ");
        swt_plot_quote(plot, swt_event_title(f->event[e]), 40);
        swt_plot_add(plot, " at %.3f,-0.16 center font ',%.2f' textcolor rgb '" INK "'\n",
                     PANEL_M * ((double)e + 0.5), 0.9 * c.font * c.font_per_unit);
    }
    swt_plot_add(plot,
                 "set arrow from 0.05,0.12 to 1.05,0.12 heads size 0.04,90 lw 1 lc rgb '" MUTED
                 "'\nset label '1 m' at 0.06,0.24 left font ',%.2f' textcolor rgb '" MUTED "'\n",
                 0.85 * c.font * c.font_per_unit);
    for (int facing = 0; facing < 2; facing++) {
        swt_plot_add(plot, "set label ");
        swt_plot_quote(plot, facing ? "facing the player" : "along the target line", 40);
        swt_plot_add(plot, " at 0.02,%.3f left font ',%.2f' textcolor rgb '" MUTED "'\n",
                     facing ? 2.1 : ROW_M + 2.1, 0.85 * c.font * c.font_per_unit);
        swt_plot_add(
            plot, "set arrow from 0,%.3f to %.3f,%.3f nohead lw 0.6 lc rgb '" BAND_EDGE "' back\n",
            facing ? 0.0 : ROW_M, PANEL_M * (double)f->n_events, facing ? 0.0 : ROW_M);
    }
}

swt_status swt_figure_draw_body(swt_plot *plot, const swt_figure_body *f, swt_error *err)
{
    const legend_item legend[] = {{LEGEND_PLAYER, "player; lead side thick, trail side thin"},
                                  {LEGEND_CENTRE, "group's median swing at the same event"}};
    swt_plot_canvas c = swt_plot_get_canvas(plot);
    int group = 0, lead, trail, club;
    bool any = false, any_group = false;
    figure_box box;

    for (size_t e = 0; e < f->n_events; e++) {
        any = any || f->player[e];
        any_group = any_group || f->group[e];
    }
    if (!any)
        return swt_fail(err, SWT_EDATA, "there is no body to draw");
    box = figure_begin(plot, &f->frame, "The swing at its events", 1.2 * c.font, 1.0 * c.font,
                       legend, any_group ? 2 : 1);
    box.x_low = 0;
    box.x_high = PANEL_M * (double)f->n_events;
    box.y_low = -0.3;
    box.y_high = 2 * ROW_M;
    swt_plot_add(plot, "set xrange [%.3f:%.3f]\nset yrange [%.3f:%.3f]\n", box.x_low, box.x_high,
                 box.y_low, box.y_high);
    swt_plot_add(plot, "unset border\nunset tics\nset size ratio -1\n");
    add_names(plot, f);
    if (any_group) {
        add_heads(plot, f, f->group, "fs empty border lc rgb '" MUTED "' lw 1");
        group = add_lines(plot, f, f->group, ~0U);
    }
    add_heads(plot, f, f->player, "fs empty border lc rgb '" PLAYER "' lw 2");
    lead = add_lines(plot, f, f->player, 1U << SWT_STICK_LEAD_SIDE | 1U << SWT_STICK_TRUNK);
    trail = add_lines(plot, f, f->player, 1U << SWT_STICK_TRAIL_SIDE);
    club = add_lines(plot, f, f->player, 1U << SWT_STICK_CLUB);
    swt_plot_add(plot, "plot ");
    if (any_group)
        swt_plot_add(plot, "$d%d using 1:2 with lines dt (4,3) lw 1.2 lc rgb '" MUTED "', ", group);
    swt_plot_add(plot,
                 "$d%d using 1:2 with lines lw 1.4 lc rgb '" PLAYER
                 "', $d%d using 1:2 with lines lw 3 lc rgb '" PLAYER
                 "', $d%d using 1:2 with lines lw 2.2 lc rgb '" INK "'\n",
                 trail, lead, club);
    return SWT_OK;
}
