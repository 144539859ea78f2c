/** @file  A study as a BIDS dataset of motion.
 *  Layer: io. */
#ifndef SWT_IO_BIDS_DATASET_H
#define SWT_IO_BIDS_DATASET_H

#include "io/study/study.h"

/**
 * Writes the smoothed body of the swings listed as a derivative dataset: dataset_description.json,
 * README, participants.tsv with its json, and for each swing
 * sub-<player>/[ses-<session>/]motion/..._task-swing_tracksys-optical[_acq-<club>]_run-<n>_motion.tsv
 * with its sidecars and the swing's events, and *_scans.tsv with club, shot and capture. Labels
 * keep the letters and digits of the study's codes; two codes that become one label are numbered.
 * Positions are in the swing frame, in m.
 *
 * The folder must not exist or be empty; nothing is replaced.
 *
 * @param[in] swing  indices of the swings, rising
 * @retval SWT_EARG  no swings, or the folder holds something
 * @retval SWT_EIO, SWT_EFORMAT, SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_bids_dataset_write(const char *folder, const swt_study *study,
                                               const size_t *swing, size_t n, swt_error *err);

#endif
