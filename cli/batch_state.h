/** @file  What the files of the batch share. Included only by cli/batch*.c.
 *  Layer: cli. */
#ifndef SWT_CLI_BATCH_STATE_H
#define SWT_CLI_BATCH_STATE_H

#include "cli/batch.h"
#include "kinematics/marker_map.h"

/** Bounds memory, about 1.5 MB a capture of 60 markers x 2000 frames; the more captures in a
 * checkpoint, the less the making of its columns weighs. */
#define SWT_CHECKPOINT_CAPTURES 48

/** A marker map that rows of the sheet share. */
typedef struct swt_batch_map {
    const char *path; /**< owned by the sheet or the command line */
    char sha256[SWT_SHA256_TEXT];
    swt_marker_map map;
} swt_batch_map;

/** A study or checkpoint that captures can be kept from. */
typedef struct swt_batch_source {
    char *path;
    swt_study *rows; /**< its captures; NULL for a checkpoint made by this run */
} swt_batch_source;

/** What became of one row of the sheet. */
typedef struct swt_batch_result {
    bool kept;               /**< what a source holds of it stands; facts tell why, if not by being
                                  unchanged */
    swt_study_pick pick;     /**< which that is */
    swt_capture_facts facts; /**< with status and message */
    size_t n_swings;
    swt_swing **swing;   /**< owned, without their samples */
    swt_packed **packed; /**< owned: those samples         */
} swt_batch_result;

typedef struct swt_batch_state {
    const swt_batch *batch;
    swt_sheet *sheet;
    size_t first, n_rows; /**< rows of the sheet that are this batch's */
    swt_batch_map *map;
    size_t n_maps;
    char *options, *covariates;
    swt_provenance provenance;
    char part_text[48], checkpoint_folder[4200];

    swt_study *study; /**< captures of the study as it was, NULL where there is none           */
    bool may_keep;    /**< its numbers and those of this batch may stand in one column          */
    size_t n_sources; /**< source 0 is the study, if may_keep; then checkpoints */
    swt_batch_source *source;
    swt_names key;             /**< file, row and map of each capture of the sources            */
    swt_study_pick *candidate; /**< [key.n] the latest capture of that key                      */
    swt_names file;            /**< names of the study's captures                               */
    size_t *capture_of_file;   /**< [file.n] */

    swt_study_pick *pick; /**< [n_picks] what the new study is made of, row by row of the sheet */
    size_t n_picks;
    swt_batch_result *entry[SWT_CHECKPOINT_CAPTURES];
    size_t entry_row[SWT_CHECKPOINT_CAPTURES];
    size_t n_entries, last_checkpoint; /**< of the checkpoint in the making */
    bool may_grow; /**< every capture so far is new, and there are more than one checkpoint holds */
    swt_study_growth *growth; /**< then: the study, written along with the checkpoints */
    swt_names failed, told;   /**< why captures failed; what the study will not tell */
} swt_batch_state;

/* --- batch_state.c: what the steps below ask of it ------------------------------------------ */

/** The map of a row of the sheet. */
const swt_batch_map *swt_batch_map_of(const swt_batch_state *state, const swt_trial *trial);

/** SHA-256 of what a row of the sheet says of its capture, by content and not by place. */
void swt_batch_row_hash(char out[SWT_SHA256_TEXT], const swt_sheet *sheet, const swt_trial *trial);

enum { SWT_BATCH_KEY = 4096 + 2 * SWT_SHA256_TEXT + 2 };

/** What tells captures of the sources apart: file, sheet row and map. @return its length */
size_t swt_batch_write_key(char key[SWT_BATCH_KEY], const char *file, const char *row,
                           const char *map);

/** A capture of a source with the row's file, sheet row and map; NULL: none. */
const swt_study_pick *swt_batch_candidate(const swt_batch_state *state, size_t row);

/** The study's capture of that file, whatever its row and map; NULL: none. */
const swt_study_capture *swt_batch_stored(const swt_batch_state *state, const char *file);

void swt_batch_result_free(swt_batch_result *result);

/** Frees all that the state owns. */
void swt_batch_release(swt_batch_state *state);

/* --- the steps ----------------------------------------------------------------------------- */

/** Reads sheet and maps, makes the folder of checkpoints.
 *  @return SWT_EXIT_ALL_DONE, or the exit code after the words were printed */
int swt_batch_prepare(swt_batch_state *state);

/** Opens the study as it is, and what a stopped or killed run left of checkpoints.
 *  @return as swt_batch_prepare */
int swt_batch_plan(swt_batch_state *state);

/** Adds the study's captures that the sheet no longer names to the picks, or drops them.
 *  @return as swt_batch_prepare */
int swt_batch_keep_removed(swt_batch_outcome *outcome, swt_batch_state *state);

/** Would the study that the picks make be the one that stands? */
bool swt_batch_is_unchanged(const swt_batch_state *state);

/** Adds a finished checkpoint to the sources, for which there is room. */
SWT_MUST_USE swt_status swt_batch_add_source(swt_batch_state *state, const char *path,
                                             swt_study *rows, swt_error *err);

/** Removes checkpoints and their folder. */
void swt_batch_remove_checkpoints(const swt_batch_state *state);

/** Does one row of the sheet: kept where nothing has changed, else read, bound, analysed. Any
 *  thread; the state is only read.
 *  @return  NULL: out of memory; else freed by swt_batch_result_free */
swt_batch_result *swt_batch_row(const swt_batch_state *state, size_t row);

#endif
