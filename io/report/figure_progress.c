/* One measure of one player, block by block, over the corridor and what noise alone makes. */
#include "io/report/figure_parts.h"
#include "io/report/progress.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* What the figure shows, in shown units. */
typedef struct facts {
    const swt_progress *p;
    const swt_progress_set *set;
    const swt_study *study;
    const swt_corridor *corridor; /* NULL: none */
    size_t measure;
    double scale;
} facts;

static double swing_value(const facts *f, size_t swing)
{
    const swt_measurement *m = &f->study->measure[f->p->measure[f->measure]][swing];

    return m->verdict.state == SWT_ABSENT ? nan("") : m->value * f->scale;
}

static const swt_progress_step *step(const facts *f, size_t block)
{
    return swt_progress_at(f->p, f->set, block, f->measure);
}

static void find_ranges(figure_box *box, const facts *f)
{
    double low = HUGE_VAL, high = -HUGE_VAL, more;

    for (size_t b = 0; b < f->set->n_blocks; b++) {
        const swt_progress_step *s = step(f, b);
        for (size_t i = 0; i < f->set->block[b].n_swings; i++)
            figure_reach(&low, &high, swing_value(f, f->set->block[b].swing[i]));
        if (s->since_from.verdict == SWT_CHANGE_UNKNOWN)
            continue;
        figure_reach(&low, &high, (s->since_from.before - s->since_from.detectable) * f->scale);
        figure_reach(&low, &high, (s->since_from.before + s->since_from.detectable) * f->scale);
    }
    if (f->corridor && isfinite(f->corridor->lower[0]))
        figure_reach(&low, &high, f->corridor->lower[0] * f->scale);
    if (f->corridor && isfinite(f->corridor->upper[0]))
        figure_reach(&low, &high, f->corridor->upper[0] * f->scale);
    more = fmax(0.06 * (high - low), 1e-4 * fmax(fabs(low), fabs(high)));
    box->x_low = 0.4;
    box->x_high = (double)f->set->n_blocks + 0.6;
    box->y_low = low - more;
    box->y_high = high + more;
}

/* The corridor across the figure; a side that is open reaches its edge. */
static void add_corridor(swt_plot *plot, const figure_box *box, const facts *f)
{
    double low, high;

    if (!f->corridor)
        return;
    low = isfinite(f->corridor->lower[0]) ? f->corridor->lower[0] * f->scale : box->y_low;
    high = isfinite(f->corridor->upper[0]) ? f->corridor->upper[0] * f->scale : box->y_high;
    swt_plot_add(plot,
                 "set object rectangle from graph 0,first %.9g to graph 1,first %.9g fc rgb '" BAND
                 "' fs solid 1 border lc rgb '" BAND_EDGE "' lw 0.8 behind\n",
                 low, high);
    if (isfinite(f->corridor->centre[0]))
        swt_plot_add(plot,
                     "set arrow from graph 0,first %.9g to graph 1,first %.9g nohead dt (6,4) lw "
                     "1.3 lc rgb '" MUTED "' back\n",
                     f->corridor->centre[0] * f->scale, f->corridor->centre[0] * f->scale);
}

static void add_names(swt_plot *plot, const facts *f)
{
    swt_plot_add(plot, "set xtics (");
    for (size_t b = 0; b < f->set->n_blocks; b++) {
        char name[64];
        snprintf(name, sizeof name, "%s%.50s", f->p->options.by == SWT_BY_SESSION ? "session " : "",
                 f->set->block[b].name);
        swt_plot_add(plot, b ? "," : "");
        swt_plot_quote(plot, name, 24);
        swt_plot_add(plot, " %zu", b + 1);
    }
    swt_plot_add(plot, ")\n");
}

/* Data blocks: swings, side by side so that none hides another; means; noise round the first mean.
 */
static void add_data(swt_plot *plot, const facts *f)
{
    swt_plot_add(plot, "$swings << E\n");
    for (size_t b = 0; b < f->set->n_blocks; b++) {
        const swt_progress_block *block = &f->set->block[b];
        for (size_t i = 0; i < block->n_swings; i++) {
            double y = swing_value(f, block->swing[i]);
            double side = ((double)i + 0.5) / (double)block->n_swings - 0.5;
            if (isfinite(y))
                swt_plot_add(plot, "%.4f %.9g\n", (double)(b + 1) + 0.3 * side, y);
        }
    }
    swt_plot_add(plot, "NaN NaN\nE\n$means << E\n");
    for (size_t b = 0; b < f->set->n_blocks; b++)
        if (isfinite(step(f, b)->mean))
            swt_plot_add(plot, "%zu %.9g\n", b + 1, step(f, b)->mean * f->scale);
    swt_plot_add(plot, "NaN NaN\nE\n$noise << E\n");
    for (size_t b = 0; b < f->set->n_blocks; b++) {
        const swt_change *c = &step(f, b)->since_from;
        if (c->verdict != SWT_CHANGE_UNKNOWN)
            swt_plot_add(plot, "%zu %.9g %.9g %.9g\n", b + 1, c->before * f->scale,
                         (c->before - c->detectable) * f->scale,
                         (c->before + c->detectable) * f->scale);
    }
    swt_plot_add(plot, "NaN NaN NaN NaN\nE\n");
}

