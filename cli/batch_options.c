#include "cli/batch_options.h"

#include "cli/analysis_options.h"
#include "cli/progress.h"

#include <stdlib.h>
#include <unistd.h>

enum { MOST_THREADS = 1024, MOST_PARTS = 1000000 };

bool swt_cli_read_part(swt_batch *batch, const char *text)
{
    char *end;
    long part = strtol(text, &end, 10), n;

    if (end == text || *end != '/')
        return false;
    text = end + 1;
    n = strtol(text, &end, 10);
    if (end == text || *end != '\0' || part < 1 || n < part || n > MOST_PARTS)
        return false;
    batch->part = (size_t)part;
    batch->n_parts = (size_t)n;
    return true;
}

int swt_cli_check_batch(swt_batch *batch, const swt_cli_command *command,
                        const swt_cli_batch *options)
{
    int code = swt_cli_check_range(command, "threads", (double)options->threads, 0, MOST_THREADS);
    long cores = sysconf(_SC_NPROCESSORS_ONLN);

    batch->threads = options->threads > 0   ? (size_t)options->threads
                     : cores < 1            ? 1
                     : cores > MOST_THREADS ? MOST_THREADS
                                            : (size_t)cores;
    batch->part = batch->n_parts = 1;
    batch->drop_removed = options->drop_removed != 0;
    batch->hash_all = options->hash_all != 0;
    batch->voice = options->quiet ? SWT_SAY_NOTHING : options->json ? SWT_SAY_JSON : SWT_SAY_WORDS;
    if (options->quiet)
        swt_progress_off();
    if (code == SWT_CLI_GO_ON && options->quiet && options->json)
        code = swt_cli_usage(command, "--json and --quiet cannot go together");
    if (code == SWT_CLI_GO_ON && options->part && !swt_cli_read_part(batch, options->part))
        code = swt_cli_usage(command, "--part is '%s', and must be K/N with 1 <= K <= N",
                             options->part);
    return code;
}
