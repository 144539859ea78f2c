/** @file  Velocities of the chain, and the truth's series at any instant.
 *  Layer: generator, private. */
#ifndef SWT_GENERATOR_MOTION_H
#define SWT_GENERATOR_MOTION_H

#include "datasets/generator/plan.h"

/** The chain and its first derivatives at an instant; swing frame. */
typedef struct swt_motion {
    chain_pose pose;
    swt_vec3 hands, hands_v, head_v;
    swt_vec3 pelvis_v, pelvis_w, thorax_v, thorax_w; /**< of the segment origins; angular */
    swt_vec3 arm_w, club_w; /**< d x d' of shoulder -> wrist, of the shaft            */
} swt_motion;

/** Five-point stencil on the closed-form chain. */
void swt_motion_at(swt_motion *m, const swt_plan *plan, double time_s);

/** Displacement of the hands since a start, split by what carried them; index 1 depth, 2 height. */
typedef struct swt_ledger {
    size_t n;
    double start_s, step_s;
    double (*sum)[3][3]; /**< [interval][pelvis, thorax, arms][x, y, z]; owned */
} swt_ledger;

SWT_MUST_USE swt_status swt_ledger_make(swt_ledger *ledger, const swt_plan *plan, double start_s,
                                        double end_s, swt_error *err);
void swt_ledger_reset(swt_ledger *ledger);

/** Fills all series at a time except SWT_TRUE_PATH_LENGTH (NaN). */
void swt_motion_values(double value[SWT_TRUE_SERIES], const swt_plan *plan,
                       const swt_ledger *ledger, double time_s);

#endif
