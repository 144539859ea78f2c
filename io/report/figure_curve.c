/* A measure against registered time, over the group's band. */
#include "io/report/figure.h"
#include "io/report/figure_parts.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { N = SWT_CURVE_SAMPLES };

static double first_shown(double value, double scale)
{
    return isfinite(value) ? value * scale : nan("");
}

static void find_ranges(figure_box *box, const swt_figure_curve *f, double scale)
{
    double low = HUGE_VAL, high = -HUGE_VAL, more;
    size_t last = 0;

    for (size_t i = 0; i < N; i++) {
        bool any = false;
        if (f->lower && isfinite(f->lower[i])) {
            figure_reach(&low, &high, f->lower[i]);
            figure_reach(&low, &high, f->upper[i]);
            any = true;
        }
        if (f->centre && isfinite(f->centre[i])) {
            figure_reach(&low, &high, f->centre[i]);
            any = true;
        }
        for (size_t k = 0; k < f->n_curves; k++)
            if (isfinite(f->curve[k * N + i])) {
                figure_reach(&low, &high, f->curve[k * N + i]);
                any = true;
            }
        if (any)
            last = i;
    }
    more = fmax(0.05 * (high - low), 1e-4 * fmax(fabs(low), fabs(high)));
    box->y_low = (low - more) * scale;
    box->y_high = (high + more) * scale;
    box->x_low = 0;
    box->x_high = fmax(ceil((double)last / SWT_PHASE_STEPS) * SWT_PHASE_STEPS, SWT_PHASE_STEPS);
}

/* The event's words on up to three lines, so that they fit between two boundaries. */
static void add_boundaries(swt_plot *plot, const figure_box *box)
{
    swt_plot_canvas c = swt_plot_get_canvas(plot);

    swt_plot_add(plot, "set xtics (");
    for (int p = 0; p <= SWT_PHASES; p++)
        swt_plot_add(plot, "%s'' %d", p ? "," : "", p * SWT_PHASE_STEPS);
    swt_plot_add(plot, ")\n");
    for (int p = 0; p <= SWT_PHASES && p * SWT_PHASE_STEPS <= box->x_high; p++) {
        char words[64];
        double x = figure_to_x(box, p * SWT_PHASE_STEPS), y = box->bottom - 1.1 * c.font;
        bool last = p * SWT_PHASE_STEPS >= box->x_high;
        snprintf(words, sizeof words, "%s", swt_event_short(swt_phase_boundary[p]));
        for (char *word = words; word;) {
            char *end = strchr(word, ' ');
            if (end)
                *end = '\0';
            swt_plot_add(plot, "set label ");
            swt_plot_quote(plot, word, 20);
            swt_plot_add(plot, " at screen %.4f,%.4f %s font ',%.2f'\n",
                         (last ? c.width - 0.3 * c.font : x) / c.width, y / c.height,
                         last ? "right" : "center", 0.88 * c.font * c.font_per_unit);
            y -= 1.05 * c.font;
            word = end ? end + 1 : NULL;
        }
        if (p > 0)
            swt_plot_add(plot,
                         "set arrow from first %d,graph 0 to first %d,graph 1 nohead dt (2,3) lw "
                         "0.8 lc rgb '" MUTED "' back\n",
                         p * SWT_PHASE_STEPS, p * SWT_PHASE_STEPS);
    }
}

static int add_curve(swt_plot *plot, const double *y, const double *upper, const bool *only,
                     double scale)
{
    double at[N], shown[N], above[N];
    const double *columns[3] = {at, shown, above};

    for (size_t i = 0; i < N; i++) {
        bool in = !only || only[i] || (i > 0 && only[i - 1]) || (i + 1 < N && only[i + 1]);
        at[i] = (double)i;
        shown[i] = in ? first_shown(y[i], scale) : nan("");
        above[i] = upper ? first_shown(upper[i], scale) : nan("");
    }
    return swt_plot_data(plot, N, upper ? 3 : 2, columns);
}

