#include "cli/progress.h"

#include <stdio.h>
#include <unistd.h>

static bool off;

void swt_progress_off(void)
{
    off = true;
}

static bool is_wanted(void)
{
    return !off && isatty(STDERR_FILENO) == 1;
}

static double seconds_between(struct timespec from, struct timespec to)
{
    return (double)(to.tv_sec - from.tv_sec) + 1e-9 * (double)(to.tv_nsec - from.tv_nsec);
}

void swt_progress_begin(swt_progress *progress, size_t total)
{
    *progress = (swt_progress){.shown = is_wanted(), .total = total};
    clock_gettime(CLOCK_MONOTONIC, &progress->start);
}

static void print_left(double seconds)
{
    if (seconds < 100)
        fprintf(stderr, ", %.0f s left", seconds);
    else if (seconds < 6000)
        fprintf(stderr, ", %.0f min left", seconds / 60);
    else
        fprintf(stderr, ", %.1f h left", seconds / 3600);
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
        print_left(spent / (double)done * (double)(progress->total - done));
    fflush(stderr);
}

void swt_progress_end(swt_progress *progress)
{
    if (progress->shown)
        fputs("\r\033[K", stderr);
}

void swt_progress_say(const char *step)
{
    if (!is_wanted())
        return;
    fflush(stdout);
    fprintf(stderr, "\r\033[K%s%s", step ? step : "", step ? " ..." : "");
    fflush(stderr);
}
