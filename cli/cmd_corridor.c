/* swathe corridor: the band that a reference group stays in. */
#include "cli/assess.h"
#include "cli/commands.h"
#include "io/study/selection.h"
#include "io/study/study_lock.h"

#include <stdlib.h>

static int build(const swt_cli_command *self, const char *path, const char *name, bool list,
                 const swt_assessment_options *options)
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
        code = swt_cli_assess(&assessment, self, study, options);
    if (code == SWT_CLI_GO_ON) {
        code = SWT_EXIT_ALL_DONE;
        if (swt_cli_keep(path, name, assessment, false, &err) != SWT_OK)
            code = swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
        else
            swt_cli_print_corridors(assessment, study);
        if (code == SWT_EXIT_ALL_DONE && list)
            swt_cli_list_corridors(assessment, study);
    }
    swt_assessment_free(assessment);
    swt_study_close(study);
    swt_study_lock_release(&lock);
    return code;
}

int swt_cmd_corridor(const swt_cli_command *self, int argc, char **argv)
{
    char *group = NULL, *where = NULL, *name = NULL, *reference = NULL;
    int list = 0;
    swt_cli_corridor corridor = swt_cli_corridor_default();
    const struct poptOption options[] = {
        {"reference", 'r', POPT_ARG_STRING, &group, 0,
         "group of the sheet that the corridors are built from", "GROUP"},
        {"where", 'w', POPT_ARG_STRING, &where, 0,
         "conditions that its swings must meet, or, without --reference, the conditions that make "
         "the reference: 'handicap <= 5, shot = full|half'",
         "CONDITIONS"},
        SWT_CLI_CORRIDOR_NAME(name),
        SWT_CLI_CORRIDOR_OPTIONS(corridor),
        SWT_CLI_WITH_PRACTICE(corridor),
        {"list", '\0', POPT_ARG_NONE, &list, 0,
         "print every corridor: its size, what it held, and who is not in it", NULL},
        POPT_TABLEEND,
    };
    swt_assessment_options checked;
    swt_cli_line line;
    int code = swt_cli_begin(&line, self, argc, argv, options, 1, 1);

    if (code == SWT_CLI_GO_ON && !group && !where)
        code = swt_cli_usage(self, "--reference is missing, and --where too");
    if (code == SWT_CLI_GO_ON)
        code = swt_cli_check_corridor(&checked, self, &corridor);
    if (code == SWT_CLI_GO_ON) {
        if (group && where && !(reference = swt_selection_text("group", group, where)))
            code = swt_cli_fail(self, SWT_EXIT_OUR_BUG, "out of memory");
        checked.group = where ? NULL : group;
        checked.reference = group && where ? reference : where;
    }
    if (code == SWT_CLI_GO_ON)
        code = build(self, line.operand[0], name ? name : SWT_CLI_CORRIDORS, list != 0, &checked);
    free(reference);
    swt_cli_end(&line);
    return code;
}
