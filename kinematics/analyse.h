/** @file  The pipeline: landmarks of one capture -> one swing.
 *  Layer: kinematics. */
#ifndef SWT_KINEMATICS_ANALYSE_H
#define SWT_KINEMATICS_ANALYSE_H

#include "kinematics/marker_map.h"
#include "kinematics/swing.h"

/** All that changes a number. Defaults by swt_analysis_options_init; stored with the study. */
typedef struct swt_analysis_options {
    double cutoff_hz;     /**< low-pass cut-off of every landmark; 0 = by residual analysis  */
    int smooth_by_spline; /**< 1: smoothing spline, cross-validated, in place of the filter (0) */
    double max_spline_gap_s; /**< gaps up to this are filled by a spline          (0.10 s)      */
    double max_rigid_gap_s;  /**< gaps up to this are filled from the segment     (0.50 s)      */
    double onset_speed_m_s;  /**< takeaway threshold of the club head             (0.10 m/s)    */
    double finish_speed_m_s; /**< finish threshold of the hands                   (0.50 m/s)    */
    long uncertainty_replicates; /**< noisy copies analysed for the uncertainty; 0 = none (20) */
} swt_analysis_options;

void swt_analysis_options_init(swt_analysis_options *options);

/**
 * Analyses one swing.
 *
 * @param[out] out           caller frees with swt_swing_free; NULL on failure
 * @param[in]  landmarks     metres, z up, laboratory frame (swt_marker_map_bind); of a longer
 * capture a copy of some frames, whose first_frame all times then count from
 * @param[in]  static_pose   the same of a static capture, or NULL
 * @param[in]  map           laboratory facts: levelled, target axis, radius, shoulder offset
 * @param[in]  side          mirrors a left-handed player
 * @param[in]  binding       findings of the binding, carried into the swing; may be NULL
 * @retval SWT_EDATA  no hands and no club, or no player-sized motion in the capture
 */
SWT_MUST_USE swt_status swt_analyse(swt_swing **out, const swt_landmark_set *landmarks,
                                    const swt_landmark_set *static_pose, const swt_marker_map *map,
                                    swt_handedness side, const swt_findings *binding,
                                    const swt_analysis_options *options, swt_error *err);

#endif
