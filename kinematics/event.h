/** @file  The events of a swing, to sub-frame, from its series.
 *  Layer: kinematics. Definitions: swt_event_definition. */
#ifndef SWT_KINEMATICS_EVENT_H
#define SWT_KINEMATICS_EVENT_H

#include "kinematics/contact.h"
#include "kinematics/locate.h"
#include "kinematics/options.h"
#include "kinematics/segment.h"
#include "kinematics/swing.h"

/**
 * Fills swing->event. An event that does not occur is absent with its reason, never moved.
 *
 * Takeaway: the onset threshold is options->onset_speed_m_s, or four standard deviations above the
 * speed that noise makes at address where that is more; in the latter case the crossing is carried
 * back to the nominal threshold along the line through the rise (cf. back-extrapolation of an
 * onset, e.g. Teasdale et al. 1993, Behav Res Methods 25:241; from memory).
 * Impact: where the arc of the club head fitted to the samples before contact (contact.h) crosses
 * its place at address; without it, the head or the hands carried on by swt_subframe_before.
 * Club top: last zero of the shaft's angular velocity about the swing-plane normal before impact;
 * the plane is the least-squares plane of the club head from shaft level (downswing) to shaft
 * level (follow-through), to impact where the capture ends; where it ends before, the mean axis of
 * the shaft's turning, cf. Kwon et al. 2012, Sports Biomech 11:127. Hands top: least mid-hands
 * speed between backswing and downswing; where the hands stand still for a while, some instant of
 * it. Club top, hands top, the reversals and finish are read from the recorded (not smoothed)
 * markers by swt_turning_point and swt_slowing_point, with the noise of the markers that they rest
 * on: smoothing with one cut-off for the whole swing bends a quick turn and leaves noise in a slow
 * one.
 *
 * @param[in] recorded  landmarks as body's, in the swing frame, gaps filled, not smoothed
 * @param[in] location  rough positions; location->marker's address position defines impact
 * @param[in] contact   the club head before contact
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_events_find(swt_swing *swing, const swt_body *body,
                                        const swt_landmark_set *recorded,
                                        const swt_location *location, const swt_contact *contact,
                                        const swt_analysis_options *options, swt_error *err);

/** Path length of the club head (else the hands) from takeaway, m, per frame; NaN before it and
 *  where there is no takeaway. */
void swt_travel(double *travel, const swt_swing *swing);

#endif
