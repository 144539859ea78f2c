/* swathe provenance: what a study was made from, and how to make it again. */
#include "cli/commands.h"
#include "io/files.h"
#include "io/study/comparison_store.h"

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
        printf("%-8s not named%s%s%s\n", what, *sha256 ? " (SHA-256 " : "", sha256,
               *sha256 ? ")" : "");
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

/* What an option decides, for a reader who has only its key; kinematics/options.h has the same. */
static const char *meaning_of(const char *key, size_t length)
{
    static const struct {
        const char *key, *meaning;
    } rows[] = {
        {"cutoff_hz", "low-pass cut-off; 0: of each landmark by residual analysis"},
        {"smooth_by_spline", "0: low-pass filter; 1: cross-validated smoothing spline"},
        {"max_spline_gap_s", "gaps up to this are filled by a spline"},
        {"max_rigid_gap_s", "gaps up to this are filled from the segment"},
        {"onset_speed_m_s", "of the club head, at which takeaway begins"},
        {"finish_speed_m_s", "of the hands, below which the swing is finished"},
        {"uncertainty_replicates", "noisy copies of each swing, for uncertainties; 0: none"},
    };

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        if (strlen(rows[i].key) == length && strncmp(rows[i].key, key, length) == 0)
            return rows[i].meaning;
    return "";
}

static void print_options(const char *lines)
{
    while (*lines) {
        size_t n = strcspn(lines, "\n");
        const char *meaning = meaning_of(lines, strcspn(lines, " ="));
        if (*meaning)
            printf("    %-28.*s  %s\n", (int)n, lines, meaning);
        else
            printf("    %.*s\n", (int)n, lines);
        lines += n + (lines[n] != '\0');
    }
}

static void print_captures(const swt_study *study)
{
    size_t failed = 0;
    bool hashed = study->n_captures == 0;

    for (size_t i = 0; i < study->n_captures; i++) {
        failed += study->capture[i].status != SWT_OK;
        hashed = hashed || *study->capture[i].sha256;
    }
    printf("captures %zu, of which %zu could not be used; %zu swings; their hashes are %s\n",
           study->n_captures, failed, study->n_swings,
           hashed ? "in\n         captures/sha256 of the study and in captures.csv of its tables"
                  : "not kept");
}

/* The numbers are stored to the last digit; people are shown what was typed. */
static void print_corridor_options(const char *lines)
{
    while (*lines) {
        size_t n = strcspn(lines, "\n");
        const char *value = lines + strcspn(lines, "=\n");
        char *end = NULL;
        double number = *value == '=' ? strtod(value + 1, &end) : 0;
        if (end && end == lines + n)
            printf("         %.*s= %.12g\n", (int)(value - lines), lines, number);
        else
            printf("         %.*s\n", (int)n, lines);
        lines += n + (lines[n] != '\0');
    }
}

static swt_status print_corridors(const swt_study *study, swt_error *err)
{
    swt_names names = {0};
    swt_status rc = swt_comparison_list(&names, study, err);

    if (rc == SWT_OK && names.n == 0)
        printf("corridors none in this study: `swathe corridor` builds them\n");
    for (size_t i = 0; i < names.n && rc == SWT_OK; i++) {
        swt_kept_comparison *kept;
        rc = swt_comparison_load(&kept, study, names.name[i], err);
        if (rc == SWT_OK) {
            printf("corridors %s: of %zu swings, %s\n", names.name[i], kept->n_reference,
                   kept->selection);
            print_corridor_options(kept->options);
        }
        swt_kept_comparison_free(kept);
    }
    swt_names_reset(&names);
    return rc;
}

static swt_status print_all(const swt_study *study, swt_error *err)
{
    printf("study    %s\n", study->path);
    printf("made by  swathe %s%s%s%s, %s\n", study->version, *study->numerics ? " (numerics " : "",
           study->numerics, *study->numerics ? ")" : "",
           *study->created ? study->created : "date not kept");
    print_file("sheet", study->sheet, study->sheet_sha256);
    print_file("map", study->map, study->map_sha256);
    print_captures(study);
    printf("options\n");
    print_options(study->options);
    if (*study->command) {
        printf("made again, in the folder where it was made, by\n");
        print_indented(study->command);
    } else {
        printf("it is a copy for sharing (swathe deidentify), which keeps neither sheet, map and\n"
               "         command line nor the captures' hashes\n");
    }
    return print_corridors(study, err);
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
        else if (print_all(study, &err) != SWT_OK)
            code = swt_cli_fail(self, SWT_EXIT_NO_INPUT, "%s", err.msg);
    }
    swt_study_close(study);
    swt_cli_end(&line);
    return code;
}
