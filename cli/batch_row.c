/* One capture. swt_batch_row reads like the list of steps that it goes through. */
#include "cli/batch_state.h"
#include "io/capture/read.h"
#include "kinematics/swings.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

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

/* The map of a row: the sheet may name whose markers are meant. The entries are shared. */
static swt_marker_map map_of_row(const swt_batch_state *state, const swt_trial *trial)
{
    swt_marker_map map = swt_batch_map_of(state, trial)->map;

    if (*trial->subject)
        snprintf(map.prefix, sizeof map.prefix, "%s:", trial->subject);
    return map;
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

swt_batch_result *swt_batch_row(const swt_batch_state *state, size_t row)
{
    const swt_trial *trial = &state->sheet->trial[row];
    const swt_marker_map map = map_of_row(state, trial);
    swt_batch_result *result = calloc(1, sizeof *result);
    swt_capture_facts *static_facts = calloc(1, sizeof *static_facts);
    swt_landmark_set *landmarks = NULL, *static_pose = NULL;
    swt_error err = SWT_ERROR_INIT;
    swt_status rc;

    if (!result || !static_facts) {
        free(static_facts);
        free(result);
        return NULL;
    }
    rc = read_and_bind(&landmarks, &result->facts, trial->path, &map, trial->side, &err);
    if (rc == SWT_OK)
        rc = check_unchanged(state->batch, row, trial->path, result->facts.sha256, &err);
    if (rc == SWT_OK && *trial->static_path)
        rc = read_and_bind(&static_pose, static_facts, trial->static_path, &map, trial->side, &err);
    if (rc == SWT_OK && state->batch->depth == SWT_BATCH_MEASURE) {
        rc =
            swt_analyse_capture(&result->swing, &result->n_swings, landmarks, static_pose, &map,
                                trial->side, &state->batch->options, &result->facts.findings, &err);
        if (rc != SWT_OK)
            swt_error_prefix(&err, "%s", trial->path);
    }
    result->facts.status = rc;
    snprintf(result->facts.message, sizeof result->facts.message, "%s", err.msg);
    swt_landmark_set_free(landmarks);
    swt_landmark_set_free(static_pose);
    free(static_facts);
    return result;
}

void swt_batch_result_free(swt_batch_result *result)
{
    if (!result)
        return;
    for (size_t k = 0; k < result->n_swings; k++)
        swt_swing_free(result->swing[k]);
    free(result->swing);
    free(result);
}
