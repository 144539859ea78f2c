/* One writer of a study at a time; what a dead one left is swept up, and nothing else. */
#include "io/study/study_lock.h"
#include "tests/support/support.h"

#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

static char folder[] = "/tmp/swathe-lock-XXXXXX", study[64];

static int make_folder(void **state)
{
    (void)state;
    if (!mkdtemp(folder))
        return -1;
    snprintf(study, sizeof study, "%s/s.h5", folder);
    return 0;
}

static int remove_folder(void **state)
{
    (void)state;
    return rmdir(folder);
}

static const char *in_folder(const char *name)
{
    static char path[128];

    snprintf(path, sizeof path, "%s/%s", folder, name);
    return path;
}

static void touch(const char *name)
{
    FILE *f = fopen(in_folder(name), "w");

    assert_non_null(f);
    fclose(f);
}

static bool is_there(const char *name)
{
    return access(in_folder(name), F_OK) == 0;
}

/* A child that takes the lock, says so, and holds it until it is killed. */
static pid_t start_holder(void)
{
    int ends[2];
    char word = 0;
    pid_t child;

    assert_int_equal(pipe(ends), 0);
    child = fork();
    if (child == 0) {
        swt_study_lock lock;
        word = swt_study_lock_take(&lock, study, NULL) == SWT_OK ? 'y' : 'n';
        if (write(ends[1], &word, 1) == 1)
            for (;;)
                pause();
        _exit(1);
    }
    assert_true(child > 0);
    assert_int_equal(read(ends[0], &word, 1), 1);
    assert_int_equal(word, 'y');
    close(ends[0]);
    close(ends[1]);
    return child;
}

static void a_second_writer_is_refused_until_the_first_ends(void **state)
{
    pid_t holder = start_holder();
    swt_study_lock lock;
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    touch("s.h5.draft-1-0x1");
    assert_int_equal(swt_study_lock_take(&lock, study, &err), SWT_EIO);
    assert_non_null(strstr(err.msg, "s.h5: another swathe is writing this study"));
    assert_true(is_there("s.h5.draft-1-0x1")); /* it may be the other one's */
    swt_study_lock_release(&lock);             /* nothing is held: the other one keeps his */
    assert_int_equal(swt_study_lock_take(&lock, study, &err), SWT_EIO);

    kill(holder, SIGKILL);
    assert_int_equal(waitpid(holder, NULL, 0), holder);
    assert_int_equal(swt_study_lock_take(&lock, study, &err), SWT_OK);
    assert_false(is_there("s.h5.draft-1-0x1"));
    swt_study_lock_release(&lock);
    assert_false(is_there("s.h5.lock"));
}

static void leftovers_go_and_all_else_stays(void **state)
{
    static const char *const stay[] = {"s.h5", "s.h5.draft", "other.h5.draft-1-0x1",
                                       "s.h5.checkpoints/notes.txt",
                                       "s.h5.checkpoints/checkpoint-000001.h5"};
    static const char *const go[] = {"s.h5.draft-77-0x7ffe",
                                     "s.h5.checkpoints/checkpoint-000002.h5.draft-77-0x1"};
    swt_study_lock lock;

    (void)state;
    assert_int_equal(mkdir(in_folder("s.h5.checkpoints"), 0700), 0);
    for (size_t i = 0; i < sizeof stay / sizeof *stay; i++)
        touch(stay[i]);
    for (size_t i = 0; i < sizeof go / sizeof *go; i++)
        touch(go[i]);
    assert_int_equal(swt_study_lock_take(&lock, study, NULL), SWT_OK);
    for (size_t i = 0; i < sizeof go / sizeof *go; i++)
        assert_false(is_there(go[i]));
    for (size_t i = 0; i < sizeof stay / sizeof *stay; i++) {
        assert_true(is_there(stay[i]));
        unlink(in_folder(stay[i]));
    }
    swt_study_lock_release(&lock);
    swt_study_lock_release(&lock); /* twice is harmless */
    assert_int_equal(rmdir(in_folder("s.h5.checkpoints")), 0);
}

/* Writing there fails with its own reason; the lock is not what is to be told. */
static void a_folder_that_is_not_there_is_left_to_the_writer(void **state)
{
    swt_study_lock lock;

    (void)state;
    assert_int_equal(swt_study_lock_take(&lock, in_folder("none/s.h5"), NULL), SWT_OK);
    swt_study_lock_release(&lock);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_second_writer_is_refused_until_the_first_ends),
        cmocka_unit_test(leftovers_go_and_all_else_stays),
        cmocka_unit_test(a_folder_that_is_not_there_is_left_to_the_writer),
    };
    return cmocka_run_group_tests_name("study_lock", tests, make_folder, remove_folder);
}
