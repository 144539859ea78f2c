/** @file  What the figures share: frame, legend, labels beside points. For io/report alone. */
#ifndef SWT_IO_REPORT_FIGURE_PARTS_H
#define SWT_IO_REPORT_FIGURE_PARTS_H

#include "io/report/figure.h"

#define INK "#1c1c1c"
#define MUTED "#555555"
#define BAND "#dedede"
#define BAND_EDGE "#a8a8a8"
#define PLAYER "#00518a"
#define STRESS "#dd6b20"
/* dark, middle, light: told apart in greyscale */
#define FILL_DARK "#12395b"
#define FILL_MIDDLE "#6f9bc0"
#define FILL_LIGHT "#f2d8a0"

/** The plotting area in canvas units from the lower left corner, and what its edges stand for. */
typedef struct figure_box {
    double left, right, bottom, top;
    double x_low, x_high, y_low, y_high; /* in the unit shown */
} figure_box;

typedef enum legend_form {
    LEGEND_BAND,
    LEGEND_CENTRE,
    LEGEND_PLAYER,
    LEGEND_SWINGS,
    LEGEND_STRESS,
    LEGEND_DARK,
    LEGEND_MIDDLE,
    LEGEND_LIGHT,
    LEGEND_POINT
} legend_form;

typedef struct legend_item {
    legend_form form;
    const char *text;
} legend_item;

/** Title, legend, caption lines, margins for the axes; returns the box, its ranges not yet set. */
figure_box figure_begin(swt_plot *plot, const swt_figure_frame *frame, const char *title,
                        double left_margin, double bottom_margin, const legend_item *item,
                        size_t n_items);

/** Names both axes; `drop`: how far the x axis' name lies below the axis, in text heights. */
void figure_axis_names(swt_plot *plot, const figure_box *box, const char *x_name,
                       const char *y_name, double drop);

/** Sets ranges and tics of both axes; tics in round steps. */
void figure_ranges(swt_plot *plot, const figure_box *box);

/** A round step that cuts `range` into at most `most` parts: 1, 2, 2.5 or 5 times a power of 10. */
double figure_step(double range, double most);

/** Widens [low, high] by a value unless it is NaN. */
void figure_reach(double *low, double *high, double value);

/** Width of a text in canvas units, on the wide side. */
double figure_text_width(const char *text, double font);

/** A label that looks for room near its point. */
typedef struct figure_label {
    const char *text;
    double x, y; /* the point, canvas units */
} figure_label;

/**
 * Writes labels where they hit neither each other, nor points, nor the lines given.
 * @param line  n_line points (x, y) in canvas units that labels keep clear of
 */
void figure_place_labels(swt_plot *plot, const figure_box *box, const figure_label *label, size_t n,
                         const double *line, size_t n_line);

/** Point type of an event, filled; one less is the open form. */
int figure_event_point(swt_event event);

double figure_to_x(const figure_box *box, double shown);
double figure_to_y(const figure_box *box, double shown);

#endif
