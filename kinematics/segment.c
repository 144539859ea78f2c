#include "kinematics/segment.h"

#include "kinematics/gaps.h"

#include <stdlib.h>
#include <string.h>

swt_mat3 swt_pelvis_axes(swt_vec3 lead_asis, swt_vec3 trail_asis, swt_vec3 mid_psis)
{
    swt_vec3 z = swt_direction(swt_sub(trail_asis, lead_asis));
    swt_vec3 forward = swt_sub(swt_mid(lead_asis, trail_asis), mid_psis);
    swt_vec3 x = swt_direction(swt_sub(forward, swt_scale(z, swt_dot(forward, z))));
    return swt_mat3_from_columns(x, swt_cross(z, x), z);
}

swt_mat3 swt_thorax_axes(swt_vec3 ij, swt_vec3 px, swt_vec3 c7, swt_vec3 t8)
{
    swt_vec3 low = swt_mid(px, t8);
    swt_vec3 y = swt_direction(swt_sub(swt_mid(ij, c7), low));
    swt_vec3 z = swt_direction(swt_cross(swt_sub(ij, c7), swt_sub(ij, low)));
    /* (front - back) x (up) points to the right */
    return swt_mat3_from_columns(swt_cross(y, z), y, z);
}

/* Axes with Z along a measured lateral line and Y as near as can be to `up`. */
static swt_mat3 axes_from_line(swt_vec3 lateral, swt_vec3 up)
{
    swt_vec3 z = swt_direction(lateral);
    swt_vec3 y = swt_direction(swt_sub(up, swt_scale(z, swt_dot(up, z))));
    return swt_mat3_from_columns(swt_cross(y, z), y, z);
}

/* ---- points ---- */

static swt_status point_new(swt_body *body, swt_point point, swt_error *err)
{
    body->point[point] = malloc(body->n_frames * sizeof(swt_vec3));
    body->filled[point] = calloc(body->n_frames, 1);
    if (!body->point[point] || !body->filled[point])
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    return SWT_OK;
}

static void mark_filled(unsigned char *restrict filled, const swt_landmark_set *set,
                        swt_landmark landmark)
{
    const unsigned char *restrict origin = set->origin[landmark];

    for (size_t f = 0; f < set->n_frames; f++)
        filled[f] |= (origin[f] == SWT_ORIGIN_SPLINE) | (origin[f] == SWT_ORIGIN_RIGID);
}

static void put_middle(swt_vec3 *restrict middle, double *const a[3], double *const b[3], size_t n)
{
    const double *restrict ax = a[0], *restrict ay = a[1], *restrict az = a[2];
    const double *restrict bx = b[0], *restrict by = b[1], *restrict bz = b[2];

    for (size_t f = 0; f < n; f++)
        middle[f] = swt_mid(swt_vec3_make(ax[f], ay[f], az[f]), swt_vec3_make(bx[f], by[f], bz[f]));
}

/* A joint centre: the middle of two landmarks, else one marker, else one of the two. */
static swt_status joint_from_landmarks(swt_body *body, swt_point point, const swt_landmark_set *set,
                                       swt_landmark a, swt_landmark b, swt_landmark single,
                                       swt_error *err)
{
    swt_landmark first = a, second = b;
    swt_verdict verdict = swt_usable();
    swt_status rc;

    if (!set->present[a] || !set->present[b]) {
        first = second = set->present[single] ? single : set->present[a] ? a : b;
        verdict = swt_limited(SWT_REASON_ONE_MARKER_JOINT, 0);
    }
    if (!set->present[first]) {
        body->point_verdict[point] = swt_absent(SWT_REASON_LANDMARK_MISSING, (int)single);
        return SWT_OK;
    }
    rc = point_new(body, point, err);
    if (rc != SWT_OK)
        return rc;
    put_middle(body->point[point], set->axis[first], set->axis[second], body->n_frames);
    mark_filled(body->filled[point], set, first);
    mark_filled(body->filled[point], set, second);
    body->point_verdict[point] = verdict;
    return SWT_OK;
}

