/** @file  Finite helical axis: a displacement as one turn about, and one shift along, one line.
 *  Layer: kinematics. Needs: base. Pure. */
#ifndef SWT_KINEMATICS_HELICAL_H
#define SWT_KINEMATICS_HELICAL_H

#include "base/vector.h"
#include "kinematics/pose.h"

/** Turns below this have no usable axis: axis and point are NaN. */
#define SWT_HELICAL_MIN_ANGLE 1e-9

typedef struct swt_helical {
    swt_vec3 axis;    /**< unit vector, sense such that angle_rad >= 0            */
    double angle_rad; /**< 0 .. pi                                                */
    double shift_m;   /**< along the axis; NaN when there is no axis              */
    swt_vec3 point;   /**< point of the axis nearest to the origin, m             */
} swt_helical;

/**
 * Helical axis of the displacement x -> R x + t (Spoor & Veldpaus 1980, J Biomech 13:391):
 * shift = t.n, point = (t - shift n) / 2 + n x t / (2 tan(angle / 2)).
 */
swt_helical swt_helical_of(const swt_mat3 *r, swt_vec3 t);

/** Displacement that carries a segment from pose `from` to pose `to`, in the outer frame. */
swt_helical swt_helical_between(const swt_pose *from, const swt_pose *to);

#endif
