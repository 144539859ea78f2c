/** @file  The steps from trajectories to measures, once through, in the order of a method section.
 *  Layer: kinematics. */
#ifndef SWT_KINEMATICS_ANALYSE_ONCE_H
#define SWT_KINEMATICS_ANALYSE_ONCE_H

#include "kinematics/marker_map.h"
#include "kinematics/options.h"
#include "kinematics/swing.h"

/** What a swing is analysed with. */
typedef struct swt_setting {
    const swt_landmark_set *rest; /**< static capture, mirrored for a left-handed player, or NULL */
    const swt_marker_map *map;
    swt_handedness side;
    const swt_analysis_options *options;
    const swt_quality *known; /**< cut-off and noise of each landmark; NULL: to be found    */
    double head_noise_m;      /**< of the club head at contact; 0: as of the landmark       */
} swt_setting;

/** A swing of which nothing is known yet, without trajectories; NULL: out of memory. */
swt_swing *swt_swing_begin(size_t n_frames, double rate_hz, const swt_findings *binding);

/** Time of a frame of the swing, s after the first frame of its capture. */
double swt_capture_time(const swt_swing *swing, double frame);

/**
 * From trajectories free of label faults (swing->body, metres, laboratory frame, z up) to events,
 * series, ledger and measures; the trajectories become the smoothed ones in the swing frame. Times
 * count from the swing's first frame.
 * @retval SWT_EDATA   no hands and no club, or no player-sized motion
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_analyse_once(swt_swing *swing, const swt_setting *with, swt_error *err);

#endif
