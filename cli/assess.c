#include "cli/assess.h"

#include "cli/analysis_options.h"
#include "cli/keep.h"

#include <stdio.h>

swt_cli_corridor swt_cli_corridor_default(void)
{
    swt_corridor_options o = SWT_CORRIDOR_OPTIONS_INIT;

    return (swt_cli_corridor){.coverage = o.coverage,
                              .confidence = o.confidence,
                              .resamples = (long)o.n_resamples,
                              .seed = (long)o.seed};
}

int swt_cli_check_corridor(swt_assessment_options *options, const swt_cli_command *command,
                           const swt_cli_corridor *corridor)
{
    static const char *const centres[] = {"mean", "median", NULL};       /* as swt_centre */
    static const char *const sides[] = {"both", "upper", "lower", NULL}; /* as swt_sides  */
    const struct {
        const char *name;
        double value, low, high;
    } ranges[] = {
        {"coverage", corridor->coverage, 0.5, 0.999},
        {"confidence", corridor->confidence, 0.5, 0.999},
        {"resamples", (double)corridor->resamples, 200, 1e6},
        {"seed", (double)corridor->seed, 0, 1e15},
    };
    int centre = swt_cli_find_word(corridor->centre, centres);
    int side = swt_cli_find_word(corridor->sides, sides);

    for (size_t i = 0; i < sizeof ranges / sizeof ranges[0]; i++) {
        int code = swt_cli_check_range(command, ranges[i].name, ranges[i].value, ranges[i].low,
                                       ranges[i].high);
        if (code != SWT_CLI_GO_ON)
            return code;
    }
    if (centre < 0)
        return swt_cli_usage(command, "--centre %s: mean or median", corridor->centre);
    if (side < 0)
        return swt_cli_usage(command, "--sides %s: both, upper or lower", corridor->sides);
    swt_assessment_options_init(options);
    options->with_practice = corridor->with_practice != 0;
    options->corridor.coverage = corridor->coverage;
    options->corridor.confidence = corridor->confidence;
    options->corridor.n_resamples = (size_t)corridor->resamples;
    options->corridor.seed = (unsigned long)corridor->seed;
    options->corridor.centre = (swt_centre)centre;
    options->corridor.sides = (swt_sides)side;
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
                   const swt_assessment_options *options)
{
    swt_error err = SWT_ERROR_INIT;

    if (swt_assessment_build(out, study, options, &err) != SWT_OK)
        return swt_cli_fail(command, SWT_EXIT_NO_INPUT, "%s: %s", study->path, err.msg);
    if (!(*out)->options.reference)
        return SWT_CLI_GO_ON;
    for (size_t i = 0; i < (*out)->n_compared; i++)
        if ((*out)->compared[i].corridor->state != SWT_CORRIDOR_REFUSED)
            return SWT_CLI_GO_ON;
    swt_cli_fail(command, 0, "%s: group %s carries no corridor: %s", study->path,
                 (*out)->options.group,
                 (*out)->n_compared > 0 ? (*out)->compared[0].corridor->reason
                                        : "none of its swings has any measure");
    swt_assessment_free(*out);
    *out = NULL;
    return SWT_EXIT_NO_INPUT;
}

int swt_cli_assess_kept(swt_assessment **assessment, const swt_cli_command *command,
                        const swt_study *study, const char *name, const char *only)
{
    swt_kept_request kept;
    swt_error err = SWT_ERROR_INIT;
    int code;

    *assessment = NULL;
    if (swt_cli_find_kept(&kept, study, name, &err) == SWT_OK) {
        kept.options.only = only;
        code = swt_cli_assess(assessment, command, study, &kept.options);
    } else {
        code = swt_cli_fail(command, SWT_EXIT_NO_INPUT,
                            "%s; to build one: swathe corridor %s --reference GROUP", err.msg,
                            study->path);
    }
    swt_kept_request_reset(&kept);
    return code;
}

static bool has_corridors(const swt_study *study)
{
    swt_kept_request kept;
    bool has = swt_cli_find_kept(&kept, study, SWT_CLI_CORRIDORS, NULL) == SWT_OK;

    swt_kept_request_reset(&kept);
    return has;
}

int swt_cli_assess_named_or_alone(swt_assessment **assessment, const swt_cli_command *command,
                                  const swt_study *study, const char *name, const char *only)
{
    swt_assessment_options options;

    if (name || has_corridors(study))
        return swt_cli_assess_kept(assessment, command, study, name ? name : SWT_CLI_CORRIDORS,
                                   only);
    swt_assessment_options_init(&options);
    options.only = only;
    return swt_cli_assess(assessment, command, study, &options);
}
