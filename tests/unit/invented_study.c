#include "tests/unit/invented_study.h"

#include "kinematics/gaps.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

const swt_provenance provenance = {
    .version = "0.0-test",
    .command = "swathe run 'my sheet.csv' -o out",
    .options = "cutoff_hz = 12\nfinish_speed_m_s = 0.5",
    .sheet = "my sheet.csv",
    .sheet_sha256 = "ab",
    .map = "map.ini",
    .map_sha256 = "cd",
    .covariates = "carry/m\nHöhe",
};

static swt_verdict draw_verdict(uint64_t *seed)
{
    double u = draw(seed);
    if (u < 0.2)
        return swt_absent(SWT_REASON_EVENT_ABSENT, SWT_EVENT_IMPACT);
    if (u < 0.4)
        return swt_limited(SWT_REASON_LANDMARK_MISSING, SWT_CLUB_HEAD);
    return swt_usable();
}

static swt_swing *invent_swing(uint64_t *seed)
{
    swt_swing *s = calloc(1, sizeof *s);
    bool present[SWT_LANDMARK_COUNT] = {false};
    double *number;

    assert_non_null(s);
    s->n_frames = 40 + (size_t)(draw(seed) * 60);
    s->rate_hz = 100 + draw(seed);
    s->capture_frame = (size_t)(draw(seed) * 100);
    s->heel_depth_m = draw(seed);
    for (int e = 0; e < SWT_EVENT_COUNT; e++)
        s->event[e] = (swt_event_time){draw(seed), draw(seed), draw_verdict(seed)};
    s->event[SWT_EVENT_FINISH].time_s = nan("");
    for (int k = 0; k < SWT_SERIES_COUNT; k++) {
        s->series_verdict[k] = draw_verdict(seed);
        if (k == SWT_SERIES_CLUB_HEAD_SPEED || draw(seed) < 0.3)
            continue; /* absent */
        s->series[k] = malloc(s->n_frames * sizeof(double));
        s->curve[k] = malloc(SWT_CURVE_SAMPLES * sizeof(double));
        for (size_t f = 0; f < s->n_frames; f++)
            s->series[k][f] = draw_normal(seed);
        for (size_t f = 0; f < SWT_CURVE_SAMPLES; f++)
            s->curve[k][f] = draw_normal(seed);
        s->curve[k][SWT_CURVE_SAMPLES - 1] = nan("");
        s->travel_curve[k] = malloc(SWT_TRAVEL_SAMPLES * sizeof(double));
        for (size_t f = 0; f < SWT_TRAVEL_SAMPLES; f++)
            s->travel_curve[k][f] = draw_normal(seed);
    }
    for (int f = 0; f < SWT_CURVE_SAMPLES; f++)
        s->curve_time_s[f] = draw(seed);
    for (int f = 0; f < SWT_TRAVEL_SAMPLES; f++)
        s->travel_time_s[f] = draw(seed);
    for (int f = 0; f < SWT_SHIFT_SAMPLES; f++) {
        s->shift_m[f] = draw_normal(seed);
        s->shift_height_m[f] = draw(seed);
    }
    s->measure = calloc(swt_measure_count(), sizeof *s->measure);
    for (size_t m = 0; m < swt_measure_count(); m++)
        s->measure[m] = (swt_measurement){draw_normal(seed), draw(seed), draw_verdict(seed)};
    s->measure[1].value = nan("");
    present[SWT_LEAD_AC] = present[SWT_CLUB_HEAD] = true;
    present[SWT_C7] = draw(seed) < 0.5;
    assert_int_equal(swt_landmark_set_new(&s->body, s->n_frames, s->rate_hz, present, NULL),
                     SWT_OK);
    for (int k = 0; k < SWT_LANDMARK_COUNT; k++)
        for (size_t f = 1; present[k] && f < s->n_frames; f++) {
            for (int c = 0; c < 3; c++)
                s->body->axis[k][c][f] = draw_normal(seed);
            s->body->origin[k][f] = draw(seed) < 0.5 ? SWT_ORIGIN_RECORDED : SWT_ORIGIN_RIGID;
        }
    number = (double *)&s->quality;
    for (size_t i = 0; i < offsetof(swt_quality, target_from_stance) / sizeof(double); i++)
        number[i] = draw(seed);
    s->quality.target_from_stance = draw(seed) < 0.5;
    s->quality.floor_from_feet = draw(seed) < 0.5;
    if (draw(seed) < 0.6)
        swt_findings_add(&s->findings, SWT_CAUTION, "gap", "gap of %d frames", 7);
    return s;
}

