/* The batch. batch_row reads like the list of steps that a capture goes through. */
#include "cli/batch.h"

#include "cli/progress.h"
#include "io/capture/read.h"
#include "io/sheet/map_ini.h"
#include "io/study/study_lock.h"
#include "kinematics/marker_map.h"
#include "kinematics/swings.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { PART_CAPTURES = 32 }; /* bounds memory: about 3 MB a capture of 60 markers x 2000 frames */

/** A marker map that rows of the sheet share. */
typedef struct map_slot {
    const char *path; /* owned by the sheet or the command line */
    char sha256[SWT_SHA256_TEXT];
    swt_marker_map map;
} map_slot;

typedef struct batch_state {
    const swt_batch *batch;
    swt_sheet *sheet;
    map_slot *map;
    size_t n_maps;
    char **failure; /* one text a failed capture: only told when nothing else is */
    char **part;    /* paths of finished parts */
    size_t n_parts;
    char part_folder[4200];
    char *options;
    char *covariates;
    swt_provenance provenance;
    /* the part in the making */
    swt_capture_facts facts[PART_CAPTURES];
    swt_swing **swing[PART_CAPTURES]; /* entry[i].n_swings of them, owned; NULL for none */
    swt_study_entry entry[PART_CAPTURES];
    size_t n_entries;
} batch_state;

/* --- one capture ------------------------------------------------------------------------- */

static swt_status read_and_bind(swt_landmark_set **out, swt_capture_facts *facts, const char *path,
                                const swt_marker_map *map, swt_handedness side, swt_error *err)
{
    swt_capture *capture = NULL;
    swt_status rc = swt_capture_read(&capture, path, facts->sha256, err);

    *out = NULL;
    if (rc == SWT_OK) {
        snprintf(facts->format, sizeof facts->format, "%s", capture->format);
        snprintf(facts->unit, sizeof facts->unit, "%s", capture->unit);
        facts->rate_hz = capture->rate_hz;
        facts->n_frames = capture->n_frames;
        facts->n_points = capture->n_points;
        for (size_t i = 0; i < capture->n_warnings; i++)
            swt_findings_add(&facts->findings, SWT_NOTE, "file_format", "%s", capture->warning[i]);
        rc = swt_marker_map_bind(out, map, capture, side, &facts->findings, err);
        if (rc != SWT_OK)
            swt_error_prefix(err, "%s", path);
    }
    swt_capture_free(capture);
    return rc;
}

static const swt_marker_map *map_of(const batch_state *state, const swt_trial *trial)
{
    const char *path = *trial->map_path ? trial->map_path : state->batch->map_path;

    for (size_t i = 0; i < state->n_maps; i++)
        if (strcmp(state->map[i].path, path) == 0)
            return &state->map[i].map;
    return NULL; /* cannot be: read_maps has read them all */
}

/** A study that was imported must meet the same captures again. */
static swt_status check_unchanged(const swt_batch *batch, size_t row, const char *path,
                                  const char *sha256, swt_error *err)
{
    if (!batch->imported || row >= batch->imported->n_captures ||
        strcmp(batch->imported->capture[row].sha256, sha256) == 0)
        return SWT_OK;
    return swt_fail(err, SWT_EDATA, "%s: has changed since it was imported; import it again", path);
}

/* The swings of a row, and the array that holds them, are the caller's. */
static void free_swings(swt_swing **swing, size_t n)
{
    for (size_t k = 0; k < n; k++)
        swt_swing_free(swing[k]);
    free(swing);
}

static swt_status batch_row(swt_swing ***swing, size_t *n_swings, swt_capture_facts *facts,
                            const batch_state *state, size_t row, swt_error *err)
{
    const swt_trial *trial = &state->sheet->trial[row];
    const swt_marker_map *map = map_of(state, trial);
    swt_capture_facts static_facts = {0};
    swt_landmark_set *landmarks = NULL, *static_pose = NULL;
    swt_status rc;

    *swing = NULL;
    *n_swings = 0;
    rc = read_and_bind(&landmarks, facts, trial->path, map, trial->side, err);
    if (rc == SWT_OK)
        rc = check_unchanged(state->batch, row, trial->path, facts->sha256, err);
    if (rc == SWT_OK && *trial->static_path)
        rc = read_and_bind(&static_pose, &static_facts, trial->static_path, map, trial->side, err);
    if (rc == SWT_OK && state->batch->depth == SWT_BATCH_MEASURE) {
        rc = swt_analyse_capture(swing, n_swings, landmarks, static_pose, map, trial->side,
                                 &state->batch->options, &facts->findings, err);
        if (rc != SWT_OK)
            swt_error_prefix(err, "%s", trial->path);
    }
    swt_landmark_set_free(landmarks);
    swt_landmark_set_free(static_pose);
    return rc;
}

