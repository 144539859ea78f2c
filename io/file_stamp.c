#include "io/file_stamp.h"

#include <stdio.h>
#include <sys/stat.h>
#include <time.h>

#if defined(__APPLE__)
#define st_mtim st_mtimespec
#define st_ctim st_ctimespec
#endif

enum { SETTLED_S = 2 };

static int is_settled(const struct timespec *then, const struct timespec *now)
{
    return now->tv_sec - then->tv_sec > SETTLED_S;
}

void swt_file_stamp(char stamp[SWT_FILE_STAMP], const char *path)
{
    struct timespec now;
    struct stat st;

    stamp[0] = '\0';
    if (stat(path, &st) != 0 || clock_gettime(CLOCK_REALTIME, &now) != 0)
        return;
    if (is_settled(&st.st_mtim, &now) && is_settled(&st.st_ctim, &now))
        snprintf(stamp, SWT_FILE_STAMP, "%lld %lld.%09ld %lld.%09ld %llu", (long long)st.st_size,
                 (long long)st.st_mtim.tv_sec, st.st_mtim.tv_nsec, (long long)st.st_ctim.tv_sec,
                 st.st_ctim.tv_nsec, (unsigned long long)st.st_ino);
}
