#include "kinematics/turn.h"

#include "kinematics/swing.h"

#include <math.h>
#include <stdlib.h>

/* Rotation from one pose to the next about `axis`: the skew part, so the sine of a small angle. */
static double step_about(const swt_pose *from, const swt_pose *to, swt_vec3 axis)
{
    swt_mat3 back = swt_mat3_transpose(&from->rotation);
    swt_mat3 d = swt_mat3_multiply(&to->rotation, &back);

    return 0.5 * swt_dot(swt_vec3_make(d.m[2][1] - d.m[1][2], d.m[0][2] - d.m[2][0],
                                       d.m[1][0] - d.m[0][1]),
                         axis);
}

swt_status swt_segment_turn(double *turn, swt_segment segment, const swt_segment_pose *smoothed,
                            const swt_landmark_set *recorded, size_t from, size_t to,
                            swt_error *err)
{
    size_t n = to >= from ? to - from + 1 : 0;
    swt_pose *pose = malloc((n + 1) * sizeof *pose);
    bool fitted = false;
    swt_status rc = SWT_OK;

    for (size_t f = 0; f < recorded->n_frames; f++)
        turn[f] = nan("");
    if (!pose)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    if (n > 0)
        rc = swt_segment_fit_itself(pose, &fitted, segment, recorded, from, n, err);
    for (size_t k = 0; rc == SWT_OK && fitted && k < n; k++) {
        size_t f = from + k;
        swt_vec3 axis = swt_mat3_column(&smoothed->pose[f].rotation, 1);
        if (!isfinite(pose[k].residual_m) || !swt_vec3_is_finite(axis))
            continue;
        turn[f] = 0; /* a run begins */
        if (k > 0 && isfinite(turn[f - 1])) {
            axis =
                swt_direction(swt_add(swt_mat3_column(&smoothed->pose[f - 1].rotation, 1), axis));
            turn[f] = turn[f - 1] + step_about(&pose[k - 1], &pose[k], axis);
        }
    }
    free(pose);
    return rc;
}

double swt_segment_turn_noise(const swt_segment_pose *pose, swt_segment segment,
                              const swt_landmark_set *set, const double noise_m[SWT_LANDMARK_COUNT],
                              size_t frame)
{
    swt_landmark member[SWT_SEGMENT_MARKERS_MAX];
    size_t n = swt_segment_markers(member, segment, set), used = 0;
    swt_vec3 axis = swt_mat3_column(&pose->pose[frame].rotation, 1), centre = {0, 0, 0};
    double arms = 0, noise = 0;

    for (size_t m = 0; m < n; m++) {
        swt_vec3 at = swt_landmark_at(set, member[m], frame);
        if (!swt_vec3_is_finite(at))
            continue;
        centre = swt_add(centre, at);
        noise += swt_noise_or_usual(noise_m[member[m]]);
        used++;
    }
    centre = swt_scale(centre, 1 / (double)used);
    for (size_t m = 0; m < n; m++) {
        swt_vec3 off = swt_cross(swt_sub(swt_landmark_at(set, member[m], frame), centre), axis);
        if (swt_vec3_is_finite(off))
            arms += swt_dot(off, off);
    }
    return noise / (double)used / sqrt(arms);
}
