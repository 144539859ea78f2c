/* Pages: text stays text, pictures come along, words are right for small numbers. */
#include "io/report/html.h"
#include "io/report/words.h"
#include "tests/support/support.h"

#include <locale.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static void markup_in_text_is_shown_not_obeyed(void **state)
{
    static const struct {
        const char *text, *page;
    } rows[] = {
        {"plain P07", "plain P07"},
        {"<script>alert(1)</script>", "&lt;script&gt;alert(1)&lt;/script&gt;"},
        {"\" onload='x' &amp;", "&quot; onload=&#39;x&#39; &amp;amp;"},
        {"M\xc3\xbcller", "M\xc3\xbcller"},
        {"\xff\x01", "? "},
        {"", ""},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        swt_text page = {0};
        swt_html_text(&page, rows[i].text);
        assert_string_equal(page.bytes ? page.bytes : "", rows[i].page);
        swt_text_reset(&page);
    }
}

static void a_page_asks_for_nothing_from_outside(void **state)
{
    swt_text page = {0};

    (void)state;
    swt_html_begin(&page, "A </title><b>");
    swt_html_end(&page);
    assert_non_null(strstr(page.bytes, "<title>A &lt;/title&gt;&lt;b&gt;</title>"));
    assert_non_null(strstr(page.bytes, "default-src 'none'"));
    assert_non_null(strstr(page.bytes, "name=\"viewport\""));
    assert_non_null(strstr(page.bytes, "lang=\"en\""));
    assert_null(strstr(page.bytes, "http://"));
    assert_null(strstr(page.bytes, "https://"));
    swt_text_reset(&page);
}

/* RFC 4648, section 10: "foobar" is "Zm9vYmFy", "foob" is "Zm9vYg==". */
static void a_picture_becomes_part_of_the_page(void **state)
{
    char path[64] = "/tmp/swathe-html-XXXXXX";
    int fd = mkstemp(path);
    swt_text page = {0};
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    assert_true(fd >= 0);
    assert_int_equal(write(fd, "foob", 4), 4);
    close(fd);
    assert_int_equal(swt_html_figure(&page, path, "a \"b\"", NULL, &err), SWT_OK);
    assert_non_null(
        strstr(page.bytes, "src=\"data:image/svg+xml;base64,Zm9vYg==\" alt=\"a &quot;b&quot;\""));
    swt_text_reset(&page);
    unlink(path);
    assert_int_equal(swt_html_figure(&page, path, "", NULL, &err), SWT_EIO);
    assert_int_equal(page.length, 0);
}

static void file_names_hold_no_path(void **state)
{
    char out[48];

    (void)state;
    assert_string_equal(swt_html_slug(out, sizeof out, "../../etc/passwd"), "etc-passwd");
    assert_string_equal(swt_html_slug(out, sizeof out, "P 07 (left)"), "p-07-left");
    assert_string_equal(swt_html_slug(out, sizeof out, "\xc3\xbc\xc3\xbc"), "x");
    assert_string_equal(swt_html_slug(out, sizeof out, ""), "x");
}

static void small_numbers_are_said_rightly(void **state)
{
    char out[96];
    double event_s[SWT_EVENT_COUNT];

    (void)state;
    assert_string_equal(swt_words_swings(out, sizeof out, 1, 1), "in the only swing");
    assert_string_equal(swt_words_swings(out, sizeof out, 2, 2), "in both swings");
    assert_string_equal(swt_words_swings(out, sizeof out, 1, 2), "in 1 of 2 swings");
    assert_string_equal(swt_words_swings(out, sizeof out, 3, 3), "in all 3 swings");
    assert_string_equal(swt_words_share(out, sizeof out, 3, 5), "3 of 5");
    assert_string_equal(swt_words_share(out, sizeof out, 19, 20), "19 of 20 (95 %)");
    assert_string_equal(swt_words_count(out, sizeof out, 1, "player", "players"), "1 player");
    assert_string_equal(swt_words_value(out, sizeof out, SWT_LENGTH, 0.0644), "64 mm");
    assert_string_equal(swt_words_value(out, sizeof out, SWT_LENGTH, -0.0004), "0 mm");
    assert_string_equal(swt_words_value(out, sizeof out, SWT_ANGLE, SWT_RADIANS(-12.34)),
                        "-12.3 deg");
    assert_string_equal(swt_words_amount(out, sizeof out, SWT_LENGTH, -0.0644), "64 mm");
    assert_string_equal(swt_words_value(out, sizeof out, SWT_FRACTION, 0.5), "0.50");
    assert_string_equal(swt_words_value(out, sizeof out, SWT_SPEED, nan("")), "-");
    for (int e = 0; e < SWT_EVENT_COUNT; e++)
        event_s[e] = nan("");
    event_s[SWT_EVENT_TAKEAWAY] = 0;
    event_s[SWT_EVENT_CLUB_TOP] = 0.8;
    event_s[SWT_EVENT_IMPACT] = 1.05;
    assert_string_equal(swt_words_moment(out, sizeof out, event_s, 0.81), "at club top");
    assert_string_equal(swt_words_moment(out, sizeof out, event_s, 0.9),
                        "between club top and impact");
    assert_string_equal(swt_words_moment(out, sizeof out, event_s, 1.5), "after impact");
    event_s[SWT_EVENT_SHAFT_LEVEL_BACKSWING] = 0.3;
    event_s[SWT_EVENT_LEAD_ARM_LEVEL_BACKSWING] = 0.5;
    event_s[SWT_EVENT_LEAD_ARM_LEVEL_DOWNSWING] = 0.9;
    assert_string_equal(swt_words_moment(out, sizeof out, event_s, 0.4),
                        "between shaft level and lead arm level in the backswing");
    event_s[SWT_EVENT_CLUB_TOP] = nan("");
    assert_string_equal(
        swt_words_moment(out, sizeof out, event_s, 0.7),
        "between lead arm level in the backswing and lead arm level in the downswing");
}

