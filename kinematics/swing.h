/** @file  The result of analysing one swing: events, series, curves, measures, quality.
 *  Layer: kinematics. Units: m, s, rad, m/s, rad/s. Swing frame: x along the target line
 *  towards the target, y depth from the ball towards the heels, z up; origin on the floor
 *  in the middle of the toe line. */
#ifndef SWT_KINEMATICS_SWING_H
#define SWT_KINEMATICS_SWING_H

#include "kinematics/landmark.h"
#include "kinematics/verdict.h"

/** Kind of quantity: fixes the SI unit and how people are shown it. */
typedef enum swt_quantity {
    SWT_LENGTH,        /**< m, shown in mm          */
    SWT_ANGLE,         /**< rad, shown in degrees   */
    SWT_TIME,          /**< s, shown in s           */
    SWT_SPEED,         /**< m/s                     */
    SWT_ANGULAR_SPEED, /**< rad/s, shown in deg/s   */
    SWT_FRACTION,      /**< 1, shown as a fraction  */
    SWT_QUANTITY_COUNT
} swt_quantity;

typedef struct swt_unit {
    const char *si;      /**< "m"                                     */
    const char *shown;   /**< "mm"                                    */
    double shown_per_si; /**< 1000                                    */
    int decimals;        /**< digits after the point in tables, shown */
} swt_unit;

const swt_unit *swt_quantity_unit(swt_quantity quantity);

/** X(ID, "name", "title", "definition"), in the order of a swing. Stored by name. */
#define SWT_EVENTS(X)                                                                              \
    X(TAKEAWAY, "takeaway", "takeaway",                                                            \
      "last instant before the backswing speed peak at which the club head (else the hands) is "   \
      "slower than the onset threshold")                                                           \
    X(TRAVEL_061, "travel_0.61", "club travel 0.61 m",                                             \
      "club-head path length since takeaway reaches 0.61 m")                                       \
    X(SHAFT_LEVEL_BACKSWING, "shaft_level_backswing", "shaft level, backswing",                    \
      "shaft elevation rises through 0 after takeaway")                                            \
    X(TRAVEL_183, "travel_1.83", "club travel 1.83 m",                                             \
      "club-head path length since takeaway reaches 1.83 m")                                       \
    X(LEAD_ARM_LEVEL_BACKSWING, "lead_arm_level_backswing", "lead arm level, backswing",           \
      "lead-arm elevation rises through 0 after takeaway")                                         \
    X(PELVIS_REVERSAL, "pelvis_reversal", "pelvis reversal",                                       \
      "last sign change of the pelvis' axial angular velocity before impact")                      \
    X(HANDS_TOP, "hands_top", "hands top", "reversal of the mid-hands path")                       \
    X(THORAX_REVERSAL, "thorax_reversal", "thorax reversal",                                       \
      "last sign change of the thorax' axial angular velocity before impact")                      \
    X(CLUB_TOP, "club_top", "club top", "reversal of the shaft about the swing-plane normal")      \
    X(LEAD_ARM_LEVEL_DOWNSWING, "lead_arm_level_downswing", "lead arm level, downswing",           \
      "lead-arm elevation falls through 0 before impact")                                          \
    X(SHAFT_LEVEL_DOWNSWING, "shaft_level_downswing", "shaft level, downswing",                    \
      "shaft elevation falls through 0 before impact")                                             \
    X(IMPACT, "impact", "impact",                                                                  \
      "club head reaches its address position along the target line, from samples before "         \
      "contact; the onset of an analog channel where the marker map names one")                    \
    X(SHAFT_LEVEL_FOLLOW_THROUGH, "shaft_level_follow_through", "shaft level, follow-through",     \
      "shaft elevation rises through 0 after impact")                                              \
    X(FINISH, "finish", "finish",                                                                  \
      "first instant after impact at which the hands are slower than 0.5 m/s")

typedef enum swt_event {
#define X(id, name, title, definition) SWT_EVENT_##id,
    SWT_EVENTS(X)
#undef X
        SWT_EVENT_COUNT
} swt_event;

const char *swt_event_name(swt_event event);
const char *swt_event_title(swt_event event);
const char *swt_event_definition(swt_event event);

typedef struct swt_event_time {
    double time_s; /**< seconds after the first frame of the capture; NaN when absent   */
    double sd_s;   /**< standard uncertainty from marker noise; NaN when not estimated  */
    swt_verdict verdict;
} swt_event_time;

