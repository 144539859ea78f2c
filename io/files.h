/** @file  Files as bytes: read whole, replace safely, hash.
 *  Layer: io. */
#ifndef SWT_IO_FILES_H
#define SWT_IO_FILES_H

#include "base/status.h"

#include <stddef.h>
#include <stdio.h>

/**
 * Reads a whole regular file. A folder, a pipe, a device, or a file that another program is still
 * writing is refused (SWT_EIO).
 * @param[out] bytes  heap block, the caller frees; NULL on failure
 */
SWT_MUST_USE swt_status swt_file_read(unsigned char **bytes, size_t *size, const char *path,
                                      swt_error *err);

/** A file being written beside its final name; nothing shows until it is complete. */
typedef struct swt_file_draft {
    FILE *stream;
    char path[4096];
    char temporary[4200];
} swt_file_draft;

/** Opens `path`'s draft in the same folder. @retval SWT_EIO with the system's reason */
SWT_MUST_USE swt_status swt_draft_open(swt_file_draft *draft, const char *path, swt_error *err);

/** Flushes, syncs, closes, renames, syncs the folder. On failure the draft is removed. */
SWT_MUST_USE swt_status swt_draft_commit(swt_file_draft *draft, swt_error *err);

/** Closes and removes the draft; harmless after commit. */
void swt_draft_discard(swt_file_draft *draft);

/** Has the system begin to bring to the disk what it holds of the file, without waiting for it: a
 * large file that is synced at its end only would keep everything waiting there. Does nothing where
 * the system has no such call (it is Linux's own). */
void swt_file_begin_writing(const char *path);

/** fsync of a path and of its folder, then rename(temporary, path). */
SWT_MUST_USE swt_status swt_file_publish(const char *temporary, const char *path, swt_error *err);

/** Makes a folder and its parents; one that exists is fine. */
SWT_MUST_USE swt_status swt_folder_make(const char *path, swt_error *err);

/** Makes the folder that a file will be in, and its parents. */
SWT_MUST_USE swt_status swt_folder_make_for(const char *path, swt_error *err);

/** Fails where something of that name is there already, so that nothing is overwritten.
 *  @retval SWT_EIO */
SWT_MUST_USE swt_status swt_file_is_new(const char *path, swt_error *err);

#define SWT_SHA256_TEXT 65 /**< 64 hexadecimal digits and a NUL */

/** SHA-256 (FIPS 180-4) of a block, as lower-case hexadecimal text; empty, which is no digest, when
 *  memory runs out. */
void swt_sha256(char out[SWT_SHA256_TEXT], const void *bytes, size_t size);

#endif
