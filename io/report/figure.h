/** @file  The figures: what a person sees of a swing beside its group.
 *  Layer: io. Arrays in SI units in, one picture of a drawing session out.
 *
 *  Forms carry the meaning and colours only help: the group is a grey area with a dashed centre,
 *  the player a thick solid line, what is outside a still thicker line between stops. Every figure
 *  has units on its axes and says whom it shows, the group and how many players and swings. */
#ifndef SWT_IO_REPORT_FIGURE_H
#define SWT_IO_REPORT_FIGURE_H

#include "io/report/gnuplot.h"
#include "kinematics/stick.h"
#include "kinematics/swing.h"

#include <stdbool.h>

/** Whom a figure shows. Texts are the user's: they are quoted, cut where too long, never run. */
typedef struct swt_figure_frame {
    const char *player; /**< code of the assessed player; NULL = the group alone             */
    size_t n_player_swings;
    const char *group;          /**< not looked at where n_players is 0 */
    size_t n_players, n_swings; /**< of the group                                            */
    double coverage;            /**< share of swings that the band is to hold; 0 = no band   */
    size_t n_chosen_players;    /**< of a selection that `player` names; 0: it is one player */
    bool is_interval;           /**< the band is of one number, not of a curve               */
} swt_figure_frame;

/** Where an event lies on a path: the player's place and the group's; NaN = not to be had. */
typedef struct swt_figure_mark {
    swt_event event;
    double x, y, group_x, group_y;
} swt_figure_mark;

/** A line across a path figure at one x or y: the toe line, the heel line. */
typedef struct swt_figure_rule {
    double at_m;
    bool at_y; /**< a line at a value of y, from side to side */
    const char *label;
} swt_figure_rule;

/** The hand path in one plane, over the group's tube. Metres; n samples of registered time. */
typedef struct swt_figure_path {
    swt_figure_frame frame;
    const char *title, *x_label, *y_label; /**< ours, with the unit mm */
    size_t n;
    const double *centre_x, *centre_y; /**< of the group; NULL = none                          */
    /** n * 3: xx, xy, yy of the ellipse { p : p' E^-1 p <= 1 } that is the tube's section;
     *  NULL = none, NaN where there is none. */
    const double *ellipse;
    size_t n_paths;
    const double *x, *y;               /**< n_paths * n, one swing after the other             */
    const double *median_x, *median_y; /**< n, drawn bold                                      */
    const bool *outside;               /**< n, samples of the bold path to stress; may be NULL */
    size_t n_marks;
    const swt_figure_mark *mark;
    size_t n_rules;
    const swt_figure_rule *rule;
} swt_figure_path;

/** A measure against registered time, over the group's band. SI; SWT_CURVE_SAMPLES samples. */
typedef struct swt_figure_curve {
    swt_figure_frame frame;
    swt_series series;
    const double *centre, *lower, *upper; /**< NULL = none                      */
    size_t n_curves;
    const double *curve;  /**< n_curves * SWT_CURVE_SAMPLES                     */
    const double *median; /**< drawn bold                                       */
    const bool *outside;  /**< samples of the bold curve to stress; may be NULL */
} swt_figure_curve;

/** Times of the events in seconds after takeaway; NaN = absent. */
typedef struct swt_figure_timing {
    swt_figure_frame frame;
    size_t n_events;
    const swt_event *event;
    /** n_events each: the group's lowest player, middle player, highest player. */
    const double *group_low_s, *group_middle_s, *group_high_s;
    const double *time_s;   /**< n_events * frame.n_player_swings */
    const double *median_s; /**< n_events                         */
} swt_figure_timing;

/** Which way the ledger is kept. */
typedef enum swt_ledger_axis { SWT_LEDGER_DEPTH, SWT_LEDGER_HEIGHT } swt_ledger_axis;

/** How much pelvis, thorax and arms have moved the hands since takeaway, at events. Metres. */
typedef struct swt_figure_ledger {
    swt_figure_frame frame;
    swt_ledger_axis axis;
    size_t n_events;
    const swt_event *event;
    const double *player[3]; /**< n_events: pelvis, thorax, arms; NaN = absent */
    const double *group[3];  /**< the mean of the group's players             */
} swt_figure_ledger;

/** A measure that is one number a swing. SI. */
typedef struct swt_figure_scalar {
    swt_figure_frame frame;
    const char *title;
    swt_quantity quantity;
    size_t n_rows;
    const char *const *row_name; /**< a player or a group each: the user's text      */
    size_t n_values;
    const double *value;                       /**< one a swing; NaN = absent            */
    const size_t *row;                         /**< the row of each                      */
    double (*median)(double *value, size_t n); /**< of n numbers, which it may reorder */
    double centre, lower, upper;               /**< the group's interval; NaN = none     */
} swt_figure_scalar;

/** Stick figures at events, the group's dashed behind the player's. */
typedef struct swt_figure_body {
    swt_figure_frame frame;
    size_t n_events; /**< at most 4 */
    const swt_event *event;
    const double *player[4]; /**< SWT_STICK_POINTS * 3 each; NULL = none      */
    const double *group[4];
} swt_figure_body;

/** Height over width that suits the figure. */
#define SWT_FIGURE_PATH_RATIO 1.4
#define SWT_FIGURE_ABOVE_RATIO 0.95
#define SWT_FIGURE_CURVE_RATIO 0.85
#define SWT_FIGURE_TIMING_RATIO 1.05
#define SWT_FIGURE_LEDGER_RATIO 0.95
#define SWT_FIGURE_BODY_RATIO 0.72

/** Each adds its figure to the picture begun last. @retval SWT_EDATA  nothing to draw */
SWT_MUST_USE swt_status swt_figure_draw_path(swt_plot *plot, const swt_figure_path *figure,
                                             swt_error *err);
SWT_MUST_USE swt_status swt_figure_draw_curve(swt_plot *plot, const swt_figure_curve *figure,
                                              swt_error *err);
SWT_MUST_USE swt_status swt_figure_draw_timing(swt_plot *plot, const swt_figure_timing *figure,
                                               swt_error *err);
SWT_MUST_USE swt_status swt_figure_draw_ledger(swt_plot *plot, const swt_figure_ledger *figure,
                                               swt_error *err);
SWT_MUST_USE swt_status swt_figure_draw_scalar(swt_plot *plot, const swt_figure_scalar *figure,
                                               swt_error *err);
SWT_MUST_USE swt_status swt_figure_draw_body(swt_plot *plot, const swt_figure_body *figure,
                                             swt_error *err);

/** The event in the few words that fit beside a point: "lead arm level". */
const char *swt_event_short(swt_event event);

#endif
