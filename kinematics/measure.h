/** @file  The table of scalar measures: one row is one column of the study, one line of the
 *  tables, one entry of the documentation.
 *  Layer: kinematics. */
#ifndef SWT_KINEMATICS_MEASURE_H
#define SWT_KINEMATICS_MEASURE_H

#include "kinematics/swing.h"

struct swt_measure;

/** Computes one measure of a swing whose events and series are ready. */
typedef swt_measurement (*swt_measure_function)(const struct swt_measure *measure,
                                                const swt_swing *swing);

typedef struct swt_measure {
    const char *name;  /**< stored under this name: "hand_depth_at_shaft_level_backswing" */
    const char *title; /**< "hand depth at shaft level, backswing"                         */
    swt_quantity quantity;
    swt_event moment;        /**< when in the swing it is settled: orders the chain              */
    const char *more, *less; /**< what a high and a low value mean, in words: "deeper"           */
    const char *definition;
    const char *source; /**< paper or "own definition" or "common practice, no source"      */
    swt_measure_function compute;
    swt_series series;  /**< for measures that read a series                                */
    swt_event from, to; /**< for measures between two events; `from` alone: at that event   */
    swt_series other;   /**< for measures that set two series against each other            */
} swt_measure;

size_t swt_measure_count(void);

/** Row `index` of the table. */
const swt_measure *swt_measure_row(size_t index);

/** Index of a measure by name, or -1. */
long swt_measure_find(const char *name);

/** Fills swing->measure (allocated here) from its events and series. @retval SWT_ENOMEM */
SWT_MUST_USE swt_status swt_measure_all(swt_swing *swing, swt_error *err);

#endif
