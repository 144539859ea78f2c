/* The drawing session: what is sent, what user text can and cannot do, and how failure is told. */
#include "io/report/gnuplot.h"
#include "io/report/text.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static char folder[] = "/tmp/swathe-plot-XXXXXX";

static int make_folder(void **state)
{
    (void)state;
    return mkdtemp(folder) ? 0 : -1;
}

static int remove_folder(void **state)
{
    (void)state;
    return rmdir(folder);
}

/* A player code with all that has a meaning to gnuplot or to a shell. */
static const char hostile[] = "`touch /tmp/swathe-was-here` $(id) \"; system('id') #\\ {/:Bold} "
                              "@m %s <b>]]>&\n\xff \xc3\xa9";

static swt_plot *drawing(const char *path, swt_plot_format format)
{
    const double x[] = {0, 1, 2}, y[] = {0, nan(""), 1};
    const double *columns[] = {x, y};
    swt_plot *plot;
    int data;

    assert_int_equal(swt_plot_new(&plot, NULL), SWT_OK);
    assert_int_equal(swt_plot_picture(plot, path, format, SWT_PLOT_COLUMN, 0.75, NULL), SWT_OK);
    data = swt_plot_data(plot, 3, 2, columns);
    swt_plot_add(plot, "set title ");
    swt_plot_quote(plot, hostile, 200);
    swt_plot_add(plot, "\nplot $d%d using 1:2 with linespoints notitle\n", data);
    return plot;
}

static void the_script_holds_the_data_and_no_live_user_text(void **state)
{
    swt_plot *plot = drawing("|touch /tmp/swathe-was-here.svg", SWT_PLOT_SVG);
    const char *script = swt_plot_script(plot);

    (void)state;
    assert_non_null(strstr(script, "$d0 << E\n0 0\n1 NaN\n2 1\nE\n"));
    assert_non_null(strstr(script, "noenhanced"));
    assert_non_null(strstr(script, "set output \"./\\174touch")); /* a file, not a command */
    assert_null(strchr(script, '`'));
    assert_null(strchr(script, '@'));
    assert_non_null(strstr(script, "\\140touch"));
    assert_non_null(strstr(script, "\\042; system(\\047id\\047) \\043\\134"));
    assert_non_null(strstr(script, "\\303\\251\"\nplot")); /* an e with acute accent, whole */
    swt_plot_discard(plot);
}

static void pictures_appear_and_nothing_else_runs(void **state)
{
    static const struct {
        swt_plot_format format;
        const char *begins;
        size_t length;
    } rows[] = {
        {SWT_PLOT_SVG, "<?xml", 5}, {SWT_PLOT_PDF, "%PDF-", 5}, {SWT_PLOT_PNG, "\x89PNG", 4}};
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    unlink("/tmp/swathe-was-here");
    for (size_t i = 0; i < 3; i++) {
        char path[128], kept[128];
        unsigned char *bytes;
        size_t size;

        snprintf(path, sizeof path, "%s/it's \"1\".%s", folder, swt_plot_extension(rows[i].format));
        snprintf(kept, sizeof kept, "%s/kept.gp", folder);
        if (swt_plot_draw(drawing(path, rows[i].format), kept, &err) != SWT_OK)
            fail_msg("%s", err.msg);
        bytes = read_all(path, &size);
        assert_non_null(bytes);
        assert_memory_equal(bytes, rows[i].begins, rows[i].length);
        if (rows[i].format == SWT_PLOT_SVG) {
            char *text = calloc(size + 1, 1);
            assert_non_null(text);
            memcpy(text, bytes, size);
            assert_null(strstr(text, "<b>")); /* markup in a code stays text */
            assert_non_null(strstr(text, "&lt;b>]] &amp;"));
            free(text);
        }
        free(bytes);
        bytes = read_all(kept, &size);
        assert_non_null(bytes);
        free(bytes);
        unlink(path);
        unlink(kept);
    }
    assert_int_not_equal(access("/tmp/swathe-was-here", F_OK), 0);
}

static void an_absent_gnuplot_is_named_with_its_remedy(void **state)
{
    char *path = strdup(getenv("PATH"));
    char file[128];
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    snprintf(file, sizeof file, "%s/none.svg", folder);
    assert_int_equal(setenv("PATH", folder, 1), 0);
    assert_int_equal(swt_plot_draw(drawing(file, SWT_PLOT_SVG), NULL, &err), SWT_EIO);
    assert_int_equal(setenv("PATH", path, 1), 0);
    assert_non_null(strstr(err.msg, "gnuplot was not found"));
    assert_non_null(strstr(err.msg, "apt install gnuplot-nox"));
    assert_int_not_equal(access(file, F_OK), 0);
    free(path);
}

