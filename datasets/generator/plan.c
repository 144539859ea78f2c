#include "datasets/generator/plan.h"

#include <gsl/gsl_multiroots.h>
#include <gsl/gsl_vector.h>
#include <math.h>
#include <stddef.h>

#define WAGGLE_S 0.8
#define RECOVERY_S 0.02
#define LONGEST_S 60.0
#define WIDEST 10 /* steps of 2 deg by which the wrist set at impact may be widened */
#define FREE nan("")

/* Which member of a posture is which drive; the shaft's sweep is solved, not read, where the
   posture gives the wrist set instead. */
static const size_t member[DRIVE_COUNT] = {
    [DRIVE_PELVIS_ALONG] = offsetof(swt_model_posture, pelvis_along_m),
    [DRIVE_PELVIS_DEPTH] = offsetof(swt_model_posture, pelvis_depth_m),
    [DRIVE_PELVIS_HEIGHT] = offsetof(swt_model_posture, pelvis_height_m),
    [DRIVE_PELVIS_TURN] = offsetof(swt_model_posture, pelvis_turn_rad),
    [DRIVE_PELVIS_FORWARD] = offsetof(swt_model_posture, pelvis_forward_rad),
    [DRIVE_PELVIS_SIDE] = offsetof(swt_model_posture, pelvis_side_rad),
    [DRIVE_THORAX_TURN] = offsetof(swt_model_posture, thorax_turn_rad),
    [DRIVE_THORAX_FORWARD] = offsetof(swt_model_posture, thorax_forward_rad),
    [DRIVE_THORAX_SIDE] = offsetof(swt_model_posture, thorax_side_rad),
    [DRIVE_HEAD_TURN] = offsetof(swt_model_posture, head_turn_rad),
    [DRIVE_HEAD_FORWARD] = offsetof(swt_model_posture, head_forward_rad),
    [DRIVE_HEAD_SIDE] = offsetof(swt_model_posture, head_side_rad),
    [DRIVE_LEAD_SHOULDER] = offsetof(swt_model_posture, shoulder_glide_m),
    [DRIVE_RAISE] = offsetof(swt_model_posture, raise_rad),
    [DRIVE_ACROSS] = offsetof(swt_model_posture, across_rad),
    [DRIVE_LEAD_ELBOW] = offsetof(swt_model_posture, lead_elbow_rad),
    [DRIVE_CLUB_SWEEP] = offsetof(swt_model_posture, sweep_rad),
    [DRIVE_CLUB_OFFPLANE] = offsetof(swt_model_posture, offplane_rad),
    [DRIVE_CLUB_ROLL] = offsetof(swt_model_posture, roll_rad),
    [DRIVE_TRAIL_HEEL] = offsetof(swt_model_posture, trail_heel_rad),
};

static const char *const position_name[SWT_MODEL_POSITIONS] = {
    "address", "shaft level up",      "lead arm level up",
    "top",     "lead arm level down", "shaft level down",
    "impact",  "shaft level through", "follow-through",
    "finish"};

static bool in_first_fit(int drive)
{
    return drive != DRIVE_RAISE && drive != DRIVE_CLUB_SWEEP && drive != DRIVE_CLUB_OFFPLANE &&
           drive != DRIVE_CLUB_ROLL;
}

static double knot_time(const swt_plan *plan, const swt_model_swing *s, int drive, int position)
{
    double t = plan->time_s[position];
    if (position == SWT_AT_TOP && drive == DRIVE_PELVIS_TURN)
        return t - s->pelvis_lead_s;
    if (position == SWT_AT_TOP && drive == DRIVE_THORAX_TURN)
        return t - s->thorax_lead_s;
    if (position == SWT_AT_TOP && (drive == DRIVE_RAISE || drive == DRIVE_ACROSS))
        return t - s->hands_lead_s;
    return t;
}

static double knot_velocity(const swt_model_swing *s, int drive, int position)
{
    if (position == SWT_AT_TOP && (s->pause_s > 0 || drive == DRIVE_PELVIS_TURN ||
                                   drive == DRIVE_THORAX_TURN || drive == DRIVE_CLUB_SWEEP))
        return 0;
    if (position == SWT_AT_IMPACT && drive == DRIVE_PELVIS_TURN)
        return -s->pelvis_speed_rad_s;
    if (position == SWT_AT_IMPACT && drive == DRIVE_THORAX_TURN)
        return -s->thorax_speed_rad_s;
    return FREE;
}

