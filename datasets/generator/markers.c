#include "datasets/generator/markers.h"

#include <stdio.h>
#include <string.h>

/* Which segment carries a marker, and so how its three numbers are meant. */
typedef enum carrier {
    ON_PELVIS, /* fractions: of pelvis depth, height, half ASIS width */
    ON_THORAX, /* fractions of body height */
    ON_HEAD,
    AT_ACROMION,
    ON_UPPER_ARM, /* m from the elbow: forward, up to the shoulder, outward */
    ON_FOREARM,   /* m from the wrist: forward, up to the elbow, towards the thumb */
    ON_HAND,      /* m from the hand centre along the shaft */
    ON_THIGH,     /* m from the knee */
    ON_SHANK,     /* m from the ankle */
    ON_FOOT,      /* fractions of foot length back; m up; m outward */
    ON_CLUB,      /* fraction of the club's length; m to the toe; m to the face */
    AT_BALL,
    AT_TARGET
} carrier;

enum { MIDDLE = 0, BOTH = 1 }; /* one marker, or one on each side */
enum { BASIC, CLUSTER, BALL_ONLY, TARGET_ONLY };

typedef struct row {
    const char *name;
    int sides;
    int when;
    carrier on;
    double x, y, z;
} row;

/* clang-format off */
static const row table[] = {
    {"ASIS",        BOTH,   BASIC, ON_PELVIS,     0.00,  0.000,  1.00},
    {"PSIS",        BOTH,   BASIC, ON_PELVIS,    -1.00,  0.000,  0.36},
    {"STERNUM_TOP", MIDDLE, BASIC, ON_THORAX,     0.038, 0.205,  0.00},
    {"STERNUM_LOW", MIDDLE, BASIC, ON_THORAX,     0.055, 0.110,  0.00},
    {"C7",          MIDDLE, BASIC, ON_THORAX,    -0.038, 0.237,  0.00},
    {"T8",          MIDDLE, BASIC, ON_THORAX,    -0.055, 0.125,  0.00},
    {"HEAD_FRONT",  BOTH,   BASIC, ON_HEAD,       0.060, 0.080,  0.035},
    {"HEAD_BACK",   BOTH,   BASIC, ON_HEAD,      -0.045, 0.080,  0.035},
    {"ACROMION",    BOTH,   BASIC, AT_ACROMION,   0.00,  0.000,  0.00},
    {"ELBOW_LAT",   BOTH,   BASIC, ON_UPPER_ARM,  0.00,  0.000,  0.035},
    {"ELBOW_MED",   BOTH,   BASIC, ON_UPPER_ARM,  0.00,  0.000, -0.035},
    {"WRIST_RAD",   BOTH,   BASIC, ON_FOREARM,    0.00,  0.000,  0.028},
    {"WRIST_ULN",   BOTH,   BASIC, ON_FOREARM,    0.00,  0.000, -0.028},
    {"HAND_2",      BOTH,   BASIC, ON_HAND,       0.033, 0.000,  0.00},
    {"HAND_5",      BOTH,   BASIC, ON_HAND,      -0.033, 0.000,  0.00},
    {"KNEE_LAT",    BOTH,   BASIC, ON_THIGH,      0.00,  0.000,  0.050},
    {"KNEE_MED",    BOTH,   BASIC, ON_THIGH,      0.00,  0.000, -0.050},
    {"ANKLE_LAT",   BOTH,   BASIC, ON_SHANK,      0.00,  0.000,  0.036},
    {"ANKLE_MED",   BOTH,   BASIC, ON_SHANK,      0.00,  0.000, -0.036},
    {"HEEL",        BOTH,   BASIC, ON_FOOT,      -1.00,  0.035,  0.00},
    {"TOE",         BOTH,   BASIC, ON_FOOT,       0.00,  0.040,  0.00},
    {"FOOT_5",      BOTH,   BASIC, ON_FOOT,      -0.12,  0.000,  0.055},
    {"CLUB_GRIP",   MIDDLE, BASIC, ON_CLUB,       0.26,  0.000,  0.00},
    {"CLUB_SHAFT",  MIDDLE, BASIC, ON_CLUB,       0.62,  0.000,  0.00},
    {"CLUB_HEAD",   MIDDLE, BASIC, ON_CLUB,       1.00,  0.000,  0.00},
    {"CLUB_TOE",    MIDDLE, BASIC, ON_CLUB,       1.00,  0.095,  0.020},
    {"CLUB_HEEL",   MIDDLE, BASIC, ON_CLUB,       1.00,  0.020,  0.020},
    {"BALL",        MIDDLE, BALL_ONLY, AT_BALL,   0.00,  0.000,  0.00},
    {"TARGET",      MIDDLE, TARGET_ONLY, AT_TARGET, 0.00, 0.000, 0.00},
    {"UARM_1",      BOTH,   CLUSTER, ON_UPPER_ARM,  0.02, 0.200, 0.045},
    {"UARM_2",      BOTH,   CLUSTER, ON_UPPER_ARM,  0.03, 0.120, 0.040},
    {"UARM_3",      BOTH,   CLUSTER, ON_UPPER_ARM, -0.03, 0.140, 0.045},
    {"FARM_1",      BOTH,   CLUSTER, ON_FOREARM,    0.03, 0.160, 0.020},
    {"FARM_2",      BOTH,   CLUSTER, ON_FOREARM,    0.03, 0.080, 0.015},
    {"FARM_3",      BOTH,   CLUSTER, ON_FOREARM,    0.03, 0.100, -0.025},
    {"THIGH_1",     BOTH,   CLUSTER, ON_THIGH,      0.04, 0.280, 0.070},
    {"THIGH_2",     BOTH,   CLUSTER, ON_THIGH,      0.05, 0.160, 0.065},
    {"THIGH_3",     BOTH,   CLUSTER, ON_THIGH,     -0.05, 0.200, 0.065},
    {"SHANK_1",     BOTH,   CLUSTER, ON_SHANK,      0.03, 0.280, 0.045},
    {"SHANK_2",     BOTH,   CLUSTER, ON_SHANK,      0.04, 0.160, 0.040},
    {"SHANK_3",     BOTH,   CLUSTER, ON_SHANK,     -0.03, 0.200, 0.045},
};
/* clang-format on */
#define ROWS (sizeof table / sizeof *table)

