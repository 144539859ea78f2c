/** @file  Angles from orientations and directions.
 *  Layer: kinematics. Needs: base. Pure; radians throughout; NaN in -> NaN out.
 *
 *  A sequence names three intrinsic turns: R = R_first(a) R_second(b) R_third(c), each about the
 *  axis as the turns before have left it. R's columns are the moving frame's axes in the fixed (or
 *  proximal) one. The order matters: the "axial" angle of one trunk posture can differ by more than
 *  20 degrees between sequences, so each measure states its own. For Z-X-Y with the axes of
 *  the International Society of Biomechanics the three are the joint angles of Grood & Suntay
 * (1983, J Biomech Eng 105:136). */
#ifndef SWT_KINEMATICS_ANGLE_H
#define SWT_KINEMATICS_ANGLE_H

#include "base/vector.h"
#include "kinematics/pose.h"

#include <stddef.h>

/** Six Cardan sequences, then the six Euler sequences (first axis = third). */
typedef enum swt_sequence {
    SWT_SEQUENCE_XYZ,
    SWT_SEQUENCE_XZY,
    SWT_SEQUENCE_YXZ,
    SWT_SEQUENCE_YZX,
    SWT_SEQUENCE_ZXY,
    SWT_SEQUENCE_ZYX,
    SWT_SEQUENCE_XYX,
    SWT_SEQUENCE_XZX,
    SWT_SEQUENCE_YXY,
    SWT_SEQUENCE_YZY,
    SWT_SEQUENCE_ZXZ,
    SWT_SEQUENCE_ZYZ,
    SWT_SEQUENCE_COUNT
} swt_sequence;

/** Rotation matrix of three intrinsic turns. */
swt_mat3 swt_angle_compose(const double angle[3], swt_sequence sequence);

/**
 * Principal angles: first and third in (-pi, pi]; second in [-pi/2, pi/2] for Cardan sequences,
 * in [0, pi] for Euler sequences. At gimbal lock the third is set to 0 and the first takes the
 * whole turn (see swt_angle_lock_distance).
 */
void swt_angle_decompose(double angle[3], const swt_mat3 *r, swt_sequence sequence);

/** Replaces the angles by the other triple of the same rotation: (a + pi, pi - b, c + pi) for
 *  Cardan, (a + pi, -b, c + pi) for Euler sequences; first and third brought into (-pi, pi]. */
void swt_angle_other(double angle[3], swt_sequence sequence);

/**
 * Distance of the second angle from gimbal lock (+-pi/2 for Cardan, 0 and pi for Euler sequences),
 * 0 .. pi/2. Near 0 the first and third angle mean nothing apart: an error e of the orientation
 * becomes about e / distance in each.
 */
double swt_angle_lock_distance(const double angle[3], swt_sequence sequence);

/** Among both triples of the same rotation and whole turns, the one nearest to `near`. */
void swt_angle_nearest(double angle[3], const double near[3], swt_sequence sequence);

/**
 * Angles of `distal` relative to `proximal` in every frame, continuous in time.
 *
 * @param[out] first, second, third  n series; NaN where either pose is missing
 * @param[in]  proximal  n poses; NULL = the outer frame
 * @param[in]  distal    n poses
 * @param[in]  near      the first frame takes the triple nearest to these; NULL = principal angles
 *
 * Each later frame takes the triple nearest to the last one known, also across gaps.
 */
void swt_angle_series(double *first, double *second, double *third, const swt_pose *proximal,
                      const swt_pose *distal, size_t n, swt_sequence sequence,
                      const double near[3]);

/** `angle` plus the whole turns that bring it within pi of `near`. */
double swt_angle_turns(double angle, double near);

/** Removes jumps of whole turns from a series, in place, also across gaps. */
void swt_angle_unwrap(double *x, size_t n);

/** Angle between two directions, 0 .. pi; NaN for a zero vector. Accurate near 0 and pi. */
double swt_angle_between(swt_vec3 a, swt_vec3 b);

/**
 * Signed angle from `reference` to `v`, both projected on the plane with this normal; positive by
 * the right-hand rule about `normal`, (-pi, pi]. NaN when either projection is shorter than 1e-6
 * of its vector (a direction seen end-on has no angle).
 */
double swt_angle_projected(swt_vec3 v, swt_vec3 reference, swt_vec3 normal);

/** Angle of `v` above the horizontal (z up), -pi/2 .. pi/2; NaN for a zero vector. */
double swt_angle_elevation(swt_vec3 v);

#endif
