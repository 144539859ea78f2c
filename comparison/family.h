/** @file  Swings against a family of measures: departures, what they add up to for a player,
 * scores. Layer: comparison. The caller gathers values measure by measure; nothing here knows what
 * the measures are of.
 *
 *  The measures of a family are looked at together, and the first departure is looked for among
 *  them: one factor holds for all (swt_corridor_family_factor). Curves are registered alike:
 * n_phases phases of phase_steps steps each, so that a place in one is the same place in all. */
#ifndef SWT_COMPARISON_FAMILY_H
#define SWT_COMPARISON_FAMILY_H

#include "comparison/corridor.h"
#include "comparison/departure.h"
#include "comparison/score.h"

#include <stdbool.h>

enum { SWT_FAMILY_MOST_PHASES = 8 };

typedef struct swt_family_measure {
    const swt_corridor *corridor; /**< borrowed; NULL: not in the family, passed over            */
    /** A departure whose excess stays under this is listed but never led with. Unit of the measure.
     */
    double least_excess;
    double position; /**< of a scalar: where in the curves' samples it is settled       */
} swt_family_measure;

typedef struct swt_family {
    size_t n_measures, n_members; /**< members: those with a corridor                            */
    swt_family_measure *measure;  /**< n_measures                                                */
    size_t n_phases, phase_steps; /**< curves have n_phases * phase_steps + 1 samples            */
    double factor;                /**< NaN: no members; infinite: nothing stands for all         */
    double false_alone;           /**< share of clean swings outside somewhere at factor 1       */
} swt_family;

/** May a measure with this corridor be a member? Refused ones may not, nor scalars whose limits
 *  come from order statistics, since their distance has no common scale with the others. */
bool swt_family_may_hold(const swt_corridor *corridor);

/** Counts the members and finds the factor; the phases are the caller's.
 *  @retval SWT_EARG  more than SWT_FAMILY_MOST_PHASES phases, or as swt_corridor_family_factor */
SWT_MUST_USE swt_status swt_family_settle(swt_family *family, double coverage, swt_error *err);

/** A departure of one swing, and its place in it. */
typedef struct swt_assessed_departure {
    swt_departure found; /**< found.measure indexes the family's measures */
    double position; /**< start in registered samples: known even where the first event, and with it
                          every time, is not */
} swt_assessed_departure;

/** One assessed swing and its departures: by measure, then in time. Zeroed before it is begun. */
typedef struct swt_assessed_swing {
    size_t swing;       /**< the caller's number of it */
    bool *was_compared; /**< n_measures: the measure has a value and a band somewhere */
    /** n_measures: bit p is set where the corridor has a band in phase p and the swing less than
     *  nine tenths of a curve there (own choice); a scalar has bit 0 alone. */
    unsigned char *unseen;
    size_t n_departures;
    swt_assessed_departure *departure;
    size_t n_beside;
    swt_departure *beside; /**< departures from corridors beside the family, the caller's own   */
    size_t n_path;
    swt_departure *path; /**< departures from the tube of a path                             */
    swt_score score;     /**< of the whole swing; NaN where there is none                    */
    /** Shares of rms^2 that add up to 1: by phase, [n_phases] the scalars; by measure. */
    double phase_share[SWT_FAMILY_MOST_PHASES + 1], *measure_share;
} swt_assessed_swing;

/** Makes room for a family, and a score of NaN. @retval SWT_ENOMEM  ended by reset all the same */
SWT_MUST_USE swt_status swt_assessed_swing_begin(swt_assessed_swing *swing,
                                                 const swt_family *family, swt_error *err);
void swt_assessed_swing_reset(swt_assessed_swing *swing);

/** One measure of one swing. A scalar uses the first of each array. */
typedef struct swt_assessed_values {
    const double *value;  /**< n_samples, NaN = absent                                       */
    const double *sd;     /**< n_samples: measurement SD, NaN = unknown; NULL: unknown       */
    const double *time_s; /**< n_samples                                                     */
    double position;      /**< of a scalar: where in the curves' samples it is settled       */
} swt_assessed_values;

/** Holds one measure of a swing against its corridor; its departures are added. */
SWT_MUST_USE swt_status swt_assessed_swing_add(swt_assessed_swing *swing, const swt_family *family,
                                               size_t measure, const swt_assessed_values *values,
                                               swt_error *err);

/** Scores a swing: fills score and shares. @param curve  one pointer for each member, in order */
SWT_MUST_USE swt_status swt_assessed_swing_score(swt_assessed_swing *swing,
                                                 const swt_family *family,
                                                 const swt_score_model *model,
                                                 const double *const *curve, swt_error *err);

/** A departure as it shows over a player's swings; each swing gives its first run on that side. */
typedef struct swt_player_departure {
    swt_persistence over; /**< over.measure indexes the family's measures; times as the swings'  */
    bool matters;         /**< median excess reaches least_excess                       */
    double position;      /**< of the start, in registered samples: median              */
} swt_player_departure;

/** How sure the leading departure is. */
typedef enum swt_certainty {
    SWT_NOTHING_DEPARTS = 0,
    SWT_NOT_COMPARED, /**< there is no corridor, or the swings have none of the measures  */
    SWT_SOME_SWINGS,  /**< in half of the swings or fewer                                 */
    SWT_MOST_SWINGS,  /**< in most swings, but does not stand for the whole family        */
    SWT_STANDS        /**< in most swings, and stands in most of those for the family     */
} swt_certainty;

/** What the swings of one player and kind add up to. */
typedef struct swt_player_findings {
    size_t n_departures;
    swt_player_departure *departure; /**< those that lead first, in time; then the others    */
    swt_certainty certainty;         /**< of departure[0]                                     */
    size_t n_chain;                  /**< departures that matter and show in most swings      */
    /** Measures of the family compared in every swing wherever the group has a band, and those
     *  compared in some swings or in some phases alone; the rest has no value at all. */
    size_t n_throughout, n_in_part;
    bool phase_unseen[SWT_FAMILY_MOST_PHASES]; /**< no swing has any curve of the family there   */
} swt_player_findings;

/** @param[out] out  ended by swt_player_findings_reset, also after a failure */
SWT_MUST_USE swt_status swt_player_findings_of(swt_player_findings *out, const swt_family *family,
                                               const swt_assessed_swing *swing, size_t n_swings,
                                               swt_error *err);
void swt_player_findings_reset(swt_player_findings *findings);

/** What came before one departure of a player's, earliest first. */
typedef struct swt_assessed_trace {
    const swt_player_departure *from; /**< the one asked about; NULL: the player has none   */
    size_t n_list;
    swt_departure *list; /**< from, and the departures of most swings that matter           */
    size_t n;
    swt_trace_link *link; /**< link[i].earlier indexes list                                 */
} swt_assessed_trace;

/**
 * Traces a player's departure in one measure back.
 * @param[out] out    ended by swt_assessed_trace_reset, also after a failure
 * @param[in] at_s    the departure that is on at this time; NULL: the largest
 * @param[in] values  n_measures: of the reference swings, as the corridors were built from them;
 *                    NULL outside the family
 * @param[in] player  n_swings, of the reference
 */
SWT_MUST_USE swt_status swt_player_trace(swt_assessed_trace *out, const swt_family *family,
                                         const swt_player_findings *findings, size_t measure,
                                         const double *at_s, const double *const *values,
                                         const int *player, size_t n_swings, swt_error *err);
void swt_assessed_trace_reset(swt_assessed_trace *trace);

#endif
