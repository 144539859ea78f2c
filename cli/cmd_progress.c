/* swathe progress and swathe shots: a player's blocks of swings against each other. */
#include "cli/analysis_options.h"
#include "cli/assess.h"
#include "cli/commands.h"
#include "io/files.h"
#include "io/report/progress.h"
#include "io/report/words.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_TOLD = 6 };

typedef struct request {
    const char *path, *name, *folder;
    swt_plot_format format;
    swt_progress_options options;
} request;

/** How much larger a change is than what can be told from noise; 0: not known. */
static double size_of(const swt_progress_step *s)
{
    return s->since_from.verdict == SWT_CHANGE_UNKNOWN
               ? 0
               : fabs(s->since_from.difference) / s->since_from.detectable;
}

static bool stands(const swt_progress *p, const swt_progress_step *s)
{
    return s->p_all <= 1 - p->options.confidence;
}

/** The measures to tell of a block, largest change first; the only one asked for always. */
static size_t choose_told(size_t told[MOST_TOLD], const swt_progress *p,
                          const swt_progress_set *set, size_t block)
{
    size_t n = 0;

    while (n < MOST_TOLD) {
        size_t best = p->n_measures;
        for (size_t m = 0; m < p->n_measures; m++) {
            const swt_progress_step *s = swt_progress_at(p, set, block, m);
            bool used = false;
            for (size_t k = 0; k < n; k++)
                used = used || told[k] == m;
            if (used || !(stands(p, s) || (p->n_measures == 1 && size_of(s) > 0)))
                continue;
            if (best == p->n_measures || size_of(s) > size_of(swt_progress_at(p, set, block, best)))
                best = m;
        }
        if (best == p->n_measures)
            break;
        told[n++] = best;
    }
    return n;
}

/** Where the means lie in the group's corridor; nothing without one. */
static void print_place(const swt_corridor *corridor, const swt_change *c)
{
    double before, after;

    if (!corridor)
        return;
    before = fabs(swt_corridor_ratio(corridor, 0, c->before));
    after = fabs(swt_corridor_ratio(corridor, 0, c->after));
    if (!isfinite(before) || !isfinite(after))
        return;
    if ((before > 1) != (after > 1))
        printf("; %s the group's corridor", after > 1 ? "out of" : "into");
    else
        printf("; %s the group's corridor", after > 1 ? "outside" : "inside");
    printf(", %s its centre", after < before ? "nearer to" : "farther from");
}

static void print_change(const swt_corridor *corridor, const swt_progress *p, size_t m,
                         const swt_progress_step *s)
{
    const swt_measure *row = swt_measure_row(p->measure[m]);
    const swt_change *c = &s->since_from;
    char was[48], is[48], by[48], least[48];

    printf("    %s: %s, was %s: %s%s; noise alone makes up to %s", row->title,
           swt_words_value(is, sizeof is, row->quantity, c->after),
           swt_words_value(was, sizeof was, row->quantity, c->before), c->difference > 0 ? "+" : "",
           swt_words_value(by, sizeof by, row->quantity, c->difference),
           swt_words_value(least, sizeof least, row->quantity, c->detectable));
    print_place(corridor, c);
    printf(".\n");
}

/** Does the position at lead arm level hold from one shot length to another? */
static void print_level(const swt_progress *p, const swt_progress_set *set, size_t block)
{
    static const char ending[] = "_at_lead_arm_level_backswing";
    const char *from = set->block[set->from].name, *to = set->block[block].name;
    size_t known = 0, differ = 0;
    const char *first = NULL;

    for (size_t m = 0; m < p->n_measures; m++) {
        const swt_measure *row = swt_measure_row(p->measure[m]);
        const swt_progress_step *s = swt_progress_at(p, set, block, m);
        size_t length = strlen(row->name);
        if (length < sizeof ending || strcmp(row->name + length - sizeof ending + 1, ending) != 0 ||
            s->since_from.verdict == SWT_CHANGE_UNKNOWN)
            continue;
        known++;
        differ += stands(p, s);
        if (stands(p, s) && !first)
            first = row->title;
    }
    if (known == 0)
        printf("    lead arm level in the backswing: not reached in both, or its noise is not "
               "known\n");
    else if (differ == 0)
        printf(
            "    lead arm level in the backswing: within noise the position holds from %s to %s; "
            "none of the %zu measures there differs by more\n",
            from, to, known);
    else
        printf("    lead arm level in the backswing: the position is another one from %s to %s, in "
               "%zu of %zu measures there (%s%s)\n",
               from, to, differ, known, first, differ > 1 ? " and others" : "");
}

