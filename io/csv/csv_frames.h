/** @file  Which row of a table of samples is which frame, told from frame numbers or times.
 *  Layer: io. Internal to the CSV reader. */
#ifndef SWT_IO_CSV_CSV_FRAMES_H
#define SWT_IO_CSV_CSV_FRAMES_H

#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>

/** The instants of a table, one per row of wide form or per distinct instant of long form. */
typedef struct swt_csv_instants {
    size_t n;
    const double *frame;  /**< frame numbers, rising; NULL when there is no such column    */
    const double *time_s; /**< seconds, rising; NULL when there is no such column          */
    const size_t *line;   /**< for messages                                                */
    double rate_hz;       /**< stated in the file, 0 when not                              */
} swt_csv_instants;

typedef struct swt_csv_frames {
    size_t n_frames; /**< absent ones included                                             */
    size_t *index;   /**< n: the frame of each instant                                     */
    long first_frame;
    double rate_hz; /**< as stated, else from the times, else 0                            */
} swt_csv_frames;

/**
 * Puts instants into evenly spaced frames. Steps of several frames leave absent ones between.
 * @param[out] out  index is a heap block, the caller frees; NULL on failure
 * @retval SWT_EFORMAT  numbers that fall, repeat or are not whole, times that are not evenly
 *                      spaced or contradict the stated rate, or more than 4 absent frames a row
 */
SWT_MUST_USE swt_status swt_csv_frames_place(swt_csv_frames *out, const swt_csv_instants *in,
                                             swt_error *err);

#endif
