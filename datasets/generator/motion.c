#include "datasets/generator/motion.h"

#include <math.h>
#include <stdlib.h>

#define STENCIL_S 2e-5
#define CONTACT_S 1e-9 /* up to here an instant counts as before contact */
#define LEDGER_STEP_S 0.002

/* Five-point first derivatives: central; and from one side only next to contact, where the club's
   velocity jumps. Weights over 12 h. */
typedef struct stencil {
    double step[5], weight[5];
} stencil;
static const stencil central = {{-2, -1, 0, 1, 2}, {1, -8, 0, 8, -1}};
static const stencil earlier = {{-4, -3, -2, -1, 0}, {3, -16, 36, -48, 25}};
static const stencil later = {{0, 1, 2, 3, 4}, {-25, 48, -36, 16, -3}};

static const stencil *choose_stencil(const swt_plan *plan, double t)
{
    double since = t - plan->time_s[SWT_AT_IMPACT];
    if (plan->lost_rad_s == 0 || fabs(since) > 2 * STENCIL_S)
        return &central;
    return since <= CONTACT_S ? &earlier : &later;
}

static swt_vec3 slope(const stencil *s, const swt_vec3 near[5])
{
    swt_vec3 sum = {0, 0, 0};
    for (int i = 0; i < 5; i++)
        sum = swt_add(sum, swt_scale(near[i], s->weight[i] / (12 * STENCIL_S)));
    return sum;
}

/* Angular velocity from the skew part of R' R^T. */
static swt_vec3 spin(const stencil *s, const swt_mat3 *r, const swt_mat3 near[5])
{
    swt_mat3 rate = {{{0}}}, back = swt_mat3_transpose(r), skew;
    for (int k = 0; k < 5; k++)
        for (int i = 0; i < 3; i++)
            for (int j = 0; j < 3; j++)
                rate.m[i][j] += near[k].m[i][j] * s->weight[k] / (12 * STENCIL_S);
    skew = swt_mat3_multiply(&rate, &back);
    return swt_vec3_make(0.5 * (skew.m[2][1] - skew.m[1][2]), 0.5 * (skew.m[0][2] - skew.m[2][0]),
                         0.5 * (skew.m[1][0] - skew.m[0][1]));
}

static swt_vec3 mid_hands(const chain_pose *o)
{
    return swt_mid(o->hand[LEAD], o->hand[TRAIL]);
}

static swt_vec3 arm_way(const chain_pose *o)
{
    return swt_direction(swt_sub(o->wrist[LEAD], o->shoulder[LEAD]));
}

void swt_motion_at(swt_motion *m, const swt_plan *plan, double t)
{
    const stencil *s = choose_stencil(plan, t);
    swt_mat3 pelvis[5], thorax[5];
    swt_vec3 hands[5], head[5], pelvis_o[5], thorax_o[5], arm[5], shaft[5];

    swt_plan_pose(&m->pose, plan, t);
    for (int i = 0; i < 5; i++) {
        chain_pose o;
        swt_plan_pose(&o, plan, t + s->step[i] * STENCIL_S);
        pelvis[i] = o.pelvis;
        thorax[i] = o.thorax;
        pelvis_o[i] = o.pelvis_o;
        thorax_o[i] = o.thorax_o;
        hands[i] = mid_hands(&o);
        head[i] = o.club_head;
        arm[i] = arm_way(&o);
        shaft[i] = o.club_c;
    }
    m->hands = mid_hands(&m->pose);
    m->hands_v = slope(s, hands);
    m->head_v = slope(s, head);
    m->pelvis_v = slope(s, pelvis_o);
    m->thorax_v = slope(s, thorax_o);
    m->pelvis_w = spin(s, &m->pose.pelvis, pelvis);
    m->thorax_w = spin(s, &m->pose.thorax, thorax);
    m->arm_w = swt_cross(arm_way(&m->pose), slope(s, arm));
    m->club_w = swt_cross(m->pose.club_c, slope(s, shaft));
}

/* MEASURES section 6: what the pelvis carries, what the thorax adds, what the arms add. */
static void add_carried(double sum[3][3], const swt_plan *plan, double t, double weight)
{
    swt_motion m;
    swt_vec3 part[3];

    swt_motion_at(&m, plan, t);
    part[0] = swt_add(m.pelvis_v, swt_cross(m.pelvis_w, swt_sub(m.hands, m.pose.pelvis_o)));
    part[1] = swt_sub(swt_add(m.thorax_v, swt_cross(m.thorax_w, swt_sub(m.hands, m.pose.thorax_o))),
                      part[0]);
    part[2] = swt_sub(swt_sub(m.hands_v, part[0]), part[1]);
    for (int k = 0; k < 3; k++) {
        sum[k][0] += weight * part[k].x;
        sum[k][1] += weight * part[k].y;
        sum[k][2] += weight * part[k].z;
    }
}

