/** @file  The forward model: parameters of a player, a swing and a recording in, a capture with
 *         its known truth out.
 *  Layer: generator. Needs: base. Shares no code with the analysis beyond vector helpers.
 *
 * Frame (MEASURES section 1): x along the target line towards the target, y depth from the ball
 * towards the heels, z height; origin on the floor in the middle of the toe line (MT2 markers).
 * A swing is always modelled right-handed (lead = left); a left-handed player is its mirror image.
 *
 * Markers, label -> landmark. Sided labels begin with L_ or R_ (the person's own left and right).
 *
 * | label                        | landmark                                            |
 * |------------------------------|-----------------------------------------------------|
 * | _ASIS, _PSIS                 | ASIS, PSIS                                          |
 * | STERNUM_TOP, STERNUM_LOW     | IJ, PX                                              |
 * | C7, T8                       | C7, T8                                              |
 * | _HEAD_FRONT, _HEAD_BACK      | head, front and back of a band                      |
 * | _ACROMION                    | AC, shoulder_drop above the shoulder centre         |
 * | _ELBOW_LAT, _ELBOW_MED       | EL, EM                                              |
 * | _WRIST_RAD, _WRIST_ULN       | RS, US                                              |
 * | _HAND_2, _HAND_5             | MC2, MC5                                            |
 * | _KNEE_LAT, _KNEE_MED         | lateral and medial femoral epicondyle               |
 * | _ANKLE_LAT, _ANKLE_MED       | LM, MM                                              |
 * | _HEEL, _TOE, _FOOT_5         | CAL, MT2 (toe line), MT5                            |
 * | CLUB_GRIP, _SHAFT, _HEAD     | on the shaft's axis: below the hands, middle, hosel |
 * | CLUB_TOE, CLUB_HEEL          | face, toe and heel side                             |
 * | BALL, TARGET                 | ball centre; a mark on the target line (optional)   |
 * | _UARM_n, _FARM_n, _THIGH_n, _SHANK_n (n 1..3) | technical clusters (optional)      |
 */
#ifndef SWT_GENERATOR_MODEL_H
#define SWT_GENERATOR_MODEL_H

#include "base/capture.h"
#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/** A person: lengths and the posture at address. Defaults: swt_model_player_default. */
typedef struct swt_model_player {
    double height_m;
    double upper_arm_m, forearm_m, hand_m; /**< hand_m: wrist to hand centre (mid MC2-MC5) */
    double thigh_m, shank_m;
    double ankle_height_m, foot_m;       /**< foot_m: heel to MT2                                */
    double shoulder_half_m;              /**< thorax axis to shoulder centre                     */
    double asis_width_m, pelvis_depth_m; /**< between ASIS; mid-ASIS to mid-PSIS           */
    double stance_m;                     /**< between the two MT2                          */
    double lead_flare_rad, trail_flare_rad; /**< feet turned outward                       */
    double hip_depth_m;                     /**< middle of the hips behind the toe line    */
    double knee_flexion_rad;                /**< lead knee at address                      */
    double pelvis_forward_rad;              /**< forward tilt at address                   */
    double thorax_forward_rad, thorax_side_rad;
    double shoulder_drop_m; /**< acromion marker above the shoulder centre, along thorax Y */
    double marker_radius_m; /**< lowest foot marker's height                               */
    bool left_handed;
} swt_model_player;

/** Positions of a swing that the curves pass. */
typedef enum swt_model_position {
    SWT_AT_ADDRESS,
    SWT_AT_SHAFT_UP, /**< shaft level, backswing    */
    SWT_AT_ARM_UP,   /**< lead arm level, backswing */
    SWT_AT_TOP,
    SWT_AT_ARM_DOWN,
    SWT_AT_SHAFT_DOWN,
    SWT_AT_IMPACT,
    SWT_AT_SHAFT_THROUGH,
    SWT_AT_WRAP, /**< between shaft level and the finish: arms lift, lead elbow folds */
    SWT_AT_FINISH,
    SWT_MODEL_POSITIONS
} swt_model_position;

/**
 * Body and club at a position; NaN = the curve passes freely. Places are changes from address,
 * angles are absolute. Solved by the model, and ignored here: the club's angles at address and at
 * impact, `raise_rad` at impact. The player's posture replaces the tilts at address.
 */
