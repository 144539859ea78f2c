/* From a small invented study to its pages: the right player, the right departure, the right words.
 *
 * The group's hands follow known curves with known spread; one assessed player is 60 mm deeper from
 * a known moment on, one is clean, one is that deep in one swing of three only. */
#include "io/report/report.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { N = SWT_CURVE_SAMPLES, SWINGS_MOST = 80, FRAMES = 4 };

static char folder[] = "/tmp/swathe-report-XXXXXX";

static const char deep_code[] = "D1 <b>\"x\"</b>`id`";

/* Events of every swing: takeaway 0.2 s after the first frame. */
static const double event_s[SWT_EVENT_COUNT] = {
    [SWT_EVENT_TAKEAWAY] = 0.2,
    [SWT_EVENT_SHAFT_LEVEL_BACKSWING] = 0.5,
    [SWT_EVENT_LEAD_ARM_LEVEL_BACKSWING] = 0.7,
    [SWT_EVENT_CLUB_TOP] = 1.0,
    [SWT_EVENT_LEAD_ARM_LEVEL_DOWNSWING] = 1.1,
    [SWT_EVENT_SHAFT_LEVEL_DOWNSWING] = 1.15,
    [SWT_EVENT_IMPACT] = 1.25,
    [SWT_EVENT_FINISH] = 1.9,
};

static void fill_curve(swt_swing *s, swt_series series, double base, double size, double shift,
                       double step, size_t from)
{
    s->curve[series] = malloc(N * sizeof(double));
    s->series[series] = calloc(FRAMES, sizeof(double));
    assert_non_null(s->curve[series]);
    s->series_verdict[series] = swt_usable();
    for (size_t i = 0; i < N; i++) {
        double rise = i >= from ? fmin(1, (double)(i - from + 1) / 4) : 0;
        s->curve[series][i] = base + size * sin(SWT_PI * (double)i / (N - 1)) + shift + step * rise;
    }
}

/* `shift_m`: the swing's own deviation in depth; `step_m` deeper from sample 10 on. */
static swt_swing *make_swing(double shift_m, double step_m)
{
    const bool present[SWT_LANDMARK_COUNT] = {[SWT_HEAD] = true};
    swt_swing *s = calloc(1, sizeof *s);

    assert_non_null(s);
    s->n_frames = FRAMES;
    s->rate_hz = 240;
    s->heel_depth_m = 0.26;
    for (int e = 0; e < SWT_EVENT_COUNT; e++)
        s->event[e] = event_s[e] > 0 ? (swt_event_time){event_s[e], nan(""), swt_usable()}
                                     : (swt_event_time){nan(""), nan(""),
                                                        swt_absent(SWT_REASON_NOT_REACHED, 0)};
    for (int p = 0; p < SWT_PHASES; p++)
        for (int i = 0; i <= SWT_PHASE_STEPS; i++) {
            double a = event_s[swt_phase_boundary[p]], b = event_s[swt_phase_boundary[p + 1]];
            s->curve_time_s[p * SWT_PHASE_STEPS + i] = a + (b - a) * i / SWT_PHASE_STEPS;
        }
    fill_curve(s, SWT_SERIES_HAND_DEPTH, -0.05, 0.4, shift_m, step_m, 10);
    fill_curve(s, SWT_SERIES_HAND_HEIGHT, 0.7, 1.0, shift_m / 2, 0, 0);
    fill_curve(s, SWT_SERIES_HAND_ALONG, 0, -0.4, shift_m / 3, 0, 0);
    s->measure = calloc(swt_measure_count(), sizeof *s->measure);
    assert_non_null(s->measure);
    for (size_t m = 0; m < swt_measure_count(); m++) {
        s->measure[m] = (swt_measurement){nan(""), nan(""), swt_absent(SWT_REASON_NO_SWING, 0)};
        if (strcmp(swt_measure_row(m)->name, "backswing_time") == 0)
            s->measure[m] = (swt_measurement){0.8 + shift_m, 0.001, swt_usable()};
    }
    assert_int_equal(swt_landmark_set_new(&s->body, FRAMES, 240, present, NULL), SWT_OK);
    return s;
}

typedef struct made {
    size_t n;
    swt_trial trial[SWINGS_MOST];
    swt_capture_facts facts[SWINGS_MOST];
    swt_swing *swing[SWINGS_MOST];
    swt_study_entry entry[SWINGS_MOST];
    char text[SWINGS_MOST][2][48];
    swt_study *study;
} made;

