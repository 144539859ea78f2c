/* swathe measure: computes the swings of an imported study. */
#include "cli/analysis_options.h"
#include "cli/batch_options.h"
#include "cli/commands.h"
#include "cli/summary.h"
#include "io/study/study_lock.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/** The import that came first and this command, a line each: together they make the study again.
 *  The caller frees. */
static char *with_import(const swt_study *imported, const char *command_line)
{
    size_t first = strcspn(imported->command, "\n");
    size_t size = first + strlen(command_line) + 2;
    char *both = malloc(size);

    if (both)
        snprintf(both, size, "%.*s\n%s", (int)first, imported->command, command_line);
    return both;
}

static int measure_locked(const swt_cli_command *self, const char *path, const char *command_line,
                          const swt_batch *how)
{
    swt_study *imported = NULL, *measured = NULL;
    swt_error err = SWT_ERROR_INIT;
    swt_batch_outcome outcome;
    swt_batch batch = *how;
    char *commands;
    int code;

    if (swt_study_open_captures(&imported, path, &err) != SWT_OK)
        return swt_cli_fail(self, SWT_EXIT_NO_INPUT, "%s", err.msg);
    commands = with_import(imported, command_line);
    batch.command_line = commands ? commands : command_line;
    batch.sheet_path = imported->sheet;
    batch.map_path = *imported->map ? imported->map : NULL;
    batch.study_path = path;
    batch.imported = imported;
    if (batch.n_parts == 1 && *imported->part)
        swt_cli_read_part(&batch, imported->part); /* the part that was imported */
    code = swt_batch_run(&outcome, &batch);
    swt_study_close(imported);
    free(commands);
    if (batch.voice != SWT_SAY_WORDS || (code != SWT_EXIT_ALL_DONE && code != SWT_EXIT_SOME_FAILED))
        return code;
    if (swt_study_open(&measured, path, &err) != SWT_OK)
        return swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
    swt_cli_print_outcome(&batch, &outcome);
    swt_cli_print_summary(measured);
    swt_study_close(measured);
    return code;
}

static int measure(const swt_cli_command *self, const char *path, const char *command_line,
                   const swt_batch *how)
{
    swt_study_lock lock;
    swt_error err = SWT_ERROR_INIT;
    int code;

    if (swt_study_lock_take(&lock, path, &err) != SWT_OK)
        return swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
    code = measure_locked(self, path, command_line, how);
    swt_study_lock_release(&lock);
    return code;
}

int swt_cmd_measure(const swt_cli_command *self, int argc, char **argv)
{
    swt_batch batch = {.command = self, .depth = SWT_BATCH_MEASURE};
    swt_cli_batch how = {0};
    swt_analysis_options_init(&batch.options);
    const struct poptOption options[] = {SWT_CLI_ANALYSIS_OPTIONS(batch.options),
                                         SWT_CLI_BATCH_OPTIONS(how), POPT_TABLEEND};
    char *quoted = swt_cli_quote(argc, argv);
    swt_cli_line line;
    int code = swt_cli_begin(&line, self, argc, argv, options, 1, 1);

    if (code == SWT_CLI_GO_ON)
        code = swt_cli_check_analysis(self, &batch.options);
    if (code == SWT_CLI_GO_ON)
        code = swt_cli_check_batch(&batch, self, &how);
    if (code == SWT_CLI_GO_ON)
        code = measure(self, line.operand[0], quoted, &batch);
    swt_cli_end(&line);
    free(quoted);
    return code;
}
