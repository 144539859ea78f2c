/* A measure against a result: swings of one player among themselves, or players. */
#include "comparison/departure.h"
#include "io/report/figure_parts.h"
#include "io/report/outcomes.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

/* Points in shown units. */
typedef struct cloud {
    size_t n;
    double *x, *y;
} cloud;

static double value_of(const swt_outcomes *o, const swt_study *study, const swt_outcome_row *row,
                       size_t i)
{
    const swt_measure *measure = swt_measure_row(row->measure);
    const swt_measurement *m = &study->measure[row->measure][o->swing[i]];

    return m->verdict.state == SWT_ABSENT
               ? nan("")
               : m->value * swt_quantity_unit(measure->quantity)->shown_per_si;
}

/* A player's means over the swings that have both, and how many these are. */
static size_t means(double mean[2], const swt_outcomes *o, const swt_study *study,
                    const swt_outcome_row *row, int player)
{
    size_t n = 0;

    mean[0] = mean[1] = 0;
    for (size_t i = 0; i < o->n_swings; i++) {
        double x = value_of(o, study, row, i), y = o->result[row->outcome][i];
        if (o->player[i] != player || !isfinite(x) || !isfinite(y))
            continue;
        n++;
        mean[0] += (x - mean[0]) / (double)n;
        mean[1] += (y - mean[1]) / (double)n;
    }
    return n;
}

static void gather(cloud *c, const swt_outcomes *o, const swt_study *study,
                   const swt_outcome_row *row, bool within)
{
    for (size_t i = 0; i < o->n_swings; i++) {
        double mean[2], x = value_of(o, study, row, i), y = o->result[row->outcome][i];
        bool first = true;
        size_t n = means(mean, o, study, row, o->player[i]);
        for (size_t k = 0; k < i && first; k++)
            first = o->player[k] != o->player[i];
        if (within ? n < SWT_ASSOCIATION_LEAST_SWINGS || !isfinite(x) || !isfinite(y)
                   : n == 0 || !first)
            continue;
        c->x[c->n] = within ? x - mean[0] : mean[0];
        c->y[c->n++] = within ? y - mean[1] : mean[1];
    }
}

static figure_box ranges(const cloud *c)
{
    figure_box box = {
        .x_low = HUGE_VAL, .x_high = -HUGE_VAL, .y_low = HUGE_VAL, .y_high = -HUGE_VAL};
    double more;

    for (size_t i = 0; i < c->n; i++) {
        figure_reach(&box.x_low, &box.x_high, c->x[i]);
        figure_reach(&box.y_low, &box.y_high, c->y[i]);
    }
    more = 0.05 * (box.x_high - box.x_low);
    box.x_low -= more;
    box.x_high += more;
    more = 0.05 * (box.y_high - box.y_low);
    box.y_low -= more;
    box.y_high += more;
    return box;
}

/* The line of Theil and Sen: through the medians, with the median slope. */
static void add_line(swt_plot *plot, const figure_box *box, const cloud *c, double slope)
{
    double *room = calloc(c->n + 1, sizeof *room), x, y;

    if (!room)
        return;
    for (size_t i = 0; i < c->n; i++)
        room[i] = c->x[i];
    x = swt_median(room, c->n);
    for (size_t i = 0; i < c->n; i++)
        room[i] = c->y[i];
    y = swt_median(room, c->n);
    free(room);
    swt_plot_add(plot, "set clip one\nset clip two\n$line << E\n%.9g %.9g\n%.9g %.9g\nE\n",
                 box->x_low, y + slope * (box->x_low - x), box->x_high,
                 y + slope * (box->x_high - x));
}

static swt_status draw(swt_plot *plot, const swt_outcomes *o, const swt_outcome_row *row,
                       const cloud *c, bool within, swt_error *err)
{
    static const legend_item legend[] = {{LEGEND_POINT, "each swing, less its player's mean"},
                                         {LEGEND_POINT, "each player's mean"},
                                         {LEGEND_CENTRE, "median slope (Theil and Sen)"}};
    const swt_measure *measure = swt_measure_row(row->measure);
    const swt_unit *unit = swt_quantity_unit(measure->quantity);
    const swt_association *a = within ? &row->within : &row->between;
    const legend_item shown[] = {legend[within ? 0 : 1], legend[2]};
    swt_figure_frame frame = {
        .group = "of the selected swings", .n_players = a->n_players, .n_swings = a->n_swings};
    swt_plot_canvas canvas = swt_plot_get_canvas(plot);
    figure_box box, place = ranges(c);
    char title[200], x_name[160], y_name[120];

    if (!(place.x_high > place.x_low) || !(place.y_high > place.y_low))
        return swt_fail(err, SWT_EDATA, "%s and %s: nothing to draw", measure->title,
                        o->name[row->outcome]);
    snprintf(title, sizeof title, "%s players: rank correlation %.2f (p %.4f, adjusted %.4f)",
             within ? "Within" : "Between", a->rho, a->p, within ? row->within_q : row->between_q);
    snprintf(x_name, sizeof x_name, "%s (%s)%s", measure->title, unit->shown,
             within ? ", less the player's mean" : "");
    snprintf(y_name, sizeof y_name, "%.60s%s", o->name[row->outcome],
             within ? ", less the player's mean" : "");
    box = figure_begin(plot, &frame, title, 4.8 * canvas.font, 3.6 * canvas.font, shown, 2);
    box.x_low = place.x_low;
    box.x_high = place.x_high;
    box.y_low = place.y_low;
    box.y_high = place.y_high;
    figure_ranges(plot, &box);
    figure_axis_names(plot, &box, x_name, y_name, 3.0);
    add_line(plot, &box, c, a->slope / unit->shown_per_si);
    swt_plot_add(plot, "$points << E\n");
    for (size_t i = 0; i < c->n; i++)
        swt_plot_add(plot, "%.9g %.9g\n", c->x[i], c->y[i]);
    swt_plot_add(plot, "E\nplot $line with lines dt (6,4) lw 1.3 lc rgb '" MUTED "', \\\n"
                       " $points with points pt 7 ps 0.6 lc rgb '" PLAYER "'\n");
    return SWT_OK;
}

swt_status swt_outcomes_draw(const char *path, const swt_outcomes *o, size_t row, bool within,
                             const swt_study *study, swt_plot_format format, swt_error *err)
{
    cloud c = {.x = calloc(o->n_swings + 1, sizeof *c.x),
               .y = calloc(o->n_swings + 1, sizeof *c.y)};
    swt_plot *plot = NULL;
    swt_status rc = c.x && c.y ? SWT_OK : swt_fail(err, SWT_ENOMEM, "out of memory");

    if (rc == SWT_OK) {
        gather(&c, o, study, &o->row[row], within);
        rc = swt_plot_new(&plot, err);
    }
    if (rc == SWT_OK)
        rc = swt_plot_picture(plot, path, format, SWT_PLOT_PAGE, 0.7, err);
    if (rc == SWT_OK)
        rc = draw(plot, o, &o->row[row], &c, within, err);
    if (rc == SWT_OK)
        rc = swt_plot_draw(plot, NULL, err);
    else
        swt_plot_discard(plot);
    free(c.x);
    free(c.y);
    return rc;
}
