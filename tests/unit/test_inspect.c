/* What `inspect` says of a capture: the summary against counts by hand, and its three forms. */
#include "io/capture/inspect.h"
#include "io/capture/point_summary.h"
#include "io/json.h"
#include "io/text.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Ten frames, two points. A is absent in frames 0, 1 (residual), 4 (NaN), 7 to 9 (zeros). */
static swt_capture *made_up(void)
{
    swt_capture *c = swt_capture_new(10, 2);

    assert_non_null(c);
    c->residual = calloc(20, sizeof *c->residual);
    assert_non_null(c->residual);
    for (size_t f = 0; f < 10; f++)
        for (size_t p = 0; p < 2; p++)
            for (size_t k = 0; k < 3; k++)
                c->xyz[3 * (2 * f + p) + k] = p == 0 && f >= 7 ? 0 : 10.0 * (double)(f + k) - 5;
    c->residual[0] = c->residual[2] = -1;
    c->xyz[3 * 8 + 1] = nan("");
    c->rate_hz = 200;
    c->first_frame = 11;
    assert_int_equal(swt_string_set(&c->label[0], "Kn\303\266chel \"li\"", NULL), SWT_OK);
    assert_int_equal(swt_string_set(&c->label[1], "B\033[31m,", NULL), SWT_OK);
    assert_int_equal(swt_string_set(&c->unit, "mm", NULL), SWT_OK);
    assert_int_equal(swt_string_set(&c->format, "made in a test", NULL), SWT_OK);
    assert_int_equal(swt_capture_add_event(c, "impact", "General", 0.025, NULL), SWT_OK);
    swt_capture_warn(c, "made up");
    return c;
}

static char *printed(const swt_capture *c, swt_inspect_form form)
{
    FILE *stream = tmpfile();
    long size;
    char *text;

    assert_non_null(stream);
    swt_inspect_begin(stream, form);
    assert_int_equal(swt_inspect_print(stream, c, "a/\"b\".c3d", form, NULL), SWT_OK);
    size = ftell(stream);
    rewind(stream);
    text = calloc((size_t)size + 1, 1);
    assert_non_null(text);
    assert_int_equal(fread(text, 1, (size_t)size, stream), size);
    fclose(stream);
    return text;
}

static void points_are_counted_as_by_hand(void **state)
{
    swt_capture *c = made_up();
    swt_point_summary s[2];

    (void)state;
    swt_point_summaries(s, c);
    assert_int_equal(s[0].n_present, 4); /* frames 2, 3, 5, 6 */
    assert_int_equal(s[0].longest_gap, 3);
    assert_close(s[0].low[0], 15, 0, "x at frame 2");
    assert_close(s[0].high[2], 75, 0, "z at frame 6");
    assert_int_equal(s[1].n_present, 10);
    assert_int_equal(s[1].longest_gap, 0);
    for (size_t i = 0; i < 20; i++)
        c->residual[i] = -1; /* all of them: then they mean nothing */
    swt_point_summaries(s, c);
    assert_int_equal(s[0].n_present, 6);
    assert_int_equal(s[1].n_present, 10);
    swt_capture_free(c);
}

static void the_text_is_aligned_and_safe_for_a_terminal(void **state)
{
    swt_capture *c = made_up();
    char *text = printed(c, SWT_INSPECT_TEXT);
    const char *head = strstr(text, "  present"), *first, *second, *line;

    (void)state;
    assert_non_null(strstr(text, "10 (numbers 11 to 20), 200 Hz, 0.050 s"));
    assert_non_null(strstr(text, "impact (General)"));
    assert_non_null(strstr(text, "made up"));
    assert_null(strchr(text, '\033'));
    assert_non_null(head);
    first = strstr(text, " 40.0%");
    second = strstr(text, "100.0%");
    assert_true(first && second);
    /* The columns line up although the first label has more bytes than letters. */
    for (line = first; line[-1] != '\n'; line--)
        ;
    {
        char part[128] = {0};
        size_t to_first, to_second;
        memcpy(part, line, (size_t)(first - line));
        to_first = swt_text_width(part);
        for (line = second; line[-1] != '\n'; line--)
            ;
        to_second = (size_t)(second - line);
        assert_int_equal(to_first, to_second);
    }
    free(text);
    swt_capture_free(c);
}

