/** @file  How good a swing's data are, and what a person can't have done.
 *  Layer: kinematics. */
#ifndef SWT_KINEMATICS_QUALITY_H
#define SWT_KINEMATICS_QUALITY_H

#include "kinematics/segment.h"
#include "kinematics/swing.h"

/**
 * Shaft length's constancy, frames in the downswing, and whether the declared rate can hold;
 * before measures are taken, so that a doubtful rate limits the events they rest on.
 */
void swt_quality_of_motion(swt_swing *swing, const swt_body *body);

/**
 * Holds the measures against ranges wide enough for any player; what lies outside is limited
 * (implausible) and named in the findings with the range and its source.
 */
void swt_quality_of_measures(swt_swing *swing);

#endif
