/* A measure that is one number a swing: a row for each player (or group), a point for each swing.
 */
#include "io/report/figure.h"
#include "io/report/figure_parts.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

static double to_shown(const swt_figure_scalar *f, double si)
{
    return si * swt_quantity_unit(f->quantity)->shown_per_si;
}

static void find_range(figure_box *box, const swt_figure_scalar *f)
{
    double low = HUGE_VAL, high = -HUGE_VAL, more;

    for (size_t i = 0; i < f->n_values; i++)
        figure_reach(&low, &high, to_shown(f, f->value[i]));
    figure_reach(&low, &high, to_shown(f, f->lower));
    figure_reach(&low, &high, to_shown(f, f->upper));
    more = fmax(0.05 * (high - low), 1e-3 * fmax(fabs(low), fabs(high)));
    box->x_low = low - more;
    box->x_high = high + more;
    box->y_low = 0.4;
    box->y_high = (double)f->n_rows + 0.6;
}

static void add_rows(swt_plot *plot, const swt_figure_scalar *f)
{
    swt_plot_add(plot, "set ytics (");
    for (size_t r = 0; r < f->n_rows; r++) {
        swt_plot_add(plot, r ? "," : "");
        swt_plot_quote(plot, f->row_name[r], 24);
        swt_plot_add(plot, " %zu", f->n_rows - r);
    }
    swt_plot_add(plot, ") scale 0\n");
}

/* Each swing a point; each row's median, a thick upright stroke. `room`: n_values numbers. */
static void add_points(swt_plot *plot, const swt_figure_scalar *f, double *room)
{
    swt_plot_add(plot, "$swings << E\n");
    for (size_t i = 0; i < f->n_values; i++)
        if (isfinite(f->value[i]))
            swt_plot_add(plot, "%.6g %zu\n", to_shown(f, f->value[i]), f->n_rows - f->row[i]);
    swt_plot_add(plot, "NaN NaN\nE\n$medians << E\n");
    for (size_t r = 0; r < f->n_rows; r++) {
        size_t n = 0;
        for (size_t i = 0; i < f->n_values; i++)
            if (f->row[i] == r && isfinite(f->value[i]))
                room[n++] = f->value[i];
        if (n > 1)
            swt_plot_add(plot, "%.6g %zu\n", to_shown(f, f->median(room, n)), f->n_rows - r);
    }
    swt_plot_add(plot, "NaN NaN\nE\n");
}

swt_status swt_figure_draw_scalar(swt_plot *plot, const swt_figure_scalar *f, swt_error *err)
{
    const char *unit = swt_quantity_unit(f->quantity)->shown;
    swt_plot_canvas c = swt_plot_get_canvas(plot);
    bool band = isfinite(f->lower) && isfinite(f->upper), any = false;
    legend_item legend[4];
    size_t n_legend = 0;
    char axis[160], title[160];
    double *room = calloc(f->n_values + 1, sizeof *room);
    figure_box box;

    if (!room)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    find_range(&box, f);
    for (size_t i = 0; i < f->n_values; i++)
        any = any || isfinite(f->value[i]);
    if (!any || !(box.x_high > box.x_low)) {
        free(room);
        return swt_fail(err, SWT_EDATA, "none of these swings has a value of %s", f->title);
    }
    if (band) {
        legend[n_legend++] = (legend_item){LEGEND_BAND, "group's interval"};
        legend[n_legend++] = (legend_item){LEGEND_CENTRE, "its centre"};
    }
    legend[n_legend++] = (legend_item){LEGEND_POINT, "each swing"};
    legend[n_legend++] = (legend_item){LEGEND_PLAYER, "median (upright)"};
    snprintf(title, sizeof title, "%c%s",
             f->title[0] >= 'a' && f->title[0] <= 'z' ? f->title[0] - 'a' + 'A' : f->title[0],
             f->title + 1);
    snprintf(axis, sizeof axis, f->quantity == SWT_FRACTION ? "%s" : "%s (%s)", f->title, unit);
    box = figure_begin(plot, &f->frame, title, 9.0 * c.font, 3.6 * c.font, legend, n_legend);
    find_range(&box, f);
    figure_ranges(plot, &box);
    figure_axis_names(plot, &box, axis, NULL, 3.0);
    add_rows(plot, f);
    if (band)
        swt_plot_add(plot,
                     "set object rectangle from %.6g,graph 0 to %.6g,graph 1 fc rgb '" BAND
                     "' fs solid 1 border lc rgb '" BAND_EDGE "' back\n"
                     "set arrow from %.6g,graph 0 to %.6g,graph 1 nohead dt (6,4) lw 1.3 lc rgb "
                     "'" MUTED "' back\n",
                     to_shown(f, f->lower), to_shown(f, f->upper), to_shown(f, f->centre),
                     to_shown(f, f->centre));
    add_points(plot, f, room);
    swt_plot_add(plot,
                 "plot $swings with points pt 7 ps 0.45 lc rgb '" PLAYER "', \\\n"
                 " $medians using 1:($2-0.3):(0):(0.6) with vectors nohead lw 2.6 lc rgb '" PLAYER
                 "'\n");
    free(room);
    return SWT_OK;
}
