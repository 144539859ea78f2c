/** @file  Fills a swing's native-rate series from joint centres and segment poses.
 *  Layer: kinematics. */
#ifndef SWT_KINEMATICS_SERIES_H
#define SWT_KINEMATICS_SERIES_H

#include "kinematics/locate.h"
#include "kinematics/segment.h"
#include "kinematics/swing.h"
#include "kinematics/swing_frame.h"

/**
 * All series but the depth ledger, which needs the takeaway (see ledger.h).
 *
 * Angle sequences (each in ISB axes X forward, Y up, Z to the player's right):
 *  - pelvis in the swing frame Y-X-Z, axial rotation first (Baker 2001, Hum Mov Sci 20:849): with
 *    large turns and a tilted pelvis the axial angle stays what it is called;
 *  - thorax in the swing frame Z-X-Y, as Wu et al. 2005 recommend for the thorax: the turn is the
 *    turn about the thorax's own axis after forward tilt and side tilt;
 *  - thorax relative to pelvis Z-X-Y (Wu et al. 2002; the form of Grood & Suntay 1983).
 *
 * @param[in,out] swing  n_frames, rate_hz and split are set; series and their verdicts are filled
 * @param[in] frame  what the swing frame rests on: limits depth, along and height
 * @param[in] at     the address pose, from which turns are counted; one in motion limits them
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_series_fill(swt_swing *swing, const swt_body *body,
                                        const swt_swing_frame *frame, const swt_location *at,
                                        swt_error *err);

/** Allocates swing->series[id] (all NaN) and its filled flags. @retval SWT_ENOMEM */
SWT_MUST_USE swt_status swt_series_new(swt_swing *swing, swt_series id, swt_error *err);

/**
 * Velocity of a point: each coordinate by swt_derivative_first, nothing across the split.
 * @param[out] velocity  n vectors, m/s
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_point_velocity(swt_vec3 *velocity, const swt_vec3 *point, size_t n,
                                           size_t split, double rate_hz, swt_error *err);

/** Value of a series at a time of the swing; NaN in gaps; up to impact from samples before it. */
double swt_series_at(const swt_swing *swing, swt_series id, double time_s);

#endif
