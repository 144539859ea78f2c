/* The batch: results of a pool of threads, in the order of the sheet, to checkpoints and to the
 * study. */
#include "base/capture.h"
#include "cli/batch_pool.h"
#include "cli/batch_state.h"
#include "cli/progress.h"
#include "cli/stop.h"
#include "cli/tell.h"
#include "io/json.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* Captures begun ahead of what was taken, for each thread: with two, one thread can go on for as
 * long as the other takes to write a checkpoint. */
enum { WINDOW_PER_THREAD = 16 };

/* --- checkpoints -------------------------------------------------------------------------------
 */

static swt_status write_checkpoint(swt_batch_state *state, swt_error *err)
{
    swt_study_entry entry[SWT_CHECKPOINT_CAPTURES];
    char path[4400];
    swt_status rc;

    if (state->n_entries == 0)
        return SWT_OK;
    for (size_t i = 0; i < state->n_entries; i++)
        entry[i] = (swt_study_entry){.trial = &state->sheet->trial[state->entry_row[i]],
                                     .facts = &state->entry[i]->facts,
                                     .n_swings = state->entry[i]->n_swings,
                                     .swing = state->entry[i]->swing,
                                     .packed = state->entry[i]->packed};
    snprintf(path, sizeof path, "%s/checkpoint-%06zu.h5", state->checkpoint_folder,
             ++state->last_checkpoint);
    rc = swt_folder_make(state->checkpoint_folder, err);
    if (rc == SWT_OK && state->may_grow && !state->growth)
        rc = swt_study_growth_new(&state->growth, state->batch->study_path, state->n_rows,
                                  &state->provenance, err);
    if (rc == SWT_OK && state->n_rows > SWT_CHECKPOINT_CAPTURES)
        rc = swt_study_write_checkpoint(path, entry, state->n_entries, &state->provenance,
                                        state->growth, err);
    else if (rc ==
             SWT_OK) /* where there are few rows the checkpoint can become the study (is_whole) */
        rc = swt_study_write(path, entry, state->n_entries, &state->provenance, err);
    for (size_t i = 0; i < state->n_entries; i++)
        swt_batch_result_free(state->entry[i]);
    state->n_entries = 0;
    return rc == SWT_OK ? swt_batch_add_source(state, path, NULL, err) : rc;
}

/* A capture that stands as it was comes from elsewhere: the study is to be gathered at the end. */
static void stop_growing(swt_batch_state *state)
{
    swt_study_growth_free(state->growth);
    state->growth = NULL;
    state->may_grow = false;
}

static swt_status note_failure(swt_batch_state *state, swt_batch_outcome *outcome,
                               const swt_capture_facts *facts, bool told_by_study, swt_error *err)
{
    size_t at;
    swt_status rc = swt_names_add(&at, &state->failed, facts->message, strlen(facts->message), err);

    outcome->n_failed++;
    if (rc == SWT_OK && !told_by_study)
        rc = swt_names_add(&at, &state->told, facts->message, strlen(facts->message), err);
    return rc;
}

/** The study's own swings of a file that can no longer be read: they stay. */
static bool still_stored(swt_study_pick *pick, const swt_batch_state *state,
                         const swt_batch_result *result, const char *file)
{
    const swt_study_capture *stored = state->may_keep ? swt_batch_stored(state, file) : NULL;

    size_t n = 0;

    if (result->facts.status != SWT_EIO || !stored || stored->status != SWT_OK)
        return false;
    for (size_t i = 0; i < state->study->n_captures; i++)
        n += strcmp(state->study->capture[i].file, file) == 0;
    if (n > 1)
        return false; /* of several people: whose? */
    *pick = (swt_study_pick){0, (size_t)(stored - state->study->capture)};
    return true;
}

static void say_capture(const swt_batch_state *state, const swt_trial *trial,
                        const swt_batch_result *result, bool kept)
{
    if (state->batch->voice != SWT_SAY_JSON)
        return;
    fputs("{\"event\": \"capture\", \"file\": ", stdout);
    swt_json_string(stdout, trial->file);
    printf(", \"line\": %d, \"state\": \"%s\"", trial->line,
           result->facts.status != SWT_OK ? "failed"
           : kept                         ? "kept"
                                          : "done");
    if (!kept && state->batch->depth == SWT_BATCH_MEASURE)
        printf(", \"swings\": %zu", result->n_swings);
    if (result->facts.message[0]) {
        fputs(", \"message\": ", stdout);
        swt_json_string(stdout, result->facts.message);
    }
    puts("}");
}

