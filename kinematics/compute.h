/** @file  The functions behind the measure table, each for one kind of measure.
 *  Layer: kinematics. All return SI units; an absent value carries the reason. */
#ifndef SWT_KINEMATICS_COMPUTE_H
#define SWT_KINEMATICS_COMPUTE_H

#include "kinematics/measure.h"

/** The row's series at the row's event; at impact from samples before contact. */
swt_measurement swt_compute_at_event(const swt_measure *row, const swt_swing *swing);
/** Club-head speed just before contact: of the arc fitted there (contact.h), else as above. */
swt_measurement swt_compute_impact_speed(const swt_measure *row, const swt_swing *swing);
/** Time from the row's first to its second event. */
swt_measurement swt_compute_interval(const swt_measure *row, const swt_swing *swing);
/** (club top - takeaway) / (impact - club top). */
swt_measurement swt_compute_tempo(const swt_measure *row, const swt_swing *swing);
/** (row's first event - takeaway) / (impact - takeaway). */
swt_measurement swt_compute_half_time(const swt_measure *row, const swt_swing *swing);
/** Greatest value of the series from the row's first event to the follow-through. */
swt_measurement swt_compute_peak(const swt_measure *row, const swt_swing *swing);
/** Time from that peak to impact. */
swt_measurement swt_compute_peak_lead(const swt_measure *row, const swt_swing *swing);
/** Peak of the row's series over the peak of its other one, e.g. thorax over pelvis. */
swt_measurement swt_compute_gain(const swt_measure *row, const swt_swing *swing);
/** Greatest value between the two events less the value at the first. */
swt_measurement swt_compute_rise(const swt_measure *row, const swt_swing *swing);
/** Depth in the downswing less depth in the backswing at the hand height of the first event. */
swt_measurement swt_compute_transition_shift(const swt_measure *row, const swt_swing *swing);
/** Slope of the plane of the club head (row's series: its speed) or of mid-hands. */
swt_measurement swt_compute_plane_slope(const swt_measure *row, const swt_swing *swing);
/** Direction of that plane's level line against the target line, positive in to out. */
swt_measurement swt_compute_plane_direction(const swt_measure *row, const swt_swing *swing);
/** RMS distance from that plane. */
swt_measurement swt_compute_plane_rms(const swt_measure *row, const swt_swing *swing);

#endif
