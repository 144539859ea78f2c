/** @file  A capture as recorded: marker trajectories, events, analog channels, provenance.
 *  Layer: base. Filled by io/, read by kinematics/; holds nothing that knows about swings. */
#ifndef SWT_BASE_CAPTURE_H
#define SWT_BASE_CAPTURE_H

#include "base/status.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>

/** An event that the recording software stored. */
typedef struct swt_capture_event {
    char *label;   /**< UTF-8, owned by the capture                          */
    char *context; /**< "Left", "Right", "General" or ""; owned              */
    double time_s; /**< seconds after the first frame that the file stores   */
} swt_capture_event;

/** One analog channel, scaled to its unit. */
typedef struct swt_capture_analog {
    char *label;    /**< owned                                               */
    char *unit;     /**< as the file states it, may be ""; owned             */
    double *sample; /**< n_frames * analog_per_frame values; owned           */
} swt_capture_analog;

/**
 * Trajectories in the file's own unit and axes, frame by frame.
 *
 * A coordinate that the file declares invalid is kept here as recorded, with residual < 0:
 * the marker map decides whether residuals mean anything. NaN means no number at all.
 */
typedef struct swt_capture {
    size_t n_frames;
    size_t n_points;
    double rate_hz;         /**< 0 when the file states none                                   */
    long first_frame;       /**< number of the first stored frame in the original recording    */
    char *unit;             /**< length unit as stated, "" when the file states none; owned    */
    char **label;           /**< n_points, UTF-8, never NULL; owned                            */
    char **description;     /**< n_points, UTF-8, "" when absent; owned                        */
    double *xyz;            /**< n_frames * n_points * 3, `xyz[(f * n_points + p) * 3 + axis]` */
    float *residual;        /**< n_frames * n_points; < 0 = declared invalid; 0 = computed;
                                 file's length unit; NULL when the format has no residuals     */
    unsigned char *cameras; /**< n_frames * n_points; bit c set: camera c + 1 saw the point
                             (C3D keeps seven); NULL when the format has none              */
    bool *is_computed;      /**< n_points; true: an angle, force, moment, power or scalar stored
                                  as a point, no position; NULL when every point is a position  */
    size_t n_events;
    swt_capture_event *event;
    size_t n_analog;
    size_t analog_per_frame; /**< analog samples in each frame                              */
    swt_capture_analog *analog;
    char *format;  /**< one line: "C3D, DEC VAX floats, integer points"; owned        */
    char *up_axis; /**< the file's own hint ("+Z"), "" when none; owned               */
    size_t n_warnings;
    char **warning; /**< deviations from the format that the reader accepted; owned    */
} swt_capture;

/** Returns an empty capture with `n_points` empty labels and NaN coordinates, or NULL. */
swt_capture *swt_capture_new(size_t n_frames, size_t n_points);

/** The same with coordinates not set: for a reader that fills every one of them. */
swt_capture *swt_capture_new_unset(size_t n_frames, size_t n_points);

/** Frees a capture and all it owns; NULL is allowed. */
void swt_capture_free(swt_capture *capture);

/** Replaces an owned string field (`*field`) by a copy of `text`. @retval SWT_ENOMEM */
SWT_MUST_USE swt_status swt_string_set(char **field, const char *text, swt_error *err);

/** Appends a warning (printf style); dropped silently when memory is out. */
void swt_capture_warn(swt_capture *capture, const char *format, ...) SWT_PRINTF(2, 3);

/** Appends an event. @retval SWT_ENOMEM */
SWT_MUST_USE swt_status swt_capture_add_event(swt_capture *capture, const char *label,
                                              const char *context, double time_s, swt_error *err);

/**
 * Subjects of a capture: the different beginnings of its labels up to the last ':' ("A:LASI").
 * @param[out] list  their names, parted by commas and blanks, "..." at the end when there is no
 * room
 * @return how many there are; 0 when no label has a ':'
 */
size_t swt_capture_subjects(char *list, size_t room, const swt_capture *capture);

/** Index of the point with exactly this label, or -1. */
long swt_capture_find(const swt_capture *capture, const char *label);

/**
 * True when the sample is a position: finite, not exactly (0, 0, 0), which recorders write for
 * "not seen", and, with `trust_residuals`, not declared invalid.
 */
static inline bool swt_capture_has_point(const swt_capture *capture, size_t frame, size_t point,
                                         bool trust_residuals)
{
    size_t i = frame * capture->n_points + point;
    const double *p = capture->xyz + 3 * i;

    if (!isfinite(p[0]) || !isfinite(p[1]) || !isfinite(p[2]))
        return false;
    if (p[0] == 0 && p[1] == 0 && p[2] == 0)
        return false;
    return !(trust_residuals && capture->residual && capture->residual[i] < 0);
}

/** True when some residual is not negative; when none is, residuals tell nothing. */
bool swt_capture_residuals_mean_something(const swt_capture *capture);

/** Metres per unit ("mm", "cm", "m", "in", "ft", and their long names), 0 when unknown. */
double swt_metres_per_unit(const char *unit);

#endif
