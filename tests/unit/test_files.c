/* Files as bytes. SHA-256 against the examples that NIST publishes with FIPS 180. */
#include "io/files.h"
#include "tests/support/support.h"

#include <pthread.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static void sha256_gives_the_published_digests(void **state)
{
    /* NIST, "SHA-256 examples" for FIPS 180: one block, two blocks; the million 'a' of FIPS 180-2
     * B.3 */
    static const struct {
        const char *message, *digest;
    } rows[] = {
        {"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"},
        {"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"},
        {"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
         "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"},
    };
    char hex[SWT_SHA256_TEXT];
    char *million = malloc(1000000);

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        swt_sha256(hex, rows[i].message, strlen(rows[i].message));
        assert_string_equal(hex, rows[i].digest);
    }
    assert_non_null(million);
    memset(million, 'a', 1000000);
    swt_sha256(hex, million, 1000000);
    assert_string_equal(hex, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
    free(million);
}

static void a_folder_is_not_a_file(void **state)
{
    unsigned char *bytes;
    size_t size;
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    assert_int_equal(swt_file_read(&bytes, &size, "/", &err), SWT_EIO);
    assert_null(bytes);
    assert_int_equal(swt_file_read(&bytes, &size, "/no/such/file", &err), SWT_EIO);
    assert_non_null(strstr(err.msg, "No such file"));
}

static const char *grows_at;
static atomic_bool grown;

static void *let_it_grow(void *nothing)
{
    FILE *f = fopen(grows_at, "ab");

    while (f && !atomic_load(&grown)) {
        fputc('x', f);
        fflush(f);
    }
    if (f)
        fclose(f);
    return nothing;
}

/* Whole or refused, and never in between. */
static void a_file_that_grows_is_refused(void **state)
{
    char folder[] = "/tmp/swathe-test-XXXXXX", path[128];
    enum { BYTES = 1 << 22 };
    unsigned char *bytes = calloc(BYTES, 1);
    pthread_t writer;
    FILE *f;
    int refused = 0;

    (void)state;
    assert_non_null(bytes);
    assert_non_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/growing", folder);
    f = fopen(path, "wb");
    assert_non_null(f);
    assert_int_equal(fwrite(bytes, 1, BYTES, f), BYTES);
    fclose(f);
    free(bytes);
    grows_at = path;
    assert_int_equal(pthread_create(&writer, NULL, let_it_grow, NULL), 0);
    for (int i = 0; i < 200 && refused == 0; i++) {
        swt_error err = SWT_ERROR_INIT;
        size_t size = 0;
        if (swt_file_read(&bytes, &size, path, &err) != SWT_OK) {
            assert_null(bytes);
            assert_non_null(strstr(err.msg, "changed while it was read"));
            refused++;
        } else {
            assert_true(size >= BYTES);
        }
        free(bytes);
    }
    atomic_store(&grown, true);
    pthread_join(writer, NULL);
    assert_true(refused > 0);
    unlink(path);
    rmdir(folder);
}

static void a_draft_shows_only_when_committed(void **state)
{
    char folder[] = "/tmp/swathe-test-XXXXXX", path[128];
    swt_file_draft draft;
    unsigned char *bytes;
    size_t size;

    (void)state;
    assert_non_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/out.txt", folder);
    assert_int_equal(swt_draft_open(&draft, path, NULL), SWT_OK);
    fputs("half", draft.stream);
    swt_draft_discard(&draft);
    assert_int_equal(swt_file_read(&bytes, &size, path, NULL), SWT_EIO);
    assert_int_equal(swt_draft_open(&draft, path, NULL), SWT_OK);
    fputs("whole", draft.stream);
    assert_int_equal(swt_draft_commit(&draft, NULL), SWT_OK);
    assert_int_equal(swt_file_read(&bytes, &size, path, NULL), SWT_OK);
    assert_string_equal((char *)bytes, "whole");
    free(bytes);
    remove(path);
    remove(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sha256_gives_the_published_digests),
        cmocka_unit_test(a_folder_is_not_a_file),
        cmocka_unit_test(a_file_that_grows_is_refused),
        cmocka_unit_test(a_draft_shows_only_when_committed),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
