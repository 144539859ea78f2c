/** @file  The filter's two passes on several runs side by side.
 *  Layer: kinematics. Needs: base. Used by filter.c alone.
 *
 *  The recursion has no parallelism along time, but runs of equal length are independent: each is
 *  filtered in a lane of its own, lanes side by side in vectors. Every run takes this path, alone
 * or in company, so its numbers cannot depend on its neighbours. A row is one sample of every lane.
 */
#ifndef SWT_KINEMATICS_FILTER_LANES_H
#define SWT_KINEMATICS_FILTER_LANES_H

#include "kinematics/filter.h"

#define SWT_LANES 8

/** What a cut-off makes of a run. */
typedef struct swt_lane_design {
    swt_filter_pass pass;
    double period; /**< of the cut-off, in samples */
} swt_lane_design;

/** What each lane carries; all of them must be set. */
typedef struct swt_lanes {
    double b0[SWT_LANES], a1[SWT_LANES], a2[SWT_LANES], period[SWT_LANES];
    double first[SWT_LANES], slope[SWT_LANES]; /**< line through the run's ends */
    const double *in[SWT_LANES];
} swt_lanes;

/** A lane's filter. */
static inline void swt_lane_use(swt_lanes *lane, size_t l, const swt_lane_design *design)
{
    lane->b0[l] = design->pass.b0;
    lane->a1[l] = design->pass.a1;
    lane->a2[l] = design->pass.a2;
    lane->period[l] = design->period;
}

/** A lane's run of n samples, 2 at least; they are borrowed. */
static inline void swt_lane_open(swt_lanes *lane, size_t l, const double *in, size_t n)
{
    lane->in[l] = in;
    lane->first[l] = in[0];
    lane->slope[l] = (in[n - 1] - in[0]) / (double)(n - 1);
}

/** Doubles of room that the passes need for runs of n samples. */
size_t swt_lanes_room(size_t n, size_t pad);

/** Filters runs of n samples to `out`, which may be where they come from; two lanes with the same
 *  filter and run may share an `out`. */
void swt_lanes_filter(double *const out[SWT_LANES], const swt_lanes *lane, size_t n, size_t pad,
                      double *room);

/** n rows of the runs, their lines removed. */
void swt_lanes_load(double *rows, const swt_lanes *lane, size_t n);

/** Sums of squares of what the filters take from the runs that swt_lanes_load gave as `rows`. */
void swt_lanes_residuals(double sum[SWT_LANES], const double *rows, const swt_lanes *lane, size_t n,
                         size_t pad, double *room);

#endif
