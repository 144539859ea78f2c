/** @file  What one video camera sees of the hands, and by how much it misjudges their depth.
 *  Layer: kinematics. Pinhole camera without lens distortion, in the swing frame; metres, radians.
 *
 *  Where it stands: `distance` is measured over the floor from the aim point. At angle 0 it is
 *  behind the player on a line parallel to the target line and looks towards the target; at 90 deg
 *  it faces the player from the ball's side; a negative angle moves it behind the player's back. It
 *  is turned and tilted so that the aim point is in the middle of its picture, and it is not
 * rolled.
 *
 *  How depth is read from the picture (common practice, no source): a plumb line is drawn through
 *  the toes, distances from it are measured across the picture, and the scale is that of things at
 *  the toes. So with f the forward and r the right-hand unit vector of the camera at C, and T the
 *  middle of the toe line (the origin of the swing frame),
 *
 *      apparent depth of P = ((T - C).f) [ u(T) - u(P) ],   u(P) = ((P - C).r) / ((P - C).f)
 *
 *  which is exact for points at the toes' distance on a camera that is square to them, and off by
 *  parallax for all others. From an angle of 90 deg depth cannot be seen at all. */
#ifndef SWT_KINEMATICS_CAMERA_H
#define SWT_KINEMATICS_CAMERA_H

#include "base/vector.h"

#include <stddef.h>

typedef struct swt_camera {
    double height_m;   /**< above the floor                                    */
    double distance_m; /**< over the floor from the aim point, > 0             */
    double angle_rad;  /**< from the target line; see above                    */
    swt_vec3 aim;      /**< the point in the middle of the picture             */
} swt_camera;

swt_vec3 swt_camera_position(const swt_camera *camera);

/**
 * A point in the picture: across (positive to the camera's right) and up, as tangents of angles
 * from the axis. NaN for a point beside or behind the camera.
 */
void swt_camera_project(double *across, double *up, const swt_camera *camera, swt_vec3 point);

/** Depth as read from the picture; NaN for a point that the camera does not see. */
double swt_camera_apparent_depth(const swt_camera *camera, swt_vec3 point);

/** Greatest |apparent depth - depth| over points; NaN ones are passed over; NaN for none. */
double swt_camera_worst_error(const swt_camera *camera, const swt_vec3 *point, size_t n);

/**
 * The height and angle at which the worst error over the points is least, the distance and the aim
 * kept: from heights of 0.5 to 1.8 m (a tripod's) in steps of 0.05 m and angles of -30 to 30 deg in
 * steps of 1 deg, since nobody places a camera better. The first of equals,
 * lowest and most negative first.
 * @return the worst error there; NaN when there is no point
 */
double swt_camera_best_place(swt_camera *best, const swt_camera *camera, const swt_vec3 *point,
                             size_t n);

#endif
