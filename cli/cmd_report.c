/* swathe report: pages and figures of a study. */
#include "cli/assess.h"
#include "cli/commands.h"
#include "cli/outputs.h"

#include <stdio.h>
#include <stdlib.h>

int swt_cmd_report(const swt_cli_command *self, int argc, char **argv)
{
    char *name = NULL, *only = NULL, *folder = NULL, *scripts = NULL;
    const struct poptOption options[] = {
        {"output", 'o', POPT_ARG_STRING, &folder, 0, "folder for the pages (required)", "FOLDER"},
        SWT_CLI_CORRIDOR_NAME(name),
        SWT_CLI_ONLY(only),
        {"keep-script", '\0', POPT_ARG_STRING, &scripts, 0, "keep the gnuplot scripts there",
         "FOLDER"},
        POPT_TABLEEND,
    };
    char *quoted = swt_cli_quote(argc, argv);
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
    if (code == SWT_CLI_GO_ON) {
        const swt_report_options report = {.command = quoted, .keep_script = scripts};
        code = swt_cli_write_report(self, folder, study, assessment, &report);
        if (code == SWT_EXIT_ALL_DONE)
            printf("report: %s/index.html\n", folder);
    }
    swt_assessment_free(assessment);
    swt_study_close(study);
    swt_cli_end(&line);
    free(quoted);
    return code;
}
