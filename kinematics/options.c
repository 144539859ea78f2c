#include "kinematics/options.h"

void swt_analysis_options_init(swt_analysis_options *options)
{
    *options = (swt_analysis_options){.cutoff_hz = 0,
                                      .max_spline_gap_s = 0.10,
                                      .max_rigid_gap_s = 0.50,
                                      .onset_speed_m_s = 0.10,
                                      .finish_speed_m_s = 0.50,
                                      .uncertainty_replicates = 20};
}
