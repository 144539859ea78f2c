/* The rows of a study in memory, and the texts of its root. */
#include "io/study/study_layout.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

swt_status swt_split_lines(char ***names, size_t *n, const char *text, swt_error *err)
{
    size_t lines = 0, length = strlen(text);
    char **list, *copy;

    *names = NULL;
    *n = 0;
    if (length == 0)
        return SWT_OK;
    for (const char *p = text; *p; p++)
        lines += *p == '\n' && p[1] != '\0';
    list = malloc((lines + 1) * sizeof *list + length + 1);
    if (!list)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    copy = (char *)(list + lines + 1);
    memcpy(copy, text, length + 1);
    for (size_t i = 0; i <= lines; i++) {
        list[i] = copy;
        copy += strcspn(copy, "\n");
        *copy++ = '\0';
    }
    *names = list;
    *n = lines + 1;
    return SWT_OK;
}

char *swt_join_lines(char *const *name, size_t n)
{
    size_t length = 1, at = 0;
    char *text;

    for (size_t i = 0; i < n; i++)
        length += strlen(name[i]) + 1;
    text = malloc(length);
    if (!text)
        return NULL;
    for (size_t i = 0; i < n; i++) {
        size_t size = strlen(name[i]);
        memcpy(text + at, name[i], size);
        at += size;
        if (i + 1 < n)
            text[at++] = '\n';
    }
    text[at] = '\0';
    return text;
}

void swt_provenance_hash(char out[SWT_SHA256_TEXT], const char *const *text, size_t n)
{
    char joined[SWT_PROVENANCE_TEXTS * SWT_SHA256_TEXT];

    /* a hash of hashes: no text can borrow a byte from its neighbour */
    for (size_t i = 0; i < n; i++)
        swt_sha256(joined + i * SWT_SHA256_TEXT, text[i], strlen(text[i]));
    swt_sha256(out, joined, n * SWT_SHA256_TEXT);
}

/* SOURCE_DATE_EPOCH (reproducible-builds.org) fixes the time, so that two runs give one file. */
static void creation_time(char *text, size_t size)
{
    const char *fixed = getenv("SOURCE_DATE_EPOCH");
    time_t now = time(NULL);
    struct tm utc;

    if (fixed && fixed[0]) {
        char *end;
        long long seconds = strtoll(fixed, &end, 10);
        if (*end == '\0')
            now = (time_t)seconds;
    }
    if (!gmtime_r(&now, &utc) || strftime(text, size, "%Y-%m-%dT%H:%M:%SZ", &utc) == 0)
        text[0] = '\0';
}

static const char *text_or_nothing(const char *text)
{
    return text ? text : "";
}

void swt_provenance_texts(const char *text[SWT_PROVENANCE_TEXTS], char created[32],
                          const swt_provenance *provenance)
{
    creation_time(created, 32);
    text[SWT_TEXT_VERSION] = text_or_nothing(provenance->version);
    text[SWT_TEXT_CREATED] = created;
    text[SWT_TEXT_COMMAND] = text_or_nothing(provenance->command);
    text[SWT_TEXT_OPTIONS] = text_or_nothing(provenance->options);
    text[SWT_TEXT_SHEET] = text_or_nothing(provenance->sheet);
    text[SWT_TEXT_SHEET_SHA256] = text_or_nothing(provenance->sheet_sha256);
    text[SWT_TEXT_MAP] = text_or_nothing(provenance->map);
    text[SWT_TEXT_MAP_SHA256] = text_or_nothing(provenance->map_sha256);
    text[SWT_TEXT_COVARIATES] = text_or_nothing(provenance->covariates);
    text[SWT_TEXT_NUMERICS] = text_or_nothing(provenance->numerics);
    text[SWT_TEXT_PART] = text_or_nothing(provenance->part);
}

swt_status swt_study_rows_new(swt_study *study, swt_error *err)
{
    size_t n = study->n_swings, n_measures = swt_measure_count();
    bool ok;

    study->capture = calloc(study->n_captures + 1, sizeof *study->capture);
    study->swing = calloc(n + 1, sizeof *study->swing);
    study->finding = calloc(study->n_findings + 1, sizeof *study->finding);
    study->measure = calloc(n_measures + 1, sizeof *study->measure);
    ok = study->capture && study->swing && study->finding && study->measure;
    for (int e = 0; e < SWT_EVENT_COUNT; e++) {
        study->event[e] = calloc(n + 1, sizeof **study->event);
        ok = ok && study->event[e];
    }
    for (int s = 0; s < SWT_SERIES_COUNT; s++) {
        study->series_verdict[s] = calloc(n + 1, sizeof **study->series_verdict);
        ok = ok && study->series_verdict[s];
    }
    for (size_t m = 0; study->measure && m < n_measures; m++) {
        study->measure[m] = calloc(n + 1, sizeof **study->measure);
        ok = ok && study->measure[m];
    }
    return ok ? SWT_OK : swt_fail(err, SWT_ENOMEM, "out of memory for %zu swings", n);
}

void swt_study_rows_free(swt_study *study, bool texts_owned)
{
    for (size_t i = 0; texts_owned && study->capture && i < study->n_captures; i++) {
        swt_study_capture *c = &study->capture[i];
        free(c->file);
        free(c->sha256);
        free(c->format);
        free(c->unit);
        free(c->message);
        free(c->static_sha256);
        free(c->map_sha256);
        free(c->row_sha256);
        free(c->file_stamp);
        free(c->static_stamp);
    }
    for (size_t i = 0; texts_owned && study->swing && i < study->n_swings; i++) {
        swt_study_swing *s = &study->swing[i];
        free(s->player);
        free(s->session);
        free(s->group);
        free(s->club);
        free(s->shot);
        for (size_t c = 0; s->covariate && c < study->n_covariates; c++)
            free(s->covariate[c]);
        free(s->covariate);
    }
    for (size_t i = 0; texts_owned && study->finding && i < study->n_findings; i++) {
        free(study->finding[i].code);
        free(study->finding[i].text);
    }
    free(study->capture);
    free(study->swing);
    free(study->finding);
    for (int e = 0; e < SWT_EVENT_COUNT; e++)
        free(study->event[e]);
    for (int s = 0; s < SWT_SERIES_COUNT; s++)
        free(study->series_verdict[s]);
    for (size_t m = 0; study->measure && m < swt_measure_count(); m++)
        free(study->measure[m]);
    free(study->measure);
}

const char *swt_study_swing_name(char *buffer, size_t size, const swt_study *study, size_t swing)
{
    const swt_study_swing *s = &study->swing[swing];
    bool several = s->number > 1 ||
                   (swing + 1 < study->n_swings && study->swing[swing + 1].capture == s->capture);

    if (several)
        snprintf(buffer, size, "%s, swing %zu", study->capture[s->capture].file, s->number);
    else
        snprintf(buffer, size, "%s", study->capture[s->capture].file);
    return buffer;
}

double swt_study_event_frame(const swt_study *study, swt_event event, size_t swing)
{
    const swt_study_swing *s = &study->swing[swing];

    return study->event[event][swing].time_s * s->rate_hz - (double)s->capture_frame;
}