static bool wanted(const row *r, const swt_model_recording *recording)
{
    return r->when == BASIC || (r->when == CLUSTER && recording->clusters) ||
           (r->when == BALL_ONLY && recording->ball) ||
           (r->when == TARGET_ONLY && recording->target);
}

void swt_markers_choose(swt_marker_set *set, bool left_handed, const swt_model_recording *recording)
{
    *set = (swt_marker_set){0};
    for (size_t i = 0; i < ROWS; i++) {
        const row *r = &table[i];
        for (int side = LEAD; side <= (r->sides == BOTH ? TRAIL : LEAD); side++) {
            bool is_left = (side == LEAD) != left_handed; /* lead is left for right-handers */
            if (!wanted(r, recording))
                continue;
            snprintf(set->label[set->n], SWT_MARKER_LABEL, "%s%s",
                     r->sides == MIDDLE ? ""
                     : is_left          ? "L_"
                                        : "R_",
                     r->name);
            set->row[set->n] = i;
            set->side[set->n] = side;
            set->on_skin[set->n] = r->on < ON_CLUB;
            set->n++;
        }
    }
}

/* From the near end, Y towards the far end, Z as given: x forward, y up, z along `z`. */
static swt_vec3 on_link(swt_vec3 near, swt_vec3 far, swt_vec3 z_axis, const row *r, double z)
{
    swt_vec3 y = swt_direction(swt_sub(far, near)), x;
    swt_mat3 frame;

    z_axis = swt_direction(swt_sub(z_axis, swt_scale(y, swt_dot(z_axis, y))));
    x = swt_cross(y, z_axis);
    frame = swt_mat3_from_columns(x, y, z_axis);
    return swt_chain_point(near, &frame, r->x, r->y, z);
}

/* Towards the thumb, square to the forearm: as on the hand, turned with it by the shortest way from
   the straight wrist. (Only taking off its share along the forearm would let the thumb jump to the
   other side where the wrist is bent so far that the two are parallel.) */
static swt_vec3 thumb_side(const chain_pose *o, int s)
{
    swt_vec3 on_hand = swt_add(swt_scale(o->club_c, 0.5), swt_scale(o->club_u, sqrt(0.75)));
    swt_vec3 straight = swt_direction(swt_sub(o->wrist[s], o->hand[s]));
    swt_vec3 forearm = swt_direction(swt_sub(o->elbow[s], o->wrist[s]));
    double share = swt_dot(on_hand, forearm) / (1 + swt_dot(straight, forearm));

    return swt_sub(on_hand, swt_scale(swt_add(straight, forearm), share));
}

swt_vec3 swt_marker_at(const swt_marker_set *set, size_t marker, const chain_base *base,
                       const chain_pose *o, swt_vec3 ball, swt_vec3 target)
{
    const row *r = &table[set->row[marker]];
    const swt_model_player *p = &base->player;
    int s = set->side[marker];
    double h = p->height_m, out = r->sides == MIDDLE ? 1 : s == LEAD ? -1 : 1; /* Z is right */

    switch (r->on) {
    case ON_PELVIS:
        return swt_chain_point(o->pelvis_o, &o->pelvis, r->x * p->pelvis_depth_m, r->y * h,
                               out * r->z * p->asis_width_m / 2);
    case ON_THORAX:
        return swt_chain_point(o->thorax_o, &o->thorax, r->x * h, r->y * h, out * r->z * h);
    case ON_HEAD:
        return swt_chain_point(o->head_o, &o->head, r->x * h, r->y * h, out * r->z * h);
    case AT_ACROMION:
        return swt_chain_point(o->shoulder[s], &o->thorax, 0, p->shoulder_drop_m, 0);
    case ON_UPPER_ARM:
        return on_link(o->elbow[s], o->shoulder[s], o->elbow_axis[s], r, out * r->z);
    case ON_FOREARM: /* turns with the hand: the radial styloid is on the thumb's side */
        return on_link(o->wrist[s], o->elbow[s], thumb_side(o, s), r, r->z);
    case ON_HAND:
        return swt_add(o->hand[s], swt_scale(o->club_c, r->x));
    case ON_THIGH:
        return on_link(o->knee[s], o->hip[s], o->knee_axis[s], r, out * r->z);
    case ON_SHANK:
        return on_link(o->ankle[s], o->knee[s], o->knee_axis[s], r, out * r->z);
    case ON_FOOT:
        return swt_chain_point(o->foot_o[s], &o->foot[s], r->x * p->foot_m,
                               p->marker_radius_m + r->y, out * r->z);
    case ON_CLUB:
        return swt_add(swt_add(o->butt, swt_scale(o->club_c, r->x * base->club_length_m)),
                       swt_sub(swt_scale(o->club_u, r->y), swt_scale(o->club_v, r->z)));
    case AT_BALL:
        return ball;
    case AT_TARGET:
        return target;
    }
    return swt_vec3_nan();
}
