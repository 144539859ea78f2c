#include "datasets/generator/chain.h"

#include <math.h>

/* Places in the segments, in units of body height unless named otherwise. The thorax markers are
   laid so that the axes that Wu et al. 2005 (J Biomech 38:981) build from IJ, PX, C7 and T8 are
   the axes of the chain: mid(IJ, C7) and mid(PX, T8) both lie on the segment's own Y axis. */
#define WAIST_BACK 0.050  /* joint between pelvis and thorax, behind mid-ASIS */
#define WAIST_UP 0.028    /* and above it */
#define SHOULDER_UP 0.205 /* shoulder centre above the waist joint, along the thorax */
#define NECK_UP 0.245
#define GIRDLE_SLACK 0.96 /* part of the arm's length from which the girdle gives */
#define GIRDLE_SOFT_M 0.01
#define LEG_SLACK 0.99 /* part of the leg's length from which the pelvis sinks */
#define LEG_SOFT_M 0.003
#define GRIP_ANGLE (SWT_PI / 6) /* between the hand's long axis and the shaft */
#define ROLL_WIDTH (SWT_PI / 2) /* sweep over which the forearms roll */
#define TRAIL_GLIDE_M 0.02      /* the trail shoulder rests this far round the chest */

swt_model_player swt_chain_player_of_height(double height_m)
{
    /* Segment lengths: Drillis & Contini 1966 as printed in Winter's textbook (upper arm .186,
       forearm .146, thigh .245, shank .246, shoulder half-width .129, ankle .039, foot .152);
       from memory. Heel to MT2 is taken as 0.75 of the foot; hand centre 0.45 of the hand. */
    swt_model_player p = {
        .height_m = height_m,
        .upper_arm_m = 0.186 * height_m,
        .forearm_m = 0.146 * height_m,
        .hand_m = 0.108 * 0.45 * height_m,
        .thigh_m = 0.245 * height_m,
        .shank_m = 0.246 * height_m,
        .ankle_height_m = 0.039 * height_m,
        .foot_m = 0.152 * 0.75 * height_m,
        .shoulder_half_m = 0.100 * height_m,
        .asis_width_m = 0.140 * height_m,
        .pelvis_depth_m = 0.088 * height_m,
        .stance_m = 0.290 * height_m,
        .lead_flare_rad = SWT_RADIANS(22),
        .trail_flare_rad = SWT_RADIANS(8),
        .hip_depth_m = 0.100 * height_m,
        .knee_flexion_rad = SWT_RADIANS(18),
        .pelvis_forward_rad = SWT_RADIANS(20),
        .thorax_forward_rad = SWT_RADIANS(34),
        .thorax_side_rad = SWT_RADIANS(7),
        .shoulder_drop_m = 0.040,
        .marker_radius_m = 0.007,
        .left_handed = false,
    };
    return p;
}

/* Axes of the swing frame as ISB names them for a right-handed player. */
static const swt_mat3 isb = {{{0, 0, -1}, {-1, 0, 0}, {0, 1, 0}}};

static swt_mat3 rotations(int first, double a, int second, double b, int third, double c)
{
    swt_mat3 ra = swt_mat3_about_axis(first, a), rb = swt_mat3_about_axis(second, b);
    swt_mat3 rc = swt_mat3_about_axis(third, c), r = swt_mat3_multiply(&ra, &rb);
    r = swt_mat3_multiply(&r, &rc);
    return swt_mat3_multiply(&isb, &r);
}

/* Y-X-Z: axial rotation, obliquity, tilt (Baker 2001, Hum Mov Sci 20:787). */
static swt_mat3 pelvis_pose(double turn, double forward, double side)
{
    return rotations(1, -turn, 0, side, 2, -forward);
}

/* Z-X-Y: flexion, side bend, axial rotation (Wu 2005). */
static swt_mat3 thorax_pose(double turn, double forward, double side)
{
    return rotations(2, -forward, 0, side, 1, -turn);
}

static double outward(int side)
{
    return side == LEAD ? -1.0 : 1.0; /* ISB Z points right: to the trail side */
}

/* Hip centres by the regression of Harrington et al. 2007 (J Biomech 40:595) on pelvis depth and
   width, so that an analysis that uses it finds the chain's own hips. */
