/* Which files tell about a recording (BIDS, "The Inheritance Principle"). */
#define _XOPEN_SOURCE 700 /* realpath */
#include "io/bids/bids_name.h"
#include "io/bids/bids_sidecar.h"

#include <dirent.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { MOST_FOLDERS = 4, MOST_FOUND = 8 }; /* motion/, ses-, sub-, the dataset */

typedef struct search {
    swt_bids_beside *found;
    const swt_bids_name *of;
    size_t n_pairs[MOST_FOUND]; /* of each json found in the folder at hand */
    size_t channels_pairs;
} search;

static char *join(const char *folder, const char *name)
{
    size_t room = strlen(folder) + strlen(name) + 2;
    char *path = malloc(room);

    if (path)
        snprintf(path, room, "%s/%s", folder, name);
    return path;
}

/* Within a folder, the name with more pairs tells more closely and comes first. */
static swt_status take_json(search *s, size_t first, const char *folder, const char *file,
                            size_t pairs, swt_error *err)
{
    swt_bids_beside *b = s->found;
    size_t at = b->n_json;

    if (b->n_json == MOST_FOUND)
        return SWT_OK;
    while (at > first && s->n_pairs[at - 1] < pairs)
        at--;
    memmove(b->json + at + 1, b->json + at, (b->n_json - at) * sizeof *b->json);
    memmove(s->n_pairs + at + 1, s->n_pairs + at, (b->n_json - at) * sizeof *s->n_pairs);
    b->n_json++;
    s->n_pairs[at] = pairs;
    b->json[at] = join(folder, file);
    return b->json[at] ? SWT_OK : swt_fail(err, SWT_ENOMEM, "out of memory");
}

static swt_status take_channels(search *s, const char *folder, const char *file, size_t pairs,
                                swt_error *err)
{
    if (s->found->channels && s->channels_pairs >= pairs)
        return SWT_OK;
    free(s->found->channels);
    s->found->channels = join(folder, file);
    s->channels_pairs = pairs;
    return s->found->channels ? SWT_OK : swt_fail(err, SWT_ENOMEM, "out of memory");
}

static swt_status search_folder(search *s, const char *path, swt_error *err)
{
    DIR *folder = opendir(path);
    size_t first = s->found->n_json;
    bool had_channels = s->found->channels != NULL;
    swt_status rc = SWT_OK;

    if (!folder)
        return swt_fail(err, SWT_EIO, "%s: %s", path, strerror(errno));
    for (struct dirent *e; rc == SWT_OK && (e = readdir(folder));) {
        swt_bids_name name;
        if (!swt_bids_name_split(&name, e->d_name) || !swt_bids_name_applies(&name, s->of))
            continue;
        if (strcmp(name.ending, ".json") == 0 &&
            (strcmp(name.suffix, "motion") == 0 || strcmp(name.suffix, "channels") == 0))
            rc = take_json(s, first, path, e->d_name, name.n, err);
        else if (!had_channels && strcmp(name.suffix, "channels") == 0 &&
                 strcmp(name.ending, ".tsv") == 0)
            rc = take_channels(s, path, e->d_name, name.n, err);
    }
    closedir(folder);
    return rc;
}

/* The events of just this recording. */
static swt_status find_events(swt_bids_beside *out, const char *motion_path, swt_error *err)
{
    static const char end[] = "_events.tsv";
    size_t stem = strlen(motion_path) - strlen("_motion.tsv");

    out->events = malloc(stem + sizeof end);
    if (!out->events)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    memcpy(out->events, motion_path, stem);
    memcpy(out->events + stem, end, sizeof end);
    if (access(out->events, F_OK) != 0) {
        free(out->events);
        out->events = NULL;
    }
    return SWT_OK;
}

static bool is_inside_dataset(const char *folder)
{
    const char *slash = strrchr(folder, '/'), *name = slash ? slash + 1 : folder;

    return strcmp(name, "motion") == 0 || strncmp(name, "ses-", 4) == 0 ||
           strncmp(name, "sub-", 4) == 0;
}

swt_status swt_bids_beside_find(swt_bids_beside *out, const char *motion_path, swt_error *err)
{
    swt_bids_name of;
    search s = {.found = out, .of = &of};
    char *real = realpath(motion_path, NULL), *slash;
    swt_status rc = SWT_OK;

    memset(out, 0, sizeof *out);
    if (!real)
        return swt_fail(err, SWT_EIO, "%s", strerror(errno));
    if (!swt_bids_name_split(&of, motion_path))
        rc = swt_fail(err, SWT_EFORMAT,
                      "the name ends in _motion.tsv but is no BIDS name, such as "
                      "sub-01_task-swing_tracksys-optical_motion.tsv");
    for (int k = 0; k < MOST_FOLDERS && rc == SWT_OK; k++) {
        slash = strrchr(real, '/');
        if (!slash || slash == real)
            break;
        *slash = '\0';
        rc = search_folder(&s, real, err);
        if (!is_inside_dataset(real))
            break;
    }
    if (rc == SWT_OK)
        rc = find_events(out, motion_path, err);
    free(real);
    if (rc != SWT_OK)
        swt_bids_beside_reset(out);
    return rc;
}

void swt_bids_beside_reset(swt_bids_beside *beside)
{
    free(beside->channels);
    free(beside->events);
    for (size_t i = 0; i < beside->n_json; i++)
        free(beside->json[i]);
    memset(beside, 0, sizeof *beside);
}
