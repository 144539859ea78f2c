#include "kinematics/measure.h"

#include "kinematics/compute.h"

#include <stdlib.h>
#include <string.h>

/* A row of the table that reads one series at one event: AT(series words, event words). */
#define AT(...) AT_ROW(__VA_ARGS__)
#define AT_ROW(id, name, title, quantity, more, less, source, event, event_name, event_title)      \
    {                                                                                              \
        name "_at_" event_name, title " at " event_title, quantity, SWT_EVENT_##event, more, less, \
            title " at the moment of " event_title, source, swt_compute_at_event, SWT_SERIES_##id, \
            SWT_EVENT_##event, SWT_EVENT_##event, SWT_SERIES_##id                                  \
    }

#define OWN "own definition"
#define ISB "Wu et al. 2002, 2005 (ISB axes)"
#define DEPTH HAND_DEPTH, "hand_depth", "hand depth", SWT_LENGTH, "deeper", "less deep", OWN
#define SPAN                                                                                       \
    HAND_FOOT_SPAN, "hand_foot_span", "hand depth in foot spans", SWT_FRACTION, "deeper",          \
        "less deep", OWN
#define HEIGHT HAND_HEIGHT, "hand_height", "hand height", SWT_LENGTH, "higher", "lower", OWN
#define DEPTH_PELVIS                                                                               \
    LEDGER_DEPTH_PELVIS, "depth_from_pelvis", "hand depth made by the pelvis", SWT_LENGTH,         \
        "more depth from the pelvis", "less depth from the pelvis", OWN
#define DEPTH_THORAX                                                                               \
    LEDGER_DEPTH_THORAX, "depth_from_thorax", "hand depth made by the thorax", SWT_LENGTH,         \
        "more depth from the thorax", "less depth from the thorax", OWN
#define DEPTH_ARMS                                                                                 \
    LEDGER_DEPTH_ARMS, "depth_from_arms", "hand depth made by the arms", SWT_LENGTH,               \
        "more depth from the arms", "less depth from the arms", OWN
#define HEIGHT_PELVIS                                                                              \
    LEDGER_HEIGHT_PELVIS, "height_from_pelvis", "hand height made by the pelvis", SWT_LENGTH,      \
        "more height from the pelvis", "less height from the pelvis", OWN
#define HEIGHT_THORAX                                                                              \
    LEDGER_HEIGHT_THORAX, "height_from_thorax", "hand height made by the thorax", SWT_LENGTH,      \
        "more height from the thorax", "less height from the thorax", OWN
#define HEIGHT_ARMS                                                                                \
    LEDGER_HEIGHT_ARMS, "height_from_arms", "hand height made by the arms", SWT_LENGTH,            \
        "more height from the arms", "less height from the arms", OWN
#define ARM_ELEVATION                                                                              \
    LEAD_ARM_ELEVATION, "lead_arm_elevation", "lead-arm elevation", SWT_ANGLE, "lead arm higher",  \
        "lead arm lower", OWN
#define PLUMB                                                                                      \
    LEAD_ARM_PLUMB, "lead_arm_plumb", "lead arm from plumb", SWT_ANGLE, "lead arm farther inward", \
        "lead arm farther outward", OWN
#define ACROSS                                                                                     \
    LEAD_ARM_ACROSS_CHEST, "lead_arm_across_chest", "lead arm across chest", SWT_ANGLE,            \
        "lead arm farther across the chest", "lead arm less across the chest",                     \
        "horizontal adduction, cf. Zheng et al. 2008, Int J Sports Med 29:487"
#define WRIST                                                                                      \
    WRIST_SET, "wrist_set", "wrist set", SWT_ANGLE, "more wrist set", "less wrist set", OWN
#define LEAD_ELBOW                                                                                 \
    LEAD_ELBOW_FLEXION, "lead_elbow_flexion", "lead elbow flexion", SWT_ANGLE,                     \
        "lead arm more bent", "lead arm straighter", ISB
#define TRAIL_ELBOW                                                                                \
    TRAIL_ELBOW_FLEXION, "trail_elbow_flexion", "trail elbow flexion", SWT_ANGLE,                  \
        "trail arm more bent", "trail arm straighter", ISB