static swt_vec3 hip_in_pelvis(const swt_model_player *p, int side)
{
    double pd = p->pelvis_depth_m, pw = p->asis_width_m;
    return swt_vec3_make(-0.24 * pd - 0.0099, -0.30 * pw - 0.0109,
                         outward(side) * (0.33 * pw + 0.0073));
}

/* Middle joint of two links from a to c; bends towards the pole. NaN when out of reach. */
static swt_vec3 two_links(swt_vec3 *hinge, swt_vec3 a, swt_vec3 c, double l1, double l2,
                          swt_vec3 pole)
{
    swt_vec3 d = swt_sub(c, a);
    double reach = swt_norm(d), along = (l1 * l1 - l2 * l2 + reach * reach) / (2 * reach);
    double off = sqrt(l1 * l1 - along * along);
    swt_vec3 q;

    d = swt_scale(d, 1 / reach);
    q = swt_direction(swt_sub(pole, swt_scale(d, swt_dot(pole, d))));
    *hinge = swt_cross(d, q);
    return swt_add(a, swt_add(swt_scale(d, along), swt_scale(q, off)));
}

swt_vec3 swt_chain_shaft(const chain_base *b, double sweep, double offplane)
{
    swt_vec3 in_plane =
        swt_add(swt_scale(b->plane_up, -cos(sweep)), swt_scale(b->plane_along, -sin(sweep)));
    return swt_add(swt_scale(in_plane, cos(offplane)), swt_scale(b->plane_normal, sin(offplane)));
}

static void place_foot(chain_pose *o, const chain_base *b, int side, double pitch)
{
    const swt_model_player *p = &b->player;
    double flare = side == LEAD ? p->lead_flare_rad : p->trail_flare_rad;
    double turn = side == LEAD ? -flare : flare; /* toes outward */
    swt_mat3 pitched = swt_mat3_about_axis(2, -pitch), yaw = swt_mat3_about_axis(1, -turn), r;

    r = swt_mat3_multiply(&isb, &yaw);
    o->foot[side] = swt_mat3_multiply(&r, &pitched);
    o->foot_o[side] = swt_vec3_make(side == LEAD ? p->stance_m / 2 : -p->stance_m / 2, 0, 0);
    o->ankle[side] = swt_chain_point(o->foot_o[side], &o->foot[side], -0.72 * p->foot_m,
                                     p->ankle_height_m + 0.02, 0);
}

static bool place_legs(chain_pose *o, const chain_base *b)
{
    const swt_model_player *p = &b->player;
    bool reached = true;

    for (int s = LEAD; s <= TRAIL; s++) {
        swt_vec3 toes, ahead = swt_mat3_column(&o->pelvis, 0), hip = hip_in_pelvis(p, s), pole;
        o->hip[s] = swt_chain_point(o->pelvis_o, &o->pelvis, hip.x, hip.y, hip.z);
        toes = swt_mat3_column(&o->foot[s], 0);
        toes.z = ahead.z = 0;
        pole =
            swt_add(swt_direction(toes), swt_scale(swt_direction(ahead), s == TRAIL ? 0.7 : 0.2));
        o->knee[s] =
            two_links(&o->knee_axis[s], o->hip[s], o->ankle[s], p->thigh_m, p->shank_m, pole);
        reached = reached && swt_vec3_is_finite(o->knee[s]);
    }
    return reached;
}

/* How much a length beyond a limit must give: 0 well below, `over` well above, smooth between. */
static double yield(double over_m, double soft_m)
{
    double x = over_m / soft_m;
    return soft_m * (x > 30 ? x : log1p(exp(x)));
}

/* Lowers the pelvis where a leg would have to be longer than it is. */
static void sink_pelvis(chain_pose *o, const chain_base *b)
{
    const swt_model_player *p = &b->player;
    double leg = p->thigh_m + p->shank_m, sink = 0;

    for (int s = LEAD; s <= TRAIL; s++) {
        swt_vec3 hip = hip_in_pelvis(p, s), d;
        d = swt_sub(swt_chain_point(o->pelvis_o, &o->pelvis, hip.x, hip.y, hip.z), o->ankle[s]);
        sink += yield(swt_norm(d) - LEG_SLACK * leg, LEG_SOFT_M) * leg / d.z;
    }
    o->pelvis_o.z -= sink;
}

