/** @file  What the files of the batch share. Included only by cli/batch*.c.
 *  Layer: cli. */
#ifndef SWT_CLI_BATCH_STATE_H
#define SWT_CLI_BATCH_STATE_H

#include "cli/batch.h"
#include "kinematics/marker_map.h"

enum {
    SWT_PART_CAPTURES = 32
}; /**< bounds memory: about 3 MB a capture of 60 markers x 2000
        frames */

/** A marker map that rows of the sheet share. */
typedef struct swt_batch_map {
    const char *path; /**< owned by the sheet or the command line */
    char sha256[SWT_SHA256_TEXT];
    swt_marker_map map;
} swt_batch_map;

/** What became of one row of the sheet. */
typedef struct swt_batch_result {
    swt_capture_facts facts; /**< with status and message */
    size_t n_swings;
    swt_swing **swing; /**< owned */
} swt_batch_result;

typedef struct swt_batch_state {
    const swt_batch *batch;
    swt_sheet *sheet;
    swt_batch_map *map;
    size_t n_maps;
    char *options, *covariates;
    swt_provenance provenance;
    char part_folder[4200];
    size_t n_parts;
    char **part; /**< paths of finished parts */
    swt_batch_result *entry[SWT_PART_CAPTURES];
    size_t entry_row[SWT_PART_CAPTURES];
    size_t n_entries; /**< of the part in the making */
    char **failure;   /**< one text a failed capture: only told when nothing else is */
} swt_batch_state;

/** Reads sheet and maps, makes the folder of parts.
 *  @return SWT_EXIT_ALL_DONE, or the exit code after the words were printed */
int swt_batch_prepare(swt_batch_state *state);

/** Frees all that the state owns. */
void swt_batch_release(swt_batch_state *state);

/** The map of a row of the sheet. */
const swt_batch_map *swt_batch_map_of(const swt_batch_state *state, const swt_trial *trial);

/** Does one row of the sheet: reads, binds, analyses. Any thread; the state is only read.
 *  @return  NULL: out of memory; else freed by swt_batch_result_free */
swt_batch_result *swt_batch_row(const swt_batch_state *state, size_t row);
void swt_batch_result_free(swt_batch_result *result);

#endif
