/** @file  Series brought to a common clock, and the transition shift over height.
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

/**
 * Fills swing->travel_curve and swing->travel_time_s: steps of SWT_TRAVEL_STEP_M of club-head path
 * length since takeaway, up to club top. The tempo of the start drops out: swings are compared at
 * the same place of the club. NaN (curves NULL) without club head or takeaway, and beyond what the
 * backswing travels.
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_register_travel(swt_swing *swing, swt_error *err);

/** Fills swing->shift_m and swing->shift_height_m from hand depth and height, takeaway to impact;
 *  all NaN when one of these is absent. */
void swt_register_shift(swt_swing *swing);

/** Value of a registered curve at a time, on the clock of `time_s`, linear between samples; NaN
 *  outside. */
double swt_registered_at(const double time_s[SWT_CURVE_SAMPLES],
                         const double curve[SWT_CURVE_SAMPLES], double at_s);

#endif