/* A point that stands in for another one. */
static swt_status point_copy(swt_body *body, swt_point to, swt_point from, swt_verdict verdict,
                             swt_error *err)
{
    swt_status rc = point_new(body, to, err);

    if (rc != SWT_OK)
        return rc;
    memcpy(body->point[to], body->point[from], body->n_frames * sizeof(swt_vec3));
    memcpy(body->filled[to], body->filled[from], body->n_frames);
    body->point_verdict[to] = swt_worse(verdict, body->point_verdict[from]);
    return SWT_OK;
}

static swt_status point_mean(swt_body *body, swt_point to, swt_point a, swt_point b, swt_error *err)
{
    swt_status rc = point_copy(body, to, a, body->point_verdict[b], err);

    for (size_t f = 0; rc == SWT_OK && f < body->n_frames; f++) {
        body->point[to][f] = swt_mid(body->point[a][f], body->point[b][f]);
        body->filled[to][f] |= body->filled[b][f];
    }
    return rc;
}

/* Mid-hands: the mean of two marked hands, else the grip, else the mean of the wrists, else what
 * one side has. */
static swt_status mid_hands(swt_body *body, swt_error *err)
{
    static const swt_point pairs[] = {SWT_POINT_LEAD_HAND, SWT_POINT_LEAD_WRIST};
    swt_vec3 *const *point = body->point;

    if (point[SWT_POINT_LEAD_HAND] && point[SWT_POINT_TRAIL_HAND])
        return point_mean(body, SWT_POINT_MID_HANDS, SWT_POINT_LEAD_HAND, SWT_POINT_TRAIL_HAND,
                          err);
    if (point[SWT_POINT_GRIP])
        return point_copy(body, SWT_POINT_MID_HANDS, SWT_POINT_GRIP, swt_usable(), err);
    for (int k = 0; k < 2; k++)
        for (int side = 0; side < 2; side++) {
            swt_point one = (swt_point)(pairs[k] + (unsigned)side);
            swt_point other = (swt_point)(pairs[k] + 1U - (unsigned)side);
            swt_verdict verdict = swt_limited(SWT_REASON_LANDMARK_MISSING, SWT_LEAD_HAND + side);
            swt_status rc;
            if (!point[one])
                continue;
            if (!point[other])
                return point_copy(body, SWT_POINT_MID_HANDS, one, verdict, err);
            rc = point_mean(body, SWT_POINT_MID_HANDS, one, other, err);
            body->point_verdict[SWT_POINT_MID_HANDS] =
                swt_worse(verdict, body->point_verdict[SWT_POINT_MID_HANDS]);
            return rc;
        }
    body->point_verdict[SWT_POINT_MID_HANDS] =
        swt_absent(SWT_REASON_LANDMARK_MISSING, SWT_LEAD_HAND);
    return SWT_OK;
}

static swt_status hands_and_club(swt_body *body, const swt_landmark_set *set, swt_error *err)
{
    swt_status rc = SWT_OK;

    for (int side = 0; side < 2 && rc == SWT_OK; side++) {
        swt_point hand = (swt_point)(SWT_POINT_LEAD_HAND + side);
        swt_point wrist = (swt_point)(SWT_POINT_LEAD_WRIST + side);
        rc = joint_from_landmarks(body, hand, set, (swt_landmark)(SWT_LEAD_MC2 + side),
                                  (swt_landmark)(SWT_LEAD_MC5 + side),
                                  (swt_landmark)(SWT_LEAD_HAND + side), err);
        if (rc == SWT_OK && !body->point[wrist] && body->point[hand])
            rc = point_copy(body, wrist, hand,
                            swt_limited(SWT_REASON_LANDMARK_MISSING, SWT_LEAD_WRIST + side), err);
    }
    if (rc == SWT_OK)
        rc = joint_from_landmarks(body, SWT_POINT_GRIP, set, SWT_CLUB_GRIP, SWT_CLUB_GRIP,
                                  SWT_CLUB_GRIP, err);
    if (rc == SWT_OK)
        rc = joint_from_landmarks(body, SWT_POINT_CLUB_HEAD, set, SWT_CLUB_HEAD, SWT_CLUB_HEAD,
                                  SWT_CLUB_HEAD, err);
    if (rc == SWT_OK)
        rc = mid_hands(body, err);
    if (rc == SWT_OK && !body->point[SWT_POINT_GRIP] && body->point[SWT_POINT_MID_HANDS])
        rc = point_copy(body, SWT_POINT_GRIP, SWT_POINT_MID_HANDS,
                        swt_limited(SWT_REASON_LANDMARK_MISSING, SWT_CLUB_GRIP), err);
    return rc;
}

