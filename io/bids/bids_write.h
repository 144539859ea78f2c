/** @file  Writing a capture as a recording of the motion extension of BIDS.
 *  Layer: io. */
#ifndef SWT_IO_BIDS_WRITE_H
#define SWT_IO_BIDS_WRITE_H

#include "base/capture.h"

/** What a recording says of itself besides its numbers. Texts may be NULL. */
typedef struct swt_bids_about {
    const char *task;            /**< TaskName; NULL: the task label of the file's name      */
    const char *reference_frame; /**< name of the frame of the positions; NULL: "laboratory" */
    const char *frame_words;     /**< description of that frame                              */
    const char *spatial_axes;    /**< three of A P L R S I, for the directions of x, y, z     */
} swt_bids_about;

/**
 * Writes `path` (a BIDS name that ends in _motion.tsv, see swt_bids_name_check) and beside it
 * *_channels.tsv, *_channels.json, *_motion.json and, when the capture has events, *_events.tsv
 * with *_events.json.
 *
 * Every point gives three POS channels (those that hold angles, forces and the like are left out),
 * every analog channel a MISC channel with its mean over the frame (swt_analog_at_points). Numbers
 * read back exactly; a sample that is no position is n/a.
 *
 * @param[in] about  may be NULL
 * @retval SWT_EARG   the path is no BIDS name
 * @retval SWT_EDATA  no frame rate, no unit that BIDS knows (m, cm, mm), or labels that are empty
 * or used twice
 * @retval SWT_EIO, SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_bids_write(const char *path, const swt_capture *capture,
                                       const swt_bids_about *about, swt_error *err);

#endif
