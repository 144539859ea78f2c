#include "kinematics/contact.h"

#include "kinematics/gaps.h"
#include "kinematics/local_spline.h"
#include "kinematics/pose.h"
#include "kinematics/swing.h"

#include <stdlib.h>

/* The shape of the head is averaged over this much of the downswing. */
static const double shape_s = 0.25;

enum { HEAD_MARKERS = 3 };

/* Samples before contact that are looked at. */
static size_t samples_wanted(double rate_hz)
{
    size_t wanted = (size_t)lround(SWT_CONTACT_S * rate_hz) + 1;
    if (wanted > SWT_LOCAL_SAMPLES)
        return SWT_LOCAL_SAMPLES;
    return wanted > SWT_CONTACT_SAMPLES_MIN ? wanted : SWT_CONTACT_SAMPLES_MIN;
}

/* The head by the rigid fit of its three markers over the `n` frames that end before `split`;
 * false when that can't be had. */
static bool head_by_fit(swt_vec3 *head, const swt_landmark_set *set, size_t split, size_t n,
                        swt_status *rc, swt_error *err)
{
    static const swt_landmark marker[HEAD_MARKERS] = {SWT_CLUB_HEAD, SWT_CLUB_TOE, SWT_CLUB_HEEL};
    size_t wanted = (size_t)(shape_s * set->rate_hz), count = wanted < split ? wanted : split;
    swt_vec3 shape[HEAD_MARKERS];
    swt_track track[HEAD_MARKERS];
    const double *coordinate[3 * HEAD_MARKERS];
    const swt_cluster cluster = {HEAD_MARKERS, shape, NULL};
    swt_pose *pose;
    bool fitted = true;

    if (count < n)
        count = n;
    for (int m = 0; m < HEAD_MARKERS; m++) {
        if (!set->present[marker[m]])
            return false;
        for (int k = 0; k < 3; k++) {
            track[m].axis[k] = set->axis[marker[m]][k] + (split - count);
            coordinate[3 * m + k] = set->axis[marker[m]][k] + (split - n);
        }
        track[m].origin = set->origin[marker[m]] + (split - count);
    }
    *rc = swt_gap_shape(shape, NULL, track, HEAD_MARKERS, count, err);
    if (*rc == SWT_EDATA) {
        *rc = SWT_OK;
        return false;
    }
    pose = *rc == SWT_OK ? malloc(n * sizeof *pose) : NULL;
    if (*rc == SWT_OK && !pose)
        *rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    if (pose)
        swt_pose_fit(pose, &cluster, coordinate, n);
    for (size_t f = 0; pose && f < n; f++) {
        head[f] = swt_pose_apply(&pose[f], shape[0]);
        fitted = fitted && swt_vec3_is_finite(head[f]);
    }
    free(pose);
    return fitted;
}

/* Centre of the circle through three points, and axes in its plane; false when they are in line. */
static bool arc_through(swt_contact *arc, swt_vec3 a, swt_vec3 b, swt_vec3 c)
{
    swt_vec3 u = swt_sub(b, a), v = swt_sub(c, a), w = swt_cross(u, v);
    double twice = 2 * swt_dot(w, w);

    if (!(twice > 1e-6 * swt_dot(u, u) * swt_dot(v, v))) /* flatter than any swing */
        return false;
    arc->centre = swt_add(a, swt_scale(swt_add(swt_scale(swt_cross(w, u), swt_dot(v, v)),
                                               swt_scale(swt_cross(v, w), swt_dot(u, u))),
                                       1 / twice));
    arc->normal = swt_direction(w);
    arc->level = swt_direction(swt_sub(c, arc->centre)); /* angle 0 at the last sample */
    arc->across = swt_cross(arc->normal, arc->level);
    return true;
}

