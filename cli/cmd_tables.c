/* swathe tables: a study as CSV. */
#include "cli/assess.h"
#include "cli/commands.h"
#include "cli/outputs.h"

#include <stdio.h>
#include <stdlib.h>

static bool has_corridors(const swt_study *study)
{
    swt_corridor_options options;
    char *group = NULL;
    bool has = swt_cli_find_kept(&group, &options, study, SWT_CLI_CORRIDORS, NULL) == SWT_OK;

    free(group);
    return has;
}

int swt_cmd_tables(const swt_cli_command *self, int argc, char **argv)
{
    char *folder = NULL, *name = NULL;
    int curves = 0;
    const struct poptOption options[] = {
        {"output", 'o', POPT_ARG_STRING, &folder, 0, "folder for the tables (required)", "FOLDER"},
        SWT_CLI_CORRIDOR_NAME(name),
        {"curves", '\0', POPT_ARG_NONE, &curves, 0, "curves.csv too, which is long", NULL},
        POPT_TABLEEND,
    };
    swt_study *study = NULL;
    swt_assessment *assessment = NULL;
    swt_cli_line line;
    int code = swt_cli_begin(&line, self, argc, argv, options, 1, 1);

    if (code == SWT_CLI_GO_ON && !folder)
        code = swt_cli_usage(self, "--output is missing");
    if (code == SWT_CLI_GO_ON)
        code = swt_cli_open_measured(&study, self, line.operand[0]);
    /* without corridors there are no departures; of a name that was given there must be some */
    if (code == SWT_CLI_GO_ON && (name || has_corridors(study)))
        code = swt_cli_assess_kept(&assessment, self, study, name ? name : SWT_CLI_CORRIDORS);
    if (code == SWT_CLI_GO_ON)
        code = swt_cli_write_tables(self, folder, study, assessment, curves != 0);
    if (code == SWT_EXIT_ALL_DONE)
        printf("tables: %s\n", folder);
    swt_assessment_free(assessment);
    swt_study_close(study);
    swt_cli_end(&line);
    return code;
}
