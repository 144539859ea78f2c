/** @file  One line on standard error that tells how far long work is; only on a terminal.
 *  Layer: cli. */
#ifndef SWT_CLI_PROGRESS_H
#define SWT_CLI_PROGRESS_H

#include <stdbool.h>
#include <stddef.h>
#include <time.h>

typedef struct swt_progress {
    bool shown; /**< standard error is a terminal */
    size_t total;
    struct timespec start, last;
} swt_progress;

/** From now on nothing is shown. */
void swt_progress_off(void);

void swt_progress_begin(swt_progress *progress, size_t total);

/** Shows how many are done, of what, and the time left; ten times a second at most. */
void swt_progress_step(swt_progress *progress, size_t done, const char *what);

/** Takes the line away. */
void swt_progress_end(swt_progress *progress);

/** Shows one step of long work, until the next one or, with NULL, until nothing; on a terminal. */
void swt_progress_say(const char *step);

#endif