/** X(ID, "name", "title", quantity, "definition"): all that varies in time. Stored by name. */
#define SWT_SERIES(X)                                                                              \
    X(HAND_ALONG, "hand_along", "hands along the target line", SWT_LENGTH,                         \
      "mid-hands position along the target line, towards the target; 0 = middle of the toe line")  \
    X(HAND_DEPTH, "hand_depth", "hand depth", SWT_LENGTH,                                          \
      "mid-hands distance behind the toe line, square to the target line")                         \
    X(HAND_HEIGHT, "hand_height", "hand height", SWT_LENGTH, "mid-hands height above the floor")   \
    X(HAND_FOOT_SPAN, "hand_foot_span", "hand depth in foot spans", SWT_FRACTION,                  \
      "hand depth divided by the distance from toe line to heel line")                             \
    X(HAND_SPEED, "hand_speed", "hand speed", SWT_SPEED, "speed of mid-hands")                     \
    X(LEDGER_DEPTH_PELVIS, "depth_from_pelvis", "hand depth made by the pelvis", SWT_LENGTH,       \
      "depth that the pelvis' motion alone has given the hands since takeaway")                    \
    X(LEDGER_DEPTH_THORAX, "depth_from_thorax", "hand depth made by the thorax", SWT_LENGTH,       \
      "depth that the thorax has added since takeaway by moving relative to the pelvis")           \
    X(LEDGER_DEPTH_ARMS, "depth_from_arms", "hand depth made by the arms", SWT_LENGTH,             \
      "depth that the arms have added since takeaway by moving relative to the thorax")            \
    X(LEDGER_HEIGHT_PELVIS, "height_from_pelvis", "hand height made by the pelvis", SWT_LENGTH,    \
      "height that the pelvis' motion alone has given the hands since takeaway")                   \
    X(LEDGER_HEIGHT_THORAX, "height_from_thorax", "hand height made by the thorax", SWT_LENGTH,    \
      "height that the thorax has added since takeaway by moving relative to the pelvis")          \
    X(LEDGER_HEIGHT_ARMS, "height_from_arms", "hand height made by the arms", SWT_LENGTH,          \
      "height that the arms have added since takeaway by moving relative to the thorax")           \
    X(LEAD_ARM_ELEVATION, "lead_arm_elevation", "lead-arm elevation", SWT_ANGLE,                   \
      "angle of shoulder centre -> wrist centre above the horizontal; -90 deg hanging, 0 level")   \
    X(LEAD_ARM_PLUMB, "lead_arm_plumb", "lead arm from plumb", SWT_ANGLE,                          \
      "angle of the lead arm from the vertical seen along the target line; positive when the "     \
      "wrist is deeper than the shoulder")                                                         \
    X(LEAD_ARM_ACROSS_CHEST, "lead_arm_across_chest", "lead arm across chest", SWT_ANGLE,          \
      "horizontal adduction: direction of the lead upper arm in the thorax' transverse plane, "    \
      "0 straight out to the side, 90 deg straight ahead")                                         \
    X(LEAD_ELBOW_FLEXION, "lead_elbow_flexion", "lead elbow flexion", SWT_ANGLE,                   \
      "180 deg less the angle between upper arm and forearm")                                      \
    X(TRAIL_ELBOW_FLEXION, "trail_elbow_flexion", "trail elbow flexion", SWT_ANGLE,                \
      "180 deg less the angle between upper arm and forearm")                                      \
    X(LEAD_KNEE_FLEXION, "lead_knee_flexion", "lead knee flexion", SWT_ANGLE,                      \
      "180 deg less the angle between thigh and shank")                                            \
    X(TRAIL_KNEE_FLEXION, "trail_knee_flexion", "trail knee flexion", SWT_ANGLE,                   \
      "180 deg less the angle between thigh and shank")                                            \
    X(WRIST_SET, "wrist_set", "wrist set", SWT_ANGLE,                                              \
      "angle between the lead forearm (elbow -> wrist) and the shaft (grip -> head)")              \
    X(SHAFT_ELEVATION, "shaft_elevation", "shaft elevation", SWT_ANGLE,                            \
      "angle of grip -> head above the horizontal")                                                \
    X(PELVIS_TURN, "pelvis_turn", "pelvis turn", SWT_ANGLE,                                        \
      "axial rotation from the address pose (Cardan Y-X-Z), positive away from the target")        \
    X(PELVIS_FORWARD_TILT, "pelvis_forward_tilt", "pelvis forward tilt", SWT_ANGLE,                \
      "Cardan Y-X-Z, rotation about the pelvis' lateral axis, positive forward")                   \
    X(PELVIS_SIDE_TILT, "pelvis_side_tilt", "pelvis side tilt", SWT_ANGLE,                         \
      "Cardan Y-X-Z, obliquity, positive when the trail side is lower")                            \
    X(PELVIS_TURN_PROJECTED, "pelvis_turn_projected", "pelvis turn, projected", SWT_ANGLE,         \
      "turn of the pelvis' lateral axis seen from above, from the address pose")                   \
    X(THORAX_TURN, "thorax_turn", "thorax turn", SWT_ANGLE,                                        \
      "axial rotation from the address pose (Cardan Z-X-Y), positive away from the target")        \
    X(THORAX_FORWARD_TILT, "thorax_forward_tilt", "thorax forward tilt", SWT_ANGLE,                \
      "Cardan Z-X-Y, flexion, positive towards the ball")                                          \
    X(THORAX_SIDE_TILT, "thorax_side_tilt", "thorax side tilt", SWT_ANGLE,                         \
      "Cardan Z-X-Y, side bend, positive towards the trail side")                                  \
    X(THORAX_TURN_PROJECTED, "thorax_turn_projected", "thorax turn, projected", SWT_ANGLE,         \
      "turn of the thorax' lateral axis (shoulder line where no thorax landmarks are) seen from "  \
      "above, from the address pose")                                                              \
    X(SEPARATION_JOINT, "separation_joint", "separation, joint angle", SWT_ANGLE,                  \
      "axial rotation of the thorax relative to the pelvis, joint Cardan Z-X-Y, from address")     \
    X(SEPARATION_PROJECTED, "separation_projected", "separation, projected", SWT_ANGLE,            \
      "projected thorax turn less projected pelvis turn")                                          \
    X(PELVIS_ALONG, "pelvis_along", "pelvis along the target line", SWT_LENGTH,                    \
      "pelvis centre along the target line, less its address position")                            \
    X(PELVIS_DEPTH, "pelvis_depth", "pelvis depth", SWT_LENGTH,                                    \
      "pelvis centre depth, less its address position; negative = towards the ball")               \
    X(PELVIS_ANGULAR_SPEED, "pelvis_angular_speed", "pelvis angular speed", SWT_ANGULAR_SPEED,     \
      "angular velocity about the pelvis' own long axis, positive towards the target")             \
    X(THORAX_ANGULAR_SPEED, "thorax_angular_speed", "thorax angular speed", SWT_ANGULAR_SPEED,     \
      "angular velocity about the thorax' own long axis, positive towards the target")             \
    X(LEAD_ARM_ANGULAR_SPEED, "lead_arm_angular_speed", "lead-arm angular speed",                  \
      SWT_ANGULAR_SPEED, "rate at which the direction shoulder centre -> wrist centre turns")      \
    X(CLUB_ANGULAR_SPEED, "club_angular_speed", "club angular speed", SWT_ANGULAR_SPEED,           \
      "rate at which the direction grip -> head turns")                                            \
    X(CLUB_HEAD_SPEED, "club_head_speed", "club-head speed", SWT_SPEED, "speed of the club head")  \
    X(SHAFT_LEAN, "shaft_lean", "shaft lean", SWT_ANGLE,                                           \
      "angle of the shaft (head -> grip) from the vertical, seen square to the target line; "      \
      "positive when the grip is nearer the target than the head")                                 \
    X(FACE_TO_PATH, "face_to_path", "face to path", SWT_ANGLE,                                     \
      "horizontal angle from the club head's direction of motion to the normal of the face "       \
      "(heel -> toe); positive = open, the face points farther away from the player")

