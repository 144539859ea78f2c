/* The pool: every job once, results in order, never more ahead than the window, stopped cleanly. */
#include "cli/batch_pool.h"
#include "tests/support/support.h"

#include <pthread.h>
#include <time.h>

enum { JOBS = 500, WINDOW = 7 };

typedef struct counting {
    pthread_mutex_t lock;
    int times[JOBS];
    size_t place[WINDOW]; /* whose result is in it */
    size_t taken, farthest;
} counting;

static void job(void *user, size_t index)
{
    counting *c = user;
    const struct timespec pause = {0, (long)(index * 7919 % 97) * 1000};

    nanosleep(&pause, NULL); /* so that they end in another order than they began */
    pthread_mutex_lock(&c->lock);
    c->times[index]++;
    c->place[index % WINDOW] = index;
    if (index - c->taken > c->farthest)
        c->farthest = index - c->taken;
    pthread_mutex_unlock(&c->lock);
}

static void take(counting *c, swt_pool *pool, size_t index)
{
    swt_pool_wait(pool, index);
    pthread_mutex_lock(&c->lock);
    assert_int_equal(c->times[index], 1);
    assert_int_equal(c->place[index % WINDOW], index);
    c->taken = index + 1;
    pthread_mutex_unlock(&c->lock);
    swt_pool_taken(pool, index + 1);
}

static void every_job_once_and_in_order(void **state)
{
    (void)state;
    for (size_t threads = 1; threads <= 5; threads++) {
        counting c = {.lock = PTHREAD_MUTEX_INITIALIZER};
        swt_pool *pool;
        assert_int_equal(swt_pool_begin(&pool, threads, JOBS, WINDOW, job, &c, NULL), SWT_OK);
        for (size_t i = 0; i < JOBS; i++)
            take(&c, pool, i);
        swt_pool_end(pool);
        assert_in_range(c.farthest, 0, WINDOW - 1);
    }
}

static void stopping_leaves_what_was_begun(void **state)
{
    (void)state;
    for (size_t threads = 1; threads <= 4; threads++) {
        counting c = {.lock = PTHREAD_MUTEX_INITIALIZER};
        swt_pool *pool;
        size_t begun;
        assert_int_equal(swt_pool_begin(&pool, threads, JOBS, WINDOW, job, &c, NULL), SWT_OK);
        for (size_t i = 0; i < 40; i++)
            take(&c, pool, i);
        begun = swt_pool_stop(pool);
        assert_in_range(begun, 40, 40 + WINDOW);
        for (size_t i = 40; i < begun; i++)
            take(&c, pool, i);
        swt_pool_end(pool);
        for (size_t i = 0; i < JOBS; i++)
            assert_int_equal(c.times[i], i < begun);
    }
}

static void ending_early_waits_for_the_threads(void **state)
{
    counting c = {.lock = PTHREAD_MUTEX_INITIALIZER};
    swt_pool *pool;

    (void)state;
    assert_int_equal(swt_pool_begin(&pool, 3, JOBS, WINDOW, job, &c, NULL), SWT_OK);
    take(&c, pool, 0);
    swt_pool_end(pool);
    swt_pool_end(NULL);
    for (size_t i = 0; i < JOBS; i++)
        assert_in_range(c.times[i], 0, 1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_job_once_and_in_order),
        cmocka_unit_test(stopping_leaves_what_was_begun),
        cmocka_unit_test(ending_early_waits_for_the_threads),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
