/* From a small invented study to its pages and pictures. */
#include "tests/unit/report_study.h"

#include "tests/support/support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static void clear_report(void)
{
    char command[160];

    snprintf(command, sizeof command, "rm -r '%s/out'", folder);
    assert_int_equal(system(command), 0);
}

static char *read_page(const char *name)
{
    char path[256];
    unsigned char *bytes;
    char *text;
    size_t size;

    snprintf(path, sizeof path, "%s/out/%s", folder, name);
    bytes = read_all(path, &size);
    if (!bytes)
        fail_msg("no page %s", path);
    text = calloc(size + 1, 1);
    assert_non_null(text);
    memcpy(text, bytes, size);
    free(bytes);
    return text;
}

static void assert_page_says(const char *page, const char *words)
{
    if (!strstr(page, words))
        fail_msg("the page lacks \"%s\"", words);
}

static void without_a_reference_swings_are_shown_alone(void **state)
{
    made *m = make_study(2);
    swt_assessment_options options;
    swt_assessment *a;
    swt_report_outcome outcome;
    swt_report_options report = {0};
    char out[128], *page;
    swt_text lead = {0};
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    swt_assessment_options_init(&options);
    if (swt_assessment_build(&a, m->study, &options, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    assert_int_equal(a->n_players, 5);
    assert_int_equal(player(a, "R0")->found.certainty, SWT_NOT_COMPARED);
    swt_report_lead(&lead, a, player(a, "R0"));
    assert_non_null(strstr(lead.bytes, "no reference group"));
    swt_text_reset(&lead);
    snprintf(out, sizeof out, "%s/out", folder);
    if (swt_report_write(&outcome, out, m->study, a, &report, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    assert_int_equal(outcome.n_pages, 7);
    if (outcome.figures_missing)
        fail_msg("%s", outcome.message);
    page = read_page("index.html");
    assert_page_says(page, "<td data-v=\"3\">3 swings</td>");
    assert_null(strstr(page, "First departure"));
    free(page);
    page = read_page("player-01-r0.html");
    assert_page_says(page, "no swing was found in the capture");
    assert_null(strstr(page, "Group&#39;s interval"));
    assert_null(strstr(page, "id=\"departures\""));
    assert_page_says(page, "Depth behind the toe line; height above the floor");
    free(page);
    clear_report();
    swt_assessment_free(a);
    drop(m);
}

static const char *const facts[] = {
    "Player D1 &lt;b&gt;&quot;x&quot;&lt;/b&gt;`id`", /* markup stays text */
    "The hands are deeper than in the group&#39;s corridor",
    "stands after allowing for all 4 measures",
    "16 players",
    "48 swings",
    "do not diagnose",
    "qualified clinician",
    "personal data",
    "no swing was found in the capture", /* why a measure is absent */
    "href=\"#def-backswing_time\"",
    "id=\"def-backswing_time\"",
    "ab12",
    "cd34",
    "swathe run &#39;&lt;sheet&gt;.csv&#39;",
    "swathe report --test",
    "cutoff_hz = 12",
};

static void pages_say_what_is_known(void **state)
{
    made *m = make_study(16);
    swt_assessment *a = assess(m);
    swt_report_options options = {.command = "swathe report --test"};
    swt_report_outcome outcome;
    char out[128], *page;
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    snprintf(out, sizeof out, "%s/out", folder);
    if (swt_report_write(&outcome, out, m->study, a, &options, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    assert_int_equal(outcome.n_pages, 6);
    assert_int_equal(outcome.n_earlier, 0);
    if (outcome.figures_missing)
        fail_msg("%s", outcome.message);
    page = read_page("player-02-d1-b-x-b-id.html");
    for (size_t i = 0; i < sizeof facts / sizeof *facts; i++)
        if (!strstr(page, facts[i]))
            fail_msg("the page lacks \"%s\"", facts[i]);
    assert_null(strstr(page, "<b>"));
    assert_non_null(strstr(page, "data:image/svg+xml;base64,"));
    assert_null(strstr(page, "<img src=\"figures"));
    free(page);
    page = read_page("index.html");
    assert_non_null(strstr(page, "href=\"player-02-d1-b-x-b-id.html\""));
    /* the sure departure first, the odd swing next, the clean player last */
    assert_true(strstr(page, "player-02-") < strstr(page, "player-03-"));
    assert_true(strstr(page, "player-03-") < strstr(page, "player-01-"));
    assert_non_null(strstr(page, "Nothing of note departs"));
    assert_page_says(page,
                     "3 sets of swings against the group &quot;tour&quot;: 1 with a departure "
                     "that stands; 2 with nothing of note in most swings.");
    assert_page_says(page, "half-width; 1 is the edge");
    free(page);
    page = read_page("group.html");
    assert_page_says(page, "16 players with 48 swings");
    assert_page_says(page, ">R15</th><td>right</td><td class=\"n\">3</td>");
    assert_page_says(page, "The group&#39;s corridor of hand depth: at lead arm level");
    assert_page_says(page, "href=\"#def-curve-hand_depth\"");
    free(page);
    page = read_page("study-quality.html");
    assert_non_null(strstr(page, "axes look &lt;mirrored&gt;"));
    free(page);
    clear_report();
    if (swt_report_draw_figures(out, m->study, a, SWT_PLOT_PNG, SWT_PLOT_PAGE, out, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    page = read_page("player-02-d1-b-x-b-id-hands-back.png");
    assert_memory_equal(page, "\x89PNG", 4);
    free(page);
    page = read_page("player-02-d1-b-x-b-id.gp");
    assert_non_null(strstr(page, "set terminal pngcairo noenhanced"));
    assert_null(strchr(page, '`'));
    free(page);
    clear_report();
    swt_assessment_free(a);
    drop(m);
}

static void leave(const char *out, const char *name)
{
    char path[256];
    FILE *page;

    snprintf(path, sizeof path, "%s/%s", out, name);
    page = fopen(path, "w");
    assert_non_null(page);
    fclose(page);
}

static void pages_stand_without_gnuplot(void **state)
{
    made *m = make_study(16);
    swt_assessment *a = assess(m);
    swt_report_options options = {0};
    swt_report_outcome outcome;
    char out[128], *page, *path = strdup(getenv("PATH"));
    swt_error err = SWT_ERROR_INIT;
    swt_status rc;

    (void)state;
    snprintf(out, sizeof out, "%s/out", folder);
    assert_int_equal(mkdir(out, 0700), 0);
    leave(out, "progress-04-p4.html");
    leave(out, "player-09-p9.html"); /* of an earlier report */
    leave(out, "notes.html");        /* somebody's own       */
    setenv("PATH", folder, 1);
    rc = swt_report_write(&outcome, out, m->study, a, &options, &err);
    setenv("PATH", path, 1);
    free(path);
    assert_int_equal(rc, SWT_OK);
    assert_true(outcome.figures_missing);
    assert_non_null(strstr(outcome.message, "gnuplot was not found"));
    page = read_page("player-02-d1-b-x-b-id.html");
    assert_non_null(strstr(page, "There are no figures on this page: gnuplot was not found"));
    assert_non_null(strstr(page, "The hands are deeper"));
    free(page);
    assert_int_equal(outcome.n_earlier, 2);
    assert_string_equal(outcome.earlier, "player-09-p9.html");
    clear_report();
    swt_assessment_free(a);
    drop(m);
}

static void write_report(const made *m, const swt_assessment *a)
{
    char out[128];
    const swt_report_options options = {.keep_script = out};
    swt_report_outcome outcome;
    swt_error err = SWT_ERROR_INIT;

    snprintf(out, sizeof out, "%s/out", folder);
    if (swt_report_write(&outcome, out, m->study, a, &options, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    if (outcome.figures_missing)
        fail_msg("%s", outcome.message);
}

/* No registered backswing, but samples: takeaway at 0.2 s, club top at 1.0 s. In the middle, 0.6 s,
 * is registered sample 20 of the hidden curve: depth -50 + 2 + 400 sin(pi 20 / 100) mm. */
static void a_path_without_a_curve_comes_from_samples(void **state)
{
    made *m = make_study(16);
    swt_assessment *a;
    char *page, *at, *second, words[64];

    (void)state;
    hide(m, m->n - 9, 3, SWT_EVENT_LEAD_ARM_LEVEL_BACKSWING);
    rewrite(m);
    a = assess(m);
    write_report(m, a);
    page = read_page("player-01-c1.html");
    assert_page_says(page, "drawn from the samples in plain time, so not compared with the "
                           "group&#39;s corridor here");
    assert_page_says(page, "no registered curve between takeaway and club top (lead arm level, "
                           "backswing: marker samples are missing at this moment)");
    assert_page_says(page, "No curve between takeaway and club top (");
    assert_page_says(page, "What could not be compared");
    assert_page_says(page, "<strong>Not between takeaway and club top (lead arm level, backswing: "
                           "marker samples are missing at this moment):</strong> hands along");
    assert_page_says(page,
                     "; lead arm level, backswing (marker samples are missing at this moment)");
    free(page);
    page = read_page("player-01-c1.gp");
    second = strstr(page, "Hands, downswing, seen along the target line");
    assert_non_null(second);
    *second = '\0';                             /* the first picture alone */
    assert_page_says(page, "\n-48.00 701.00 "); /* takeaway, marked */
    snprintf(words, sizeof words, "\n%.2f", -50 + 2 + 400 * sin(SWT_PI * 20 / 100));
    at = strstr(page, words);
    if (!at)
        fail_msg("no point of the path begins with %s", words);
    free(page);
    clear_report();
    swt_assessment_free(a);
    drop(m);
}

static void remark(made *m, size_t capture, swt_severity severity, const char *code)
{
    swt_findings_add(&m->facts[capture].findings, severity, code, "text of %s", code);
}

/* Six captures with the same fault, one with a caution, all with a note. */
static void findings_are_told_by_kind_the_gravest_first(void **state)
{
    made *m = make_study(16);
    swt_assessment *a;
    char *page, *list, *at;

    (void)state;
    for (size_t i = 0; i < m->n; i++)
        remark(m, i, SWT_NOTE, "unit");
    for (size_t i = 10; i < 16; i++)
        remark(m, i, SWT_SERIOUS, "rate");
    remark(m, 20, SWT_CAUTION, "gap");
    remark(m, m->n - 9, SWT_SERIOUS, "rate"); /* C1's first */
    rewrite(m);
    a = assess(m);
    write_report(m, a);
    page = read_page("study-quality.html");
    assert_page_says(page, "57 captures: every one gave a swing, 7 of them in serious doubt.");
    assert_page_says(page,
                     "In 7 captures:</strong> text of rate <span class=\"soft\">(capture_10.c3d, "
                     "capture_11.c3d, capture_12.c3d, capture_13.c3d and 3 more)");
    assert_page_says(page, "In 1 capture:</strong> text of gap");
    assert_page_says(page, "In 57 captures:</strong> text of unit");
    assert_true(strstr(page, "text of rate") < strstr(page, "text of gap"));
    assert_true(strstr(page, "text of gap") < strstr(page, "text of unit"));
    list = strstr(page, "Captures to look at");
    assert_non_null(list);
    /* neighbours of which the same is said, under their names */
    assert_page_says(list, "<h3>capture_10.c3d, capture_11.c3d, capture_12.c3d, capture_13.c3d, "
                           "capture_14.c3d, capture_15.c3d</h3>");
    assert_page_says(list, "<h3>capture_20.c3d</h3>");
    assert_null(strstr(list, "<h3>capture_1.c3d")); /* notes alone */
    assert_null(strstr(list, "text of unit"));
    free(page);
    page = read_page("player-01-c1.html");
    at = strstr(page, "Do not rely on this page yet");
    assert_non_null(at);
    assert_true(at < strstr(page, "No measure leaves"));
    free(page);
    page = read_page("player-03-e1.html");
    assert_null(strstr(page, "Do not rely on this page yet"));
    /* the same remarks of three captures once, under their three names */
    at = strstr(page, "id=\"quality\"");
    assert_non_null(at);
    assert_page_says(at, "<h3>capture_54.c3d, capture_55.c3d, capture_56.c3d</h3>");
    at = strstr(at, "text of unit");
    assert_non_null(at);
    assert_null(strstr(at + 1, "text of unit"));
    free(page);
    page = read_page("index.html");
    assert_page_says(page, "<strong>(capture in doubt)</strong>");
    assert_page_says(page, "The captures of 1 set are in doubt");
    free(page);
    clear_report();
    swt_assessment_free(a);
    drop(m);
}

static void sets_of_one_player_are_linked(void **state)
{
    made *m = make_study(16);
    swt_assessment *a;
    char *page;

    (void)state;
    m->trial[m->n - 9].session = (char *)"1"; /* C1 */
    m->trial[m->n - 8].session = m->trial[m->n - 7].session = (char *)"2";
    rewrite(m);
    a = assess(m);
    write_report(m, a);
    page = read_page("player-01-c1-session-1.html");
    assert_page_says(page,
                     "Other swings of C1: <a href=\"player-02-c1-session-2.html\">session 2</a>.");
    free(page);
    page = read_page("player-02-c1-session-2.html");
    assert_page_says(page,
                     "Other swings of C1: <a href=\"player-01-c1-session-1.html\">session 1</a>.");
    assert_page_says(page, "Over sessions: <a href=\"progress-01-c1.html\">");
    free(page);
    page = read_page("player-04-e1.html");
    assert_null(strstr(page, "Other swings of"));
    assert_null(strstr(page, "Over sessions"));
    free(page);
    page = read_page("progress-01-c1.html");
    assert_page_says(page, "changed from session 1 to session 2");
    assert_page_says(page, "href=\"player-02-c1-session-2.html\"");
    assert_page_says(page, "1.96 SEM sqrt(1/n1 + 1/n2)");
    free(page);
    page = read_page("index.html");
    assert_page_says(page, "<a href=\"progress-01-c1.html\">C1</a>");
    free(page);
    clear_report();
    swt_assessment_free(a);
    drop(m);
}

/* What departs first is followed to the last session: still there, or gone. */
static void the_first_departure_is_followed_over_sessions(void **state)
{
    made *m = make_study(16);
    swt_assessment *a;
    swt_swing *clean = m->swing[m->n - 3];
    char *page;

    (void)state;
    m->trial[m->n - 6].session = m->trial[m->n - 5].session = (char *)"1"; /* the deep player */
    m->trial[m->n - 4].session = (char *)"2";
    m->swing[m->n - 3] = m->swing[m->n - 2]; /* E1: the deep swing first, alone */
    m->swing[m->n - 2] = clean;
    m->trial[m->n - 3].session = (char *)"1";
    m->trial[m->n - 2].session = m->trial[m->n - 1].session = (char *)"2";
    rewrite(m);
    a = assess(m);
    write_report(m, a);
    page = read_page("progress-01-d1-b-x-b-id.html");
    assert_page_says(page, "What departs first in session 1 (the hands are deeper, by up "
                           "to ");
    assert_page_says(page, ", in both swings) is still seen in session 2: beyond the "
                           "edge by up to ");
    assert_page_says(page, "in the only swing.");
    free(page);
    page = read_page("progress-02-e1.html");
    assert_page_says(page, ", in the only swing) stays inside the group&#39;s corridor in every "
                           "swing of session 2.");
    free(page);
    clear_report();
    swt_assessment_free(a);
    drop(m);
}

/* Gives a measure to every swing: 10 mm apart between players, the deep one's 200 mm. */
static void set_measure(made *m, const char *name)
{
    long row = swt_measure_find(name);

    assert_true(row >= 0);
    for (size_t i = 0; i < m->n; i++)
        m->swing[i]->measure[row] = (swt_measurement){
            strcmp(m->trial[i].player, deep_code) == 0 ? 0.2 : -0.05 + 0.01 * (double)(i / 3 % 5),
            0.001, swt_usable()};
}

static void the_hands_are_told_at_three_moments(void **state)
{
    made *m = make_study(16);
    swt_assessment *a;
    const swt_corridor *c;
    char *page, words[300];

    (void)state;
    set_measure(m, "hand_depth_at_takeaway");
    set_measure(m, "hand_depth_at_shaft_level_backswing");
    m->swing[m->n - 9]->event[SWT_EVENT_CLUB_TOP] =
        (swt_event_time){nan(""), nan(""), swt_absent(SWT_REASON_NOT_REACHED, 0)};
    rewrite(m);
    a = assess(m);
    write_report(m, a);
    c = a->compared[swt_compared_find(
                        a, false, (size_t)swt_measure_find("hand_depth_at_shaft_level_backswing"))]
            .corridor;
    page = read_page("player-02-d1-b-x-b-id.html");
    snprintf(words, sizeof words,
             "Depth behind the toe line</th><td><strong>200</strong><strong>, deeper in 3 of "
             "3</strong><br><span class=\"soft\">%.0f to %.0f</span></td><td>-</td>",
             1000 * c->lower[0], 1000 * c->upper[0]);
    assert_page_says(page, words);
    assert_page_says(page, "where the hands are 200 mm behind the toe line.");
    assert_true(strstr(page, "id=\"hands\"") < strstr(page, "id=\"evidence\""));
    free(page);
    page = read_page("player-01-c1.html");
    assert_page_says(page, "At club top: not reached in this swing.");
    free(page);
    clear_report();
    swt_assessment_free(a);
    drop(m);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_a_reference_swings_are_shown_alone),
        cmocka_unit_test(pages_say_what_is_known),
        cmocka_unit_test(pages_stand_without_gnuplot),
        cmocka_unit_test(a_path_without_a_curve_comes_from_samples),
        cmocka_unit_test(findings_are_told_by_kind_the_gravest_first),
        cmocka_unit_test(sets_of_one_player_are_linked),
        cmocka_unit_test(the_hands_are_told_at_three_moments),
        cmocka_unit_test(the_first_departure_is_followed_over_sessions),
    };
    return cmocka_run_group_tests_name("report_pages", tests, make_folder, remove_folder);
}
