/* What moved the hands: pelvis, thorax and arms stacked at each event, player beside group. */
#include "io/report/figure.h"
#include "io/report/figure_parts.h"

#include <math.h>

#define MM 1000.0

static const char *const fill[3] = {FILL_DARK, FILL_MIDDLE, FILL_LIGHT};

static bool whole(const double *const part[3], size_t e)
{
    return part[0] && isfinite(part[0][e]) && isfinite(part[1][e]) && isfinite(part[2][e]);
}

/* Parts above zero stack upwards, parts below zero downwards. */
static void stack(double low[3], double high[3], const double *const part[3], size_t e)
{
    double up = 0, down = 0;

    for (int i = 0; i < 3; i++) {
        double value = MM * part[i][e];
        double *base = value >= 0 ? &up : &down;
        low[i] = fmin(*base, *base + value);
        high[i] = fmax(*base, *base + value);
        *base += value;
    }
}

static void add_bar(swt_plot *plot, const double *const part[3], size_t e, double left,
                    double right, double lw)
{
    double low[3], high[3], total = MM * (part[0][e] + part[1][e] + part[2][e]);

    stack(low, high, part, e);
    for (int i = 0; i < 3; i++)
        swt_plot_add(plot,
                     "set object rectangle from first %.3f,%.2f to first %.3f,%.2f fc rgb '%s' fs "
                     "solid 1 border lc rgb '" INK "' lw %.1f\n",
                     left, low[i], right, high[i], fill[i], lw);
    swt_plot_add(plot,
                 "set arrow from first %.3f,%.2f to first %.3f,%.2f nohead lw 2.6 lc rgb '" STRESS
                 "' front\n",
                 left - 0.04, total, right + 0.04, total);
}

static void find_ranges(figure_box *box, const swt_figure_ledger *f)
{
    double low = 0, high = 0;

    for (size_t e = 0; e < f->n_events; e++)
        for (int who = 0; who < 2; who++) {
            const double *const *part = who ? f->group : f->player;
            double l[3], h[3];
            if (!whole(part, e))
                continue;
            stack(l, h, part, e);
            for (int i = 0; i < 3; i++) {
                low = fmin(low, l[i]);
                high = fmax(high, h[i]);
            }
        }
    box->y_low = low - 0.06 * (high - low);
    box->y_high = high + 0.06 * (high - low);
    box->x_low = 0.4;
    box->x_high = (double)f->n_events + 0.6;
}

static void add_event_words(swt_plot *plot, const figure_box *box, const swt_figure_ledger *f)
{
    swt_plot_canvas c = swt_plot_get_canvas(plot);
    double font = 0.85 * c.font;

    swt_plot_add(plot, "set xtics (");
    for (size_t e = 0; e < f->n_events; e++)
        swt_plot_add(plot, "%s'' %zu", e ? "," : "", e + 1);
    swt_plot_add(plot, ") scale 0\n");
    for (size_t e = 0; e < f->n_events; e++) {
        double x = figure_to_x(box, (double)e + 1), y = box->bottom - 1.0 * c.font;
        char words[64];
        size_t length = 0;
        for (const char *s = swt_event_short(f->event[e]);; s++) {
            if (*s && *s != ' ') {
                words[length++] = *s;
                continue;
            }
            words[length] = '\0';
            swt_plot_add(plot, "set label ");
            swt_plot_quote(plot, words, 20);
            swt_plot_add(plot, " at screen %.4f,%.4f center font ',%.2f'\n", x / c.width,
                         y / c.height, font * c.font_per_unit);
            y -= 1.05 * c.font;
            length = 0;
            if (!*s)
                break;
        }
    }
}

swt_status swt_figure_draw_ledger(swt_plot *plot, const swt_figure_ledger *f, swt_error *err)
{
    swt_plot_canvas c = swt_plot_get_canvas(plot);
    const legend_item legend[] = {{LEGEND_DARK, "pelvis"},
                                  {LEGEND_MIDDLE, "thorax on pelvis"},
                                  {LEGEND_LIGHT, "arms on thorax"},
                                  {LEGEND_STRESS, "sum"}};
    figure_box box;
    bool any = false;

    for (size_t e = 0; e < f->n_events; e++)
        any = any || whole(f->player, e) || whole(f->group, e);
    if (!any)
        return swt_fail(err, SWT_EDATA, "there is no ledger to draw");
    box = figure_begin(plot, &f->frame,
                       f->axis == SWT_LEDGER_DEPTH ? "What made the hands' depth"
                                                   : "What made the hands' height",
                       4.6 * c.font, 5.5 * c.font, legend, sizeof legend / sizeof *legend);
    find_ranges(&box, f);
    figure_ranges(plot, &box);
    add_event_words(plot, &box, f);
    figure_axis_names(
        plot, &box,
        f->frame.n_players ? "left bar: player; right bar: group mean" : "median of the swings",
        f->axis == SWT_LEDGER_DEPTH ? "depth since takeaway (mm)" : "height since takeaway (mm)",
        4.7);
    swt_plot_add(plot,
                 "set arrow from graph 0,first 0 to graph 1,first 0 nohead lw 0.8 lc rgb '" INK
                 "' front\n");
    for (size_t e = 0; e < f->n_events; e++) {
        double x = (double)e + 1;
        if (whole(f->player, e))
            add_bar(plot, f->player, e, x - 0.36, x - 0.04, 1.4);
        if (whole(f->group, e))
            add_bar(plot, f->group, e, x + 0.04, x + 0.36, 0.6);
    }
    swt_plot_add(plot, "$none << E\n-1 0\nE\nplot $none notitle with points pt 0\n");
    return SWT_OK;
}
