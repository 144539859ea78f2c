#include "io/report/plot.h"

#include "io/files.h"
#include "io/report/figure.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { N = SWT_CURVE_SAMPLES, PLAYER_ROWS_MOST = 30 };

/* The chosen swings. */
typedef struct chosen_swings {
    size_t n, n_players;
    size_t *row;
    double *value; /* n * width */
} chosen_swings;

static size_t count_different(const swt_study *study, const size_t *row, size_t n, bool by_group)
{
    size_t different = 0;

    for (size_t i = 0; i < n; i++) {
        const swt_study_swing *s = &study->swing[row[i]];
        bool seen = false;
        for (size_t j = 0; j < i && !seen; j++) {
            const swt_study_swing *t = &study->swing[row[j]];
            seen = strcmp(by_group ? s->group : s->player, by_group ? t->group : t->player) == 0;
        }
        different += !seen;
    }
    return different;
}

static swt_status choose(chosen_swings *c, const swt_study *study, const bool *chosen, size_t width,
                         swt_error *err)
{
    *c = (chosen_swings){0};
    c->row = calloc(study->n_swings + 1, sizeof *c->row);
    if (!c->row)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; i < study->n_swings; i++)
        if (!chosen || chosen[i])
            c->row[c->n++] = i;
    c->n_players = count_different(study, c->row, c->n, false);
    c->value = calloc(c->n * width + 1, sizeof *c->value);
    return c->value ? SWT_OK : swt_fail(err, SWT_ENOMEM, "out of memory");
}

static swt_figure_frame frame_of(const swt_assessment *a, const swt_plot_request *request,
                                 const chosen_swings *c, bool with_band)
{
    return (swt_figure_frame){.player = request->selection ? request->selection : "",
                              .n_player_swings = c->n,
                              .n_chosen_players = c->n_players,
                              .group = a->options.group,
                              .n_players = with_band ? a->n_reference_players : 0,
                              .n_swings = a->n_reference,
                              .coverage = with_band ? a->options.corridor.coverage : 0};
}

static const swt_corridor *corridor_of(const swt_assessment *a, bool is_series, size_t index)
{
    long at = swt_compared_find(a, is_series, index);

    return at >= 0 && a->compared[at].corridor->state != SWT_CORRIDOR_REFUSED
               ? a->compared[at].corridor
               : NULL;
}

static swt_status draw_series(swt_plot *plot, const swt_study *study, const swt_assessment *a,
                              const swt_plot_request *request, swt_series series, swt_error *err)
{
    const swt_corridor *k = corridor_of(a, true, (size_t)series);
    double median[N];
    chosen_swings c;
    double *column = NULL;
    bool any = false;
    swt_status rc = choose(&c, study, request->chosen, N, err);

    if (rc == SWT_OK)
        rc = swt_study_read_curves(study, series, c.row, c.n, c.value, err);
    if (rc == SWT_OK) {
        column = calloc(c.n + 1, sizeof *column);
        rc = column ? SWT_OK : swt_fail(err, SWT_ENOMEM, "out of memory");
    }
    for (size_t i = 0; rc == SWT_OK && i < N; i++) {
        for (size_t s = 0; s < c.n; s++)
            column[s] = c.value[s * N + i];
        median[i] = swt_median(column, c.n);
        any = any || isfinite(median[i]);
    }
    if (rc == SWT_OK && !any)
        rc = swt_fail(err, SWT_EDATA, "none of these swings has a curve of %s",
                      swt_series_describe(series)->title);
    if (rc == SWT_OK) {
        swt_figure_curve f = {.frame = frame_of(a, request, &c, k != NULL),
                              .series = series,
                              .centre = k ? k->centre : NULL,
                              .lower = k ? k->lower : NULL,
                              .upper = k ? k->upper : NULL,
                              .n_curves = c.n,
                              .curve = c.value,
                              .median = median};
        rc = swt_figure_draw_curve(plot, &f, err);
    }
    free(column);
    free(c.row);
    free(c.value);
    return rc;
}

