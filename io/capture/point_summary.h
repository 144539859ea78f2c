/** @file  What a capture holds, point by point.
 *  Layer: io. */
#ifndef SWT_IO_CAPTURE_POINT_SUMMARY_H
#define SWT_IO_CAPTURE_POINT_SUMMARY_H

#include "base/capture.h"

/** One point over a whole capture. */
typedef struct swt_point_summary {
    size_t n_present;       /**< frames in which it is a position (swt_capture_has_point)   */
    size_t longest_gap;     /**< frames; gaps at either end count                           */
    size_t last_gap;        /**< frames; the gap at the end of the capture */
    double low[3], high[3]; /**< of each axis where present, file's unit; NaN when never    */
} swt_point_summary;

/**
 * Summarises every point. Residuals are trusted unless all of them are negative.
 * @param[out] out  n_points; caller's storage
 */
void swt_point_summaries(swt_point_summary *out, const swt_capture *capture);

/** Seconds from the first frame to the last, plus one frame; NaN without a rate. */
double swt_capture_duration_s(const swt_capture *capture);

/** Points that hold no positions. */
size_t swt_capture_n_computed(const swt_capture *capture);

#endif
