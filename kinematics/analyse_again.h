/** @file  A swing analysed again and again, to see how far marker noise moves what comes out.
 *  Layer: kinematics. What is counted, and how: uncertainty.h. */
#ifndef SWT_KINEMATICS_ANALYSE_AGAIN_H
#define SWT_KINEMATICS_ANALYSE_AGAIN_H

#include "kinematics/analyse_once.h"

/**
 * Writes the standard uncertainties of an analysed swing's events, measures and registered curves,
 * by with.options->uncertainty_replicates repetitions with fresh noise and two with other cut-offs.
 *
 * @param[in] labelled  the trajectories that it was analysed from
 * @param     with      what it was analysed with
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_analyse_again(swt_swing *swing, const swt_landmark_set *labelled,
                                          swt_setting with, swt_error *err);

#endif
