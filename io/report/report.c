#include "io/report/report.h"
#include "io/files.h"
#include "io/names.h"
#include "io/report/page_parts.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { NAME_ROOM = 96 };

/* A report on its way to the disk. */
typedef struct writing {
    const char *folder;
    char figures[PATH_ROOM]; /* its folder of figures             */
    swt_names page;          /* file names of the pages that stand */
    swt_report_outcome outcome;
} writing;

static swt_status write_page(writing *w, const char *name, const swt_text *page, swt_error *err)
{
    char path[PATH_ROOM];
    size_t at;
    swt_status rc;

    snprintf(path, sizeof path, "%s/%s", w->folder, name);
    rc = swt_html_write(page, path, err);
    return rc == SWT_OK ? swt_names_add(&at, &w->page, name, strlen(name), err) : rc;
}

/* Pages of an earlier report in the same folder, which nothing links to any more. */
static void find_earlier(writing *w)
{
    DIR *folder = opendir(w->folder);
    const struct dirent *entry;
    size_t at;

    while (folder && (entry = readdir(folder))) {
        const char *name = entry->d_name, *end = strrchr(name, '.');
        bool ours = strncmp(name, "player-", 7) == 0 || strncmp(name, "progress-", 9) == 0 ||
                    strcmp(name, "group.html") == 0;
        if (!ours || !end || strcmp(end, ".html") != 0 ||
            swt_names_find(&at, &w->page, name, strlen(name)))
            continue;
        if (w->outcome.n_earlier++ == 0 || strcmp(name, w->outcome.earlier) < 0)
            snprintf(w->outcome.earlier, sizeof w->outcome.earlier, "%s", name);
    }
    if (folder)
        closedir(folder);
}

static swt_status write_player(writing *w, const char *slug, const page_links *links,
                               const swt_study *study, const swt_assessment *a,
                               const swt_assessed_player *p, const replay_group *group,
                               const swt_report_options *options, swt_error *err)
{
    char note[700];
    swt_assessment bare = swt_assessment_without_group(a);
    const replay_group nobody = {0};
    size_t number = (size_t)(p - a->player);
    page_pictures *pictures = calloc(1, sizeof *pictures);
    swt_text page = {0};
    swt_status rc = SWT_OK;

    if (!pictures)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    if (!p->alike) {
        a = &bare;
        group = &nobody;
    }
    if (!w->outcome.figures_missing) {
        swt_error why = SWT_ERROR_INIT;
        rc = page_draw_pictures(pictures, w->figures, slug, study, a, p, group, SWT_PLOT_SVG,
                                SWT_PLOT_COLUMN, options->keep_script, &why);
        if (rc == SWT_EIO) { /* the pages are worth having without */
            w->outcome.figures_missing = true;
            snprintf(w->outcome.message, sizeof w->outcome.message, "%s", why.msg);
            rc = SWT_OK;
        } else if (rc != SWT_OK) {
            swt_fail(err, rc, "%s", why.msg);
        }
    }
    snprintf(note, sizeof note, "There are no figures on this page: %s", w->outcome.message);
    if (rc == SWT_OK)
        rc = page_player(&page, study, a, p, group, pictures, pictures->drawn ? NULL : note, links,
                         options, err);
    if (rc == SWT_OK)
        rc = write_page(w, links->player[number], &page, err);
    swt_text_reset(&page);
    free(pictures);
    return rc;
}

/* The group's page; without gnuplot it stands without figures. */
static swt_status write_group(writing *w, const swt_study *study, const swt_assessment *a,
                              const swt_report_options *options, swt_error *err)
{
    char note[700];
    page_pictures *pictures = calloc(1, sizeof *pictures);
    swt_text page = {0};
    swt_status rc = SWT_OK;

    if (!pictures)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    if (!w->outcome.figures_missing) {
        rc = page_draw_group(pictures, w->figures, study, a, options->keep_script, err);
        if (rc == SWT_EIO && w->page.n == 0) { /* no player's page has told it yet */
            w->outcome.figures_missing = true;
            snprintf(w->outcome.message, sizeof w->outcome.message, "%s", err ? err->msg : "");
            rc = SWT_OK;
        }
    }
    snprintf(note, sizeof note, "There are no figures on this page%s%s",
             w->outcome.figures_missing ? ": " : ".", w->outcome.message);
    if (rc == SWT_OK)
        rc = page_group(&page, study, a, pictures, pictures->drawn ? NULL : note, options, err);
    if (rc == SWT_OK)
        rc = write_page(w, "group.html", &page, err);
    swt_text_reset(&page);
    free(pictures);
    return rc;
}

/* `progress` is NULL where nobody has several sessions. */
static swt_status find_progress(swt_progress **progress, const swt_study *study,
                                const swt_assessment *a, swt_error *err)
{
    const swt_progress_options by_session = {
        .by = SWT_BY_SESSION, .confidence = 0.95, .with_practice = a->options.with_practice};
    swt_error why = SWT_ERROR_INIT;
    swt_status rc = swt_progress_build(progress, study, &by_session, &why);

    if (rc == SWT_EDATA) /* one session each */
        return SWT_OK;
    return rc == SWT_OK ? SWT_OK : swt_fail(err, rc, "%s", why.msg);
}