/* Rows of the figure in the order of the study; `of` gets each swing's row. */
static size_t name_rows(const char **name, size_t *of, const swt_study *study,
                        const chosen_swings *c)
{
    bool by_group = c->n_players > PLAYER_ROWS_MOST;
    size_t n = 0;

    for (size_t i = 0; i < c->n; i++) {
        const swt_study_swing *s = &study->swing[c->row[i]];
        const char *key = by_group ? s->group : s->player;
        size_t r = 0;
        while (r < n && strcmp(name[r], key) != 0)
            r++;
        if (r == n)
            name[n++] = key;
        of[i] = r;
    }
    return n;
}

static swt_status draw_scalar(swt_plot *plot, const swt_study *study, const swt_assessment *a,
                              const swt_plot_request *request, size_t measure, swt_error *err)
{
    const swt_corridor *k = corridor_of(a, false, measure);
    const swt_measure *m = swt_measure_row(measure);
    const char **name = NULL;
    size_t *of = NULL;
    chosen_swings c;
    swt_status rc = choose(&c, study, request->chosen, 1, err);

    if (rc == SWT_OK) {
        name = calloc(c.n + 1, sizeof *name);
        of = calloc(c.n + 1, sizeof *of);
        rc = name && of ? SWT_OK : swt_fail(err, SWT_ENOMEM, "out of memory");
    }
    if (rc == SWT_OK) {
        swt_figure_scalar f = {.frame = frame_of(a, request, &c, k != NULL),
                               .title = m->title,
                               .quantity = m->quantity,
                               .n_rows = name_rows(name, of, study, &c),
                               .row_name = name,
                               .n_values = c.n,
                               .value = c.value,
                               .row = of,
                               .median = swt_median,
                               .centre = k ? k->centre[0] : nan(""),
                               .lower = k ? k->lower[0] : nan(""),
                               .upper = k ? k->upper[0] : nan("")};
        f.frame.is_interval = true;
        for (size_t i = 0; i < c.n; i++) {
            const swt_measurement *x = &study->measure[measure][c.row[i]];
            c.value[i] = x->verdict.state == SWT_ABSENT ? nan("") : x->value;
        }
        rc = swt_figure_draw_scalar(plot, &f, err);
    }
    free(name);
    free(of);
    free(c.row);
    free(c.value);
    return rc;
}

/* Height over width: a scalar's figure grows with its rows. */
static double scalar_ratio(const swt_study *study, const bool *chosen, swt_plot_size size)
{
    chosen_swings c;
    double n = 0;

    if (choose(&c, study, chosen, 1, NULL) == SWT_OK)
        n = (double)(c.n_players > PLAYER_ROWS_MOST ? count_different(study, c.row, c.n, true)
                                                    : c.n_players);
    free(c.row);
    free(c.value);
    return (size == SWT_PLOT_COLUMN ? 0.40 + 0.055 * n : 0.28 + 0.030 * n);
}

swt_status swt_report_plot(const char *path, const swt_study *study, const swt_assessment *a,
                           const swt_plot_request *request, const char *keep_script, swt_error *err)
{
    long measure = swt_measure_find(request->measure);
    int series = 0;
    double ratio = SWT_FIGURE_CURVE_RATIO;
    swt_plot *plot;
    swt_status rc;

    while (series < SWT_SERIES_COUNT &&
           strcmp(swt_series_describe((swt_series)series)->name, request->measure) != 0)
        series++;
    if (series == SWT_SERIES_COUNT && measure < 0)
        return swt_fail(
            err, SWT_EARG,
            "no curve or measure is called \"%.60s\": `swathe help curves` and `swathe help "
            "measures` list them",
            request->measure);
    if (series == SWT_SERIES_COUNT)
        ratio = scalar_ratio(study, request->chosen, request->size);
    rc = swt_folder_make_for(path, err);
    if (rc == SWT_OK)
        rc = swt_plot_new(&plot, err);
    if (rc != SWT_OK)
        return rc;
    rc = swt_plot_picture(plot, path, request->format, request->size, ratio, err);
    if (rc == SWT_OK)
        rc = series < SWT_SERIES_COUNT
                 ? draw_series(plot, study, a, request, (swt_series)series, err)
                 : draw_scalar(plot, study, a, request, (size_t)measure, err);
    if (rc != SWT_OK) {
        swt_plot_discard(plot);
        return rc;
    }
    return swt_plot_draw(plot, keep_script, err);
}