invented *invent(void)
{
    static const char *const players[] = {"P01", "", "P01", "Spieler Ü", "<b>&\"'"};
    invented *v = calloc(1, sizeof *v);
    uint64_t seed = 7;

    assert_non_null(v);
    for (size_t i = 0; i < CAPTURES; i++) {
        swt_trial *t = &v->trial[i];
        swt_capture_facts *facts = &v->facts[i];
        size_t n = i == 2 ? 0 : i == 4 ? 2 : 1;
        snprintf(v->text[i][0], 32, "%zu", i);
        snprintf(v->text[i][1], 32, "%.*s", (int)i, "ääääää");
        t->file = t->path = v->text[i][0];
        t->player = (char *)players[i % 5];
        t->session = "s1";
        t->group = i % 2 ? "ref" : "";
        t->club = "7 iron";
        t->shot = "full";
        t->side = i % 3 ? SWT_RIGHT_HANDED : SWT_LEFT_HANDED;
        v->covariate[i][0] = v->text[i][0];
        v->covariate[i][1] = i == 5 ? "two\nlines" : "x";
        t->covariate = v->covariate[i];
        swt_sha256(facts->sha256, &i, sizeof i);
        snprintf(facts->format, sizeof facts->format, "C3D, %zu", i);
        snprintf(facts->unit, sizeof facts->unit, "mm");
        swt_sha256(facts->map_sha256, "map", 3);
        swt_sha256(facts->row_sha256, &i, 1);
        snprintf(facts->file_stamp, sizeof facts->file_stamp, "%zu 1.5 1.25 7", i);
        facts->measured = i != 2;
        facts->rate_hz = 240 + draw(&seed);
        facts->n_frames = 1000 + i;
        facts->n_points = 60 + i;
        facts->status = n ? SWT_OK : SWT_EDATA;
        snprintf(facts->message, sizeof facts->message, "%s", n ? "" : "no swing was found");
        if (i % 2)
            swt_findings_add(&facts->findings, SWT_SERIOUS, "rate_doubtful", "the rate is odd");
        for (size_t k = 0; k < n; k++)
            v->swing[i][k] = invent_swing(&seed);
        v->entry[i] = (swt_study_entry){t, facts, n, v->swing[i], NULL};
    }
    v->facts[3].findings.dropped = 2;
    return v;
}

void forget(invented *v)
{
    for (size_t i = 0; i < CAPTURES; i++)
        for (size_t k = 0; k < 2; k++)
            swt_swing_free(v->swing[i][k]);
    free(v);
}

static void same_double(double got, double want, const char *what)
{
    if (memcmp(&got, &want, sizeof got) != 0 && !(isnan(got) && isnan(want)))
        fail_msg("%s: got %.17g, want %.17g", what, got, want);
}

static void same_verdict(swt_verdict got, swt_verdict want)
{
    assert_int_equal(got.state, want.state);
    assert_int_equal(got.reason, want.reason);
    assert_int_equal(got.subject, want.subject);
}