static void add_axes(swt_plot *plot, const figure_box *box, const swt_figure_curve *f)
{
    const swt_series_info *info = swt_series_describe(f->series);
    char label[128];

    figure_ranges(plot, box);
    add_boundaries(plot, box);
    snprintf(label, sizeof label, "%s (%s)", info->title,
             info->quantity == SWT_FRACTION ? "ratio" : swt_quantity_unit(info->quantity)->shown);
    figure_axis_names(plot, box, "time, each phase drawn equally long (registered)", label, 4.8);
    if (box->y_low < 0 && box->y_high > 0)
        swt_plot_add(
            plot,
            "set arrow from graph 0,first 0 to graph 1,first 0 nohead lw 0.5 lc rgb '" BAND_EDGE
            "' back\n");
}

swt_status swt_figure_draw_curve(swt_plot *plot, const swt_figure_curve *f, swt_error *err)
{
    const swt_series_info *info = swt_series_describe(f->series);
    double scale = swt_quantity_unit(info->quantity)->shown_per_si;
    swt_plot_canvas c = swt_plot_get_canvas(plot);
    legend_item legend[5];
    size_t n_legend = 0;
    char title[128];
    figure_box box;
    int band = -1, centre = -1, bold = -1, over = -1, first = -1;
    bool stressed = false;

    for (size_t i = 0; f->outside && i < N; i++)
        stressed = stressed || f->outside[i];
    snprintf(title, sizeof title, "%c%s through the swing", info->title[0] - 'a' + 'A',
             info->title + 1);
    if (f->lower) {
        band = add_curve(plot, f->lower, f->upper, NULL, scale);
        legend[n_legend++] = (legend_item){LEGEND_BAND, "group's corridor"};
    }
    if (f->centre) {
        centre = add_curve(plot, f->centre, NULL, NULL, scale);
        legend[n_legend++] = (legend_item){LEGEND_CENTRE, "its centre"};
    }
    if (f->median) {
        bold = add_curve(plot, f->median, NULL, NULL, scale);
        legend[n_legend++] = (legend_item){LEGEND_PLAYER, f->frame.n_chosen_players > 0 ? "median"
                                                          : f->n_curves > 1 ? "player, median"
                                                                            : "player"};
    }
    if (f->n_curves > 1)
        legend[n_legend++] = (legend_item){LEGEND_SWINGS, "each swing"};
    if (stressed && f->median) {
        over = add_curve(plot, f->median, NULL, f->outside, scale);
        legend[n_legend++] = (legend_item){LEGEND_STRESS, "outside"};
    }
    for (size_t k = 0; f->n_curves > 1 && k < f->n_curves; k++) {
        int data = add_curve(plot, f->curve + k * N, NULL, NULL, scale);
        first = k == 0 ? data : first;
    }
    find_ranges(&box, f, scale);
    if (!(box.y_high > box.y_low))
        return swt_fail(err, SWT_EDATA, "there is no curve of %s to draw", info->title);
    box = figure_begin(plot, &f->frame, title, 5.4 * c.font, 5.6 * c.font, legend, n_legend);
    find_ranges(&box, f, scale);
    add_axes(plot, &box, f);
    swt_plot_add(plot, "$none << E\nNaN NaN\nE\nplot $none notitle with lines");
    if (band >= 0)
        swt_plot_add(plot,
                     ", \\\n $d%d using 1:2:3 with filledcurves fc rgb '" BAND
                     "', \\\n $d%d using 1:2 with lines lw 0.8 lc rgb '" BAND_EDGE
                     "', \\\n $d%d using 1:3 with lines lw 0.8 lc rgb '" BAND_EDGE "'",
                     band, band, band);
    if (centre >= 0)
        swt_plot_add(plot, ", \\\n $d%d with lines dt (6,4) lw 1.3 lc rgb '" MUTED "'", centre);
    for (size_t k = 0; f->n_curves > 1 && k < f->n_curves; k++)
        swt_plot_add(plot, ", \\\n $d%d with lines lw 0.7 lc rgb '" PLAYER "'", first + (int)k);
    if (over >= 0)
        swt_plot_add(plot, ", \\\n $d%d with lines lw 6 lc rgb '" STRESS "'", over);
    if (bold >= 0)
        swt_plot_add(plot, ", \\\n $d%d with lines lw 2.2 lc rgb '" PLAYER "'", bold);
    swt_plot_add(plot, "\n");
    return SWT_OK;
}
