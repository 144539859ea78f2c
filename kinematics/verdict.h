/** @file  State and reason of every value, and findings about a capture.
 *  Layer: kinematics. A value that cannot be had is absent with its reason, never guessed. */
#ifndef SWT_KINEMATICS_VERDICT_H
#define SWT_KINEMATICS_VERDICT_H

#include "base/status.h"

#include <stddef.h>

typedef enum swt_state {
    SWT_ABSENT = 0, /**< there is no value; the reason says why           */
    SWT_LIMITED,    /**< there is a value; the reason says what limits it */
    SWT_USABLE
} swt_state;

/** X(ID, "text with %s for the subject"). Stored as numbers: append only, never renumber. */
#define SWT_REASONS(X)                                                                             \
    X(NONE, "")                                                                                    \
    X(LANDMARK_MISSING, "landmark %s is not in the capture")                                       \
    X(SAMPLES_MISSING, "marker samples are missing at this moment")                                \
    X(SAMPLES_FILLED, "marker samples at this moment were filled in")                              \
    X(NOT_REACHED, "not reached in this swing")                                                    \
    X(STARTS_LATE, "the capture starts after this moment")                                         \
    X(ENDS_EARLY, "the capture ends before this moment")                                           \
    X(EVENT_ABSENT, "this swing has no moment \"%s\" (see the events)")                            \
    X(SERIES_ABSENT, "there is no curve of %s")                                                    \
    X(TARGET_FROM_STANCE,                                                                          \
      "target line taken from the toe line: an open or closed stance biases it")                   \
    X(POSE_FROM_TWO_POINTS, "segment direction from two points and the vertical, not a full pose") \
    X(FROM_HANDS, "taken from the hands, since the club is not marked")                            \
    X(RATE_DOUBTFUL, "the declared frame rate does not fit the motion")                            \
    X(IMPLAUSIBLE, "outside the range a person can do: see the findings")                          \
    X(NEAR_GIMBAL_LOCK, "the angle sequence is near gimbal lock")                                  \
    X(CLUB_NOT_RIGID, "the club markers change their distance")                                    \
    X(ALIGNED_BY_ENDS, "taken from the sample at the end of the capture")                          \
    X(NOT_DEFINED, "not defined for this motion")                                                  \
    X(POSE_FROM_SHOULDERS, "thorax taken from the shoulder line and the trunk axis: the shoulder " \
                           "girdle adds to its turn")                                              \
    X(ONE_MARKER_JOINT, "joint taken from one marker, not from its centre")                        \
    X(NO_SWING, "no swing was found in the capture")                                               \
    X(NOISE_DECIDES, "marker noise decides whether, or at which instant, this is found")           \
    X(STARTS_MOVING, "the capture starts in motion: the player's address is not in it")

typedef enum swt_reason_code {
#define X(id, text) SWT_REASON_##id,
    SWT_REASONS(X)
#undef X
        SWT_REASON_COUNT
} swt_reason_code;

/** State, reason and the reason's subject (a landmark, event or series number, else 0). */
typedef struct swt_verdict {
    unsigned char state;   /**< swt_state       */
    unsigned char reason;  /**< swt_reason_code */
    unsigned char subject; /**< what `%s` names */
} swt_verdict;

static inline swt_verdict swt_usable(void)
{
    return (swt_verdict){SWT_USABLE, SWT_REASON_NONE, 0};
}
static inline swt_verdict swt_limited(swt_reason_code reason, int subject)
{
    return (swt_verdict){SWT_LIMITED, (unsigned char)reason, (unsigned char)subject};
}
static inline swt_verdict swt_absent(swt_reason_code reason, int subject)
{
    return (swt_verdict){SWT_ABSENT, (unsigned char)reason, (unsigned char)subject};
}
/** The worse of two verdicts; the first where they are equal. */
static inline swt_verdict swt_worse(swt_verdict a, swt_verdict b)
{
    return b.state < a.state ? b : a;
}

/** "usable", "limited", "absent". */
const char *swt_state_name(unsigned state);

/** The reason in words, subject filled in; "" for none. Returns `buffer`. */
const char *swt_reason_text(char *buffer, size_t size, swt_verdict verdict);

/** One number for storage: reason * 256 + subject; and back. */
static inline unsigned swt_reason_pack(swt_verdict v)
{
    return (unsigned)v.reason << 8 | v.subject;
}

typedef enum swt_severity {
    SWT_NOTE,    /**< good to know                                     */
    SWT_CAUTION, /**< limits some measures                             */
    SWT_SERIOUS  /**< something is wrong with the capture or its map   */
} swt_severity;

/** One finding about a capture or swing, in words that a person can act on. */
typedef struct swt_finding {
    unsigned char severity;
    char code[40];  /**< stable, lower case with underscores: "rate_doubtful" */
    char text[280]; /**< what was found, against what, and what to do         */
} swt_finding;

enum { SWT_FINDINGS_MAX = 40 };

typedef struct swt_findings {
    size_t n;       /**< stored                                        */
    size_t dropped; /**< findings beyond the room                      */
    swt_finding item[SWT_FINDINGS_MAX];
} swt_findings;

/** Adds a finding (printf style). */
void swt_findings_add(swt_findings *findings, swt_severity severity, const char *code,
                      const char *format, ...) SWT_PRINTF(4, 5);

#endif
