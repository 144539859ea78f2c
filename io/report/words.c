#include "io/report/words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static const swt_series_words series_words[SWT_SERIES_COUNT] = {
    [SWT_SERIES_HAND_ALONG] = {"the hands are", "farther towards the target",
                               "farther from the target"},
    [SWT_SERIES_HAND_DEPTH] = {"the hands are", "deeper", "less deep, nearer the ball,"},
    [SWT_SERIES_HAND_HEIGHT] = {"the hands are", "higher", "lower"},
    [SWT_SERIES_HAND_FOOT_SPAN] = {"the hands are", "deeper", "less deep, nearer the ball,"},
    [SWT_SERIES_HAND_SPEED] = {"the hands are", "faster", "slower"},
    [SWT_SERIES_LEDGER_DEPTH_PELVIS] = {"the pelvis has given the hands", "more depth",
                                        "less depth"},
    [SWT_SERIES_LEDGER_DEPTH_THORAX] = {"the thorax has given the hands", "more depth",
                                        "less depth"},
    [SWT_SERIES_LEDGER_DEPTH_ARMS] = {"the arms have given the hands", "more depth", "less depth"},
    [SWT_SERIES_LEDGER_HEIGHT_PELVIS] = {"the pelvis has given the hands", "more height",
                                         "less height"},
    [SWT_SERIES_LEDGER_HEIGHT_THORAX] = {"the thorax has given the hands", "more height",
                                         "less height"},
    [SWT_SERIES_LEDGER_HEIGHT_ARMS] = {"the arms have given the hands", "more height",
                                       "less height"},
    [SWT_SERIES_LEAD_ARM_ELEVATION] = {"the lead arm is", "higher", "lower"},
    [SWT_SERIES_LEAD_ARM_PLUMB] = {"the lead arm is", "farther in from plumb",
                                   "farther out from plumb"},
    [SWT_SERIES_LEAD_ARM_ACROSS_CHEST] = {"the lead arm is", "farther across the chest",
                                          "less far across the chest"},
    [SWT_SERIES_LEAD_ELBOW_FLEXION] = {"the lead arm is", "more bent at the elbow",
                                       "straighter at the elbow"},
    [SWT_SERIES_TRAIL_ELBOW_FLEXION] = {"the trail arm is", "more bent at the elbow",
                                        "straighter at the elbow"},
    [SWT_SERIES_LEAD_KNEE_FLEXION] = {"the lead knee is", "more bent", "straighter"},
    [SWT_SERIES_TRAIL_KNEE_FLEXION] = {"the trail knee is", "more bent", "straighter"},
    [SWT_SERIES_WRIST_SET] = {"the angle between forearm and shaft is", "larger", "smaller"},
    [SWT_SERIES_SHAFT_ELEVATION] = {"the shaft points", "higher", "lower"},
    [SWT_SERIES_PELVIS_TURN] = {"the pelvis is turned", "farther from the target",
                                "farther towards the target"},
    [SWT_SERIES_PELVIS_FORWARD_TILT] = {"the pelvis is tilted", "farther forward",
                                        "less far forward"},
    [SWT_SERIES_PELVIS_SIDE_TILT] = {"the pelvis is tilted", "farther to the trail side",
                                     "less far to the trail side"},
    [SWT_SERIES_PELVIS_TURN_PROJECTED] = {"the pelvis is turned", "farther from the target",
                                          "farther towards the target"},
    [SWT_SERIES_THORAX_TURN] = {"the thorax is turned", "farther from the target",
                                "farther towards the target"},
    [SWT_SERIES_THORAX_FORWARD_TILT] = {"the thorax is tilted", "farther towards the ball",
                                        "less far towards the ball"},
    [SWT_SERIES_THORAX_SIDE_TILT] = {"the thorax is tilted", "farther to the trail side",
                                     "less far to the trail side"},
    [SWT_SERIES_THORAX_TURN_PROJECTED] = {"the thorax is turned", "farther from the target",
                                          "farther towards the target"},
    [SWT_SERIES_SEPARATION_JOINT] = {"the thorax is turned on the pelvis",
                                     "farther from the target", "farther towards the target"},
    [SWT_SERIES_SEPARATION_PROJECTED] = {"the thorax is turned on the pelvis",
                                         "farther from the target", "farther towards the target"},
    [SWT_SERIES_PELVIS_ALONG] = {"the pelvis has moved", "farther towards the target",
                                 "farther from the target"},
    [SWT_SERIES_PELVIS_DEPTH] = {"the pelvis has moved", "farther back from the ball",
                                 "farther towards the ball"},
    [SWT_SERIES_PELVIS_ANGULAR_SPEED] = {"the pelvis turns", "faster towards the target",
                                         "slower towards the target or faster away"},
    [SWT_SERIES_THORAX_ANGULAR_SPEED] = {"the thorax turns", "faster towards the target",
                                         "slower towards the target or faster away"},
    [SWT_SERIES_LEAD_ARM_ANGULAR_SPEED] = {"the lead arm swings", "faster", "slower"},
    [SWT_SERIES_CLUB_ANGULAR_SPEED] = {"the club turns", "faster", "slower"},
    [SWT_SERIES_CLUB_HEAD_SPEED] = {"the club head is", "faster", "slower"},
    [SWT_SERIES_SHAFT_LEAN] = {"the shaft leans", "farther towards the target",
                               "farther from the target"},
    [SWT_SERIES_FACE_TO_PATH] = {"the face is", "more open to the path", "more closed to the path"},
};