static void json_is_one_line_and_escaped(void **state)
{
    swt_capture *c = made_up();
    char *text = printed(c, SWT_INSPECT_JSON);

    (void)state;
    assert_ptr_equal(strchr(text, '\n'), text + strlen(text) - 1);
    assert_non_null(strstr(text, "\"file\": \"a/\\\"b\\\".c3d\""));
    assert_non_null(strstr(text, "\"label\": \"Kn\303\266chel \\\"li\\\"\""));
    assert_non_null(strstr(text, "\"B\\u001b[31m,\""));
    assert_non_null(strstr(text, "\"frames_present\": 4, \"fraction_present\": 0.4, "
                                 "\"longest_gap_frames\": 3, \"low\": [15, 25, 35]"));
    assert_non_null(strstr(text, "\"warnings\": [\"made up\"]"));
    free(text);
    swt_capture_free(c);
}

static void csv_has_a_row_a_point(void **state)
{
    swt_capture *c = made_up();
    char *text = printed(c, SWT_INSPECT_CSV);
    size_t lines = 0;

    (void)state;
    for (const char *p = text; *p; p++)
        lines += *p == '\n';
    assert_int_equal(lines, 3);
    assert_non_null(
        strstr(text, "\"Kn\303\266chel \"\"li\"\"\",,position,10,200,mm,4,0.4,3,15,55,"));
    free(text);
    swt_capture_free(c);
}

static void json_strings_survive_any_bytes(void **state)
{
    FILE *stream = tmpfile();
    char text[128] = {0};

    (void)state;
    assert_non_null(stream);
    swt_json_string(stream, "\\ \t \xff \xe2\x82\xac \xe2\x82");
    swt_json_number(stream, nan(""));
    swt_json_number(stream, 0.1);
    rewind(stream);
    assert_true(fread(text, 1, sizeof text - 1, stream) > 0);
    fclose(stream);
    assert_string_equal(text, "\"\\\\ \\u0009 \\ufffd \xe2\x82\xac \\ufffd\\ufffd\"null0.1");
}

static void widths_follow_letters_not_bytes(void **state)
{
    (void)state;
    assert_int_equal(swt_text_width("abc"), 3);
    assert_int_equal(swt_text_width("Kn\303\266chel"), 7);
    assert_int_equal(swt_text_width("e\314\201"), 1);    /* combining accent */
    assert_int_equal(swt_text_width("\346\211\213"), 2); /* a wide character */
    assert_int_equal(swt_text_width("\xff\xfe"), 2);
    assert_false(swt_text_is_utf8("\xc0\x80", 2));     /* overlong */
    assert_false(swt_text_is_utf8("\xed\xa0\x80", 3)); /* surrogate */
    assert_true(swt_text_is_utf8("\xf4\x8f\xbf\xbf", 4));
    assert_false(swt_text_is_utf8("\xf4\x90\x80\x80", 4)); /* beyond U+10FFFF */
}

static void excerpts_are_whole_characters_without_control(void **state)
{
    char out[SWT_EXCERPT];

    (void)state;
    assert_string_equal(swt_text_excerpt(out, "abc", 3), "abc");
    assert_string_equal(swt_text_excerpt(out, "a\033b\xff\302\205\303\266", 8), "a?b??\303\266");
    assert_string_equal(
        swt_text_excerpt(out, "1234567890123456789012345678901234567890123\303\266\303\266", 47),
        "1234567890123456789012345678901234567890123...");
    assert_string_equal(swt_text_excerpt(out, "", 0), "");
    {
        char stray[100];
        memset(stray, 0xff, sizeof stray);
        assert_int_equal(strlen(swt_text_excerpt(out, stray, sizeof stray)), SWT_EXCERPT - 1);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(points_are_counted_as_by_hand),
        cmocka_unit_test(the_text_is_aligned_and_safe_for_a_terminal),
        cmocka_unit_test(json_is_one_line_and_escaped),
        cmocka_unit_test(csv_has_a_row_a_point),
        cmocka_unit_test(json_strings_survive_any_bytes),
        cmocka_unit_test(excerpts_are_whole_characters_without_control),
        cmocka_unit_test(widths_follow_letters_not_bytes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
