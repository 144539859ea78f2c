/* The hand path in one plane over the group's tube. */
#include "io/report/figure.h"
#include "io/report/figure_parts.h"

#include <math.h>
#include <stdlib.h>

#define MM 1000.0 /* metres are shown in millimetres */

enum { TUBE_CORNERS = 48, LINE_POINTS = 2000 };

static bool has_ellipse(const swt_figure_path *f, size_t i)
{
    return f->ellipse && isfinite(f->centre_x[i]) && isfinite(f->ellipse[3 * i]) &&
           f->ellipse[3 * i] > 0 && f->ellipse[3 * i + 2] > 0;
}

/* Point of the ellipse that lies farthest in direction (ux, uy): c + E u / sqrt(u' E u). */
static void support(double *x, double *y, const swt_figure_path *f, size_t i, double ux, double uy)
{
    const double *e = &f->ellipse[3 * i];
    double ex = e[0] * ux + e[1] * uy, ey = e[1] * ux + e[2] * uy;
    double norm = sqrt(ux * ex + uy * ey);

    *x = f->centre_x[i] + ex / norm;
    *y = f->centre_y[i] + ey / norm;
}

static void find_ranges(figure_box *box, const swt_figure_path *f)
{
    double x0 = HUGE_VAL, x1 = -HUGE_VAL, y0 = HUGE_VAL, y1 = -HUGE_VAL, more;

    for (size_t i = 0; i < f->n; i++) {
        if (f->centre_x && isfinite(f->centre_x[i]) && isfinite(f->centre_y[i])) {
            double wide = has_ellipse(f, i) ? sqrt(f->ellipse[3 * i]) : 0;
            double high = has_ellipse(f, i) ? sqrt(f->ellipse[3 * i + 2]) : 0;
            figure_reach(&x0, &x1, f->centre_x[i] - wide);
            figure_reach(&x0, &x1, f->centre_x[i] + wide);
            figure_reach(&y0, &y1, f->centre_y[i] - high);
            figure_reach(&y0, &y1, f->centre_y[i] + high);
        }
        for (size_t k = 0; k < f->n_paths; k++) {
            figure_reach(&x0, &x1, f->x[k * f->n + i]);
            figure_reach(&y0, &y1, f->y[k * f->n + i]);
        }
    }
    for (size_t r = 0; r < f->n_rules; r++)
        if (f->rule[r].at_y)
            figure_reach(&y0, &y1, f->rule[r].at_m);
        else
            figure_reach(&x0, &x1, f->rule[r].at_m);
    more = 0.06 * fmax(x1 - x0, y1 - y0) + 0.01;
    box->x_low = MM * (x0 - more);
    box->x_high = MM * (x1 + more);
    box->y_low = MM * (y0 - more);
    box->y_high = MM * (y1 + more);
}

/* One millimetre is as long across as it is up: the narrower range is widened. */
static void make_scales_equal(figure_box *box)
{
    double across = (box->x_high - box->x_low) / (box->right - box->left);
    double up = (box->y_high - box->y_low) / (box->top - box->bottom);
    double middle;

    if (across > up) {
        middle = (box->y_low + box->y_high) / 2;
        box->y_low = middle - across * (box->top - box->bottom) / 2;
        box->y_high = middle + across * (box->top - box->bottom) / 2;
    } else {
        middle = (box->x_low + box->x_high) / 2;
        box->x_low = middle - up * (box->right - box->left) / 2;
        box->x_high = middle + up * (box->right - box->left) / 2;
    }
}

/* The tube: the hulls of each two neighbouring ellipses. */
static void add_tube(swt_plot *plot, const swt_figure_path *f)
{
    swt_plot_add(plot, "$tube << E\n");
    for (size_t i = 0; i + 1 < f->n; i++) {
        if (!has_ellipse(f, i) || !has_ellipse(f, i + 1))
            continue;
        for (int k = 0; k <= TUBE_CORNERS; k++) { /* the last is the first: a border closes */
            double angle = 2 * SWT_PI * (k % TUBE_CORNERS) / TUBE_CORNERS, ux = cos(angle),
                   uy = sin(angle);
            double ax, ay, bx, by;
            support(&ax, &ay, f, i, ux, uy);
            support(&bx, &by, f, i + 1, ux, uy);
            if (ux * bx + uy * by > ux * ax + uy * ay) {
                ax = bx;
                ay = by;
            }
            swt_plot_add(plot, "%.1f %.1f\n", MM * ax, MM * ay);
        }
        swt_plot_add(plot, "\n");
    }
    swt_plot_add(plot, "E\n");
}

