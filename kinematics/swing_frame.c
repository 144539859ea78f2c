#include "kinematics/swing_frame.h"

#include <stdlib.h>
#include <string.h>

static const swt_landmark toes[2][3] = {{SWT_LEAD_TOE, SWT_LEAD_MT2, SWT_LEAD_MT5},
                                        {SWT_TRAIL_TOE, SWT_TRAIL_MT2, SWT_TRAIL_MT5}};
static const swt_landmark heels[2] = {SWT_LEAD_CAL, SWT_TRAIL_CAL};

/* The toe of one foot: the most forward landmark that the capture has. */
static swt_vec3 toe_of(const swt_landmark_set *set, int foot, size_t first, size_t last)
{
    for (int k = 0; k < 3; k++) {
        swt_vec3 p = swt_landmark_mean(set, toes[foot][k], first, last);
        if (swt_vec3_is_finite(p))
            return p;
    }
    return swt_vec3_nan();
}

static swt_vec3 horizontal(swt_vec3 v)
{
    return swt_direction(swt_vec3_make(v.x, v.y, 0));
}

/* Mean height of the lowest foot marker; NaN without feet. Means, since the lowest of many noisy
 * samples lies two or three standard deviations of the noise under the marker. */
static double lowest_foot_height(const swt_landmark_set *set, size_t first, size_t last)
{
    static const swt_landmark foot[] = {SWT_LEAD_TOE, SWT_TRAIL_TOE, SWT_LEAD_MT2, SWT_TRAIL_MT2,
                                        SWT_LEAD_MT5, SWT_TRAIL_MT5, SWT_LEAD_CAL, SWT_TRAIL_CAL};
    double low = nan("");

    for (size_t k = 0; k < sizeof foot / sizeof *foot; k++)
        low = fmin(low, swt_landmark_mean(set, foot[k], first, last).z); /* a number beats NaN */
    return low;
}

static void choose_target_line(swt_swing_frame *frame, const swt_landmark_set *set,
                               const swt_marker_map *map, swt_vec3 toe_line, size_t first,
                               size_t last)
{
    swt_vec3 ball = swt_landmark_mean(set, SWT_BALL, first, last);
    swt_vec3 target = swt_landmark_mean(set, SWT_TARGET, first, last);

    frame->along = horizontal(swt_sub(target, ball));
    if (!swt_vec3_is_finite(frame->along) && map->target != 0)
        frame->along = swt_vec3_make(1, 0, 0);
    if (!swt_vec3_is_finite(frame->along)) {
        frame->along = toe_line;
        frame->target_from_stance = swt_vec3_is_finite(toe_line);
    }
    frame->has_direction = swt_vec3_is_finite(frame->along);
}

static swt_status check_sides(const swt_swing_frame *frame, swt_vec3 toe_line, swt_vec3 foot,
                              swt_findings *findings, swt_error *err)
{
    double behind = swt_dot(foot, frame->depth), towards = swt_dot(toe_line, frame->along);

    if (isfinite(behind) && behind < 0)
        return swt_fail(err, SWT_EDATA,
                        "the heels lie in front of the toes: with the axes and the side declared, "
                        "left and right are exchanged. Either the laboratory axes are left-handed "
                        "(say \"axes = left-handed\" under [laboratory] in the map), or the side "
                        "labels are swapped, or the sheet's side is wrong");
    if (isfinite(towards) && towards < 0)
        return swt_fail(err, SWT_EDATA,
                        "the lead foot is farther from the target than the trail foot: the sheet's "
                        "side or the map's target axis is wrong");
    if (isfinite(towards) && towards < 0.8)
        swt_findings_add(findings, SWT_CAUTION, "stance_off_target_line",
                         "The toe line stands %.0f degrees off the target line: an open or closed "
                         "stance, or a target axis that is not the target line.",
                         SWT_DEGREES(acos(towards)));
    return SWT_OK;
}

swt_status swt_swing_frame_check_motion(const swt_swing_frame *frame, const swt_landmark_set *set,
                                        swt_landmark marker, size_t fastest, swt_error *err)
{
    size_t first = fastest > 1 ? fastest - 2 : 0;
    size_t last = fastest + 2 < set->n_frames ? fastest + 2 : set->n_frames - 1;
    swt_vec3 step = swt_sub(swt_landmark_mean(set, marker, fastest, last),
                            swt_landmark_mean(set, marker, first, fastest));
    double towards = swt_dot(swt_direction(horizontal(step)), frame->along);

    if (!frame->has_direction || !(towards < -0.5))
        return SWT_OK;
    return swt_fail(
        err, SWT_EDATA,
        "%s moves away from the target where the downswing is fastest: the sheet's side "
        "(right when it is not given) or the map's target axis is wrong",
        swt_landmark_name(marker));
}

/* The hands, whatever marks them. */
#define HANDS                                                                                      \
    {                                                                                              \
        SWT_LEAD_HAND, SWT_LEAD_MC2, SWT_LEAD_MC5, SWT_LEAD_WRIST, SWT_LEAD_RS, SWT_LEAD_US,       \
            SWT_CLUB_GRIP                                                                          \
    }

/* Mean height over the address pose of the first landmark of a list that is seen there. */
static double height_of(swt_landmark *which, const swt_landmark_set *set, const swt_landmark *list,
                        size_t n, size_t first, size_t last)
{
    for (size_t k = 0; k < n && (k == 0 || list[k] > 0); k++) {
        double z = swt_landmark_mean(set, list[k], first, last).z;
        *which = list[k];
        if (isfinite(z))
            return z;
    }
    return nan("");
}

