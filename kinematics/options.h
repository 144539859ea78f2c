/** @file  What a user may choose of the analysis.
 *  Layer: kinematics. */
#ifndef SWT_KINEMATICS_OPTIONS_H
#define SWT_KINEMATICS_OPTIONS_H

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

#endif
