#include "datasets/generator/demo.h"

#include "datasets/generator/random.h"

#include <stdio.h>

#define REFERENCE_PLAYERS 24
#define REFERENCE_SWINGS 3

/* A handful of swings of one assessed player. */
typedef struct block {
    const char *player, *session;
    double height_m;
    bool left_handed, disturbed;
    swt_model_fault fault;
    double amount;
    const char *shot;
    double length;
    size_t swings;
    const char *note;
} block;

static const block blocks[] = {
    {"A1", "1", 1.79, false, false, SWT_FAULT_DEEP_EARLY, 1.0, "full", 1, 6,
     "hands deep early, lifted late"},
    {"A1", "1", 1.79, false, false, SWT_FAULT_DEEP_EARLY, 1.0, "three-quarter", 0.75, 3,
     "hands deep early, lifted late"},
    {"A1", "1", 1.79, false, false, SWT_FAULT_DEEP_EARLY, 1.0, "half", 0.5, 3,
     "hands deep early, lifted late"},
    {"A1", "2", 1.79, false, false, SWT_FAULT_DEEP_EARLY, 0.35, "full", 1, 6,
     "the same after practice: a third of the fault is left"},
    {"A2", "1", 1.72, true, false, SWT_FAULT_OUT, 1.0, "full", 1, 6, "hands out, no depth"},
    {"A3", "1", 1.83, false, false, SWT_FAULT_HURRIED, 1.0, "full", 1, 6,
     "good shape, hurried timing"},
    {"A4", "1", 1.81, false, false, SWT_FAULT_NONE, 0, "full", 1, 6, "clean"},
    {"A5", "1", 1.76, false, true, SWT_FAULT_NONE, 0, "full", 1, 4,
     "clean, recorded with gaps and exchanged labels"},
};

/* What goes wrong in the recordings of the disturbed player; seconds from the first frame. */
static const swt_model_stretch stretches[] = {
    {"L_ELBOW_LAT", NULL, 0.80, 0.86}, /* short: a spline can bridge it           */
    {"C7", NULL, 0.95, 1.35},          /* long: only the rest of the trunk can    */
    {"R_KNEE_MED", NULL, 0.40, 0.70},  {"L_WRIST_RAD", "R_WRIST_RAD", 1.00, 1.12},
    {"CLUB_TOE", NULL, 1.60, 1.90}, /* after impact */
};

size_t swt_demo_count(void)
{
    size_t n = REFERENCE_PLAYERS * REFERENCE_SWINGS;
    for (size_t b = 0; b < sizeof blocks / sizeof *blocks; b++)
        n += blocks[b].swings;
    return n;
}

static void fill_reference(swt_demo_row *row, size_t index)
{
    size_t player = index / REFERENCE_SWINGS + 1, swing = index % REFERENCE_SWINGS + 1;
    bool left = player == 6 || player == 17;

    snprintf(row->player, sizeof row->player, "R%02zu", player);
    snprintf(row->file, sizeof row->file, "R%02zu_%zu", player, swing);
    snprintf(row->session, sizeof row->session, "1");
    snprintf(row->group, sizeof row->group, "reference");
    snprintf(row->side, sizeof row->side, "%s", left ? "left" : "right");
    snprintf(row->shot, sizeof row->shot, "full");
    row->note = "drawn around the model's mean swing";
    row->build = swt_model_player_default(1.80);
    swt_model_draw_player(&row->build, &row->swing, player);
    swt_model_draw_swing(&row->swing, 1000 * player + swing);
    row->build.left_handed = left;
    row->recording.seed = 5000 + index;
    row->recording.yaw_rad = 0.1 * (double)player; /* laboratories stand as they stand */
}

static void fill_assessed(swt_demo_row *row, size_t index)
{
    const block *b = blocks;
    size_t first = 0;

    while (index >= first + b->swings)
        first += (b++)->swings;
    snprintf(row->player, sizeof row->player, "%s", b->player);
    snprintf(row->file, sizeof row->file, "%s_s%s_%s_%zu", b->player, b->session, b->shot,
             index - first + 1);
    snprintf(row->session, sizeof row->session, "%s", b->session);
    snprintf(row->group, sizeof row->group, "assessed");
    snprintf(row->side, sizeof row->side, "%s", b->left_handed ? "left" : "right");
    snprintf(row->shot, sizeof row->shot, "%s", b->shot);
    row->note = b->note;
    row->build = swt_model_player_default(b->height_m);
    row->build.left_handed = b->left_handed;
    row->swing.shot = b->length;
    swt_model_add_fault(&row->swing, b->fault, b->amount);
    swt_model_draw_swing(&row->swing, 70000 + index);
    row->recording.seed = 9000 + index;
    row->recording.yaw_rad = -0.4;
    if (b->disturbed) {
        row->recording.stretch = stretches;
        row->recording.n_stretches = sizeof stretches / sizeof *stretches;
    }
}

/* Results that the swing's own parameters bring about, with chance on top. */
static void fill_results(swt_demo_row *row, size_t index)
{
    const swt_model_swing middle = swt_model_swing_default("driver");
    swt_random random = {33000 + index};
    double across = row->swing.at[SWT_AT_ARM_UP].across_rad - middle.at[SWT_AT_ARM_UP].across_rad;
    double release_s = row->swing.release_s - middle.release_s;

    row->carry_m = row->swing.shot * (212 - 600 * release_s) + 3 * swt_random_normal(&random);
    row->curve_m = 45 * across + 2.5 * swt_random_normal(&random);
    if (index < REFERENCE_PLAYERS * REFERENCE_SWINGS)
        row->handicap = 0.5 * (double)((7 * (index / REFERENCE_SWINGS)) % 11);
    else
        row->handicap = 6 + 3 * (double)(row->player[1] - '0');
}

void swt_demo_row_at(swt_demo_row *row, size_t index)
{
    *row = (swt_demo_row){.swing = swt_model_swing_default("driver"),
                          .recording = swt_model_recording_default()};
    row->swing.impact_loss = 0.25;
    snprintf(row->club, sizeof row->club, "%s", row->swing.club);
    row->recording.noise_m = 0.0003;
    row->recording.soft_tissue_m = 0.001;
    row->recording.single_precision = true;
    row->recording.target = true;
    row->recording.clusters = false; /* there is no static capture to use them with */
    row->recording.origin_m[0] = 1.2;
    row->recording.origin_m[1] = -0.7;
    if (index < REFERENCE_PLAYERS * REFERENCE_SWINGS)
        fill_reference(row, index);
    else
        fill_assessed(row, index - REFERENCE_PLAYERS * REFERENCE_SWINGS);
    fill_results(row, index);
}
