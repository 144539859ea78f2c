/** @file  One measure of a selection of swings as one figure, in a file.
 *  Layer: io. */
#ifndef SWT_IO_REPORT_PLOT_H
#define SWT_IO_REPORT_PLOT_H

#include "io/report/assessment.h"
#include "io/report/gnuplot.h"

/** What to draw, of which swings. */
typedef struct swt_plot_request {
    const char *measure;   /**< name of a series (a curve) or of a scalar measure           */
    const char *selection; /**< the selection in words, for the figure; NULL: all swings    */
    const bool *chosen;    /**< study->n_swings; NULL: all swings                           */
    swt_plot_format format;
    swt_plot_size size;
} swt_plot_request;

/**
 * A curve: each swing thin, their median thick, over the group's corridor. A scalar: a row for each
 * player, or for each group where there are more than 30 players, a point for each swing, over the
 * group's interval.
 * @param a            its group's corridor lies behind; one without a group gives none
 * @param keep_script  file for the gnuplot script, or NULL
 * @retval SWT_EARG   no measure has that name: the message says where the names are
 * @retval SWT_EDATA  no chosen swing has a value
 * @retval SWT_EIO    gnuplot, or the file
 */
SWT_MUST_USE swt_status swt_report_plot(const char *path, const swt_study *study,
                                        const swt_assessment *a, const swt_plot_request *request,
                                        const char *keep_script, swt_error *err);

#endif
