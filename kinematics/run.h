/** @file  Runs of finite samples in a series: the unit that every numerical tool works on.
 *  Layer: kinematics. Needs: C library. NaN is the only gap marker; a run never spans one. */
#ifndef SWT_KINEMATICS_RUN_H
#define SWT_KINEMATICS_RUN_H

#include <stdbool.h>
#include <stddef.h>

/** As `split`: the series is not divided. (0 and any value >= n mean the same.) */
#define SWT_NO_SPLIT ((size_t)-1)

/** Samples begin .. end-1. */
typedef struct swt_run {
    size_t begin, end;
} swt_run;

/**
 * Moves `run` to the next run of finite samples at or after `run->end`; start with {0, 0}.
 * `split` is the index of the first sample after impact: a run ends there even when both
 * neighbours are finite, so that nothing is smoothed or differentiated across contact.
 * @return false when there is no further run
 */
bool swt_run_next(swt_run *run, const double *x, size_t n, size_t split);

/** The run that holds sample `i` (undivided when split is SWT_NO_SPLIT); {i, i} if x[i] is NaN. */
swt_run swt_run_around(const double *x, size_t n, size_t split, size_t i);

#endif