/* --- parts ------------------------------------------------------------------------------- */

static swt_status write_part(batch_state *state, swt_error *err)
{
    char path[4400];
    swt_status rc;

    if (state->n_entries == 0)
        return SWT_OK;
    snprintf(path, sizeof path, "%s/part-%06zu.h5", state->part_folder, state->n_parts + 1);
    rc = swt_study_write(path, state->entry, state->n_entries, &state->provenance, err);
    for (size_t i = 0; i < state->n_entries; i++)
        free_swings(state->swing[i], state->entry[i].n_swings);
    state->n_entries = 0;
    if (rc != SWT_OK)
        return rc;
    state->part[state->n_parts] = NULL;
    rc = swt_string_set(&state->part[state->n_parts], path, err);
    if (rc == SWT_OK)
        state->n_parts++;
    return rc;
}

static swt_status add_entry(batch_state *state, size_t row, swt_batch_outcome *outcome,
                            swt_error *err)
{
    size_t i = state->n_entries;
    const swt_trial *trial = &state->sheet->trial[row];
    swt_error why = SWT_ERROR_INIT;
    size_t n_swings;
    swt_status rc;

    state->facts[i] = (swt_capture_facts){0};
    rc = batch_row(&state->swing[i], &n_swings, &state->facts[i], state, row, &why);
    if (rc == SWT_ENOMEM)
        return swt_fail(err, rc, "%s", why.msg);
    state->facts[i].status = rc;
    snprintf(state->facts[i].message, sizeof state->facts[i].message, "%s", why.msg);
    state->entry[i] = (swt_study_entry){
        .trial = trial, .facts = &state->facts[i], .n_swings = n_swings, .swing = state->swing[i]};
    state->n_entries++;
    outcome->n_captures++;
    outcome->n_swings += n_swings;
    if (rc != SWT_OK) {
        rc = swt_string_set(&state->failure[outcome->n_failed], why.msg, err);
        if (rc != SWT_OK)
            return rc;
        outcome->n_failed++;
    }
    return state->n_entries == PART_CAPTURES ? write_part(state, err) : SWT_OK;
}

static void remove_parts(batch_state *state)
{
    for (size_t i = 0; i < state->n_parts; i++)
        unlink(state->part[i]);
    rmdir(state->part_folder);
}

/* --- before the first capture ------------------------------------------------------------ */

/** Reads every map that the sheet needs; each broken one is told. */
static bool read_maps(batch_state *state)
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
        map_slot *slot = &state->map[state->n_maps];

        if (!path) {
            swt_cli_fail(batch->command, 0,
                         "%s: line %d: the row names no marker map, and --map gives none",
                         batch->sheet_path, trial->line);
            return false; /* the other rows would say the same */
        }
        if (map_of(state, trial))
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

static bool same_as_imported(const batch_state *state)
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

/** @return SWT_EXIT_ALL_DONE, or the exit code after the words were printed */
static int prepare(batch_state *state)
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

/* --- the whole --------------------------------------------------------------------------- */

static int process_all(swt_batch_outcome *outcome, batch_state *state)
{
    const swt_batch *batch = state->batch;
    swt_error err = SWT_ERROR_INIT;
    swt_progress progress;
    swt_status rc = SWT_OK;

    swt_progress_begin(&progress, state->sheet->n_trials);
    for (size_t row = 0; row < state->sheet->n_trials && rc == SWT_OK; row++) {
        swt_progress_step(&progress, row, "captures");
        rc = add_entry(state, row, outcome, &err);
    }
    swt_progress_end(&progress);
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
    batch_state *state = calloc(1, sizeof *state);
    int code;

    *outcome = (swt_batch_outcome){0};
    if (!state)
        return swt_cli_fail(batch->command, SWT_EXIT_NO_OUTPUT, "out of memory");
    state->batch = batch;
    code = prepare(state);
    if (code == SWT_EXIT_ALL_DONE) {
        code = process_all(outcome, state);
        remove_parts(state);
    }
    for (size_t i = 0; i < state->n_entries; i++)
        free_swings(state->swing[i], state->entry[i].n_swings);
    for (size_t i = 0; i < state->n_parts; i++)
        free(state->part[i]);
    free(state->part);
    for (size_t i = 0; i < outcome->n_failed; i++)
        free(state->failure[i]);
    free(state->failure);
    for (size_t i = 0; i < state->n_maps; i++)
        swt_marker_map_reset(&state->map[i].map);
    free(state->map);
    free(state->options);
    free(state->covariates);
    swt_sheet_free(state->sheet);
    free(state);
    return code;
}
