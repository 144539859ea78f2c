/** @file  Do the labels of a segment's markers hold: rigid distances, jumps, exchanged labels.
 *  Layer: kinematics. Needs: base. Does no I/O, keeps no state.
 *
 *  Run on recorded data, before gaps are filled and anything is smoothed. */
#ifndef SWT_KINEMATICS_LABEL_CHECK_H
#define SWT_KINEMATICS_LABEL_CHECK_H

#include "base/status.h"
#include "kinematics/run.h"

/** Distance between two markers that should keep it. */
typedef struct swt_pair_distance {
    size_t a, b;     /**< marker indices                                     */
    size_t n_frames; /**< frames with both; all that follows is NaN when 0   */
    double median_m; /**< robust: what the distance is                       */
} swt_pair_distance;

/**
 * Distances of every pair of a segment.
 *
 * @param[out] pair        n_markers (n_markers - 1) / 2 entries: (1,0), (2,0), (2,1), (3,0), ...
 * @param[in]  coordinate  3 * n_markers series of n values, m: coordinate[3 * marker + axis]
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_label_distances(swt_pair_distance *pair,
                                            const double *const *coordinate, size_t n_markers,
                                            size_t n, swt_error *err);

typedef enum swt_label_kind {
    SWT_LABEL_JUMP, /**< one marker moved faster than it can                */
    SWT_LABEL_SWAP  /**< two markers carry each other's label over a stretch */
} swt_label_kind;

typedef struct swt_label_finding {
    swt_label_kind kind;
    size_t marker, other; /**< other = marker for a jump                                       */
    size_t first, last;   /**< frames: jump: before and after; swap: first and last exchanged  */
    double speed_mps;     /**< jump: of the step; swap: NaN                                    */
    bool repaired;        /**< labels were put back                                            */
    const char *reason;   /**< why a swap was or was not repaired; static text, "" for a jump  */
} swt_label_finding;

typedef struct swt_label_report {
    size_t n_findings;
    swt_label_finding *finding; /**< owned; in order of first frame */
} swt_label_report;

typedef struct swt_label_limits {
    double rate_hz;
    double max_speed_mps; /**< faster than any marker of this segment can move         */
    double max_gap_s;     /**< steps over longer gaps are not judged                   */
    bool repair;          /**< put unambiguous swaps right                              */
} swt_label_limits;

/**
 * Finds jumps and swaps among the markers of one segment; repairs swaps that are unambiguous.
 *
 * Jump: the straight step from a recorded frame to the next one, over a gap of at most max_gap_s,
 * is faster than max_speed_mps by more than noise can make it: at 1,000 Hz, 2 mm of noise alone are
 * 10 m/s.
 *
 * Swap: at a frame, both markers together lie less than half as far from where the *other* was
 * heading (last position plus last step) as from where they themselves were, the two being at least
 * SWT_LABEL_MIN_SEPARATION_M apart; the same happens back at a later frame. The frames between are
 * exchanged. It is repaired, when limits->repair, only if both ends are seen, and exchanging brings
 * the distances to the segment's other markers to less than half their deviation from the median.
 * Otherwise it is reported with the reason. (Own criteria, no source.)
 *
 * @param[out]    report      swt_label_report_free() it; empty on failure
 * @param[in,out] coordinate  3 * n_markers series of n values, m; changed only by repairs
 * @retval SWT_EARG    rate or speed limit not positive
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_label_check(swt_label_report *report, double *const *coordinate,
                                        size_t n_markers, size_t n, const swt_label_limits *limits,
                                        swt_error *err);

void swt_label_report_free(swt_label_report *report);

/** Markers nearer to each other than this are not tested for a swap: noise would decide. */
#define SWT_LABEL_MIN_SEPARATION_M 0.01

#endif