/* Three-point Gauss-Legendre over one short interval. */
static void add_smooth(double sum[3][3], const swt_plan *plan, double from, double to)
{
    double h = 0.5 * (to - from), c = 0.5 * (to + from), d = h * sqrt(0.6);

    add_carried(sum, plan, c - d, h * 5 / 9);
    add_carried(sum, plan, c, h * 8 / 9);
    add_carried(sum, plan, c + d, h * 5 / 9);
}

/* The same in two parts where contact lies within. */
static void add_interval(double sum[3][3], const swt_plan *plan, double from, double to)
{
    double contact = plan->time_s[SWT_AT_IMPACT];

    if (from < contact && contact < to) {
        add_smooth(sum, plan, from, contact);
        from = contact;
    }
    add_smooth(sum, plan, from, to);
}

swt_status swt_ledger_make(swt_ledger *l, const swt_plan *plan, double start_s, double end_s,
                           swt_error *err)
{
    *l = (swt_ledger){.start_s = start_s, .step_s = LEDGER_STEP_S};
    l->n = (size_t)((end_s - start_s) / LEDGER_STEP_S) + 2;
    l->sum = calloc(l->n, sizeof *l->sum);
    if (!l->sum)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 1; i < l->n; i++) {
        for (int k = 0; k < 9; k++)
            l->sum[i][k / 3][k % 3] = l->sum[i - 1][k / 3][k % 3];
        add_interval(l->sum[i], plan, start_s + (double)(i - 1) * l->step_s,
                     start_s + (double)i * l->step_s);
    }
    return SWT_OK;
}

void swt_ledger_reset(swt_ledger *l)
{
    free(l->sum);
    *l = (swt_ledger){0};
}

static void ledger_at(double sum[3][3], const swt_ledger *l, const swt_plan *plan, double t)
{
    size_t i = (size_t)((t - l->start_s) / l->step_s);

    if (i >= l->n)
        i = l->n - 1;
    for (int k = 0; k < 9; k++)
        sum[k / 3][k % 3] = l->sum[i][k / 3][k % 3];
    add_interval(sum, plan, l->start_s + (double)i * l->step_s, t);
}

static double elevation(swt_vec3 d)
{
    return asin(swt_direction(d).z);
}

static double angle_between(swt_vec3 a, swt_vec3 b)
{
    return atan2(swt_norm(swt_cross(a, b)), swt_dot(a, b));
}

static double flexion(swt_vec3 a, swt_vec3 b, swt_vec3 c)
{
    return angle_between(swt_sub(b, a), swt_sub(c, b));
}

/* Turn of the medio-lateral axis seen from above, positive away from the target. */
static double projected(const swt_mat3 *pose)
{
    swt_vec3 z = swt_mat3_column(pose, 2);
    return -atan2(-z.y, -z.x);
}

static double wrapped(double angle)
{
    return remainder(angle, 2 * SWT_PI);
}

static double joint_axial(const swt_mat3 *pelvis, const swt_mat3 *thorax)
{
    swt_mat3 back = swt_mat3_transpose(pelvis), r = swt_mat3_multiply(&back, thorax);
    return -atan2(-r.m[2][0], r.m[2][2]); /* Z-X-Y */
}

