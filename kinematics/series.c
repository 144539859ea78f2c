#include "kinematics/series.h"

#include "kinematics/angle.h"
#include "kinematics/derivative.h"
#include "kinematics/subframe.h"

#include <stdlib.h>
#include <string.h>

swt_status swt_series_new(swt_swing *swing, swt_series id, swt_error *err)
{
    swing->series[id] = malloc(swing->n_frames * sizeof(double));
    swing->series_filled[id] = calloc(swing->n_frames, 1);
    if (!swing->series[id] || !swing->series_filled[id])
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t f = 0; f < swing->n_frames; f++)
        swing->series[id][f] = nan("");
    return SWT_OK;
}

swt_status swt_point_velocity(swt_vec3 *velocity, const swt_vec3 *point, size_t n, size_t split,
                              double rate_hz, swt_error *err)
{
    double *x = malloc(6 * n * sizeof *x), *v = x ? x + 3 * n : NULL;

    if (!x)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t f = 0; f < n; f++) {
        x[f] = point[f].x;
        x[n + f] = point[f].y;
        x[2 * n + f] = point[f].z;
    }
    for (size_t k = 0; k < 3; k++)
        swt_derivative_first(v + k * n, x + k * n, n, split, rate_hz);
    for (size_t f = 0; f < n; f++)
        velocity[f] = swt_vec3_make(v[f], v[n + f], v[2 * n + f]);
    free(x);
    return SWT_OK;
}

double swt_series_at(const swt_swing *swing, swt_series id, double time_s)
{
    const double *x = swing->series[id];
    double frame = time_s * swing->rate_hz;

    if (!x || !isfinite(frame) || frame < 0 || frame > (double)(swing->n_frames - 1))
        return nan("");
    if (swing->split < swing->n_frames && swing->split > 0 && frame > (double)(swing->split - 1) &&
        frame < (double)swing->split)
        return swt_subframe_before(x, swing->n_frames, swing->split, frame);
    return swt_subframe_value(x, swing->n_frames, swing->split, frame);
}

/* What the filling of one capture's series shares. */
typedef struct builder {
    swt_swing *swing;
    const swt_body *body;
    size_t first, last;  /* address */
    swt_verdict address; /* limited when the capture starts in motion */
    swt_error *err;
    swt_status rc; /* the first failure; later calls do nothing */
} builder;

static const swt_vec3 *point(const builder *b, swt_point id)
{
    return b->body->point[id];
}

/* Opens a series that rests on up to three points; NULL (with the reason stored) when one lacks. */
static double *open_on_points(builder *b, swt_series id, swt_point p, swt_point q, swt_point r)
{
    const swt_point points[3] = {p, q, r};
    swt_verdict verdict = swt_usable();

    for (int k = 0; k < 3; k++)
        verdict = swt_worse(verdict, b->body->point_verdict[points[k]]);
    b->swing->series_verdict[id] = verdict;
    if (b->rc != SWT_OK || verdict.state == SWT_ABSENT)
        return NULL;
    b->rc = swt_series_new(b->swing, id, b->err);
    if (b->rc != SWT_OK)
        return NULL;
    for (int k = 0; k < 3; k++) {
        const unsigned char *restrict from = b->body->filled[points[k]];
        unsigned char *restrict to = b->swing->series_filled[id];
        for (size_t f = 0, n = b->swing->n_frames; f < n; f++)
            to[f] |= from[f];
    }
    return b->swing->series[id];
}

/* Opens a series that rests on segments; `other` may repeat `segment`. */
static double *open_on_segments(builder *b, swt_series id, swt_segment segment, swt_segment other)
{
    swt_verdict verdict =
        swt_worse(b->body->segment[segment].verdict, b->body->segment[other].verdict);

    b->swing->series_verdict[id] = verdict;
    if (b->rc != SWT_OK || verdict.state == SWT_ABSENT)
        return NULL;
    b->rc = swt_series_new(b->swing, id, b->err);
    return b->rc == SWT_OK ? b->swing->series[id] : NULL;
}

