#include "io/bids/bids_dataset.h"

#include "io/bids/bids_name.h"
#include "io/bids/bids_write.h"
#include "io/files.h"
#include "io/json.h"

#include <ctype.h>
#include <dirent.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Codes of the study and the labels that they became. */
typedef struct labels {
    swt_names code, label;
} labels;

typedef struct dataset {
    const char *folder;
    const swt_study *study;
    const size_t *swing;
    size_t n;
    labels players, sessions, clubs;
} dataset;

static void labels_reset(labels *l)
{
    swt_names_reset(&l->code);
    swt_names_reset(&l->label);
}

/* "P-07" -> "P07". A label that another code has taken gets a number: "P07x2". */
static swt_status label_of(const char **out, labels *l, const char *code, swt_error *err)
{
    char stem[SWT_BIDS_LABEL - 8] = "", label[SWT_BIDS_LABEL];
    size_t length = 0, index, at, had = l->code.n;
    swt_status rc = swt_names_add(&index, &l->code, code, strlen(code), err);

    for (const char *p = code; *p && length + 1 < sizeof stem; p++)
        if (isalnum((unsigned char)*p))
            stem[length++] = *p;
    stem[length] = '\0';
    if (length == 0)
        memcpy(stem, "x", 2);
    snprintf(label, sizeof label, "%s", stem);
    for (int k = 2; rc == SWT_OK && index == had; k++) {
        rc = swt_names_add(&at, &l->label, label, strlen(label), err);
        if (rc != SWT_OK || at == index)
            break;
        snprintf(label, sizeof label, "%sx%d", stem, k);
    }
    if (rc == SWT_OK)
        *out = l->label.name[index];
    return rc;
}

/* ---- files of the whole dataset ---- */

static swt_status check_folder(const char *folder, swt_error *err)
{
    DIR *open = opendir(folder);
    bool empty = true;

    if (!open)
        return SWT_OK; /* made later, or told then */
    for (struct dirent *e; (e = readdir(open));)
        empty = empty && (strcmp(e->d_name, ".") == 0 || strcmp(e->d_name, "..") == 0);
    closedir(open);
    return empty
               ? SWT_OK
               : swt_fail(err, SWT_EARG,
                          "%s: holds something already; name a new folder for the dataset", folder);
}

static void print_description(FILE *stream, const dataset *d)
{
    (void)d;
    fputs("{\n  \"Name\": \"Golf swings\",\n  \"BIDSVersion\": \"1.9.0\",\n"
          "  \"DatasetType\": \"derivative\",\n"
          "  \"GeneratedBy\": [{\"Name\": \"swathe\", \"Version\": \"" SWT_VERSION "\"}]\n}\n",
          stream);
}

static void print_readme(FILE *stream, const dataset *d)
{
    fprintf(stream,
            "Golf swings from marker captures: %zu swings of %zu players, exported from a study.\n"
            "\n"
            "Each recording is one swing. Positions are those of anatomical landmarks and of the\n"
            "club (ISB abbreviations), smoothed and with gaps filled where the study filled them,\n"
            "in the swing frame: x along the target line towards the target, y from the ball\n"
            "towards the player's heels, z up; origin on the floor in the middle of the toe line.\n"
            "Lead is the side nearer the target. A left-handed swing is mirrored, so that all\n"
            "swings read as right-handed ones. Events lie beside each recording.\n"
            "\n"
            "Captures are personal data, and motion can tell who somebody is: consent and local\n"
            "rules come first.\n",
            d->n, d->players.code.n);
}

/* A cell of a table: no tabs, no line ends, n/a for nothing. */
static void put_cell(FILE *stream, const char *text)
{
    if (*text == '\0')
        fputs("n/a", stream);
    for (; *text; text++)
        fputc((unsigned char)*text < 0x20 || *text == '"' ? ' ' : *text, stream);
}

static void print_participants(FILE *stream, const dataset *d)
{
    fputs("participant_id\tplayer\tgroup\tside\n", stream);
    for (size_t p = 0; p < d->players.code.n; p++) {
        const char *group = NULL, *side = NULL;
        for (size_t i = 0; i < d->n; i++) {
            const swt_study_swing *s = &d->study->swing[d->swing[i]];
            const char *of_swing = s->side == SWT_LEFT_HANDED ? "left" : "right";
            if (strcmp(s->player, d->players.code.name[p]) != 0)
                continue;
            group = !group || strcmp(group, s->group) == 0 ? s->group : "several";
            side = !side || strcmp(side, of_swing) == 0 ? of_swing : "both";
        }
        fprintf(stream, "sub-%s\t", d->players.label.name[p]);
        put_cell(stream, d->players.code.name[p]);
        fputc('\t', stream);
        put_cell(stream, group ? group : "");
        fprintf(stream, "\t%s\n", side ? side : "n/a");
    }
}

