/* swathe inspect: what is in these capture files? */
#include "cli/commands.h"
#include "io/capture/inspect.h"
#include "io/capture/read.h"

#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

/** What a file that is no capture is, and who takes it; "" where nothing is known of it. */
static const char *what_else(const char *path)
{
    static const unsigned char hdf5[] = {0x89, 'H', 'D', 'F'};
    const char *dot = strrchr(path, '.'), *what = "";
    char head[512] = "";
    struct stat st;
    FILE *file = dot && stat(path, &st) == 0 && S_ISREG(st.st_mode) ? fopen(path, "rb") : NULL;

    if (!file)
        return "";
    head[fread(head, 1, sizeof head - 1, file)] = '\0';
    fclose(file);
    if (memcmp(head, hdf5, sizeof hdf5) == 0)
        what = "; is it a study? `swathe tables` and `swathe provenance` take those";
    else if (strcmp(dot, ".ini") == 0)
        what = "; is it a marker map? `swathe import SHEET --map` takes those";
    else if (strcmp(dot, ".csv") == 0 && strncmp(head, "file,", 5) == 0)
        what = "; is it a sheet? `swathe import` and `swathe run` take those";
    return what;
}

int swt_cmd_inspect(const swt_cli_command *self, int argc, char **argv)
{
    int json = 0, csv = 0, failed = 0;
    const struct poptOption options[] = {
        {"json", '\0', POPT_ARG_NONE, &json, 0, "one JSON object a file, a line each", NULL},
        {"csv", '\0', POPT_ARG_NONE, &csv, 0, "one CSV row a marker", NULL},
        POPT_TABLEEND,
    };
    swt_inspect_form form;
    swt_cli_line line;
    int code = swt_cli_begin(&line, self, argc, argv, options, 1, -1);

    if (code == SWT_CLI_GO_ON && json && csv)
        code = swt_cli_usage(self, "--json and --csv exclude each other");
    if (code != SWT_CLI_GO_ON) {
        swt_cli_end(&line);
        return code;
    }
    form = json ? SWT_INSPECT_JSON : csv ? SWT_INSPECT_CSV : SWT_INSPECT_TEXT;
    swt_inspect_begin(stdout, form);
    for (int i = 0; i < line.n_operands; i++) {
        swt_capture *capture = NULL;
        swt_error err = SWT_ERROR_INIT;

        if (swt_capture_read(&capture, line.operand[i], NULL, &err) != SWT_OK ||
            swt_inspect_print(stdout, capture, line.operand[i], form, &err) != SWT_OK) {
            swt_cli_fail(self, 0, "%s%s", err.msg, what_else(line.operand[i]));
            failed++;
        }
        swt_capture_free(capture);
    }
    code = failed == 0                 ? SWT_EXIT_ALL_DONE
           : failed == line.n_operands ? SWT_EXIT_NO_INPUT
                                       : SWT_EXIT_SOME_FAILED;
    swt_cli_end(&line);
    return code;
}