static void add_rules(swt_plot *plot, const figure_box *box, const swt_figure_path *f)
{
    swt_plot_canvas c = swt_plot_get_canvas(plot);

    for (size_t r = 0; r < f->n_rules; r++) {
        double at = MM * f->rule[r].at_m;
        if (!isfinite(at))
            continue;
        if (f->rule[r].at_y)
            swt_plot_add(plot, "set arrow from graph 0,first %.1f to graph 1,first %.1f", at, at);
        else
            swt_plot_add(plot, "set arrow from first %.1f,graph 0 to first %.1f,graph 1", at, at);
        swt_plot_add(plot, " nohead dt (2,3) lw 1 lc rgb '" INK "' back\nset label ");
        swt_plot_quote(plot, f->rule[r].label, 30);
        if (f->rule[r].at_y)
            swt_plot_add(plot, " at screen %.4f,%.4f right", (box->right - 0.3 * c.font) / c.width,
                         (figure_to_y(box, at) + 0.6 * c.font) / c.height);
        else
            swt_plot_add(plot, " at screen %.4f,%.4f center", figure_to_x(box, at) / c.width,
                         (box->top + 0.7 * c.font) / c.height);
        swt_plot_add(plot, " font ',%.2f' textcolor rgb '" INK "' front\n",
                     0.88 * c.font * c.font_per_unit);
    }
}

/* Points that labels keep clear of: paths, the group's centre and the rules. */
static size_t clear_points(double *line, const figure_box *box, const swt_figure_path *f)
{
    size_t n = 0;
#define KEEP(px, py)                                                                               \
    do {                                                                                           \
        if (n < LINE_POINTS && isfinite(px) && isfinite(py)) {                                     \
            line[2 * n] = (px);                                                                    \
            line[2 * n + 1] = (py);                                                                \
            n++;                                                                                   \
        }                                                                                          \
    } while (0)
    for (size_t i = 0; i < f->n; i++) {
        if (f->median_x)
            for (int copy = 0; copy < 2; copy++) /* the bold line counts twice */
                KEEP(figure_to_x(box, MM * f->median_x[i]), figure_to_y(box, MM * f->median_y[i]));
        if (f->centre_x)
            KEEP(figure_to_x(box, MM * f->centre_x[i]), figure_to_y(box, MM * f->centre_y[i]));
    }
    for (size_t r = 0; r < f->n_rules; r++)
        for (int i = 0; i <= 60; i++) {
            double part = i / 60.0;
            if (f->rule[r].at_y)
                KEEP(box->left + part * (box->right - box->left),
                     figure_to_y(box, MM * f->rule[r].at_m));
            else
                KEEP(figure_to_x(box, MM * f->rule[r].at_m),
                     box->bottom + part * (box->top - box->bottom));
        }
#undef KEEP
    return n;
}

static swt_status add_marks(swt_plot *plot, const figure_box *box, const swt_figure_path *f,
                            swt_error *err)
{
    double *line = malloc(2 * LINE_POINTS * sizeof *line);
    figure_label label[SWT_EVENT_COUNT];
    size_t n = 0;

    if (!line)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; i < f->n_marks && n < SWT_EVENT_COUNT; i++) {
        bool own = isfinite(f->mark[i].x) && isfinite(f->mark[i].y);
        double x = own ? f->mark[i].x : f->mark[i].group_x;
        double y = own ? f->mark[i].y : f->mark[i].group_y;
        if (isfinite(x) && isfinite(y))
            label[n++] = (figure_label){swt_event_short(f->mark[i].event), figure_to_x(box, MM * x),
                                        figure_to_y(box, MM * y)};
    }
    figure_place_labels(plot, box, label, n, line, clear_points(line, box, f));
    free(line);
    return SWT_OK;
}

static int add_scaled(swt_plot *plot, const double *x, const double *y, const bool *only, size_t n,
                      double *room)
{
    const double *columns[2] = {room, room + n};

    for (size_t i = 0; i < n; i++) {
        /* a sample that is stressed keeps its neighbours, so that a single one shows as a line */
        bool shown = !only || only[i] || (i > 0 && only[i - 1]) || (i + 1 < n && only[i + 1]);
        room[i] = shown ? MM * x[i] : nan("");
        room[n + i] = shown ? MM * y[i] : nan("");
    }
    return swt_plot_data(plot, n, 2, columns);
}

