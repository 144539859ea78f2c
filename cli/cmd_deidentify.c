/* swathe deidentify: copies for sharing, and the list of what they no longer hold. */
#include "cli/commands.h"
#include "io/capture/deidentify.h"
#include "io/files.h"
#include "io/study/study.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

static bool is_study_name(const char *path)
{
    size_t n = strlen(path);

    return (n > 3 && strcasecmp(path + n - 3, ".h5") == 0) ||
           (n > 5 && strcasecmp(path + n - 5, ".hdf5") == 0);
}

/** The copy's name tells nothing either: file-1.c3d, study-3.h5. A study numbers its captures by
 *  itself, so the two do not share a word. */
static swt_status copy_one(char **written, swt_names *removed, const char *folder, int number,
                           const char *source, swt_error *err)
{
    char path[4200];
    swt_status rc;

    *written = NULL;
    if (!is_study_name(source)) {
        snprintf(path, sizeof path, "%s/file-%d", folder, number);
        return swt_capture_file_deidentify(written, removed, path, source, err);
    }
    snprintf(path, sizeof path, "%s/study-%d.h5", folder, number);
    rc = swt_study_deidentify(path, removed, source, err);
    return rc == SWT_OK ? swt_string_set(written, path, err) : rc;
}

static int copy_all(const swt_cli_command *self, const char *folder, const swt_cli_line *line)
{
    swt_error err = SWT_ERROR_INIT;
    int failed = 0;

    if (swt_folder_make(folder, &err) != SWT_OK)
        return swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
    for (int i = 0; i < line->n_operands; i++) {
        swt_names removed = {0};
        char *written;

        if (copy_one(&written, &removed, folder, i + 1, line->operand[i], &err) != SWT_OK) {
            swt_cli_fail(self, 0, "%s", err.msg);
            failed++;
        } else {
            printf("%s -> %s\n", line->operand[i], written);
            for (size_t k = 0; k < removed.n; k++)
                printf("    removed: %s\n", removed.name[k]);
        }
        swt_names_reset(&removed);
        free(written);
    }
    return failed == 0                  ? SWT_EXIT_ALL_DONE
           : failed == line->n_operands ? SWT_EXIT_NO_INPUT
                                        : SWT_EXIT_SOME_FAILED;
}

int swt_cmd_deidentify(const swt_cli_command *self, int argc, char **argv)
{
    char *folder = NULL;
    const struct poptOption options[] = {
        {"output", 'o', POPT_ARG_STRING, &folder, 0, "folder for the copies (required)", "FOLDER"},
        POPT_TABLEEND,
    };
    swt_cli_line line;
    int code = swt_cli_begin(&line, self, argc, argv, options, 1, -1);

    if (code == SWT_CLI_GO_ON && !folder)
        code = swt_cli_usage(self, "--output is missing");
    if (code == SWT_CLI_GO_ON)
        code = copy_all(self, folder, &line);
    swt_cli_end(&line);
    return code;
}