static void every_series_has_its_words(void **state)
{
    (void)state;
    for (int s = 0; s < SWT_SERIES_COUNT; s++) {
        const swt_series_words *w = swt_series_describe_in_words((swt_series)s);
        assert_non_null(w->subject);
        assert_non_null(w->more);
        assert_non_null(w->less);
    }
    for (int e = 0; e < SWT_EVENT_COUNT; e++)
        assert_non_null(swt_event_phrase((swt_event)e));
}

static void a_decimal_comma_stays_out(void **state)
{
    swt_text text = {0};

    (void)state;
    if (!setlocale(LC_NUMERIC, "de_DE.UTF-8"))
        print_message("no locale with a decimal comma here: only the point is tested\n");
    swt_text_add(&text, "%.2f", 1.5);
    setlocale(LC_NUMERIC, "C");
    assert_string_equal(text.bytes, "1.50");
    swt_text_reset(&text);
}

static void long_text_grows(void **state)
{
    swt_text text = {0};
    char *long_one = malloc(20001);

    (void)state;
    assert_non_null(long_one);
    memset(long_one, 'x', 20000);
    long_one[20000] = '\0';
    for (int i = 0; i < 3; i++)
        swt_text_add(&text, "%s|", long_one);
    assert_int_equal(text.length, 60003);
    assert_int_equal(strlen(text.bytes), 60003);
    assert_int_equal(text.bytes[20000], '|');
    swt_text_reset(&text);
    free(long_one);
}

static void bytes_become_base64(void **state)
{
    /* RFC 4648, section 10 */
    static const char *const rows[][2] = {{"", ""},
                                          {"f", "Zg=="},
                                          {"fo", "Zm8="},
                                          {"foo", "Zm9v"},
                                          {"foob", "Zm9vYg=="},
                                          {"fooba", "Zm9vYmE="},
                                          {"foobar", "Zm9vYmFy"}};
    static const char zeros[10000];
    swt_text text = {0};

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        swt_text_add(&text, "|");
        swt_text_put_base64(&text, rows[i][0], strlen(rows[i][0]));
        assert_string_equal(strrchr(text.bytes, '|') + 1, rows[i][1]);
    }
    swt_text_reset(&text);
    swt_text_put_base64(&text, zeros, sizeof zeros); /* of 24 zero bits each, and 8 left over */
    assert_int_equal(text.length, 13336);
    assert_int_equal(strspn(text.bytes, "A"), 13334);
    assert_string_equal(text.bytes + 13334, "==");
    swt_text_reset(&text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(markup_in_text_is_shown_not_obeyed),
        cmocka_unit_test(a_page_asks_for_nothing_from_outside),
        cmocka_unit_test(a_picture_becomes_part_of_the_page),
        cmocka_unit_test(file_names_hold_no_path),
        cmocka_unit_test(small_numbers_are_said_rightly),
        cmocka_unit_test(every_series_has_its_words),
        cmocka_unit_test(a_decimal_comma_stays_out),
        cmocka_unit_test(long_text_grows),
        cmocka_unit_test(bytes_become_base64),
    };
    return cmocka_run_group_tests_name("html", tests, NULL, NULL);
}