static swt_status fit_drive(swt_plan *plan, const swt_model_swing *s, int drive, swt_error *err)
{
    swt_curve *c = &plan->curve[drive];
    swt_status rc = SWT_OK;

    c->n = 0;
    for (int p = 0; p < SWT_MODEL_POSITIONS && rc == SWT_OK; p++) {
        double value = plan->knot[p][drive], t = knot_time(plan, s, drive, p);
        if (isnan(value))
            continue;
        rc = swt_curve_add(c, t, value, knot_velocity(s, drive, p), err);
        if (rc == SWT_OK && p == SWT_AT_TOP && s->pause_s > 0)
            rc = swt_curve_add(c, t + s->pause_s, value, 0, err);
    }
    return rc == SWT_OK ? swt_curve_fit(c, err) : rc;
}

static swt_status fit_all(swt_plan *plan, const swt_model_swing *s, bool first, swt_error *err)
{
    swt_status rc = SWT_OK;
    for (int d = 0; d < DRIVE_COUNT && rc == SWT_OK; d++)
        if (in_first_fit(d) == first)
            rc = fit_drive(plan, s, d, err);
    return rc;
}

static double waggle(const swt_plan *plan, double t)
{
    double w;
    if (plan->waggle_rad == 0 || t >= WAGGLE_S || t <= 0)
        return 0;
    w = sin(SWT_PI * t / WAGGLE_S);
    return plan->waggle_rad * w * w * w * w * sin(4 * SWT_PI * t / WAGGLE_S);
}

/* Contact takes speed from the club at once; it is back on its way some hundredths later. */
static double slowed(const swt_plan *plan, double t)
{
    double since = t - plan->time_s[SWT_AT_IMPACT];
    return since > 0 ? -plan->lost_rad_s * since * exp(-since / RECOVERY_S) : 0;
}

/* Sweep rate of the fitted curve at impact. */
static double sweep_rate_at_impact(const swt_plan *plan)
{
    const swt_curve *c = &plan->curve[DRIVE_CLUB_SWEEP];
    for (size_t i = 0; i < c->n; i++)
        if (c->time_s[i] == plan->time_s[SWT_AT_IMPACT])
            return c->velocity[i];
    return 0;
}

void swt_plan_drive(double drive[DRIVE_COUNT], const swt_plan *plan, double t)
{
    for (int d = 0; d < DRIVE_COUNT; d++)
        drive[d] = swt_curve_value(&plan->curve[d], t);
    drive[DRIVE_CLUB_SWEEP] += waggle(plan, t) + slowed(plan, t);
}

bool swt_plan_pose(chain_pose *pose, const swt_plan *plan, double t)
{
    double drive[DRIVE_COUNT];
    swt_plan_drive(drive, plan, t);
    return swt_chain_solve(pose, &plan->base, drive);
}

/* Values of the chain at a position before the second fit: curves where they exist, else knots. */
static void drive_at_position(double drive[DRIVE_COUNT], const swt_plan *plan, int position)
{
    for (int d = 0; d < DRIVE_COUNT; d++)
        drive[d] = in_first_fit(d) ? swt_curve_value(&plan->curve[d], plan->time_s[position])
                                   : plan->knot[position][d];
}

/* --- address and impact: the club head must be where the ball is, the face must look along --- */

enum { UNKNOWN_MOST = 5 };

static double wrist_set(const chain_pose *o)
{
    return acos(swt_dot(swt_direction(swt_sub(o->wrist[LEAD], o->elbow[LEAD])), o->club_c));
}

typedef struct goal {
    swt_plan *plan;
    double drive[DRIVE_COUNT];
    size_t n;
    int unknown[UNKNOWN_MOST];
    swt_vec3 head;
    bool at_impact; /* at address the head's depth and the wrist set follow from the posture */
    double set_rad;
} goal;

static int miss(const gsl_vector *x, void *data, gsl_vector *f)
{
    goal *g = data;
    chain_pose o;
    size_t k = 0;

    for (size_t i = 0; i < g->n; i++)
        g->drive[g->unknown[i]] = gsl_vector_get(x, i);
    swt_chain_solve(&o, &g->plan->base, g->drive);
    gsl_vector_set(f, k++, o.club_head.x - g->head.x);
    gsl_vector_set(f, k++, o.club_head.z - g->head.z);
    gsl_vector_set(f, k++, o.club_v.y);
    if (g->at_impact) {
        gsl_vector_set(f, k++, o.club_head.y - g->head.y);
        gsl_vector_set(f, k++, wrist_set(&o) - g->set_rad);
    }
    return GSL_SUCCESS;
}

static double largest(const gsl_vector *f)
{
    double worst = 0;
    for (size_t i = 0; i < f->size; i++)
        worst = fmax(worst, fabs(gsl_vector_get(f, i)));
    return worst;
}