static int say_end(const swt_batch *batch, const swt_batch_outcome *outcome, int code)
{
    if (batch->voice != SWT_SAY_JSON)
        return code;
    fputs("{\"event\": \"end\", \"study\": ", stdout);
    swt_json_string(stdout, batch->study_path);
    printf(", \"captures\": %zu, \"kept\": %zu, \"failed\": %zu, \"removed\": %zu, "
           "\"unchanged\": %s, \"exit_code\": %d}\n",
           outcome->n_captures, outcome->n_kept, outcome->n_failed, outcome->n_removed,
           outcome->unchanged ? "true" : "false", code);
    return code;
}

/** Takes over a result. */
static swt_status take_result(swt_batch_state *state, size_t row, swt_batch_result *result,
                              swt_batch_outcome *outcome, swt_error *err)
{
    const swt_trial *trial = &state->sheet->trial[row];
    swt_study_pick *pick = &state->pick[state->n_picks];
    swt_status rc = SWT_OK;
    bool kept;

    if (!result || result->facts.status == SWT_ENOMEM) {
        swt_batch_result_free(result);
        return swt_fail(err, SWT_ENOMEM, "%s: out of memory", trial->path);
    }
    *pick = result->pick;
    kept = result->kept || still_stored(pick, state, result, trial->file);
    if (result->facts.status != SWT_OK) {
        bool told =
            !kept || state->source[pick->source].rows->capture[pick->capture].status != SWT_OK;
        rc = note_failure(state, outcome, &result->facts, told, err);
    }
    say_capture(state, trial, result, kept);
    outcome->n_captures++;
    outcome->n_kept += kept;
    state->n_picks++;
    if (kept) {
        stop_growing(state);
        swt_batch_result_free(result);
        return rc;
    }
    *pick = (swt_study_pick){state->n_sources, state->n_entries};
    state->entry[state->n_entries] = result;
    state->entry_row[state->n_entries++] = row;
    return rc == SWT_OK && state->n_entries == SWT_CHECKPOINT_CAPTURES
               ? write_checkpoint(state, err)
               : rc;
}

/* --- the rows ---------------------------------------------------------------------------- */

/* What the threads see: the state, of which they read what does not change, and the places of their
 * results. */
typedef struct rows {
    const swt_batch_state *state;
    swt_batch_result **result; /* [window] */
    size_t window;
} rows;

static void do_row(void *user, size_t index)
{
    const rows *r = user;

    r->result[index % r->window] = swt_batch_row(r->state, r->state->first + index);
}

static swt_status take_all(swt_batch_outcome *outcome, swt_batch_state *state, rows *r,
                           swt_pool *pool, swt_error *err)
{
    size_t n = state->n_rows;
    swt_progress progress;
    swt_status rc = SWT_OK;

    swt_progress_begin(&progress, n);
    for (size_t i = 0; i < n && rc == SWT_OK; i++) {
        swt_batch_result *result;
        swt_progress_step(&progress, i, "captures");
        swt_pool_wait(pool, i);
        result = r->result[i % r->window];
        r->result[i % r->window] = NULL;
        swt_pool_taken(pool, i + 1);
        rc = take_result(state, state->first + i, result, outcome, err);
        if (swt_stop_requested())
            n = swt_pool_stop(pool);
    }
    swt_progress_end(&progress);
    return rc == SWT_OK ? write_checkpoint(state, err) : rc;
}

static swt_status process_rows(swt_batch_outcome *outcome, swt_batch_state *state, swt_error *err)
{
    size_t threads = state->batch->threads;
    rows r = {.state = state, .window = WINDOW_PER_THREAD * threads};
    swt_pool *pool = NULL;
    swt_status rc;

    r.result = calloc(r.window, sizeof(swt_batch_result *));
    /* every row, and whatever the sheet no longer names */
    state->may_grow = state->n_rows > SWT_CHECKPOINT_CAPTURES;
    state->pick = calloc(state->n_rows + (state->study ? state->study->n_captures : 0) + 1,
                         sizeof *state->pick);
    if (!r.result || !state->pick) {
        free(r.result);
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    }
    rc = swt_pool_begin(&pool, threads, state->n_rows, r.window, do_row, &r, err);
    if (rc == SWT_OK)
        rc = take_all(outcome, state, &r, pool, err);
    swt_pool_end(pool);
    for (size_t i = 0; i < r.window; i++)
        swt_batch_result_free(r.result[i]);
    free(r.result);
    return rc;
}