static const char *const event_phrase[SWT_EVENT_COUNT] = {
    [SWT_EVENT_TAKEAWAY] = "takeaway",
    [SWT_EVENT_TRAVEL_061] = "0.61 m of club travel",
    [SWT_EVENT_SHAFT_LEVEL_BACKSWING] = "shaft level in the backswing",
    [SWT_EVENT_TRAVEL_183] = "1.83 m of club travel",
    [SWT_EVENT_LEAD_ARM_LEVEL_BACKSWING] = "lead arm level in the backswing",
    [SWT_EVENT_PELVIS_REVERSAL] = "pelvis reversal",
    [SWT_EVENT_HANDS_TOP] = "hands top",
    [SWT_EVENT_THORAX_REVERSAL] = "thorax reversal",
    [SWT_EVENT_CLUB_TOP] = "club top",
    [SWT_EVENT_LEAD_ARM_LEVEL_DOWNSWING] = "lead arm level in the downswing",
    [SWT_EVENT_SHAFT_LEVEL_DOWNSWING] = "shaft level in the downswing",
    [SWT_EVENT_IMPACT] = "impact",
    [SWT_EVENT_SHAFT_LEVEL_FOLLOW_THROUGH] = "shaft level in the follow-through",
    [SWT_EVENT_FINISH] = "finish",
};

const swt_series_words *swt_series_describe_in_words(swt_series series)
{
    return &series_words[series];
}

const char *swt_event_phrase(swt_event event)
{
    return event_phrase[event];
}

char *swt_words_number(char *out, size_t size, swt_quantity quantity, double si)
{
    const swt_unit *unit = swt_quantity_unit(quantity);
    double shown = si * unit->shown_per_si;

    if (!isfinite(si))
        snprintf(out, size, "-");
    else if (fabs(shown) < 0.5 * pow(10, -unit->decimals)) /* no "-0" */
        snprintf(out, size, "%.*f", unit->decimals, 0.0);
    else
        snprintf(out, size, "%.*f", unit->decimals, shown);
    return out;
}

static void add_unit(char *out, size_t size, swt_quantity quantity)
{
    size_t used = strlen(out);

    if (quantity != SWT_FRACTION && strcmp(out, "-") != 0)
        snprintf(out + used, size - used, " %s", swt_quantity_unit(quantity)->shown);
}

char *swt_words_value(char *out, size_t size, swt_quantity quantity, double si)
{
    swt_words_number(out, size, quantity, si);
    add_unit(out, size, quantity);
    return out;
}

char *swt_words_uncertainty(char *out, size_t size, swt_quantity quantity, double si)
{
    const swt_unit *unit = swt_quantity_unit(quantity);

    /* a fraction has two decimals, which is coarse beside what is known of it */
    const int digits = unit->decimals + (quantity == SWT_FRACTION ? 2 : 1);
    const double finest = pow(10, -digits);

    if (si * unit->shown_per_si < finest / 2)
        snprintf(out, size, "< %.*f", digits, finest);
    else if (isfinite(si))
        snprintf(out, size, "%.*f", digits, si * unit->shown_per_si);
    else
        snprintf(out, size, "-");
    return out;
}

