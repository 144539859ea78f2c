/** @file  The chain of rigid segments: from the values that drive it to points and poses.
 *  Layer: generator, private. Swing frame (x along, y depth, z height), right-handed player. */
#ifndef SWT_GENERATOR_CHAIN_H
#define SWT_GENERATOR_CHAIN_H

#include "base/vector.h"
#include "datasets/generator/model.h"

/** What drives the chain; angles in rad, lengths in m. */
typedef enum swt_drive {
    DRIVE_PELVIS_ALONG, /**< middle of the hips, from the address place */
    DRIVE_PELVIS_DEPTH,
    DRIVE_PELVIS_HEIGHT,
    DRIVE_PELVIS_TURN, /**< positive away from the target */
    DRIVE_PELVIS_FORWARD,
    DRIVE_PELVIS_SIDE, /**< positive towards the trail side */
    DRIVE_THORAX_TURN,
    DRIVE_THORAX_FORWARD,
    DRIVE_THORAX_SIDE,
    DRIVE_HEAD_TURN,
    DRIVE_HEAD_FORWARD,
    DRIVE_HEAD_SIDE,
    DRIVE_LEAD_SHOULDER, /**< glide of the lead shoulder round the chest, m */
    DRIVE_RAISE,         /**< lead arm from hanging along the thorax, 90 deg square to it */
    DRIVE_ACROSS,        /**< lead arm from straight ahead of the chest, positive across it */
    DRIVE_LEAD_ELBOW,    /**< flexion, 0 straight */
    DRIVE_CLUB_SWEEP,    /**< shaft in the club plane: 0 down, 90 deg away from the target */
    DRIVE_CLUB_OFFPLANE, /**< shaft out of the club plane, positive steeper */
    DRIVE_CLUB_ROLL,     /**< face and hands about the shaft, from the plane of arm and shaft */
    DRIVE_TRAIL_HEEL,    /**< pitch of the trail foot about its toes */
    DRIVE_COUNT
} swt_drive;

enum { LEAD, TRAIL };

/** Values that stay the same through the swing. */
typedef struct chain_base {
    swt_model_player player;
    double club_length_m;
    swt_vec3 hips;        /**< middle of the hips at address                             */
    swt_vec3 plane_along; /**< club plane: e1 along the target line, e2 up the slope,    */
    swt_vec3 plane_up;    /**< normal = e1 x e2                                          */
    swt_vec3 plane_normal;
} chain_base;

/** Where everything is at one instant. A pose's columns are ISB axes: X forward, Y up, Z right. */
typedef struct chain_pose {
    swt_vec3 pelvis_o, thorax_o, head_o;
    swt_mat3 pelvis, thorax, head;
    swt_vec3 shoulder[2], elbow[2], wrist[2], hand[2];
    swt_vec3 elbow_axis[2], knee_axis[2]; /**< hinge, unit, towards the player's right */
    swt_vec3 hip[2], knee[2], ankle[2];
    swt_vec3 foot_o[2]; /**< point of the floor below MT2 */
    swt_mat3 foot[2];
    double girdle_m[2];              /**< how far a shoulder gave towards its hand */
    swt_vec3 club_c, club_u, club_v; /**< grip to head; towards the toe; away from the face */
    swt_vec3 butt, club_head;
} chain_pose;

/** Segment sizes of an adult in units of body height; see chain.c for where they come from. */
swt_model_player swt_chain_player_of_height(double height_m);

/** Sets what is constant; the hips' place follows from the knee flexion at address. */
void swt_chain_base_init(chain_base *base, const swt_model_player *player, double club_length_m,
                         double plane_slope_rad, const double drive[DRIVE_COUNT]);

/** Shaft direction (grip to head) for a sweep and an off-plane angle. */
swt_vec3 swt_chain_shaft(const chain_base *base, double sweep_rad, double offplane_rad);

/** Solves the chain. False when a leg cannot reach its foot (points are then NaN). */
bool swt_chain_solve(chain_pose *pose, const chain_base *base, const double drive[DRIVE_COUNT]);

/** A point given in a segment: origin + pose * (x forward, y up, z right). */
static inline swt_vec3 swt_chain_point(swt_vec3 origin, const swt_mat3 *pose, double x, double y,
                                       double z)
{
    return swt_add(origin, swt_rotate(pose, swt_vec3_make(x, y, z)));
}

#endif
