/** @file  From parameters to the curves that drive the chain.
 *  Layer: generator, private. */
#ifndef SWT_GENERATOR_PLAN_H
#define SWT_GENERATOR_PLAN_H

#include "datasets/generator/chain.h"
#include "datasets/generator/curve.h"
#include "datasets/generator/model.h"

/** A swing that can be evaluated at any time; 0 s = start of the quiet period. */
typedef struct swt_plan {
    chain_base base;
    double time_s[SWT_MODEL_POSITIONS];
    double knot[SWT_MODEL_POSITIONS][DRIVE_COUNT]; /**< NaN = free */
    swt_curve curve[DRIVE_COUNT];
    swt_vec3 head_at_address;
    double onset_s, duration_s, waggle_rad;
    double lost_rad_s; /**< sweep rate that the club loses at contact; 0 = none */
} swt_plan;

/** Solves address and impact and fits every curve. @retval SWT_ENUM, SWT_EARG */
SWT_MUST_USE swt_status swt_plan_make(swt_plan *plan, const swt_model_player *player,
                                      const swt_model_swing *swing, swt_error *err);

/** Values that drive the chain at a time. */
void swt_plan_drive(double drive[DRIVE_COUNT], const swt_plan *plan, double time_s);

/** The chain at a time; false (points NaN) when a leg cannot reach its foot. */
bool swt_plan_pose(chain_pose *pose, const swt_plan *plan, double time_s);

#endif
