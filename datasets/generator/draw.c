#include "datasets/generator/model.h"
#include "datasets/generator/random.h"

#include "base/vector.h"

#include <math.h>
#include <stddef.h>

/* SD of a posture's members between players and within a player. Between: turns so that their
   difference varies like the separation of Sorbie (5.6 deg), tilts below Zheng 2008 (4 deg at
   top), since a reference group is picked for its alikeness. Within: 1 to 2.5 deg for skilled
   players (Horan 2011, Bradshaw 2009; from memory). The others are chosen in proportion. */
typedef struct spread {
    size_t member;
    double between, within;
} spread;
#define MEMBER(name) offsetof(swt_model_posture, name)
#define DEG(x) ((x) * (SWT_PI / 180.0))

static const spread posture_spread[] = {
    {MEMBER(pelvis_along_m), 0.012, 0.004},
    {MEMBER(pelvis_depth_m), 0.007, 0.003},
    {MEMBER(pelvis_height_m), 0.006, 0.002},
    {MEMBER(pelvis_turn_rad), DEG(3.5), DEG(1.3)},
    {MEMBER(pelvis_forward_rad), DEG(2.5), DEG(0.7)},
    {MEMBER(pelvis_side_rad), DEG(1.5), DEG(0.5)},
    {MEMBER(thorax_turn_rad), DEG(4), DEG(1.2)},
    {MEMBER(thorax_forward_rad), DEG(1.8), DEG(0.6)},
    {MEMBER(thorax_side_rad), DEG(1.8), DEG(0.6)},
    {MEMBER(head_turn_rad), DEG(5), DEG(2)},
    {MEMBER(head_forward_rad), DEG(4), DEG(1)},
    {MEMBER(head_side_rad), DEG(3), DEG(1)},
    {MEMBER(raise_rad), DEG(3), DEG(0.9)},
    {MEMBER(across_rad), DEG(2.5), DEG(0.8)},
    {MEMBER(lead_elbow_rad), DEG(1.5), DEG(0.5)},
    {MEMBER(wrist_set_rad), DEG(3), DEG(1)},
    {MEMBER(offplane_rad), DEG(2), DEG(0.7)},
    {MEMBER(roll_rad), DEG(3), DEG(1)},
};

/* One draw moves a member alike at all positions, a smaller one moves each by itself, so that
   curves stay smooth; the swing has less room to differ while it is young. */
static void move_postures(swt_model_swing *s, bool between, swt_random *random)
{
    for (size_t i = 0; i < sizeof posture_spread / sizeof *posture_spread; i++) {
        const spread *m = &posture_spread[i];
        double sd = between ? m->between : m->within, all = swt_random_normal(random);
        for (int k = SWT_AT_ADDRESS; k < SWT_MODEL_POSITIONS; k++) {
            double *value = (double *)((char *)&s->at[k] + m->member);
            double own = swt_random_normal(random);
            double share = k == SWT_AT_SHAFT_UP ? 0.6 : k == SWT_AT_ARM_UP ? 0.8 : 1;
            if (k > SWT_AT_ADDRESS && isfinite(*value))
                *value += share * sd * (0.85 * all + 0.5 * own);
        }
    }
}

static void scale_by(double *value, double sd, swt_random *random)
{
    *value *= 1 + sd * swt_random_normal(random);
}

static void move_times(swt_model_swing *s, double part, swt_random *random)
{
    scale_by(&s->backswing_s, 0.07 * part, random);
    scale_by(&s->downswing_s, 0.05 * part, random);
    scale_by(&s->shaft_up_part, 0.015 * part, random);
    scale_by(&s->arm_up_part, 0.012 * part, random);
    scale_by(&s->arm_down_s, 0.03 * part, random);
    scale_by(&s->release_s, 0.04 * part, random);
    scale_by(&s->pelvis_lead_s, 0.15 * part, random);
    scale_by(&s->thorax_lead_s, 0.15 * part, random);
    scale_by(&s->pelvis_speed_rad_s, 0.08 * part, random);
    scale_by(&s->thorax_speed_rad_s, 0.08 * part, random);
}

void swt_model_draw_player(swt_model_player *p, swt_model_swing *s, uint64_t seed)
{
    swt_random random = {seed};
    double size = 1 + 0.033 * fmax(-2.5, fmin(2.5, swt_random_normal(&random)));
    double *const length[] = {&p->upper_arm_m,    &p->forearm_m,       &p->hand_m,
                              &p->thigh_m,        &p->shank_m,         &p->ankle_height_m,
                              &p->foot_m,         &p->shoulder_half_m, &p->asis_width_m,
                              &p->pelvis_depth_m, &p->stance_m,        &p->hip_depth_m};
    double *const angle[] = {&p->pelvis_forward_rad, &p->thorax_forward_rad, &p->thorax_side_rad,
                             &p->knee_flexion_rad,   &p->lead_flare_rad,     &p->trail_flare_rad};

    p->height_m *= size;
    for (size_t i = 0; i < sizeof length / sizeof *length; i++) {
        *length[i] *= size;
        scale_by(length[i], 0.015, &random);
    }
    for (size_t i = 0; i < sizeof angle / sizeof *angle; i++)
        *angle[i] += DEG(1.5) * swt_random_normal(&random);
    s->ball_along_m += 0.015 * swt_random_normal(&random);
    move_postures(s, true, &random);
    move_times(s, 1, &random);
}

void swt_model_draw_swing(swt_model_swing *s, uint64_t seed)
{
    swt_random random = {seed ^ 0xa5a5a5a5u};
    s->quiet_s += 0.1 * swt_random_uniform(&random);
    move_postures(s, false, &random);
    move_times(s, 0.3, &random);
}

/* Edits of single positions; the first one that departs is at shaft level, backswing. */
void swt_model_add_fault(swt_model_swing *s, swt_model_fault fault, double amount)
{
    swt_model_posture *at = s->at;
    double a = amount;

    switch (fault) {
    case SWT_FAULT_DEEP_EARLY: /* the arms go across the chest at once, and up only late */
        at[SWT_AT_SHAFT_UP].across_rad += DEG(17) * a;
        at[SWT_AT_SHAFT_UP].raise_rad -= DEG(4) * a;
        at[SWT_AT_ARM_UP].across_rad += DEG(16) * a;
        at[SWT_AT_ARM_UP].raise_rad -= DEG(12) * a;
        at[SWT_AT_TOP].across_rad += DEG(4) * a;
        break;
    case SWT_FAULT_OUT: /* the arms lift with little turn and little across the chest */
        at[SWT_AT_SHAFT_UP].across_rad -= DEG(14) * a;
        at[SWT_AT_SHAFT_UP].raise_rad += DEG(4) * a;
        at[SWT_AT_ARM_UP].raise_rad += DEG(3) * a;
        at[SWT_AT_SHAFT_UP].thorax_turn_rad -= DEG(4) * a;
        at[SWT_AT_ARM_UP].across_rad -= DEG(14) * a;
        at[SWT_AT_ARM_UP].thorax_turn_rad -= DEG(6) * a;
        at[SWT_AT_TOP].across_rad -= DEG(10) * a;
        at[SWT_AT_TOP].thorax_turn_rad -= DEG(5) * a;
        break;
    case SWT_FAULT_HURRIED:
        s->backswing_s *= 1 - 0.22 * a;
        s->downswing_s *= 1 - 0.06 * a;
        s->pelvis_lead_s *= 1 - 0.5 * a;
        break;
    case SWT_FAULT_NONE:
        break;
    }
}
