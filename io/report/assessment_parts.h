/** @file  Steps of an assessment, one file each. For io/report alone. */
#ifndef SWT_IO_REPORT_ASSESSMENT_PARTS_H
#define SWT_IO_REPORT_ASSESSMENT_PARTS_H

#include "io/report/assessment.h"

/** Corridors of all compared measures, the paths' tubes, the family factor. */
SWT_MUST_USE swt_status assess_corridors(swt_assessment *a, const swt_study *study, swt_error *err);

/** Registered sample at or before an event, by its place among the events. */
size_t assess_event_place(swt_event event);

/** The group at its events. */
SWT_MUST_USE swt_status assess_group(swt_assessment *a, const swt_study *study, swt_error *err);

/** Departures of every assessed swing, and what they add up to for every player. */
SWT_MUST_USE swt_status assess_swings(swt_assessment *a, const swt_study *study, swt_error *err);

/** Scores of every assessed swing. */
SWT_MUST_USE swt_status assess_scores(swt_assessment *a, const swt_study *study, swt_error *err);

/** Corridors beside the family, and the departures of every assessed swing from them. */
SWT_MUST_USE swt_status assess_beside(swt_assessment *a, const swt_study *study, swt_error *err);

/** Values of every measure of the family, one block for each: n swings * its samples. */
typedef struct assess_values {
    double **of; /**< n; NULL outside the family */
    size_t n;    /**< measures compared          */
} assess_values;

/** Reads them of the swings listed; ended by assess_values_reset, also after a failure. */
SWT_MUST_USE swt_status assess_values_read(assess_values *v, const swt_assessment *a,
                                           const swt_study *study, const size_t *swing, size_t n,
                                           swt_error *err);

void assess_values_reset(assess_values *v);

#endif
