/* What tells whose a capture or study is: planted in every text, and looked for in what is left. */
#include "io/c3d/c3d_read.h"
#include "io/c3d/c3d_write.h"
#include "io/capture/deidentify.h"
#include "io/csv/csv_write.h"
#include "io/files.h"
#include "io/study/study.h"
#include "tests/support/support.h"
#include "tests/unit/invented_study.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define SECRET "Secret7"

static char folder[] = "/tmp/swathe-deidentify-XXXXXX";

static bool holds(const unsigned char *bytes, size_t size, const char *text)
{
    size_t n = strlen(text);

    for (size_t i = 0; i + n <= size; i++)
        if (memcmp(bytes + i, text, n) == 0)
            return true;
    return false;
}

static void assert_gone(const char *path, const char *text, bool expected)
{
    unsigned char *bytes;
    size_t size;

    assert_int_equal(swt_file_read(&bytes, &size, path, NULL), SWT_OK);
    if (holds(bytes, size, text) != expected)
        fail_msg("%s: \"%s\" is %sin it", path, text, expected ? "not " : "");
    free(bytes);
}

static bool lists(const swt_names *removed, const char *start)
{
    for (size_t i = 0; i < removed->n; i++)
        if (strncmp(removed->name[i], start, strlen(start)) == 0)
            return true;
    return false;
}

static void set(char **field, const char *text)
{
    assert_int_equal(swt_string_set(field, text, NULL), SWT_OK);
}

static swt_capture *capture_full_of_secrets(void)
{
    swt_capture *c = swt_capture_new(3, 3);

    assert_non_null(c);
    c->rate_hz = 240;
    for (size_t i = 0; i < 27; i++)
        c->xyz[i] = 1.5 * (double)i + 1;
    set(&c->unit, "mm");
    set(&c->up_axis, "+Z");
    set(&c->label[0], SECRET ":LASI");
    set(&c->label[1], SECRET "b:LASI");
    set(&c->label[2], "BALL");
    set(&c->description[0], "worn by " SECRET);
    set(&c->description[2], SECRET "'s ball");
    assert_int_equal(swt_capture_add_event(c, SECRET " strikes", SECRET, 0.01, NULL), SWT_OK);
    return c;
}

static void test_captures(void **state)
{
    (void)state;
    for (int csv = 0; csv < 2; csv++) {
        swt_capture *c = capture_full_of_secrets(), *back = NULL;
        char source[256], copy[256], *written;
        swt_names removed = {0};
        unsigned char *bytes;
        size_t size;

        snprintf(source, sizeof source, "%s/%s", folder, csv ? SECRET ".csv" : SECRET ".c3d");
        snprintf(copy, sizeof copy, "%s/copy", folder);
        assert_int_equal(csv ? swt_csv_write(source, c, NULL, NULL)
                             : swt_c3d_write(source, c, NULL, NULL),
                         SWT_OK);
        assert_gone(source, SECRET, true);
        assert_int_equal(swt_capture_file_deidentify(&written, &removed, copy, source, NULL),
                         SWT_OK);
        assert_gone(written, SECRET, false);
        assert_true(lists(&removed, "subjects before the labels"));
        if (!csv) { /* the numbers are the same to the bit */
            assert_true(lists(&removed, "descriptions"));
            assert_true(lists(&removed, "names of the events"));
            assert_true(lists(&removed, "parameter POINT:DESCRIPTIONS"));
            assert_false(lists(&removed, "parameter POINT:LABELS"));
            assert_int_equal(swt_file_read(&bytes, &size, written, NULL), SWT_OK);
            assert_int_equal(swt_c3d_parse(&back, bytes, size, NULL), SWT_OK);
            assert_string_equal(back->label[0], "S1:LASI");
            assert_string_equal(back->label[1], "S2:LASI");
            assert_string_equal(back->label[2], "BALL");
            assert_memory_equal(back->xyz, c->xyz, 27 * sizeof *c->xyz);
            assert_int_equal(back->n_events, 1);
            assert_close(back->event[0].time_s, 0.01, 1e-6, "time of the event");
            free(bytes);
        }
        for (size_t i = 0; i < removed.n; i++)
            assert_null(strstr(removed.name[i], SECRET));
        unlink(source);
        unlink(written);
        free(written);
        swt_names_reset(&removed);
        swt_capture_free(back);
        swt_capture_free(c);
    }
}