static void limit(builder *b, swt_series id, swt_verdict verdict)
{
    b->swing->series_verdict[id] = swt_worse(b->swing->series_verdict[id], verdict);
}

static void drop(builder *b, swt_series id, swt_verdict verdict)
{
    free(b->swing->series[id]);
    free(b->swing->series_filled[id]);
    b->swing->series[id] = NULL;
    b->swing->series_filled[id] = NULL;
    b->swing->series_verdict[id] = verdict;
}

static double mean_over(const double *x, size_t first, size_t last)
{
    double sum = 0;
    size_t n = 0;

    for (size_t f = first; f <= last; f++)
        if (isfinite(x[f])) {
            sum += x[f];
            n++;
        }
    return n > 0 ? sum / (double)n : nan("");
}

/* Counts a turn from its mean over the address pose. */
static void count_from_address(const builder *b, double *x)
{
    double zero;

    swt_angle_unwrap(x, b->swing->n_frames);
    zero = mean_over(x, b->first, b->last);
    for (size_t f = 0; f < b->swing->n_frames; f++)
        x[f] -= zero;
}

static void hand_position(builder *b, const swt_swing_frame *frame)
{
    size_t n = b->swing->n_frames;
    const swt_vec3 *h = point(b, SWT_POINT_MID_HANDS);
    double span = frame->heel_depth_m;
    double *along, *depth, *height, *foot;
    swt_verdict no_toes = swt_absent(SWT_REASON_LANDMARK_MISSING, SWT_LEAD_TOE);
    swt_verdict stance =
        frame->target_from_stance ? swt_limited(SWT_REASON_TARGET_FROM_STANCE, 0) : swt_usable();

    along = open_on_points(b, SWT_SERIES_HAND_ALONG, SWT_POINT_MID_HANDS, SWT_POINT_MID_HANDS,
                           SWT_POINT_MID_HANDS);
    depth = open_on_points(b, SWT_SERIES_HAND_DEPTH, SWT_POINT_MID_HANDS, SWT_POINT_MID_HANDS,
                           SWT_POINT_MID_HANDS);
    height = open_on_points(b, SWT_SERIES_HAND_HEIGHT, SWT_POINT_MID_HANDS, SWT_POINT_MID_HANDS,
                            SWT_POINT_MID_HANDS);
    foot = open_on_points(b, SWT_SERIES_HAND_FOOT_SPAN, SWT_POINT_MID_HANDS, SWT_POINT_MID_HANDS,
                          SWT_POINT_MID_HANDS);
    if (!along || !depth || !height || !foot)
        return;
    for (size_t f = 0; f < n; f++) {
        along[f] = h[f].x;
        depth[f] = h[f].y;
        height[f] = h[f].z;
        foot[f] = h[f].y / span;
    }
    limit(b, SWT_SERIES_HAND_ALONG, stance);
    limit(b, SWT_SERIES_HAND_DEPTH, stance);
    limit(b, SWT_SERIES_HAND_FOOT_SPAN, stance);
    if (!frame->has_origin) {
        drop(b, SWT_SERIES_HAND_ALONG, no_toes);
        drop(b, SWT_SERIES_HAND_DEPTH, no_toes);
        drop(b, SWT_SERIES_HAND_FOOT_SPAN, no_toes);
    } else if (!(span > 0.05)) {
        drop(b, SWT_SERIES_HAND_FOOT_SPAN, swt_absent(SWT_REASON_LANDMARK_MISSING, SWT_LEAD_CAL));
    }
    if (!frame->has_floor)
        drop(b, SWT_SERIES_HAND_HEIGHT, no_toes);
}

