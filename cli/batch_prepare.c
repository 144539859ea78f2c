/* Before the first capture: sheet, maps, provenance. */
#include "cli/batch_state.h"
#include "io/sheet/map_ini.h"
#include "io/study/study_lock.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const swt_batch_map *swt_batch_map_of(const swt_batch_state *state, const swt_trial *trial)
{
    const char *path = *trial->map_path ? trial->map_path : state->batch->map_path;

    for (size_t i = 0; i < state->n_maps; i++)
        if (strcmp(state->map[i].path, path) == 0)
            return &state->map[i];
    return NULL; /* cannot be: read_maps has read them all */
}

/** Reads every map that the sheet needs; each broken one is told. */
static bool read_maps(swt_batch_state *state)
{
    const swt_batch *batch = state->batch;
    bool good = true;

    state->map = calloc(state->sheet->n_trials + 1, sizeof *state->map);
    if (!state->map)
        return false;
    for (size_t t = 0; t < state->sheet->n_trials; t++) {
        const swt_trial *trial = &state->sheet->trial[t];
        const char *path = *trial->map_path ? trial->map_path : batch->map_path;
        swt_error err = SWT_ERROR_INIT;
        swt_batch_map *slot = &state->map[state->n_maps];

        if (!path) {
            swt_cli_fail(batch->command, 0,
                         "%s: line %d: the row names no marker map, and --map gives none",
                         batch->sheet_path, trial->line);
            return false; /* the other rows would say the same */
        }
        if (swt_batch_map_of(state, trial))
            continue;
        slot->path = path;
        if (swt_map_ini_read(&slot->map, slot->sha256, path, &err) != SWT_OK) {
            swt_cli_fail(batch->command, 0, "%s", err.msg);
            good = false;
        }
        state->n_maps++;
    }
    return good;
}

static bool same_as_imported(const swt_batch_state *state)
{
    const swt_batch *batch = state->batch;
    const swt_study *imported = batch->imported;

    if (!imported)
        return true;
    if (strcmp(imported->sheet_sha256, state->sheet->sha256) != 0) {
        swt_cli_fail(batch->command, 0, "%s: has changed since it was imported; import it again",
                     batch->sheet_path);
        return false;
    }
    if (batch->map_path && strcmp(imported->map_sha256, state->map[0].sha256) != 0) {
        swt_cli_fail(batch->command, 0, "%s: has changed since the import; import the sheet again",
                     batch->map_path);
        return false;
    }
    return true;
}

/** "key = value" lines; the caller frees. */
static char *options_text(const swt_analysis_options *options)
{
    char text[512];

    snprintf(text, sizeof text,
             "cutoff_hz = %.17g\nsmooth_by_spline = %d\nmax_spline_gap_s = %.17g\nmax_rigid_gap_s "
             "= %.17g\n"
             "onset_speed_m_s = %.17g\nfinish_speed_m_s = %.17g\n"
             "uncertainty_replicates = %ld\n",
             options->cutoff_hz, options->smooth_by_spline, options->max_spline_gap_s,
             options->max_rigid_gap_s, options->onset_speed_m_s, options->finish_speed_m_s,
             options->uncertainty_replicates);
    return strdup(text);
}

static char *covariates_text(const swt_sheet *sheet)
{
    size_t room = 1, used = 0;
    char *text;

    for (size_t i = 0; i < sheet->n_covariates; i++)
        room += strlen(sheet->covariate_name[i]) + 1;
    text = malloc(room);
    if (!text)
        return NULL;
    text[0] = '\0';
    for (size_t i = 0; i < sheet->n_covariates; i++)
        used += (size_t)snprintf(text + used, room - used, "%s%s", i ? "\n" : "",
                                 sheet->covariate_name[i]);
    return text;
}

int swt_batch_prepare(swt_batch_state *state)
{
    const swt_batch *batch = state->batch;
    swt_error err = SWT_ERROR_INIT;
    char *problems = NULL;

    if (swt_sheet_read(&state->sheet, &problems, batch->sheet_path, &err) != SWT_OK) {
        if (problems && *problems) {
            swt_cli_fail(batch->command, 0,
                         "%s: please mend these first; nothing was processed:", batch->sheet_path);
            fputs(problems, stderr);
        } else {
            swt_cli_fail(batch->command, 0, "%s", err.msg);
        }
        free(problems);
        return SWT_EXIT_NO_INPUT;
    }
    free(problems);
    if (!read_maps(state) || !same_as_imported(state))
        return SWT_EXIT_NO_INPUT;
    state->options = options_text(&batch->options);
    state->covariates = covariates_text(state->sheet);
    state->part = calloc(state->sheet->n_trials + 1, sizeof *state->part);
    state->failure = calloc(state->sheet->n_trials + 1, sizeof *state->failure);
    if (!state->options || !state->covariates || !state->part || !state->failure)
        return swt_cli_fail(batch->command, SWT_EXIT_NO_OUTPUT, "out of memory");
    state->provenance = (swt_provenance){
        .version = SWT_VERSION,
        .command = batch->command_line,
        .options = state->options,
        .sheet = batch->sheet_path,
        .sheet_sha256 = state->sheet->sha256,
        .map = batch->map_path ? batch->map_path : "",
        .map_sha256 = batch->map_path && state->n_maps ? state->map[0].sha256 : "",
        .covariates = state->covariates,
    };
    if (swt_study_check_output(batch->study_path, &err) != SWT_OK ||
        swt_study_parts_folder(state->part_folder, sizeof state->part_folder, batch->study_path,
                               &err) != SWT_OK ||
        swt_folder_make(state->part_folder, &err) != SWT_OK)
        return swt_cli_fail(batch->command, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
    return SWT_EXIT_ALL_DONE;
}

void swt_batch_release(swt_batch_state *state)
{
    size_t n = state->sheet ? state->sheet->n_trials : 0;

    for (size_t i = 0; i < state->n_entries; i++)
        swt_batch_result_free(state->entry[i]);
    for (size_t i = 0; i < state->n_parts; i++)
        free(state->part[i]);
    free(state->part);
    for (size_t i = 0; state->failure && i < n; i++)
        free(state->failure[i]);
    free(state->failure);
    for (size_t i = 0; i < state->n_maps; i++)
        swt_marker_map_reset(&state->map[i].map);
    free(state->map);
    free(state->options);
    free(state->covariates);
    swt_sheet_free(state->sheet);
}
