/** @file  Gaps in marker trajectories: how long they are, and filling those that can be filled.
 *  Layer: kinematics. Needs: base. Does no I/O, keeps no state.
 *
 *  A marker is missing in a frame when any of its three coordinates is. Every filled sample is
 *  marked, and only recorded samples support a fill, so that nothing is built on what was filled.
 *  Gaps at the start and the end of a capture stay: nothing is extrapolated. A gap is filled whole
 *  or not at all. */
#ifndef SWT_KINEMATICS_GAPS_H
#define SWT_KINEMATICS_GAPS_H

#include "base/status.h"
#include "base/vector.h"
#include "kinematics/run.h"

/** Where a sample comes from; one byte a frame. */
typedef enum swt_origin {
    SWT_ORIGIN_RECORDED,
    SWT_ORIGIN_SPLINE, /**< cubic spline through the marker's own samples around the gap */
    SWT_ORIGIN_RIGID,  /**< from the other markers of its segment                        */
    SWT_ORIGIN_MISSING
} swt_origin;

/** Frames that a spline needs on each side of a gap, and those that it uses at most. */
#define SWT_GAP_MIN_SUPPORT 3
#define SWT_GAP_MAX_SUPPORT 8

/** The three coordinates of one marker, n frames each; the caller's storage. */
typedef struct swt_track {
    double *axis[3];
    unsigned char *origin; /**< n values of swt_origin */
} swt_track;

typedef struct swt_gap_summary {
    size_t recorded, by_spline, rigidly, missing; /**< frames                          */
    size_t n_gaps;                                /**< stretches that were not recorded */
    size_t longest;                               /**< frames of the longest of them    */
    size_t longest_begin;                         /**< its first frame                  */
} swt_gap_summary;

/** Sets `origin` to recorded or missing; a frame with one missing coordinate loses all three. */
void swt_gap_mark(const swt_track *track, size_t n);

/** Counts by origin; needs swt_gap_mark first. Gaps count as recorded, before any filling. */
swt_gap_summary swt_gap_summarise(const swt_track *track, size_t n);

/**
 * Fills gaps of at most `max_gap` frames by the natural cubic spline through the recorded samples
 * next to the gap, SWT_GAP_MIN_SUPPORT to SWT_GAP_MAX_SUPPORT on each side. A gap that touches
 * contact (its two sides lie on different sides of `split`) stays.
 *
 * @param[out] n_filled  frames filled; may be NULL
 * @retval SWT_ENOMEM  no scratch memory; gaps already filled stay filled and marked
 */
SWT_MUST_USE swt_status swt_gap_fill_spline(const swt_track *track, size_t n, size_t split,
                                            size_t max_gap, size_t *n_filled, swt_error *err);

/**
 * Shape of a segment from the capture itself: each frame in which all markers are recorded is laid
 * on the first such frame by a rigid fit, and the positions are averaged.
 *
 * @param[out] shape     n_markers positions, m, in the frame of that first capture frame
 * @param[out] n_frames_used  may be NULL
 * @retval SWT_EDATA   no frame has all markers, or they lie on a line
 * @retval SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_gap_shape(swt_vec3 *shape, size_t *n_frames_used,
                                      const swt_track *track, size_t n_markers, size_t n,
                                      swt_error *err);

/**
 * Fills gaps of at most `max_gap` frames of each marker from three or more other markers of its
 * segment: a rigid fit of `shape` places it in each frame, and the offset between recorded and
 * placed position at both edges of the gap, interpolated over it, makes the ends meet.
 *
 * A gap stays when in any of its frames, or at an edge, fewer than three other markers are
 * recorded, the fit is not determined, or its residual exceeds `max_residual_m`. Call it before
 * swt_gap_fill_spline: markers that were recorded say more than a curve through the gap.
 *
 * @param[in]  shape     n_markers positions (static capture or swt_gap_shape), m
 * @param[out] n_filled  marker-frames filled; may be NULL
 * @retval SWT_ENOMEM    nothing is filled
 */
SWT_MUST_USE swt_status swt_gap_fill_rigid(const swt_track *track, const swt_vec3 *shape,
                                           size_t n_markers, size_t n, size_t max_gap,
                                           double max_residual_m, size_t *n_filled, swt_error *err);

#endif
