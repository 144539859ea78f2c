#include "kinematics/stick.h"
#include "kinematics/segment.h"

const swt_stick_line swt_stick_lines[SWT_STICK_LINES] = {
    {SWT_STICK_TRAIL_HEEL, SWT_STICK_TRAIL_TOE, SWT_STICK_TRAIL_SIDE},
    {SWT_STICK_TRAIL_ANKLE, SWT_STICK_TRAIL_HEEL, SWT_STICK_TRAIL_SIDE},
    {SWT_STICK_TRAIL_ANKLE, SWT_STICK_TRAIL_TOE, SWT_STICK_TRAIL_SIDE},
    {SWT_STICK_TRAIL_KNEE, SWT_STICK_TRAIL_ANKLE, SWT_STICK_TRAIL_SIDE},
    {SWT_STICK_TRAIL_HIP, SWT_STICK_TRAIL_KNEE, SWT_STICK_TRAIL_SIDE},
    {SWT_STICK_TRAIL_SHOULDER, SWT_STICK_TRAIL_ELBOW, SWT_STICK_TRAIL_SIDE},
    {SWT_STICK_TRAIL_ELBOW, SWT_STICK_TRAIL_WRIST, SWT_STICK_TRAIL_SIDE},
    {SWT_STICK_LEAD_HEEL, SWT_STICK_LEAD_TOE, SWT_STICK_LEAD_SIDE},
    {SWT_STICK_LEAD_ANKLE, SWT_STICK_LEAD_HEEL, SWT_STICK_LEAD_SIDE},
    {SWT_STICK_LEAD_ANKLE, SWT_STICK_LEAD_TOE, SWT_STICK_LEAD_SIDE},
    {SWT_STICK_LEAD_KNEE, SWT_STICK_LEAD_ANKLE, SWT_STICK_LEAD_SIDE},
    {SWT_STICK_LEAD_HIP, SWT_STICK_LEAD_KNEE, SWT_STICK_LEAD_SIDE},
    {SWT_STICK_LEAD_SHOULDER, SWT_STICK_LEAD_ELBOW, SWT_STICK_LEAD_SIDE},
    {SWT_STICK_LEAD_ELBOW, SWT_STICK_LEAD_WRIST, SWT_STICK_LEAD_SIDE},
    {SWT_STICK_LEAD_HIP, SWT_STICK_TRAIL_HIP, SWT_STICK_TRUNK},
    {SWT_STICK_LEAD_SHOULDER, SWT_STICK_TRAIL_SHOULDER, SWT_STICK_TRUNK},
    {SWT_STICK_LEAD_HIP, SWT_STICK_LEAD_SHOULDER, SWT_STICK_TRUNK},
    {SWT_STICK_TRAIL_HIP, SWT_STICK_TRAIL_SHOULDER, SWT_STICK_TRUNK},
    {SWT_STICK_NECK, SWT_STICK_HEAD, SWT_STICK_TRUNK},
    {SWT_STICK_LEAD_WRIST, SWT_STICK_MID_HANDS, SWT_STICK_LEAD_SIDE},
    {SWT_STICK_TRAIL_WRIST, SWT_STICK_MID_HANDS, SWT_STICK_TRAIL_SIDE},
    {SWT_STICK_MID_HANDS, SWT_STICK_GRIP, SWT_STICK_CLUB},
    {SWT_STICK_GRIP, SWT_STICK_CLUB_HEAD, SWT_STICK_CLUB},
};

static void put(double *out, swt_vec3 p)
{
    out[0] = p.x;
    out[1] = p.y;
    out[2] = p.z;
}

/* The tip of the foot: its own marker, else the middle of the metatarsal heads, else one of them.
 * Lead is even and trail odd in both enumerations. */
static swt_vec3 toe_at(const swt_landmark_set *set, unsigned side, size_t f)
{
    swt_landmark mt2 = (swt_landmark)(SWT_LEAD_MT2 + side),
                 mt5 = (swt_landmark)(SWT_LEAD_MT5 + side);

    if (set->present[SWT_LEAD_TOE + side])
        return swt_landmark_at(set, (swt_landmark)(SWT_LEAD_TOE + side), f);
    if (set->present[mt2] && set->present[mt5])
        return swt_mid(swt_landmark_at(set, mt2, f), swt_landmark_at(set, mt5, f));
    return swt_landmark_at(set, set->present[mt2] ? mt2 : mt5, f);
}

