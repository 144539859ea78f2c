/** @file  Reading a recording of the motion extension of BIDS.
 *  Layer: io. Jeung et al. 2024, Sci Data 11:716 (the extension; from memory) and the published
 *  schema, rules/sidecars/motion and rules/tabular_data/motion. */
#ifndef SWT_IO_BIDS_READ_H
#define SWT_IO_BIDS_READ_H

#include "io/bids/bids_sidecar.h"

/**
 * Makes a capture of a recording in memory.
 *
 * `motion` has no header row (one that repeats the channels' names is passed over with a warning),
 * a column for each row of `channels` in the same order, "n/a" or NaN where a value is missing. The
 * x, y and z of a tracked point become a point with its name; MISC channels become analog channels
 * of one sample a frame; other channels are left aside with a warning. The rate is
 * SamplingFrequencyEffective, else SamplingFrequency, else the channels' own; a LATENCY channel
 * must agree with it and shows where frames are absent. Different length units become the first
 * one's.
 *
 * @param[out] out  NULL on failure
 * @retval SWT_EFORMAT  line and column named; SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_bids_parse(swt_capture **out, const void *motion, size_t size,
                                       const swt_bids_channels *channels,
                                       const swt_bids_facts *facts, swt_error *err);

/** Adds the rows of an `*_events.tsv`: onset, and trial_type as the event's name.
 *  @retval SWT_EFORMAT, SWT_ENOMEM */
SWT_MUST_USE swt_status swt_bids_events_parse(swt_capture *capture, const void *text, size_t size,
                                              swt_error *err);

/**
 * Reads `*_motion.tsv`, whose bytes the caller has, with what lies beside it: `*_channels.tsv`,
 * `*_motion.json` (also those further up in the dataset, the nearer one before the farther one) and
 * its `*_events.tsv`.
 * @retval SWT_EFORMAT  as above, or no table of channels; a message about another file begins with
 *                      its path
 */
SWT_MUST_USE swt_status swt_bids_read(swt_capture **out, const char *path, const void *motion,
                                      size_t size, swt_error *err);

#endif
