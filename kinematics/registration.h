/** @file  Series brought to a common clock: piecewise-linear time between events.
 *  Layer: kinematics. */
#ifndef SWT_KINEMATICS_REGISTRATION_H
#define SWT_KINEMATICS_REGISTRATION_H

#include "kinematics/swing.h"

/**
 * Fills swing->curve and swing->curve_time_s: SWT_PHASE_STEPS equal steps between the events of
 * swt_phase_boundary. A phase whose boundary is absent, or whose boundaries are out of order, is
 * NaN. A curve with no finite sample stays NULL.
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_register_curves(swt_swing *swing, swt_error *err);

#endif
