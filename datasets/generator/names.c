#include "datasets/generator/model.h"

static const char *const event_name[SWT_TRUE_EVENTS] = {
    [SWT_TRUE_ONSET] = "onset of motion",
    [SWT_TRUE_TAKEAWAY] = "takeaway",
    [SWT_TRUE_TRAVEL_061] = "travel-0.61",
    [SWT_TRUE_TRAVEL_183] = "travel-1.83",
    [SWT_TRUE_SHAFT_UP] = "shaft level, backswing",
    [SWT_TRUE_ARM_UP] = "lead arm level, backswing",
    [SWT_TRUE_PELVIS_REVERSAL] = "pelvis reversal",
    [SWT_TRUE_THORAX_REVERSAL] = "thorax reversal",
    [SWT_TRUE_HANDS_TOP] = "hands top",
    [SWT_TRUE_CLUB_TOP] = "club top",
    [SWT_TRUE_ARM_DOWN] = "lead arm level, downswing",
    [SWT_TRUE_SHAFT_DOWN] = "shaft level, downswing",
    [SWT_TRUE_IMPACT] = "impact",
    [SWT_TRUE_SHAFT_THROUGH] = "shaft level, follow-through",
    [SWT_TRUE_FINISH] = "finish",
};

static const struct {
    const char *name, *unit;
} series[SWT_TRUE_SERIES] = {
    [SWT_TRUE_HANDS_ALONG] = {"mid-hands along", "m"},
    [SWT_TRUE_HANDS_DEPTH] = {"mid-hands depth", "m"},
    [SWT_TRUE_HANDS_HEIGHT] = {"mid-hands height", "m"},
    [SWT_TRUE_LEAD_ARM] = {"lead-arm elevation", "rad"},
    [SWT_TRUE_LEAD_ARM_PLUMB] = {"lead-arm plumb", "rad"},
    [SWT_TRUE_ACROSS_CHEST] = {"lead-arm across-chest", "rad"},
    [SWT_TRUE_SHAFT] = {"shaft elevation", "rad"},
    [SWT_TRUE_WRIST_SET] = {"wrist set", "rad"},
    [SWT_TRUE_LEAD_ELBOW] = {"lead elbow flexion", "rad"},
    [SWT_TRUE_TRAIL_ELBOW] = {"trail elbow flexion", "rad"},
    [SWT_TRUE_LEAD_KNEE] = {"lead knee flexion", "rad"},
    [SWT_TRUE_TRAIL_KNEE] = {"trail knee flexion", "rad"},
    [SWT_TRUE_PELVIS_TURN] = {"pelvis turn", "rad"},
    [SWT_TRUE_PELVIS_FORWARD] = {"pelvis forward tilt", "rad"},
    [SWT_TRUE_PELVIS_SIDE] = {"pelvis side tilt", "rad"},
    [SWT_TRUE_THORAX_TURN] = {"thorax turn", "rad"},
    [SWT_TRUE_THORAX_FORWARD] = {"thorax forward tilt", "rad"},
    [SWT_TRUE_THORAX_SIDE] = {"thorax side tilt", "rad"},
    [SWT_TRUE_PELVIS_PROJECTED] = {"pelvis turn, projected", "rad"},
    [SWT_TRUE_THORAX_PROJECTED] = {"thorax turn, projected", "rad"},
    [SWT_TRUE_SEPARATION_JOINT] = {"separation, joint angle", "rad"},
    [SWT_TRUE_SEPARATION_PROJECTED] = {"separation, projected", "rad"},
    [SWT_TRUE_PELVIS_SPEED] = {"pelvis axial speed", "rad/s"},
    [SWT_TRUE_THORAX_SPEED] = {"thorax axial speed", "rad/s"},
    [SWT_TRUE_ARM_SPEED] = {"lead-arm angular speed", "rad/s"},
    [SWT_TRUE_CLUB_SPEED] = {"shaft angular speed", "rad/s"},
    [SWT_TRUE_HAND_SPEED] = {"mid-hands speed", "m/s"},
    [SWT_TRUE_HEAD_SPEED] = {"club-head speed", "m/s"},
    [SWT_TRUE_PATH_LENGTH] = {"club-head path length", "m"},
    [SWT_TRUE_LEDGER_PELVIS_DEPTH] = {"depth made by the pelvis", "m"},
    [SWT_TRUE_LEDGER_THORAX_DEPTH] = {"depth made by the thorax", "m"},
    [SWT_TRUE_LEDGER_ARMS_DEPTH] = {"depth made by the arms", "m"},
    [SWT_TRUE_LEDGER_PELVIS_HEIGHT] = {"height made by the pelvis", "m"},
    [SWT_TRUE_LEDGER_THORAX_HEIGHT] = {"height made by the thorax", "m"},
    [SWT_TRUE_LEDGER_ARMS_HEIGHT] = {"height made by the arms", "m"},
};

const char *swt_model_event_name(swt_model_event event)
{
    return event_name[event];
}

const char *swt_model_series_name(swt_model_series s)
{
    return series[s].name;
}

const char *swt_model_series_unit(swt_model_series s)
{
    return series[s].unit;
}