static void place_pelvis(chain_pose *o, const chain_base *b, const double d[DRIVE_COUNT])
{
    swt_vec3 lead = hip_in_pelvis(&b->player, LEAD), mid;

    o->pelvis = pelvis_pose(d[DRIVE_PELVIS_TURN], d[DRIVE_PELVIS_FORWARD], d[DRIVE_PELVIS_SIDE]);
    mid = swt_rotate(&o->pelvis, swt_vec3_make(lead.x, lead.y, 0));
    o->pelvis_o =
        swt_sub(swt_add(b->hips, swt_vec3_make(d[DRIVE_PELVIS_ALONG], d[DRIVE_PELVIS_DEPTH],
                                               d[DRIVE_PELVIS_HEIGHT])),
                mid);
}

static void place_trunk(chain_pose *o, const chain_base *b, const double d[DRIVE_COUNT])
{
    double h = b->player.height_m;

    o->thorax = thorax_pose(d[DRIVE_THORAX_TURN], d[DRIVE_THORAX_FORWARD], d[DRIVE_THORAX_SIDE]);
    o->thorax_o = swt_chain_point(o->pelvis_o, &o->pelvis, -WAIST_BACK * h, WAIST_UP * h, 0);
    o->head = pelvis_pose(d[DRIVE_HEAD_TURN], d[DRIVE_HEAD_FORWARD], d[DRIVE_HEAD_SIDE]);
    o->head_o = swt_chain_point(o->thorax_o, &o->thorax, 0, NECK_UP * h, 0);
}

/* Brings a shoulder towards a hand that would be out of reach: the girdle gives, smoothly. */
static void give_girdle(chain_pose *o, int side, swt_vec3 wrist, double arm)
{
    swt_vec3 d = swt_sub(wrist, o->shoulder[side]);
    double reach = swt_norm(d), give = yield(reach - GIRDLE_SLACK * arm, GIRDLE_SOFT_M);

    o->girdle_m[side] = give;
    o->shoulder[side] = swt_add(o->shoulder[side], swt_scale(d, give / reach));
}

static swt_vec3 shoulder_in_thorax(const swt_model_player *p, int side, double glide)
{
    return swt_vec3_make(0.8 * glide, SHOULDER_UP * p->height_m,
                         outward(side) * (p->shoulder_half_m - 0.5 * glide));
}

static void place_lead_arm(chain_pose *o, const chain_base *b, const double d[DRIVE_COUNT])
{
    const swt_model_player *p = &b->player;
    double l1 = p->upper_arm_m, l2 = p->forearm_m, e = d[DRIVE_RAISE], a = d[DRIVE_ACROSS];
    double reach = sqrt(l1 * l1 + l2 * l2 + 2 * l1 * l2 * cos(d[DRIVE_LEAD_ELBOW]));
    swt_vec3 s = shoulder_in_thorax(p, LEAD, d[DRIVE_LEAD_SHOULDER]);
    swt_vec3 way = swt_vec3_make(sin(e) * cos(a), -cos(e), sin(e) * sin(a));
    swt_vec3 pole = swt_rotate(&o->thorax, swt_vec3_make(-0.2, -1, -0.6)), hinge;

    o->girdle_m[LEAD] = 0;
    o->shoulder[LEAD] = swt_chain_point(o->thorax_o, &o->thorax, s.x, s.y, s.z);
    o->wrist[LEAD] = swt_add(o->shoulder[LEAD], swt_scale(swt_rotate(&o->thorax, way), reach));
    o->elbow[LEAD] = two_links(&hinge, o->shoulder[LEAD], o->wrist[LEAD], l1, l2, pole);
    o->elbow_axis[LEAD] = swt_scale(hinge, -1);
}

/* Both hands are fixed on the club: the wrists keep their places in the club's frame. The toe
   points out of the plane at the ball and along the sweep well before and after it, so that a
   flat lead wrist stays flat; roll is what differs from that. */