static void add(made *m, const char *player, const char *group, double shift_m, double step_m)
{
    size_t i = m->n++;
    swt_trial *t = &m->trial[i];

    assert_true(i < SWINGS_MOST);
    snprintf(m->text[i][0], sizeof m->text[i][0], "%s", player);
    snprintf(m->text[i][1], sizeof m->text[i][1], "capture_%zu.c3d", i);
    t->file = t->path = m->text[i][1];
    t->player = m->text[i][0];
    t->group = (char *)group;
    t->session = t->club = t->shot = t->static_path = t->map_path = (char *)"";
    m->facts[i].rate_hz = 240;
    m->facts[i].n_frames = FRAMES;
    m->swing[i] = make_swing(shift_m, step_m);
    m->entry[i] = (swt_study_entry){t, &m->facts[i], 1, &m->swing[i]};
}

/* Writes the swings as they are now and opens the study anew. */
static void rewrite(made *m)
{
    const swt_provenance provenance = {.version = "0.0-test",
                                       .command = "swathe run '<sheet>.csv'",
                                       .options = "cutoff_hz = 12",
                                       .sheet = "sheet.csv",
                                       .sheet_sha256 = "ab12",
                                       .map = "map.ini",
                                       .map_sha256 = "cd34",
                                       .covariates = ""};
    char path[128];
    swt_error err = SWT_ERROR_INIT;

    swt_study_close(m->study);
    snprintf(path, sizeof path, "%s/study.h5", folder);
    if (swt_study_write(path, m->entry, m->n, &provenance, &err) != SWT_OK ||
        swt_study_open(&m->study, path, &err) != SWT_OK)
        fail_msg("%s", err.msg);
}

/* `n_players` in the group with 3 swings each: 20 mm spread between, 4 mm within. */
static made *make_study(size_t n_players)
{
    made *m = calloc(1, sizeof *m);
    uint64_t seed = 7;
    char code[16];

    assert_non_null(m);
    for (size_t p = 0; p < n_players; p++) {
        double own = 0.02 * draw_normal(&seed);
        snprintf(code, sizeof code, "R%zu", p);
        for (int k = 0; k < 3; k++)
            add(m, code, "tour", own + 0.004 * draw_normal(&seed), 0);
    }
    for (int k = 0; k < 3; k++)
        add(m, "C1", "", 0.002 * k, 0);
    for (int k = 0; k < 3; k++)
        add(m, deep_code, "", 0.002 * k, 0.3);
    for (int k = 0; k < 3; k++)
        add(m, "E1", "", 0.002 * k, k == 1 ? 0.3 : 0);
    m->facts[0].findings.n = 1;
    snprintf(m->facts[0].findings.item[0].code, 40, "axes");
    snprintf(m->facts[0].findings.item[0].text, 280, "axes look <mirrored>");
    rewrite(m);
    return m;
}

static void drop(made *m)
{
    char path[128];

    swt_study_close(m->study);
    for (size_t i = 0; i < m->n; i++)
        swt_swing_free(m->swing[i]);
    free(m);
    snprintf(path, sizeof path, "%s/study.h5", folder);
    unlink(path);
}

