/** @file  Scores of whole swings as CSV tables.
 *  Layer: io. */
#ifndef SWT_IO_REPORT_SCORES_TABLE_H
#define SWT_IO_REPORT_SCORES_TABLE_H

#include "io/report/assessment.h"

/**
 * scores.csv: one row a scored swing: rms in SD units, distance in the group's components and the
 * rest that these do not reach, each with the share of left-out reference swings that lie lower,
 * and the share of rms^2 of each phase.
 */
SWT_MUST_USE swt_status swt_scores_table_write(const char *path, const swt_study *study,
                                               const swt_assessment *assessment, swt_error *err);

/** score_shares.csv: one row a scored swing and measure: the measure's share of rms^2. */
SWT_MUST_USE swt_status swt_score_shares_table_write(const char *path, const swt_study *study,
                                                     const swt_assessment *assessment,
                                                     swt_error *err);

#endif
