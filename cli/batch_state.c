/* What is asked of the state by those who prepare, plan and process. */
#include "cli/batch_state.h"

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

void swt_batch_row_hash(char out[SWT_SHA256_TEXT], const swt_sheet *sheet, const swt_trial *trial)
{
    const char *const cell[] = {trial->player,
                                trial->subject,
                                trial->session,
                                trial->group,
                                trial->club,
                                trial->shot,
                                *trial->static_path ? "static" : ""};
    enum { CELLS = sizeof cell / sizeof *cell };
    size_t n = CELLS + 1 + 2 * sheet->n_covariates;
    char *hash = malloc(n * SWT_SHA256_TEXT), *at = hash;

    out[0] = '\0'; /* without memory: equal to nothing stored */
    if (!hash)
        return;
    for (size_t i = 0; i < CELLS; i++, at += SWT_SHA256_TEXT)
        swt_sha256(at, cell[i], strlen(cell[i]));
    swt_sha256(at, &trial->side, sizeof trial->side);
    at += SWT_SHA256_TEXT;
    for (size_t i = 0; i < sheet->n_covariates; i++, at += 2 * SWT_SHA256_TEXT) {
        swt_sha256(at, sheet->covariate_name[i], strlen(sheet->covariate_name[i]));
        swt_sha256(at + SWT_SHA256_TEXT, trial->covariate[i], strlen(trial->covariate[i]));
    }
    /* a hash of hashes: no cell can borrow a byte from its neighbour */
    swt_sha256(out, hash, n * SWT_SHA256_TEXT);
    free(hash);
}

size_t swt_batch_write_key(char key[SWT_BATCH_KEY], const char *file, const char *row,
                           const char *map)
{
    int n = snprintf(key, SWT_BATCH_KEY, "%s\n%s\n%s", row, map, file);

    return n < SWT_BATCH_KEY ? (size_t)n : SWT_BATCH_KEY - 1;
}

const swt_study_pick *swt_batch_candidate(const swt_batch_state *state, size_t row)
{
    const swt_trial *trial = &state->sheet->trial[row];
    char key[SWT_BATCH_KEY], hash[SWT_SHA256_TEXT];
    size_t k;

    swt_batch_row_hash(hash, state->sheet, trial);
    return swt_names_find(
               &k, &state->key, key,
               swt_batch_write_key(key, trial->file, hash, swt_batch_map_of(state, trial)->sha256))
               ? &state->candidate[k]
               : NULL;
}

const swt_study_capture *swt_batch_stored(const swt_batch_state *state, const char *file)
{
    size_t k;

    return state->study && swt_names_find(&k, &state->file, file, strlen(file))
               ? &state->study->capture[state->capture_of_file[k]]
               : NULL;
}

void swt_batch_result_free(swt_batch_result *result)
{
    if (!result)
        return;
    for (size_t k = 0; k < result->n_swings; k++) {
        swt_swing_free(result->swing[k]);
        if (result->packed)
            swt_packed_free(result->packed[k]);
    }
    free(result->swing);
    free(result->packed);
    free(result);
}

void swt_batch_release(swt_batch_state *state)
{
    for (size_t i = 0; i < state->n_entries; i++)
        swt_batch_result_free(state->entry[i]);
    swt_study_growth_free(state->growth);
    for (size_t i = state->may_keep; i < state->n_sources; i++)
        swt_study_close(state->source[i].rows);
    for (size_t i = 0; i < state->n_sources; i++)
        free(state->source[i].path);
    free(state->source);
    swt_study_close(state->study);
    swt_names_reset(&state->key);
    swt_names_reset(&state->file);
    swt_names_reset(&state->failed);
    swt_names_reset(&state->told);
    free(state->candidate);
    free(state->capture_of_file);
    free(state->pick);
    for (size_t i = 0; i < state->n_maps; i++)
        swt_marker_map_reset(&state->map[i].map);
    free(state->map);
    free(state->options);
    free(state->covariates);
    swt_sheet_free(state->sheet);
}