typedef enum swt_series {
#define X(id, name, title, quantity, definition) SWT_SERIES_##id,
    SWT_SERIES(X)
#undef X
        SWT_SERIES_COUNT
} swt_series;

typedef struct swt_series_info {
    const char *name, *title;
    swt_quantity quantity;
    const char *definition;
} swt_series_info;

const swt_series_info *swt_series_describe(swt_series series);

/** Registered curves: four phases of 25 steps between takeaway, lead arm level (backswing),
 *  club top, impact, finish; sample 0 is takeaway, 25, 50, 75, 100 the next events. */
enum { SWT_PHASES = 4, SWT_PHASE_STEPS = 25, SWT_CURVE_SAMPLES = SWT_PHASES * SWT_PHASE_STEPS + 1 };

/** The event at each boundary of the registration's phases. */
extern const swt_event swt_phase_boundary[SWT_PHASES + 1];

/** Second registration, for the start of the swing: equal steps of club-head path length since
 *  takeaway, to 1.83 m. Sample 20 is the state at 0.61 m of travel, sample 60 that at 1.83 m. */
enum { SWT_TRAVEL_SAMPLES = 61 };
#define SWT_TRAVEL_STEP_M (1.83 / (SWT_TRAVEL_SAMPLES - 1))

/** Transition shift over hand height: sample k is at k / SWT_SHIFT_SAMPLES of the way from the
 *  hands' height at takeaway (0) to their greatest before impact (1, where both ways meet). */
