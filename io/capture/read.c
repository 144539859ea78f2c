#include "io/capture/read.h"

#include "io/bids/bids_name.h"
#include "io/bids/bids_read.h"
#include "io/c3d/c3d_read.h"
#include "io/csv/csv_read.h"

#include <pthread.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

static bool ends_in(const char *path, const char *suffix)
{
    size_t n = strlen(path), m = strlen(suffix);

    return n >= m && strcasecmp(path + n - m, suffix) == 0;
}

/* Text has no NUL and no other control characters than line ends and tabs in its first bytes. */
static bool looks_like_text(const unsigned char *bytes, size_t size)
{
    for (size_t i = 0; i < size && i < 512; i++)
        if (bytes[i] < ' ' && bytes[i] != '\t' && bytes[i] != '\r' && bytes[i] != '\n')
            return false;
    return true;
}

/* "P" is both the C3D key and a letter that text may have in second place. */
static swt_status parse(swt_capture **out, const unsigned char *bytes, size_t size,
                        const char *path, swt_error *err)
{
    if (ends_in(path, ".c3d") || (swt_c3d_recognise(bytes, size) && !looks_like_text(bytes, size)))
        return swt_c3d_parse(out, bytes, size, err);
    if (swt_bids_is_motion(path))
        return swt_bids_read(out, path, bytes, size, err);
    if (ends_in(path, ".csv") || ends_in(path, ".tsv") || ends_in(path, ".txt") ||
        (size > 0 && looks_like_text(bytes, size)))
        return swt_csv_parse(out, bytes, size, err);
    return swt_fail(err, SWT_EFORMAT, "neither a C3D file nor delimited text");
}

/* --- the file's hash, beside the reading --------------------------------------------------------
 */

enum { LARGE = 1 << 22 }; /* below it a thread costs more than it saves */

typedef struct hash_job {
    const unsigned char *bytes;
    size_t size;
    char *sha256;
    bool has_thread;
    pthread_t thread;
} hash_job;

static void *hash(void *job)
{
    const hash_job *j = job;

    swt_sha256(j->sha256, j->bytes, j->size);
    return NULL;
}

static void begin_hash(hash_job *job)
{
    job->has_thread = job->size >= LARGE && pthread_create(&job->thread, NULL, hash, job) == 0;
    if (!job->has_thread)
        hash(job);
}

static void end_hash(hash_job *job)
{
    if (job->has_thread)
        pthread_join(job->thread, NULL);
}

swt_status swt_capture_read(swt_capture **out, const char *path, char sha256[SWT_SHA256_TEXT],
                            swt_error *err)
{
    unsigned char *bytes = NULL;
    size_t size;
    swt_status rc;

    *out = NULL;
    rc = swt_file_read(&bytes, &size, path, err);
    if (rc == SWT_OK) {
        hash_job job = {.bytes = bytes, .size = size, .sha256 = sha256};
        if (sha256)
            begin_hash(&job);
        rc = parse(out, bytes, size, path, err);
        if (sha256)
            end_hash(&job);
    }
    free(bytes);
    if (rc != SWT_OK)
        swt_error_prefix(err, "%s", path);
    return rc;
}