static swt_status solve_goal(goal *g, int position, swt_error *err)
{
    gsl_multiroot_function system = {miss, g->n, g};
    gsl_multiroot_fsolver *solver =
        gsl_multiroot_fsolver_alloc(gsl_multiroot_fsolver_hybrids, g->n);
    gsl_vector *x = gsl_vector_alloc(g->n);
    double worst = 1;
    swt_status rc = SWT_OK;

    if (!solver || !x) {
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
        goto done;
    }
    for (size_t i = 0; i < g->n; i++)
        gsl_vector_set(x, i, g->drive[g->unknown[i]]);
    for (int start = 0; start < 6 && worst > 1e-12; start++) { /* a fresh Jacobian when stuck */
        gsl_multiroot_fsolver_set(solver, &system, x);
        for (int turn = 0; turn < 100 && worst > 1e-12; turn++) {
            int stuck = gsl_multiroot_fsolver_iterate(solver);
            worst = largest(solver->f);
            if (stuck)
                break;
        }
        gsl_vector_memcpy(x, solver->x);
    }
    if (!(worst < 1e-10)) {
        rc = swt_fail(err, SWT_ENUM,
                      "the club head cannot be brought to the ball at %s (%.3g mm off): change the "
                      "posture or the club's length",
                      position_name[position], 1000 * worst);
        goto done;
    }
    for (size_t i = 0; i < g->n; i++)
        g->plan->knot[position][g->unknown[i]] = gsl_vector_get(solver->x, i);
done:
    gsl_vector_free(x);
    if (solver)
        gsl_multiroot_fsolver_free(solver);
    return rc;
}

static swt_status solve_address(swt_plan *plan, const swt_model_swing *s, swt_error *err)
{
    goal g = {.plan = plan,
              .n = 3,
              .unknown = {DRIVE_CLUB_SWEEP, DRIVE_CLUB_OFFPLANE, DRIVE_CLUB_ROLL},
              .head = {s->ball_along_m, 0, s->head_height_m}};
    chain_pose o;
    swt_status rc;

    drive_at_position(g.drive, plan, SWT_AT_ADDRESS);
    g.drive[DRIVE_CLUB_SWEEP] = g.drive[DRIVE_CLUB_OFFPLANE] = g.drive[DRIVE_CLUB_ROLL] = 0;
    rc = solve_goal(&g, SWT_AT_ADDRESS, err);
    if (rc != SWT_OK)
        return rc;
    drive_at_position(g.drive, plan, SWT_AT_ADDRESS);
    swt_chain_solve(&o, &plan->base, g.drive);
    plan->head_at_address = o.club_head;
    return SWT_OK;
}

/* The trunk leans as far as it must for the head to be at the ball with this wrist set. Where the
   arm cannot lie as far across the chest as the posture says, the set is widened in small steps:
   wrist positions lie on a circle about the line from shoulder to head, wider with the set. */
static swt_status solve_impact(swt_plan *plan, const swt_model_swing *s, swt_error *err)
{
    static const int unknown[] = {DRIVE_CLUB_SWEEP, DRIVE_CLUB_OFFPLANE, DRIVE_CLUB_ROLL,
                                  DRIVE_RAISE, DRIVE_THORAX_FORWARD};
    swt_status rc = SWT_ENUM;

    for (int step = 0; step <= WIDEST && rc == SWT_ENUM; step++) {
        goal g = {.plan = plan,
                  .n = sizeof unknown / sizeof *unknown,
                  .head = plan->head_at_address,
                  .at_impact = true,
                  .set_rad = s->at[SWT_AT_IMPACT].wrist_set_rad + step * SWT_RADIANS(2)};
        drive_at_position(g.drive, plan, SWT_AT_IMPACT);
        for (size_t i = 0; i < g.n; i++) { /* start from address */
            g.unknown[i] = unknown[i];
            g.drive[unknown[i]] = plan->knot[SWT_AT_ADDRESS][unknown[i]];
        }
        rc = solve_goal(&g, SWT_AT_IMPACT, step == WIDEST ? err : NULL);
    }
    if (rc == SWT_ENOMEM)
        return swt_fail(err, rc, "out of memory");
    return rc;
}

/* --- the other positions: shaft level, or the wrist set that the posture asks for --- */

static double set_at(const swt_plan *plan, const double drive[DRIVE_COUNT], double sweep)
{
    double d[DRIVE_COUNT];
    chain_pose o;

    for (int i = 0; i < DRIVE_COUNT; i++)
        d[i] = drive[i];
    d[DRIVE_CLUB_SWEEP] = sweep;
    swt_chain_solve(&o, &plan->base, d);
    return wrist_set(&o);
}