/* Angle, radius and distance from the plane of each sample; the angle is continuous. */
static void to_polar(double *angle, double *radius, double *distance, const swt_vec3 *head,
                     size_t n, const swt_contact *arc)
{
    for (size_t f = n; f-- > 0;) {
        swt_vec3 d = swt_sub(head[f], arc->centre);
        double x = swt_dot(d, arc->level), y = swt_dot(d, arc->across);
        angle[f] = atan2(y, x);
        if (f + 1 < n)
            angle[f] = angle[f + 1] + remainder(angle[f] - angle[f + 1], 2 * SWT_PI);
        radius[f] = hypot(x, y);
        distance[f] = swt_dot(d, arc->normal);
    }
}

/* The steady polar coordinates smoothed, and carried on past the last sample by the cubic through
 * their last four values. */
static void smooth_arc(swt_contact *contact, const swt_vec3 *head, double *polar, size_t n,
                       size_t split, double noise)
{
    swt_local_fit *fit[3] = {&contact->angle, &contact->radius, &contact->distance};
    enum { LAST = SWT_CONTACT_ORDER + 1 };

    if (!arc_through(contact, head[0], head[n / 2], head[n - 1]))
        return;
    to_polar(polar, polar + n, polar + 2 * n, head, n, contact);
    for (size_t k = 0; k < 3; k++) {
        const double *x = polar + k * n;
        double sd = k == 0 ? noise / polar[2 * n - 1] : noise; /* of an angle: over the radius */
        swt_local_spline smooth;
        if (!swt_local_spline_fit(&smooth, SWT_CONTACT_ORDER, &x, 1, n, SWT_NO_SPLIT,
                                  0.5 * (double)(n - 1), (double)n, sd))
            return;
        swt_local_fit_make(fit[k], smooth.value[0], n - LAST, LAST, SWT_CONTACT_ORDER);
        fit[k]->middle += (double)(split - n);
    }
    contact->known = true;
}

/* A head placed by the rigid fit of three markers: six of nine coordinates' freedom is left, so on
 * the mean over markers and directions its noise is this share of one marker's. */
static const double fitted_noise_share = 0.81649658092772603; /* sqrt(6 / 9) */

swt_status swt_contact_fit(swt_contact *contact, const swt_landmark_set *set, size_t split,
                           double noise, swt_error *err)
{
    size_t n = samples_wanted(set->rate_hz);
    swt_status rc = SWT_OK;
    swt_vec3 *head;
    double *polar;

    *contact = (swt_contact){.known = false};
    noise = swt_noise_or_usual(noise);
    if (!set->present[SWT_CLUB_HEAD] || split < n || split >= set->n_frames)
        return SWT_OK;
    for (size_t f = split - n; f < split; f++)
        if (!swt_vec3_is_finite(swt_landmark_at(set, SWT_CLUB_HEAD, f)))
            return SWT_OK;
    head = malloc(n * sizeof *head);
    polar = malloc(3 * n * sizeof *polar);
    if (!head || !polar)
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    else if (head_by_fit(head, set, split, n, &rc, err))
        noise *= fitted_noise_share;
    else
        for (size_t f = 0; f < n; f++)
            head[f] = swt_landmark_at(set, SWT_CLUB_HEAD, split - n + f);
    if (rc == SWT_OK)
        smooth_arc(contact, head, polar, n, split, noise);
    free(head);
    free(polar);
    return rc;
}

swt_vec3 swt_contact_position(const swt_contact *contact, double frame)
{
    double angle[4], radius[4], distance[4];

    swt_local_fit_at(angle, &contact->angle, frame);
    swt_local_fit_at(radius, &contact->radius, frame);
    swt_local_fit_at(distance, &contact->distance, frame);
    return swt_add(swt_add(contact->centre, swt_scale(contact->normal, distance[0])),
                   swt_add(swt_scale(contact->level, radius[0] * cos(angle[0])),
                           swt_scale(contact->across, radius[0] * sin(angle[0]))));
}

double swt_contact_speed(const swt_contact *contact, double frame)
{
    double angle[4], radius[4], distance[4];

    swt_local_fit_at(angle, &contact->angle, frame);
    swt_local_fit_at(radius, &contact->radius, frame);
    swt_local_fit_at(distance, &contact->distance, frame);
    return sqrt(radius[1] * radius[1] + radius[0] * angle[1] * radius[0] * angle[1] +
                distance[1] * distance[1]);
}
