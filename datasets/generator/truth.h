/** @file  Events and scalars of a planned swing.
 *  Layer: generator, private. */
#ifndef SWT_GENERATOR_TRUTH_H
#define SWT_GENERATOR_TRUTH_H

#include "datasets/generator/plan.h"

/**
 * Truth at `n_frames` instants first_s + i / rate_hz of the plan's clock; event times are given
 * after first_s. The caller frees it with swt_model_truth_free; NULL on failure.
 */
SWT_MUST_USE swt_status swt_truth_make(swt_model_truth **truth, const swt_plan *plan,
                                       double first_s, double rate_hz, size_t n_frames,
                                       swt_error *err);

#endif
