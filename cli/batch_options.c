#include "cli/batch_options.h"

#include "cli/analysis_options.h"

#include <unistd.h>

enum { MOST_THREADS = 1024 };

int swt_cli_check_batch(swt_batch *batch, const swt_cli_command *command,
                        const swt_cli_batch *options)
{
    int code = swt_cli_check_range(command, "threads", (double)options->threads, 0, MOST_THREADS);
    long cores = sysconf(_SC_NPROCESSORS_ONLN);

    batch->threads = options->threads > 0   ? (size_t)options->threads
                     : cores < 1            ? 1
                     : cores > MOST_THREADS ? MOST_THREADS
                                            : (size_t)cores;
    return code;
}
