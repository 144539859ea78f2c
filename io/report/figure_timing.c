/* Events on a time axis, one row each, earliest first, the player beside the group. */
#include "io/report/figure.h"
#include "io/report/figure_parts.h"

#include <math.h>

static bool any_time(const swt_figure_timing *f, size_t e)
{
    return isfinite(f->group_middle_s[e]) || isfinite(f->median_s[e]);
}

static double latest(const swt_figure_timing *f)
{
    double low = 0, high = 0.1;

    for (size_t e = 0; e < f->n_events; e++) {
        figure_reach(&low, &high, f->group_high_s[e]);
        for (size_t k = 0; k < f->frame.n_player_swings; k++)
            figure_reach(&low, &high, f->time_s[k * f->n_events + e]);
    }
    return high;
}

/* Where an event's row belongs: as in the group, or else as the player has it. */
static double row_time(const swt_figure_timing *f, size_t e)
{
    return isfinite(f->group_middle_s[e]) ? f->group_middle_s[e] : f->median_s[e];
}

/* The events that have a time, earliest first. Returns how many. */
static size_t order_rows(size_t order[SWT_EVENT_COUNT], const swt_figure_timing *f)
{
    size_t n = 0;

    for (size_t e = 0; e < f->n_events && n < SWT_EVENT_COUNT; e++) {
        size_t at = n;
        if (!any_time(f, e))
            continue;
        for (; at > 0 && row_time(f, order[at - 1]) > row_time(f, e); at--)
            order[at] = order[at - 1];
        order[at] = e;
        n++;
    }
    return n;
}

static void add_rows(swt_plot *plot, const swt_figure_timing *f, const size_t *order, size_t n_rows)
{
    swt_plot_add(plot, "set ytics (");
    for (size_t row = 0; row < n_rows; row++) {
        swt_plot_add(plot, row ? "," : "");
        swt_plot_quote(plot, swt_event_title(f->event[order[row]]), 40);
        swt_plot_add(plot, " %zu", n_rows - row);
    }
    swt_plot_add(plot, ") scale 0\n$group << E\n");
    for (size_t row = 0; row < n_rows; row++) {
        size_t e = order[row];
        if (isfinite(f->group_middle_s[e]))
            swt_plot_add(plot, "%.5f %.5f %.5f %zu\n", f->group_middle_s[e], f->group_low_s[e],
                         f->group_high_s[e], n_rows - row);
    }
    swt_plot_add(plot, "NaN NaN NaN NaN\nE\n$median << E\n");
    for (size_t row = 0; row < n_rows; row++) {
        size_t e = order[row];
        if (isfinite(f->median_s[e]))
            swt_plot_add(plot, "%.5f %zu %d\n", f->median_s[e], n_rows - row,
                         figure_event_point(f->event[e]));
    }
    swt_plot_add(plot, "NaN NaN 7\nE\n$swings << E\n");
    for (size_t row = 0; row < n_rows; row++)
        for (size_t k = 0; k < f->frame.n_player_swings; k++) {
            double t = f->time_s[k * f->n_events + order[row]];
            if (isfinite(t))
                swt_plot_add(plot, "%.5f %zu\n", t, n_rows - row);
        }
    swt_plot_add(plot, "NaN NaN\nE\n");
}

swt_status swt_figure_draw_timing(swt_plot *plot, const swt_figure_timing *f, swt_error *err)
{
    swt_plot_canvas c = swt_plot_get_canvas(plot);
    const legend_item legend[] = {{LEGEND_BAND, "group, lowest to highest player"},
                                  {LEGEND_CENTRE, "its middle player"},
                                  {LEGEND_PLAYER, "player, median"},
                                  {LEGEND_POINT, "each swing, below it"}};
    enum { GROUP = 2 }; /* items about the group */
    figure_box box;
    size_t order[SWT_EVENT_COUNT], n_rows = order_rows(order, f);

    if (n_rows == 0)
        return swt_fail(err, SWT_EDATA, "there are no event times to draw");
    box = figure_begin(plot, &f->frame, "Timing of the swing", 13.2 * c.font, 3.6 * c.font,
                       f->frame.n_players ? legend : legend + GROUP,
                       sizeof legend / sizeof *legend - (f->frame.n_players ? 0 : GROUP));
    box.x_low = 0;
    box.x_high = latest(f) * 1.04;
    box.y_low = 0.4;
    box.y_high = (double)n_rows + 0.6;
    figure_ranges(plot, &box);
    swt_plot_add(plot, "set ytics font ',%.2f'\n", 0.88 * c.font * c.font_per_unit);
    figure_axis_names(plot, &box, "time after takeaway (s)", NULL, 3.0);
    add_rows(plot, f, order, n_rows);
    swt_plot_add(
        plot,
        "plot $group using 1:4:2:3:($4-0.32):($4+0.32) with boxxyerror fc rgb '" BAND
        "' fs solid 1 border lc rgb '" BAND_EDGE "' lw 0.8, \\\n"
        " $group using 1:($4-0.36):(0):(0.72) with vectors nohead lw 1.3 dt (3,2) lc rgb '" MUTED
        "', \\\n"
        " $median using 1:2 with lines lw 1.6 lc rgb '" PLAYER "', \\\n"
        " $swings using 1:($2-0.27) with points pt 7 ps 0.3 lc rgb '" PLAYER "', \\\n"
        " $median using 1:2:3 with points pt variable ps 0.8 lc rgb '" PLAYER "'\n");
    return SWT_OK;
}
