/** @file  Plane nearest to a set of points, as for the path of the club head.
 *  Layer: kinematics. Needs: base. Does no I/O, keeps no state. */
#ifndef SWT_KINEMATICS_PLANE_H
#define SWT_KINEMATICS_PLANE_H

#include "base/status.h"
#include "base/vector.h"

#include <stddef.h>

/** A fitted plane, in a frame with x along the target line and z up. */
typedef struct swt_plane {
    swt_vec3 normal;      /**< unit, z component >= 0                                           */
    swt_vec3 centre;      /**< mean of the points, on the plane, m                              */
    double slope_rad;     /**< between the plane and the horizontal, 0 .. pi/2                  */
    double direction_rad; /**< of the plane's horizontal line, from x towards y, in
                               (-pi/2, pi/2]; NaN for a level plane                             */
    double rms_m;         /**< RMS distance of the points from the plane                        */
    double max_m;         /**< greatest distance                                                */
    size_t n_points;      /**< finite points used                                               */
} swt_plane;

/**
 * Total least-squares plane: the normal is the right singular vector of the centred points with
 * the least singular value (slope and direction as for a functional swing plane: Kwon et al. 2012,
 * Sports Biomech 11:127).
 *
 * Points with a NaN are left out.
 * @retval SWT_EDATA   fewer than 3 finite points, or the points lie on a line (second singular
 *                     value under 1e-6 of the first)
 * @retval SWT_ENOMEM  no scratch memory
 */
SWT_MUST_USE swt_status swt_plane_fit(swt_plane *plane, const double *x, const double *y,
                                      const double *z, size_t n, swt_error *err);

/** Signed distance of a point from the plane, positive on the side of the normal. */
double swt_plane_distance(const swt_plane *plane, swt_vec3 point);

#endif