static void speed_of(builder *b, swt_series id, swt_point of)
{
    size_t n = b->swing->n_frames;
    double *out = open_on_points(b, id, of, of, of);
    swt_vec3 *velocity;

    if (!out)
        return;
    velocity = malloc(n * sizeof *velocity);
    b->rc = velocity ? swt_point_velocity(velocity, point(b, of), n, b->swing->split,
                                          b->swing->rate_hz, b->err)
                     : swt_fail(b->err, SWT_ENOMEM, "out of memory");
    for (size_t f = 0; b->rc == SWT_OK && f < n; f++)
        out[f] = swt_norm(velocity[f]);
    free(velocity);
}

/* Elevation of a direction above the horizontal, and the rate at which the direction turns. */
static void elevation_and_turning(builder *b, swt_series elevation, swt_series turning,
                                  swt_point from, swt_point to)
{
    size_t n = b->swing->n_frames;
    double *angle = open_on_points(b, elevation, from, to, to);
    double *rate = open_on_points(b, turning, from, to, to);
    swt_vec3 *u, *du;

    if (!angle || !rate)
        return;
    u = malloc(2 * n * sizeof *u);
    if (!u) {
        b->rc = swt_fail(b->err, SWT_ENOMEM, "out of memory");
        return;
    }
    du = u + n;
    for (size_t f = 0; f < n; f++) {
        u[f] = swt_direction(swt_sub(point(b, to)[f], point(b, from)[f]));
        angle[f] = swt_angle_elevation(u[f]);
    }
    b->rc = swt_point_velocity(du, u, n, b->swing->split, b->swing->rate_hz, b->err);
    for (size_t f = 0; b->rc == SWT_OK && f < n; f++)
        rate[f] = swt_norm(du[f]);
    free(u);
}

/* 180 degrees less the angle at `middle`. */
static void flexion(builder *b, swt_series id, swt_point upper, swt_point middle, swt_point lower)
{
    double *out = open_on_points(b, id, upper, middle, lower);

    for (size_t f = 0; out && f < b->swing->n_frames; f++)
        out[f] = swt_angle_between(swt_sub(point(b, middle)[f], point(b, upper)[f]),
                                   swt_sub(point(b, lower)[f], point(b, middle)[f]));
}

static void lead_arm(builder *b, const swt_swing_frame *frame)
{
    size_t n = b->swing->n_frames;
    const swt_segment_pose *thorax = &b->body->segment[SWT_SEGMENT_THORAX];
    double *plumb = open_on_points(b, SWT_SERIES_LEAD_ARM_PLUMB, SWT_POINT_LEAD_SHOULDER,
                                   SWT_POINT_LEAD_WRIST, SWT_POINT_LEAD_WRIST);
    double *across = open_on_points(b, SWT_SERIES_LEAD_ARM_ACROSS_CHEST, SWT_POINT_LEAD_SHOULDER,
                                    SWT_POINT_LEAD_ELBOW, SWT_POINT_LEAD_ELBOW);

    for (size_t f = 0; plumb && f < n; f++) {
        swt_vec3 d =
            swt_sub(point(b, SWT_POINT_LEAD_WRIST)[f], point(b, SWT_POINT_LEAD_SHOULDER)[f]);
        plumb[f] = atan2(d.y, -d.z);
    }
    if (plumb)
        swt_angle_unwrap(plumb, n);
    if (!frame->has_direction)
        drop(b, SWT_SERIES_LEAD_ARM_PLUMB, swt_absent(SWT_REASON_LANDMARK_MISSING, SWT_LEAD_TOE));
    else if (frame->target_from_stance)
        limit(b, SWT_SERIES_LEAD_ARM_PLUMB, swt_limited(SWT_REASON_TARGET_FROM_STANCE, 0));
    if (across && !thorax->pose) {
        drop(b, SWT_SERIES_LEAD_ARM_ACROSS_CHEST, thorax->verdict);
        return;
    }
    for (size_t f = 0; across && f < n; f++) {
        swt_vec3 d =
            swt_sub(point(b, SWT_POINT_LEAD_ELBOW)[f], point(b, SWT_POINT_LEAD_SHOULDER)[f]);
        swt_vec3 forward = swt_mat3_column(&thorax->pose[f].rotation, 0);
        swt_vec3 to_trail = swt_mat3_column(&thorax->pose[f].rotation, 2);
        across[f] = atan2(swt_dot(d, forward), -swt_dot(d, to_trail));
    }
    if (across)
        limit(b, SWT_SERIES_LEAD_ARM_ACROSS_CHEST, thorax->verdict);
}

