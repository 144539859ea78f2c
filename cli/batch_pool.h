/** @file  A pool of threads that do numbered jobs, whose results are taken in order.
 *  Layer: cli. Knows nothing of captures.
 *
 *  The thread that takes the results counts as one of the pool: while it has to wait it does jobs
 *  itself, so that one thread makes no other, and n threads keep n cores busy. Jobs are begun in
 *  order and at most `window` of them ahead of what was taken: memory hangs on the window and not
 *  on the number of jobs. */
#ifndef SWT_CLI_BATCH_POOL_H
#define SWT_CLI_BATCH_POOL_H

#include "base/status.h"

#include <stddef.h>

typedef struct swt_pool swt_pool;

/** Does job `index` and keeps its result in a place of its own, of which there are `window`:
 *  index % window. Called by any thread, never twice for one index. */
typedef void swt_pool_job(void *user, size_t index);

/**
 * Starts threads - 1 threads, which begin at once.
 * @param[out] pool   ended with swt_pool_end; NULL on failure
 * @retval SWT_EIO    the system gives no thread
 */
SWT_MUST_USE swt_status swt_pool_begin(swt_pool **pool, size_t threads, size_t n, size_t window,
                                       swt_pool_job *job, void *user, swt_error *err);

/** Waits until job `index` is done. Its result, and those before it, are the caller's. */
void swt_pool_wait(swt_pool *pool, size_t index);

/** Results below `end` were taken: their places may be used again. */
void swt_pool_taken(swt_pool *pool, size_t end);

/** No further job is begun. @return the number of jobs that were: each of them can be waited for */
size_t swt_pool_stop(swt_pool *pool);

/** Stops, waits for the threads, frees; NULL is allowed. */
void swt_pool_end(swt_pool *pool);

#endif