static swt_status solve_set(swt_plan *plan, int position, double set, swt_error *err)
{
    double drive[DRIVE_COUNT], low = SWT_RADIANS(100), high, step = SWT_RADIANS(2);

    drive_at_position(drive, plan, position);
    while (low < SWT_RADIANS(320) && set_at(plan, drive, low) >= set)
        low += step; /* past a region where the set is already greater on the near side */
    for (high = low; high < SWT_RADIANS(320) && set_at(plan, drive, high) < set; high += step)
        low = high;
    if (high >= SWT_RADIANS(320) || high == low)
        return swt_fail(err, SWT_ENUM, "no shaft direction has a wrist set of %.0f deg at %s",
                        SWT_DEGREES(set), position_name[position]);
    for (int i = 0; i < 60; i++) {
        double middle = 0.5 * (low + high);
        if (set_at(plan, drive, middle) < set)
            low = middle;
        else
            high = middle;
    }
    plan->knot[position][DRIVE_CLUB_SWEEP] = 0.5 * (low + high);
    return SWT_OK;
}

/* Sweep at which a shaft with this off-plane angle is level: cos(sweep) = tan(off) / tan(slope). */
static double level_sweep(double slope, double offplane, double sign)
{
    return sign * acos(tan(offplane) / tan(slope));
}

static swt_status solve_sweeps(swt_plan *plan, const swt_model_swing *s, swt_error *err)
{
    static const int with_set[] = {SWT_AT_ARM_UP, SWT_AT_TOP, SWT_AT_ARM_DOWN};
    static const int level[] = {SWT_AT_SHAFT_UP, SWT_AT_SHAFT_DOWN, SWT_AT_SHAFT_THROUGH};
    swt_status rc = SWT_OK;

    for (size_t i = 0; i < sizeof level / sizeof *level; i++)
        plan->knot[level[i]][DRIVE_CLUB_SWEEP] =
            level_sweep(s->plane_slope_rad, plan->knot[level[i]][DRIVE_CLUB_OFFPLANE],
                        level[i] == SWT_AT_SHAFT_THROUGH ? -1 : 1);
    for (size_t i = 0; i < sizeof with_set / sizeof *with_set && rc == SWT_OK; i++)
        rc = solve_set(plan, with_set[i], s->at[with_set[i]].wrist_set_rad, err);
    return rc;
}

/* A shorter shot goes the same way back and turns round earlier; it is released over a longer
   time, and through the ball it opens and finishes in proportion. */
static void shorten(swt_plan *plan, swt_model_swing *s, double *shaft_up_s, double *arm_up_s)
{
    double *t = plan->time_s, drive[DRIVE_COUNT], part = 0.5 + 0.5 * s->shot;
    double half = t[SWT_AT_SHAFT_UP] + 0.62 * (t[SWT_AT_ARM_UP] - t[SWT_AT_SHAFT_UP]);
    double most = t[SWT_AT_ARM_UP] + 0.30 * (t[SWT_AT_TOP] - t[SWT_AT_ARM_UP]);
    double turns_s = s->shot < 0.75 ? half + (most - half) * (s->shot - 0.5) / 0.25
                                    : most + (t[SWT_AT_TOP] - most) * (s->shot - 0.75) / 0.25;
    double slower = 1 + 0.5 * (1 - s->shot);
    double stop_s = fmin(0.09, t[SWT_AT_TOP] - turns_s); /* to come to rest */

    swt_plan_drive(drive, plan, turns_s);
    for (int d = 0; d < DRIVE_COUNT; d++) {
        plan->knot[SWT_AT_TOP][d] = drive[d];
        if (turns_s < t[SWT_AT_ARM_UP] + 0.02)
            plan->knot[SWT_AT_ARM_UP][d] = FREE;
        plan->knot[SWT_AT_ARM_DOWN][d] = FREE;
    }
    for (int p = SWT_AT_IMPACT; p <= SWT_AT_FINISH; p++) {
        plan->knot[p][DRIVE_PELVIS_TURN] *= part;
        plan->knot[p][DRIVE_THORAX_TURN] *= part;
    }
    plan->knot[SWT_AT_WRAP][DRIVE_CLUB_SWEEP] *= part;
    plan->knot[SWT_AT_FINISH][DRIVE_CLUB_SWEEP] *= part;
    s->backswing_s = slower * (turns_s - plan->onset_s) + stop_s;
    *shaft_up_s *= slower;
    *arm_up_s *= slower;
    s->release_s /= 0.4 + 0.6 * s->shot;
    s->through_s /= 0.4 + 0.6 * s->shot;
    s->pelvis_speed_rad_s *= part;
    s->thorax_speed_rad_s *= part;
}