static void wrist_set(builder *b)
{
    double *out = open_on_points(b, SWT_SERIES_WRIST_SET, SWT_POINT_LEAD_ELBOW,
                                 SWT_POINT_LEAD_WRIST, SWT_POINT_CLUB_HEAD);
    const swt_vec3 *grip = point(b, SWT_POINT_GRIP);

    if (!out)
        return;
    if (!grip) {
        drop(b, SWT_SERIES_WRIST_SET, b->body->point_verdict[SWT_POINT_GRIP]);
        return;
    }
    limit(b, SWT_SERIES_WRIST_SET, b->body->point_verdict[SWT_POINT_GRIP]);
    for (size_t f = 0; f < b->swing->n_frames; f++)
        out[f] = swt_angle_between(
            swt_sub(point(b, SWT_POINT_LEAD_WRIST)[f], point(b, SWT_POINT_LEAD_ELBOW)[f]),
            swt_sub(point(b, SWT_POINT_CLUB_HEAD)[f], grip[f]));
}

static void shaft_lean(builder *b, const swt_swing_frame *frame)
{
    double *out = open_on_points(b, SWT_SERIES_SHAFT_LEAN, SWT_POINT_GRIP, SWT_POINT_CLUB_HEAD,
                                 SWT_POINT_CLUB_HEAD);

    if (!out)
        return;
    for (size_t f = 0; f < b->swing->n_frames; f++) {
        swt_vec3 d = swt_sub(point(b, SWT_POINT_GRIP)[f], point(b, SWT_POINT_CLUB_HEAD)[f]);
        out[f] = atan2(d.x, d.z);
    }
    swt_angle_unwrap(out, b->swing->n_frames);
    if (!frame->has_direction)
        drop(b, SWT_SERIES_SHAFT_LEAN, swt_absent(SWT_REASON_LANDMARK_MISSING, SWT_LEAD_TOE));
}

/* The face needs its own two markers; where it points counts only while the head moves. */
static void face_to_path(builder *b)
{
    static const double slowest_path_m_s = 1.0; /* below, the direction of motion is noise */
    const swt_landmark_set *set = b->swing->body;
    size_t n = b->swing->n_frames;
    double *out;
    swt_vec3 *velocity;

    if (!set->present[SWT_CLUB_TOE] || !set->present[SWT_CLUB_HEEL]) {
        b->swing->series_verdict[SWT_SERIES_FACE_TO_PATH] = swt_absent(
            SWT_REASON_LANDMARK_MISSING, set->present[SWT_CLUB_TOE] ? SWT_CLUB_HEEL : SWT_CLUB_TOE);
        return;
    }
    out = open_on_points(b, SWT_SERIES_FACE_TO_PATH, SWT_POINT_CLUB_HEAD, SWT_POINT_CLUB_HEAD,
                         SWT_POINT_CLUB_HEAD);
    velocity = out ? malloc(n * sizeof *velocity) : NULL;
    if (!out)
        return;
    b->rc = velocity ? swt_point_velocity(velocity, point(b, SWT_POINT_CLUB_HEAD), n,
                                          b->swing->split, b->swing->rate_hz, b->err)
                     : swt_fail(b->err, SWT_ENOMEM, "out of memory");
    for (size_t f = 0; b->rc == SWT_OK && f < n; f++) {
        swt_vec3 across =
            swt_sub(swt_landmark_at(set, SWT_CLUB_TOE, f), swt_landmark_at(set, SWT_CLUB_HEEL, f));
        /* heel -> toe points away from the player (-y); a quarter turn of it faces the target */
        swt_vec3 normal = swt_vec3_make(-across.y, across.x, 0);
        if (swt_norm(velocity[f]) >= slowest_path_m_s)
            out[f] = -swt_angle_projected(normal, velocity[f], swt_vec3_make(0, 0, 1));
    }
    free(velocity);
}