/* ---- poses ---- */

static const swt_landmark pelvis_cluster[SWT_SEGMENT_MARKERS_MAX] = {
    SWT_LEAD_ASIS, SWT_TRAIL_ASIS, SWT_LEAD_PSIS, SWT_TRAIL_PSIS, SWT_SACRUM,
    SWT_PELVIS_1,  SWT_PELVIS_2,   SWT_PELVIS_3,  SWT_PELVIS_4};
static const swt_landmark thorax_cluster[SWT_SEGMENT_MARKERS_MAX] = {
    SWT_IJ,       SWT_PX,       SWT_C7,
    SWT_T8,       SWT_THORAX_1, SWT_THORAX_2,
    SWT_THORAX_3, SWT_THORAX_4, SWT_LANDMARK_COUNT};

static bool has_pelvis_landmarks(const swt_landmark_set *s)
{
    return s->present[SWT_LEAD_ASIS] && s->present[SWT_TRAIL_ASIS] &&
           ((s->present[SWT_LEAD_PSIS] && s->present[SWT_TRAIL_PSIS]) || s->present[SWT_SACRUM]);
}

static bool has_thorax_landmarks(const swt_landmark_set *s)
{
    return s->present[SWT_IJ] && s->present[SWT_PX] && s->present[SWT_C7] && s->present[SWT_T8];
}

static swt_vec3 mid_psis_of(swt_vec3 lead, swt_vec3 trail, swt_vec3 sacrum)
{
    swt_vec3 middle = swt_mid(lead, trail);
    return swt_vec3_is_finite(middle) ? middle : sacrum;
}

/* Pose straight from the landmarks that `at` gives, by ISB. */
static swt_pose direct_pose(swt_segment segment, const swt_vec3 at[SWT_LANDMARK_COUNT])
{
    swt_pose pose = swt_pose_missing();

    if (segment == SWT_SEGMENT_PELVIS) {
        pose.rotation =
            swt_pelvis_axes(at[SWT_LEAD_ASIS], at[SWT_TRAIL_ASIS],
                            mid_psis_of(at[SWT_LEAD_PSIS], at[SWT_TRAIL_PSIS], at[SWT_SACRUM]));
        pose.translation = swt_mid(at[SWT_LEAD_ASIS], at[SWT_TRAIL_ASIS]);
    } else {
        pose.rotation = swt_thorax_axes(at[SWT_IJ], at[SWT_PX], at[SWT_C7], at[SWT_T8]);
        pose.translation = at[SWT_IJ];
    }
    if (!isfinite(pose.rotation.m[0][0] + pose.rotation.m[1][1]) ||
        !swt_vec3_is_finite(pose.translation))
        return swt_pose_missing();
    pose.residual_m = 0;
    return pose;
}

static void positions_at(swt_vec3 at[SWT_LANDMARK_COUNT], const swt_landmark_set *set,
                         const swt_landmark *cluster, size_t frame)
{
    for (int k = 0; k < SWT_SEGMENT_MARKERS_MAX; k++)
        if (cluster[k] < SWT_LANDMARK_COUNT)
            at[cluster[k]] = swt_landmark_at(set, cluster[k], frame);
}

/* Rigid fit of every marker that both captures have; out->fitted says whether the static one
 * could serve. */
