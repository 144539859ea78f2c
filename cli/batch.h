/** @file  The batch: the rows of a sheet in, one study out.
 *  Layer: cli. */
#ifndef SWT_CLI_BATCH_H
#define SWT_CLI_BATCH_H

#include "cli/cli.h"
#include "io/study/study.h"
#include "kinematics/analyse.h"

/** What to do with each capture. */
typedef enum swt_batch_depth {
    SWT_BATCH_IMPORT, /**< read, match labels, note what is there */
    SWT_BATCH_MEASURE /**< and compute the swing                  */
} swt_batch_depth;

typedef struct swt_batch {
    const swt_cli_command *command; /**< in whose name messages are printed                  */
    const char *command_line;       /**< kept in the study                                   */
    const char *sheet_path;
    const char *map_path; /**< NULL: each row of the sheet names its map                     */
    const char *study_path;
    swt_batch_depth depth;
    swt_analysis_options options;
    size_t threads;            /**< that read and compute, at least 1                          */
    const swt_study *imported; /**< sheet, map and captures must still be these; NULL = no check */
} swt_batch;

typedef struct swt_batch_outcome {
    size_t n_captures, n_failed, n_swings;
} swt_batch_outcome;

/**
 * Reads the sheet and its maps, goes through the captures in a pool of threads, writes the study.
 * Only the calling thread touches the study; the numbers do not depend on how many threads there
 * are.
 *
 * A capture that fails is noted in the study and the rest goes on; when all fail, the reasons are
 * told on standard error and no study is written.
 * Memory holds one part of the study (some tens of captures) and a few captures a thread.
 *
 * @return SWT_EXIT_ALL_DONE, SOME_FAILED, NO_INPUT (words printed, no study written), NO_OUTPUT
 */
int swt_batch_run(swt_batch_outcome *outcome, const swt_batch *batch);

#endif
