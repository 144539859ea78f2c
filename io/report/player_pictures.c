/* A player's pictures, most telling first: which, in what order, into which files. */
#include "io/report/figure.h"
#include "io/report/page_parts.h"
#include "io/report/player_figures.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { N = SWT_CURVE_SAMPLES, CURVES_SHOWN = 4 };

static void release(player_data *d)
{
    free(d->row);
    free(d->time);
    free(d->one);
    free(d->other);
    free(d->slice);
    free(d->column);
}

static swt_status acquire(player_data *d, const swt_study *study, const swt_assessment *a,
                          const swt_assessed_player *p, swt_error *err)
{
    size_t n = p->n_swings;

    *d = (player_data){.study = study, .a = a, .p = p};
    d->row = calloc(n, sizeof *d->row);
    d->time = calloc(n * N, sizeof *d->time);
    d->one = calloc(n * N, sizeof *d->one);
    d->other = calloc(n * N, sizeof *d->other);
    d->slice = calloc(2 * n * N, sizeof *d->slice);
    d->column = calloc(n, sizeof *d->column);
    if (!d->row || !d->time || !d->one || !d->other || !d->slice || !d->column)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t k = 0; k < n; k++)
        d->row[k] = a->swing[p->first + k].swing;
    d->frame = (swt_figure_frame){.player = p->name,
                                  .n_player_swings = n,
                                  .group = a->options.group,
                                  .n_players = a->n_reference_players,
                                  .n_swings = a->n_reference,
                                  .coverage = a->options.corridor.coverage};
    return swt_study_read_curve_times(study, d->row, n, d->time, err);
}

static void choose(swt_series out[CURVES_SHOWN], size_t *n, swt_series series)
{
    for (size_t k = 0; k < *n; k++)
        if (out[k] == series)
            return;
    if (*n < CURVES_SHOWN)
        out[(*n)++] = series;
}

/* The curves to show: those that depart, in the chain's order; hand depth and height at least. */
static size_t choose_curves(swt_series out[CURVES_SHOWN], const swt_assessment *a,
                            const swt_assessed_player *p)
{
    size_t n = 0;

    for (size_t i = 0; i < p->found.n_departures; i++) {
        const swt_compared *c = &a->compared[p->found.departure[i].over.measure];
        if (c->is_series && p->found.departure[i].matters)
            choose(out, &n, (swt_series)c->index);
    }
    choose(out, &n, SWT_SERIES_HAND_DEPTH);
    choose(out, &n, SWT_SERIES_HAND_HEIGHT);
    return n;
}

/* One picture: begun, drawn; taken back without fuss when there is nothing to draw. */
typedef struct picture_job {
    swt_plot *plot;
    page_pictures *pictures;
    const char *folder, *slug;
    swt_plot_format format;
    swt_plot_size size;
} picture_job;

static swt_status begin(picture_job *job, const char *name, double ratio, swt_error *err)
{
    page_picture *new = &job->pictures->item[job->pictures->n];

    new->caption = NULL;
    new->group_signs = false;
    new->alt[0] = '\0';
    snprintf(new->path, sizeof new->path, "%s/%s-%s.%s", job->folder, job->slug, name,
             swt_plot_extension(job->format));
    return swt_plot_picture(job->plot, new->path, job->format, job->size, ratio, err);
}

swt_status page_keep_picture(page_pictures *pictures, swt_plot *plot, swt_status drawn)
{
    if (drawn == SWT_EDATA) {
        swt_plot_drop_picture(plot);
        return SWT_OK;
    }
    pictures->n += drawn == SWT_OK;
    return drawn;
}

static swt_status finish(picture_job *job, swt_status drawn)
{
    return page_keep_picture(job->pictures, job->plot, drawn);
}

static page_picture *item(picture_job *job)
{
    return &job->pictures->item[job->pictures->n];
}

static swt_status add_timing(picture_job *job, player_data *d, swt_error *err)
{
    swt_status rc = begin(job, "timing", SWT_FIGURE_TIMING_RATIO, err);

    if (rc == SWT_OK)
        rc = finish(job,
                    player_draw_timing(job->plot, d, item(job)->alt, sizeof item(job)->alt, err));
    return rc;
}

