/* swathe tables: a study as CSV. */
#include "cli/assess.h"
#include "cli/commands.h"
#include "cli/outputs.h"

#include <stdio.h>

int swt_cmd_tables(const swt_cli_command *self, int argc, char **argv)
{
    char *folder = NULL, *name = NULL, *only = NULL;
    int curves = 0;
    const struct poptOption options[] = {
        {"output", 'o', POPT_ARG_STRING, &folder, 0, "folder for the tables (required)", "FOLDER"},
        SWT_CLI_CORRIDOR_NAME(name),
        {"only", '\0', POPT_ARG_STRING, &only, 0,
         "the swings to write, by conditions on the sheet; captures and findings of these alone",
         "CONDITIONS"},
        {"curves", '\0', POPT_ARG_NONE, &curves, 0,
         "curves too (curves.csv, travel.csv, transition.csv): long", NULL},
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
    if (code == SWT_CLI_GO_ON)
        code = swt_cli_assess_named_or_alone(&assessment, self, study, name, only);
    if (code == SWT_CLI_GO_ON)
        code = swt_cli_write_tables(
            self, folder, study, assessment->options.group ? assessment : NULL, only, curves != 0);
    if (code == SWT_EXIT_ALL_DONE && study)
        printf("tables: %s\n", folder);
    swt_assessment_free(assessment);
    swt_study_close(study);
    swt_cli_end(&line);
    return code;
}