static swt_assessment *assess(const made *m)
{
    swt_assessment_options options;
    swt_assessment *a;
    swt_error err = SWT_ERROR_INIT;

    swt_assessment_options_init(&options);
    options.group = "tour";
    options.corridor.n_resamples = 400;
    if (swt_assessment_build(&a, m->study, &options, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    return a;
}

static const swt_assessed_player *player(const swt_assessment *a, const char *code)
{
    for (size_t i = 0; i < a->n_players; i++)
        if (strcmp(a->player[i].code, code) == 0)
            return &a->player[i];
    fail_msg("no player %s", code);
    return NULL;
}

static void the_known_departure_is_found(void **state)
{
    made *m = make_study(16);
    swt_assessment *a = assess(m);
    const swt_assessed_player *deep = player(a, deep_code);
    const swt_player_departure *d = deep->departure;
    swt_text lead = {0};

    (void)state;
    assert_int_equal(a->n_reference_players, 16);
    assert_int_equal(a->n_reference, 48);
    assert_int_equal(a->n_players, 3);
    assert_int_equal(deep->certainty, SWT_STANDS);
    assert_true(a->compared[d->compared].is_series);
    assert_int_equal(a->compared[d->compared].index, SWT_SERIES_HAND_DEPTH);
    assert_int_equal(d->direction, 1);
    assert_int_equal(d->n_departing, 3);
    /* the step rises over samples 10 to 13 of 25 between takeaway and lead arm level, 0.5 s */
    assert_true(d->start_s > 9 * 0.02 && d->start_s < 13 * 0.02);
    /* all curves have one shape: the excess is the same all along, the middle swing's is told */
    assert_close(d->largest_excess,
                 -0.05 + 0.4 + 0.002 + 0.3 - a->compared[d->compared].corridor->upper[50], 1e-6,
                 "largest excess");
    swt_report_lead(&lead, a, deep);
    assert_non_null(
        strstr(lead.bytes, "The hands are deeper than in the group's corridor, by up to "));
    assert_non_null(strstr(lead.bytes, ", from 0."));
    assert_non_null(strstr(lead.bytes, "between takeaway and shaft level in the backswing"));
    assert_non_null(strstr(lead.bytes, "in all 3 swings"));
    assert_non_null(strstr(lead.bytes, "stands after allowing for all 4 measures"));
    assert_null(strstr(lead.bytes, "because"));
    assert_null(strstr(lead.bytes, "caus"));
    swt_text_reset(&lead);
    swt_assessment_free(a);
    drop(m);
}

static void a_clean_player_is_called_clean_and_one_odd_swing_odd(void **state)
{
    made *m = make_study(16);
    swt_assessment *a = assess(m);
    swt_text lead = {0};

    (void)state;
    assert_int_equal(player(a, "C1")->certainty, SWT_NOTHING_DEPARTS);
    swt_report_lead(&lead, a, player(a, "C1"));
    assert_string_equal(lead.bytes, "No measure leaves the group's corridor by a noteworthy amount "
                                    "in any of the 3 swings. All 4 measures could be compared "
                                    "throughout.");
    swt_text_reset(&lead);
    assert_int_equal(player(a, "E1")->certainty, SWT_SOME_SWINGS);
    swt_report_lead(&lead, a, player(a, "E1"));
    assert_non_null(
        strstr(lead.bytes, "Nothing leaves the group's corridor in most of the swings"));
    assert_non_null(strstr(lead.bytes, "in 1 of 3 swings"));
    swt_text_reset(&lead);
    swt_assessment_free(a);
    drop(m);
}

static void a_group_too_small_makes_no_claim(void **state)
{
    made *m = make_study(3);
    swt_assessment *a = assess(m);
    swt_text lead = {0};

    (void)state;
    assert_int_equal(a->n_family, 0);
    assert_int_equal(player(a, deep_code)->certainty, SWT_NOT_COMPARED);
    swt_report_lead(&lead, a, player(a, deep_code));
    assert_non_null(strstr(lead.bytes, "could not be compared"));
    swt_text_reset(&lead);
    swt_assessment_free(a);
    drop(m);
}

static void an_unknown_group_is_refused_with_the_known_ones(void **state)
{
    made *m = make_study(3);
    swt_assessment_options options;
    swt_assessment *a;
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    swt_assessment_options_init(&options);
    options.group = "turo";
    assert_int_equal(swt_assessment_build(&a, m->study, &options, &err), SWT_EDATA);
    assert_null(a);
    assert_non_null(strstr(err.msg, "\"turo\""));
    assert_non_null(strstr(err.msg, "\"tour\""));
    drop(m);
}

static void clear_report(void)
{
    char command[160];

    snprintf(command, sizeof command, "rm -r '%s/out'", folder);
    assert_int_equal(system(command), 0);
}

/* Half shots and an earlier session are not thrown together with the rest. */
static void kinds_of_swings_stand_apart(void **state)
{
    made *m = make_study(16);
    swt_assessment *a;

    (void)state;
    m->trial[m->n - 9].shot = m->trial[m->n - 8].shot = (char *)"half"; /* C1 */
    m->trial[m->n - 6].session = (char *)"1";                           /* the deep one */
    rewrite(m);
    a = assess(m);
    assert_int_equal(a->n_players, 5);
    assert_int_equal(a->n_swings, 9);
    assert_string_equal(a->player[0].name, "C1, half");
    assert_int_equal(a->player[0].n_swings, 2);
    assert_string_equal(a->player[1].kind, "");
    assert_int_equal(a->player[1].n_swings, 1);
    assert_string_equal(a->player[2].kind, "session 1");
    assert_int_equal(a->player[2].n_swings, 1);
    assert_int_equal(a->player[3].n_swings, 2);
    assert_string_equal(a->player[3].kind, "");
    assert_string_equal(a->player[4].name, "E1");
    assert_int_equal(a->player[4].n_swings, 3);
    swt_assessment_free(a);
    drop(m);
}

/* Two runs on one side: 4 mm too deep early on, then far too deep. The second must be led with. */
static void a_trifle_does_not_hide_what_comes_later(void **state)
{
    made *m = make_study(16);
    swt_assessment *a = assess(m);
    long depth = swt_compared_find(a, true, SWT_SERIES_HAND_DEPTH);
    const swt_corridor *c = a->compared[depth].corridor;
    const swt_assessed_player *p;
    const swt_player_departure *d;
    double *upper = malloc(N * sizeof *upper);

    (void)state;
    assert_non_null(upper);
    for (int i = 0; i < N; i++)
        upper[i] = c->upper[i];
    swt_assessment_free(a);
    for (size_t k = m->n - 6; k < m->n - 3; k++)
        for (int i = 0; i < N; i++)
            m->swing[k]->curve[SWT_SERIES_HAND_DEPTH][i] = upper[i] + (i >= 5 && i < 9     ? 0.002
                                                                       : i >= 30 && i < 40 ? 0.1
                                                                                           : -0.01);
    rewrite(m);
    a = assess(m);
    p = player(a, deep_code);
    d = p->departure;
    assert_int_equal(a->compared[d->compared].index, SWT_SERIES_HAND_DEPTH);
    assert_true(d->matters);
    assert_true(d->position > 28 && d->position < 31);
    assert_close(d->largest_excess, 0.1, 1e-6, "largest excess");
    free(upper);
    swt_assessment_free(a);
    drop(m);
}

/* The times of a capture that starts late are unknown; the order of its departures is not. */
static void without_a_takeaway_the_order_is_kept(void **state)
{
    made *m = make_study(16);
    swt_assessment *a;
    const swt_assessed_player *p;
    swt_text lead = {0};

    (void)state;
    for (size_t k = m->n - 6; k < m->n - 3; k++) {
        m->swing[k]->event[SWT_EVENT_TAKEAWAY] =
            (swt_event_time){nan(""), nan(""), swt_absent(SWT_REASON_STARTS_LATE, 0)};
        for (int i = 0; i < N; i++) {
            m->swing[k]->curve_time_s[i] = nan("");
            if (i < SWT_PHASE_STEPS)
                for (int s = 0; s < SWT_SERIES_COUNT; s++)
                    if (m->swing[k]->curve[s])
                        m->swing[k]->curve[s][i] = nan("");
        }
    }
    rewrite(m);
    a = assess(m);
    p = player(a, deep_code);
    assert_int_equal(p->certainty, SWT_STANDS);
    assert_true(isnan(p->departure->start_s));
    assert_close(p->departure->position, 25, 1e-9, "first sample there is");
    swt_report_lead(&lead, a, p);
    assert_non_null(strstr(lead.bytes, "from a moment between lead arm level in the backswing and "
                                       "club top"));
    assert_null(strstr(lead.bytes, "nan"));
    swt_text_reset(&lead);
    swt_assessment_free(a);
    drop(m);
}

/* Takes a stretch of registered samples out of a player's swings, as an event that is absent does.
 */
static void hide(made *m, size_t first, size_t n, swt_event event)
{
    for (size_t k = first; k < first + n; k++) {
        m->swing[k]->event[event] =
            (swt_event_time){nan(""), nan(""), swt_absent(SWT_REASON_SAMPLES_MISSING, 0)};
        for (int i = 0; i < 2 * SWT_PHASE_STEPS; i++)
            for (int s = 0; s < SWT_SERIES_COUNT; s++)
                if (m->swing[k]->curve[s])
                    m->swing[k]->curve[s][i] = nan("");
    }
}

/* The clean player's backswing is hidden, and one measure with it: nothing may sound sure of it. */
static void what_was_not_seen_is_not_called_clean(void **state)
{
    made *m = make_study(16);
    swt_assessment *a;
    const swt_assessed_player *p;
    swt_text lead = {0};

    (void)state;
    hide(m, m->n - 9, 3, SWT_EVENT_LEAD_ARM_LEVEL_BACKSWING);
    for (size_t k = m->n - 9; k < m->n - 6; k++)
        for (size_t i = 0; i < swt_measure_count(); i++)
            m->swing[k]->measure[i] =
                (swt_measurement){nan(""), nan(""), swt_absent(SWT_REASON_SAMPLES_MISSING, 0)};
    rewrite(m);
    a = assess(m);
    p = player(a, "C1");
    assert_int_equal(p->certainty, SWT_NOTHING_DEPARTS);
    assert_int_equal(a->n_family, 4);
    assert_int_equal(p->n_throughout, 0);
    assert_int_equal(p->n_in_part, 3);
    assert_true(p->phase_unseen[0] && p->phase_unseen[1]);
    assert_false(p->phase_unseen[2] || p->phase_unseen[3]);
    swt_report_lead(&lead, a, p);
    assert_string_equal(
        lead.bytes, "No measure leaves the group's corridor by a noteworthy amount in what could "
                    "be compared of the 3 swings. Of the 4 measures 0 could be compared "
                    "throughout, 3 in part (no curve between takeaway and club top) and 1 not at "
                    "all.");
    swt_text_reset(&lead);
    swt_report_lead_short(&lead, a, p);
    assert_string_equal(lead.bytes, "Nothing of note departs in what could be compared: 0 of 4 "
                                    "measures throughout, 3 in part");
    swt_text_reset(&lead);
    p = player(a, deep_code);
    assert_int_equal(p->n_throughout, 4);
    swt_assessment_free(a);
    drop(m);
}

/* One swing of three without its backswing: no measure counts as compared throughout, though no
 * phase is hidden in all swings; and a departure that leads says how little was compared. */
static void a_lead_tells_how_much_was_compared(void **state)
{
    made *m = make_study(16);
    swt_assessment *a;
    const swt_assessed_player *p;
    swt_text lead = {0};

    (void)state;
    hide(m, m->n - 6, 1, SWT_EVENT_LEAD_ARM_LEVEL_BACKSWING);
    rewrite(m);
    a = assess(m);
    p = player(a, deep_code);
    assert_int_equal(p->certainty, SWT_STANDS);
    assert_int_equal(p->n_throughout, 1); /* the backswing time */
    assert_int_equal(p->n_in_part, 3);
    assert_false(p->phase_unseen[0]);
    swt_report_lead(&lead, a, p);
    assert_non_null(strstr(lead.bytes, "looked at. Of the 4 measures 1 could be compared "
                                       "throughout, 3 in part and 0 not at all."));
    swt_text_reset(&lead);
    swt_assessment_free(a);
    drop(m);
}

static void without_a_reference_swings_are_shown_alone(void **state)
{
    made *m = make_study(2);
    swt_assessment_options options;
    swt_assessment *a;
    swt_report_outcome outcome;
    swt_report_options report = {0};
    char out[128];
    swt_text lead = {0};
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    swt_assessment_options_init(&options);
    if (swt_assessment_build(&a, m->study, &options, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    assert_int_equal(a->n_players, 5);
    assert_int_equal(player(a, "R0")->certainty, SWT_NOT_COMPARED);
    swt_report_lead(&lead, a, player(a, "R0"));
    assert_non_null(strstr(lead.bytes, "no reference group"));
    swt_text_reset(&lead);
    snprintf(out, sizeof out, "%s/out", folder);
    if (swt_report_write(&outcome, out, m->study, a, &report, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    assert_int_equal(outcome.n_pages, 7);
    if (outcome.figures_missing)
        fail_msg("%s", outcome.message);
    clear_report();
    swt_assessment_free(a);
    drop(m);
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
    assert_int_equal(outcome.n_pages, 5);
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
    clear_report();
    swt_assessment_free(a);
    drop(m);
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
        cmocka_unit_test(the_known_departure_is_found),
        cmocka_unit_test(a_clean_player_is_called_clean_and_one_odd_swing_odd),
        cmocka_unit_test(a_group_too_small_makes_no_claim),
        cmocka_unit_test(an_unknown_group_is_refused_with_the_known_ones),
        cmocka_unit_test(kinds_of_swings_stand_apart),
        cmocka_unit_test(a_trifle_does_not_hide_what_comes_later),
        cmocka_unit_test(without_a_takeaway_the_order_is_kept),
        cmocka_unit_test(what_was_not_seen_is_not_called_clean),
        cmocka_unit_test(a_lead_tells_how_much_was_compared),
        cmocka_unit_test(without_a_reference_swings_are_shown_alone),
        cmocka_unit_test(pages_say_what_is_known),
        cmocka_unit_test(pages_stand_without_gnuplot),
    };
    return cmocka_run_group_tests_name("report", tests, make_folder, remove_folder);
}
