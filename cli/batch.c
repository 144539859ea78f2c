/* The batch: results of a pool of threads, in the order of the sheet, to parts and to the study. */
#include "cli/batch_pool.h"
#include "cli/batch_state.h"
#include "cli/progress.h"

#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

enum { WINDOW_PER_THREAD = 4 }; /* captures begun ahead of what was taken, for each thread */

/* --- parts ------------------------------------------------------------------------------- */

static swt_status write_part(swt_batch_state *state, swt_error *err)
{
    swt_study_entry entry[SWT_PART_CAPTURES];
    char path[4400];
    swt_status rc;

    if (state->n_entries == 0)
        return SWT_OK;
    for (size_t i = 0; i < state->n_entries; i++)
        entry[i] = (swt_study_entry){.trial = &state->sheet->trial[state->entry_row[i]],
                                     .facts = &state->entry[i]->facts,
                                     .n_swings = state->entry[i]->n_swings,
                                     .swing = state->entry[i]->swing};
    snprintf(path, sizeof path, "%s/part-%06zu.h5", state->part_folder, state->n_parts + 1);
    rc = swt_study_write(path, entry, state->n_entries, &state->provenance, err);
    for (size_t i = 0; i < state->n_entries; i++)
        swt_batch_result_free(state->entry[i]);
    state->n_entries = 0;
    if (rc == SWT_OK)
        rc = swt_string_set(&state->part[state->n_parts], path, err);
    state->n_parts += rc == SWT_OK;
    return rc;
}

/** Takes over a result. */
static swt_status add_entry(swt_batch_state *state, size_t row, swt_batch_result *result,
                            swt_batch_outcome *outcome, swt_error *err)
{
    const swt_capture_facts *facts;

    if (!result || result->facts.status == SWT_ENOMEM) {
        swt_batch_result_free(result);
        return swt_fail(err, SWT_ENOMEM, "%s: out of memory", state->sheet->trial[row].path);
    }
    facts = &result->facts;
    state->entry[state->n_entries] = result;
    state->entry_row[state->n_entries++] = row;
    outcome->n_captures++;
    outcome->n_swings += result->n_swings;
    if (facts->status != SWT_OK) {
        swt_status rc = swt_string_set(&state->failure[outcome->n_failed], facts->message, err);
        if (rc != SWT_OK)
            return rc;
        outcome->n_failed++;
    }
    return state->n_entries == SWT_PART_CAPTURES ? write_part(state, err) : SWT_OK;
}

static void remove_parts(swt_batch_state *state)
{
    for (size_t i = 0; i < state->n_parts; i++)
        unlink(state->part[i]);
    rmdir(state->part_folder);
}

/* --- the rows ---------------------------------------------------------------------------- */

/* What the threads see: the state, which they only read, and the places of their results. */
typedef struct rows {
    const swt_batch_state *state;
    swt_batch_result **result; /* [window] */
    size_t window;
} rows;

static void do_row(void *user, size_t row)
{
    const rows *r = user;

    r->result[row % r->window] = swt_batch_row(r->state, row);
}

static swt_status process_rows(swt_batch_outcome *outcome, swt_batch_state *state, swt_error *err)
{
    size_t n = state->sheet->n_trials, threads = state->batch->threads;
    rows r = {.state = state, .window = WINDOW_PER_THREAD * threads};
    swt_progress progress;
    swt_pool *pool = NULL;
    swt_status rc;

    r.result = calloc(r.window, sizeof(swt_batch_result *));
    if (!r.result)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    swt_progress_begin(&progress, n);
    rc = swt_pool_begin(&pool, threads, n, r.window, do_row, &r, err);
    for (size_t row = 0; row < n && rc == SWT_OK; row++) {
        swt_batch_result *result;
        swt_progress_step(&progress, row, "captures");
        swt_pool_wait(pool, row);
        result = r.result[row % r.window];
        r.result[row % r.window] = NULL;
        swt_pool_taken(pool, row + 1);
        rc = add_entry(state, row, result, outcome, err);
    }
    swt_pool_end(pool);
    swt_progress_end(&progress);
    for (size_t i = 0; i < r.window; i++)
        swt_batch_result_free(r.result[i]);
    free(r.result);
    return rc;
}

/* --- the whole --------------------------------------------------------------------------- */

static int process_all(swt_batch_outcome *outcome, swt_batch_state *state)
{
    const swt_batch *batch = state->batch;
    swt_error err = SWT_ERROR_INIT;
    swt_status rc = process_rows(outcome, state, &err);

    if (rc == SWT_OK && outcome->n_failed == outcome->n_captures) {
        for (size_t i = 0; i < outcome->n_failed; i++)
            swt_cli_fail(batch->command, 0, "%s", state->failure[i]);
        return swt_cli_fail(batch->command, SWT_EXIT_NO_INPUT, "%s; no study was written",
                            outcome->n_captures == 1 ? "the only capture could not be used"
                                                     : "none of the captures could be used");
    }
    if (rc == SWT_OK)
        rc = write_part(state, &err);
    if (rc == SWT_OK)
        rc = swt_study_merge(batch->study_path, (const char *const *)state->part, state->n_parts,
                             &err);
    if (rc != SWT_OK)
        return swt_cli_fail(batch->command, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
    return outcome->n_failed ? SWT_EXIT_SOME_FAILED : SWT_EXIT_ALL_DONE;
}

int swt_batch_run(swt_batch_outcome *outcome, const swt_batch *batch)
{
    swt_batch_state *state = calloc(1, sizeof *state);
    int code;

    *outcome = (swt_batch_outcome){0};
    if (!state)
        return swt_cli_fail(batch->command, SWT_EXIT_NO_OUTPUT, "out of memory");
    state->batch = batch;
    code = swt_batch_prepare(state);
    if (code == SWT_EXIT_ALL_DONE) {
        code = process_all(outcome, state);
        remove_parts(state);
    }
    swt_batch_release(state);
    free(state);
    return code;
}
