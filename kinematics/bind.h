/** @file  A marker map and a capture -> landmarks.
 *  Layer: kinematics. */
#ifndef SWT_KINEMATICS_BIND_H
#define SWT_KINEMATICS_BIND_H

#include "kinematics/marker_map.h"

/**
 * Takes the mapped landmarks out of a capture: labels matched, units to metres, axes turned
 * to right-handed with z up, invalid samples to NaN, left/right resolved to lead/trail.
 *
 * The position stays in the laboratory's frame; the mirror image for left-handed players is
 * taken by swt_swing_frame. Landmarks that the map names and the capture lacks are noted as
 * findings, with the nearest spelling among the labels left over.
 *
 * @param[out] out       caller frees with swt_landmark_set_free; NULL on failure
 * @param[out] findings  appended to
 * @retval SWT_EDATA  no unit or rate anywhere, no mapped label is in the capture, or the landmarks
 *                    are not of a person's size: the unit is wrong
 */
SWT_MUST_USE swt_status swt_marker_map_bind(swt_landmark_set **out, const swt_marker_map *map,
                                            const swt_capture *capture, swt_handedness side,
                                            swt_findings *findings, swt_error *err);

#endif