static void fit_to_static(swt_segment_pose *out, swt_segment segment, const swt_landmark_set *set,
                          const swt_landmark_set *static_pose, const swt_landmark *cluster)
{
    swt_vec3 mean[SWT_LANDMARK_COUNT], reference[SWT_SEGMENT_MARKERS_MAX];
    const double *coordinate[3 * SWT_SEGMENT_MARKERS_MAX];
    swt_cluster model = {0, reference, NULL};
    swt_pose rest;

    for (int i = 0; i < SWT_LANDMARK_COUNT; i++)
        mean[i] = swt_vec3_nan();
    for (int k = 0; k < SWT_SEGMENT_MARKERS_MAX; k++)
        if (cluster[k] < SWT_LANDMARK_COUNT)
            mean[cluster[k]] =
                swt_landmark_mean(static_pose, cluster[k], 0, static_pose->n_frames - 1);
    rest = direct_pose(segment, mean);
    if (!isfinite(rest.translation.x))
        return;
    for (int k = 0; k < SWT_SEGMENT_MARKERS_MAX; k++) {
        if (cluster[k] >= SWT_LANDMARK_COUNT || !set->present[cluster[k]] ||
            !swt_vec3_is_finite(mean[cluster[k]]))
            continue;
        reference[model.n_markers] = swt_pose_invert(&rest, mean[cluster[k]]);
        for (int axis = 0; axis < 3; axis++)
            coordinate[3 * model.n_markers + (size_t)axis] = set->axis[cluster[k]][axis];
        model.n_markers++;
    }
    if (model.n_markers < 3)
        return;
    out->fitted = true;
    out->verdict = swt_usable();
    swt_pose_fit(out->pose, &model, coordinate, set->n_frames);
}

size_t swt_segment_markers(swt_landmark member[SWT_SEGMENT_MARKERS_MAX], swt_segment segment,
                           const swt_landmark_set *set)
{
    const swt_landmark *cluster = segment == SWT_SEGMENT_PELVIS ? pelvis_cluster : thorax_cluster;
    size_t n = 0;

    for (int k = 0; k < SWT_SEGMENT_MARKERS_MAX; k++)
        if (cluster[k] < SWT_LANDMARK_COUNT && set->present[cluster[k]])
            member[n++] = cluster[k];
    return n;
}

swt_status swt_segment_fit_itself(swt_pose *pose, bool *fitted, swt_segment segment,
                                  const swt_landmark_set *set, size_t from, size_t n,
                                  swt_error *err)
{
    swt_landmark member[SWT_SEGMENT_MARKERS_MAX];
    swt_track track[SWT_SEGMENT_MARKERS_MAX];
    swt_vec3 shape[SWT_SEGMENT_MARKERS_MAX];
    const double *coordinate[3 * SWT_SEGMENT_MARKERS_MAX];
    swt_cluster model = {swt_segment_markers(member, segment, set), shape, NULL};
    swt_status rc;

    *fitted = false;
    if (model.n_markers < 3)
        return SWT_OK;
    for (size_t m = 0; m < model.n_markers; m++) {
        for (size_t k = 0; k < 3; k++) {
            track[m].axis[k] = set->axis[member[m]][k] + from;
            coordinate[3 * m + k] = set->axis[member[m]][k] + from;
        }
        track[m].origin = set->origin[member[m]] + from;
    }
    rc = swt_gap_shape(shape, NULL, track, model.n_markers, n, err);
    if (rc != SWT_OK)
        return rc == SWT_EDATA ? SWT_OK : rc;
    *fitted = true;
    swt_pose_fit(pose, &model, coordinate, n);
    return SWT_OK;
}

static swt_status pose_new(swt_segment_pose *out, size_t n_frames, swt_error *err)
{
    out->pose = malloc(n_frames * sizeof *out->pose);
    return out->pose ? SWT_OK : swt_fail(err, SWT_ENOMEM, "out of memory");
}

/* out->turning stays NULL where the markers can't be fitted to their own shape. */
static swt_status fit_to_own_shape(swt_segment_pose *out, swt_segment segment,
                                   const swt_landmark_set *set, swt_error *err)
{
    bool fitted;
    swt_status rc;

    out->turning = malloc(set->n_frames * sizeof *out->turning);
    if (!out->turning)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    rc = swt_segment_fit_itself(out->turning, &fitted, segment, set, 0, set->n_frames, err);
    if (!fitted) {
        free(out->turning);
        out->turning = NULL;
    }
    return rc;
}