/* ISB's laboratory axes in the swing frame: X faces the ball, Y up, Z to the trail side. */
static swt_mat3 to_isb(const swt_mat3 *rotation)
{
    const swt_mat3 laboratory = {{{0, -1, 0}, {0, 0, 1}, {-1, 0, 0}}};
    return swt_mat3_multiply(&laboratory, rotation);
}

typedef struct segment_series {
    swt_segment segment;
    swt_sequence sequence;
    swt_series turn, forward, side, projected, speed;
} segment_series;

/* Nearer than this to gimbal lock an error of 1 degree in the pose is 4 in the angles. */
static const double safe_lock_distance_rad = SWT_RADIANS(15.0);

/* Limits angles whose sequence comes near gimbal lock before impact, and says when. */
static void watch_gimbal_lock(builder *b, const double *middle, swt_sequence sequence,
                              const swt_series *angle, size_t n_angles)
{
    double nearest = SWT_PI;
    size_t at = 0;

    for (size_t f = 0; f < b->swing->n_frames && f < b->swing->split; f++) {
        const double triple[3] = {0, middle[f], 0};
        double distance = swt_angle_lock_distance(triple, sequence);
        if (distance < nearest) {
            nearest = distance;
            at = f;
        }
    }
    if (nearest >= safe_lock_distance_rad)
        return;
    for (size_t k = 0; k < n_angles; k++)
        limit(b, angle[k], swt_limited(SWT_REASON_NEAR_GIMBAL_LOCK, 0));
    swt_findings_add(&b->swing->findings, SWT_CAUTION, "near_gimbal_lock",
                     "%s and its companions come within %.0f degrees of gimbal lock in frame %zu: "
                     "there the first and third angle of the sequence can't be told apart.",
                     swt_series_describe(angle[0])->title, SWT_DEGREES(nearest),
                     b->swing->capture_frame + at + 1);
}

static void segment_angles(builder *b, const segment_series *s)
{
    size_t n = b->swing->n_frames;
    const swt_pose *pose = b->body->segment[s->segment].pose;
    double *turn = open_on_segments(b, s->turn, s->segment, s->segment);
    double *forward = open_on_segments(b, s->forward, s->segment, s->segment);
    double *side = open_on_segments(b, s->side, s->segment, s->segment);
    double *projected = open_on_segments(b, s->projected, s->segment, s->segment);
    bool axial_first = s->sequence == SWT_SEQUENCE_YXZ;

    if (!turn || !forward || !side || !projected)
        return;
    for (size_t f = 0; f < n; f++) {
        swt_mat3 r = to_isb(&pose[f].rotation);
        swt_vec3 z = swt_mat3_column(&pose[f].rotation, 2);
        double angle[3];
        swt_angle_decompose(angle, &r, s->sequence);
        turn[f] = -angle[axial_first ? 0 : 2];
        side[f] = angle[1];
        forward[f] = -angle[axial_first ? 2 : 0];
        /* seen from above, clockwise positive: away from the target */
        projected[f] = -atan2(z.y, z.x);
    }
    watch_gimbal_lock(b, side, s->sequence, (const swt_series[]){s->turn, s->forward}, 2);
    count_from_address(b, turn);
    count_from_address(b, projected);
    limit(b, s->turn, b->address);
    limit(b, s->projected, b->address);
    if (b->body->segment[s->segment].verdict.reason == SWT_REASON_POSE_FROM_TWO_POINTS)
        drop(b, s->forward, swt_absent(SWT_REASON_POSE_FROM_TWO_POINTS, 0)); /* 0 by making */
}

