/* What need not be done again: captures of the study as it is, and of checkpoints that a stopped or
 * killed run left, found again by file, row of the sheet and map. */
#include "base/capture.h"
#include "cli/batch_state.h"
#include "io/study/study_lock.h"

#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static bool same_rules(const swt_batch_state *state, const swt_study *rows)
{
    const swt_provenance *p = &state->provenance;
    size_t n = rows->n_covariates;
    bool same = rows->schema == SWT_STUDY_SCHEMA && strcmp(rows->numerics, p->numerics) == 0 &&
                strcmp(rows->options, p->options) == 0 && n == state->sheet->n_covariates;

    for (size_t i = 0; i < n && same; i++)
        same = strcmp(rows->covariate_name[i], state->sheet->covariate_name[i]) == 0;
    return same;
}

swt_status swt_batch_add_source(swt_batch_state *state, const char *path, swt_study *rows,
                                swt_error *err)
{
    swt_batch_source *source = &state->source[state->n_sources];

    *source = (swt_batch_source){NULL, rows};
    if (swt_string_set(&source->path, path, err) != SWT_OK)
        return SWT_ENOMEM;
    state->n_sources++;
    return SWT_OK;
}

/* Room for the study, for n checkpoints and for those that this run will make: the list must not
 * move while threads read it. */
static swt_status make_room(swt_batch_state *state, size_t n, swt_error *err)
{
    swt_batch_source *more =
        realloc(state->source, (n + state->n_rows / SWT_CHECKPOINT_CAPTURES + 3) * sizeof *more);

    if (!more)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    state->source = more;
    return SWT_OK;
}

/* Later sources win: checkpoints are younger than the study. */
static swt_status index_source(swt_batch_state *state, size_t source, swt_error *err)
{
    const swt_study *rows = state->source[source].rows;
    swt_study_pick *more =
        realloc(state->candidate, (state->key.n + rows->n_captures + 1) * sizeof *more);
    char key[SWT_BATCH_KEY];

    if (!more)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    state->candidate = more;
    for (size_t i = 0; i < rows->n_captures; i++) {
        const swt_study_capture *c = &rows->capture[i];
        size_t k;
        if (!*c->row_sha256 || c->status == SWT_EIO || c->status == SWT_ENOMEM)
            continue; /* an earlier schema, or a trouble of the machine: to be tried again */
        if (swt_names_add(&k, &state->key, key,
                          swt_batch_write_key(key, c->file, c->row_sha256, c->map_sha256),
                          err) != SWT_OK)
            return SWT_ENOMEM;
        state->candidate[k] = (swt_study_pick){source, i};
    }
    return SWT_OK;
}

static swt_status index_files(swt_batch_state *state, swt_error *err)
{
    const swt_study *rows = state->study;

    state->capture_of_file = calloc(rows->n_captures + 1, sizeof *state->capture_of_file);
    if (!state->capture_of_file)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; i < rows->n_captures; i++) {
        size_t k;
        if (swt_names_add(&k, &state->file, rows->capture[i].file, strlen(rows->capture[i].file),
                          err) != SWT_OK)
            return SWT_ENOMEM;
        state->capture_of_file[k] = i;
    }
    return SWT_OK;
}

/* --- checkpoints -------------------------------------------------------------------------------
 */

static const char checkpoint_begin[] = "checkpoint-";

static int is_checkpoint(const struct dirent *entry)
{
    return strncmp(entry->d_name, checkpoint_begin, strlen(checkpoint_begin)) == 0;
}

/* A checkpoint that cannot be used is removed: its captures are done again. */
static swt_status take_checkpoint(swt_batch_state *state, const char *name, swt_error *err)
{
    swt_study *rows = NULL;
    char path[4700];
    swt_status rc = SWT_OK;
    long number = strtol(name + strlen(checkpoint_begin), NULL, 10);

    snprintf(path, sizeof path, "%s/%s", state->checkpoint_folder, name);
    if (number > 0 && (size_t)number > state->last_checkpoint)
        state->last_checkpoint = (size_t)number;
    if (swt_study_open_captures(&rows, path, NULL) != SWT_OK || !same_rules(state, rows)) {
        swt_study_close(rows);
        unlink(path);
        return SWT_OK;
    }
    rc = swt_batch_add_source(state, path, rows, err);
    if (rc != SWT_OK) {
        swt_study_close(rows);
        return rc;
    }
    return index_source(state, state->n_sources - 1, err);
}

static swt_status take_checkpoints(swt_batch_state *state, swt_error *err)
{
    struct dirent **list = NULL;
    int n = scandir(state->checkpoint_folder, &list, is_checkpoint, alphasort);
    swt_status rc = SWT_OK;

    if (n < 0)
        return errno == ENOENT
                   ? SWT_OK
                   : swt_fail(err, SWT_EIO, "%s: %s", state->checkpoint_folder, strerror(errno));
    rc = make_room(state, (size_t)n, err);
    for (int i = 0; i < n; i++) {
        if (rc == SWT_OK)
            rc = take_checkpoint(state, list[i]->d_name, err);
        free(list[i]);
    }
    free(list);
    return rc;
}

void swt_batch_remove_checkpoints(const swt_batch_state *state)
{
    for (size_t i = state->may_keep; i < state->n_sources; i++)
        unlink(state->source[i].path);
    rmdir(state->checkpoint_folder);
}

