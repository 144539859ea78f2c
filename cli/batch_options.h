/** @file  The options that import, measure and run share: how the batch is done. None of them
 *  changes a number.
 *  Layer: cli. */
#ifndef SWT_CLI_BATCH_OPTIONS_H
#define SWT_CLI_BATCH_OPTIONS_H

#include "cli/batch.h"

typedef struct swt_cli_batch {
    long threads; /**< 0 = as many as there are cores */
} swt_cli_batch;

/** Rows of a popt table for the swt_cli_batch `b`. */
#define SWT_CLI_BATCH_OPTIONS(b)                                                                   \
    {                                                                                              \
        "threads", 'j', POPT_ARG_LONG, &(b).threads, 0,                                            \
            "that read and compute; 0 = one for each core", "N"                                    \
    }

/** Checks the ranges and fills `batch`. @return SWT_CLI_GO_ON, or SWT_EXIT_USAGE after the words */
int swt_cli_check_batch(swt_batch *batch, const swt_cli_command *command,
                        const swt_cli_batch *options);

#endif
