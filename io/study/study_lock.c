/* A lock file beside the study, and the sweeping up that only its holder may do. */
#include "io/study/study_lock.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

swt_status swt_study_checkpoints_folder(char *out, size_t size, const char *path, swt_error *err)
{
    int length = snprintf(out, size, "%s.checkpoints", path);

    return length >= 0 && (size_t)length < size
               ? SWT_OK
               : swt_fail(err, SWT_EARG, "%.200s...: path too long", path);
}

/* Removes the files of `folder` whose names begin with `begin` and hold ".draft-". */
static void sweep(const char *folder, const char *begin)
{
    DIR *list = opendir(folder);
    char path[4700];

    if (!list)
        return;
    for (const struct dirent *entry = readdir(list); entry; entry = readdir(list)) {
        int length = snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        if (strncmp(entry->d_name, begin, strlen(begin)) == 0 && strstr(entry->d_name, ".draft-") &&
            (size_t)length < sizeof path)
            unlink(path);
    }
    closedir(list);
}

/* Drafts are made under the lock only: what its new holder finds, a dead one left. Its finished
 * checkpoints stay: the next run goes on from them. */
static void sweep_leftovers(const char *path)
{
    const char *slash = strrchr(path, '/'), *name = slash ? slash + 1 : path;
    char folder[4200], begin[4200];

    snprintf(folder, sizeof folder, "%.*s", slash ? (int)(slash - path) + 1 : 1,
             slash ? path : ".");
    snprintf(begin, sizeof begin, "%s.draft-", name);
    sweep(folder, begin);
    if (swt_study_checkpoints_folder(folder, sizeof folder, path, NULL) == SWT_OK) {
        sweep(folder, "checkpoint-");
        rmdir(folder);
    }
}

/* Opens and locks the file; false with errno. */
static bool open_locked(swt_study_lock *lock)
{
    struct flock whole = {.l_type = F_WRLCK, .l_whence = SEEK_SET};

    lock->file = open(lock->path, O_RDWR | O_CREAT | O_CLOEXEC, 0666);
    return lock->file >= 0 && fcntl(lock->file, F_SETLK, &whole) == 0;
}

static void drop(swt_study_lock *lock)
{
    if (lock->file >= 0)
        close(lock->file);
    lock->file = -1;
}

/* A holder that has just ended may have unlinked the file between our opening and our locking. */
static bool is_the_one(const swt_study_lock *lock)
{
    struct stat held, named;

    return fstat(lock->file, &held) == 0 && stat(lock->path, &named) == 0 &&
           held.st_ino == named.st_ino && held.st_dev == named.st_dev;
}

swt_status swt_study_lock_take(swt_study_lock *lock, const char *path, swt_error *err)
{
    int length = snprintf(lock->path, sizeof lock->path, "%s.lock", path);

    lock->file = -1;
    if (length < 0 || (size_t)length >= sizeof lock->path)
        return swt_fail(err, SWT_EARG, "%.200s...: path too long", path);
    for (int attempt = 0; attempt < 10; attempt++) {
        bool locked = open_locked(lock);
        int reason = errno;
        if (locked && is_the_one(lock)) {
            sweep_leftovers(path);
            return SWT_OK;
        }
        drop(lock);
        if (!locked && reason != EACCES && reason != EAGAIN)
            return SWT_OK;
        if (!locked && access(lock->path, W_OK) == 0)
            break;
        if (!locked)
            return SWT_OK; /* not writable: told when the study is written */
    }
    return swt_fail(err, SWT_EIO,
                    "%s: another swathe is writing this study; wait for it, or give another output",
                    path);
}

void swt_study_lock_release(swt_study_lock *lock)
{
    if (lock->file < 0)
        return;
    unlink(lock->path); /* first: whoever opens it from now on makes a new one */
    drop(lock);
}