#define LEAD_KNEE                                                                                  \
    LEAD_KNEE_FLEXION, "lead_knee_flexion", "lead knee flexion", SWT_ANGLE, "lead knee more bent", \
        "lead knee straighter", ISB
#define PELVIS_TURN                                                                                \
    PELVIS_TURN, "pelvis_turn", "pelvis turn", SWT_ANGLE, "pelvis turned more",                    \
        "pelvis turned less", "Wu et al. 2002 axes, sequence of Baker 2001"
#define PELVIS_TILT                                                                                \
    PELVIS_FORWARD_TILT, "pelvis_forward_tilt", "pelvis forward tilt", SWT_ANGLE,                  \
        "pelvis tilted farther forward", "pelvis tilted less forward", ISB
#define THORAX_TURN                                                                                \
    THORAX_TURN, "thorax_turn", "thorax turn", SWT_ANGLE, "thorax turned more",                    \
        "thorax turned less", ISB
#define THORAX_TILT                                                                                \
    THORAX_FORWARD_TILT, "thorax_forward_tilt", "thorax forward tilt", SWT_ANGLE,                  \
        "thorax tilted farther forward", "thorax tilted less forward", ISB
#define THORAX_SIDE                                                                                \
    THORAX_SIDE_TILT, "thorax_side_tilt", "thorax side tilt", SWT_ANGLE,                           \
        "thorax tilted farther to the trail side", "thorax tilted less to the trail side", ISB
#define SEPARATION                                                                                 \
    SEPARATION_JOINT, "separation_joint", "separation, joint angle", SWT_ANGLE, "more separation", \
        "less separation", "joint Cardan angle, cf. Brown et al. 2013, J Sports Sci 31:1156"
#define SEPARATION_P                                                                               \
    SEPARATION_PROJECTED, "separation_projected", "separation, projected", SWT_ANGLE,              \
        "more separation", "less separation",                                                      \
        "difference of projected angles, cf. Brown et al. 2013, J Sports Sci 31:1156"

#define LEAN                                                                                       \
    SHAFT_LEAN, "shaft_lean", "shaft lean", SWT_ANGLE, "shaft leaning farther towards the target", \
        "shaft leaning less towards the target", OWN
#define FACE                                                                                       \
    FACE_TO_PATH, "face_to_path", "face to path", SWT_ANGLE, "face more open", "face more closed", \
        OWN

#define ADDRESS TAKEAWAY, "takeaway", "takeaway"
#define SHAFT_UP SHAFT_LEVEL_BACKSWING, "shaft_level_backswing", "shaft level, backswing"
#define ARM_UP LEAD_ARM_LEVEL_BACKSWING, "lead_arm_level_backswing", "lead arm level, backswing"
#define TOP CLUB_TOP, "club_top", "club top"
#define ARM_DOWN LEAD_ARM_LEVEL_DOWNSWING, "lead_arm_level_downswing", "lead arm level, downswing"
#define SHAFT_DOWN SHAFT_LEVEL_DOWNSWING, "shaft_level_downswing", "shaft level, downswing"
#define IMPACT_ IMPACT, "impact", "impact"

/* A row with a function of its own; `series`, `from`, `to` are what the function reads. */
#define ROW(name, title, quantity, moment, more, less, definition, source, compute, series, from,  \
            to)                                                                                    \
    {                                                                                              \
        name, title, quantity, SWT_EVENT_##moment, more, less, definition, source, compute,        \
            SWT_SERIES_##series, SWT_EVENT_##from, SWT_EVENT_##to, SWT_SERIES_##series             \
    }

#define GAIN(name, faster_name, slower_name, faster, slower)                                       \
    {                                                                                              \
        "speed_gain_" name, "speed gain, " faster_name " over " slower_name, SWT_FRACTION,         \
            SWT_EVENT_IMPACT, "more gain of the " faster_name " over the " slower_name,            \
            "less gain of the " faster_name " over the " slower_name,                              \
            "peak angular speed of the " faster_name " over that of the " slower_name,             \
            ORDER_SOURCE, swt_compute_gain, SWT_SERIES_##faster, SWT_EVENT_CLUB_TOP,               \
            SWT_EVENT_IMPACT, SWT_SERIES_##slower                                                  \
    }

