/* The walk over C3D parameter records: what the format allows, and what real files do to it. */
#include "io/c3d/c3d_parameters.h"
#include "tests/support/c3d_bytes.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { START = 516 }; /* the first record of c3d_begin */

static swt_c3d_parameters walk(const c3d_bytes *f, swt_capture **notes)
{
    swt_c3d_parameters p;

    *notes = swt_capture_new(0, 0);
    assert_non_null(*notes);
    assert_int_equal(
        swt_c3d_parameters_read(&p, f->bytes, START, f->size, SWT_C3D_INTEL, *notes, NULL), SWT_OK);
    return p;
}

static void begin(c3d_bytes *f)
{
    c3d_begin(f, 1, 0, 1, 1, -1, 0, 100);
}

static void done(swt_c3d_parameters *p, swt_capture *notes, c3d_bytes *f)
{
    swt_c3d_parameters_reset(p);
    swt_capture_free(notes);
    c3d_free(f);
}

static void arrays_of_seven_dimensions_are_read(void **state)
{
    /* dims 2, 1, 2, 1, 2, 1, 2 of 16-bit integers */
    static const unsigned char record[] = {4, 1, 'D', 'E', 'E', 'P', 0, 0, 2,
                                           7, 2, 1,   2,   1,   2,   1, 2};
    c3d_bytes f;
    swt_capture *notes;
    swt_c3d_parameters p;
    double value;

    (void)state;
    begin(&f);
    c3d_group(&f, 1, "TEST");
    c3d_append(&f, record, sizeof record);
    c3d_set_word(&f, f.size - 11, 2 + 2 + 7 + 32 + 1);
    for (unsigned i = 0; i < 16; i++)
        c3d_word(&f, 1000 * i);
    c3d_append(&f, "", 1);
    c3d_begin_data(&f);
    p = walk(&f, &notes);
    assert_int_equal(p.n_parameters, 1);
    assert_int_equal(p.parameter[0].n_dimensions, 7);
    assert_int_equal(p.parameter[0].count, 16);
    assert_true(swt_c3d_number_at(&value, &p, &p.parameter[0], 15, false));
    assert_close(value, 15000, 0, "last element");
    assert_false(swt_c3d_number_at(&value, &p, &p.parameter[0], 16, false));
    assert_int_equal(notes->n_warnings, 0);
    done(&p, notes, &f);
}

static void numbers_of_every_type_are_signed_or_unsigned_as_asked(void **state)
{
    static const unsigned char bytes[] = {200};
    const unsigned words[] = {40000};
    const float reals[] = {-2.5f};
    static const struct {
        const char *name;
        double as_signed, as_unsigned;
    } rows[] = {{"BYTE", -56, 200}, {"WORD", 40000 - 65536, 40000}, {"REAL", -2.5, -2.5}};
    c3d_bytes f;
    swt_capture *notes;
    swt_c3d_parameters p;
    double value;

    (void)state;
    begin(&f);
    c3d_group(&f, 1, "TEST");
    c3d_parameter(&f, 1, "BYTE", 1, 0, 0, 0, bytes, 1);
    c3d_parameter_words(&f, 1, "WORD", words, 1);
    c3d_parameter_reals(&f, 1, "REAL", reals, 1);
    c3d_parameter(&f, 1, "TEXT", -1, 1, 3, 0, "123", 3);
    c3d_begin_data(&f);
    p = walk(&f, &notes);
    for (size_t i = 0; i < 3; i++) {
        assert_true(swt_c3d_number(&value, &p, "TEST", rows[i].name, false));
        assert_close(value, rows[i].as_signed, 0, rows[i].name);
        assert_true(swt_c3d_number(&value, &p, "TEST", rows[i].name, true));
        assert_close(value, rows[i].as_unsigned, 0, rows[i].name);
    }
    assert_false(swt_c3d_number(&value, &p, "TEST", "TEXT", false));
    assert_false(swt_c3d_number(&value, &p, "TEST", "NONE", false));
    assert_false(swt_c3d_number(&value, &p, "OTHER", "WORD", false));
    done(&p, notes, &f);
}

