/* Writes one capture as C3D in every form, and as CSV, and lets a reader that shares no code with
   this project (read_c3d.py: NumPy, from the format's description) compare them. */
#include "io/c3d/c3d_write.h"
#include "io/csv/csv_write.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/wait.h>
#include <unistd.h>

static swt_capture *made_up(void)
{
    swt_capture *c = swt_capture_new(300, 7);
    uint64_t seed = 11;
    char text[32];

    assert_non_null(c);
    c->rate_hz = 240;
    c->first_frame = 21;
    for (size_t i = 0; i < 3 * 300 * 7; i++)
        c->xyz[i] = 900 * draw_normal(&seed);
    for (size_t i = 0; i < 3; i++)
        c->xyz[3 * (7 * 40 + 2) + i] = nan("");
    for (size_t p = 0; p < 7; p++) {
        snprintf(text, sizeof text, p == 3 ? "Kn\303\266chel" : "M%zu", p);
        assert_int_equal(swt_string_set(&c->label[p], text, NULL), SWT_OK);
    }
    assert_int_equal(swt_string_set(&c->unit, "mm", NULL), SWT_OK);
    return c;
}

/* Runs the reader without a shell in between; returns its exit code. */
static int run_reader(const char *folder)
{
    int status;
    pid_t child = fork();

    assert_true(child >= 0);
    if (child == 0) {
        /* the system's python3 is the one that Debian's python3-numpy belongs to */
        const char *program =
            access("/usr/bin/python3", X_OK) == 0 ? "/usr/bin/python3" : "python3";
        execlp(program, program, SWT_SOURCE_DIR "/tests/reference/read_c3d.py", folder,
               (char *)NULL);
        _exit(77); /* no python3 */
    }
    assert_int_equal(waitpid(child, &status, 0), child);
    return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

static void another_reader_reads_the_same(void **state)
{
    static const struct {
        const char *name;
        swt_c3d_options options;
    } files[] = {
        {"intel_reals.c3d", {SWT_C3D_INTEL, false, 0}},
        {"intel_integers.c3d", {SWT_C3D_INTEL, true, 0}},
        {"dec_reals.c3d", {SWT_C3D_DEC, false, 0}},
        {"dec_integers.c3d", {SWT_C3D_DEC, true, 0}},
        {"sgi_reals.c3d", {SWT_C3D_SGI, false, 0}},
        {"sgi_integers.c3d", {SWT_C3D_SGI, true, 0.2}},
    };
    char folder[] = "/tmp/swathe-test-XXXXXX", path[128];
    swt_capture *c = made_up();
    int code;

    (void)state;
    assert_non_null(mkdtemp(folder));
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
        snprintf(path, sizeof path, "%s/%s", folder, files[i].name);
        assert_int_equal(swt_c3d_write(path, c, &files[i].options, NULL), SWT_OK);
    }
    snprintf(path, sizeof path, "%s/truth.csv", folder);
    assert_int_equal(swt_csv_write(path, c, NULL, NULL), SWT_OK);
    code = run_reader(folder);
    remove(path);
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
        snprintf(path, sizeof path, "%s/%s", folder, files[i].name);
        remove(path);
    }
    remove(folder);
    swt_capture_free(c);
    if (code == 77)
        skip();
    assert_int_equal(code, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(another_reader_reads_the_same),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