/* --- the study as it is ------------------------------------------------------------------ */

static bool any_measured(const swt_study *rows)
{
    for (size_t i = 0; i < rows->n_captures; i++)
        if (rows->capture[i].measured)
            return true;
    return false;
}

/* An import changes no option of captures that were measured. */
static swt_status adopt_options(swt_batch_state *state, swt_error *err)
{
    if (state->batch->depth != SWT_BATCH_IMPORT || !any_measured(state->study))
        return SWT_OK;
    if (swt_string_set(&state->options, state->study->options, err) != SWT_OK)
        return SWT_ENOMEM;
    state->provenance.options = state->options;
    return SWT_OK;
}

static swt_status take_study(swt_batch_state *state, swt_error *err)
{
    swt_status rc = adopt_options(state, err);

    if (rc == SWT_OK)
        rc = index_files(state, err);
    if (rc != SWT_OK || !same_rules(state, state->study))
        return rc;
    rc = swt_batch_add_source(state, state->batch->study_path, state->study, err);
    if (rc != SWT_OK)
        return rc;
    state->may_keep = true;
    return index_source(state, 0, err);
}

int swt_batch_plan(swt_batch_state *state)
{
    const swt_batch *batch = state->batch;
    swt_error err = SWT_ERROR_INIT;
    swt_status rc = make_room(state, 0, &err);

    if (rc != SWT_OK)
        return swt_cli_fail(batch->command, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
    /* one that cannot be opened is replaced: swt_study_check_output has seen that it is a study */
    if (swt_study_open_captures(&state->study, batch->study_path, NULL) == SWT_OK) {
        if (strcmp(state->study->part, state->provenance.part) != 0)
            return swt_cli_fail(batch->command, SWT_EXIT_NO_OUTPUT,
                                "%s: holds %s%s of a sheet; give another output for %s%s",
                                batch->study_path, *state->study->part ? "part " : "the whole",
                                state->study->part, *state->provenance.part ? "part " : "the whole",
                                state->provenance.part);
        rc = take_study(state, &err);
    }
    if (rc == SWT_OK)
        rc = take_checkpoints(state, &err);
    return rc == SWT_OK ? SWT_EXIT_ALL_DONE
                        : swt_cli_fail(batch->command, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
}

/* --- what the sheet no longer names ------------------------------------------------------ */

/** Captures of the study that no row of the sheet names; the caller frees. */
static swt_status find_removed(size_t **removed, size_t *n, const swt_batch_state *state,
                               swt_error *err)
{
    bool *named = calloc(state->file.n + 1, sizeof *named);

    *n = 0;
    *removed = calloc(state->study->n_captures + 1, sizeof **removed);
    if (!named || !*removed) {
        free(named);
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    }
    for (size_t t = 0; t < state->sheet->n_trials; t++) {
        const char *file = state->sheet->trial[t].file;
        size_t k;
        if (swt_names_find(&k, &state->file, file, strlen(file)))
            named[k] = true;
    }
    for (size_t i = 0; i < state->study->n_captures; i++) {
        const char *file = state->study->capture[i].file;
        size_t k;
        if (swt_names_find(&k, &state->file, file, strlen(file)) && !named[k])
            (*removed)[(*n)++] = i;
    }
    free(named);
    return SWT_OK;
}

int swt_batch_keep_removed(swt_batch_outcome *outcome, swt_batch_state *state)
{
    const swt_batch *batch = state->batch;
    swt_error err = SWT_ERROR_INIT;
    size_t *removed = NULL, n = 0;
    int code = SWT_EXIT_ALL_DONE;

    if (!state->study)
        return code;
    if (find_removed(&removed, &n, state, &err) != SWT_OK) {
        code = swt_cli_fail(batch->command, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
    } else if (n > 0 && !batch->drop_removed && !state->may_keep) {
        code = swt_cli_fail(
            batch->command, SWT_EXIT_NO_OUTPUT,
            "%s: holds %zu captures that the sheet no longer names, the first %s; they were "
            "measured by other rules (options, covariates or version of swathe) and cannot stand "
            "beside the new ones: drop them with --drop-removed, or give another output",
            batch->study_path, n, state->study->capture[removed[0]].file);
    } else if (n > 0) {
        outcome->n_removed = n;
        if (!batch->drop_removed && batch->voice == SWT_SAY_NOTHING)
            swt_cli_fail(batch->command, 0,
                         "%s: holds %zu captures that the sheet no longer names, the first %s; "
                         "they stay and count (--drop-removed drops them)",
                         batch->study_path, n, state->study->capture[removed[0]].file);
        if (!batch->drop_removed)
            for (size_t i = 0; i < n; i++)
                state->pick[state->n_picks++] = (swt_study_pick){0, removed[i]};
    }
    free(removed);
    return code;
}

bool swt_batch_is_unchanged(const swt_batch_state *state)
{
    const swt_provenance *p = &state->provenance;

    if (!state->may_keep || state->n_picks != state->study->n_captures ||
        strcmp(p->sheet_sha256, state->study->sheet_sha256) != 0 ||
        strcmp(p->map_sha256, state->study->map_sha256) != 0)
        return false;
    for (size_t i = 0; i < state->n_picks; i++)
        if (state->pick[i].source != 0 || state->pick[i].capture != i)
            return false;
    return true;
}
