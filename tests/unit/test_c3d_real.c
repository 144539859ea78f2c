/* Reading real C3D files, against a table of facts that a separately written reader made, and
   against each other. */
#include "base/numtext.h"
#include "io/c3d/c3d_read.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bool warns(const swt_capture *c, const char *part)
{
    for (size_t i = 0; i < c->n_warnings; i++)
        if (strstr(c->warning[i], part))
            return true;
    return false;
}

static swt_capture *read_real(const char *name)
{
    const char *path = real_capture(name);
    unsigned char *bytes;
    size_t size;
    swt_capture *c;
    swt_error err = SWT_ERROR_INIT;

    if (!path)
        return NULL;
    bytes = read_all(path, &size);
    assert_non_null(bytes);
    if (swt_c3d_parse(&c, bytes, size, &err) != SWT_OK)
        fail_msg("%s: %s", name, err.msg);
    free(bytes);
    return c;
}

enum { FACT_COLUMNS = 20, LONGEST_LINE = 1024 };

/* Cuts a line of FACTS.csv (no quoted cells) at its commas. */
static int cut(char *line, char **cell)
{
    int n = 0;

    line[strcspn(line, "\r\n")] = '\0';
    while (n < FACT_COLUMNS) {
        char *comma = strchr(line, ',');
        cell[n++] = line;
        if (!comma)
            break;
        *comma = '\0';
        line = comma + 1;
    }
    return n;
}

static double number(const char *text)
{
    double value = nan("");
    swt_parse_double(&value, text, strlen(text), '.');
    return value;
}

static bool says_unseen_with_65535(const char *name)
{
    return strstr(name, "s07a") || strstr(name, "s23a") || strstr(name, "s26");
}

static void check_facts(char **cell)
{
    swt_capture *c = read_real(cell[0]);
    double sum[3] = {0}, size[3] = {0}, valid = 0, zeros = 0;
    char what[128];

    assert_non_null(c);
    assert_int_equal(c->n_points, (int)number(cell[4]));
    if (c->n_points > 0)
        assert_int_equal(c->n_frames, (int)number(cell[9]));
    assert_int_equal(c->n_analog * c->analog_per_frame, (int)number(cell[5]));
    assert_close(c->rate_hz, number(cell[11]), 1e-6 * c->rate_hz, cell[0]);
    assert_string_equal(c->unit, cell[12]);
    if (cell[7][0] != '0')
        assert_int_equal(c->first_frame, (int)number(cell[7]));
    for (size_t i = 0; i < c->n_frames * c->n_points; i++) {
        if (!(c->residual[i] >= 0)) {
            zeros += c->xyz[3 * i] == 0 && c->xyz[3 * i + 1] == 0 && c->xyz[3 * i + 2] == 0;
            continue;
        }
        valid++;
        for (int k = 0; k < 3; k++) {
            sum[k] += c->xyz[3 * i + (size_t)k];
            size[k] += fabs(c->xyz[3 * i + (size_t)k]);
        }
    }
    /* Some files write 65535.0 as the fourth word of unseen points at 0, 0, 0: that is -1 once
       converted to 16 bits, as the format says; the reader that made the table compared the real
       number, and so counts them in. */
    if (says_unseen_with_65535(cell[0]))
        valid += zeros;
    assert_close(valid, number(cell[13]), 0, cell[0]);
    for (int k = 0; k < 3; k++) {
        snprintf(what, sizeof what, "%s, sum of %c", cell[0], "xyz"[k]);
        if (strcmp(cell[14 + k], "nan") == 0) /* a recorder that stores NaN for "not seen" */
            assert_true(isnan(sum[k]));
        else /* the table has 10 digits; sums of terms of both signs lose some more */
            assert_close(sum[k], number(cell[14 + k]), 1e-9 * size[k] + 1e-9, what);
    }
    swt_capture_free(c);
}

static void every_real_file_gives_the_tabulated_numbers(void **state)
{
    const char *path = real_capture("FACTS.csv");
    FILE *facts = path ? fopen(path, "r") : NULL;
    char line[LONGEST_LINE], *cell[FACT_COLUMNS];
    int checked = 0;

    (void)state;
    if (!facts)
        skip();
    assert_non_null(fgets(line, sizeof line, facts));
    while (fgets(line, sizeof line, facts)) {
        int n = cut(line, cell);
        if (n >= 17 && strncmp(cell[3], "unread", 6) != 0) {
            check_facts(cell);
            checked++;
        }
    }
    fclose(facts);
    assert_true(checked >= 70);
}

/* Largest difference of coordinates over samples that both declare valid. */
static double largest_difference(const swt_capture *a, const swt_capture *b)
{
    double largest = 0;

    assert_int_equal(a->n_frames, b->n_frames);
    assert_int_equal(a->n_points, b->n_points);
    for (size_t i = 0; i < a->n_frames * a->n_points; i++) {
        if (a->residual[i] < 0 || b->residual[i] < 0)
            continue;
        for (size_t k = 0; k < 3; k++)
            largest = fmax(largest, fabs(a->xyz[3 * i + k] - b->xyz[3 * i + k]));
    }
    return largest;
}