typedef struct swt_model_posture {
    double pelvis_along_m, pelvis_depth_m, pelvis_height_m; /**< middle of the hips           */
    double pelvis_turn_rad; /**< positive away from the target (all turns)                  */
    double pelvis_forward_rad, pelvis_side_rad; /**< side: positive towards the trail side    */
    double thorax_turn_rad, thorax_forward_rad, thorax_side_rad;
    double head_turn_rad, head_forward_rad, head_side_rad;
    double shoulder_glide_m; /**< lead shoulder forward round the chest                       */
    double raise_rad;        /**< lead arm: 0 along the thorax, 90 deg square to it           */
    double across_rad;       /**< lead arm: 0 ahead of the chest, positive across it          */
    double lead_elbow_rad;   /**< flexion                                                     */
    double wrist_set_rad;    /**< lead forearm to shaft; used at ARM_UP, TOP, ARM_DOWN        */
    double sweep_rad;        /**< shaft in its plane; used at FINISH                          */
    double offplane_rad;     /**< shaft out of its plane, positive steeper                    */
    double roll_rad;         /**< hands and face about the shaft                              */
    double trail_heel_rad;   /**< trail foot pitched about its toes                           */
} swt_model_posture;

/** A swing. Defaults: swt_model_swing_default. Times in s. */
typedef struct swt_model_swing {
    char club[16];        /**< "driver", "7-iron", "wedge": a name for the sheet               */
    double club_length_m; /**< end of the grip to the hosel                                    */
    double plane_slope_rad;
    double ball_along_m;  /**< club head at address, from the middle of the stance            */
    double head_height_m; /**< hosel above the floor at address                               */
    double shot;          /**< 1 full, 0.75 three-quarter, 0.5 half: how far back it goes     */
    double quiet_s;       /**< stillness before the onset of motion                           */
    double waggle_rad;    /**< club moves to and fro before the quiet period; 0 = none        */
    double backswing_s;   /**< onset of motion to top                                         */
    double shaft_up_part; /**< part of backswing_s at which the shaft is level                */
    double arm_up_part;   /**< and the lead arm                                               */
    double pause_s;       /**< stand-still at the top; 0 = none                               */
    double downswing_s;   /**< top to impact                                                  */
    double arm_down_s;    /**< lead arm level to impact                                       */
    double release_s;     /**< shaft level to impact: shorter = faster club head              */
    double through_s;     /**< impact to shaft level, follow-through                          */
    double wrap_s;        /**< impact to the middle of the follow-through                     */
    double impact_loss;   /**< part of the club's speed that contact takes; 0 = none */
    double finish_s;      /**< impact to finish                                               */
    double hold_s;        /**< recorded after the finish                                      */
    double pelvis_lead_s; /**< pelvis turns round before the club by this much                */
    double thorax_lead_s;
    double hands_lead_s;
    double pelvis_speed_rad_s; /**< turning speed at impact, towards the target                */
    double thorax_speed_rad_s;
    swt_model_posture at[SWT_MODEL_POSITIONS];
} swt_model_swing;

/** A stretch of time in which a marker is missing, or two labels are exchanged. */
typedef struct swt_model_stretch {
    const char *label;
    const char *other; /**< NULL = missing; else exchanged with this label */
    double from_s, to_s;
} swt_model_stretch;

/** How it is recorded. Defaults: swt_model_recording_default. */
typedef struct swt_model_recording {
    uint64_t seed;
    double rate_hz;
    double clip_start_s, clip_end_s; /**< taken off the start and the end                      */
    double noise_m;                  /**< SD of independent Gaussian noise on each coordinate  */
    double soft_tissue_m;            /**< SD of smooth marker motion on the skin               */
    double yaw_rad;                  /**< laboratory rotated about the vertical                */
    double origin_m[3];              /**< swing frame's origin in the laboratory               */
    char up_axis;                    /**< 'x', 'y' or 'z'                                      */
    bool left_handed_axes;           /**< second horizontal axis reversed                      */
    const char *unit;                /**< "mm", "m", "cm"                                      */
    bool single_precision;           /**< coordinates rounded to float                         */
    bool clusters, target, ball;     /**< optional markers                                     */
    size_t sound_per_frame;          /**< samples a frame of the channel "Sound", V, in which
                                          contact rings; 0 = no such channel               */
    double ball_speed_m_s;           /**< after impact; lost from view 40 ms later             */
    size_t n_stretches;
    const swt_model_stretch *stretch; /**< not kept                                            */
} swt_model_recording;

