/* Text to number: one grammar in every locale. */
#include "base/numtext.h"
#include "tests/support/support.h"

#include <locale.h>
#include <string.h>

static void reads_what_is_a_number(void **state)
{
    static const struct {
        const char *text;
        char mark;
        double value;
    } rows[] = {{"1.5", '.', 1.5}, {" -2e3 ", '.', -2000}, {"+.25", '.', 0.25},
                {"1,5", ',', 1.5}, {"7.", '.', 7},         {"1E-3", '.', 0.001}};
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double value = 99;
        assert_true(swt_parse_double(&value, rows[i].text, strlen(rows[i].text), rows[i].mark));
        assert_close(value, rows[i].value, 0, rows[i].text);
    }
}

static void refuses_what_is_not(void **state)
{
    static const char *const rows[] = {"",    " ",  "1,5", "1.5mm", "0x10", "inf",
                                       "nan", "1e", "--1", "1 2",   "."};
    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        double value = 99;
        if (swt_parse_double(&value, rows[i], strlen(rows[i]), '.'))
            fail_msg("\"%s\" was read as %g", rows[i], value);
        assert_close(value, 99, 0, "untouched");
    }
}

static void knows_missing_spellings(void **state)
{
    (void)state;
    assert_true(swt_text_is_missing("  ", 2));
    assert_true(swt_text_is_missing("NaN", 3));
    assert_true(swt_text_is_missing("n/a", 3));
    assert_false(swt_text_is_missing("0", 1));
    assert_false(swt_text_is_missing("nano", 4));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_what_is_a_number),
        cmocka_unit_test(refuses_what_is_not),
        cmocka_unit_test(knows_missing_spellings),
    };
    setlocale(LC_ALL, "");
    return cmocka_run_group_tests(tests, NULL, NULL);
}
