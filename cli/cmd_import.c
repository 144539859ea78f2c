/* swathe import: can every capture be read, does the map fit, what is in them? */
#include "cli/analysis_options.h"
#include "cli/batch_options.h"
#include "cli/commands.h"
#include "cli/summary.h"
#include "io/study/study_lock.h"

#include <stdio.h>
#include <stdlib.h>

static int print_result(const swt_cli_command *self, const swt_batch *batch,
                        const swt_batch_outcome *outcome, bool verbose)
{
    swt_study *study = NULL;
    swt_error err = SWT_ERROR_INIT;

    if (swt_study_open(&study, batch->study_path, &err) != SWT_OK)
        return swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
    swt_cli_print_captures(study, verbose);
    swt_cli_print_outcome(batch, outcome);
    swt_cli_print_counts(study);
    swt_cli_print_findings(study, SWT_NOTE); /* does the map fit? */
    swt_study_close(study);
    return SWT_EXIT_ALL_DONE;
}

static int import(const swt_cli_command *self, const swt_batch *batch, bool verbose)
{
    swt_batch_outcome outcome;
    swt_study_lock lock;
    swt_error err = SWT_ERROR_INIT;
    int code;

    if (swt_study_lock_take(&lock, batch->study_path, &err) != SWT_OK)
        return swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
    code = swt_batch_run(&outcome, batch);
    if (batch->voice == SWT_SAY_WORDS &&
        (code == SWT_EXIT_ALL_DONE || code == SWT_EXIT_SOME_FAILED)) {
        int printed = print_result(self, batch, &outcome, verbose);
        code = printed != SWT_EXIT_ALL_DONE ? printed : code;
    }
    swt_study_lock_release(&lock);
    return code;
}

int swt_cmd_import(const swt_cli_command *self, int argc, char **argv)
{
    char *map = NULL, *output = NULL;
    int verbose = 0;
    swt_cli_batch how = {0};
    swt_batch batch = {.command = self, .depth = SWT_BATCH_IMPORT};
    const struct poptOption options[] = {
        {"map", 'm', POPT_ARG_STRING, &map, 0, "marker map; rows of the sheet may name their own",
         "FILE"},
        {"output", 'o', POPT_ARG_STRING, &output, 0, "the study to write (required)", "STUDY"},
        {"verbose", 'v', POPT_ARG_NONE, &verbose, 0, "print a line for each capture", NULL},
        SWT_CLI_PART_OPTION(how),
        SWT_CLI_BATCH_OPTIONS(how),
        POPT_TABLEEND,
    };
    char *quoted = swt_cli_quote(argc, argv);
    swt_cli_line line;
    int code = swt_cli_begin(&line, self, argc, argv, options, 1, 1);

    if (code == SWT_CLI_GO_ON && !output)
        code = swt_cli_usage(self, "--output is missing");
    if (code == SWT_CLI_GO_ON)
        code = swt_cli_check_batch(&batch, self, &how);
    if (code == SWT_CLI_GO_ON) {
        batch.command_line = quoted;
        batch.sheet_path = line.operand[0];
        batch.map_path = map;
        batch.study_path = output;
        swt_analysis_options_init(&batch.options);
        code = import(self, &batch, verbose != 0);
    }
    swt_cli_end(&line);
    free(quoted);
    return code;
}