static void segment_speed(builder *b, const segment_series *s)
{
    size_t n = b->swing->n_frames;
    const swt_pose *pose = b->body->segment[s->segment].pose;
    const swt_pose *turning = b->body->segment[s->segment].turning;
    double *speed = open_on_segments(b, s->speed, s->segment, s->segment);
    swt_vec3 *omega;

    if (!speed)
        return;
    omega = malloc(n * sizeof *omega);
    b->rc = omega ? swt_pose_angular_velocity(omega, turning ? turning : pose, n, b->swing->split,
                                              b->swing->rate_hz, b->err)
                  : swt_fail(b->err, SWT_ENOMEM, "out of memory");
    for (size_t f = 0; b->rc == SWT_OK && f < n; f++)
        speed[f] = swt_dot(omega[f], swt_mat3_column(&pose[f].rotation, 1));
    free(omega);
}

static void separation(builder *b)
{
    size_t n = b->swing->n_frames;
    const swt_segment_pose *segment = b->body->segment;
    double *joint =
        open_on_segments(b, SWT_SERIES_SEPARATION_JOINT, SWT_SEGMENT_PELVIS, SWT_SEGMENT_THORAX);
    double *projected = open_on_segments(b, SWT_SERIES_SEPARATION_PROJECTED, SWT_SEGMENT_PELVIS,
                                         SWT_SEGMENT_THORAX);

    if (!joint || !projected)
        return;
    for (size_t f = 0; f < n; f++) {
        swt_mat3 inverse = swt_mat3_transpose(&segment[SWT_SEGMENT_PELVIS].pose[f].rotation);
        swt_mat3 r = swt_mat3_multiply(&inverse, &segment[SWT_SEGMENT_THORAX].pose[f].rotation);
        double angle[3];
        swt_angle_decompose(angle, &r, SWT_SEQUENCE_ZXY);
        joint[f] = -angle[2];
        projected[f] = b->swing->series[SWT_SERIES_THORAX_TURN_PROJECTED][f] -
                       b->swing->series[SWT_SERIES_PELVIS_TURN_PROJECTED][f];
    }
    count_from_address(b, joint);
    limit(b, SWT_SERIES_SEPARATION_JOINT, b->address);
    limit(b, SWT_SERIES_SEPARATION_PROJECTED, b->address);
}

static void pelvis_shift(builder *b, const swt_swing_frame *frame)
{
    size_t n = b->swing->n_frames;
    const swt_vec3 *p = point(b, SWT_POINT_PELVIS);
    double *along = open_on_points(b, SWT_SERIES_PELVIS_ALONG, SWT_POINT_PELVIS, SWT_POINT_PELVIS,
                                   SWT_POINT_PELVIS);
    double *depth = open_on_points(b, SWT_SERIES_PELVIS_DEPTH, SWT_POINT_PELVIS, SWT_POINT_PELVIS,
                                   SWT_POINT_PELVIS);
    double zero_along, zero_depth;

    if (!along || !depth)
        return;
    if (!frame->has_direction) {
        swt_verdict reason = swt_absent(SWT_REASON_LANDMARK_MISSING, SWT_LEAD_TOE);
        drop(b, SWT_SERIES_PELVIS_ALONG, reason);
        drop(b, SWT_SERIES_PELVIS_DEPTH, reason);
        return;
    }
    for (size_t f = 0; f < n; f++) {
        along[f] = p[f].x;
        depth[f] = p[f].y;
    }
    zero_along = mean_over(along, b->first, b->last);
    zero_depth = mean_over(depth, b->first, b->last);
    for (size_t f = 0; f < n; f++) {
        along[f] -= zero_along;
        depth[f] -= zero_depth;
    }
    limit(b, SWT_SERIES_PELVIS_ALONG, b->address);
    limit(b, SWT_SERIES_PELVIS_DEPTH, b->address);
    if (frame->target_from_stance) {
        limit(b, SWT_SERIES_PELVIS_ALONG, swt_limited(SWT_REASON_TARGET_FROM_STANCE, 0));
        limit(b, SWT_SERIES_PELVIS_DEPTH, swt_limited(SWT_REASON_TARGET_FROM_STANCE, 0));
    }
}

