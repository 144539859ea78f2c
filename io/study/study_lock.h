/** @file  One writer of a study at a time.
 *  Layer: io. */
#ifndef SWT_IO_STUDY_STUDY_LOCK_H
#define SWT_IO_STUDY_STUDY_LOCK_H

#include "base/status.h"

#include <stddef.h>

typedef struct swt_study_lock {
    int file; /**< -1: nothing is held */
    char path[4200];
} swt_study_lock;

/**
 * Takes the right to write the study `path`, which need not exist yet, and removes the drafts that
 * a writer that was killed left beside it; its finished checkpoints stay. The right is an advisory
 * lock on `path`.lock: it ends with the process, however that ends. Where the file system knows no
 * locks, or the folder cannot be written (then writing the study says so), nothing is held and the
 * answer is SWT_OK.
 *
 * @retval SWT_EIO  another process is writing this study
 */
SWT_MUST_USE swt_status swt_study_lock_take(swt_study_lock *lock, const char *path, swt_error *err);

/** Gives it back; harmless when nothing is held. */
void swt_study_lock_release(swt_study_lock *lock);

/** The folder of the study's checkpoints: "<path>.checkpoints". @retval SWT_EARG the path is too
 * long */
SWT_MUST_USE swt_status swt_study_checkpoints_folder(char *out, size_t size, const char *path,
                                                     swt_error *err);

#endif
