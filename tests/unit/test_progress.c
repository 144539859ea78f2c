/* Blocks of swings against each other, and measures against results, on invented columns. */
#include "io/report/outcomes.h"
#include "io/report/progress.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { GROUP = 12, EACH = 4, MORE = 6, SWINGS = GROUP * EACH + 3 * MORE };

typedef struct invented {
    swt_study study;
    swt_study_swing swing[SWINGS];
    swt_study_capture capture;
    swt_measurement *measure[200], *moved, *kept, *held;
    char code[GROUP][8], result[SWINGS][24], *cell[SWINGS], *name;
} invented;

/* Twelve players with 4 swings, unit noise; then X: session 1, session 2 with one measure 5 higher,
 * and half shots of session 1 with that measure 9 lower and another held. The result is twice the
 * moved measure. */
static invented *invent(void)
{
    invented *v = calloc(1, sizeof *v);
    uint64_t seed = 21, other = 22;
    size_t n = 0;

    assert_non_null(v);
    assert_true(swt_measure_count() <= 200);
    for (size_t m = 0; m < swt_measure_count(); m++) {
        v->measure[m] = calloc(SWINGS, sizeof **v->measure);
        for (size_t i = 0; i < SWINGS; i++)
            v->measure[m][i] =
                (swt_measurement){nan(""), nan(""), swt_absent(SWT_REASON_NO_SWING, 0)};
    }
    v->moved = v->measure[swt_measure_find("hand_depth_at_lead_arm_level_backswing")];
    v->held = v->measure[swt_measure_find("hand_height_at_lead_arm_level_backswing")];
    v->kept = v->measure[swt_measure_find("tempo_ratio")];
    for (int p = 0; p < GROUP + 3; p++) {
        double own = 10 * draw_normal(&seed), level = 10 * draw_normal(&other);
        if (p < GROUP)
            snprintf(v->code[p], sizeof v->code[p], "R%d", p);
        for (int s = 0; s < (p < GROUP ? EACH : MORE); s++, n++) {
            double moved = own + draw_normal(&seed);
            if (p >= GROUP)
                moved = (double[]){20, 25, 11}[p - GROUP] + draw_normal(&seed);
            v->swing[n] = (swt_study_swing){.player = p < GROUP ? v->code[p] : (char *)"X",
                                            .session = (char *)(p == GROUP + 1 ? "2" : "1"),
                                            .group = (char *)"",
                                            .club = (char *)"iron",
                                            .shot = (char *)(p == GROUP + 2 ? "half" : "full")};
            v->moved[n] = (swt_measurement){moved, nan(""), swt_usable()};
            v->kept[n] = (swt_measurement){3 + draw_normal(&seed), nan(""), swt_usable()};
            v->held[n] = (swt_measurement){(p < GROUP ? level : 7) + draw_normal(&other), nan(""),
                                           swt_usable()};
            snprintf(v->result[n], sizeof v->result[n], "%.3f", 2 * moved);
            v->cell[n] = v->result[n];
            v->swing[n].covariate = &v->cell[n];
        }
    }
    v->name = (char *)"carry";
    v->capture = (swt_study_capture){.file = (char *)"a.c3d"};
    v->study = (swt_study){.path = (char *)"invented",
                           .n_captures = 1,
                           .capture = &v->capture,
                           .n_swings = SWINGS,
                           .swing = v->swing,
                           .n_covariates = 1,
                           .covariate_name = &v->name,
                           .measure = v->measure};
    return v;
}

static void drop(invented *v)
{
    for (size_t m = 0; m < swt_measure_count(); m++)
        free(v->measure[m]);
    free(v);
}