swt_status swt_swing_frame_check_address(const swt_landmark_set *set, size_t first, size_t last,
                                         swt_error *err)
{
    enum { FEW = 7 };
    static const struct {
        swt_landmark low[FEW], high[FEW]; /* ends at 0, which no list begins with */
    } pair[] = {{{SWT_CLUB_HEAD, SWT_CLUB_HEEL, SWT_CLUB_TOE}, HANDS},
                {HANDS, {SWT_LEAD_AC, SWT_TRAIL_AC, SWT_IJ, SWT_C7}}};

    for (size_t k = 0; k < sizeof pair / sizeof *pair; k++) {
        swt_landmark low = pair[k].low[0], high = pair[k].high[0];
        double z = height_of(&low, set, pair[k].low, FEW, first, last);
        double above = height_of(&high, set, pair[k].high, FEW, first, last);
        if (z > above)
            return swt_fail(err, SWT_EDATA,
                            "%s lies %.2f m above %s where the swing starts: no address pose. Do "
                            "the frames run backwards in time, or does the capture "
                            "start after takeaway?",
                            swt_landmark_name(low), z - above, swt_landmark_name(high));
    }
    return SWT_OK;
}

/* The trunk stands over the feet, whatever the posture: farther than this from the vertical, the
 * map names the wrong axis for up (own choice). */
static const double farthest_from_up_rad = SWT_RADIANS(60.0);

static swt_status check_up(const swt_landmark_set *set, swt_vec3 feet, size_t first, size_t last,
                           swt_error *err)
{
    static const swt_landmark trunk[] = {SWT_IJ,         SWT_LEAD_AC,  SWT_TRAIL_AC, SWT_LEAD_ASIS,
                                         SWT_TRAIL_ASIS, SWT_LEAD_HIP, SWT_TRAIL_HIP};

    for (size_t k = 0; k < sizeof trunk / sizeof *trunk; k++) {
        swt_vec3 d = swt_sub(swt_landmark_mean(set, trunk[k], first, last), feet);
        if (!swt_vec3_is_finite(d))
            continue;
        if (atan2(hypot(d.x, d.y), d.z) <= farthest_from_up_rad)
            return SWT_OK;
        return swt_fail(err, SWT_EDATA,
                        "%s does not stand over the feet: the map's \"up\" under [laboratory] is "
                        "not the axis that points up",
                        swt_landmark_name(trunk[k]));
    }
    return SWT_OK;
}

swt_status swt_swing_frame_build(swt_swing_frame *frame, const swt_landmark_set *set,
                                 const swt_marker_map *map, swt_handedness side, size_t first,
                                 size_t last, swt_findings *findings, swt_error *err)
{
    swt_vec3 lead_toe = toe_of(set, 0, first, last), trail_toe = toe_of(set, 1, first, last);
    swt_vec3 toe_line = horizontal(swt_sub(lead_toe, trail_toe));
    swt_vec3 middle = swt_mid(lead_toe, trail_toe);
    swt_vec3 heel = swt_mid(swt_landmark_mean(set, heels[0], first, last),
                            swt_landmark_mean(set, heels[1], first, last));
    double low = lowest_foot_height(set, first, last);
    swt_status rc;

    memset(frame, 0, sizeof *frame);
    rc = check_up(set, middle, first, last, err);
    if (rc != SWT_OK)
        return rc;
    frame->up = swt_vec3_make(0, 0, 1);
    choose_target_line(frame, set, map, toe_line, first, last);
    /* Facing the ball, a right-handed player has the target on the left. */
    frame->depth = swt_cross(frame->up, frame->along);
    if (side == SWT_LEFT_HANDED)
        frame->depth = swt_scale(frame->depth, -1);
    if (frame->has_direction) {
        rc = check_sides(frame, toe_line, horizontal(swt_sub(heel, middle)), findings, err);
        if (rc != SWT_OK)
            return rc;
    } else {
        /* Heights and speeds need no target line; depth and along stay absent. */
        frame->along = swt_vec3_make(1, 0, 0);
        frame->depth = swt_vec3_make(0, side == SWT_LEFT_HANDED ? -1 : 1, 0);
    }
    frame->has_origin = frame->has_direction && swt_vec3_is_finite(middle);
    frame->floor_from_feet = !map->levelled && isfinite(low);
    frame->has_floor = map->levelled || isfinite(low);
    frame->origin = frame->has_origin ? middle : swt_vec3_make(0, 0, 0);
    frame->origin.z = frame->floor_from_feet ? low - map->marker_radius_m : 0;
    frame->heel_depth_m = swt_dot(swt_sub(heel, frame->origin), frame->depth);
    if (frame->target_from_stance)
        swt_findings_add(findings, SWT_CAUTION, "target_from_stance",
                         "Neither ball and target markers nor a target axis in the map: the target "
                         "line is taken from the toes, so an open or closed stance biases depth.");
    return SWT_OK;
}

static void place_landmark(double *restrict x, double *restrict y, double *restrict z, size_t n,
                           const swt_swing_frame *frame)
{
    const swt_vec3 origin = frame->origin, along = frame->along, depth = frame->depth,
                   up = frame->up;

    for (size_t f = 0; f < n; f++) {
        swt_vec3 p = swt_sub(swt_vec3_make(x[f], y[f], z[f]), origin);
        x[f] = swt_dot(p, along);
        y[f] = swt_dot(p, depth);
        z[f] = swt_dot(p, up);
    }
}

void swt_swing_frame_apply(const swt_swing_frame *frame, swt_landmark_set *set)
{
    for (int i = 0; i < SWT_LANDMARK_COUNT; i++) {
        if (!set->present[i])
            continue;
        place_landmark(set->axis[i][0], set->axis[i][1], set->axis[i][2], set->n_frames, frame);
    }
}