/** Events of MEASURES section 4. */
typedef enum swt_model_event {
    SWT_TRUE_ONSET, /**< first motion of the chain: not observable, for comparison */
    SWT_TRUE_TAKEAWAY,
    SWT_TRUE_TRAVEL_061,
    SWT_TRUE_TRAVEL_183,
    SWT_TRUE_SHAFT_UP,
    SWT_TRUE_ARM_UP,
    SWT_TRUE_PELVIS_REVERSAL,
    SWT_TRUE_THORAX_REVERSAL,
    SWT_TRUE_HANDS_TOP,
    SWT_TRUE_CLUB_TOP,
    SWT_TRUE_ARM_DOWN,
    SWT_TRUE_SHAFT_DOWN,
    SWT_TRUE_IMPACT,
    SWT_TRUE_SHAFT_THROUGH,
    SWT_TRUE_FINISH,
    SWT_TRUE_EVENTS
} swt_model_event;

/** Series at the capture's own samples; table of names and units: swt_model_series_name. */
typedef enum swt_model_series {
    SWT_TRUE_HANDS_ALONG, /**< mid-hands, m */
    SWT_TRUE_HANDS_DEPTH,
    SWT_TRUE_HANDS_HEIGHT,
    SWT_TRUE_LEAD_ARM,       /**< elevation, rad                                            */
    SWT_TRUE_LEAD_ARM_PLUMB, /**< from the vertical in depth-height, + hands deeper         */
    SWT_TRUE_ACROSS_CHEST,   /**< lead upper arm in the thorax frame, 0 = ahead, + across */
    SWT_TRUE_SHAFT,          /**< elevation grip -> head, rad                               */
    SWT_TRUE_WRIST_SET,      /**< lead forearm (elbow -> wrist) to shaft, rad               */
    SWT_TRUE_LEAD_ELBOW,     /**< flexion, rad                                              */
    SWT_TRUE_TRAIL_ELBOW,
    SWT_TRUE_LEAD_KNEE,
    SWT_TRUE_TRAIL_KNEE,
    SWT_TRUE_PELVIS_TURN, /**< Y-X-Z, less its value at address                          */
    SWT_TRUE_PELVIS_FORWARD,
    SWT_TRUE_PELVIS_SIDE,
    SWT_TRUE_THORAX_TURN, /**< Z-X-Y, less its value at address                          */
    SWT_TRUE_THORAX_FORWARD,
    SWT_TRUE_THORAX_SIDE,
    SWT_TRUE_PELVIS_PROJECTED, /**< medio-lateral axis on the floor, less address             */
    SWT_TRUE_THORAX_PROJECTED,
    SWT_TRUE_SEPARATION_JOINT, /**< axial angle, Z-X-Y, of the thorax in the pelvis, less address */
    SWT_TRUE_SEPARATION_PROJECTED, /**< thorax projected less pelvis projected */
    SWT_TRUE_PELVIS_SPEED,         /**< angular velocity about own Y, + towards the target, rad/s */
    SWT_TRUE_THORAX_SPEED,
    SWT_TRUE_ARM_SPEED,           /**< shoulder -> wrist direction, size of angular velocity     */
    SWT_TRUE_CLUB_SPEED,          /**< shaft direction, size of angular velocity                 */
    SWT_TRUE_HAND_SPEED,          /**< mid-hands, m/s                                            */
    SWT_TRUE_HEAD_SPEED,          /**< club head (hosel), m/s                                    */
    SWT_TRUE_PATH_LENGTH,         /**< club head since takeaway, m                               */
    SWT_TRUE_LEDGER_PELVIS_DEPTH, /**< since takeaway, m                                       */
    SWT_TRUE_LEDGER_THORAX_DEPTH,
    SWT_TRUE_LEDGER_ARMS_DEPTH,
    SWT_TRUE_LEDGER_PELVIS_HEIGHT,
    SWT_TRUE_LEDGER_THORAX_HEIGHT,
    SWT_TRUE_LEDGER_ARMS_HEIGHT,
    SWT_TRUE_SERIES
} swt_model_series;

