/* What is not carried over cannot be told by anybody: the new file is made from the capture alone.
 */
#include "io/capture/deidentify.h"

#include "io/c3d/c3d_layout.h"
#include "io/c3d/c3d_read.h"
#include "io/c3d/c3d_write.h"
#include "io/capture/read.h"
#include "io/csv/csv_write.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static swt_status note(swt_names *removed, const char *what, swt_error *err)
{
    size_t index;

    return swt_names_add(&index, removed, what, strlen(what), err);
}

/* "NAME:LASI" -> "S1:LASI" */
static swt_status rename_subject(char **label, swt_names *subjects, swt_names *removed,
                                 swt_error *err)
{
    const char *colon = strchr(*label, ':');
    char longer[600];
    size_t subject;
    swt_status rc;

    if (!colon)
        return SWT_OK;
    rc = swt_names_add(&subject, subjects, *label, (size_t)(colon - *label), err);
    if (rc == SWT_OK)
        rc = note(removed, "subjects before the labels (now S1, S2, ...)", err);
    snprintf(longer, sizeof longer, "S%zu%s", subject + 1, colon);
    return rc == SWT_OK ? swt_string_set(label, longer, err) : rc;
}

static swt_status deidentify_points(swt_capture *capture, swt_names *subjects, swt_names *removed,
                                    swt_error *err)
{
    swt_status rc = SWT_OK;

    for (size_t p = 0; p < capture->n_points && rc == SWT_OK; p++) {
        rc = rename_subject(&capture->label[p], subjects, removed, err);
        if (rc == SWT_OK && capture->description[p][0]) {
            rc = note(removed, "descriptions of the points", err);
            capture->description[p][0] = '\0';
        }
    }
    return rc;
}

static swt_status deidentify_events(swt_capture *capture, swt_names *removed, swt_error *err)
{
    swt_status rc = SWT_OK;

    for (size_t e = 0; e < capture->n_events && rc == SWT_OK; e++) {
        char name[32];
        snprintf(name, sizeof name, "event %zu", e + 1);
        rc = note(removed, "names of the events (their times stay)", err);
        if (rc == SWT_OK)
            rc = swt_string_set(&capture->event[e].label, name, err);
        if (rc == SWT_OK)
            rc = swt_string_set(&capture->event[e].context, "", err);
    }
    return rc;
}

swt_status swt_capture_deidentify(swt_capture *capture, swt_names *removed, swt_error *err)
{
    swt_names subjects = {0};
    swt_status rc = deidentify_points(capture, &subjects, removed, err);

    for (size_t a = 0; a < capture->n_analog && rc == SWT_OK; a++)
        rc = rename_subject(&capture->analog[a].label, &subjects, removed, err);
    if (rc == SWT_OK)
        rc = deidentify_events(capture, removed, err);
    swt_names_reset(&subjects);
    return rc;
}

/* --- what a C3D file says besides ----------------------------------------------------------- */

static const swt_c3d_group *group_of(const swt_c3d_parameters *all, const swt_c3d_parameter *p)
{
    for (size_t i = 0; i < all->n_groups; i++)
        if (all->group[i].id == p->group)
            return &all->group[i];
    return NULL;
}

/* "SUBJECTS:NAMES"; groups and parameters have names of up to 127 bytes. */
static void full_name(char out[300], const swt_c3d_parameters *all, const swt_c3d_parameter *p)
{
    const swt_c3d_group *group = group_of(all, p);

    snprintf(out, 300, "%.*s:%.*s", group ? (int)group->name_length : 0,
             group ? (const char *)group->name : "", (int)p->name_length, (const char *)p->name);
}

static swt_status parameters_of(swt_c3d_parameters *out, const void *bytes, size_t size,
                                swt_capture *notes, swt_error *err)
{
    swt_c3d_header header;
    swt_c3d_processor processor;
    size_t start;
    swt_status rc = swt_c3d_header_read(&header, &processor, &start, bytes, size, err);

    return rc == SWT_OK ? swt_c3d_parameters_read(out, bytes, start, size, processor, notes, err)
                        : rc;
}

/* Lists each parameter of `before` that `after` does not have. */
static swt_status list_parameters(swt_names *removed, const swt_c3d_parameters *before,
                                  const swt_c3d_parameters *after, swt_error *err)
{
    swt_names kept = {0};
    char name[300], line[340];
    size_t index;
    swt_status rc = SWT_OK;

    for (size_t i = 0; i < after->n_parameters && rc == SWT_OK; i++) {
        full_name(name, after, &after->parameter[i]);
        rc = swt_names_add(&index, &kept, name, strlen(name), err);
    }
    for (size_t i = 0; i < before->n_parameters && rc == SWT_OK; i++) {
        size_t had = kept.n;
        full_name(name, before, &before->parameter[i]);
        rc = swt_names_add(&index, &kept, name, strlen(name), err);
        if (rc == SWT_OK && kept.n > had) {
            snprintf(line, sizeof line, "parameter %s", name);
            rc = note(removed, line, err);
        }
    }
    swt_names_reset(&kept);
    return rc;
}

static swt_status write_c3d(const char *path, swt_names *removed, const swt_capture *capture,
                            const unsigned char *bytes, size_t size, swt_error *err)
{
    swt_c3d_parameters before = {0}, after = {0};
    swt_capture *notes = swt_capture_new(0, 0);
    unsigned char *made = NULL;
    size_t made_size;
    swt_status rc = notes ? swt_c3d_format(&made, &made_size, capture, NULL, err)
                          : swt_fail(err, SWT_ENOMEM, "out of memory");

    if (rc == SWT_OK)
        rc = parameters_of(&before, bytes, size, notes, err);
    if (rc == SWT_OK)
        rc = parameters_of(&after, made, made_size, notes, err);
    if (rc == SWT_OK)
        rc = list_parameters(removed, &before, &after, err);
    if (rc == SWT_OK)
        rc = swt_c3d_write(path, capture, NULL, err);
    swt_c3d_parameters_reset(&before);
    swt_c3d_parameters_reset(&after);
    swt_capture_free(notes);
    free(made);
    return rc;
}

swt_status swt_capture_file_deidentify(char **written, swt_names *removed,
                                       const char *path_without_ending, const char *source,
                                       swt_error *err)
{
    swt_capture *capture = NULL;
    unsigned char *bytes = NULL;
    char path[4200];
    size_t size;
    bool is_c3d;
    swt_status rc;

    *written = NULL;
    rc = swt_capture_read(&capture, source, NULL, err);
    if (rc == SWT_OK)
        rc = swt_file_read(&bytes, &size, source, err);
    if (rc == SWT_OK)
        rc = swt_capture_deidentify(capture, removed, err);
    if (rc != SWT_OK)
        goto done;
    is_c3d = strncmp(capture->format, "C3D", 3) == 0;
    snprintf(path, sizeof path, "%s%s", path_without_ending, is_c3d ? ".c3d" : ".csv");
    rc = swt_file_is_new(path, err);
    if (rc == SWT_OK && is_c3d)
        rc = write_c3d(path, removed, capture, bytes, size, err);
    if (rc == SWT_OK && !is_c3d)
        rc = note(removed, "comments and columns that are no trajectories", err);
    if (rc == SWT_OK && !is_c3d)
        rc = swt_csv_write(path, capture, NULL, err);
    if (rc == SWT_OK)
        rc = swt_string_set(written, path, err);
done:
    free(bytes);
    swt_capture_free(capture);
    return rc;
}
