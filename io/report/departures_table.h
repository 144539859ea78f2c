/** @file  Departures as a CSV table.
 *  Layer: io. */
#ifndef SWT_IO_REPORT_DEPARTURES_TABLE_H
#define SWT_IO_REPORT_DEPARTURES_TABLE_H

#include "io/report/assessment.h"

/** Name of a compared series or measure, as in the study. */
const char *swt_compared_name(const swt_compared *compared);

/** Does this version have a curve or a scalar of that name? */
bool swt_compared_is_known(const char *name, bool is_series);

/**
 * Writes one row a departure, swing by swing in the assessment's order. Lengths in mm, angles in
 * degrees, times in s after takeaway; `peak_ratio` is in
 * corridor half-widths; the excess at that sample also in SD of the player's own swings and in
 * standard uncertainties from marker noise (not known beside the measures); `stands_for_all` says
 * whether the departure stands for all corridors of its `family` looked at together: the measures,
 * which alone lead the words and scores; what stands beside them (swt_beside); the hand path, by
 * itself, so that each of its departures stands.
 */
SWT_MUST_USE swt_status swt_departures_table_write(const char *path, const swt_study *study,
                                                   const swt_assessment *assessment,
                                                   swt_error *err);

#endif
