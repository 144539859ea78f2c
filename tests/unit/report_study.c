#include "tests/unit/report_study.h"

#include "kinematics/registration.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { N = SWT_CURVE_SAMPLES };

char folder[] = "/tmp/swathe-report-XXXXXX";

const char deep_code[] = "D1 <b>\"x\"</b>`id`";

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
    s->series[series] = malloc(FRAMES * sizeof(double));
    assert_non_null(s->curve[series]);
    s->series_verdict[series] = swt_usable();
    assert_non_null(s->series[series]);
    for (size_t i = 0; i < N; i++) {
        double rise = i >= from ? fmin(1, (double)(i - from + 1) / 4) : 0;
        s->curve[series][i] = base + size * sin(SWT_PI * (double)i / (N - 1)) + shift + step * rise;
    }
    for (size_t f = 0; f < FRAMES; f++) /* the samples say what the curve says */
        s->series[series][f] =
            swt_registered_at(s->curve_time_s, s->curve[series], (double)f / s->rate_hz);
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
    assert_int_equal(swt_landmark_set_new(&s->body, FRAMES, s->rate_hz, present, NULL), SWT_OK);
    return s;
}

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
    m->entry[i] = (swt_study_entry){t, &m->facts[i], 1, &m->swing[i], NULL};
}

/* Writes the swings as they are now and opens the study anew. */
void rewrite(made *m)
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
made *make_study(size_t n_players)
{
    made *m = calloc(1, sizeof *m);
    uint64_t seed = 7;
    char code[24];

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

void drop(made *m)
{
    char path[128];

    swt_study_close(m->study);
    for (size_t i = 0; i < m->n; i++)
        swt_swing_free(m->swing[i]);
    free(m);
    snprintf(path, sizeof path, "%s/study.h5", folder);
    unlink(path);
}

swt_assessment *assess(const made *m)
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

const swt_assessed_player *player(const swt_assessment *a, const char *code)
{
    for (size_t i = 0; i < a->n_players; i++)
        if (strcmp(a->player[i].code, code) == 0)
            return &a->player[i];
    fail_msg("no player %s", code);
    return NULL;
}

/* Takes a stretch of registered samples out of a player's swings, as an event that is absent does.
 */
void hide(made *m, size_t first, size_t n, swt_event event)
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

int make_folder(void **state)
{
    (void)state;
    return mkdtemp(folder) ? 0 : -1;
}

int remove_folder(void **state)
{
    (void)state;
    return rmdir(folder);
}