/** What is true of a capture. Times are seconds after its first stored frame. */
typedef struct swt_model_truth {
    double event_s[SWT_TRUE_EVENTS];           /**< NaN = does not occur; below 0 or after the
                                                    last frame = outside a clipped capture     */
    const char *event_reason[SWT_TRUE_EVENTS]; /**< why not, "" when it occurs; static text    */
    size_t n_frames;
    double *series[SWT_TRUE_SERIES]; /**< n_frames each, owned; ledger NaN before takeaway     */
    double at_event[SWT_TRUE_EVENTS][SWT_TRUE_SERIES]; /**< the same values at each event      */
    double toe_line_m, heel_line_m; /**< depth of MT2 (0) and of the heel markers, both feet  */
    double shoulder_drop_m, marker_radius_m;
    double backswing_s, downswing_s, tempo_ratio, half_time_fraction;
    double peak_head_speed_m_s, impact_head_speed_m_s, peak_hand_speed_m_s;
    double peak_s[4];     /**< pelvis, thorax, lead arm, club: time of the greatest speed      */
    double peak_rad_s[4]; /**< between club top and 0.1 s after impact                         */
    double plane_slope_rad, plane_rms_m; /**< swing plane of the club head                     */
    double plane_direction_rad;   /**< its level line, from x towards y: positive = out to in    */
    double pelvis_towards_ball_m; /**< centre (mid of mid-ASIS and mid-PSIS): impact - address */
    double transition_shift_m;    /**< hand depth down less up, at the height of arm level (up)   */
    double ball_depth_m, ball_along_m;
    double greatest_girdle_m; /**< how far the trail shoulder gave: plausibility of the swing */
} swt_model_truth;

/** Average adult of a height: lengths from published proportions. */
swt_model_player swt_model_player_default(double height_m);

/** A believable full swing with a "driver", "7-iron" or "wedge" (anything else: driver). */
swt_model_swing swt_model_swing_default(const char *club);

/** 240 Hz, no disturbances, laboratory = swing frame, mm. */
swt_model_recording swt_model_recording_default(void);

/** Moves a player's build and a swing's shape by between-player spread, the same for a seed. */
void swt_model_draw_player(swt_model_player *player, swt_model_swing *swing, uint64_t seed);

/** Moves a swing by the spread that one player shows from swing to swing. */
void swt_model_draw_swing(swt_model_swing *swing, uint64_t seed);

/** Early faults, as edits of a swing. */
typedef enum swt_model_fault {
    SWT_FAULT_NONE,
    SWT_FAULT_DEEP_EARLY, /**< hands deep at shaft level, lifted late                  */
    SWT_FAULT_OUT,        /**< hands out: raised without depth                         */
    SWT_FAULT_HURRIED     /**< good shape, short backswing and transition              */
} swt_model_fault;

/** Gives a swing a fault; `amount` 1 = plain to see, 0 = none. */
void swt_model_add_fault(swt_model_swing *swing, swt_model_fault fault, double amount);

/**
 * Makes a capture, and its truth when `truth` is not NULL.
 *
 * The truth comes from the chain itself, differentiated by a five-point stencil and searched at
 * 10 kHz with root refinement, before any disturbance of the recording.
 *
 * @param[out] capture  the caller frees it with swt_capture_free; NULL on failure
 * @param[out] truth    may be NULL; freed with swt_model_truth_free; NULL on failure
 * @retval SWT_EARG  a parameter is out of range, or a stretch names an unknown label
 * @retval SWT_ENUM  the chain cannot take the postures asked for; says which
 */
SWT_MUST_USE swt_status swt_model_capture(swt_capture **capture, swt_model_truth **truth,
                                          const swt_model_player *player,
                                          const swt_model_swing *swing,
                                          const swt_model_recording *recording, swt_error *err);

void swt_model_truth_free(swt_model_truth *truth);

/** Plain name of an event or a series ("hands depth"), and a series' SI unit. */
const char *swt_model_event_name(swt_model_event event);
const char *swt_model_series_name(swt_model_series series);
const char *swt_model_series_unit(swt_model_series series);

#endif