/* ISB pose by fit or straight from landmarks; leaves `out` absent when the landmarks lack. */
static swt_status anatomical_pose(swt_segment_pose *out, swt_segment segment,
                                  const swt_landmark_set *set, const swt_landmark_set *static_pose,
                                  swt_error *err)
{
    const swt_landmark *cluster = segment == SWT_SEGMENT_PELVIS ? pelvis_cluster : thorax_cluster;
    bool direct =
        segment == SWT_SEGMENT_PELVIS ? has_pelvis_landmarks(set) : has_thorax_landmarks(set);
    swt_status rc = pose_new(out, set->n_frames, err);

    if (rc != SWT_OK)
        return rc;
    if (static_pose)
        fit_to_static(out, segment, set, static_pose, cluster);
    if (out->fitted)
        return SWT_OK;
    if (!direct) {
        free(out->pose);
        out->pose = NULL;
        return SWT_OK;
    }
    for (size_t f = 0; f < set->n_frames; f++) {
        swt_vec3 at[SWT_LANDMARK_COUNT];
        for (int i = 0; i < SWT_LANDMARK_COUNT; i++)
            at[i] = swt_vec3_nan();
        positions_at(at, set, cluster, f);
        out->pose[f] = direct_pose(segment, at);
    }
    out->verdict = swt_usable();
    return fit_to_own_shape(out, segment, set, err);
}

/* Pelvis from the hip line and the vertical; thorax from the shoulder line and the trunk axis. */
static swt_status substitute_pose(swt_body *body, swt_segment segment, swt_error *err)
{
    swt_segment_pose *out = &body->segment[segment];
    swt_point lead = segment == SWT_SEGMENT_PELVIS ? SWT_POINT_LEAD_HIP : SWT_POINT_LEAD_SHOULDER;
    swt_point trail = (swt_point)(lead + 1);
    const swt_vec3 *low = body->point[SWT_POINT_PELVIS];
    swt_status rc;

    if (!body->point[lead] || !body->point[trail] || (segment == SWT_SEGMENT_THORAX && !low)) {
        out->verdict = swt_absent(SWT_REASON_LANDMARK_MISSING,
                                  segment == SWT_SEGMENT_PELVIS ? SWT_LEAD_ASIS : SWT_IJ);
        return SWT_OK;
    }
    rc = pose_new(out, body->n_frames, err);
    if (rc != SWT_OK)
        return rc;
    for (size_t f = 0; f < body->n_frames; f++) {
        swt_vec3 a = body->point[lead][f], b = body->point[trail][f], origin = swt_mid(a, b);
        swt_vec3 up = swt_vec3_make(0, 0, 1);
        if (segment == SWT_SEGMENT_THORAX)
            up = swt_sub(origin, low[f]);
        out->pose[f] = swt_pose_missing();
        if (!swt_vec3_is_finite(origin) || !swt_vec3_is_finite(up))
            continue;
        out->pose[f] = (swt_pose){axes_from_line(swt_sub(b, a), up), origin, 0};
    }
    out->verdict = segment == SWT_SEGMENT_PELVIS ? swt_limited(SWT_REASON_POSE_FROM_TWO_POINTS, 0)
                                                 : swt_limited(SWT_REASON_POSE_FROM_SHOULDERS, 0);
    return SWT_OK;
}

/* Harrington et al. 2007, J Biomech 40:595, regression on pelvic depth and width alone, as public
 * code gives it (paper's tables not seen); origin mid-ASIS, pelvis axes, millimetres there. */
static swt_vec3 hip_centre_local(double pelvic_depth_m, double pelvic_width_m, int side)
{
    double lateral = 0.33 * pelvic_width_m + 0.0073;
    return swt_vec3_make(-0.24 * pelvic_depth_m - 0.0099, -0.30 * pelvic_width_m - 0.0109,
                         side == 0 ? -lateral : lateral);
}

static swt_status hips_from_regression(swt_body *body, const swt_landmark_set *set, swt_error *err)
{
    const swt_pose *pose = body->segment[SWT_SEGMENT_PELVIS].pose;
    double depth = 0, width = 0;
    size_t n = 0;
    swt_status rc;

    if (!pose || !has_pelvis_landmarks(set))
        return SWT_OK;
    for (size_t f = 0; f < set->n_frames; f++) {
        swt_vec3 a = swt_landmark_at(set, SWT_LEAD_ASIS, f);
        swt_vec3 b = swt_landmark_at(set, SWT_TRAIL_ASIS, f);
        swt_vec3 p = mid_psis_of(swt_landmark_at(set, SWT_LEAD_PSIS, f),
                                 swt_landmark_at(set, SWT_TRAIL_PSIS, f),
                                 swt_landmark_at(set, SWT_SACRUM, f));
        double w = swt_norm(swt_sub(a, b)), d = swt_norm(swt_sub(swt_mid(a, b), p));
        if (!isfinite(w + d))
            continue;
        width += w;
        depth += d;
        n++;
    }
    for (int side = 0; side < 2 && n > 0; side++) {
        swt_point point = (swt_point)(SWT_POINT_LEAD_HIP + side);
        swt_vec3 local = hip_centre_local(depth / (double)n, width / (double)n, side);
        rc = point_new(body, point, err);
        if (rc != SWT_OK)
            return rc;
        for (size_t f = 0; f < set->n_frames; f++)
            body->point[point][f] = swt_pose_apply(&pose[f], local);
        mark_filled(body->filled[point], set, SWT_LEAD_ASIS);
        mark_filled(body->filled[point], set, SWT_TRAIL_ASIS);
        body->point_verdict[point] = swt_usable();
    }
    return SWT_OK;
}

