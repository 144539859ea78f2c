#include "cli/tell.h"

#include "io/files.h"

enum { MOST_LINES = 20 };

static bool write_list(const char *const *line, size_t n, const char *path)
{
    swt_file_draft draft;

    if (swt_draft_open(&draft, path, NULL) != SWT_OK)
        return false;
    for (size_t i = 0; i < n; i++)
        fprintf(draft.stream, "%s\n", line[i]);
    return swt_draft_commit(&draft, NULL) == SWT_OK;
}

void swt_cli_tell(const swt_cli_command *command, const char *const *line, size_t n,
                  const char *list_path)
{
    fflush(stdout); /* so that words and results keep their order on a terminal */
    for (size_t i = 0; i < n && i < MOST_LINES; i++)
        fprintf(stderr, "%s\n", line[i]);
    if (n <= MOST_LINES)
        return;
    if (write_list(line, n, list_path))
        swt_cli_fail(command, 0, "... and %zu more: all %zu are in %s", n - MOST_LINES, n,
                     list_path);
    else
        swt_cli_fail(command, 0, "... and %zu more", n - MOST_LINES);
}
