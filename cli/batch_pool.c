#include "cli/batch_pool.h"

#include <pthread.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

struct swt_pool {
    pthread_mutex_t lock;     /* guards all below                                      */
    pthread_cond_t may_begin; /* a place came free, or there is nothing more to begin  */
    pthread_cond_t was_done;
    size_t n, begun, taken; /* jobs in all; below `begun` begun; below `taken` taken   */
    size_t window;
    bool *done; /* [window]: the job in that place                                     */
    swt_pool_job *job;
    void *user;
    size_t n_threads;
    pthread_t *thread;
};

/* The lock is held. */
static bool can_begin(const swt_pool *pool)
{
    return pool->begun < pool->n && pool->begun - pool->taken < pool->window;
}

/* One job; the lock is held before and after, and not while the job is done. */
static void do_next(swt_pool *pool)
{
    size_t index = pool->begun++;

    pthread_mutex_unlock(&pool->lock);
    pool->job(pool->user, index);
    pthread_mutex_lock(&pool->lock);
    pool->done[index % pool->window] = true;
    pthread_cond_signal(&pool->was_done); /* only the taker waits for it */
}

static void *work(void *user)
{
    swt_pool *pool = user;

    pthread_mutex_lock(&pool->lock);
    while (pool->begun < pool->n)
        if (can_begin(pool))
            do_next(pool);
        else
            pthread_cond_wait(&pool->may_begin, &pool->lock);
    pthread_mutex_unlock(&pool->lock);
    return NULL;
}

swt_status swt_pool_begin(swt_pool **out, size_t threads, size_t n, size_t window,
                          swt_pool_job *job, void *user, swt_error *err)
{
    swt_pool *pool = calloc(1, sizeof *pool);

    *out = NULL;
    if (!pool)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    pthread_mutex_init(&pool->lock, NULL);
    pthread_cond_init(&pool->may_begin, NULL);
    pthread_cond_init(&pool->was_done, NULL);
    pool->n = n;
    pool->window = window;
    pool->job = job;
    pool->user = user;
    pool->done = calloc(window, sizeof *pool->done);
    pool->thread = calloc(threads, sizeof *pool->thread);
    if (!pool->done || !pool->thread) {
        swt_pool_end(pool);
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    }
    while (pool->n_threads + 1 < threads) {
        int reason = pthread_create(&pool->thread[pool->n_threads], NULL, work, pool);
        if (reason != 0) {
            swt_pool_end(pool);
            return swt_fail(err, SWT_EIO, "%zu threads: %s; ask for fewer with --threads", threads,
                            strerror(reason));
        }
        pool->n_threads++;
    }
    *out = pool;
    return SWT_OK;
}

void swt_pool_wait(swt_pool *pool, size_t index)
{
    pthread_mutex_lock(&pool->lock);
    while (!(index < pool->begun && pool->done[index % pool->window]))
        if (can_begin(pool))
            do_next(pool);
        else
            pthread_cond_wait(&pool->was_done, &pool->lock);
    pthread_mutex_unlock(&pool->lock);
}

void swt_pool_taken(swt_pool *pool, size_t end)
{
    pthread_mutex_lock(&pool->lock);
    for (; pool->taken < end; pool->taken++)
        pool->done[pool->taken % pool->window] = false;
    pthread_cond_broadcast(&pool->may_begin);
    pthread_mutex_unlock(&pool->lock);
}

size_t swt_pool_stop(swt_pool *pool)
{
    size_t begun;

    pthread_mutex_lock(&pool->lock);
    pool->n = begun = pool->begun;
    pthread_cond_broadcast(&pool->may_begin);
    pthread_mutex_unlock(&pool->lock);
    return begun;
}

void swt_pool_end(swt_pool *pool)
{
    if (!pool)
        return;
    swt_pool_stop(pool);
    for (size_t i = 0; i < pool->n_threads; i++)
        pthread_join(pool->thread[i], NULL);
    pthread_cond_destroy(&pool->was_done);
    pthread_cond_destroy(&pool->may_begin);
    pthread_mutex_destroy(&pool->lock);
    free(pool->thread);
    free(pool->done);
    free(pool);
}
