/** @file  File names of BIDS: key-value pairs, a suffix, an ending.
 *  Layer: io. Brain Imaging Data Structure 1.9, "Common principles", and its motion extension. */
#ifndef SWT_IO_BIDS_NAME_H
#define SWT_IO_BIDS_NAME_H

#include "base/status.h"

#include <stdbool.h>
#include <stddef.h>

enum { SWT_BIDS_ENTITIES = 16, SWT_BIDS_LABEL = 64 };

/** "sub-01_task-swing_tracksys-optical_motion.tsv" taken apart. */
typedef struct swt_bids_name {
    size_t n;
    char key[SWT_BIDS_ENTITIES][16];
    char value[SWT_BIDS_ENTITIES][SWT_BIDS_LABEL];
    char suffix[16]; /**< "motion"        */
    char ending[8];  /**< ".tsv"          */
} swt_bids_name;

/** Takes the last part of a path apart; false when it is no BIDS name. */
bool swt_bids_name_split(swt_bids_name *name, const char *path);

/** The value of a key, or NULL. */
const char *swt_bids_name_value(const swt_bids_name *name, const char *key);

/** True when a file of name `side` may tell about `of`: every pair of it is in `of` (the
 *  inheritance principle). */
bool swt_bids_name_applies(const swt_bids_name *side, const swt_bids_name *of);

/** True for paths that end in "_motion.tsv". */
bool swt_bids_is_motion(const char *path);

/**
 * May a recording be written there? sub-<label>[_ses-<label>]_task-<label>_tracksys-<label>
 * [_acq-<label>][_run-<index>]_motion.tsv, in this order, labels of letters and digits.
 * @retval SWT_EARG  what is wrong with it
 */
SWT_MUST_USE swt_status swt_bids_name_check(swt_bids_name *name, const char *path, swt_error *err);

#endif
