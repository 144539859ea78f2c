/** @file  A study as tidy CSV tables, with a dictionary of every column and measure.
 *  Layer: io. */
#ifndef SWT_IO_STUDY_TABLES_H
#define SWT_IO_STUDY_TABLES_H

#include "io/study/study.h"

/**
 * Writes the tables of a study into a folder, which is made when it is not there:
 *
 *   measures_long.csv  one row per swing and measure
 *   measures_wide.csv  one row per swing, one column per measure
 *   events.csv         one row per swing and event
 *   captures.csv       one row per capture, also of those that gave no swing
 *   findings.csv       what was noticed about captures and swings
 *   curves.csv         one row per swing, series and registered sample; only `with_curves`
 *   travel.csv         the same over club-head path length since takeaway; only `with_curves`
 *   transition.csv     transition shift over hand height; only `with_curves`
 *   dictionary.csv     every column, measure, event and series: meaning, unit, source
 *
 * Comma and point, UTF-8, LF; texts quoted, numbers not; an absent value is an empty cell.
 * Lengths in mm, angles in degrees, times in s, speeds in m/s. Swings are numbered as in the
 * study file, from 0. With `chosen` (study->n_swings, may be NULL) those swings alone, and the
 * captures and findings that they are of; the dictionary is whole always. Each table appears
 * complete or not at all.
 */
SWT_MUST_USE swt_status swt_tables_write(const char *folder, const swt_study *study,
                                         const bool *chosen, bool with_curves, swt_error *err);

#endif