char *swt_words_amount(char *out, size_t size, swt_quantity quantity, double si)
{
    return swt_words_value(out, size, quantity, fabs(si));
}

char *swt_words_swings(char *out, size_t size, size_t k, size_t n)
{
    if (n == 1)
        snprintf(out, size, k == 1 ? "in the only swing" : "not in the only swing");
    else if (k == n && n == 2)
        snprintf(out, size, "in both swings");
    else if (k == n)
        snprintf(out, size, "in all %zu swings", n);
    else
        snprintf(out, size, "in %zu of %zu swings", k, n);
    return out;
}

char *swt_words_share(char *out, size_t size, size_t k, size_t n)
{
    if (n >= 20)
        snprintf(out, size, "%zu of %zu (%.0f %%)", k, n, 100.0 * (double)k / (double)n);
    else
        snprintf(out, size, "%zu of %zu", k, n);
    return out;
}

char *swt_words_count(char *out, size_t size, size_t n, const char *one, const char *many)
{
    snprintf(out, size, "%zu %s", n, n == 1 ? one : many);
    return out;
}

/* The events that a coach thinks in, in their order. */
static const swt_event landmarks[] = {
    SWT_EVENT_TAKEAWAY, SWT_EVENT_SHAFT_LEVEL_BACKSWING,      SWT_EVENT_LEAD_ARM_LEVEL_BACKSWING,
    SWT_EVENT_CLUB_TOP, SWT_EVENT_LEAD_ARM_LEVEL_DOWNSWING,   SWT_EVENT_SHAFT_LEVEL_DOWNSWING,
    SWT_EVENT_IMPACT,   SWT_EVENT_SHAFT_LEVEL_FOLLOW_THROUGH, SWT_EVENT_FINISH};

/* "between shaft level and lead arm level in the backswing": the part of the swing is said once
 * where it is that of both. */
static size_t put_between(char *out, size_t size, swt_event from, swt_event to)
{
    const char *first = event_phrase[from], *second = event_phrase[to];
    const char *part = strstr(first, " in the "), *other = strstr(second, " in the ");
    size_t length =
        part && other && strcmp(part, other) == 0 ? (size_t)(part - first) : strlen(first);

    return (size_t)snprintf(out, size, "between %.*s and %s", (int)length, first, second);
}

char *swt_words_moment(char *out, size_t size, const double event_s[SWT_EVENT_COUNT], double time_s)
{
    enum { NONE = -1 };
    int before = NONE, after = NONE;
    const double near_s = 0.02; /* nearer than this is "at" */

    for (size_t i = 0; i < sizeof landmarks / sizeof *landmarks; i++) {
        double t = event_s[landmarks[i]];
        if (!isfinite(t))
            continue;
        if (fabs(t - time_s) <= near_s) {
            snprintf(out, size, "at %s", event_phrase[landmarks[i]]);
            return out;
        }
        if (t < time_s)
            before = (int)landmarks[i];
        else if (after == NONE)
            after = (int)landmarks[i];
    }
    if (before != NONE && after != NONE)
        put_between(out, size, (swt_event)before, (swt_event)after);
    else if (before != NONE)
        snprintf(out, size, "after %s", event_phrase[before]);
    else if (after != NONE)
        snprintf(out, size, "before %s", event_phrase[after]);
    else
        snprintf(out, size, "at a moment that no event places");
    return out;
}

char *swt_words_stretch(char *out, size_t size, const bool phase[SWT_PHASES])
{
    size_t used = 0;

    out[0] = '\0';
    for (int p = 0; p < SWT_PHASES; p++) {
        int last = p;
        if (!phase[p])
            continue;
        while (last + 1 < SWT_PHASES && phase[last + 1])
            last++;
        if (used && used < size)
            used += (size_t)snprintf(out + used, size - used, " and ");
        if (used < size)
            used += put_between(out + used, size - used, swt_phase_boundary[p],
                                swt_phase_boundary[last + 1]);
        p = last;
    }
    return out;
}

char *swt_words_phase(char *out, size_t size, double position)
{
    int phase = (int)(position / SWT_PHASE_STEPS);

    phase = phase < 0 ? 0 : phase >= SWT_PHASES ? SWT_PHASES - 1 : phase;
    put_between(out, size, swt_phase_boundary[phase], swt_phase_boundary[phase + 1]);
    return out;
}
