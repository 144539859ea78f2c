/* swathe compare: where the other swings leave the corridors. */
#include "cli/assess.h"
#include "cli/commands.h"
#include "io/study/study_lock.h"

static int compare(const swt_cli_command *self, const char *path, const char *name, bool check)
{
    swt_study *study = NULL;
    swt_assessment *assessment = NULL;
    swt_error err = SWT_ERROR_INIT;
    swt_study_lock lock;
    int code;

    if (swt_study_lock_take(&lock, path, &err) != SWT_OK)
        return swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
    code = swt_cli_open_measured(&study, self, path);
    if (code == SWT_CLI_GO_ON)
        code = swt_cli_assess_kept(&assessment, self, study, name);
    if (code == SWT_CLI_GO_ON) {
        code = SWT_EXIT_ALL_DONE;
        if (swt_cli_keep(path, name, assessment, true, &err) != SWT_OK)
            code = swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
        else
            swt_cli_print_players(assessment);
        for (size_t i = 0; check && code == SWT_EXIT_ALL_DONE && i < assessment->n_players; i++)
            if (assessment->player[i].certainty == SWT_STANDS)
                code = SWT_EXIT_OUTSIDE;
    }
    swt_assessment_free(assessment);
    swt_study_close(study);
    swt_study_lock_release(&lock);
    return code;
}

int swt_cmd_compare(const swt_cli_command *self, int argc, char **argv)
{
    char *name = NULL;
    int check = 0;
    const struct poptOption options[] = {
        SWT_CLI_CORRIDOR_NAME(name),
        {"check", '\0', POPT_ARG_NONE, &check, 0,
         "exit with 5 when a player is outside in most swings, all measures taken together", NULL},
        POPT_TABLEEND,
    };
    swt_cli_line line;
    int code = swt_cli_begin(&line, self, argc, argv, options, 1, 1);

    if (code == SWT_CLI_GO_ON)
        code = compare(self, line.operand[0], name ? name : SWT_CLI_CORRIDORS, check != 0);
    swt_cli_end(&line);
    return code;
}
