/* swathe merge: studies of parts of a sheet become the study of the whole. */
#include "cli/batch_options.h"
#include "cli/commands.h"
#include "cli/progress.h"
#include "io/study/study_lock.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/** A study to merge: its captures, and which part of its sheet it holds. */
typedef struct shard {
    const char *path;
    swt_study *rows;
    size_t part, n_parts; /* 1 of 1 where it is none */
} shard;

static int by_part(const void *a, const void *b)
{
    const shard *x = a, *y = b;

    return (x->part > y->part) - (x->part < y->part);
}

static int open_shards(shard *s, const swt_cli_command *self, const swt_cli_line *line)
{
    swt_error err = SWT_ERROR_INIT;
    int failed = 0;

    for (int i = 0; i < line->n_operands; i++) {
        shard *one = &s[i];
        swt_batch part = {.part = 1, .n_parts = 1};
        one->path = line->operand[i];
        if (swt_study_open_captures(&one->rows, one->path, &err) != SWT_OK) {
            swt_cli_fail(self, 0, "%s", err.msg);
            failed++;
        } else if (*one->rows->part && !swt_cli_read_part(&part, one->rows->part)) {
            swt_cli_fail(self, 0, "%s: says that it is part '%s' of a sheet", one->path,
                         one->rows->part);
            failed++;
        }
        one->part = part.part;
        one->n_parts = part.n_parts;
    }
    return failed ? swt_cli_fail(self, SWT_EXIT_NO_INPUT, "nothing was merged") : SWT_CLI_GO_ON;
}

/** Parts of one sheet are put in their order, and none may lack or be there twice. */
static int check_parts(shard *s, size_t n, const swt_cli_command *self, bool incomplete)
{
    size_t n_parts = s[0].n_parts, next = 1, lacking = 0;

    for (size_t i = 0; i < n; i++)
        if (s[i].n_parts != n_parts ||
            (n_parts > 1 && strcmp(s[i].rows->sheet_sha256, s[0].rows->sheet_sha256) != 0))
            return swt_cli_fail(self, SWT_EXIT_NO_INPUT,
                                "%s is part %zu of %zu, %s part %zu of %zu%s: merge parts of one "
                                "sheet, or whole studies",
                                s[0].path, s[0].part, n_parts, s[i].path, s[i].part, s[i].n_parts,
                                s[i].n_parts == n_parts ? " of another sheet" : "");
    if (n_parts == 1)
        return SWT_CLI_GO_ON; /* whole studies, in the order given */
    qsort(s, n, sizeof *s, by_part);
    for (size_t i = 0; i < n; i++) {
        if (i > 0 && s[i].part == s[i - 1].part)
            return swt_cli_fail(self, SWT_EXIT_NO_INPUT, "%s and %s are both part %zu of %zu",
                                s[i - 1].path, s[i].path, s[i].part, n_parts);
        for (; next < s[i].part && !incomplete; next++, lacking++)
            swt_cli_fail(self, 0, "part %zu of %zu is missing", next, n_parts);
        next = s[i].part + 1;
    }
    for (; next <= n_parts && !incomplete; next++, lacking++)
        swt_cli_fail(self, 0, "part %zu of %zu is missing", next, n_parts);
    return lacking == 0 ? SWT_CLI_GO_ON
                        : swt_cli_fail(self, SWT_EXIT_NO_INPUT,
                                       "nothing was merged; --incomplete merges what there is");
}

/** The same file, with the same row of a sheet and map, in two of the studies: by its bytes, or as
 * the same sheet's.
 */