static void fill_trunk(double *v, const swt_plan *plan, const swt_motion *m, double t)
{
    double now[DRIVE_COUNT], address[DRIVE_COUNT];
    const chain_pose *o = &m->pose;
    chain_pose first;

    swt_plan_drive(now, plan, t);
    swt_plan_drive(address, plan, plan->onset_s);
    swt_plan_pose(&first, plan, plan->onset_s);
    v[SWT_TRUE_PELVIS_TURN] = now[DRIVE_PELVIS_TURN] - address[DRIVE_PELVIS_TURN];
    v[SWT_TRUE_PELVIS_FORWARD] = now[DRIVE_PELVIS_FORWARD];
    v[SWT_TRUE_PELVIS_SIDE] = now[DRIVE_PELVIS_SIDE];
    v[SWT_TRUE_THORAX_TURN] = now[DRIVE_THORAX_TURN] - address[DRIVE_THORAX_TURN];
    v[SWT_TRUE_THORAX_FORWARD] = now[DRIVE_THORAX_FORWARD];
    v[SWT_TRUE_THORAX_SIDE] = now[DRIVE_THORAX_SIDE];
    v[SWT_TRUE_PELVIS_PROJECTED] = wrapped(projected(&o->pelvis) - projected(&first.pelvis));
    v[SWT_TRUE_THORAX_PROJECTED] = wrapped(projected(&o->thorax) - projected(&first.thorax));
    v[SWT_TRUE_SEPARATION_JOINT] =
        wrapped(joint_axial(&o->pelvis, &o->thorax) - joint_axial(&first.pelvis, &first.thorax));
    v[SWT_TRUE_SEPARATION_PROJECTED] =
        wrapped(v[SWT_TRUE_THORAX_PROJECTED] - v[SWT_TRUE_PELVIS_PROJECTED]);
    v[SWT_TRUE_PELVIS_SPEED] = swt_dot(m->pelvis_w, swt_mat3_column(&o->pelvis, 1));
    v[SWT_TRUE_THORAX_SPEED] = swt_dot(m->thorax_w, swt_mat3_column(&o->thorax, 1));
}

static void fill_limbs(double *v, const swt_motion *m)
{
    const chain_pose *o = &m->pose;
    swt_vec3 arm = swt_sub(o->wrist[LEAD], o->shoulder[LEAD]);
    swt_mat3 to_thorax = swt_mat3_transpose(&o->thorax);
    swt_vec3 upper = swt_rotate(&to_thorax, swt_sub(o->elbow[LEAD], o->shoulder[LEAD]));

    v[SWT_TRUE_LEAD_ARM] = elevation(arm);
    v[SWT_TRUE_LEAD_ARM_PLUMB] = atan2(arm.y, -arm.z);
    v[SWT_TRUE_ACROSS_CHEST] = atan2(upper.z, upper.x);
    v[SWT_TRUE_SHAFT] = elevation(o->club_c);
    v[SWT_TRUE_WRIST_SET] = angle_between(swt_sub(o->wrist[LEAD], o->elbow[LEAD]), o->club_c);
    v[SWT_TRUE_LEAD_ELBOW] = flexion(o->shoulder[LEAD], o->elbow[LEAD], o->wrist[LEAD]);
    v[SWT_TRUE_TRAIL_ELBOW] = flexion(o->shoulder[TRAIL], o->elbow[TRAIL], o->wrist[TRAIL]);
    v[SWT_TRUE_LEAD_KNEE] = flexion(o->hip[LEAD], o->knee[LEAD], o->ankle[LEAD]);
    v[SWT_TRUE_TRAIL_KNEE] = flexion(o->hip[TRAIL], o->knee[TRAIL], o->ankle[TRAIL]);
    v[SWT_TRUE_ARM_SPEED] = swt_norm(m->arm_w);
    v[SWT_TRUE_CLUB_SPEED] = swt_norm(m->club_w);
    v[SWT_TRUE_HAND_SPEED] = swt_norm(m->hands_v);
    v[SWT_TRUE_HEAD_SPEED] = swt_norm(m->head_v);
}

void swt_motion_values(double v[SWT_TRUE_SERIES], const swt_plan *plan, const swt_ledger *ledger,
                       double t)
{
    swt_motion m;
    double sum[3][3] = {{0}};
    bool carried = isfinite(t) && t >= ledger->start_s;

    for (int i = 0; i < SWT_TRUE_SERIES; i++)
        v[i] = nan("");
    if (!isfinite(t))
        return;
    swt_motion_at(&m, plan, t);
    v[SWT_TRUE_HANDS_ALONG] = m.hands.x;
    v[SWT_TRUE_HANDS_DEPTH] = m.hands.y;
    v[SWT_TRUE_HANDS_HEIGHT] = m.hands.z;
    fill_trunk(v, plan, &m, t);
    fill_limbs(v, &m);
    if (!carried)
        return;
    ledger_at(sum, ledger, plan, t);
    for (int k = 0; k < 3; k++) {
        v[SWT_TRUE_LEDGER_PELVIS_DEPTH + k] = sum[k][1];
        v[SWT_TRUE_LEDGER_PELVIS_HEIGHT + k] = sum[k][2];
    }
}
