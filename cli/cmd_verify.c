/* swathe verify: is a study whole? */
#include "cli/commands.h"
#include "io/study/study.h"

#include <stdio.h>

int swt_cmd_verify(const swt_cli_command *self, int argc, char **argv)
{
    const struct poptOption options[] = {POPT_TABLEEND};
    swt_cli_line line;
    int code = swt_cli_begin(&line, self, argc, argv, options, 1, -1), failed = 0;

    if (code == SWT_CLI_GO_ON) {
        for (int i = 0; i < line.n_operands; i++) {
            swt_error err = SWT_ERROR_INIT;

            if (swt_study_verify(line.operand[i], &err) != SWT_OK) {
                swt_cli_fail(self, 0, "%s", err.msg);
                failed++;
            } else {
                printf("%s: whole\n", line.operand[i]);
            }
        }
        code = failed == 0                 ? SWT_EXIT_ALL_DONE
               : failed == line.n_operands ? SWT_EXIT_NO_INPUT
                                           : SWT_EXIT_SOME_FAILED;
    }
    swt_cli_end(&line);
    return code;
}