static swt_status add_curves(picture_job *job, player_data *d, swt_error *err)
{
    swt_series curve[CURVES_SHOWN];
    size_t n = choose_curves(curve, d->a, d->p);
    swt_status rc = SWT_OK;

    for (size_t i = 0; rc == SWT_OK && i < n; i++) {
        rc = begin(job, swt_series_describe(curve[i])->name, SWT_FIGURE_CURVE_RATIO, err);
        if (rc == SWT_OK)
            rc = finish(job, player_draw_curve(job->plot, d, curve[i], item(job)->alt,
                                               sizeof item(job)->alt, err));
    }
    return rc;
}

/* A scalar among the departures that most swings show is one about time or transition. */
static bool timing_tells(const swt_assessment *a, const swt_assessed_player *p)
{
    for (size_t i = 0; i < p->found.n_chain; i++)
        if (!a->compared[p->found.departure[i].over.measure].is_series &&
            a->compared[p->found.departure[i].over.measure].quantity != SWT_LENGTH)
            return true;
    return false;
}

static swt_status add_body(picture_job *job, player_data *d, const replay_group *group,
                           swt_error *err)
{
    swt_plot_size size = job->size;
    swt_status rc;

    job->size = size == SWT_PLOT_COLUMN ? SWT_PLOT_PAGE : size; /* four figures need the room */
    rc = begin(job, "body", SWT_FIGURE_BODY_RATIO, err);
    job->size = size;
    if (rc == SWT_OK)
        rc = finish(
            job, player_draw_body(job->plot, d, group, item(job)->alt, sizeof item(job)->alt, err));
    job->pictures->has_still = job->pictures->n > 0;
    return rc;
}

/* The body at its events; hand path along the target line; what departs; hand path from above;
 * ledger; timing. */
static swt_status draw_all(picture_job *job, player_data *d, const replay_group *group,
                           swt_error *err)
{
    bool early_timing = timing_tells(d->a, d->p);
    swt_status rc = add_body(job, d, group, err);

    for (size_t v = 0; rc == SWT_OK && v < PLAYER_VIEWS; v++) {
        rc = begin(job, player_views[v].name, player_views[v].ratio, err);
        item(job)->caption = player_views[v].caption;
        item(job)->group_signs = d->a->n_reference_players > 0;
        if (rc == SWT_OK)
            rc = finish(job, player_draw_path(job->plot, d, &player_views[v], item(job)->alt,
                                              sizeof item(job)->alt, err));
        if (rc == SWT_OK && v == 1 && early_timing)
            rc = add_timing(job, d, err);
        if (rc == SWT_OK && v == 1)
            rc = add_curves(job, d, err);
    }
    for (int axis = 0; rc == SWT_OK && axis < 2; axis++) {
        rc = begin(job, axis == SWT_LEDGER_DEPTH ? "ledger-depth" : "ledger-height",
                   SWT_FIGURE_LEDGER_RATIO, err);
        if (rc == SWT_OK)
            rc = finish(job, player_draw_ledger(job->plot, d, (swt_ledger_axis)axis, item(job)->alt,
                                                sizeof item(job)->alt, err));
    }
    if (rc == SWT_OK && !early_timing)
        rc = add_timing(job, d, err);
    return rc;
}

swt_status page_draw_pictures(page_pictures *pictures, const char *folder, const char *slug,
                              const swt_study *study, const swt_assessment *a,
                              const swt_assessed_player *p, const replay_group *group,
                              swt_plot_format format, swt_plot_size size, const char *keep_script,
                              swt_error *err)
{
    picture_job job = {
        .pictures = pictures, .folder = folder, .slug = slug, .format = format, .size = size};
    char script[PATH_ROOM];
    player_data data;
    swt_status rc;

    pictures->n = 0;
    pictures->drawn = pictures->has_still = false;
    rc = acquire(&data, study, a, p, err);
    if (rc == SWT_OK)
        rc = swt_plot_new(&job.plot, err);
    if (rc == SWT_OK)
        rc = draw_all(&job, &data, group, err);
    release(&data);
    if (rc != SWT_OK) {
        swt_plot_discard(job.plot);
        return rc;
    }
    if (keep_script)
        snprintf(script, sizeof script, "%s/%s.gp", keep_script, slug);
    rc = swt_plot_draw(job.plot, keep_script ? script : NULL, err);
    pictures->drawn = rc == SWT_OK;
    return rc;
}