static void print_block(const swt_study *study, const swt_assessment *a, const swt_progress *p,
                        const swt_progress_set *set, size_t block)
{
    const char *what = p->options.by == SWT_BY_SESSION ? "session " : "";
    size_t told[MOST_TOLD], n = choose_told(told, p, set, block);
    size_t known = 0, alone = 0, all = 0;

    for (size_t m = 0; m < p->n_measures; m++) {
        const swt_progress_step *s = swt_progress_at(p, set, block, m);
        known += s->since_from.verdict != SWT_CHANGE_UNKNOWN;
        alone += size_of(s) > 1;
        all += stands(p, s);
    }
    printf("  %s%s against %s%s: ", what, set->block[block].name, what, set->block[set->from].name);
    if (known == 0)
        printf("no measure with known noise is there in both\n");
    else if (p->n_measures == 1)
        printf("%s\n", alone ? "more than noise" : "not more than noise; that is not 'no change'");
    else
        printf("%zu of %zu measures differ by more than noise, all taken together (%zu if each "
               "stood alone)%s\n",
               all, known, alone, n > 0 ? "; the clearest:" : "");
    for (size_t k = 0; k < n; k++)
        print_change(swt_progress_corridor(p, set, told[k], study, a), p, told[k],
                     swt_progress_at(p, set, block, told[k]));
    if (p->options.by == SWT_BY_SHOT && p->n_measures > 1)
        print_level(p, set, block);
}

static void print_noise(const swt_progress *p)
{
    size_t players = 0, swings = 0, trend = 0, known = 0;

    for (size_t m = 0; m < p->n_measures; m++) {
        players = p->noise[m].n_players > players ? p->noise[m].n_players : players;
        swings = p->noise[m].n_swings > swings ? p->noise[m].n_swings : swings;
        known += isfinite(p->noise[m].sem) != 0;
        trend += p->noise[m].trend_p < 0.01;
    }
    if (known == 0) {
        printf("Noise is not known: it takes %d swings more than players, of players with several "
               "swings in their first session, and there are %zu swings of %zu players.\n",
               SWT_PROGRESS_LEAST_DF, swings, players);
        return;
    }
    printf("Noise: swing-to-swing spread of %zu players, %zu swings, each player's first session. "
           "What differs between days by itself, such as markers put on anew, is not in it.\n",
           players, swings);
    if (trend > 0 && p->n_measures > 1)
        printf("In %zu of %zu measures the group's first three swings drift (F test, p < 0.01): "
               "see trend_p in noise.csv.\n",
               trend, known);
}

static void print(const swt_study *study, const swt_assessment *a, const swt_progress *p)
{
    for (size_t i = 0; i < p->n_sets; i++) {
        const swt_progress_set *set = &p->set[i];
        printf("%s:", set->name);
        for (size_t b = 0; b < set->n_blocks; b++) {
            char swings[64];
            printf(
                "%s %s%s (%s)", b ? "," : "", p->options.by == SWT_BY_SESSION ? "session " : "",
                set->block[b].name,
                swt_words_count(swings, sizeof swings, set->block[b].n_swings, "swing", "swings"));
        }
        printf("\n");
        for (size_t b = 0; b < set->n_blocks; b++)
            if (b != set->from)
                print_block(study, a, p, set, b);
    }
    print_noise(p);
}

/** Figures of the measures that are told of the last block. */
static swt_status draw(const request *r, const swt_progress *p, const swt_study *study,
                       const swt_assessment *a, swt_error *err)
{
    const char *kind = p->options.by == SWT_BY_SESSION ? "progress" : "shots";
    swt_status rc = SWT_OK;
    char path[4096];

    for (size_t i = 0; i < p->n_sets; i++) {
        const swt_progress_set *set = &p->set[i];
        size_t last = set->from == set->n_blocks - 1 ? set->n_blocks - 2 : set->n_blocks - 1;
        size_t told[MOST_TOLD], n = choose_told(told, p, set, last);
        for (size_t k = 0; rc == SWT_OK && k < n; k++) {
            if ((size_t)snprintf(path, sizeof path, "%s/%s-%zu-%s.%s", r->folder, kind, i + 1,
                                 swt_measure_row(p->measure[told[k]])->name,
                                 swt_plot_extension(r->format)) >= sizeof path)
                return swt_fail(err, SWT_EARG, "%s: path too long", r->folder);
            rc = swt_progress_draw(path, p, set, told[k], study, a, r->format, SWT_PLOT_PAGE, err);
        }
    }
    return rc;
}

