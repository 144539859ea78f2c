/** @file  The figures of one player, and what they are drawn from. For io/report alone. */
#ifndef SWT_IO_REPORT_PLAYER_FIGURES_H
#define SWT_IO_REPORT_PLAYER_FIGURES_H

#include "io/report/assessment.h"
#include "io/report/figure.h"
#include "io/report/replay.h"

/** What the figures of one player need, read once. */
typedef struct player_data {
    const swt_study *study;
    const swt_assessment *a;
    const swt_assessed_player *p;
    size_t *row;         /* of the study, n_swings */
    double *time;        /* n_swings * N           */
    double *one, *other; /* n_swings * N, scratch  */
    double *slice;       /* 2 * n_swings * N       */
    double *column;      /* n_swings               */
    swt_figure_frame frame;
} player_data;

/** One look at the hand path: a plane and a stretch of the swing. */
typedef struct path_view {
    const char *name, *title, *what, *caption, *x_label, *y_label;
    swt_series x, y;
    size_t first, n; /* samples */
    double ratio;
    bool from_above;
    swt_event mark[4];
} path_view;

enum { PLAYER_VIEWS = 4 };

extern const path_view player_views[PLAYER_VIEWS];

/** Each draws into the picture begun last and says the finding in `alt`. As swt_figure_draw_*. */
SWT_MUST_USE swt_status player_draw_path(swt_plot *plot, player_data *d, const path_view *view,
                                         char *alt, size_t alt_size, swt_error *err);
SWT_MUST_USE swt_status player_draw_curve(swt_plot *plot, player_data *d, swt_series series,
                                          char *alt, size_t alt_size, swt_error *err);
SWT_MUST_USE swt_status player_draw_ledger(swt_plot *plot, player_data *d, swt_ledger_axis axis,
                                           char *alt, size_t alt_size, swt_error *err);
SWT_MUST_USE swt_status player_draw_body(swt_plot *plot, player_data *d, const replay_group *group,
                                         char *alt, size_t alt_size, swt_error *err);
SWT_MUST_USE swt_status player_draw_timing(swt_plot *plot, player_data *d, char *alt,
                                           size_t alt_size, swt_error *err);

/** Median over the swings of curves (n_swings * SWT_CURVE_SAMPLES) at one sample. */
double player_median_at(player_data *d, const double *curves, size_t sample);

/** Median over the swings of where they are at an event: by the registered curves of the series, or
 *  by a swing's own samples where it has no registered curve there. */
SWT_MUST_USE swt_status player_median_at_event(double *median, player_data *d, swt_series series,
                                               const double *curves, swt_event event,
                                               swt_error *err);

/** The phases in which a median (n samples from registered sample `first`) has next to no value and
 *  the event that they lack: "between takeaway and club top (lead arm level, backswing: not reached
 *  in this swing)"; "" for none. */
void player_absent_words(char *out, size_t size, const player_data *d, const double *median,
                         size_t first, size_t n);

/** The stretches of a bold line that are stressed, in words. */
void player_outside_words(char *out, size_t size, const char *what, bool compared,
                          const bool *outside, const double *median, size_t first, size_t n);

#endif
