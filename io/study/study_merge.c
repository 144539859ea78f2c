/* Whole studies -> one study: are they alike, and what does its root say? */
#include "base/capture.h"
#include "io/study/study_layout.h"

#include <stdlib.h>
#include <string.h>

/* What all parts together come to. */
typedef struct merging {
    char *text[SWT_PROVENANCE_TEXTS]; /* of the root; owned */
    swt_study_pick *pick;
    size_t n_picks;
} merging;

static bool has_line(const char *lines, const char *line)
{
    size_t n = strlen(line);

    for (const char *p = lines; p; p = strchr(p, '\n')) {
        p += *p == '\n';
        if (strncmp(p, line, n) == 0 && (p[n] == '\n' || p[n] == '\0'))
            return true;
    }
    return false;
}

/* Texts that may differ between parts are listed, each once, one a line. */
static swt_status add_line(char **lines, const char *line, swt_error *err)
{
    size_t have = strlen(*lines), more = strlen(line);
    char *longer;

    if (more == 0 || has_line(*lines, line))
        return SWT_OK;
    longer = realloc(*lines, have + more + 2);
    if (!longer)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    if (have > 0)
        longer[have++] = '\n';
    memcpy(longer + have, line, more + 1);
    *lines = longer;
    return SWT_OK;
}

static swt_status same_text(char **text, const char *here, const char *what, const char *path,
                            const char *first, swt_error *err)
{
    if (!*text && !(*text = strdup(here)))
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    if (strcmp(*text, here) == 0)
        return SWT_OK;
    return swt_fail(err, SWT_EDATA,
                    "%s: was made with other %s than %s: make the parts alike, then merge", path,
                    what, first);
}

/* Numbers made by other rules must not stand in one column. */
static swt_status join_root(merging *m, const swt_study *part, const char *first, swt_error *err)
{
    char *names = swt_join_lines(part->covariate_name, part->n_covariates);
    const struct {
        int text;
        const char *here, *what;
    } same[] = {{SWT_TEXT_NUMERICS, part->numerics, "numerics (another version of swathe)"},
                {SWT_TEXT_OPTIONS, part->options, "options"},
                {SWT_TEXT_COVARIATES, names, "covariates"}},
      listed[] = {
          {SWT_TEXT_VERSION, part->version, ""}, {SWT_TEXT_COMMAND, part->command, ""},
          {SWT_TEXT_SHEET, part->sheet, ""},     {SWT_TEXT_SHEET_SHA256, part->sheet_sha256, ""},
          {SWT_TEXT_MAP, part->map, ""},         {SWT_TEXT_MAP_SHA256, part->map_sha256, ""}};
    char **created = &m->text[SWT_TEXT_CREATED];
    swt_status rc = SWT_OK;

    if (!names)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t k = 0; k < sizeof same / sizeof *same && rc == SWT_OK; k++)
        rc = same_text(&m->text[same[k].text], same[k].here, same[k].what, part->path, first, err);
    for (size_t k = 0; k < sizeof listed / sizeof *listed && rc == SWT_OK; k++) {
        char **text = &m->text[listed[k].text];
        if (!*text && !(*text = calloc(1, 1)))
            rc = swt_fail(err, SWT_ENOMEM, "out of memory");
        else
            rc = add_line(text, listed[k].here, err);
    }
    /* as young as its youngest part */
    if (rc == SWT_OK && (!*created || strcmp(part->created, *created) > 0))
        rc = swt_string_set(created, part->created, err);
    free(names);
    return rc;
}

static swt_status pick_all(merging *m, size_t source, size_t n, swt_error *err)
{
    swt_study_pick *more = realloc(m->pick, (m->n_picks + n + 1) * sizeof *more);

    if (!more)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    m->pick = more;
    for (size_t c = 0; c < n; c++)
        m->pick[m->n_picks++] = (swt_study_pick){source, c};
    return SWT_OK;
}

swt_status swt_study_merge(const char *path, const char *const *part, size_t n_parts,
                           const char *command, swt_error *err)
{
    merging m = {.text = {NULL}};
    swt_status rc = SWT_OK;

    swt_h5_quiet();
    if (n_parts == 0)
        return swt_fail(err, SWT_EARG, "%s: there are no parts to merge", path);
    for (size_t i = 0; i < n_parts && rc == SWT_OK; i++) {
        swt_study *study;
        rc = swt_study_open_captures(&study, part[i], err);
        if (rc == SWT_OK)
            rc = join_root(&m, study, part[0], err);
        if (rc == SWT_OK)
            rc = pick_all(&m, i, study->n_captures, err);
        swt_study_close(study);
    }
    if (rc == SWT_OK && command)
        rc = add_line(&m.text[SWT_TEXT_COMMAND], command, err);
    if (rc == SWT_OK)
        rc = swt_string_set(&m.text[SWT_TEXT_PART], "", err);
    if (rc == SWT_OK)
        rc = swt_study_gather_as(path, part, n_parts, m.pick, m.n_picks,
                                 (const char *const *)m.text, err);
    free(m.pick);
    for (size_t i = 0; i < SWT_PROVENANCE_TEXTS; i++)
        free(m.text[i]);
    return rc;
}