/* Draws a short or a long script with a shell script in gnuplot's place. */
static void draw_with(const char *fake, bool long_script, swt_error *err)
{
    char program[128], file[128], *before = strdup(getenv("PATH")), path[4096];
    swt_plot *plot;
    FILE *f;

    snprintf(program, sizeof program, "%s/gnuplot", folder);
    snprintf(file, sizeof file, "%s/none.svg", folder);
    f = fopen(program, "w");
    assert_non_null(f);
    fprintf(f, "#!/bin/sh\n%s\n", fake);
    fclose(f);
    assert_int_equal(chmod(program, 0700), 0);
    snprintf(path, sizeof path, "%s:%s", folder, before);
    plot = drawing(file, SWT_PLOT_SVG);
    swt_plot_set_patience(plot, 0.3);
    for (int i = 0; long_script && i < 40000; i++)
        swt_plot_add(plot, "# far more than a pipe holds\n");
    assert_int_equal(setenv("PATH", path, 1), 0);
    assert_int_equal(swt_plot_draw(plot, NULL, err), SWT_EIO);
    assert_int_equal(setenv("PATH", before, 1), 0);
    assert_int_not_equal(access(file, F_OK), 0);
    unlink(program);
    free(before);
}

/* A reader that dies at once while much is still to be sent: an error, not SIGPIPE's end. */
static void a_gnuplot_that_dies_is_an_error(void **state)
{
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    draw_with("echo 'out of ink' >&2\nexit 3", true, &err);
    assert_non_null(strstr(err.msg, "out of ink"));
    draw_with("exit 3", false, &err);
    assert_non_null(strstr(err.msg, "exit code 3: it said nothing"));
}

/* Whether it reads nothing, or reads all and never ends: stopped, and told. */
static void a_gnuplot_that_hangs_is_stopped(void **state)
{
    static const char *const fakes[] = {"sleep 100", "cat >/dev/null; sleep 100"};

    (void)state;
    for (size_t i = 0; i < 4; i++) {
        swt_error err = SWT_ERROR_INIT;
        draw_with(fakes[i / 2], i % 2 == 1, &err);
        assert_non_null(strstr(err.msg, "did nothing for 0.3 s and was stopped"));
    }
}

static void a_gnuplot_that_talks_without_end_is_stopped(void **state)
{
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    draw_with("while read -r line; do yes 'no such colour' | head -c 400000; done", true, &err);
    assert_non_null(strstr(err.msg, "messages without end"));
    assert_non_null(strstr(err.msg, "no such colour"));
}

static void a_wrong_script_leaves_no_picture(void **state)
{
    char file[128];
    swt_error err = SWT_ERROR_INIT;
    swt_plot *plot;

    (void)state;
    snprintf(file, sizeof file, "%s/none.svg", folder);
    plot = drawing(file, SWT_PLOT_SVG);
    swt_plot_add(plot, "plot nonsense(\n");
    assert_int_equal(swt_plot_draw(plot, NULL, &err), SWT_EIO);
    assert_non_null(strstr(err.msg, "invalid expression"));
    assert_int_not_equal(access(file, F_OK), 0);
}

static void text_is_cut_between_characters(void **state)
{
    char out[64];

    (void)state;
    assert_string_equal(swt_text_clean(out, sizeof out, "abc", 3), "abc");
    assert_string_equal(swt_text_clean(out, sizeof out, "abcd", 3), "ab\xe2\x80\xa6");
    assert_string_equal(swt_text_clean(out, sizeof out, "\xc3\xa9\xc3\xa9\xc3\xa9", 2),
                        "\xc3\xa9\xe2\x80\xa6");
    assert_string_equal(swt_text_clean(out, sizeof out, "a\tb\x01\x7f", 9), "a b  ");
    /* overlong slash, surrogate, beyond U+10FFFF, cut short: RFC 3629 sections 3 and 4 */
    assert_string_equal(swt_text_clean(out, sizeof out, "\xc0\xaf", 9), "??");
    assert_string_equal(swt_text_clean(out, sizeof out, "\xed\xa0\x80", 9), "???");
    assert_string_equal(swt_text_clean(out, sizeof out, "\xf4\x90\x80\x80", 9), "????");
    assert_string_equal(swt_text_clean(out, sizeof out, "x\xe2\x80", 9), "x??");
    assert_string_equal(swt_text_clean(out, 8, "abcdefghij", 20), "abc\xe2\x80\xa6");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_script_holds_the_data_and_no_live_user_text),
        cmocka_unit_test(pictures_appear_and_nothing_else_runs),
        cmocka_unit_test(an_absent_gnuplot_is_named_with_its_remedy),
        cmocka_unit_test(a_gnuplot_that_dies_is_an_error),
        cmocka_unit_test(a_gnuplot_that_hangs_is_stopped),
        cmocka_unit_test(a_gnuplot_that_talks_without_end_is_stopped),
        cmocka_unit_test(a_wrong_script_leaves_no_picture),
        cmocka_unit_test(text_is_cut_between_characters),
    };
    return cmocka_run_group_tests_name("gnuplot", tests, make_folder, remove_folder);
}
