/** @file  A study's swings against its reference group: corridors, departures, and what they add up
 *  to for each player.
 *  Layer: io. Gathers values from an open study; corridors, departures, what they add up to and
 *  scores are comparison's (family.h).
 *
 *  The family that is looked at together, and in which the first departure is looked for: the
 *  curves chosen, and the few scalars about time and transition that no curve shows. A scalar whose
 *  limits come from order statistics is left out, since its distance has no common scale with the
 *  others. The other scalars get their own tolerance interval for the table, outside the family. */
#ifndef SWT_IO_REPORT_ASSESSMENT_H
#define SWT_IO_REPORT_ASSESSMENT_H

#include "comparison/family.h"
#include "io/study/study.h"

#include <stdbool.h>

typedef struct swt_assessment_options {
    /** What the reference is called in words, and, without `reference`, the value of the sheet's
     *  group column that it is; NULL: the conditions themselves. */
    const char *group;
    const char *reference; /**< swings that corridors are built from, as conditions (selection.h) */
    const char *only;      /**< swings to assess, as conditions; NULL: all that are no reference */
    bool with_practice;    /**< practice swings too, in the reference and among the assessed     */
    swt_corridor_options corridor; /**< coverage, confidence, resamples, seed                  */
    bool series[SWT_SERIES_COUNT]; /**< curves to compare                                      */
    /** A departure whose excess stays under this is listed but never led with: below what markers
     *  on skin tell. Common practice, no source. SI, by quantity. */
    double least_excess[SWT_QUANTITY_COUNT];
} swt_assessment_options;

/** Defaults: .95 coverage; every curve but those that say the same again (foot spans, projected
 * *  turns, shaft lean), angular speeds, face to path, which counts at impact alone, and the lead
 * arm from plumb, which has no meaning once the arm is level; least excess 5 mm, 2 deg, 0.02 s, 0.2
 * m/s, 20 deg/s, 0.05. */
void swt_assessment_options_init(swt_assessment_options *options);

/** One measure that is compared. */
typedef struct swt_compared {
    bool is_series;
    size_t index; /**< an swt_series, or a row of swt_measure_row */
    const char *title;
    swt_quantity quantity;
    bool in_family;
    swt_corridor *corridor; /**< may be refused: see its state    */
} swt_compared;

/** What a corridor beside the family is of. */
typedef enum swt_beside_kind {
    SWT_BESIDE_WARP,   /**< the time of each registered moment: what registration takes out  */
    SWT_BESIDE_TRAVEL, /**< a curve over the club head's first 1.83 m                        */
    SWT_BESIDE_SHIFT   /**< transition shift over hand height                                */
} swt_beside_kind;

/** A corridor beside the family: the time warp, the start of the swing over the club head's travel,
 *  the transition shift over hand height. Seven of them, looked at together. */
typedef struct swt_beside {
    swt_beside_kind kind;
    swt_series series; /**< of SWT_BESIDE_TRAVEL                     */
    char name[64], title[128];
    swt_quantity quantity;
    swt_corridor *corridor; /**< may be refused: see its state            */
} swt_beside;

/** Name of the tube of hand depth and height. */
#define SWT_HAND_PATH "hand_path"

/** Is there such a corridor beside the family? */
bool swt_beside_is_known(const char *name);

/** One assessed player, with the swings of one kind: same session, club and shot. Half shots say
 *  nothing of full ones, nor last month's swings of today's; each kind stands by itself. */
typedef struct swt_assessed_player {
    const char *code; /**< owned by the study */
    /** What sets these swings apart from the player's others: "session 2, full"; "" where there
     *  is one kind alone. Cut where long. */
    char kind[160];
    char name[320];         /**< "A1", or "A1, session 2, full" */
    bool alike;             /**< the reference has this club and shot; else it is not compared */
    size_t first, n_swings; /**< in assessment->swing */
    bool in_reference;      /**< other swings of this player are in the group                */
    double event_s[SWT_EVENT_COUNT]; /**< median time after takeaway; NaN = absent           */
    swt_player_findings found; /**< measures index assessment->compared; times after takeaway  */
} swt_assessed_player;

/** The reference group at the events: means over players of the players' means; NaN = absent. */
typedef struct swt_group_facts {
    double low_s[SWT_EVENT_COUNT], middle_s[SWT_EVENT_COUNT], high_s[SWT_EVENT_COUNT];
    double at_event[SWT_SERIES_COUNT][SWT_EVENT_COUNT]; /**< hand position and ledger alone */
} swt_group_facts;

typedef struct swt_assessment {
    /** Its texts are the assessment's own copies; group and reference NULL: no reference. */
    swt_assessment_options options;
    size_t n_reference, n_reference_players;
    const char *club, *shot;  /**< of the reference swings, all alike; owned by the study */
    size_t n_reference_other; /**< swings of the group with another club or shot: left out */
    size_t n_practice;        /**< practice swings, of the group and of others: left out   */
    size_t *reference;        /**< rows of the study                                     */
    int *reference_player;    /**< their players' numbers, 0 .. n_reference_players - 1  */
    size_t n_compared;
    swt_compared *compared;
    swt_family family; /**< its measures are compared[], in the same order               */
    size_t n_beside;
    swt_beside *beside;
    double beside_factor;         /**< family factor of these; NaN: none                          */
    double beside_false_alone;    /**< swt_corridor_family_factor                                 */
    swt_path_corridor *hand_path; /**< depth and height; NULL without a reference */
    swt_path_corridor *hand_path_above; /**< along and depth                */
    swt_score_model *scores;            /**< NULL where the group carries none      */
    swt_group_facts group_facts;
    size_t n_swings;
    swt_assessed_swing *swing; /**< by player, in the study's order */
    size_t n_players;
    swt_assessed_player *player;
} swt_assessment;

/**
 * Builds corridors from the swings of a group and compares all the others, like with like: the
 * reference is the club and shot that most of the group's swings have, and sets of other clubs or
 * shots are shown without it.
 * @param[out] out  the caller frees; NULL on failure
 * Without a group and a reference (NULL) nothing is compared, and the report shows the swings by
 * themselves.
 * @retval SWT_EARG, SWT_EDATA  as swt_selection_parse and swt_selection_apply
 */
SWT_MUST_USE swt_status swt_assessment_build(swt_assessment **out, const swt_study *study,
                                             const swt_assessment_options *options, swt_error *err);

void swt_assessment_free(swt_assessment *assessment);

/**
 * Traces a player's departure in compared[measure] back: the one that is on at the event, or the
 * largest when `event` is negative.
 * @param[out] out  ended by swt_assessed_trace_reset
 */
SWT_MUST_USE swt_status swt_assessment_trace(swt_assessed_trace *out,
                                             const swt_assessment *assessment,
                                             const swt_study *study,
                                             const swt_assessed_player *player, size_t measure,
                                             int event, swt_error *err);

/** A view of the assessment without its group, for sets that it can't be compared with. Owns
 *  nothing; lives no longer than the assessment. */
swt_assessment swt_assessment_without_group(const swt_assessment *assessment);

/** Event time after takeaway of a swing of the study; NaN when either is absent. */
double swt_event_after_takeaway(const swt_study *study, size_t swing, swt_event event);

/** Index among compared[] of a series or of a measure's row; -1 when it is not compared. */
long swt_compared_find(const swt_assessment *assessment, bool is_series, size_t index);

#endif