swt_status swt_series_fill(swt_swing *swing, const swt_body *body, const swt_swing_frame *frame,
                           const swt_location *at, swt_error *err)
{
    static const segment_series pelvis = {SWT_SEGMENT_PELVIS,
                                          SWT_SEQUENCE_YXZ,
                                          SWT_SERIES_PELVIS_TURN,
                                          SWT_SERIES_PELVIS_FORWARD_TILT,
                                          SWT_SERIES_PELVIS_SIDE_TILT,
                                          SWT_SERIES_PELVIS_TURN_PROJECTED,
                                          SWT_SERIES_PELVIS_ANGULAR_SPEED};
    static const segment_series thorax = {SWT_SEGMENT_THORAX,
                                          SWT_SEQUENCE_ZXY,
                                          SWT_SERIES_THORAX_TURN,
                                          SWT_SERIES_THORAX_FORWARD_TILT,
                                          SWT_SERIES_THORAX_SIDE_TILT,
                                          SWT_SERIES_THORAX_TURN_PROJECTED,
                                          SWT_SERIES_THORAX_ANGULAR_SPEED};
    builder b = {swing,
                 body,
                 at->address_first,
                 at->address_last,
                 at->quiet ? swt_usable() : swt_limited(SWT_REASON_STARTS_MOVING, 0),
                 err,
                 SWT_OK};

    hand_position(&b, frame);
    speed_of(&b, SWT_SERIES_HAND_SPEED, SWT_POINT_MID_HANDS);
    speed_of(&b, SWT_SERIES_CLUB_HEAD_SPEED, SWT_POINT_CLUB_HEAD);
    elevation_and_turning(&b, SWT_SERIES_SHAFT_ELEVATION, SWT_SERIES_CLUB_ANGULAR_SPEED,
                          SWT_POINT_GRIP, SWT_POINT_CLUB_HEAD);
    elevation_and_turning(&b, SWT_SERIES_LEAD_ARM_ELEVATION, SWT_SERIES_LEAD_ARM_ANGULAR_SPEED,
                          SWT_POINT_LEAD_SHOULDER, SWT_POINT_LEAD_WRIST);
    lead_arm(&b, frame);
    wrist_set(&b);
    shaft_lean(&b, frame);
    face_to_path(&b);
    flexion(&b, SWT_SERIES_LEAD_ELBOW_FLEXION, SWT_POINT_LEAD_SHOULDER, SWT_POINT_LEAD_ELBOW,
            SWT_POINT_LEAD_WRIST);
    flexion(&b, SWT_SERIES_TRAIL_ELBOW_FLEXION, SWT_POINT_TRAIL_SHOULDER, SWT_POINT_TRAIL_ELBOW,
            SWT_POINT_TRAIL_WRIST);
    flexion(&b, SWT_SERIES_LEAD_KNEE_FLEXION, SWT_POINT_LEAD_HIP, SWT_POINT_LEAD_KNEE,
            SWT_POINT_LEAD_ANKLE);
    flexion(&b, SWT_SERIES_TRAIL_KNEE_FLEXION, SWT_POINT_TRAIL_HIP, SWT_POINT_TRAIL_KNEE,
            SWT_POINT_TRAIL_ANKLE);
    segment_angles(&b, &pelvis);
    segment_speed(&b, &pelvis);
    segment_angles(&b, &thorax);
    segment_speed(&b, &thorax);
    separation(&b);
    pelvis_shift(&b, frame);
    return b.rc;
}
