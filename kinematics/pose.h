/** @file  Position and orientation of a rigid segment from its markers, and how it turns.
 *  Layer: kinematics. Needs: base. Does no I/O, keeps no state.
 *
 *  measured = rotation * reference + translation. The rotation's columns are the axes of the
 *  reference frame seen in the outer (swing or laboratory) frame. */
#ifndef SWT_KINEMATICS_POSE_H
#define SWT_KINEMATICS_POSE_H

#include "base/status.h"
#include "base/vector.h"
#include "kinematics/run.h"

/**
 * Least spread of a cluster: e2 / e1^2 of the singular values of its cross-dispersion matrix, near
 * (width / length)^2. Below it (a width under about 3 % of the length) the turn about the long axis
 * is noise and the pose is missing. Own choice, no source.
 */
#define SWT_POSE_MIN_SPREAD 1e-3

/** A pose in one frame; a missing pose is NaN throughout. */
typedef struct swt_pose {
    swt_mat3 rotation;
    swt_vec3 translation; /**< outer position of the reference frame's origin, m */
    double residual_m;    /**< weighted RMS distance marker to fitted place, m   */
} swt_pose;

/** NaN throughout. */
swt_pose swt_pose_missing(void);

/** Outer position of a point given in the reference frame; NaN for a missing pose. */
static inline swt_vec3 swt_pose_apply(const swt_pose *pose, swt_vec3 local)
{
    return swt_add(swt_rotate(&pose->rotation, local), pose->translation);
}

/** Reference-frame position of an outer point; NaN for a missing pose. */
swt_vec3 swt_pose_invert(const swt_pose *pose, swt_vec3 outer);

/** What a segment's markers look like at rest. */
typedef struct swt_cluster {
    size_t n_markers;
    const swt_vec3 *reference; /**< n_markers positions in the reference frame, m          */
    const double *weight;      /**< n_markers, >= 0; NULL = all 1; 0 leaves a marker out    */
} swt_cluster;

/**
 * Weighted least-squares rigid fit in every frame.
 *
 * The minimum of sum w |measured - (R reference + t)|^2 over proper rotations, i.e. the solution of
 * Soederkvist & Wedin (1993, J Biomech 26:1473) with the determinant held at +1, so that a flat
 * cluster cannot come out mirrored. R is computed without an SVD, by Newton's method on the largest
 * root of the characteristic polynomial and a closed form for R (Horn 1987, J Opt Soc Am A 4:629;
 * Markley 1993, J Astronaut Sci 41:261).
 *
 * In each frame the markers with three finite coordinates count. The pose is missing when fewer
 * than three do, when they lie on a line (SWT_POSE_MIN_SPREAD), in the reference or as measured,
 * and when they are nothing like the reference (residual nine tenths of the extent and more: all in
 * one place, or another unit).
 *
 * @param[out] pose        n_frames poses
 * @param[in]  cluster     reference positions and weights
 * @param[in]  coordinate  3 * n_markers series of n_frames values, m: coordinate[3 * marker + axis]
 */
void swt_pose_fit(swt_pose *pose, const swt_cluster *cluster, const double *const *coordinate,
                  size_t n_frames);

/**
 * Angular velocity from the skew part of R' R^T, in the outer frame, rad/s.
 *
 * R' by swt_derivative_first on the nine elements: nothing reaches across missing poses or `split`.
 * For a steady turn of theta radians a frame the result is low by the factor 1 - theta^4/30.
 *
 * @param[out] omega  n_frames vectors; NaN where the pose is missing or stands alone
 * @retval SWT_ENOMEM  no scratch memory; omega is untouched
 */
SWT_MUST_USE swt_status swt_pose_angular_velocity(swt_vec3 *omega, const swt_pose *pose,
                                                  size_t n_frames, size_t split, double rate_hz,
                                                  swt_error *err);

#endif
