/* swathe provenance: what a study was made from, and how to make it again. */
#include "cli/commands.h"
#include "io/files.h"
#include "io/study/study.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/** Is the file still what the study was made from? */
static const char *still_the_same(const char *path, const char *sha256)
{
    char now[SWT_SHA256_TEXT];
    unsigned char *bytes = NULL;
    size_t size;
    const char *words = "not found here";

    if (swt_file_read(&bytes, &size, path, NULL) == SWT_OK) {
        swt_sha256(now, bytes, size);
        words = strcmp(now, sha256) == 0 ? "unchanged" : "CHANGED since";
    }
    free(bytes);
    return words;
}

static void print_file(const char *what, const char *path, const char *sha256)
{
    if (!*path)
        printf("%-8s not named\n", what);
    else if (strchr(path, '\n'))
        printf("%-8s several, from merged parts:\n%s\n", what, path);
    else
        printf("%-8s %s (SHA-256 %s, %s)\n", what, path, sha256, still_the_same(path, sha256));
}

static void print_indented(const char *lines)
{
    while (*lines) {
        size_t n = strcspn(lines, "\n");
        printf("    %.*s\n", (int)n, lines);
        lines += n + (lines[n] != '\0');
    }
}

static void print_all(const swt_study *study)
{
    const bool is_copy = !*study->sheet && !*study->map && !*study->command;
    size_t failed = 0;

    for (size_t i = 0; i < study->n_captures; i++)
        failed += study->capture[i].status != SWT_OK;
    printf("study    %s\n", study->path);
    printf("made by  swathe %s, %s\n", study->version,
           *study->created ? study->created : "date not kept");
    print_file("sheet", study->sheet, study->sheet_sha256);
    print_file("map", study->map, study->map_sha256);
    printf("captures %zu, of which %zu could not be used; %zu swings", study->n_captures, failed,
           study->n_swings);
    printf(is_copy ? "\n"
                   : "; their hashes are in\n"
                     "         captures/sha256 of the study and in captures.csv of its tables\n");
    printf("options\n");
    print_indented(study->options);
    if (is_copy) {
        printf("it is a copy for sharing (swathe deidentify), which keeps neither sheet, map and\n"
               "         command line nor the captures' hashes\n");
    } else {
        printf("made again, in the folder where it was made, by\n");
        print_indented(*study->command ? study->command : "(not kept)");
    }
    printf("corridors are built from it by `swathe corridor`; their group, conditions and options\n"
           "         are kept with them: corridors/NAME in the study\n");
}

int swt_cmd_provenance(const swt_cli_command *self, int argc, char **argv)
{
    int command_alone = 0;
    const struct poptOption options[] = {
        {"command", '\0', POPT_ARG_NONE, &command_alone, 0, "print the command line alone", NULL},
        POPT_TABLEEND,
    };
    swt_study *study = NULL;
    swt_error err = SWT_ERROR_INIT;
    swt_cli_line line;
    int code = swt_cli_begin(&line, self, argc, argv, options, 1, 1);

    if (code == SWT_CLI_GO_ON) {
        code = SWT_EXIT_ALL_DONE;
        if (swt_study_open(&study, line.operand[0], &err) != SWT_OK)
            code = swt_cli_fail(self, SWT_EXIT_NO_INPUT, "%s", err.msg);
        else if (command_alone && !*study->command)
            code = swt_cli_fail(self, SWT_EXIT_NO_INPUT, "%s: its command line was not kept",
                                study->path);
        else if (command_alone)
            printf("%s\n", study->command);
        else
            print_all(study);
    }
    swt_study_close(study);
    swt_cli_end(&line);
    return code;
}