/* --- the study --------------------------------------------------------------------------- */

/** One checkpoint of this run that holds all captures is the study already. */
static bool is_whole(const swt_batch_state *state)
{
    for (size_t i = 0; i < state->n_picks; i++)
        if (state->pick[i].source != state->n_sources - 1 || state->pick[i].capture != i)
            return false;
    return state->n_sources > state->may_keep && !state->source[state->n_sources - 1].rows;
}

static swt_status write_study(swt_batch_state *state, swt_error *err)
{
    const char **path = malloc((state->n_sources + 1) * sizeof *path);
    swt_status rc;

    if (!path)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; i < state->n_sources; i++)
        path[i] = state->source[i].path;
    if (is_whole(state)) {
        rc = swt_file_publish(path[state->n_sources - 1], state->batch->study_path, err);
    } else if (swt_study_growth_captures(state->growth) == state->n_picks) {
        rc = swt_study_growth_finish(state->growth, err);
    } else {
        stop_growing(state); /* its room on the disk may be needed */
        swt_progress_say("Writing the study");
        rc = swt_study_gather(state->batch->study_path, path, state->n_sources, state->pick,
                              state->n_picks, &state->provenance, err);
        swt_progress_say(NULL);
    }
    free(path);
    return rc;
}

static void tell(const swt_batch *batch, const swt_names *lines)
{
    char path[4300];

    snprintf(path, sizeof path, "%s.problems.txt", batch->study_path);
    swt_cli_tell(batch->command, (const char *const *)lines->name, lines->n, path);
}

static int finish(swt_batch_outcome *outcome, swt_batch_state *state)
{
    const swt_batch *batch = state->batch;
    swt_error err = SWT_ERROR_INIT;
    int code;

    if (outcome->n_captures < state->n_rows)
        return swt_cli_fail(batch->command, SWT_EXIT_STOPPED,
                            "stopped after %zu of %zu captures; the same command goes on from "
                            "there",
                            outcome->n_captures, state->n_rows);
    if (outcome->n_failed == outcome->n_captures && outcome->n_kept == 0) {
        tell(batch, &state->failed);
        swt_batch_remove_checkpoints(state);
        return swt_cli_fail(batch->command, SWT_EXIT_NO_INPUT, "%s; no study was written",
                            outcome->n_captures == 1 ? "the only capture could not be used"
                                                     : "none of the captures could be used");
    }
    tell(batch, &state->told);
    code = swt_batch_keep_removed(outcome, state);
    if (code != SWT_EXIT_ALL_DONE)
        return code;
    outcome->unchanged = swt_batch_is_unchanged(state);
    if (!outcome->unchanged && write_study(state, &err) != SWT_OK)
        return swt_cli_fail(batch->command, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
    swt_batch_remove_checkpoints(state);
    return outcome->n_failed ? SWT_EXIT_SOME_FAILED : SWT_EXIT_ALL_DONE;
}

int swt_batch_run(swt_batch_outcome *outcome, const swt_batch *batch)
{
    swt_batch_state *state = calloc(1, sizeof *state);
    swt_error err = SWT_ERROR_INIT;
    int code;

    *outcome = (swt_batch_outcome){0};
    if (!state)
        return swt_cli_fail(batch->command, SWT_EXIT_NO_OUTPUT, "out of memory");
    state->batch = batch;
    swt_stop_on_signals();
    code = swt_batch_prepare(state);
    if (code == SWT_EXIT_ALL_DONE)
        code = swt_batch_plan(state);
    if (code == SWT_EXIT_ALL_DONE)
        code = process_rows(outcome, state, &err) == SWT_OK
                   ? finish(outcome, state)
                   : swt_cli_fail(batch->command, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
    rmdir(state->checkpoint_folder); /* stays where checkpoints are in it */
    swt_batch_release(state);
    free(state);
    return say_end(batch, outcome, code);
}
