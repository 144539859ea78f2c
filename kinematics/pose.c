#include "kinematics/pose.h"

#include "kinematics/derivative.h"

#include <math.h>
#include <stdlib.h>

swt_pose swt_pose_missing(void)
{
    swt_pose pose;

    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            pose.rotation.m[i][j] = nan("");
    pose.translation = swt_vec3_nan();
    pose.residual_m = nan("");
    return pose;
}

swt_vec3 swt_pose_invert(const swt_pose *pose, swt_vec3 outer)
{
    swt_mat3 back = swt_mat3_transpose(&pose->rotation);

    return swt_rotate(&back, swt_sub(outer, pose->translation));
}

swt_status swt_pose_angular_velocity(swt_vec3 *omega, const swt_pose *pose, size_t n_frames,
                                     size_t split, double rate_hz, swt_error *err)
{
    double *element = calloc(2 * n_frames + 1, sizeof *element), *rate;

    if (!element)
        return swt_fail(err, SWT_ENOMEM, "angular velocity: out of memory for %zu frames",
                        n_frames);
    rate = element + n_frames;
    for (size_t f = 0; f < n_frames; f++)
        omega[f] = swt_vec3_make(0, 0, 0);
    /* W = R' R^T is skew with W[2][1] = wx, W[0][2] = wy, W[1][0] = wz; each component is half the
     * difference of the two elements that hold it. */
    for (int j = 0; j < 3; j++)
        for (int i = 0; i < 3; i++) {
            for (size_t f = 0; f < n_frames; f++)
                element[f] = pose[f].rotation.m[i][j];
            swt_derivative_first(rate, element, n_frames, split, rate_hz);
            for (size_t f = 0; f < n_frames; f++) {
                const double(*r)[3] = pose[f].rotation.m;
                double half = 0.5 * rate[f];
                if (i == 0) {
                    omega[f].y += half * r[2][j];
                    omega[f].z -= half * r[1][j];
                } else if (i == 1) {
                    omega[f].z += half * r[0][j];
                    omega[f].x -= half * r[2][j];
                } else {
                    omega[f].x += half * r[1][j];
                    omega[f].y -= half * r[0][j];
                }
            }
        }
    free(element);
    return SWT_OK;
}