static swt_status pelvis_centre(swt_body *body, const swt_landmark_set *set, swt_error *err)
{
    swt_status rc;

    if (!has_pelvis_landmarks(set)) {
        if (body->point[SWT_POINT_LEAD_HIP] && body->point[SWT_POINT_TRAIL_HIP])
            return point_mean(body, SWT_POINT_PELVIS, SWT_POINT_LEAD_HIP, SWT_POINT_TRAIL_HIP, err);
        body->point_verdict[SWT_POINT_PELVIS] =
            swt_absent(SWT_REASON_LANDMARK_MISSING, SWT_LEAD_ASIS);
        return SWT_OK;
    }
    rc = point_new(body, SWT_POINT_PELVIS, err);
    for (size_t f = 0; rc == SWT_OK && f < set->n_frames; f++)
        body->point[SWT_POINT_PELVIS][f] =
            swt_mid(swt_mid(swt_landmark_at(set, SWT_LEAD_ASIS, f),
                            swt_landmark_at(set, SWT_TRAIL_ASIS, f)),
                    mid_psis_of(swt_landmark_at(set, SWT_LEAD_PSIS, f),
                                swt_landmark_at(set, SWT_TRAIL_PSIS, f),
                                swt_landmark_at(set, SWT_SACRUM, f)));
    for (int k = 0; rc == SWT_OK && k < 5; k++)
        if (set->present[pelvis_cluster[k]])
            mark_filled(body->filled[SWT_POINT_PELVIS], set, pelvis_cluster[k]);
    body->point_verdict[SWT_POINT_PELVIS] = swt_usable();
    return rc;
}

static swt_status pelvis_and_hips(swt_body *body, const swt_landmark_set *set,
                                  const swt_landmark_set *static_pose, swt_error *err)
{
    swt_segment_pose *pelvis = &body->segment[SWT_SEGMENT_PELVIS];
    swt_status rc = anatomical_pose(pelvis, SWT_SEGMENT_PELVIS, set, static_pose, err);

    if (rc == SWT_OK && set->present[SWT_LEAD_HIP] && set->present[SWT_TRAIL_HIP])
        for (int side = 0; side < 2 && rc == SWT_OK; side++) {
            swt_landmark hip = (swt_landmark)(SWT_LEAD_HIP + side);
            rc = joint_from_landmarks(body, (swt_point)(SWT_POINT_LEAD_HIP + side), set, hip, hip,
                                      hip, err);
        }
    else if (rc == SWT_OK)
        rc = hips_from_regression(body, set, err);
    for (int side = 0; side < 2; side++)
        if (!body->point[SWT_POINT_LEAD_HIP + side])
            body->point_verdict[SWT_POINT_LEAD_HIP + side] =
                swt_absent(SWT_REASON_LANDMARK_MISSING, SWT_LEAD_HIP + side);
    if (rc == SWT_OK)
        rc = pelvis_centre(body, set, err);
    if (rc == SWT_OK && !pelvis->pose)
        rc = substitute_pose(body, SWT_SEGMENT_PELVIS, err);
    return rc;
}