/* The invented study, with the secret in every text that a sheet or a reader can bring in. */
static void plant(invented *v, size_t n_covariates)
{
    for (size_t i = 0; i < CAPTURES; i++) {
        swt_trial *t = &v->trial[i];
        t->file = t->path = SECRET "/" SECRET ".c3d";
        t->player = i % 2 ? SECRET " A" : SECRET " B";
        t->session = i < 4 ? SECRET "-2026-03-01" : SECRET "-2026-03-22";
        snprintf(v->facts[i].message, sizeof v->facts[i].message, "%s",
                 v->entry[i].n_swings ? "" : SECRET ".c3d: no swing");
        swt_findings_add(&v->facts[i].findings, SWT_NOTE, "file_format", SECRET " said so");
        for (size_t k = 0; k < n_covariates; k++)
            v->covariate[i][k] = k == 0 ? "12.5" : SECRET;
    }
}

static void test_study(void **state)
{
    swt_provenance from = provenance;
    invented *v = invent();
    swt_study *before, *after;
    swt_names removed = {0};
    char source[256], copy[256];

    (void)state;
    plant(v, 2);
    from.command = "swathe run " SECRET ".csv";
    from.sheet = SECRET ".csv";
    from.map = SECRET ".ini";
    from.covariates = "handicap\nremark";
    snprintf(source, sizeof source, "%s/source.h5", folder);
    snprintf(copy, sizeof copy, "%s/copy.h5", folder);
    assert_int_equal(swt_study_write(source, v->entry, CAPTURES, &from, NULL), SWT_OK);
    assert_gone(source, SECRET, true);
    assert_int_equal(swt_study_deidentify(copy, &removed, source, NULL), SWT_OK);
    assert_gone(copy, SECRET, false);
    assert_gone(copy, "2026-", false);
    assert_gone(copy, "remark", false);
    assert_true(lists(&removed, "player " SECRET " A (now P2)"));
    assert_true(lists(&removed, "covariate remark"));

    before = open_good(source);
    after = open_good(copy);
    assert_int_equal(after->n_swings, before->n_swings);
    assert_int_equal(after->n_covariates, 1);
    assert_string_equal(after->covariate_name[0], "handicap");
    for (size_t i = 0; i < after->n_swings; i++) {
        double one[SWT_CURVE_SAMPLES], other[SWT_CURVE_SAMPLES];
        const swt_study_swing *a = &after->swing[i], *b = &before->swing[i];
        assert_string_equal(a->player, strcmp(b->player, SECRET " B") == 0 ? "P1" : "P2");
        assert_string_equal(a->session, strstr(b->session, "03-22") ? "2" : "1");
        assert_string_equal(a->club, b->club);
        assert_string_equal(a->covariate[0], "12.5");
        for (size_t m = 0; m < swt_measure_count(); m++)
            assert_memory_equal(&after->measure[m][i].value, &before->measure[m][i].value,
                                sizeof(double));
        assert_int_equal(swt_study_read_curves(before, SWT_SERIES_HAND_DEPTH, &i, 1, one, NULL),
                         SWT_OK);
        assert_int_equal(swt_study_read_curves(after, SWT_SERIES_HAND_DEPTH, &i, 1, other, NULL),
                         SWT_OK);
        assert_memory_equal(one, other, sizeof one);
    }
    swt_study_close(before);
    swt_study_close(after);
    swt_names_reset(&removed);
    forget(v);
    unlink(source);
    unlink(copy);
}

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

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_captures),
        cmocka_unit_test(test_study),
    };
    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