static void a_repeated_parameter_counts_where_it_holds_data(void **state)
{
    c3d_bytes f;
    swt_capture *notes;
    swt_c3d_parameters p;
    double value;

    (void)state;
    begin(&f);
    c3d_group(&f, 1, "POINT");
    c3d_group(&f, 2, "POINT"); /* the group twice, under two numbers */
    c3d_parameter(&f, 1, "FRAMES", 2, 1, 0, 0, "", 0);
    c3d_parameter_words(&f, 2, "FRAMES", (unsigned[]){7}, 1);
    c3d_parameter_words(&f, 9, "ORPHAN", (unsigned[]){8}, 1); /* a group that never comes */
    c3d_begin_data(&f);
    p = walk(&f, &notes);
    assert_true(swt_c3d_number(&value, &p, "POINT", "FRAMES", true));
    assert_close(value, 7, 0, "FRAMES");
    assert_int_equal(p.n_parameters, 3);
    done(&p, notes, &f);
}

static void more_than_127_groups_and_parameters_are_read(void **state)
{
    c3d_bytes f;
    swt_capture *notes;
    swt_c3d_parameters p;
    char name[16];
    double value;

    (void)state;
    begin(&f);
    for (int i = 1; i <= 128; i++) { /* the most that a signed byte can number */
        snprintf(name, sizeof name, "G%d", i);
        c3d_group(&f, i, name);
    }
    for (unsigned i = 0; i < 500; i++) {
        snprintf(name, sizeof name, "P%u", i);
        c3d_parameter_words(&f, 1 + (int)(i % 127), name, &i, 1);
    }
    c3d_begin_data(&f);
    p = walk(&f, &notes);
    assert_int_equal(p.n_groups, 128);
    assert_int_equal(p.n_parameters, 500);
    assert_true(swt_c3d_number(&value, &p, "G120", "P373", true));
    assert_close(value, 373, 0, "P373");
    done(&p, notes, &f);
}

static void empty_lists_hold_no_strings(void **state)
{
    static const struct {
        int n, a, b;
    } rows[] = {{2, 0, 5}, {2, 5, 0}, {2, 0, 0}, {1, 0, 0}};
    c3d_bytes f;
    swt_capture *notes;
    swt_c3d_parameters p;

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        begin(&f);
        c3d_group(&f, 1, "POINT");
        c3d_parameter(&f, 1, "LABELS", -1, rows[i].n, rows[i].a, rows[i].b, "", 0);
        c3d_begin_data(&f);
        p = walk(&f, &notes);
        assert_int_equal(swt_c3d_text_count(swt_c3d_find(&p, "POINT", "LABELS")), 0);
        assert_null(swt_c3d_find_part(&p, "POINT", "LABELS", 1));
        done(&p, notes, &f);
    }
}

static void one_damaged_parameter_costs_only_itself(void **state)
{
    static const struct {
        size_t at; /* after the start of its record */
        unsigned char byte;
    } rows[] = {{6, 3}, {6, 0}, {6, 0x80}, {7, 8}, {7, 200}, {8, 255}};
    c3d_bytes f;
    swt_capture *notes;
    swt_c3d_parameters p;

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        size_t record;
        double value;
        begin(&f);
        c3d_group(&f, 1, "G");
        record = f.size;
        c3d_parameter_words(&f, 1, "AB", (unsigned[]){1, 2}, 2); /* type at 6, dimensions from 7 */
        c3d_parameter_words(&f, 1, "CD", (unsigned[]){3}, 1);
        c3d_begin_data(&f);
        f.bytes[record + rows[i].at] = rows[i].byte;
        p = walk(&f, &notes);
        assert_null(swt_c3d_find(&p, "G", "AB"));
        assert_true(swt_c3d_number(&value, &p, "G", "CD", true));
        assert_int_equal(notes->n_warnings, 1);
        assert_non_null(strstr(notes->warning[0], "parameter AB at byte 522"));
        done(&p, notes, &f);
    }
}

static void a_walk_without_end_ends(void **state)
{
    enum { RECORDS = 70000 };
    c3d_bytes f;
    swt_capture *notes;
    swt_c3d_parameters p;

    (void)state;
    begin(&f);
    for (int i = 0; i < RECORDS; i++)
        c3d_group(&f, 1, "A");
    c3d_begin_data(&f);
    p = walk(&f, &notes);
    assert_int_equal(p.n_groups, 65536);
    assert_int_equal(notes->n_warnings, 1);
    done(&p, notes, &f);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(arrays_of_seven_dimensions_are_read),
        cmocka_unit_test(numbers_of_every_type_are_signed_or_unsigned_as_asked),
        cmocka_unit_test(a_repeated_parameter_counts_where_it_holds_data),
        cmocka_unit_test(more_than_127_groups_and_parameters_are_read),
        cmocka_unit_test(empty_lists_hold_no_strings),
        cmocka_unit_test(one_damaged_parameter_costs_only_itself),
        cmocka_unit_test(a_walk_without_end_ends),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
