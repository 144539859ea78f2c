/** @file  The pipeline: landmarks of one capture -> one swing.
 *  Layer: kinematics. */
#ifndef SWT_KINEMATICS_ANALYSE_H
#define SWT_KINEMATICS_ANALYSE_H

#include "kinematics/marker_map.h"
#include "kinematics/options.h"
#include "kinematics/swing.h"

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
