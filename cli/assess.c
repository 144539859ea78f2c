#include "cli/assess.h"

#include "cli/analysis_options.h"
#include "cli/keep.h"
#include "io/report/report.h"
#include "io/report/words.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

swt_cli_corridor swt_cli_corridor_default(void)
{
    swt_corridor_options o = SWT_CORRIDOR_OPTIONS_INIT;

    return (swt_cli_corridor){.coverage = o.coverage,
                              .confidence = o.confidence,
                              .resamples = (long)o.n_resamples,
                              .seed = (long)o.seed};
}

int swt_cli_check_corridor(swt_corridor_options *options, const swt_cli_command *command,
                           const swt_cli_corridor *corridor)
{
    const struct {
        const char *name;
        double value, low, high;
    } ranges[] = {
        {"coverage", corridor->coverage, 0.5, 0.999},
        {"confidence", corridor->confidence, 0.5, 0.999},
        {"resamples", (double)corridor->resamples, 200, 1e6},
        {"seed", (double)corridor->seed, 0, 1e15},
    };

    for (size_t i = 0; i < sizeof ranges / sizeof ranges[0]; i++) {
        int code = swt_cli_check_range(command, ranges[i].name, ranges[i].value, ranges[i].low,
                                       ranges[i].high);
        if (code != SWT_CLI_GO_ON)
            return code;
    }
    *options = (swt_corridor_options)SWT_CORRIDOR_OPTIONS_INIT;
    options->coverage = corridor->coverage;
    options->confidence = corridor->confidence;
    options->n_resamples = (size_t)corridor->resamples;
    options->seed = (unsigned long)corridor->seed;
    return SWT_CLI_GO_ON;
}

int swt_cli_open_measured(swt_study **out, const swt_cli_command *command, const char *path)
{
    swt_error err = SWT_ERROR_INIT;

    if (swt_study_open(out, path, &err) != SWT_OK)
        return swt_cli_fail(command, SWT_EXIT_NO_INPUT, "%s", err.msg);
    if ((*out)->n_swings > 0)
        return SWT_CLI_GO_ON;
    swt_study_close(*out);
    *out = NULL;
    return swt_cli_fail(command, SWT_EXIT_NO_INPUT,
                        "%s: holds no measured swing; measure it first: swathe measure %s", path,
                        path);
}

int swt_cli_assess(swt_assessment **out, const swt_cli_command *command, const swt_study *study,
                   const char *group, bool with_practice, const swt_corridor_options *options)
{
    swt_assessment_options assessment;
    swt_error err = SWT_ERROR_INIT;

    swt_assessment_options_init(&assessment);
    assessment.group = group;
    assessment.with_practice = with_practice;
    assessment.corridor = *options;
    if (swt_assessment_build(out, study, &assessment, &err) != SWT_OK)
        return swt_cli_fail(command, SWT_EXIT_NO_INPUT, "%s: %s", study->path, err.msg);
    if (!group)
        return SWT_CLI_GO_ON;
    for (size_t i = 0; i < (*out)->n_compared; i++)
        if ((*out)->compared[i].corridor->state != SWT_CORRIDOR_REFUSED)
            return SWT_CLI_GO_ON;
    swt_cli_fail(command, 0, "%s: group %s carries no corridor: %s", study->path, group,
                 (*out)->n_compared > 0 ? (*out)->compared[0].corridor->reason : "");
    swt_assessment_free(*out);
    *out = NULL;
    return SWT_EXIT_NO_INPUT;
}

int swt_cli_assess_kept(swt_assessment **assessment, const swt_cli_command *command,
                        const swt_study *study, const char *name)
{
    swt_corridor_options options;
    swt_error err = SWT_ERROR_INIT;
    bool with_practice;
    char *group = NULL;
    int code;

    *assessment = NULL;
    if (swt_cli_find_kept(&group, &with_practice, &options, study, name, &err) == SWT_OK)
        code = swt_cli_assess(assessment, command, study, group, with_practice, &options);
    else
        code = swt_cli_fail(command, SWT_EXIT_NO_INPUT,
                            "%s; to build one: swathe corridor %s --reference GROUP", err.msg,
                            study->path);
    free(group);
    return code;
}