static swt_status draw(swt_plot *plot, const facts *f, const swt_figure_frame *frame,
                       swt_error *err)
{
    const swt_measure *row = swt_measure_row(f->p->measure[f->measure]);
    swt_plot_canvas c = swt_plot_get_canvas(plot);
    legend_item legend[5];
    size_t n = 0;
    const char *unit =
        row->quantity == SWT_FRACTION ? "ratio" : swt_quantity_unit(row->quantity)->shown;
    char title[160], label[160];
    figure_box box;

    if (f->corridor) {
        legend[n++] = (legend_item){LEGEND_BAND, "group's interval"};
        legend[n++] = (legend_item){LEGEND_CENTRE, "its centre"};
    }
    legend[n++] = (legend_item){LEGEND_PLAYER, "player, mean"};
    legend[n++] = (legend_item){LEGEND_POINT, "each swing"};
    legend[n++] = (legend_item){LEGEND_LIGHT, "a mean in here may be noise"};
    find_ranges(&box, f);
    if (!(box.y_high > box.y_low))
        return swt_fail(err, SWT_EDATA, "there is no value of %s to draw", row->title);
    snprintf(title, sizeof title, "%c%s, %s", row->title[0] - 'a' + 'A', row->title + 1,
             f->p->options.by == SWT_BY_SESSION ? "session by session" : "shot by shot");
    if (figure_text_width(title, 1.15 * c.font) > c.width - 1.4 * c.font)
        snprintf(title, sizeof title, "%c%s", row->title[0] - 'a' + 'A', row->title + 1);
    box = figure_begin(plot, frame, title, 5.6 * c.font, 3.2 * c.font, legend, n);
    find_ranges(&box, f);
    figure_ranges(plot, &box);
    snprintf(label, sizeof label, "%s (%s)", row->title, unit);
    if (figure_text_width(label, 0.92 * c.font) > box.top - box.bottom)
        snprintf(label, sizeof label, "%s", unit); /* the title names the measure */
    figure_axis_names(plot, &box, "", label, 2.6);
    add_names(plot, f);
    add_corridor(plot, &box, f);
    add_data(plot, f);
    swt_plot_add(plot,
                 "plot $noise using 1:2:($1-0.28):($1+0.28):3:4 with boxxyerror fc rgb '" FILL_LIGHT
                 "' fs solid 1 border lc rgb '" STRESS "' lw 0.8, \\\n"
                 " $swings with points pt 7 ps 0.5 lc rgb '" PLAYER "', \\\n"
                 " $means with linespoints pt 13 ps 1.3 lw 2.2 lc rgb '" PLAYER "'\n");
    return SWT_OK;
}

const swt_corridor *swt_progress_corridor(const swt_progress *p, const swt_progress_set *set,
                                          size_t measure, const swt_study *study,
                                          const swt_assessment *a)
{
    long at = a && a->options.reference ? swt_compared_find(a, false, p->measure[measure]) : -1;
    const swt_study_swing *own = &study->swing[set->block[0].swing[0]];

    if (at < 0 || p->options.by != SWT_BY_SESSION ||
        a->compared[at].corridor->state == SWT_CORRIDOR_REFUSED ||
        strcmp(own->club, a->club) != 0 || strcmp(own->shot, a->shot) != 0)
        return NULL;
    return a->compared[at].corridor;
}

swt_status swt_progress_draw(const char *path, const swt_progress *progress,
                             const swt_progress_set *set, size_t measure, const swt_study *study,
                             const swt_assessment *assessment, swt_plot_format format,
                             swt_plot_size size, swt_error *err)
{
    const swt_measure *row = swt_measure_row(progress->measure[measure]);
    facts f = {.p = progress,
               .set = set,
               .study = study,
               .measure = measure,
               .scale = swt_quantity_unit(row->quantity)->shown_per_si};
    swt_figure_frame frame = {.player = set->name};
    swt_plot *plot = NULL;
    swt_status rc;

    f.corridor = swt_progress_corridor(progress, set, measure, study, assessment);
    for (size_t b = 0; b < set->n_blocks; b++)
        frame.n_player_swings += set->block[b].n_swings;
    if (f.corridor) {
        frame.group = assessment->options.group;
        frame.n_players = f.corridor->n_players;
        frame.n_swings = f.corridor->n_swings;
        frame.is_interval = true;
        frame.coverage = assessment->options.corridor.coverage;
    }
    rc = swt_plot_new(&plot, err);
    if (rc == SWT_OK)
        rc = swt_plot_picture(plot, path, format, size, size == SWT_PLOT_COLUMN ? 0.85 : 0.6, err);
    if (rc == SWT_OK)
        rc = draw(plot, &f, &frame, err);
    if (rc == SWT_OK)
        return swt_plot_draw(plot, NULL, err);
    swt_plot_discard(plot);
    return rc;
}
