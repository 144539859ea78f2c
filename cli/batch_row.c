/* One capture: kept as it is stored, or done; `process` reads like the list of steps. */
#include "cli/batch_state.h"
#include "io/capture/read.h"
#include "kinematics/bind.h"
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

/** Are the file's bytes those that were stored? Reads it only where its stamp does not tell. */
static bool is_unchanged(const char *path, const char *stamp, const char *sha256, bool hash_all,
                         bool *unreadable)
{
    char now[SWT_FILE_STAMP], hash[SWT_SHA256_TEXT];
    unsigned char *bytes = NULL;
    size_t size;

    swt_file_stamp(now, path);
    if (!hash_all && *now && strcmp(now, stamp) == 0)
        return true;
    if (swt_file_read(&bytes, &size, path, NULL) != SWT_OK) {
        *unreadable = true;
        return false;
    }
    swt_sha256(hash, bytes, size);
    free(bytes);
    return strcmp(hash, sha256) == 0;
}

/** Settles a row by what is stored of it, if that stands; else the capture is to be done. */
static bool keep(swt_batch_result *result, const swt_batch_state *state, size_t row)
{
    const swt_batch *batch = state->batch;
    const swt_trial *trial = &state->sheet->trial[row];
    const swt_study_pick *pick = swt_batch_candidate(state, row);
    const swt_study_capture *stored;
    bool unreadable = false;

    if (!pick)
        return false;
    stored = &state->source[pick->source].rows->capture[pick->capture];
    if (batch->depth == SWT_BATCH_MEASURE && !stored->measured)
        return false;
    result->kept = true;
    result->pick = *pick;
    result->facts.status = stored->status;
    snprintf(result->facts.message, sizeof result->facts.message, "%s", stored->message);
    if (is_unchanged(trial->path, stored->file_stamp, stored->sha256, batch->hash_all,
                     &unreadable) &&
        (!*trial->static_path || is_unchanged(trial->static_path, stored->static_stamp,
                                              stored->static_sha256, batch->hash_all, &unreadable)))
        return true;
    if (unreadable) {
        result->facts.status = SWT_EIO;
        snprintf(result->facts.message, sizeof result->facts.message,
                 "%.400s: cannot be read; what is stored of it stays", trial->path);
    } else if (batch->imported) {
        result->facts.status = SWT_EDATA;
        snprintf(result->facts.message, sizeof result->facts.message,
                 "%.400s: has changed since it was imported; what is stored of it stays until it "
                 "is imported again",
                 trial->path);
    } else {
        memset(result, 0, sizeof *result);
        return false;
    }
    return true;
}

/** A study that was imported must meet the same captures again. */
static swt_status check_unchanged(const swt_batch_state *state, const swt_trial *trial,
                                  const char *sha256, swt_error *err)
{
    const swt_study_capture *stored =
        state->batch->imported ? swt_batch_stored(state, trial->file) : NULL;

    if (!stored || !*stored->sha256 || strcmp(stored->sha256, sha256) == 0)
        return SWT_OK;
    return swt_fail(err, SWT_EDATA, "%s: has changed since it was imported; import it again",
                    trial->path);
}

/* What waits for its checkpoint waits as it will be stored, in half the room. */
static swt_status pack(swt_batch_result *result, swt_error *err)
{
    swt_status rc = SWT_OK;

    result->packed = calloc(result->n_swings + 1, sizeof(swt_packed *));
    if (!result->packed)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t k = 0; k < result->n_swings && rc == SWT_OK; k++) {
        rc = swt_packed_new(&result->packed[k], result->swing[k], err);
        if (rc == SWT_OK)
            swt_swing_drop_samples(result->swing[k]);
    }
    return rc;
}

static swt_status process(swt_batch_result *result, const swt_batch_state *state,
                          const swt_trial *trial, swt_error *err)
{
    const swt_marker_map map = map_of_row(state, trial);
    swt_capture_facts *facts = &result->facts, *static_facts = calloc(1, sizeof *static_facts);
    swt_landmark_set *landmarks = NULL, *static_pose = NULL;
    swt_status rc;

    if (!static_facts)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    memcpy(facts->map_sha256, swt_batch_map_of(state, trial)->sha256, sizeof facts->map_sha256);
    swt_batch_row_hash(facts->row_sha256, state->sheet, trial);
    /* before the file is read: whoever writes to it from now on makes the stamp another one */
    swt_file_stamp(facts->file_stamp, trial->path);
    rc = read_and_bind(&landmarks, facts, trial->path, &map, trial->side, err);
    if (rc == SWT_OK)
        rc = check_unchanged(state, trial, facts->sha256, err);
    if (rc == SWT_OK && *trial->static_path) {
        swt_file_stamp(facts->static_stamp, trial->static_path);
        rc = read_and_bind(&static_pose, static_facts, trial->static_path, &map, trial->side, err);
        memcpy(facts->static_sha256, static_facts->sha256, sizeof facts->static_sha256);
    }
    if (rc == SWT_OK && state->batch->depth == SWT_BATCH_MEASURE) {
        rc = swt_analyse_capture(&result->swing, &result->n_swings, landmarks, static_pose, &map,
                                 trial->side, &state->batch->options, &facts->findings, err);
        if (rc == SWT_OK)
            rc = pack(result, err);
        if (rc != SWT_OK)
            swt_error_prefix(err, "%s", trial->path);
    }
    facts->measured = state->batch->depth == SWT_BATCH_MEASURE;
    swt_landmark_set_free(landmarks);
    swt_landmark_set_free(static_pose);
    free(static_facts);
    return rc;
}

swt_batch_result *swt_batch_row(const swt_batch_state *state, size_t row)
{
    swt_batch_result *result = calloc(1, sizeof *result);
    swt_error err = SWT_ERROR_INIT;

    if (!result || keep(result, state, row))
        return result;
    result->facts.status = process(result, state, &state->sheet->trial[row], &err);
    snprintf(result->facts.message, sizeof result->facts.message, "%s", err.msg);
    return result;
}