static int check_duplicates(const shard *s, size_t n, const swt_cli_command *self)
{
    swt_names seen = {0};
    size_t *owner = NULL, *row = NULL, room = 0, k;
    int code = SWT_CLI_GO_ON;

    for (size_t i = 0; i < n; i++)
        room += s[i].rows->n_captures;
    owner = calloc(room + 1, sizeof *owner);
    row = calloc(room + 1, sizeof *row);
    if (!owner || !row)
        code = swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "out of memory");
    for (size_t i = 0; i < n && code == SWT_CLI_GO_ON; i++)
        for (size_t c = 0; c < s[i].rows->n_captures && code == SWT_CLI_GO_ON; c++) {
            const swt_study_capture *here = &s[i].rows->capture[c], *there;
            char key[4300];
            size_t before = seen.n;
            int length = snprintf(key, sizeof key, "%s\n%s\n%s", here->map_sha256, here->row_sha256,
                                  here->file);
            if (swt_names_add(&k, &seen, key, strlen(key), NULL) != SWT_OK || length < 0) {
                code = swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "out of memory");
                continue;
            }
            if (seen.n > before) {
                owner[k] = i;
                row[k] = c;
                continue;
            }
            there = &s[owner[k]].rows->capture[row[k]];
            if (owner[k] != i &&
                (strcmp(here->sha256, there->sha256) == 0 ||
                 strcmp(s[i].rows->sheet_sha256, s[owner[k]].rows->sheet_sha256) == 0))
                code = swt_cli_fail(self, SWT_EXIT_NO_INPUT, "%s is in %s and in %s: take one",
                                    here->file, s[owner[k]].path, s[i].path);
        }
    swt_names_reset(&seen);
    free(owner);
    free(row);
    return code;
}

static int write_merged(const swt_cli_command *self, const char *path, const char *command_line,
                        const shard *s, size_t n)
{
    const char **paths = malloc(n * sizeof *paths);
    swt_study *merged = NULL;
    swt_error err = SWT_ERROR_INIT;
    swt_status rc;

    if (!paths)
        return swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "out of memory");
    for (size_t i = 0; i < n; i++)
        paths[i] = s[i].path;
    swt_progress_say("Merging");
    rc = swt_study_merge(path, paths, n, command_line, &err);
    swt_progress_say(NULL);
    free(paths);
    if (rc == SWT_EDATA || rc == SWT_EFORMAT)
        return swt_cli_fail(self, SWT_EXIT_NO_INPUT, "%s", err.msg);
    if (rc == SWT_OK)
        rc = swt_study_open_captures(&merged, path, &err);
    if (rc != SWT_OK)
        return swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
    printf("%s: %zu captures from %zu %s\n", path, merged->n_captures, n,
           n == 1 ? "study" : "studies");
    swt_study_close(merged);
    return SWT_EXIT_ALL_DONE;
}

static int merge(const swt_cli_command *self, const char *path, const char *command_line,
                 const swt_cli_line *line, bool incomplete)
{
    size_t n = (size_t)line->n_operands;
    shard *s = calloc(n, sizeof *s);
    swt_study_lock lock;
    swt_error err = SWT_ERROR_INIT;
    int code;

    if (!s)
        return swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "out of memory");
    code = open_shards(s, self, line);
    if (code == SWT_CLI_GO_ON)
        code = check_parts(s, n, self, incomplete);
    if (code == SWT_CLI_GO_ON)
        code = check_duplicates(s, n, self);
    if (code == SWT_CLI_GO_ON && (swt_study_check_output(path, &err) != SWT_OK ||
                                  swt_study_lock_take(&lock, path, &err) != SWT_OK))
        code = swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
    if (code == SWT_CLI_GO_ON) {
        code = write_merged(self, path, command_line, s, n);
        swt_study_lock_release(&lock);
    }
    for (size_t i = 0; i < n; i++)
        swt_study_close(s[i].rows);
    free(s);
    return code;
}

int swt_cmd_merge(const swt_cli_command *self, int argc, char **argv)
{
    char *output = NULL, *quoted = swt_cli_quote(argc, argv);
    int incomplete = 0;
    const struct poptOption options[] = {
        {"output", 'o', POPT_ARG_STRING, &output, 0, "the study to write (required)", "STUDY"},
        {"incomplete", '\0', POPT_ARG_NONE, &incomplete, 0,
         "merge although parts of the sheet are missing", NULL},
        POPT_TABLEEND,
    };
    swt_cli_line line;
    int code = swt_cli_begin(&line, self, argc, argv, options, 1, -1);

    if (code == SWT_CLI_GO_ON && !output)
        code = swt_cli_usage(self, "--output is missing");
    if (code == SWT_CLI_GO_ON)
        code = merge(self, output, quoted, &line, incomplete != 0);
    swt_cli_end(&line);
    free(quoted);
    return code;
}
