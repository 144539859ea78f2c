/** @file  The samples of one swing in the form in which a study holds them.
 *  Layer: io. Swings that wait to be written take half the room so. */
#ifndef SWT_IO_STUDY_PACKED_H
#define SWT_IO_STUDY_PACKED_H

#include "kinematics/swing.h"

/** Single precision, a number or three a frame; NULL what the swing lacks. */
typedef struct swt_packed {
    const float *series[SWT_SERIES_COUNT];           /**< n_frames                         */
    const float *body[SWT_LANDMARK_COUNT];           /**< n_frames * 3: along, depth, height */
    const unsigned char *origin[SWT_LANDMARK_COUNT]; /**< n_frames                         */
} swt_packed;

/** Packs series and body of a swing; the caller frees. */
SWT_MUST_USE swt_status swt_packed_new(swt_packed **out, const swt_swing *swing, swt_error *err);
void swt_packed_free(swt_packed *packed);

#endif
