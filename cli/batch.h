/** @file  The batch: the rows of a sheet in, one study out.
 *  Layer: cli. */
#ifndef SWT_CLI_BATCH_H
#define SWT_CLI_BATCH_H

#include "cli/cli.h"
#include "io/study/study.h"
#include "kinematics/options.h"

/** What to do with each capture. */
typedef enum swt_batch_depth {
    SWT_BATCH_IMPORT, /**< read, match labels, note what is there */
    SWT_BATCH_MEASURE /**< and compute the swing                  */
} swt_batch_depth;

/** What is said on standard output. */
typedef enum swt_batch_voice {
    SWT_SAY_WORDS,
    SWT_SAY_JSON,   /**< a JSON object a line, for scripts */
    SWT_SAY_NOTHING /**< problems on standard error alone  */
} swt_batch_voice;

typedef struct swt_batch {
    const swt_cli_command *command; /**< in whose name messages are printed                  */
    const char *command_line;       /**< kept in the study                                   */
    const char *sheet_path;
    const char *map_path; /**< NULL: each row of the sheet names its map                     */
    const char *study_path;
    swt_batch_depth depth;
    swt_analysis_options options;
    size_t threads;       /**< that read and compute, at least 1                          */
    size_t part, n_parts; /**< the part of the sheet's rows to do, from 1; of 1: all of them     */
    bool drop_removed;    /**< drop captures of the study that the sheet no longer names         */
    swt_batch_voice voice;
    bool hash_all; /**< believe no time stamp: compare every file by its hash             */
    const swt_study *imported; /**< sheet, map and captures must still be these; NULL = no check */
} swt_batch;

typedef struct swt_batch_outcome {
    size_t n_captures; /**< rows of the sheet that were gone through                        */
    size_t n_kept;     /**< of them, whose stored row stands                                 */
    size_t n_failed;
    size_t n_removed; /**< captures of the study that the sheet no longer names             */
    bool unchanged;   /**< the study stands as it was                                       */
} swt_batch_outcome;

/**
 * Reads the sheet and its maps, goes through the captures in a pool of threads, writes the study.
 * Only the calling thread touches the study; the numbers do not depend on how many threads there
 * are.
 *
 * A capture is done again only if its bytes, its row of the sheet, its map, its static capture, the
 * options or the code that makes the numbers have changed. Where nothing has, the study stays as it
 * is, with its comparisons. Stored swings give way to new ones only: a file that can no longer be
 * read is told, and its swings stay.
 * What a killed or stopped run had finished is used. SIGTERM and SIGINT end the batch after the
 * captures in hand, with what was done kept as checkpoints.
 *
 * A capture that fails is noted in the study and the rest goes on; when all fail, the reasons are
 * told on standard error and no study is written.
 * Memory holds the captures of one checkpoint (some tens) and a few captures a thread.
 *
 * @return SWT_EXIT_ALL_DONE, SOME_FAILED, NO_INPUT (words printed, no study written), NO_OUTPUT,
 *         STOPPED
 */
int swt_batch_run(swt_batch_outcome *outcome, const swt_batch *batch);

#endif