swt_status swt_figure_draw_path(swt_plot *plot, const swt_figure_path *f, swt_error *err)
{
    swt_plot_canvas c = swt_plot_get_canvas(plot);
    legend_item legend[5];
    size_t n_legend = 0;
    figure_box box;
    double *room;
    int data;
    bool stressed = false;
    swt_status rc;

    if (f->n < 2 || (!f->centre_x && f->n_paths == 0))
        return swt_fail(err, SWT_EDATA, "there is no hand path to draw");
    room = malloc(2 * f->n * sizeof *room);
    if (!room)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; f->outside && i < f->n; i++)
        stressed = stressed || f->outside[i];
    if (f->ellipse)
        legend[n_legend++] = (legend_item){LEGEND_BAND, "group's corridor"};
    if (f->centre_x)
        legend[n_legend++] = (legend_item){LEGEND_CENTRE, "group's centre"};
    if (f->median_x)
        legend[n_legend++] =
            (legend_item){LEGEND_PLAYER, f->n_paths > 1 ? "player, median" : "player"};
    if (f->n_paths > 1)
        legend[n_legend++] = (legend_item){LEGEND_SWINGS, "each swing"};
    if (stressed)
        legend[n_legend++] = (legend_item){LEGEND_STRESS, "player, outside"};

    box = figure_begin(plot, &f->frame, f->title, 5.3 * c.font, 3.6 * c.font, legend, n_legend);
    box.top -= 1.3 * c.font; /* for the rules' names */
    swt_plot_add(plot, "set tmargin at screen %.4f\n", box.top / c.height);
    find_ranges(&box, f);
    if (!(box.x_high > box.x_low) || !(box.y_high > box.y_low)) {
        free(room);
        return swt_fail(err, SWT_EDATA, "there is no hand path to draw");
    }
    make_scales_equal(&box);
    figure_ranges(plot, &box);
    figure_axis_names(plot, &box, f->x_label, f->y_label, 3.0);
    add_rules(plot, &box, f);
    rc = add_marks(plot, &box, f, err);
    if (rc != SWT_OK)
        goto done;

    if (f->ellipse)
        add_tube(plot, f);
    swt_plot_add(plot, "$none << E\nNaN NaN\nE\n$own << E\n");
    for (size_t i = 0; i < f->n_marks; i++)
        if (isfinite(f->mark[i].x) && isfinite(f->mark[i].y))
            swt_plot_add(plot, "%.2f %.2f %d\n", MM * f->mark[i].x, MM * f->mark[i].y,
                         figure_event_point(f->mark[i].event));
    swt_plot_add(plot, "NaN NaN 7\nE\n$theirs << E\n");
    for (size_t i = 0; i < f->n_marks; i++)
        if (isfinite(f->mark[i].group_x) && isfinite(f->mark[i].group_y))
            swt_plot_add(plot, "%.2f %.2f %d\n", MM * f->mark[i].group_x, MM * f->mark[i].group_y,
                         figure_event_point(f->mark[i].event));
    swt_plot_add(plot, "NaN NaN 7\nE\n");
    {
        int centre =
            f->centre_x ? add_scaled(plot, f->centre_x, f->centre_y, NULL, f->n, room) : -1;
        int bold = f->median_x ? add_scaled(plot, f->median_x, f->median_y, NULL, f->n, room) : -1;
        int over = bold >= 0 && stressed
                       ? add_scaled(plot, f->median_x, f->median_y, f->outside, f->n, room)
                       : -1;
        int first = -1;
        for (size_t k = 0; k < f->n_paths; k++) {
            data = add_scaled(plot, f->x + k * f->n, f->y + k * f->n, NULL, f->n, room);
            first = k == 0 ? data : first;
        }
        swt_plot_add(plot, "plot $none notitle with lines");
        if (f->ellipse)
            swt_plot_add(plot, ", \\\n $tube with filledcurves closed fc rgb '" BAND
                               "' fs solid 1 border lc rgb '" BAND_EDGE "' lw 2, \\\n $tube with "
                               "filledcurves closed fc rgb '" BAND
                               "' fs solid 1 border lc rgb '" BAND "' lw 0.6");
        if (centre >= 0)
            swt_plot_add(plot, ", \\\n $d%d with lines dt (6,4) lw 1.3 lc rgb '" MUTED "'", centre);
        for (size_t k = 0; f->n_paths > 1 && k < f->n_paths; k++)
            swt_plot_add(plot, ", \\\n $d%d with lines lw 0.7 lc rgb '" PLAYER "'", first + (int)k);
        if (over >= 0)
            swt_plot_add(plot, ", \\\n $d%d with lines lw 6 lc rgb '" STRESS "'", over);
        if (bold >= 0)
            swt_plot_add(plot, ", \\\n $d%d with lines lw 2.2 lc rgb '" PLAYER "'", bold);
        swt_plot_add(
            plot, ", \\\n $theirs using 1:2:3 with points pt variable ps 0.85 lc rgb '" MUTED
                  "', \\\n $theirs using 1:2:3 with points pt variable ps 0.5 lc rgb "
                  "'#ffffff', \\\n $own using 1:2:3 with points pt variable ps 0.9 lc rgb '" PLAYER
                  "'\n");
    }
done:
    free(room);
    return rc;
}