static swt_vec3 body_at(const swt_body *body, swt_point point, size_t f)
{
    return body->point[point] ? body->point[point][f] : swt_vec3_nan();
}

static swt_vec3 neck_at(const swt_landmark_set *set, const swt_body *body, size_t f)
{
    if (set->present[SWT_C7] && set->present[SWT_IJ])
        return swt_mid(swt_landmark_at(set, SWT_C7, f), swt_landmark_at(set, SWT_IJ, f));
    return swt_mid(body_at(body, SWT_POINT_LEAD_SHOULDER, f),
                   body_at(body, SWT_POINT_TRAIL_SHOULDER, f));
}

static void build_frame(double *out, const swt_landmark_set *set, const swt_body *body, size_t f)
{
    static const struct {
        swt_stick_point to;
        swt_point from;
    } joint[] = {
        {SWT_STICK_LEAD_ANKLE, SWT_POINT_LEAD_ANKLE},
        {SWT_STICK_TRAIL_ANKLE, SWT_POINT_TRAIL_ANKLE},
        {SWT_STICK_LEAD_KNEE, SWT_POINT_LEAD_KNEE},
        {SWT_STICK_TRAIL_KNEE, SWT_POINT_TRAIL_KNEE},
        {SWT_STICK_LEAD_HIP, SWT_POINT_LEAD_HIP},
        {SWT_STICK_TRAIL_HIP, SWT_POINT_TRAIL_HIP},
        {SWT_STICK_LEAD_SHOULDER, SWT_POINT_LEAD_SHOULDER},
        {SWT_STICK_TRAIL_SHOULDER, SWT_POINT_TRAIL_SHOULDER},
        {SWT_STICK_LEAD_ELBOW, SWT_POINT_LEAD_ELBOW},
        {SWT_STICK_TRAIL_ELBOW, SWT_POINT_TRAIL_ELBOW},
        {SWT_STICK_LEAD_WRIST, SWT_POINT_LEAD_WRIST},
        {SWT_STICK_TRAIL_WRIST, SWT_POINT_TRAIL_WRIST},
        {SWT_STICK_MID_HANDS, SWT_POINT_MID_HANDS},
        {SWT_STICK_GRIP, SWT_POINT_GRIP},
        {SWT_STICK_CLUB_HEAD, SWT_POINT_CLUB_HEAD},
    };

    for (size_t i = 0; i < sizeof joint / sizeof *joint; i++)
        put(out + 3 * joint[i].to, body_at(body, joint[i].from, f));
    for (unsigned side = 0; side < 2; side++) {
        put(out + 3 * (SWT_STICK_LEAD_TOE + side), toe_at(set, side, f));
        put(out + 3 * (SWT_STICK_LEAD_HEEL + side),
            swt_landmark_at(set, (swt_landmark)(SWT_LEAD_CAL + side), f));
    }
    put(out + 3 * (size_t)SWT_STICK_NECK, neck_at(set, body, f));
    put(out + 3 * (size_t)SWT_STICK_HEAD, swt_landmark_at(set, SWT_HEAD, f));
}

swt_status swt_stick_build(double *out, const swt_landmark_set *set, double shoulder_drop_m,
                           swt_error *err)
{
    swt_body body = {0};
    swt_status rc = swt_body_build(&body, set, NULL, shoulder_drop_m, err);

    for (size_t f = 0; rc == SWT_OK && f < set->n_frames; f++)
        build_frame(out + f * 3 * SWT_STICK_POINTS, set, &body, f);
    swt_body_reset(&body);
    return rc;
}

void swt_stick_at(double *out, const double *stick, size_t n_frames, double frame)
{
    const size_t width = 3 * (size_t)SWT_STICK_POINTS;
    bool inside = n_frames > 0 && frame >= 0 && frame <= (double)(n_frames - 1);
    size_t low = inside ? (size_t)frame : 0;
    double part = inside ? frame - (double)low : nan("");
    size_t high = part > 0 ? low + 1 : low;

    for (size_t i = 0; i < width; i++) {
        double a = inside ? stick[low * width + i] : nan("");
        out[i] = inside && high > low ? a + part * (stick[high * width + i] - a) : a;
    }
}
