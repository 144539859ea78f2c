/* Which swings a text chooses, and what is said where it chooses none. */
#include "io/study/selection.h"
#include "tests/support/support.h"

#include <stdlib.h>
#include <string.h>

enum { N = 6 };

/* player, group, shot, handicap */
static char *const cell[N][4] = {
    {"A1", "tour", "full", "1.0"},    {"A1", "tour", "half", "1"},
    {"B2", "tour", "full", "5"},      {"C3", "club, best", "full", "12"},
    {"C3", "club, best", "full", ""}, {"D4", "club, best", "half", "n/a"}};

static swt_study invented(swt_study_swing *swing, swt_study_capture *capture, char **name)
{
    *capture = (swt_study_capture){.file = "a.c3d"};
    *name = "handicap";
    for (size_t i = 0; i < N; i++)
        swing[i] = (swt_study_swing){.player = cell[i][0],
                                     .session = "1",
                                     .group = cell[i][1],
                                     .club = "iron",
                                     .shot = cell[i][2],
                                     .covariate = (char **)&cell[i][3]};
    return (swt_study){.n_captures = 1,
                       .capture = capture,
                       .n_swings = N,
                       .swing = swing,
                       .n_covariates = 1,
                       .covariate_name = name};
}

static void conditions_choose_swings(void **state)
{
    static const struct {
        const char *text, *chosen;
    } rows[] = {
        {"group = tour", "111000"},
        {"group=tour,shot=full", "101000"},
        {"group = \"club, best\"", "000111"},
        {"player = A1 | C3", "110110"},
        {"player != A1|C3", "001001"},
        {"handicap <= 5", "111000"},
        {"handicap > 1, handicap < 12", "001000"},
        {"handicap = 1", "110000"}, /* 1 and 1.0 are one number */
        {"handicap = \"\"", "000010"},
        {"handicap != \"\"", "111101"},
        {"side = right, file = a.c3d, club = iron, session = 1", "111111"},
    };
    swt_study_swing swing[N];
    swt_study_capture capture;
    char *name;
    swt_study study = invented(swing, &capture, &name);
    (void)state;

    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        swt_selection *s = NULL;
        bool chosen[N];
        size_t n = 0, expected = 0;
        swt_error err = SWT_ERROR_INIT;
        if (swt_selection_parse(&s, rows[k].text, &err) != SWT_OK ||
            swt_selection_apply(chosen, &n, s, &study, &err) != SWT_OK)
            fail_msg("%s: %s", rows[k].text, err.msg);
        for (size_t i = 0; i < N; i++) {
            if (chosen[i] != (rows[k].chosen[i] == '1'))
                fail_msg("%s: swing %zu", rows[k].text, i);
            expected += rows[k].chosen[i] == '1';
        }
        assert_int_equal(n, expected);
        swt_selection_free(s);
    }
}

static void texts_that_say_nothing_are_refused(void **state)
{
    static const char *const texts[] = {"",
                                        "group",
                                        "group = ",
                                        "= tour",
                                        "group == tour",
                                        "a = b,",
                                        ",",
                                        "handicap <= five",
                                        "handicap < 1|2",
                                        "group = \"tour",
                                        "group = \"a\"b",
                                        "group = a\"b\"",
                                        "handicap <= 1,5"};
    (void)state;
    for (size_t k = 0; k < sizeof texts / sizeof *texts; k++) {
        swt_selection *s = (swt_selection *)&s;
        swt_error err = SWT_ERROR_INIT;
        if (swt_selection_parse(&s, texts[k], &err) != SWT_EARG)
            fail_msg("'%s' was taken", texts[k]);
        assert_null(s);
        assert_non_null(strstr(err.msg, "at character"));
    }
}

static void what_is_not_there_is_named(void **state)
{
    static const struct {
        const char *text;
        swt_status status;
        const char *said;
    } rows[] = {
        {"handycap < 3", SWT_EARG, "session, group, club, shot, side, file, handicap"},
        {"group = turo", SWT_EDATA, "its values: \"tour\", \"club, best\""},
        {"group = tour, handicap > 20", SWT_EDATA, "their values: \"1.0\", \"1\", \"5\""},
        {"handicap > 100", SWT_EDATA, "no swing of the study has handicap > \"100\""},
    };
    swt_study_swing swing[N];
    swt_study_capture capture;
    char *name;
    swt_study study = invented(swing, &capture, &name);
    (void)state;

    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        swt_selection *s = NULL;
        bool chosen[N];
        size_t n;
        swt_error err = SWT_ERROR_INIT;
        assert_int_equal(swt_selection_parse(&s, rows[k].text, &err), SWT_OK);
        assert_int_equal(swt_selection_apply(chosen, &n, s, &study, &err), rows[k].status);
        if (!strstr(err.msg, rows[k].said))
            fail_msg("%s: %s", rows[k].text, err.msg);
        swt_selection_free(s);
    }
}

static void a_value_comes_back_whatever_is_in_it(void **state)
{
    swt_study_swing swing[N];
    swt_study_capture capture;
    char *name, *text = swt_selection_text("group", "a \"b\", c|d", "shot = full");
    swt_study study = invented(swing, &capture, &name);
    swt_selection *s = NULL;
    bool chosen[N];
    size_t n;
    (void)state;

    swing[3].group = "a \"b\", c|d";
    assert_string_equal(text, "group = \"a \"\"b\"\", c|d\", shot = full");
    assert_int_equal(swt_selection_parse(&s, text, NULL), SWT_OK);
    assert_int_equal(swt_selection_apply(chosen, &n, s, &study, NULL), SWT_OK);
    assert_int_equal(n, 1);
    assert_true(chosen[3]);
    swt_selection_free(s);
    free(text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(conditions_choose_swings),
        cmocka_unit_test(texts_that_say_nothing_are_refused),
        cmocka_unit_test(what_is_not_there_is_named),
        cmocka_unit_test(a_value_comes_back_whatever_is_in_it),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
