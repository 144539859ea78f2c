#include "datasets/generator/chain.h"
#include "datasets/generator/model.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define DEG(x) ((x) * (SWT_PI / 180.0))
#define FREE nan("")

swt_model_player swt_model_player_default(double height_m)
{
    return swt_chain_player_of_height(height_m);
}

/* Rows: one quantity; columns: address, shaft up, arm up, top, arm down, shaft down, impact,
   shaft through, finish. cm and deg here, because these are read and tuned by eye. "_" passes
   freely. Sources in README.md. */
#define _ FREE
typedef struct row {
    size_t member;
    double unit;
    double value[SWT_MODEL_POSITIONS];
} row;
#define ROW(field) offsetof(swt_model_posture, field)

/* The shorter the club, the closer the hands and the ball, and the slower the head. */
static const struct club_kind {
    const char *name;
    double length_m, ball_along_m, head_height_m, raise_rad, slower;
} clubs[] = {
    {"driver", 1.10, 0.10, 0.035, DEG(54), 1.00},
    {"7-iron", 0.92, 0.00, 0.025, DEG(48), 1.05},
    {"wedge", 0.87, -0.02, 0.025, DEG(46), 1.10},
};

swt_model_swing swt_model_swing_default(const char *club)
{
    const double cm = 0.01, deg = SWT_PI / 180;
    const row rows[] = {
        /*                               addr  shUp  arUp   top  arDn  shDn   imp  shTh  wrap   fin
         */
        {ROW(pelvis_along_m), cm, {2, _, 0.5, 1.0, _, _, 11, _, _, 16}},
        {ROW(pelvis_depth_m), cm, {0, _, _, 1, _, _, 1, _, _, -4}},
        {ROW(pelvis_height_m), cm, {0, _, _, -1.5, -3, _, -1, _, _, 2}},
        {ROW(pelvis_turn_rad), deg, {0, 17, 31, 43, 13, _, -38, _, _, -95}},
        {ROW(pelvis_forward_rad), deg, {20, _, _, 17, _, _, 12, _, _, -2}},
        {ROW(pelvis_side_rad), deg, {1, _, -5, -7, _, _, 9, _, _, 3}},
        {ROW(thorax_turn_rad), deg, {-6, 42, 68, 90, 52, _, -26, _, _, -120}},
        {ROW(thorax_forward_rad), deg, {36, _, 33, 32, _, _, 38, _, _, 2}},
        {ROW(thorax_side_rad), deg, {10, 5, 3, 2, _, _, 24, _, _, 10}},
        {ROW(head_turn_rad), deg, {0, _, _, 20, _, _, 12, _, _, -85}},
        {ROW(head_forward_rad), deg, {45, _, _, 42, _, _, 40, _, _, 5}},
        {ROW(head_side_rad), deg, {3, _, _, 2, _, _, 18, _, _, 5}},
        {ROW(shoulder_glide_m), cm, {2, _, _, 5, _, _, 2, _, _, 0}},
        {ROW(raise_rad), deg, {54, 54, 81, 104, 91, _, _, 54, 88, 138}},
        {ROW(across_rad), deg, {23, 31, 36, 54, 57, _, 36, 36, 28, 33}},
        {ROW(lead_elbow_rad), deg, {8, _, _, 14, _, _, 6, 8, 50, 95}},
        {ROW(wrist_set_rad), deg, {_, _, 80, 95, 96, _, 24, _, _, _}},
        {ROW(sweep_rad), deg, {_, _, _, _, _, _, _, _, -222, -295}},
        {ROW(offplane_rad), deg, {_, 0, 6, 0, -4, 0, _, 0, 0, 0}},
        {ROW(roll_rad), deg, {_, 0, 0, 0, 0, 0, _, 0, 0, 0}},
        {ROW(trail_heel_rad), deg, {_, _, _, 0, _, _, 20, _, _, 70}},
    };
    swt_model_swing s = {
        .plane_slope_rad = DEG(50),
        .shot = 1,
        .quiet_s = 0.45,
        .backswing_s = 0.86,
        .shaft_up_part = 0.47,
        .arm_up_part = 0.66,
        .downswing_s = 0.26,
        .arm_down_s = 0.135,
        .release_s = 0.046,
        .through_s = 0.046,
        .wrap_s = 0.22,
        .finish_s = 0.60,
        .hold_s = 0.25,
        .pelvis_lead_s = 0.065,
        .hands_lead_s = 0.04,
        .thorax_lead_s = 0.04,
        .pelvis_speed_rad_s = DEG(260),
        .thorax_speed_rad_s = DEG(470),
    };

    for (size_t r = 0; r < sizeof rows / sizeof *rows; r++)
        for (int k = 0; k < SWT_MODEL_POSITIONS; k++)
            *(double *)((char *)&s.at[k] + rows[r].member) = rows[r].unit * rows[r].value[k];
    for (size_t i = 0; i < sizeof clubs / sizeof *clubs; i++) {
        const struct club_kind *c = &clubs[i];
        if (i > 0 && strcmp(club, c->name) != 0)
            continue; /* anything unknown is played with the first */
        snprintf(s.club, sizeof s.club, "%s", c->name);
        s.club_length_m = c->length_m;
        s.ball_along_m = c->ball_along_m;
        s.head_height_m = c->head_height_m;
        s.at[SWT_AT_ADDRESS].raise_rad = c->raise_rad;
        s.release_s *= c->slower;
        s.through_s *= c->slower * c->slower * c->slower;
    }
    return s;
}
#undef _