enum { SWT_SHIFT_SAMPLES = 40 };

typedef struct swt_measurement {
    double value; /**< SI; NaN when absent                                              */
    double sd;    /**< standard uncertainty from marker noise; NaN when not estimated   */
    swt_verdict verdict;
} swt_measurement;

/** How good the capture is, per landmark and as a whole. */
typedef struct swt_quality {
    double filled_fraction[SWT_LANDMARK_COUNT];  /**< of all frames                          */
    double missing_fraction[SWT_LANDMARK_COUNT]; /**< left open                              */
    double longest_gap_s[SWT_LANDMARK_COUNT];
    double noise_m[SWT_LANDMARK_COUNT];   /**< white noise SD per coordinate          */
    double cutoff_hz[SWT_LANDMARK_COUNT]; /**< of the low-pass filter that was used   */
    double shaft_length_sd_m;             /**< SD of grip -> head before impact       */
    double frames_in_downswing;           /**< club top to impact, in frames          */
    double ledger_closure_m;              /**< worst error of the depth ledger's sum  */
    bool target_from_stance;
    bool floor_from_feet;
} swt_quality;

/** Marker noise to reckon with, m: as estimated; where it could not be, that of a good laboratory
 *  (half a millimetre; common practice, no source). */
static inline double swt_noise_or_usual(double noise_m)
{
    return isfinite(noise_m) && noise_m > 0 ? noise_m : 0.0005;
}

/** Was a ball struck? Told where a capture holds several swings (swings.h says how). */
typedef enum swt_strike { SWT_STRIKE_UNKNOWN, SWT_STRUCK, SWT_PRACTICE } swt_strike;

/** "unknown", "struck", "practice". */
const char *swt_strike_name(swt_strike strike);

/** One analysed swing. Everything is owned by it. */
typedef struct swt_swing {
    size_t n_frames;
    double rate_hz;
    size_t split;                                   /**< first frame after impact; n_frames when
                                                         there is no impact                    */
    size_t capture_frame;                           /**< first frame in the capture, 0-based */
    size_t number;                                  /**< among the capture's swings, from 1  */
    swt_strike strike;                              /**< was a ball struck?                  */
    swt_event_time event[SWT_EVENT_COUNT];          /**< times from the capture's first frame */
    double *series[SWT_SERIES_COUNT];               /**< n_frames; NULL when absent          */
    unsigned char *series_filled[SWT_SERIES_COUNT]; /**< n_frames; 1 where a source sample was
                                                         filled in; NULL when absent          */
    swt_verdict series_verdict[SWT_SERIES_COUNT];
    double *curve[SWT_SERIES_COUNT];          /**< SWT_CURVE_SAMPLES; NULL when absent */
    float *curve_sd[SWT_SERIES_COUNT];        /**< SWT_CURVE_SAMPLES: standard uncertainty from
                                                   marker noise; NULL when not estimated   */
    double curve_time_s[SWT_CURVE_SAMPLES];   /**< time of each sample, from the capture's
                                                   first frame; NaN in absent phases   */
    double *travel_curve[SWT_SERIES_COUNT];   /**< SWT_TRAVEL_SAMPLES; NULL when absent   */
    double travel_time_s[SWT_TRAVEL_SAMPLES]; /**< as curve_time_s; NaN where not reached */
    double shift_m[SWT_SHIFT_SAMPLES];        /**< hand depth on the way down less that on the
                                                   way up, at the same hand height; NaN where
                                                   a way does not pass that height           */
    double shift_height_m[SWT_SHIFT_SAMPLES]; /**< the heights                               */
    swt_measurement *measure;                 /**< swt_measure_count() of them         */
    swt_landmark_set *body;                   /**< smoothed, in the swing frame        */
    double contact_speed_m_s; /**< club head just before contact (contact.h); NaN: not known */
    double heel_depth_m;      /**< heel line; the toe line is 0                          */
    bool impact_from_channel; /**< impact is an analog channel's onset, not the markers'    */
    bool rate_doubtful;       /**< the declared frame rate cannot hold for the whole swing */
    swt_quality quality;
    swt_findings findings;
} swt_swing;

/** Frees a swing; NULL is allowed. */
void swt_swing_free(swt_swing *swing);

/** Frees what varies from frame to frame, series and body; all else stays. */
void swt_swing_drop_samples(swt_swing *swing);

#endif