static swt_status thorax_and_shoulders(swt_body *body, const swt_landmark_set *set,
                                       const swt_landmark_set *static_pose, double drop_m,
                                       swt_error *err)
{
    swt_segment_pose *thorax = &body->segment[SWT_SEGMENT_THORAX];
    swt_status rc = anatomical_pose(thorax, SWT_SEGMENT_THORAX, set, static_pose, err);

    for (int side = 0; side < 2 && rc == SWT_OK; side++) {
        swt_landmark ac = (swt_landmark)(SWT_LEAD_AC + side);
        rc = joint_from_landmarks(body, (swt_point)(SWT_POINT_LEAD_SHOULDER + side), set, ac, ac,
                                  ac, err);
    }
    if (rc == SWT_OK && !thorax->pose)
        rc = substitute_pose(body, SWT_SEGMENT_THORAX, err);
    for (int side = 0; side < 2 && rc == SWT_OK; side++) {
        swt_vec3 *shoulder = body->point[SWT_POINT_LEAD_SHOULDER + side];
        if (!shoulder)
            continue;
        if (!thorax->pose) {
            body->point_verdict[SWT_POINT_LEAD_SHOULDER + side] =
                swt_limited(SWT_REASON_ONE_MARKER_JOINT, 0);
            continue;
        }
        for (size_t f = 0; f < body->n_frames; f++)
            shoulder[f] = swt_sub(shoulder[f],
                                  swt_scale(swt_mat3_column(&thorax->pose[f].rotation, 1), drop_m));
    }
    return rc;
}

static swt_status limbs(swt_body *body, const swt_landmark_set *set, swt_error *err)
{
    static const struct {
        int point, a, b, single;
    } joints[] = {
        {SWT_POINT_LEAD_ELBOW, SWT_LEAD_EL, SWT_LEAD_EM, SWT_LEAD_ELBOW},
        {SWT_POINT_LEAD_WRIST, SWT_LEAD_RS, SWT_LEAD_US, SWT_LEAD_WRIST},
        {SWT_POINT_LEAD_KNEE, SWT_LEAD_LE, SWT_LEAD_ME, SWT_LEAD_KNEE},
        {SWT_POINT_LEAD_ANKLE, SWT_LEAD_LM, SWT_LEAD_MM, SWT_LEAD_ANKLE},
    };
    swt_status rc = SWT_OK;

    for (size_t k = 0; k < sizeof joints / sizeof *joints; k++)
        for (int side = 0; side < 2 && rc == SWT_OK; side++)
            rc = joint_from_landmarks(
                body, (swt_point)(joints[k].point + side), set, (swt_landmark)(joints[k].a + side),
                (swt_landmark)(joints[k].b + side), (swt_landmark)(joints[k].single + side), err);
    return rc;
}

swt_status swt_body_build(swt_body *body, const swt_landmark_set *set,
                          const swt_landmark_set *static_pose, double shoulder_drop_m,
                          swt_error *err)
{
    swt_status rc;

    memset(body, 0, sizeof *body);
    body->n_frames = set->n_frames;
    rc = pelvis_and_hips(body, set, static_pose, err);
    if (rc == SWT_OK)
        rc = thorax_and_shoulders(body, set, static_pose, shoulder_drop_m, err);
    if (rc == SWT_OK)
        rc = limbs(body, set, err);
    if (rc == SWT_OK)
        rc = hands_and_club(body, set, err);
    if (rc != SWT_OK)
        swt_body_reset(body);
    return rc;
}

swt_status swt_body_build_hands(swt_body *body, const swt_landmark_set *set, swt_error *err)
{
    swt_status rc = SWT_OK;

    memset(body, 0, sizeof *body);
    body->n_frames = set->n_frames;
    for (int side = 0; side < 2 && rc == SWT_OK; side++)
        rc = joint_from_landmarks(
            body, (swt_point)(SWT_POINT_LEAD_WRIST + side), set, (swt_landmark)(SWT_LEAD_RS + side),
            (swt_landmark)(SWT_LEAD_US + side), (swt_landmark)(SWT_LEAD_WRIST + side), err);
    if (rc == SWT_OK)
        rc = hands_and_club(body, set, err);
    if (rc != SWT_OK)
        swt_body_reset(body);
    return rc;
}

void swt_body_reset(swt_body *body)
{
    for (int i = 0; i < SWT_POINT_COUNT; i++) {
        free(body->point[i]);
        free(body->filled[i]);
    }
    for (int i = 0; i < SWT_SEGMENT_COUNT; i++) {
        free(body->segment[i].pose);
        free(body->segment[i].turning);
    }
    memset(body, 0, sizeof *body);
}
