/* A study's rows are renamed in memory and written anew beside the copied bulk: what is not written
 * cannot be found again in the file. */
#include "base/capture.h"
#include "base/numtext.h"
#include "io/study/study_layout.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static swt_status note(swt_names *removed, const char *what, swt_error *err)
{
    size_t index;

    return swt_names_add(&index, removed, what, strlen(what), err);
}

static swt_status rename_captures(swt_study *study, swt_names *removed, swt_error *err)
{
    swt_status rc =
        note(removed, "names and hashes of the capture files (now capture-1, ...)", err);
    char name[40];

    for (size_t i = 0; i < study->n_captures && rc == SWT_OK; i++) {
        swt_study_capture *c = &study->capture[i];
        snprintf(name, sizeof name, "capture-%zu", i + 1);
        rc = swt_string_set(&c->file, name, err);
        c->sha256[0] = '\0'; /* who holds the original would know it again */
        if (rc == SWT_OK && c->message[0]) {
            rc = note(removed, "why captures could not be used, in words (the status stays)", err);
            c->message[0] = '\0';
        }
        /* what a stranger's guess at the row or the file could be held against */
        c->row_sha256[0] = c->file_stamp[0] = c->static_stamp[0] = '\0';
    }
    for (size_t i = 0; i < study->n_findings && rc == SWT_OK; i++) {
        rc = note(removed, "words of the findings (their codes stay)", err);
        study->finding[i].text[0] = '\0';
    }
    return rc;
}

/* Sessions are often dates. They become numbers in the order in which the player's come. */
static swt_status rename_players(swt_study *study, swt_names *removed, swt_error *err)
{
    swt_names players = {0}, *sessions = calloc(study->n_swings + 1, sizeof *sessions);
    swt_status rc = sessions ? SWT_OK : swt_fail(err, SWT_ENOMEM, "out of memory");
    char name[40], line[200];
    size_t player, session;
    bool any_session = false;

    for (size_t i = 0; i < study->n_swings && rc == SWT_OK; i++) {
        swt_study_swing *s = &study->swing[i];
        rc = swt_names_add(&player, &players, s->player, strlen(s->player), err);
        snprintf(name, sizeof name, "P%zu", player + 1);
        snprintf(line, sizeof line, "player %.100s (now %s)", s->player, name);
        if (rc == SWT_OK)
            rc = note(removed, line, err);
        if (rc == SWT_OK)
            rc = swt_string_set(&s->player, name, err);
        if (rc != SWT_OK || !s->session[0])
            continue;
        rc = swt_names_add(&session, &sessions[player], s->session, strlen(s->session), err);
        snprintf(name, sizeof name, "%zu", session + 1);
        any_session = rc == SWT_OK;
        if (rc == SWT_OK)
            rc = swt_string_set(&s->session, name, err);
    }
    if (rc == SWT_OK && any_session)
        rc = note(removed, "names of the sessions (now 1, 2, ... of each player)", err);
    for (size_t i = 0; sessions && i < players.n; i++)
        swt_names_reset(&sessions[i]);
    free(sessions);
    swt_names_reset(&players);
    return rc;
}

/* 20261125: a number to a computer, a date to everybody else. */
static bool is_date(double value)
{
    double year = floor(value / 10000), month = floor(fmod(value, 10000) / 100);

    return year >= 1900 && year <= 2100 && month >= 1 && month <= 12 && fmod(value, 100) >= 1 &&
           fmod(value, 100) <= 31;
}

static bool holds_numbers(const swt_study *study, size_t covariate)
{
    bool any = false, all_dates = true;

    for (size_t i = 0; i < study->n_swings; i++) {
        const char *text = study->swing[i].covariate[covariate];
        double value = 0;

        if (swt_text_is_missing(text, strlen(text)))
            continue;
        if (!swt_parse_double(&value, text, strlen(text), '.'))
            return false;
        any = true;
        all_dates = all_dates && is_date(value);
    }
    return any && !all_dates;
}

