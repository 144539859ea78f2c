/** @file  Do measures go with the results of the shots? For columns of the sheet that hold results:
 *  start line, curve, carry, whatever is a number.
 *  Layer: io. Reads scalar measures and covariates of an open study; all statistics are
 *  comparison's.
 *
 *  Within players and between players apart (association.h). P-values of all measures and outcomes
 *  looked at are adjusted together, the two kinds apart, so that of what is called found a share of
 *  1 - confidence is false on average. Association only: nothing here says that one brings the
 *  other about. */
#ifndef SWT_IO_REPORT_OUTCOMES_H
#define SWT_IO_REPORT_OUTCOMES_H

#include "comparison/association.h"
#include "io/report/gnuplot.h"
#include "io/study/study.h"

typedef struct swt_outcomes_options {
    const char *columns; /**< names of covariates, separated by commas                          */
    const char *only;    /**< swings to take, as conditions (selection.h); NULL: those of the
                              club and shot that most swings have                             */
    const char *measure; /**< name of the only measure; NULL: all                            */
    size_t n_permutations;
    unsigned long seed;
    bool with_practice;
} swt_outcomes_options;

typedef struct swt_outcome_row {
    size_t outcome;                  /**< index of the column's name        */
    size_t measure;                  /**< row of swt_measure_row            */
    swt_association within, between; /**< slope in the outcome's unit per SI unit   */
    double within_q, between_q;      /**< p adjusted over all rows                 */
} swt_outcome_row;

enum { SWT_OUTCOMES_MOST = 8 };

typedef struct swt_outcomes {
    size_t n_outcomes;
    char *name[SWT_OUTCOMES_MOST];
    double *result[SWT_OUTCOMES_MOST]; /**< n_swings; NaN: no number there */
    size_t n_swings, n_left_out;
    size_t *swing; /**< rows of the study   */
    int *player;   /**< equal = same player */
    size_t n_rows;
    swt_outcome_row *row; /**< outcome by outcome, in the order of the measures */
} swt_outcomes;

/**
 * @param[out] out  the caller frees; NULL on failure
 * @retval SWT_EARG, SWT_EDATA  no such column, a column without numbers, no such measure, or as
 *                              swt_selection_apply
 */
SWT_MUST_USE swt_status swt_outcomes_build(swt_outcomes **out, const swt_study *study,
                                           const swt_outcomes_options *options, swt_error *err);

void swt_outcomes_free(swt_outcomes *outcomes);

/** One row a measure and outcome, in shown units. */
SWT_MUST_USE swt_status swt_outcomes_table_write(const char *path, const swt_outcomes *outcomes,
                                                 swt_error *err);

/** Draws one row: swings less their player's mean (`within`), or players' means; with the line of
 *  Theil and Sen. */
SWT_MUST_USE swt_status swt_outcomes_draw(const char *path, const swt_outcomes *outcomes,
                                          size_t row, bool within, const swt_study *study,
                                          swt_plot_format format, swt_error *err);

#endif
