/* Before the first capture: sheet, maps, provenance. */
#include "base/numtext.h"
#include "cli/batch_state.h"
#include "cli/tell.h"
#include "io/sheet/map_ini.h"
#include "io/study/study_lock.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

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
    const double value[] = {options->cutoff_hz, options->max_spline_gap_s, options->max_rigid_gap_s,
                            options->onset_speed_m_s, options->finish_speed_m_s};
    char text[512], shown[5][SWT_NUMBER_TEXT];

    for (size_t i = 0; i < sizeof value / sizeof *value; i++)
        swt_format_double(shown[i], value[i], '.');
    snprintf(text, sizeof text,
             "cutoff_hz = %s\nsmooth_by_spline = %d\nmax_spline_gap_s = %s\nmax_rigid_gap_s = %s\n"
             "onset_speed_m_s = %s\nfinish_speed_m_s = %s\nuncertainty_replicates = %ld\n",
             shown[0], options->smooth_by_spline, shown[1], shown[2], shown[3], shown[4],
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

/** The problems of a sheet, one a line of `problems`, which is taken apart. */
static void tell_problems(const swt_batch *batch, char *problems)
{
    size_t n = 0;
    const char **line;
    char path[4300];

    for (const char *p = problems; *p; p++)
        n += *p == '\n';
    line = malloc((n + 1) * sizeof *line);
    if (!line)
        return;
    for (size_t i = 0; i < n; i++) {
        line[i] = problems;
        problems += strcspn(problems, "\n");
        *problems++ = '\0';
    }
    snprintf(path, sizeof path, "%s.problems.txt", batch->study_path);
    swt_cli_tell(batch->command, line, n, path);
    free(line);
}

static int read_sheet(swt_batch_state *state)
{
    const swt_batch *batch = state->batch;
    swt_error err = SWT_ERROR_INIT;
    char *problems = NULL;
    size_t n;

    if (swt_sheet_read(&state->sheet, &problems, batch->sheet_path, &err) != SWT_OK) {
        if (problems && *problems) {
            swt_cli_fail(batch->command, 0,
                         "%s: please mend these first; nothing was processed:", batch->sheet_path);
            tell_problems(batch, problems);
        } else {
            swt_cli_fail(batch->command, 0, "%s", err.msg);
        }
        free(problems);
        return SWT_EXIT_NO_INPUT;
    }
    free(problems);
    n = state->sheet->n_trials;
    if (batch->n_parts > n)
        return swt_cli_fail(batch->command, SWT_EXIT_NO_INPUT,
                            "%s: has %zu rows, too few for %zu parts", batch->sheet_path, n,
                            batch->n_parts);
    state->first = n / batch->n_parts * (batch->part - 1) +
                   n % batch->n_parts * (batch->part - 1) / batch->n_parts;
    state->n_rows = n / batch->n_parts * batch->part +
                    n % batch->n_parts * batch->part / batch->n_parts - state->first;
    if (batch->n_parts > 1)
        snprintf(state->part_text, sizeof state->part_text, "%zu/%zu", batch->part, batch->n_parts);
    return SWT_EXIT_ALL_DONE;
}

int swt_batch_prepare(swt_batch_state *state)
{
    const swt_batch *batch = state->batch;
    swt_error err = SWT_ERROR_INIT;
    int code = read_sheet(state);

    if (code != SWT_EXIT_ALL_DONE)
        return code;
    if (!read_maps(state) || !same_as_imported(state))
        return SWT_EXIT_NO_INPUT;
    state->options = options_text(&batch->options);
    state->covariates = covariates_text(state->sheet);
    if (!state->options || !state->covariates)
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
        .numerics = SWT_NUMERICS,
        .part = state->part_text,
    };
    if (swt_study_check_output(batch->study_path, &err) != SWT_OK ||
        swt_study_checkpoints_folder(state->checkpoint_folder, sizeof state->checkpoint_folder,
                                     batch->study_path, &err) != SWT_OK)
        return swt_cli_fail(batch->command, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
    return SWT_EXIT_ALL_DONE;
}