static void print_participant_words(FILE *stream, const dataset *d)
{
    (void)d;
    fputs("{\n  \"player\": {\"Description\": \"Code of the player in the study\"},\n"
          "  \"group\": {\"Description\": \"Group of the player in the study\"},\n"
          "  \"side\": {\"Description\": \"Side that the player swings from; left-handed swings "
          "are mirrored\", \"Levels\": {\"right\": \"right-handed\", \"left\": \"left-handed\", "
          "\"both\": \"some of each\"}}\n}\n",
          stream);
}

typedef void printer(FILE *stream, const dataset *d);

static swt_status write_file(const dataset *d, const char *name, printer *print, swt_error *err)
{
    char path[4096];
    swt_file_draft draft;
    swt_status rc;

    if ((size_t)snprintf(path, sizeof path, "%s/%s", d->folder, name) >= sizeof path)
        return swt_fail(err, SWT_EARG, "%s: path too long", d->folder);
    rc = swt_draft_open(&draft, path, err);
    if (rc != SWT_OK)
        return rc;
    print(draft.stream, d);
    return swt_draft_commit(&draft, err);
}

/* ---- one swing ---- */

/* The body as a capture: landmarks as points, events after the swing's first frame. */
static swt_status as_capture(swt_capture **out, const dataset *d, size_t swing, swt_error *err)
{
    const swt_study_swing *row = &d->study->swing[swing];
    swt_landmark_set *body;
    swt_capture *c = NULL;
    size_t n_points = 0, p = 0;
    swt_status rc = swt_study_read_body(&body, d->study, swing, err);

    *out = NULL;
    if (rc != SWT_OK)
        return rc;
    for (int i = 0; i < SWT_LANDMARK_COUNT; i++)
        n_points += body->present[i];
    c = swt_capture_new(body->n_frames, n_points);
    if (!c)
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    for (int i = 0; i < SWT_LANDMARK_COUNT && rc == SWT_OK; i++) {
        if (!body->present[i])
            continue;
        rc = swt_string_set(&c->label[p], swt_landmark_name((swt_landmark)i), err);
        for (size_t f = 0; f < c->n_frames; f++)
            for (int k = 0; k < 3; k++)
                c->xyz[3 * (f * n_points + p) + (size_t)k] = body->axis[i][k][f];
        p++;
    }
    for (int e = 0; e < SWT_EVENT_COUNT && rc == SWT_OK; e++) {
        const swt_event_time *time = &d->study->event[e][swing];
        if (time->verdict.state != SWT_ABSENT)
            rc = swt_capture_add_event(c, swt_event_name((swt_event)e), "",
                                       time->time_s - (double)row->capture_frame / row->rate_hz,
                                       err);
    }
    if (rc == SWT_OK)
        rc = swt_string_set(&c->unit, "m", err);
    swt_landmark_set_free(body);
    if (rc != SWT_OK) {
        swt_capture_free(c);
        return rc;
    }
    c->rate_hz = row->rate_hz;
    *out = c;
    return SWT_OK;
}

/* How many swings of the same player, session and club come before it in the dataset. */
static size_t runs_before(const dataset *d, size_t at)
{
    const swt_study_swing *s = &d->study->swing[d->swing[at]];
    size_t n = 0;

    for (size_t i = 0; i < at; i++) {
        const swt_study_swing *o = &d->study->swing[d->swing[i]];
        n += strcmp(o->player, s->player) == 0 && strcmp(o->session, s->session) == 0 &&
             strcmp(o->club, s->club) == 0;
    }
    return n;
}

/* Where a swing goes: "<dataset>/sub-1/ses-2" and "sub-1_ses-2", then the rest of its name. */
typedef struct place {
    char folder[4096], stem[2 * SWT_BIDS_LABEL + 16], rest[SWT_BIDS_LABEL + 64];
} place;

static swt_status place_of(place *out, dataset *d, size_t at, swt_error *err)
{
    const swt_study_swing *s = &d->study->swing[d->swing[at]];
    const char *player, *session = "", *club = "";
    swt_status rc = label_of(&player, &d->players, s->player, err);

    if (rc == SWT_OK && *s->session)
        rc = label_of(&session, &d->sessions, s->session, err);
    if (rc == SWT_OK && *s->club)
        rc = label_of(&club, &d->clubs, s->club, err);
    if (rc != SWT_OK)
        return rc;
    snprintf(out->stem, sizeof out->stem, "sub-%s%s%s", player, *session ? "_ses-" : "", session);
    snprintf(out->rest, sizeof out->rest, "task-swing_tracksys-optical%s%s_run-%zu_motion.tsv",
             *club ? "_acq-" : "", club, runs_before(d, at) + 1);
    if ((size_t)snprintf(out->folder, sizeof out->folder, "%s/sub-%s%s%s", d->folder, player,
                         *session ? "/ses-" : "", session) >= sizeof out->folder - 8)
        return swt_fail(err, SWT_EARG, "%s: path too long", d->folder);
    return SWT_OK;
}