/* The others are moved to the end of each row, where the writer does not look. */
static swt_status drop_covariates(swt_study *study, swt_names *removed, swt_error *err)
{
    size_t kept = 0;
    swt_status rc = SWT_OK;

    for (size_t c = 0; c < study->n_covariates && rc == SWT_OK; c++) {
        char line[200], *name = study->covariate_name[c];
        if (!holds_numbers(study, c)) {
            snprintf(line, sizeof line, "covariate %.100s (its values are no plain numbers)", name);
            rc = note(removed, line, err);
            continue;
        }
        study->covariate_name[c] = study->covariate_name[kept];
        study->covariate_name[kept] = name;
        for (size_t i = 0; i < study->n_swings; i++) {
            char **row = study->swing[i].covariate, *value = row[c];
            row[c] = row[kept];
            row[kept] = value;
        }
        kept++;
    }
    study->n_covariates = kept;
    return rc;
}

static swt_status write_columns(swt_study_draft *draft, const swt_study *study, swt_layout *layout,
                                swt_error *err)
{
    swt_row_run all = {{0}, {0}, {0}};
    size_t *length = calloc(layout->n, sizeof *length);
    swt_status rc;

    if (!length)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; i < layout->n; i++)
        length[i] = swt_column_longest_text(&layout->column[i], study,
                                            layout->rows[layout->column[i].axis]);
    memcpy(all.n, layout->rows, sizeof all.n);
    rc = swt_study_create_columns(draft, layout, length, err);
    for (size_t i = 0; i < layout->n && rc == SWT_OK; i++) {
        const swt_column *c = &layout->column[i];
        rc = swt_column_is_bulk(c) ? swt_study_copy_column(draft, i, study, c, 1, &all, 1, err)
                                   : swt_study_write_column(draft, i, c, layout->rows[c->axis],
                                                            length[i], study, NULL, 0, NULL, err);
    }
    free(length);
    return rc;
}

static swt_status write_copy(const char *path, const swt_study *study, swt_error *err)
{
    swt_layout layout = {0};
    swt_study_draft draft = {.file = -1};
    char *names = swt_join_lines(study->covariate_name, study->n_covariates);
    const char *const root[SWT_PROVENANCE_TEXTS] = {
        study->version,  "", "", study->options, "", "", "", study->map_sha256, names,
        study->numerics, "",
    };
    swt_status rc = names
                        ? swt_layout_build(&layout, study->covariate_name, study->n_covariates, err)
                        : swt_fail(err, SWT_ENOMEM, "out of memory");

    if (rc == SWT_OK)
        memcpy(layout.rows, study->file->layout.rows, sizeof layout.rows);
    if (rc == SWT_OK)
        rc = swt_study_draft_open(&draft, path, err);
    if (rc == SWT_OK)
        rc = swt_study_write_root(&draft, root, err);
    if (rc == SWT_OK)
        rc = write_columns(&draft, study, &layout, err);
    if (rc == SWT_OK)
        rc = swt_study_draft_commit(&draft, err);
    swt_study_draft_discard(&draft);
    swt_layout_free(&layout);
    free(names);
    return rc;
}

swt_status swt_study_deidentify(const char *path, swt_names *removed, const char *source,
                                swt_error *err)
{
    swt_study *study;
    size_t n_covariates = 0;
    swt_status rc;

    swt_h5_quiet();
    study = NULL;
    rc = swt_file_is_new(path, err);
    if (rc == SWT_OK)
        rc = swt_study_open(&study, source, err);
    if (rc == SWT_OK)
        n_covariates = study->n_covariates;
    if (rc == SWT_OK)
        rc = note(removed, "command line, date, names of sheet and map, hash of the sheet", err);
    if (rc == SWT_OK)
        rc = rename_captures(study, removed, err);
    if (rc == SWT_OK)
        rc = rename_players(study, removed, err);
    if (rc == SWT_OK)
        rc = drop_covariates(study, removed, err);
    if (rc == SWT_OK && H5Lexists(study->file->file, "corridors", H5P_DEFAULT) > 0)
        rc = note(removed, "corridors and departures (build them again from the copy)", err);
    if (rc == SWT_OK)
        rc = write_copy(path, study, err);
    if (study)
        study->n_covariates = n_covariates; /* all of them are freed */
    swt_study_close(study);
    return rc;
}