static void set_times(swt_plan *plan, const swt_model_swing *s, double shaft_up_s, double arm_up_s)
{
    double *t = plan->time_s, impact;

    plan->onset_s = s->quiet_s + (s->waggle_rad != 0 ? WAGGLE_S : 0);
    plan->waggle_rad = s->waggle_rad;
    impact = plan->onset_s + s->backswing_s + s->pause_s + s->downswing_s;
    t[SWT_AT_ADDRESS] = plan->onset_s;
    t[SWT_AT_SHAFT_UP] = plan->onset_s + shaft_up_s;
    t[SWT_AT_ARM_UP] = plan->onset_s + arm_up_s;
    t[SWT_AT_TOP] = plan->onset_s + s->backswing_s;
    t[SWT_AT_ARM_DOWN] = impact - s->arm_down_s;
    t[SWT_AT_SHAFT_DOWN] = impact - s->release_s;
    t[SWT_AT_IMPACT] = impact;
    t[SWT_AT_SHAFT_THROUGH] = impact + s->through_s;
    t[SWT_AT_WRAP] = impact + s->wrap_s;
    t[SWT_AT_FINISH] = impact + s->finish_s;
    plan->duration_s = t[SWT_AT_FINISH] + s->hold_s;
}

static void read_postures(swt_plan *plan, const swt_model_player *p, const swt_model_swing *s)
{
    for (int k = 0; k < SWT_MODEL_POSITIONS; k++)
        for (int d = 0; d < DRIVE_COUNT; d++)
            plan->knot[k][d] = *(const double *)((const char *)&s->at[k] + member[d]);
    plan->knot[SWT_AT_ADDRESS][DRIVE_PELVIS_FORWARD] = p->pelvis_forward_rad;
    plan->knot[SWT_AT_ADDRESS][DRIVE_THORAX_FORWARD] = p->thorax_forward_rad;
    plan->knot[SWT_AT_ADDRESS][DRIVE_THORAX_SIDE] = p->thorax_side_rad;
}

static swt_status check_reach(const swt_plan *plan, swt_error *err)
{
    for (double t = 0; t <= plan->duration_s; t += 0.01) {
        chain_pose o;
        if (!swt_plan_pose(&o, plan, t))
            return swt_fail(err, SWT_ENUM,
                            "a leg cannot reach its foot at %.2f s: the pelvis moves "
                            "too far for the legs' length",
                            t);
    }
    return SWT_OK;
}

swt_status swt_plan_make(swt_plan *plan, const swt_model_player *player,
                         const swt_model_swing *swing, swt_error *err)
{
    swt_model_swing s = *swing;
    double shaft_up_s = s.shaft_up_part * s.backswing_s, arm_up_s = s.arm_up_part * s.backswing_s;
    swt_status rc;

    *plan = (swt_plan){0};
    set_times(plan, &s, shaft_up_s, arm_up_s);
    if (!(plan->duration_s <= LONGEST_S))
        return swt_fail(err, SWT_EARG, "the swing would last %g s, more than %g s",
                        plan->duration_s, LONGEST_S);
    read_postures(plan, player, &s);
    swt_chain_base_init(&plan->base, player, s.club_length_m, s.plane_slope_rad,
                        plan->knot[SWT_AT_ADDRESS]);
    if ((rc = fit_all(plan, &s, true, err)) != SWT_OK ||
        (rc = solve_address(plan, &s, err)) != SWT_OK ||
        (rc = solve_impact(plan, &s, err)) != SWT_OK ||
        (rc = fit_all(plan, &s, true, err)) != SWT_OK ||
        (rc = solve_sweeps(plan, &s, err)) != SWT_OK ||
        (rc = fit_all(plan, &s, false, err)) != SWT_OK)
        return rc;
    if (s.shot < 1) {
        shorten(plan, &s, &shaft_up_s, &arm_up_s);
        set_times(plan, &s, shaft_up_s, arm_up_s);
        if ((rc = fit_all(plan, &s, true, err)) != SWT_OK ||
            (rc = solve_impact(plan, &s, err)) != SWT_OK ||
            (rc = fit_all(plan, &s, true, err)) != SWT_OK ||
            (rc = fit_all(plan, &s, false, err)) != SWT_OK)
            return rc;
    }
    plan->lost_rad_s = s.impact_loss * sweep_rate_at_impact(plan);
    return check_reach(plan, err);
}