static bool has_corridors(const swt_study *study)
{
    swt_corridor_options options;
    char *group = NULL;
    bool with_practice, has;

    has = swt_cli_find_kept(&group, &with_practice, &options, study, SWT_CLI_CORRIDORS, NULL) ==
          SWT_OK;
    free(group);
    return has;
}

int swt_cli_assess_named_or_alone(swt_assessment **assessment, const swt_cli_command *command,
                                  const swt_study *study, const char *name)
{
    const swt_corridor_options options = SWT_CORRIDOR_OPTIONS_INIT;

    if (!name && !has_corridors(study))
        return swt_cli_assess(assessment, command, study, NULL, false, &options);
    return swt_cli_assess_kept(assessment, command, study, name ? name : SWT_CLI_CORRIDORS);
}

/** One line for each reason, with the first measure that it holds for. */
static void print_refused(const swt_assessment *a)
{
    for (size_t i = 0; i < a->n_compared; i++) {
        const swt_corridor *c = a->compared[i].corridor;
        size_t n = 0, earlier = 0;

        if (c->state != SWT_CORRIDOR_REFUSED)
            continue;
        for (size_t k = 0; k < a->n_compared; k++) {
            const swt_corridor *other = a->compared[k].corridor;
            bool same =
                other->state == SWT_CORRIDOR_REFUSED && strcmp(other->reason, c->reason) == 0;
            n += same;
            earlier += same && k < i;
        }
        if (earlier > 0)
            continue;
        printf("  no corridor: %s", a->compared[i].title);
        if (n > 1)
            printf(" and %zu more", n - 1);
        printf(": %s\n", c->reason);
    }
}

void swt_cli_print_corridors(const swt_assessment *a)
{
    size_t usable = 0, limited = 0;
    double lowest = nan("");
    char players[64], swings[64];

    printf("reference group %s: %s, %s\n", a->options.group,
           swt_words_count(players, sizeof players, a->n_reference_players, "player", "players"),
           swt_words_count(swings, sizeof swings, a->n_reference, "swing", "swings"));
    if (a->n_practice > 0)
        printf("  %s of the study left out; --with-practice takes them too\n",
               swt_words_count(swings, sizeof swings, a->n_practice, "practice swing is",
                               "practice swings are"));
    for (size_t i = 0; i < a->n_compared; i++) {
        const swt_corridor *c = a->compared[i].corridor;
        usable += c->state == SWT_CORRIDOR_OK;
        limited += c->state == SWT_CORRIDOR_LIMITED;
        if (c->state != SWT_CORRIDOR_REFUSED && !(lowest <= c->loo_coverage))
            lowest = c->loo_coverage;
    }
    printf("  %zu corridors (%zu of them limited) for %zu measures, each to hold %.0f %% of a new "
           "player's swings",
           usable + limited, limited, a->n_compared, 100 * a->options.corridor.coverage);
    if (isfinite(lowest))
        printf("; with each player left out in turn, the worst of them held %.0f %%", 100 * lowest);
    putchar('\n');
    if (isfinite(a->family_factor))
        printf(
            "  looked at together, %.0f %% of clean swings leave one of %zu corridors by chance; "
            "widened by %.2f they are left by %.0f %%\n",
            100 * a->false_alone, a->n_family, a->family_factor,
            100 * (1 - a->options.corridor.coverage));
    print_refused(a);
}

void swt_cli_print_players(const swt_assessment *a)
{
    for (size_t i = 0; i < a->n_players; i++) {
        swt_text lead = {0};

        swt_report_lead(&lead, a, &a->player[i]);
        printf("%s: %s\n", a->player[i].name, lead.bytes ? lead.bytes : "");
        swt_text_reset(&lead);
    }
}