swt_study *open_good(const char *path)
{
    swt_study *study;
    swt_error err = SWT_ERROR_INIT;

    if (swt_study_open(&study, path, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    if (swt_study_verify(path, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    return study;
}

/* One swing of the study against the swing it was made from. */
static void check_swing(const swt_study *study, size_t i, const swt_trial *trial,
                        const swt_swing *want)
{
    const swt_study_swing *row = &study->swing[i];
    double *series = malloc(want->n_frames * sizeof *series), curve[SWT_CURVE_SAMPLES];
    double height[SWT_SHIFT_SAMPLES];
    swt_landmark_set *body;
    swt_quality quality;

    assert_int_equal(row->n_frames, want->n_frames);
    assert_int_equal(row->capture_frame, want->capture_frame);
    same_double(row->rate_hz, want->rate_hz, "rate");
    same_double(row->heel_depth_m, want->heel_depth_m, "heel");
    assert_int_equal(row->target_from_stance, want->quality.target_from_stance);
    assert_string_equal(row->player, trial->player);
    assert_string_equal(row->session, trial->session);
    assert_string_equal(row->group, trial->group);
    assert_string_equal(row->club, trial->club);
    assert_string_equal(row->shot, trial->shot);
    assert_int_equal(row->side, trial->side);
    for (int c = 0; c < 2; c++)
        assert_string_equal(row->covariate[c], trial->covariate[c]);
    for (int e = 0; e < SWT_EVENT_COUNT; e++) {
        same_double(study->event[e][i].time_s, want->event[e].time_s, swt_event_name((swt_event)e));
        same_double(study->event[e][i].sd_s, want->event[e].sd_s, "event sd");
        same_verdict(study->event[e][i].verdict, want->event[e].verdict);
    }
    for (size_t m = 0; m < swt_measure_count(); m++) {
        same_double(study->measure[m][i].value, want->measure[m].value, swt_measure_row(m)->name);
        same_double(study->measure[m][i].sd, want->measure[m].sd, "measure sd");
        same_verdict(study->measure[m][i].verdict, want->measure[m].verdict);
    }
    for (int k = 0; k < SWT_SERIES_COUNT; k++) {
        same_verdict(study->series_verdict[k][i], want->series_verdict[k]);
        assert_int_equal(swt_study_read_series(study, (swt_series)k, i, series, NULL), SWT_OK);
        for (size_t f = 0; f < want->n_frames; f++) /* kept in single precision */
            same_double(series[f], want->series[k] ? (double)(float)want->series[k][f] : nan(""),
                        "series");
        assert_int_equal(swt_study_read_travel_curves(study, (swt_series)k, &i, 1, curve, NULL),
                         SWT_OK);
        for (size_t f = 0; f < SWT_TRAVEL_SAMPLES; f++)
            same_double(curve[f], want->travel_curve[k] ? want->travel_curve[k][f] : nan(""),
                        "travel curve");
        assert_int_equal(swt_study_read_curves(study, (swt_series)k, &i, 1, curve, NULL), SWT_OK);
        for (size_t f = 0; f < SWT_CURVE_SAMPLES; f++)
            same_double(curve[f], want->curve[k] ? want->curve[k][f] : nan(""), "curve");
    }
    assert_int_equal(swt_study_read_curve_times(study, &i, 1, curve, NULL), SWT_OK);
    for (size_t f = 0; f < SWT_CURVE_SAMPLES; f++)
        same_double(curve[f], want->curve_time_s[f] - want->event[SWT_EVENT_TAKEAWAY].time_s,
                    "curve time");
    assert_int_equal(swt_study_read_travel_times(study, &i, 1, curve, NULL), SWT_OK);
    for (size_t f = 0; f < SWT_TRAVEL_SAMPLES; f++)
        same_double(curve[f], want->travel_time_s[f] - want->event[SWT_EVENT_TAKEAWAY].time_s,
                    "travel time");
    assert_int_equal(swt_study_read_shift(study, &i, 1, curve, height, NULL), SWT_OK);
    for (size_t f = 0; f < SWT_SHIFT_SAMPLES; f++) {
        same_double(curve[f], want->shift_m[f], "transition shift");
        same_double(height[f], want->shift_height_m[f], "height of the transition shift");
    }
    assert_int_equal(swt_study_read_body(&body, study, i, NULL), SWT_OK);
    assert_memory_equal(body->present, want->body->present, sizeof body->present);
    for (int k = 0; k < SWT_LANDMARK_COUNT; k++)
        for (size_t f = 0; body->present[k] && f < want->n_frames; f++) {
            for (int c = 0; c < 3; c++)
                same_double(body->axis[k][c][f], (double)(float)want->body->axis[k][c][f], "body");
            assert_int_equal(body->origin[k][f], want->body->origin[k][f]);
        }
    swt_landmark_set_free(body);
    assert_int_equal(swt_study_read_quality(&quality, study, i, NULL), SWT_OK);
    assert_memory_equal(&quality, &want->quality, offsetof(swt_quality, target_from_stance));
    assert_int_equal(quality.floor_from_feet, want->quality.floor_from_feet);
    free(series);
}

void check_study(const char *path, const invented *v)
{
    swt_study *study = open_good(path);
    size_t swing = 0;

    assert_string_equal(study->version, provenance.version);
    assert_string_equal(study->command, provenance.command);
    assert_string_equal(study->options, provenance.options);
    assert_string_equal(study->sheet, provenance.sheet);
    assert_string_equal(study->map_sha256, provenance.map_sha256);
    assert_string_equal(study->created, "2001-09-09T01:46:40Z");
    assert_int_equal(study->n_covariates, 2);
    assert_string_equal(study->covariate_name[0], "carry/m");
    assert_string_equal(study->covariate_name[1], "Höhe");
    assert_int_equal(study->n_captures, CAPTURES);
    for (size_t i = 0; i < CAPTURES; i++) {
        const swt_study_capture *row = &study->capture[i];
        const swt_capture_facts *facts = v->entry[i].facts;
        assert_string_equal(row->file, v->trial[i].file);
        assert_string_equal(row->sha256, facts->sha256);
        assert_string_equal(row->format, facts->format);
        assert_string_equal(row->unit, facts->unit);
        assert_string_equal(row->message, facts->message);
        assert_string_equal(row->static_sha256, "");
        assert_string_equal(row->map_sha256, facts->map_sha256);
        assert_string_equal(row->row_sha256, facts->row_sha256);
        assert_string_equal(row->file_stamp, facts->file_stamp);
        assert_string_equal(row->static_stamp, "");
        assert_int_equal(row->measured, facts->measured);
        assert_int_equal(row->status, facts->status);
        assert_int_equal(row->n_frames, facts->n_frames);
        assert_int_equal(row->n_points, facts->n_points);
        same_double(row->rate_hz, facts->rate_hz, "rate");
        for (size_t k = 0; k < v->entry[i].n_swings; k++, swing++) {
            assert_int_equal(study->swing[swing].capture, i);
            check_swing(study, swing, &v->trial[i], v->swing[i][k]);
        }
    }
    assert_int_equal(study->n_swings, swing);
    swing = 0;
    for (size_t i = 0, f = 0; i < CAPTURES; i++) {
        const swt_findings *found = &v->facts[i].findings;
        for (size_t n = 0; n < found->n; n++, f++) {
            assert_int_equal(study->finding[f].capture, i);
            assert_int_equal(study->finding[f].swing, -1);
            assert_int_equal(study->finding[f].severity, SWT_SERIOUS);
            assert_string_equal(study->finding[f].text, "the rate is odd");
        }
        if (found->dropped)
            assert_string_equal(study->finding[f++].code, "findings_dropped");
        for (size_t k = 0; k < v->entry[i].n_swings; k++, swing++)
            if (v->swing[i][k]->findings.n) {
                assert_int_equal(study->finding[f].swing, swing);
                assert_string_equal(study->finding[f++].code, "gap");
            }
        if (i == CAPTURES - 1)
            assert_int_equal(study->n_findings, f);
    }
    swt_study_close(study);
}