static swt_status write_tables(const request *r, const swt_progress *p, swt_error *err)
{
    const char *kind = p->options.by == SWT_BY_SESSION ? "progress" : "shots";
    char path[4096];
    swt_status rc = swt_folder_make(r->folder, err);

    if (rc == SWT_OK &&
        (size_t)snprintf(path, sizeof path, "%s/%s.csv", r->folder, kind) >= sizeof path)
        rc = swt_fail(err, SWT_EARG, "%s: path too long", r->folder);
    if (rc == SWT_OK)
        rc = swt_progress_table_write(path, p, err);
    if (rc == SWT_OK &&
        (size_t)snprintf(path, sizeof path, "%s/noise.csv", r->folder) >= sizeof path)
        rc = swt_fail(err, SWT_EARG, "%s: path too long", r->folder);
    return rc == SWT_OK ? swt_noise_table_write(path, p, err) : rc;
}

static int follow(const swt_cli_command *self, const request *r)
{
    swt_study *study = NULL;
    swt_assessment *assessment = NULL;
    swt_progress *progress = NULL;
    swt_error err = SWT_ERROR_INIT;
    int code = swt_cli_open_measured(&study, self, r->path);

    if (code == SWT_CLI_GO_ON)
        code = swt_cli_assess_named_or_alone(&assessment, self, study, r->name, NULL);
    if (code == SWT_CLI_GO_ON && swt_progress_build(&progress, study, &r->options, &err) != SWT_OK)
        code = swt_cli_fail(self, SWT_EXIT_NO_INPUT, "%s: %s", r->path, err.msg);
    if (code == SWT_CLI_GO_ON) {
        code = SWT_EXIT_ALL_DONE;
        print(study, assessment, progress);
        if (r->folder && (write_tables(r, progress, &err) != SWT_OK ||
                          draw(r, progress, study, assessment, &err) != SWT_OK))
            code = swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
        else if (r->folder)
            printf("tables and figures: %s\n", r->folder);
    }
    swt_progress_free(progress);
    swt_assessment_free(assessment);
    swt_study_close(study);
    return code;
}

static int run(const swt_cli_command *self, int argc, char **argv, swt_progress_by by)
{
    static const char *const formats[] = {"svg", "pdf", "png", NULL};
    static const swt_plot_format format_of[] = {SWT_PLOT_SVG, SWT_PLOT_PDF, SWT_PLOT_PNG};
    char *folder = NULL, *name = NULL, *only = NULL, *measure = NULL, *from = NULL, *format = NULL;
    double confidence = 0.95;
    int with_practice = 0;
    const struct poptOption options[] = {
        {"output", 'o', POPT_ARG_STRING, &folder, 0, "folder for tables and figures", "FOLDER"},
        SWT_CLI_ONLY(only),
        {"measure", 'm', POPT_ARG_STRING, &measure, 0, "this one alone [all]", "MEASURE"},
        {"from", '\0', POPT_ARG_STRING, &from, 0,
         by == SWT_BY_SESSION ? "session that the others are held against [the first of the sheet]"
                              : "shot that the others are held against [the first of the sheet]",
         by == SWT_BY_SESSION ? "SESSION" : "SHOT"},
        {"confidence", '\0', POPT_ARG_DOUBLE, &confidence, 0, "that a difference is not noise",
         "P"},
        {"with-practice", '\0', POPT_ARG_NONE, &with_practice, 0, "take practice swings too", NULL},
        SWT_CLI_CORRIDOR_NAME(name),
        {"format", 'f', POPT_ARG_STRING, &format, 0, "of figures: svg, pdf or png [svg]", "FORMAT"},
        POPT_TABLEEND,
    };
    swt_cli_line line;
    int code = swt_cli_begin(&line, self, argc, argv, options, 1, 1);
    int chosen = swt_cli_find_word(format, formats);

    if (code == SWT_CLI_GO_ON)
        code = swt_cli_check_range(self, "confidence", confidence, 0.5, 0.999);
    if (code == SWT_CLI_GO_ON && chosen < 0)
        code = swt_cli_usage(self, "--format %s: svg, pdf or png", format);
    if (code == SWT_CLI_GO_ON) {
        const request r = {.path = line.operand[0],
                           .name = name,
                           .folder = folder,
                           .format = format_of[chosen],
                           .options = {.by = by,
                                       .only = only,
                                       .measure = measure,
                                       .from = from,
                                       .confidence = confidence,
                                       .with_practice = with_practice != 0}};
        code = follow(self, &r);
    }
    swt_cli_end(&line);
    return code;
}

int swt_cmd_progress(const swt_cli_command *self, int argc, char **argv)
{
    return run(self, argc, argv, SWT_BY_SESSION);
}

int swt_cmd_shots(const swt_cli_command *self, int argc, char **argv)
{
    return run(self, argc, argv, SWT_BY_SHOT);
}
