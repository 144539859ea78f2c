/* One measure of chosen swings as a figure: what its script draws. */
#include "io/report/plot.h"

#include "tests/support/support.h"
#include "tests/unit/report_study.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char *script_of(const made *m, const swt_assessment *a, const swt_plot_request *request,
                       swt_status want)
{
    char path[160], script[160], *text;
    unsigned char *bytes;
    size_t size;
    swt_error err = SWT_ERROR_INIT;

    snprintf(path, sizeof path, "%s/plot.svg", folder);
    snprintf(script, sizeof script, "%s/plot.gp", folder);
    if (swt_report_plot(path, m->study, a, request, script, &err) != want)
        fail_msg("%s", err.msg);
    if (want != SWT_OK)
        return NULL;
    assert_int_equal(access(path, R_OK), 0);
    bytes = read_all(script, &size);
    assert_non_null(bytes);
    text = calloc(size + 1, 1);
    assert_non_null(text);
    memcpy(text, bytes, size);
    free(bytes);
    unlink(path);
    unlink(script);
    return text;
}

static void assert_has(const char *script, const char *words)
{
    if (!strstr(script, words))
        fail_msg("the script lacks \"%s\"", words);
}

/* The deep player's three swings: a curve each, their median, the group's band behind. */
static void a_curve_of_chosen_swings(void **state)
{
    made *m = make_study(16);
    swt_assessment *a = assess(m);
    bool *chosen = calloc(m->study->n_swings, sizeof *chosen);
    swt_plot_request request = {
        .measure = "hand_depth", .selection = "player = D1", .chosen = chosen};
    char *script;

    (void)state;
    assert_non_null(chosen);
    script = script_of(m, a, &request, SWT_EDATA); /* nothing chosen */
    for (size_t i = 0; i < m->study->n_swings; i++)
        chosen[i] = strcmp(m->study->swing[i].player, deep_code) == 0;
    script = script_of(m, a, &request, SWT_OK);
    assert_has(script, "Swings with player = D1: 3 swings, 1 player");
    assert_has(script, "Group tour: 16 players, 48 swings, 95 ");
    assert_has(script, "hand depth (mm)");
    free(script);
    request.measure = "dance";
    script_of(m, a, &request, SWT_EARG);
    free(chosen);
    swt_assessment_free(a);
    drop(m);
}

/* All 57 swings of 19 players: a row each. */
static void a_number_gets_a_row_for_each_player(void **state)
{
    made *m = make_study(16);
    swt_assessment *a = assess(m);
    const swt_plot_request request = {.measure = "backswing_time"};
    char *script = script_of(m, a, &request, SWT_OK);

    (void)state;
    assert_has(script, "backswing time (s)");
    assert_has(script, "All swings: 57 swings, 19 players");
    assert_has(script, "\"R0\" 19");
    assert_has(script, "\"E1\" 1)");
    assert_has(script, "set object rectangle");  /* the group's interval */
    assert_has(script, " interval\" at screen"); /* in the caption, no corridor */
    free(script);
    swt_assessment_free(a);
    drop(m);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_curve_of_chosen_swings),
        cmocka_unit_test(a_number_gets_a_row_for_each_player),
    };
    return cmocka_run_group_tests_name("plot", tests, make_folder, remove_folder);
}
