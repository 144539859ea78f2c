/** @file  The options that import, measure and run share: how the batch is done. None of them
 *  changes a number.
 *  Layer: cli. */
#ifndef SWT_CLI_BATCH_OPTIONS_H
#define SWT_CLI_BATCH_OPTIONS_H

#include "cli/batch.h"

typedef struct swt_cli_batch {
    long threads; /**< 0 = as many as there are cores */
    char *part;   /**< "K/N" or NULL                  */
    int drop_removed, hash_all, json, quiet;
} swt_cli_batch;

/** The row of a popt table for a part of the sheet; `swathe measure` has none, since the part is
 * that of the import. */
#define SWT_CLI_PART_OPTION(b)                                                                     \
    {                                                                                              \
        "part", '\0', POPT_ARG_STRING, &(b).part, 0,                                               \
            "do the K-th of N parts of the sheet's rows; swathe merge joins the studies", "K/N"    \
    }

/** Rows of a popt table for the swt_cli_batch `b`. */
#define SWT_CLI_BATCH_OPTIONS(b)                                                                   \
    {"drop-removed",                                                                               \
     '\0',                                                                                         \
     POPT_ARG_NONE,                                                                                \
     &(b).drop_removed,                                                                            \
     0,                                                                                            \
     "drop captures from the study that the sheet no longer names",                                \
     NULL},                                                                                        \
        {"hash-all",    '\0', POPT_ARG_NONE,                                                       \
         &(b).hash_all, 0,    "tell unchanged files by their bytes, not by size and times",        \
         NULL},                                                                                    \
        {"json",    '\0', POPT_ARG_NONE,                                                           \
         &(b).json, 0,    "print a JSON object for each capture and for the whole, for scripts",   \
         NULL},                                                                                    \
        {"quiet", 'q', POPT_ARG_NONE, &(b).quiet, 0, "print problems only", NULL},                 \
    {                                                                                              \
        "threads", 'j', POPT_ARG_LONG, &(b).threads, 0,                                            \
            "that read and compute; 0 = one for each core", "N"                                    \
    }

/** Reads "3/10" into `batch`; false when it is nothing of the kind. */
bool swt_cli_read_part(swt_batch *batch, const char *text);

/** Checks the ranges and fills `batch`. @return SWT_CLI_GO_ON, or SWT_EXIT_USAGE after the words */
int swt_cli_check_batch(swt_batch *batch, const swt_cli_command *command,
                        const swt_cli_batch *options);

#endif