static void place_club(chain_pose *o, const chain_base *b, const double d[DRIVE_COUNT])
{
    const swt_model_player *p = &b->player;
    const double hands[2] = {0.06, 0.06 + 0.085}; /* from the end of the grip */
    double sweep = d[DRIVE_CLUB_SWEEP], off = d[DRIVE_CLUB_OFFPLANE];
    double turn = SWT_PI / 2 * tanh(sweep / ROLL_WIDTH) + d[DRIVE_CLUB_ROLL];
    swt_vec3 c = swt_chain_shaft(b, sweep, off);
    swt_vec3 ahead =
        swt_add(swt_scale(b->plane_up, sin(sweep)), swt_scale(b->plane_along, -cos(sweep)));
    swt_vec3 out = swt_cross(ahead, c);

    o->club_c = c;
    o->club_u = swt_add(swt_scale(out, cos(turn)), swt_scale(ahead, sin(turn)));
    o->club_v = swt_cross(c, o->club_u);
    for (int s = LEAD; s <= TRAIL; s++) {
        swt_vec3 to_hand = swt_add(swt_scale(c, p->hand_m * cos(GRIP_ANGLE)),
                                   swt_scale(o->club_u, -p->hand_m * sin(GRIP_ANGLE)));
        swt_vec3 aside = swt_scale(o->club_v, s == LEAD ? -0.02 : 0.02);
        if (s == LEAD) {
            o->hand[s] = swt_add(o->wrist[s], to_hand);
            o->butt = swt_sub(swt_sub(o->hand[s], aside), swt_scale(c, hands[s]));
        } else {
            o->hand[s] = swt_add(swt_add(o->butt, aside), swt_scale(c, hands[s]));
            o->wrist[s] = swt_sub(o->hand[s], to_hand);
        }
    }
    o->club_head = swt_add(o->butt, swt_scale(c, b->club_length_m));
}

static void place_trail_arm(chain_pose *o, const chain_base *b)
{
    const swt_model_player *p = &b->player;
    swt_vec3 s = shoulder_in_thorax(p, TRAIL, TRAIL_GLIDE_M);
    swt_vec3 pole = swt_rotate(&o->thorax, swt_vec3_make(-0.3, -1, 0.3)), hinge;

    o->shoulder[TRAIL] = swt_chain_point(o->thorax_o, &o->thorax, s.x, s.y, s.z);
    give_girdle(o, TRAIL, o->wrist[TRAIL], p->upper_arm_m + p->forearm_m);
    o->elbow[TRAIL] =
        two_links(&hinge, o->shoulder[TRAIL], o->wrist[TRAIL], p->upper_arm_m, p->forearm_m, pole);
    o->elbow_axis[TRAIL] = swt_scale(hinge, -1);
}

bool swt_chain_solve(chain_pose *o, const chain_base *b, const double drive[DRIVE_COUNT])
{
    place_foot(o, b, LEAD, 0);
    place_foot(o, b, TRAIL, drive[DRIVE_TRAIL_HEEL]);
    place_pelvis(o, b, drive);
    sink_pelvis(o, b);
    place_trunk(o, b, drive);
    place_lead_arm(o, b, drive);
    place_club(o, b, drive);
    place_trail_arm(o, b);
    return place_legs(o, b) && swt_vec3_is_finite(o->elbow[TRAIL]);
}

void swt_chain_base_init(chain_base *b, const swt_model_player *player, double club_length_m,
                         double slope, const double drive[DRIVE_COUNT])
{
    chain_pose o;
    double l1 = player->thigh_m, l2 = player->shank_m;
    double reach2 = l1 * l1 + l2 * l2 + 2 * l1 * l2 * cos(player->knee_flexion_rad);
    swt_vec3 off;

    *b = (chain_base){.player = *player, .club_length_m = club_length_m};
    b->plane_along = swt_vec3_make(1, 0, 0);
    b->plane_up = swt_vec3_make(0, cos(slope), sin(slope));
    b->plane_normal = swt_cross(b->plane_along, b->plane_up);
    b->hips = swt_vec3_make(0, player->hip_depth_m, 0);
    place_pelvis(&o, b, drive);
    place_foot(&o, b, LEAD, 0);
    off = hip_in_pelvis(player, LEAD);
    off = swt_sub(swt_chain_point(o.pelvis_o, &o.pelvis, off.x, off.y, off.z), o.ankle[LEAD]);
    b->hips.z =
        o.ankle[LEAD].z + sqrt(reach2 - off.x * off.x - off.y * off.y) - (off.z + o.ankle[LEAD].z);
}
