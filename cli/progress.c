#include "cli/progress.h"

#include <stdio.h>
#include <unistd.h>

static double seconds_between(struct timespec from, struct timespec to)
{
    return (double)(to.tv_sec - from.tv_sec) + 1e-9 * (double)(to.tv_nsec - from.tv_nsec);
}

void swt_progress_begin(swt_progress *progress, size_t total)
{
    *progress = (swt_progress){.shown = isatty(STDERR_FILENO) == 1, .total = total};
    clock_gettime(CLOCK_MONOTONIC, &progress->start);
}

void swt_progress_step(swt_progress *progress, size_t done, const char *what)
{
    struct timespec now;
    double spent;

    if (!progress->shown)
        return;
    clock_gettime(CLOCK_MONOTONIC, &now);
    if (done < progress->total && seconds_between(progress->last, now) < 0.1)
        return;
    progress->last = now;
    spent = seconds_between(progress->start, now);
    fprintf(stderr, "\r\033[K%zu of %zu %s", done, progress->total, what);
    if (done > 0 && done < progress->total && spent > 2)
        fprintf(stderr, ", %.0f s left", spent / (double)done * (double)(progress->total - done));
    fflush(stderr);
}

void swt_progress_end(swt_progress *progress)
{
    if (progress->shown)
        fputs("\r\033[K", stderr);
}

void swt_progress_say(const char *step)
{
    if (isatty(STDERR_FILENO) != 1)
        return;
    fflush(stdout);
    fprintf(stderr, "\r\033[K%s%s", step ? step : "", step ? " ..." : "");
    fflush(stderr);
}