#define PEAK(name, what, quantity, series, source)                                                 \
    ROW("peak_" name, "peak " what, quantity, IMPACT, "faster", "slower",                          \
        "greatest " what " from club top to shaft level in the follow-through (0.1 s after "       \
        "impact where that is absent)",                                                            \
        source, swt_compute_peak, series, CLUB_TOP, IMPACT)
#define PEAK_LEAD(name, what, series, source)                                                      \
    ROW(name "_peak_lead", "lead of the " what " peak", SWT_TIME, IMPACT, "earlier peak",          \
        "later peak", "time from the peak of the " what " to impact; negative after impact",       \
        source, swt_compute_peak_lead, series, CLUB_TOP, IMPACT)
#define ORDER_SOURCE "cf. Tinmark et al. 2010, Sports Biomech 9:236"

static const swt_measure table[] = {
    ROW("backswing_time", "backswing time", SWT_TIME, CLUB_TOP, "slower backswing",
        "faster backswing", "takeaway to club top",
        "cf. Grober & Cholewicki 2006, arXiv physics/0611291", swt_compute_interval, HAND_SPEED,
        TAKEAWAY, CLUB_TOP),
    ROW("downswing_time", "downswing time", SWT_TIME, IMPACT, "slower downswing",
        "faster downswing", "club top to impact",
        "cf. Grober & Cholewicki 2006, arXiv physics/0611291", swt_compute_interval, HAND_SPEED,
        CLUB_TOP, IMPACT),
    ROW("tempo_ratio", "tempo ratio", SWT_FRACTION, IMPACT, "longer backswing for its downswing",
        "shorter backswing for its downswing", "backswing time divided by downswing time",
        "cf. Grober & Cholewicki 2006, arXiv physics/0611291", swt_compute_tempo, HAND_SPEED,
        TAKEAWAY, IMPACT),
    ROW("half_time_fraction", "half-time fraction", SWT_FRACTION, LEAD_ARM_LEVEL_BACKSWING,
        "lead arm level later", "lead arm level earlier",
        "time from takeaway to lead arm level (backswing) divided by the time from takeaway to "
        "impact",
        "common practice, no source", swt_compute_half_time, HAND_SPEED, LEAD_ARM_LEVEL_BACKSWING,
        IMPACT),
    AT(DEPTH, ADDRESS),
    AT(DEPTH, SHAFT_UP),
    AT(DEPTH, ARM_UP),
    AT(DEPTH, TOP),
    AT(DEPTH, ARM_DOWN),
    AT(DEPTH, SHAFT_DOWN),
    AT(DEPTH, IMPACT_),
    AT(SPAN, SHAFT_UP),
    AT(SPAN, ARM_UP),
    AT(SPAN, TOP),
    AT(HEIGHT, ADDRESS),
    AT(HEIGHT, SHAFT_UP),
    AT(HEIGHT, ARM_UP),
    AT(HEIGHT, TOP),
    AT(HEIGHT, ARM_DOWN),
    AT(HEIGHT, IMPACT_),
    AT(DEPTH_PELVIS, SHAFT_UP),
    AT(DEPTH_THORAX, SHAFT_UP),
    AT(DEPTH_ARMS, SHAFT_UP),
    AT(DEPTH_PELVIS, ARM_UP),
    AT(DEPTH_THORAX, ARM_UP),
    AT(DEPTH_ARMS, ARM_UP),
    AT(DEPTH_PELVIS, TOP),
    AT(DEPTH_THORAX, TOP),
    AT(DEPTH_ARMS, TOP),
    AT(HEIGHT_PELVIS, ARM_UP),
    AT(HEIGHT_THORAX, ARM_UP),
    AT(HEIGHT_ARMS, ARM_UP),
    AT(HEIGHT_PELVIS, TOP),
    AT(HEIGHT_THORAX, TOP),
    AT(HEIGHT_ARMS, TOP),
    ROW("transition_shift", "transition shift", SWT_LENGTH, LEAD_ARM_LEVEL_DOWNSWING,
        "hands deeper on the way down", "hands farther out on the way down",
        "hand depth on the way down less hand depth on the way up, at the hand height of lead arm "
        "level (backswing); negative = the hands moved out towards the ball",
        OWN, swt_compute_transition_shift, HAND_DEPTH, LEAD_ARM_LEVEL_BACKSWING, IMPACT),
    AT(PLUMB, SHAFT_UP),
    AT(ACROSS, SHAFT_UP),
    AT(ACROSS, ARM_UP),
    AT(ACROSS, TOP),
    AT(ARM_ELEVATION, SHAFT_UP),
    AT(ARM_ELEVATION, TOP),
    AT(WRIST, SHAFT_UP),
    AT(WRIST, ARM_UP),
    AT(WRIST, TOP),
    AT(WRIST, ARM_DOWN),
    AT(LEAD_ELBOW, TOP),
    AT(LEAD_ELBOW, IMPACT_),
    AT(TRAIL_ELBOW, ARM_UP),
    AT(TRAIL_ELBOW, TOP),
    AT(LEAD_KNEE, TOP),
    AT(LEAD_KNEE, IMPACT_),
    AT(PELVIS_TURN, SHAFT_UP),
    AT(PELVIS_TURN, ARM_UP),
    AT(PELVIS_TURN, TOP),
    AT(PELVIS_TURN, IMPACT_),
    AT(PELVIS_TILT, ADDRESS),
    AT(PELVIS_TILT, IMPACT_),
    AT(THORAX_TURN, SHAFT_UP),
    AT(THORAX_TURN, ARM_UP),
    AT(THORAX_TURN, TOP),
    AT(THORAX_TURN, IMPACT_),
    AT(THORAX_TILT, ADDRESS),
    AT(THORAX_TILT, TOP),
    AT(THORAX_TILT, IMPACT_),
    AT(THORAX_SIDE, TOP),
    AT(THORAX_SIDE, IMPACT_),
    AT(SEPARATION, ARM_UP),
    AT(SEPARATION, TOP),
    AT(SEPARATION_P, TOP),
    AT(SEPARATION_P, IMPACT_),
    ROW("separation_stretch", "separation stretch", SWT_ANGLE, LEAD_ARM_LEVEL_DOWNSWING,
        "more stretch", "less stretch",
        "greatest joint separation between pelvis reversal and impact less that at pelvis reversal",
        "Cheetham et al. 2001, Optimising Performance in Golf (numbers from memory)",
        swt_compute_rise, SEPARATION_JOINT, PELVIS_REVERSAL, IMPACT),
    ROW("pelvis_towards_ball", "pelvis depth at impact less at address", SWT_LENGTH, IMPACT,
        "pelvis farther from the ball", "pelvis nearer the ball",
        "pelvis-centre depth at impact less at address; negative = towards the ball", OWN,
        swt_compute_at_event, PELVIS_DEPTH, IMPACT, IMPACT),
    ROW("pelvis_along_at_impact", "pelvis along the target line at impact", SWT_LENGTH, IMPACT,
        "pelvis farther towards the target", "pelvis less towards the target",
        "pelvis centre along the target line at impact less at address", OWN, swt_compute_at_event,
        PELVIS_ALONG, IMPACT, IMPACT),
    ROW("club_head_speed_at_impact", "club-head speed at impact", SWT_SPEED, IMPACT, "faster",
        "slower", "speed just before contact, from samples before it", OWN,
        swt_compute_impact_speed, CLUB_HEAD_SPEED, IMPACT, IMPACT),
    PEAK("club_head_speed", "club-head speed", SWT_SPEED, CLUB_HEAD_SPEED, OWN),
    PEAK("hand_speed", "hand speed", SWT_SPEED, HAND_SPEED, OWN),
    PEAK("pelvis_angular_speed", "pelvis angular speed", SWT_ANGULAR_SPEED, PELVIS_ANGULAR_SPEED,
         ORDER_SOURCE),
    PEAK("thorax_angular_speed", "thorax angular speed", SWT_ANGULAR_SPEED, THORAX_ANGULAR_SPEED,
         ORDER_SOURCE),
    PEAK("lead_arm_angular_speed", "lead-arm angular speed", SWT_ANGULAR_SPEED,
         LEAD_ARM_ANGULAR_SPEED, ORDER_SOURCE),
    PEAK("club_angular_speed", "club angular speed", SWT_ANGULAR_SPEED, CLUB_ANGULAR_SPEED,
         ORDER_SOURCE),
    PEAK_LEAD("pelvis_angular_speed", "pelvis angular speed", PELVIS_ANGULAR_SPEED, ORDER_SOURCE),
    PEAK_LEAD("thorax_angular_speed", "thorax angular speed", THORAX_ANGULAR_SPEED, ORDER_SOURCE),
    PEAK_LEAD("lead_arm_angular_speed", "lead-arm angular speed", LEAD_ARM_ANGULAR_SPEED,
              ORDER_SOURCE),
    PEAK_LEAD("hand_speed", "hand speed", HAND_SPEED, OWN),
    PEAK_LEAD("club_angular_speed", "club angular speed", CLUB_ANGULAR_SPEED, ORDER_SOURCE),
    GAIN("thorax", "thorax", "pelvis", THORAX_ANGULAR_SPEED, PELVIS_ANGULAR_SPEED),
    GAIN("lead_arm", "lead arm", "thorax", LEAD_ARM_ANGULAR_SPEED, THORAX_ANGULAR_SPEED),
    GAIN("club", "club", "lead arm", CLUB_ANGULAR_SPEED, LEAD_ARM_ANGULAR_SPEED),
    AT(LEAN, ADDRESS),
    AT(LEAN, IMPACT_),
    AT(FACE, IMPACT_),
    ROW("swing_plane_slope", "swing-plane slope", SWT_ANGLE, IMPACT, "steeper", "flatter",
        "angle to the ground of the least-squares plane of the club head from shaft level "
        "(downswing) to shaft level (follow-through)",
        "Kwon et al. 2012, Sports Biomech 11:127", swt_compute_plane_slope, CLUB_HEAD_SPEED,
        SHAFT_LEVEL_DOWNSWING, SHAFT_LEVEL_FOLLOW_THROUGH),
    ROW("swing_plane_direction", "swing-plane direction", SWT_ANGLE, IMPACT,
        "pointing farther in to out", "pointing farther out to in",
        "horizontal direction of that plane, 0 along the target line, positive away from the "
        "player (in to out)",
        "Kwon et al. 2012, Sports Biomech 11:127", swt_compute_plane_direction, CLUB_HEAD_SPEED,
        SHAFT_LEVEL_DOWNSWING, SHAFT_LEVEL_FOLLOW_THROUGH),
    ROW("swing_plane_rms", "distance from the swing plane, RMS", SWT_LENGTH, IMPACT, "less planar",
        "more planar", "root mean square distance of the club head from that plane",
        "Kwon et al. 2012, Sports Biomech 11:127", swt_compute_plane_rms, CLUB_HEAD_SPEED,
        SHAFT_LEVEL_DOWNSWING, SHAFT_LEVEL_FOLLOW_THROUGH),
    ROW("hand_plane_slope", "hand-plane slope", SWT_ANGLE, IMPACT, "steeper", "flatter",
        "angle to the ground of the least-squares plane of mid-hands over the same interval",
        "cf. Kwon et al. 2012, Sports Biomech 11:127", swt_compute_plane_slope, HAND_SPEED,
        SHAFT_LEVEL_DOWNSWING, SHAFT_LEVEL_FOLLOW_THROUGH),
};

size_t swt_measure_count(void)
{
    return sizeof table / sizeof *table;
}

const swt_measure *swt_measure_row(size_t index)
{
    return &table[index];
}

long swt_measure_find(const char *name)
{
    for (size_t i = 0; i < swt_measure_count(); i++)
        if (strcmp(table[i].name, name) == 0)
            return (long)i;
    return -1;
}

swt_status swt_measure_all(swt_swing *swing, swt_error *err)
{
    swing->measure = calloc(swt_measure_count(), sizeof *swing->measure);
    if (!swing->measure)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; i < swt_measure_count(); i++) {
        swt_measurement m = table[i].compute(&table[i], swing);
        if (!isfinite(m.value)) {
            m.value = nan("");
            if (m.verdict.state != SWT_ABSENT)
                m.verdict = swt_absent(SWT_REASON_SAMPLES_MISSING, 0);
        }
        m.sd = nan("");
        swing->measure[i] = m;
    }
    return SWT_OK;
}
