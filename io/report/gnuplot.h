/** @file  A drawing session with gnuplot: the script is made in memory, data inline, and is sent
 *  through a pipe once, when it is whole.
 *  Layer: io. Needs gnuplot 5.2 or later on the PATH when a session is drawn, not before.
 *
 *  No shell is started. Text that comes from a user (player codes, group names) goes through
 *  swt_plot_quote, which writes every byte that gnuplot could take as a command, a substitution or
 *  markup as an octal escape; all terminals are opened with enhanced text off.
 *
 *  A gnuplot that dies early is an error and not the end of the program: SIGPIPE is held back in
 *  the calling thread while the script is sent. Draw from one thread at a time. */
#ifndef SWT_IO_REPORT_GNUPLOT_H
#define SWT_IO_REPORT_GNUPLOT_H

#include "base/status.h"

#include <stddef.h>

typedef enum swt_plot_format { SWT_PLOT_SVG, SWT_PLOT_PDF, SWT_PLOT_PNG } swt_plot_format;

/** Widths on paper: 85 mm, 175 mm, 254 mm (a 4:3 slide). */
typedef enum swt_plot_size { SWT_PLOT_COLUMN, SWT_PLOT_PAGE, SWT_PLOT_SLIDE } swt_plot_size;

/** The canvas in units of 1/96 inch: what positions in a figure are worked out from. */
typedef struct swt_plot_canvas {
    double width, height;
    double font;          /**< height of the text                                             */
    double font_per_unit; /**< size in a gnuplot font string for a text one unit high         */
} swt_plot_canvas;

typedef struct swt_plot swt_plot;

/** Starts a session. @param[out] out  caller ends it with swt_plot_draw or swt_plot_discard */
SWT_MUST_USE swt_status swt_plot_new(swt_plot **out, swt_error *err);

/**
 * Starts a picture in the session; what is added up to the next one belongs to it.
 * @param path          the picture's file; appears when the session was drawn without error
 * @param height_ratio  height over width, > 0
 */
SWT_MUST_USE swt_status swt_plot_picture(swt_plot *plot, const char *path, swt_plot_format format,
                                         swt_plot_size size, double height_ratio, swt_error *err);

/** Takes back the picture begun last, with all that was added to it. */
void swt_plot_drop_picture(swt_plot *plot);

/** Canvas of the picture begun last. */
swt_plot_canvas swt_plot_get_canvas(const swt_plot *plot);

/** Adds commands of our own, printf style. User text never goes through here. */
void swt_plot_add(swt_plot *plot, const char *format, ...) SWT_PRINTF(2, 3);

/** Adds a string literal whose value is `text`, whatever is in it, cut after `most` characters. */
void swt_plot_quote(swt_plot *plot, const char *text, size_t most);

/**
 * Adds a block of inline data, n rows of n_columns; NaN breaks a line.
 * @return its number: "$d7" in later commands of the same picture
 */
int swt_plot_data(swt_plot *plot, size_t n, size_t n_columns, const double *const *column);

/** How long gnuplot may do nothing before it is stopped (60 s when not set). */
void swt_plot_set_patience(swt_plot *plot, double patience_s);

/** The script so far; owned by the session. */
const char *swt_plot_script(const swt_plot *plot);

/**
 * Sends the script, waits, checks, and puts the pictures in place; the session is freed either way.
 * @param keep_script  also written to this file (before it is sent); NULL = not
 * @retval SWT_EIO  gnuplot is not installed, hangs, or stopped with an error (its words are in the
 *                  message), or a picture could not be written; then no picture is put in place
 */
SWT_MUST_USE swt_status swt_plot_draw(swt_plot *plot, const char *keep_script, swt_error *err);

/** Ends a session without drawing; NULL is allowed. */
void swt_plot_discard(swt_plot *plot);

/** Extension of the format's files: "svg". */
const char *swt_plot_extension(swt_plot_format format);

#endif