static swt_progress *progress(const invented *v, const swt_progress_options *o)
{
    swt_progress *p = NULL;
    swt_error err = SWT_ERROR_INIT;

    if (swt_progress_build(&p, &v->study, o, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    return p;
}

static size_t column(const swt_progress *p, const char *name)
{
    for (size_t m = 0; m < p->n_measures; m++)
        if (strcmp(swt_measure_row(p->measure[m])->name, name) == 0)
            return m;
    fail_msg("no measure %s", name);
    return 0;
}

static void a_session_is_held_against_the_first(void **state)
{
    invented *v = invent();
    const swt_progress_options o = {.by = SWT_BY_SESSION, .confidence = 0.95};
    swt_progress *p = progress(v, &o);
    size_t moved = column(p, "hand_depth_at_lead_arm_level_backswing");
    size_t kept = column(p, "tempo_ratio");
    const swt_progress_step *s;
    (void)state;

    assert_int_equal(p->n_sets, 1);
    assert_string_equal(p->set[0].name, "X, iron, full");
    assert_int_equal(p->set[0].n_blocks, 2);
    /* X's second session and half shots are no noise: 12 players and X's first session */
    assert_int_equal(p->noise[moved].n_players, GROUP + 1);
    assert_int_equal(p->noise[moved].n_swings, GROUP * EACH + MORE);
    assert_close(p->noise[moved].sem, 1, 0.25, "SEM of unit noise");
    assert_true(p->noise[moved].icc > 0.95);
    assert_close(p->noise[moved].detectable, 1.959963984540054 * sqrt(2) * p->noise[moved].sem,
                 1e-12, "Weir's detectable change of one swing");
    s = swt_progress_at(p, &p->set[0], 1, moved);
    assert_close(s->since_from.difference, 5, 1.5, "change");
    assert_close(s->since_from.detectable,
                 1.959963984540054 * p->noise[moved].sem * sqrt(2.0 / MORE), 1e-12, "of 6 and 6");
    assert_int_equal(s->since_from.verdict, SWT_CHANGE_UP);
    assert_true(s->p_all >= s->p && s->p_all < 1e-6);
    s = swt_progress_at(p, &p->set[0], 1, kept);
    assert_int_equal(s->since_from.verdict, SWT_CHANGE_NOT_DETECTABLE);
    assert_true(s->p_all > 0.05);
    /* the first block is held against nothing */
    s = swt_progress_at(p, &p->set[0], 0, moved);
    assert_int_equal(s->since_from.verdict, SWT_CHANGE_UNKNOWN);
    assert_close(s->mean, 20, 1.5, "its mean");
    swt_progress_free(p);
    drop(v);
}

static void shots_are_held_against_the_full_one(void **state)
{
    invented *v = invent();
    const swt_progress_options o = {
        .by = SWT_BY_SHOT, .confidence = 0.95, .from = "half", .measure = "tempo_ratio"};
    const swt_progress_options all = {.by = SWT_BY_SHOT, .confidence = 0.95};
    swt_progress *p = progress(v, &all);
    size_t moved = column(p, "hand_depth_at_lead_arm_level_backswing");
    size_t held = column(p, "hand_height_at_lead_arm_level_backswing");
    const swt_progress_step *s;
    double full = 0, half = 0;
    (void)state;

    assert_int_equal(p->n_sets, 1);
    assert_string_equal(p->set[0].name, "X, iron, session 1");
    assert_string_equal(p->set[0].block[1].name, "half");
    assert_int_equal(swt_progress_at(p, &p->set[0], 1, moved)->since_from.verdict, SWT_CHANGE_DOWN);
    /* the position at lead arm level holds: by the means and the noise, by hand */
    for (int k = 0; k < MORE; k++) {
        full += v->held[GROUP * EACH + k].value / MORE;
        half += v->held[GROUP * EACH + 2 * MORE + k].value / MORE;
    }
    s = swt_progress_at(p, &p->set[0], 1, held);
    assert_close(s->since_from.difference, half - full, 1e-12, "half less full");
    assert_close(s->since_from.detectable,
                 1.959963984540054 * p->noise[held].sem * sqrt(2.0 / MORE), 1e-12, "of 6 and 6");
    assert_close(s->since_from.high - s->since_from.low, 2 * s->since_from.detectable, 1e-12,
                 "interval");
    assert_int_equal(s->since_from.verdict, SWT_CHANGE_NOT_DETECTABLE);
    assert_true(s->since_from.low < 0 && s->since_from.high > 0 && s->p_all > 0.05);
    swt_progress_free(p);
    p = progress(v, &o);
    assert_int_equal(p->n_measures, 1);
    assert_int_equal(p->set[0].from, 1);
    assert_int_equal(swt_progress_at(p, &p->set[0], 1, 0)->since_from.verdict, SWT_CHANGE_UNKNOWN);
    swt_progress_free(p);
    drop(v);
}

static void what_cannot_be_held_against_anything_is_said(void **state)
{
    static const struct {
        swt_progress_options options;
        swt_status status;
        const char *said;
    } rows[] = {
        {{.measure = "hand_dept", .confidence = 0.95}, SWT_EARG, "no measure 'hand_dept'"},
        {{.from = "9", .confidence = 0.95}, SWT_EDATA, "has no swings of session '9'"},
        {{.only = "player = R1", .confidence = 0.95}, SWT_EDATA, "more than one session"},
        {{.only = "player = Z", .confidence = 0.95}, SWT_EDATA, "no swing of the study"},
        {{.only = "player", .confidence = 0.95}, SWT_EARG, "at character"},
    };
    invented *v = invent();
    (void)state;

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        swt_progress *p;
        swt_error err = SWT_ERROR_INIT;
        assert_int_equal(swt_progress_build(&p, &v->study, &rows[i].options, &err), rows[i].status);
        assert_null(p);
        if (!strstr(err.msg, rows[i].said))
            fail_msg("%s", err.msg);
    }
    drop(v);
}

static void noise_of_few_swings_is_not_known(void **state)
{
    invented *v = invent();
    const swt_progress_options o = {.by = SWT_BY_SESSION, .confidence = 0.95};
    swt_progress *p;
    (void)state;

    for (size_t i = 0; i < GROUP * EACH; i++) /* one swing each is left */
        if (i % EACH > 0)
            v->moved[i] = (swt_measurement){nan(""), nan(""), swt_absent(SWT_REASON_NO_SWING, 0)};
    p = progress(v, &o);
    assert_true(isnan(p->noise[column(p, "hand_depth_at_lead_arm_level_backswing")].sem));
    assert_int_equal(
        swt_progress_at(p, &p->set[0], 1, column(p, "hand_depth_at_lead_arm_level_backswing"))
            ->since_from.verdict,
        SWT_CHANGE_UNKNOWN);
    swt_progress_free(p);
    drop(v);
}

static void a_result_is_found_with_its_measure(void **state)
{
    invented *v = invent();
    swt_outcomes_options o = {.columns = " carry ", .n_permutations = 999, .seed = 1};
    swt_outcomes *out;
    swt_error err = SWT_ERROR_INIT;
    (void)state;

    assert_int_equal(swt_outcomes_build(&out, &v->study, &o, &err), SWT_OK);
    assert_int_equal(out->n_swings, SWINGS - MORE); /* half shots are another thing */
    assert_int_equal(out->n_left_out, MORE);
    assert_int_equal(out->n_rows, swt_measure_count());
    for (size_t i = 0; i < out->n_rows; i++) {
        const swt_outcome_row *r = &out->row[i];
        if (v->measure[r->measure] == v->moved) {
            assert_true(r->within.rho > 0.99 && r->between.rho > 0.99);
            assert_true(r->within_q < 0.01 && r->between_q < 0.01);
            assert_close(r->within.slope, 2, 0.01, "slope");
        } else if (v->measure[r->measure] == v->kept) {
            assert_true(r->within_q > 0.05 && r->between_q > 0.05);
        } else if (v->measure[r->measure] != v->held) {
            assert_true(isnan(r->within.rho) && isnan(r->within_q) && isnan(r->between_q));
        }
    }
    swt_outcomes_free(out);
    o.columns = "spin";
    assert_int_equal(swt_outcomes_build(&out, &v->study, &o, &err), SWT_EARG);
    assert_non_null(strstr(err.msg, "were: carry"));
    o.columns = "carry,,spin";
    assert_int_equal(swt_outcomes_build(&out, &v->study, &o, &err), SWT_EARG);
    for (size_t i = 0; i < SWINGS; i++)
        v->cell[i] = (char *)"far";
    o.columns = "carry";
    assert_int_equal(swt_outcomes_build(&out, &v->study, &o, &err), SWT_EDATA);
    assert_non_null(strstr(err.msg, "it has \"far\""));
    assert_null(out);
    drop(v);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_session_is_held_against_the_first),
        cmocka_unit_test(shots_are_held_against_the_full_one),
        cmocka_unit_test(what_cannot_be_held_against_anything_is_said),
        cmocka_unit_test(noise_of_few_swings_is_not_known),
        cmocka_unit_test(a_result_is_found_with_its_measure),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