/* Analog samples are integers from the converter, so that real files hold them exactly too. */
static void assert_analog_equal(const swt_capture *a, const swt_capture *b)
{
    assert_int_equal(a->n_analog, b->n_analog);
    assert_int_equal(a->analog_per_frame, b->analog_per_frame);
    for (size_t k = 0; k < a->n_analog; k++) {
        assert_string_equal(a->analog[k].label, b->analog[k].label);
        assert_string_equal(a->analog[k].unit, b->analog[k].unit);
        for (size_t i = 0; i < a->n_frames * a->analog_per_frame; i++)
            assert_close(a->analog[k].sample[i], b->analog[k].sample[i], 0, a->analog[k].label);
    }
}

/* One recording stored six times: integer files a, c, e and real files b, d, f, each pair for one
   processor. `step` bounds integer against real, from the files' own scale. */
static void check_six(const char *stem, double step_tolerance, bool integers_equal)
{
    swt_capture *c[6];
    char name[32];

    for (int i = 0; i < 6; i++) {
        snprintf(name, sizeof name, "standard/%s%c.c3d", stem, 'a' + i);
        c[i] = read_real(name);
        if (!c[i]) {
            assert_int_equal(i, 0);
            skip();
        }
    }
    for (int i = 1; i < 6; i++) {
        assert_string_equal(c[i]->unit, c[0]->unit);
        assert_analog_equal(c[i], c[0]);
        for (size_t p = 0; p < c[0]->n_points; p++)
            assert_string_equal(c[i]->label[p], c[0]->label[p]);
    }
    assert_close(largest_difference(c[1], c[3]), 0, 0, "real files: two processors");
    assert_close(largest_difference(c[1], c[5]), 0, 0, "real files: two processors");
    if (integers_equal) {
        assert_close(largest_difference(c[0], c[2]), 0, 0, "integer files: two processors");
        assert_close(largest_difference(c[0], c[4]), 0, 0, "integer files: two processors");
        for (int i = 1; i < 6; i++)
            assert_memory_equal(c[i]->cameras, c[0]->cameras, c[0]->n_frames * c[0]->n_points);
    }
    for (int i = 0; i < 6; i += 2)
        assert_close(largest_difference(c[i], c[1]), 0, step_tolerance, "integer against real");
    for (int i = 0; i < 6; i++)
        swt_capture_free(c[i]);
}

static void one_recording_in_six_encodings_reads_the_same(void **state)
{
    (void)state;
    check_six("s01", 1.1e-4, true);
    check_six("s02", 0.2812, false); /* these integer files were truncated: one step of 0.2812 mm */
}

static void moved_parameter_sections_change_nothing(void **state)
{
    swt_capture *reference = read_real("standard/s01a.c3d");

    (void)state;
    if (!reference)
        skip();
    for (char k = 'a'; k <= 'c'; k++) {
        char name[32];
        swt_capture *c;
        snprintf(name, sizeof name, "standard/s08%c.c3d", k);
        c = read_real(name);
        assert_memory_equal(c->xyz, reference->xyz, 3 * c->n_frames * c->n_points * sizeof *c->xyz);
        assert_memory_equal(c->residual, reference->residual,
                            c->n_frames * c->n_points * sizeof *c->residual);
        swt_capture_free(c);
    }
    swt_capture_free(reference);
}

static void damaged_parameter_sections_are_read_and_said_to_be_damaged(void **state)
{
    swt_capture *c = read_real("standard/s02e.c3d"), *d;

    (void)state;
    if (!c)
        skip();
    assert_int_equal(c->n_frames, 89);
    assert_int_equal(c->n_points, 36);
    assert_int_equal(c->n_events, 9);
    assert_true(warns(c, "outside the section"));
    swt_capture_free(c);
    d = read_real("standard/s18a.c3d");
    assert_int_equal(d->n_frames, 332);
    assert_int_equal(d->n_points, 45);
    assert_true(warns(d, "outside the section"));
    swt_capture_free(d);
}

static void computed_points_are_told_from_markers(void **state)
{
    swt_capture *c = read_real("standard/s03b.c3d");
    long angle, marker;

    (void)state;
    if (!c)
        skip();
    angle = swt_capture_find(c, "LHipAngles");
    if (angle < 0)
        for (size_t i = 0; i < c->n_points; i++)
            if (strstr(c->label[i], "LHipAngles"))
                angle = (long)i;
    marker = 0;
    assert_true(angle > 0);
    assert_non_null(c->is_computed);
    assert_true(c->is_computed[angle]);
    assert_false(c->is_computed[marker]);
    swt_capture_free(c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_real_file_gives_the_tabulated_numbers),
        cmocka_unit_test(one_recording_in_six_encodings_reads_the_same),
        cmocka_unit_test(moved_parameter_sections_change_nothing),
        cmocka_unit_test(damaged_parameter_sections_are_read_and_said_to_be_damaged),
        cmocka_unit_test(computed_points_are_told_from_markers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
