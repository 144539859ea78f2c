/** @file  Contact told by an analog channel: a microphone, a force plate, a trigger.
 *  Layer: kinematics. Needs: base.
 *
 *  Onset by threshold: the channel's rest is its median, its noise 1.4826 times the median absolute
 *  departure from it (robust against the event itself; Rousseeuw & Croux 1993, J Am Stat Assoc
 *  88:1273, from memory). An onset is where the departure passes the threshold after a tenth of a
 *  second below it, so that a sound that rings counts once; the instant is interpolated between the
 *  two samples. Threshold, unless the map names one: eight times the noise, at least a tenth of the
 *  largest departure (own choice: low, so that it is met early in the rise). */
#ifndef SWT_KINEMATICS_IMPACT_CHANNEL_H
#define SWT_KINEMATICS_IMPACT_CHANNEL_H

#include "kinematics/locate.h"
#include "kinematics/marker_map.h"

/**
 * Finds the onsets of a channel.
 *
 * @param[out] onsets     n, time_s and sd_s; n = 0 when it never leaves its rest, or does so more
 *                        than SWT_ONSETS_MAX times and so tells nothing
 * @param[in]  x          n samples; NaN counts as rest
 * @param      threshold  departure from rest, unit of `x`; 0 = as above
 * @param      delay_s    how long after the event the channel shows it
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_onsets_find(swt_onsets *onsets, const double *x, size_t n,
                                        double rate_hz, double threshold, double delay_s,
                                        swt_error *err);

/**
 * Sets `set->onsets` from the analog channel that the map names for contact; a channel that the
 * capture lacks, or that shows nothing, is a finding.
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_onsets_of_capture(swt_landmark_set *set, const swt_marker_map *map,
                                              const swt_capture *capture, swt_findings *findings,
                                              swt_error *err);

/**
 * The frame of contact (a real number, counted in the set's frames) by the set's onsets; NaN when
 * there is no channel or it does not tell.
 *
 * The onset must be the only one from 0.06 s before the fastest frame of the downswing to 0.15 s
 * after it (hands are fastest some 0.05 s before contact), and, where the marker that was followed
 * comes back to its address place, must lie within 0.02 s of it (0.05 s for hands): clocks that
 * differ by more are not one clock (own choices). Findings say which source the instant has.
 *
 * @param split  first frame after contact by the markers; n_frames when they do not tell
 */
double swt_contact_by_channel(const swt_landmark_set *set, const swt_location *location,
                              size_t split, swt_findings *findings);

#endif
