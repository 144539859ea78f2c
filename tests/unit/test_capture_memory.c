/* Readers and writers when memory runs out: each allocation fails in turn, and each time the answer
   is SWT_ENOMEM with nothing handed over and, under the sanitizer, nothing leaked. The linker puts
   the functions below in the place of malloc and its kin. */
#include "io/c3d/c3d_read.h"
#include "io/c3d/c3d_write.h"
#include "io/capture/inspect.h"
#include "io/csv/csv_read.h"
#include "io/csv/csv_write.h"
#include "tests/support/support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void *__real_malloc(size_t size);
void *__real_calloc(size_t n, size_t size);
void *__real_realloc(void *block, size_t size);
void *__wrap_malloc(size_t size);
void *__wrap_calloc(size_t n, size_t size);
void *__wrap_realloc(void *block, size_t size);

static long countdown; /* allocations until one fails; 0 = none does */
static bool failed;

static bool fails_now(void)
{
    if (countdown > 0 && --countdown == 0)
        failed = true;
    return failed && countdown == 0;
}

void *__wrap_malloc(size_t size)
{
    return fails_now() ? NULL : __real_malloc(size);
}

void *__wrap_calloc(size_t n, size_t size)
{
    return fails_now() ? NULL : __real_calloc(n, size);
}

void *__wrap_realloc(void *block, size_t size)
{
    return fails_now() ? NULL : __real_realloc(block, size);
}

/* Lets the n-th allocation and all after it fail, for n = 1, 2, ... until the work needs fewer.
   `work` returns its status. */
static void exhaust(swt_status (*work)(const void *input, size_t size), const void *input,
                    size_t size, const char *what)
{
    for (long n = 1;; n++) {
        swt_status rc;
        failed = false;
        countdown = n;
        rc = work(input, size);
        countdown = 0;
        if (!failed) {
            failed = false;
            assert_int_equal(rc, SWT_OK);
            assert_true(n > 5);
            return;
        }
        failed = false;
        if (rc != SWT_ENOMEM)
            fail_msg("%s, allocation %ld: status %d", what, n, (int)rc);
    }
}

static swt_status read_c3d(const void *bytes, size_t size)
{
    swt_capture *c;
    swt_error err = SWT_ERROR_INIT;
    swt_status rc = swt_c3d_parse(&c, bytes, size, &err);

    assert_true((rc == SWT_OK) == (c != NULL));
    swt_capture_free(c);
    return rc;
}

static swt_status read_csv(const void *bytes, size_t size)
{
    swt_capture *c;
    swt_error err = SWT_ERROR_INIT;
    swt_status rc = swt_csv_parse(&c, bytes, size, &err);

    assert_true((rc == SWT_OK) == (c != NULL));
    swt_capture_free(c);
    return rc;
}

static swt_status write_c3d(const void *capture, size_t unused)
{
    unsigned char *bytes;
    size_t size;
    swt_status rc = swt_c3d_format(&bytes, &size, capture, NULL, NULL);

    (void)unused;
    assert_true((rc == SWT_OK) == (bytes != NULL));
    free(bytes);
    return rc;
}

static FILE *null_stream;

static swt_status write_csv(const void *capture, size_t unused)
{
    (void)unused;
    return swt_csv_print(null_stream, capture, NULL, NULL);
}

static swt_capture *whole_c3d(unsigned char **bytes, size_t *size)
{
    swt_capture *c;

    *bytes = read_all(SWT_SOURCE_DIR "/tests/fuzz/corpus/c3d/dec-reals.c3d", size);
    assert_non_null(*bytes);
    assert_int_equal(swt_c3d_parse(&c, *bytes, *size, NULL), SWT_OK);
    return c;
}

static void every_failed_allocation_is_reported(void **state)
{
    static const char wide[] =
        "# units = mm\ntime,A,,,B,,\n,x,y,z,x,y,z\n0,1,2,3,4,5,6\n"
        "0.5,1,2,3,4,5,6\n1,1,2,3,4,5,6\n"; /* nothing to warn of: a warning may get lost */
    static const char rows[] = "frame,marker,x,y,z\n1,A,1,2,3\n1,B,4,5,6\n2,A,1,2,3\n2,B,,,\n";
    unsigned char *bytes;
    size_t size;
    swt_capture *c = whole_c3d(&bytes, &size);

    (void)state;
    null_stream = fopen("/dev/null", "w");
    assert_non_null(null_stream);
    /* the first write makes the stream's buffer, which is no business of ours */
    assert_int_equal(write_csv(c, 0), SWT_OK);
    exhaust(read_c3d, bytes, size, "reading C3D");
    exhaust(read_csv, wide, sizeof wide - 1, "reading wide CSV");
    exhaust(read_csv, rows, sizeof rows - 1, "reading long CSV");
    exhaust(write_c3d, c, 0, "writing C3D");
    exhaust(write_csv, c, 0, "writing CSV");
    fclose(null_stream);
    swt_capture_free(c);
    free(bytes);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_failed_allocation_is_reported),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