static swt_status write_swing(dataset *d, size_t at, swt_error *err)
{
    const swt_bids_about about = {
        .task = "golf swing",
        .reference_frame = "swing",
        .frame_words = "x along the target line towards the target, y from the ball towards the "
                       "heels, z up; origin on the floor in the middle of the toe line; "
                       "left-handed swings are mirrored",
        .spatial_axes = "LPS"};
    char path[4500];
    place where;
    swt_capture *capture = NULL;
    swt_status rc = place_of(&where, d, at, err);

    if (rc == SWT_OK) {
        snprintf(path, sizeof path, "%s/motion", where.folder);
        rc = swt_folder_make(path, err);
    }
    if (rc == SWT_OK)
        rc = as_capture(&capture, d, d->swing[at], err);
    if (rc == SWT_OK) {
        snprintf(path, sizeof path, "%s/motion/%s_%s", where.folder, where.stem, where.rest);
        rc = swt_bids_write(path, capture, &about, err);
    }
    swt_capture_free(capture);
    return rc;
}

/* ---- what the sheet says of each swing: *_scans.tsv ---- */

static bool same_folder(const dataset *d, size_t a, size_t b)
{
    const swt_study_swing *x = &d->study->swing[d->swing[a]], *y = &d->study->swing[d->swing[b]];

    return strcmp(x->player, y->player) == 0 && strcmp(x->session, y->session) == 0;
}

static swt_status print_scans(FILE *stream, dataset *d, size_t first, swt_error *err)
{
    swt_status rc = SWT_OK;

    fputs("filename\tclub\tshot\tcapture\n", stream);
    for (size_t i = first; i < d->n && rc == SWT_OK; i++) {
        const swt_study_swing *s = &d->study->swing[d->swing[i]];
        place where;
        if (!same_folder(d, first, i))
            continue;
        rc = place_of(&where, d, i, err);
        fprintf(stream, "motion/%s_%s\t", where.stem, where.rest);
        put_cell(stream, s->club);
        fputc('\t', stream);
        put_cell(stream, s->shot);
        fputc('\t', stream);
        put_cell(stream, d->study->capture[s->capture].file);
        fputc('\n', stream);
    }
    return rc;
}

/* The table of the player and session that swing `first` is the first of. */
static swt_status write_scans(dataset *d, size_t first, swt_error *err)
{
    place where;
    char path[4500];
    swt_file_draft draft;
    swt_status rc = place_of(&where, d, first, err);

    if (rc != SWT_OK)
        return rc;
    snprintf(path, sizeof path, "%s/%s_scans.tsv", where.folder, where.stem);
    rc = swt_draft_open(&draft, path, err);
    if (rc != SWT_OK)
        return rc;
    rc = print_scans(draft.stream, d, first, err);
    if (rc == SWT_OK)
        return swt_draft_commit(&draft, err);
    swt_draft_discard(&draft);
    return rc;
}

static swt_status write_all_scans(dataset *d, swt_error *err)
{
    swt_status rc = SWT_OK;

    for (size_t i = 0; i < d->n && rc == SWT_OK; i++) {
        size_t first = 0;
        while (!same_folder(d, first, i))
            first++;
        if (first == i)
            rc = write_scans(d, i, err);
    }
    return rc;
}

static void print_scan_words(FILE *stream, const dataset *d)
{
    (void)d;
    fputs("{\n  \"club\": {\"Description\": \"Club, as the trial sheet names it\"},\n"
          "  \"shot\": {\"Description\": \"Shot, as the trial sheet names it\"},\n"
          "  \"capture\": {\"Description\": \"Capture that the swing was recorded in, as the trial "
          "sheet names it\"}\n}\n",
          stream);
}

swt_status swt_bids_dataset_write(const char *folder, const swt_study *study, const size_t *swing,
                                  size_t n, swt_error *err)
{
    dataset d = {.folder = folder, .study = study, .swing = swing, .n = n};
    swt_status rc =
        n > 0 ? check_folder(folder, err) : swt_fail(err, SWT_EARG, "no swings to write");

    if (rc == SWT_OK)
        rc = swt_folder_make(folder, err);
    for (size_t i = 0; i < n && rc == SWT_OK; i++)
        rc = write_swing(&d, i, err);
    if (rc == SWT_OK)
        rc = write_all_scans(&d, err);
    if (rc == SWT_OK)
        rc = write_file(&d, "scans.json", print_scan_words, err);
    if (rc == SWT_OK)
        rc = write_file(&d, "participants.tsv", print_participants, err);
    if (rc == SWT_OK)
        rc = write_file(&d, "participants.json", print_participant_words, err);
    if (rc == SWT_OK)
        rc = write_file(&d, "README", print_readme, err);
    if (rc == SWT_OK)
        rc = write_file(&d, "dataset_description.json", print_description, err);
    labels_reset(&d.players);
    labels_reset(&d.sessions);
    labels_reset(&d.clubs);
    return rc;
}
