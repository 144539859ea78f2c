#include "kinematics/helical.h"

#include <math.h>

/** Axis of a turn of more than a right angle, from the symmetric part cos I + (1 - cos) n n^T. */
static swt_vec3 axis_of_large_turn(const swt_mat3 *r, swt_vec3 skew, double cosine)
{
    int k = 0;
    swt_vec3 n;

    for (int i = 1; i < 3; i++)
        if (r->m[i][i] > r->m[k][k])
            k = i;
    n.x = 0.5 * (r->m[0][k] + r->m[k][0]) - (k == 0 ? cosine : 0);
    n.y = 0.5 * (r->m[1][k] + r->m[k][1]) - (k == 1 ? cosine : 0);
    n.z = 0.5 * (r->m[2][k] + r->m[k][2]) - (k == 2 ? cosine : 0);
    n = swt_direction(n);
    return swt_dot(n, skew) < 0 ? swt_scale(n, -1) : n;
}

swt_helical swt_helical_of(const swt_mat3 *r, swt_vec3 t)
{
    swt_helical h;
    swt_vec3 skew = {0.5 * (r->m[2][1] - r->m[1][2]), 0.5 * (r->m[0][2] - r->m[2][0]),
                     0.5 * (r->m[1][0] - r->m[0][1])};
    double cosine = 0.5 * (r->m[0][0] + r->m[1][1] + r->m[2][2] - 1);

    h.angle_rad = atan2(swt_norm(skew), cosine);
    if (!(h.angle_rad >= SWT_HELICAL_MIN_ANGLE)) {
        h.axis = h.point = swt_vec3_nan();
        h.shift_m = nan("");
        return h;
    }
    h.axis = cosine < 0 ? axis_of_large_turn(r, skew, cosine) : swt_direction(skew);
    h.shift_m = swt_dot(t, h.axis);
    h.point = swt_scale(swt_add(swt_sub(t, swt_scale(h.axis, h.shift_m)),
                                swt_scale(swt_cross(h.axis, t), 1 / tan(h.angle_rad / 2))),
                        0.5);
    return h;
}

swt_helical swt_helical_between(const swt_pose *from, const swt_pose *to)
{
    swt_mat3 back = swt_mat3_transpose(&from->rotation);
    swt_mat3 r = swt_mat3_multiply(&to->rotation, &back);

    return swt_helical_of(&r, swt_sub(to->translation, swt_rotate(&r, from->translation)));
}
