/** @file  What a person should know after a command: printed on standard output.
 *  Layer: cli. */
#ifndef SWT_CLI_SUMMARY_H
#define SWT_CLI_SUMMARY_H

#include "cli/batch.h"

/** What the captures hold: one line for all that are recorded alike; with `each` a line a capture,
 * and why it cannot be used. */
void swt_cli_print_captures(const swt_study *study, bool each);

/** What was kept, and what the sheet no longer names; nothing where neither occurs. */
void swt_cli_print_outcome(const swt_batch *batch, const swt_batch_outcome *outcome);

/** Counts of captures and swings, and what failed. */
void swt_cli_print_counts(const swt_study *study);

/** Each kind of finding with how often it occurs and one example, the serious first, down to the
 *  severity `least`. What is said of captures as a whole (does the map fit?) counts as one kind
 * only where the words are the same. */
void swt_cli_print_findings(const swt_study *study, swt_severity least);

/** Both, as far as a reading may change, and whether swings are there twice. */
void swt_cli_print_summary(const swt_study *study);

#endif
