/** @file  The stick figure of a swing: joint centres, head and club, frame by frame, for pictures.
 *  Layer: kinematics. Metres in the swing frame; lead and trail, so that a left-handed player
 *  shows as a right-handed one. */
#ifndef SWT_KINEMATICS_STICK_H
#define SWT_KINEMATICS_STICK_H

#include "kinematics/landmark.h"

/** Order of the points in a frame. Sided ones come in pairs, lead first. */
typedef enum swt_stick_point {
    SWT_STICK_LEAD_TOE,
    SWT_STICK_TRAIL_TOE,
    SWT_STICK_LEAD_HEEL,
    SWT_STICK_TRAIL_HEEL,
    SWT_STICK_LEAD_ANKLE,
    SWT_STICK_TRAIL_ANKLE,
    SWT_STICK_LEAD_KNEE,
    SWT_STICK_TRAIL_KNEE,
    SWT_STICK_LEAD_HIP,
    SWT_STICK_TRAIL_HIP,
    SWT_STICK_LEAD_SHOULDER,
    SWT_STICK_TRAIL_SHOULDER,
    SWT_STICK_LEAD_ELBOW,
    SWT_STICK_TRAIL_ELBOW,
    SWT_STICK_LEAD_WRIST,
    SWT_STICK_TRAIL_WRIST,
    SWT_STICK_NECK, /**< middle of C7 and IJ, else of the shoulders */
    SWT_STICK_HEAD,
    SWT_STICK_MID_HANDS,
    SWT_STICK_GRIP,
    SWT_STICK_CLUB_HEAD,
    SWT_STICK_POINTS
} swt_stick_point;

typedef enum swt_stick_kind {
    SWT_STICK_TRAIL_SIDE,
    SWT_STICK_LEAD_SIDE,
    SWT_STICK_TRUNK,
    SWT_STICK_CLUB
} swt_stick_kind;

/** A line of the figure from one point to another. */
typedef struct swt_stick_line {
    swt_stick_point from, to;
    swt_stick_kind kind;
} swt_stick_line;

enum { SWT_STICK_LINES = 23 };
extern const swt_stick_line swt_stick_lines[SWT_STICK_LINES];

/**
 * The points of every frame; a point whose landmarks are absent or missing is NaN.
 * Joint centres are those of swt_body_build without a static capture.
 *
 * @param[out] out   n_frames * SWT_STICK_POINTS * 3: x, y, z of each point
 * @param[in]  set   in the swing frame
 * @param      shoulder_drop_m  shoulder centre below the acromion
 */
SWT_MUST_USE swt_status swt_stick_build(double *out, const swt_landmark_set *set,
                                        double shoulder_drop_m, swt_error *err);

/**
 * A frame of a stick figure between two frames, linear; NaN outside and where either lacks a point.
 * @param[out] out  SWT_STICK_POINTS * 3
 */
void swt_stick_at(double *out, const double *stick, size_t n_frames, double frame);

#endif
