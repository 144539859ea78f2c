/** @file  Steps of an assessment, one file each. For io/report alone. */
#ifndef SWT_IO_REPORT_ASSESSMENT_PARTS_H
#define SWT_IO_REPORT_ASSESSMENT_PARTS_H

#include "io/report/assessment.h"

/** Corridors of all compared measures, the paths' tubes, the family factor. */
SWT_MUST_USE swt_status assess_corridors(swt_assessment *a, const swt_study *study, swt_error *err);

/** The group at its events. */
SWT_MUST_USE swt_status assess_group(swt_assessment *a, const swt_study *study, swt_error *err);

/** Departures of every assessed swing. */
SWT_MUST_USE swt_status assess_swings(swt_assessment *a, const swt_study *study, swt_error *err);

/** What they add up to for every player. */
SWT_MUST_USE swt_status assess_players(swt_assessment *a, const swt_study *study, swt_error *err);

#endif