/* A page for each player with several sessions. */
static swt_status write_progress(writing *w, const page_links *links, const swt_study *study,
                                 const swt_assessment *a, const swt_report_options *options,
                                 swt_error *err)
{
    char slug[NAME_ROOM], name[NAME_ROOM + 8];
    swt_text page = {0};
    swt_status rc = SWT_OK;

    for (size_t i = 0; rc == SWT_OK && links->progress && i < links->progress->n_sets; i++) {
        const swt_progress_set *set = &links->progress->set[i];
        page_progress_slug(slug, sizeof slug, set, i);
        rc = page_progress(&page, w->outcome.figures_missing ? NULL : w->figures, slug, study, a,
                           links, set, options, err);
        snprintf(name, sizeof name, "%s.html", slug);
        if (rc == SWT_OK)
            rc = write_page(w, name, &page, err);
        swt_text_reset(&page);
    }
    return rc;
}

static swt_status write_players(writing *w, const page_links *links, const swt_study *study,
                                const swt_assessment *a, const swt_report_options *options,
                                swt_error *err)
{
    char slug[NAME_ROOM];
    replay_group group;
    swt_status rc = replay_group_build(&group, study, a, err);

    for (size_t i = 0; rc == SWT_OK && i < a->n_players; i++)
        rc = write_player(w, page_slug(slug, sizeof slug, a->player[i].name, i), links, study, a,
                          &a->player[i], &group, options, err);
    replay_group_reset(&group);
    return rc;
}

swt_status swt_report_draw_figures(const char *folder, const swt_study *study,
                                   const swt_assessment *a, swt_plot_format format,
                                   swt_plot_size size, const char *keep_script, swt_error *err)
{
    page_pictures *pictures = calloc(1, sizeof *pictures);
    swt_assessment bare = swt_assessment_without_group(a);
    char slug[NAME_ROOM];
    const replay_group nobody = {0};
    replay_group group;
    swt_status rc;

    if (!pictures)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    rc = replay_group_build(&group, study, a, err);
    if (rc == SWT_OK)
        rc = swt_folder_make(folder, err);
    if (rc == SWT_OK && keep_script)
        rc = swt_folder_make(keep_script, err);
    for (size_t i = 0; rc == SWT_OK && i < a->n_players; i++) {
        const swt_assessed_player *p = &a->player[i]; /* like with like, as on the pages */
        rc = page_draw_pictures(pictures, folder, page_slug(slug, sizeof slug, p->name, i), study,
                                p->alike ? a : &bare, p, p->alike ? &group : &nobody, format, size,
                                keep_script, err);
    }
    replay_group_reset(&group);
    free(pictures);
    return rc;
}

swt_status swt_report_write(swt_report_outcome *outcome, const char *folder, const swt_study *study,
                            const swt_assessment *a, const swt_report_options *options,
                            swt_error *err)
{
    writing w = {.folder = folder};
    char slug[NAME_ROOM];
    char(*file_name)[NAME_ROOM + 8] = calloc(a->n_players + 1, sizeof *file_name);
    const char **name = calloc(a->n_players + 1, sizeof *name);
    swt_progress *progress = NULL;
    page_links links = {.player = name};
    swt_text page = {0};
    swt_status rc = SWT_OK;

    snprintf(w.figures, sizeof w.figures, "%s/figures", folder);
    if (!file_name || !name)
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; rc == SWT_OK && i < a->n_players; i++) { /* first: the pages link to each
                                                                   other */
        snprintf(file_name[i], sizeof file_name[i], "%s.html",
                 page_slug(slug, sizeof slug, a->player[i].name, i));
        name[i] = file_name[i];
    }
    if (rc == SWT_OK)
        rc = find_progress(&progress, study, a, err);
    links.progress = progress;
    if (rc == SWT_OK)
        rc = swt_folder_make(w.figures, err);
    if (rc == SWT_OK && options->keep_script)
        rc = swt_folder_make(options->keep_script, err);
    if (rc == SWT_OK)
        rc = write_players(&w, &links, study, a, options, err);
    if (rc == SWT_OK && a->n_reference > 0)
        rc = write_group(&w, study, a, options, err);
    if (rc == SWT_OK)
        rc = write_progress(&w, &links, study, a, options, err);
    if (rc == SWT_OK) {
        page_study_quality(&page, study, a, options);
        rc = write_page(&w, "study-quality.html", &page, err);
        swt_text_reset(&page);
    }
    if (rc == SWT_OK) { /* last: where there is an index, all that it links to is there */
        page_index(&page, study, a, &links, options);
        rc = write_page(&w, "index.html", &page, err);
    }
    if (rc == SWT_OK) {
        find_earlier(&w);
        w.outcome.n_pages = w.page.n;
    }
    swt_text_reset(&page);
    free(file_name);
    free(name);
    swt_names_reset(&w.page);
    swt_progress_free(progress);
    if (outcome)
        *outcome = w.outcome;
    return rc;
}
