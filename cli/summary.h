/** @file  What a person should know after a command: printed on standard output.
 *  Layer: cli. */
#ifndef SWT_CLI_SUMMARY_H
#define SWT_CLI_SUMMARY_H

#include "io/study/study.h"

/** One line a capture: what it holds, or why it cannot be used. */
void swt_cli_print_captures(const swt_study *study);

/** Counts of captures and swings, then each kind of finding with how often it occurs and one
 *  example, the serious first. */
void swt_cli_print_summary(const swt_study *study);

#endif
