#define _GNU_SOURCE /* sync_file_range */
#include "io/files.h"

#include "base/block.h"

#include <errno.h>
#include <fcntl.h>
#include <openssl/sha.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

swt_status swt_file_read(unsigned char **bytes, size_t *size, const char *path, swt_error *err)
{
    struct stat st, after;
    unsigned char *block = NULL;
    size_t have = 0;
    swt_status rc = SWT_OK;
    /* O_NONBLOCK: opening a pipe must not wait for a writer that never comes */
    int fd = open(path, O_RDONLY | O_NONBLOCK);

    *bytes = NULL;
    *size = 0;
    if (fd < 0)
        return swt_fail(err, SWT_EIO, "%s", strerror(errno));
    if (fstat(fd, &st) != 0) {
        rc = swt_fail(err, SWT_EIO, "%s", strerror(errno));
        goto done;
    }
    if (!S_ISREG(st.st_mode)) {
        rc = swt_fail(err, SWT_EIO, "%s",
                      S_ISDIR(st.st_mode) ? "a folder, where a file is expected"
                                          : "not a regular file");
        goto done;
    }
    block = swt_block_alloc((size_t)st.st_size + 1);
    if (!block) {
        rc = swt_fail(err, SWT_ENOMEM, "out of memory for %lld bytes", (long long)st.st_size);
        goto done;
    }
    while (have < (size_t)st.st_size) {
        ssize_t n = read(fd, block + have, (size_t)st.st_size - have);
        if (n < 0 && errno == EINTR)
            continue;
        if (n < 0) {
            rc = swt_fail(err, SWT_EIO, "%s", strerror(errno));
            goto done;
        }
        if (n == 0)
            break;
        have += (size_t)n;
    }
    if (fstat(fd, &after) != 0 || have != (size_t)st.st_size || after.st_size != st.st_size) {
        rc = swt_fail(err, SWT_EIO,
                      "changed while it was read: %lld bytes when opened, then %lld; wait until it "
                      "is written",
                      (long long)st.st_size, (long long)after.st_size);
        goto done;
    }
    block[have] = 0;
    *bytes = block;
    *size = have;
    block = NULL;
done:
    free(block);
    close(fd);
    return rc;
}

static swt_status sync_folder_of(const char *path, swt_error *err)
{
    char folder[4200];
    const char *slash = strrchr(path, '/');
    size_t length = slash ? (size_t)(slash - path) : 0;
    int fd;

    if (length >= sizeof folder)
        return swt_fail(err, SWT_EARG, "%s: path too long", path);
    if (length > 0)
        memcpy(folder, path, length);
    else
        folder[length++] = slash ? '/' : '.';
    folder[length] = '\0';
    fd = open(folder, O_RDONLY);
    if (fd < 0)
        return swt_fail(err, SWT_EIO, "%s: %s", folder, strerror(errno));
    fsync(fd); /* some file systems refuse to sync a folder; the rename stands all the same */
    close(fd);
    return SWT_OK;
}

void swt_file_begin_writing(const char *path)
{
#ifdef SYNC_FILE_RANGE_WRITE
    int fd = open(path, O_RDONLY);

    if (fd < 0)
        return;
    /* the sync to come says what is wrong */
    (void)sync_file_range(fd, 0, 0, SYNC_FILE_RANGE_WRITE);
    close(fd);
#else
    (void)path;
#endif
}

swt_status swt_file_publish(const char *temporary, const char *path, swt_error *err)
{
    int fd = open(temporary, O_RDONLY);

    if (fd < 0 || fsync(fd) != 0) {
        int reason = errno;
        if (fd >= 0)
            close(fd);
        return swt_fail(err, SWT_EIO, "%s: %s", temporary, strerror(reason));
    }
    close(fd);
    if (rename(temporary, path) != 0)
        return swt_fail(err, SWT_EIO, "%s: %s", path, strerror(errno));
    return sync_folder_of(path, err);
}

swt_status swt_draft_open(swt_file_draft *draft, const char *path, swt_error *err)
{
    draft->stream = NULL;
    if (strlen(path) >= sizeof draft->path)
        return swt_fail(err, SWT_EARG, "%s: path too long", path);
    strcpy(draft->path, path);
    snprintf(draft->temporary, sizeof draft->temporary, "%s.draft-%ld", path, (long)getpid());
    draft->stream = fopen(draft->temporary, "wb");
    if (!draft->stream)
        return swt_fail(err, SWT_EIO, "%s: %s", path, strerror(errno));
    return SWT_OK;
}

swt_status swt_draft_commit(swt_file_draft *draft, swt_error *err)
{
    bool written = fflush(draft->stream) == 0 && !ferror(draft->stream);
    int reason = errno;
    swt_status rc;

    if (fclose(draft->stream) != 0 && written) {
        written = false;
        reason = errno;
    }
    draft->stream = NULL;
    rc = written ? swt_file_publish(draft->temporary, draft->path, err)
                 : swt_fail(err, SWT_EIO, "%s: %s", draft->path, strerror(reason));
    if (rc != SWT_OK)
        unlink(draft->temporary);
    return rc;
}

void swt_draft_discard(swt_file_draft *draft)
{
    if (!draft->stream)
        return;
    fclose(draft->stream);
    draft->stream = NULL;
    unlink(draft->temporary);
}

swt_status swt_folder_make(const char *path, swt_error *err)
{
    char part[4200];
    size_t length = strlen(path);

    if (length == 0 || length >= sizeof part)
        return swt_fail(err, SWT_EARG, "%s: not a usable folder name", path);
    for (size_t i = 1; i <= length; i++) {
        if (path[i] != '/' && path[i] != '\0')
            continue;
        memcpy(part, path, i);
        part[i] = '\0';
        if (mkdir(part, 0777) != 0 && errno != EEXIST)
            return swt_fail(err, SWT_EIO, "%s: %s", part, strerror(errno));
    }
    struct stat st;
    if (stat(path, &st) != 0 || !S_ISDIR(st.st_mode))
        return swt_fail(err, SWT_EIO, "%s: exists and is not a folder", path);
    return SWT_OK;
}

swt_status swt_folder_make_for(const char *path, swt_error *err)
{
    const char *slash = strrchr(path, '/');
    char folder[4096];

    if (!slash || slash == path)
        return SWT_OK;
    if ((size_t)(slash - path) >= sizeof folder)
        return swt_fail(err, SWT_EARG, "%s: path too long", path);
    memcpy(folder, path, (size_t)(slash - path));
    folder[slash - path] = '\0';
    return swt_folder_make(folder, err);
}

swt_status swt_file_is_new(const char *path, swt_error *err)
{
    struct stat st;

    if (stat(path, &st) == 0)
        return swt_fail(
            err, SWT_EIO,
            "%s: is there already, and is not overwritten: take another name, or remove "
            "it first",
            path);
    return SWT_OK;
}

void swt_sha256(char out[SWT_SHA256_TEXT], const void *bytes, size_t size)
{
    unsigned char digest[SHA256_DIGEST_LENGTH];

    memset(out, 0, SWT_SHA256_TEXT);
    if (!SHA256(bytes, size, digest))
        return;
    for (size_t i = 0; i < sizeof digest; i++)
        snprintf(out + 2 * i, 3, "%02x", digest[i]);
}
