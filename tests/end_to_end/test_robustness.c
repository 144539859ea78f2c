/* Captures as they come: waggles, pauses, practice swings, clipped ends, slow and fast cameras,
 * much noise, no club. Bounds are about twice the worst error seen over the draws below, so that a
 * method that fails is told from one that is merely noisy; docs/accuracy.md has the distributions.
 */
#include "tests/support/support.h"
#include "tests/support/trial.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { DRAWS = 3 };

typedef struct setting {
    swt_model_player player;
    swt_model_swing swing;
    swt_model_recording recording;
} setting;

static setting drawn(uint64_t seed)
{
    setting s = {swt_model_player_default(1.78), swt_model_swing_default("7-iron"),
                 trial_recording()};
    swt_model_draw_player(&s.player, &s.swing, 7000 + seed);
    swt_model_draw_swing(&s.swing, 9000 + seed);
    s.recording.noise_m = 0.0005;
    s.recording.seed = 40 + seed;
    return s;
}

static trial run(const setting *s, const char *const *without, size_t n_without)
{
    swt_error err = SWT_ERROR_INIT;
    trial t;

    if (trial_run(&t, &s->player, &s->swing, &s->recording, without, n_without, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    return t;
}

/* Bounds in ms; 0 = not looked at. */
typedef struct bounds {
    double takeaway, level, top, reversal, impact;
} bounds;

static double bound_of(const bounds *b, swt_event e)
{
    switch (e) {
    case SWT_EVENT_TAKEAWAY:
        return b->takeaway;
    case SWT_EVENT_HANDS_TOP:
    case SWT_EVENT_CLUB_TOP:
        return b->top;
    case SWT_EVENT_PELVIS_REVERSAL:
    case SWT_EVENT_THORAX_REVERSAL:
        return b->reversal;
    case SWT_EVENT_IMPACT:
        return b->impact;
    case SWT_EVENT_FINISH:
        return 2 * b->top;
    default:
        return b->level;
    }
}

static void check(const trial *t, const bounds *b, double offset_s, const char *what)
{
    for (size_t k = 0; k < TRIAL_EVENTS; k++) {
        swt_event e = trial_events[k].ours;
        double ours = t->swing->event[e].time_s, bound = bound_of(b, e);
        double truth = t->truth->event_s[trial_events[k].theirs] + offset_s;
        char name[128];
        snprintf(name, sizeof name, "%s, %s", swt_event_name(e), what);
        if (bound <= 0)
            continue;
        if (isnan(truth))
            assert_true(isnan(ours));
        else
            assert_close(1000 * ours, 1000 * truth, bound, name);
    }
}

static const bounds laboratory = {20, 1, 6, 15, 0.5};

static void waggles_are_not_takeaways(void **state)
{
    (void)state;
    for (uint64_t seed = 1; seed <= DRAWS; seed++)
        for (int k = 0; k < 3; k++) {
            setting s = drawn(seed);
            trial t;
            s.swing.waggle_rad = k == 0 ? 0.15 : 0.4;
            if (k == 2)
                s.swing.quiet_s = 0.2;
            t = run(&s, NULL, 0);
            check(&t, &laboratory, 0, "waggle");
            trial_done(&t);
        }
}

/* The hands go 40 mm towards the target and back before the swing begins, the club head rests:
 * grip, shaft, hands, wrists and elbows share the motion by where they are. */
static void press_forward(swt_capture *c, double takeaway_s, double quiet_s)
{
    static const struct {
        const char *label;
        double share;
    } moved[] = {{"CLUB_GRIP", 0.74},  {"CLUB_SHAFT", 0.38}, {"L_HAND_2", 1},
                 {"L_HAND_5", 1},      {"R_HAND_2", 1},      {"R_HAND_5", 1},
                 {"L_WRIST_RAD", 1},   {"L_WRIST_ULN", 1},   {"R_WRIST_RAD", 1},
                 {"R_WRIST_ULN", 1},   {"L_ELBOW_LAT", 0.5}, {"L_ELBOW_MED", 0.5},
                 {"R_ELBOW_LAT", 0.5}, {"R_ELBOW_MED", 0.5}};
    const double lasts_s = 0.4;

    for (size_t f = 0; f < c->n_frames; f++) {
        double t = ((double)f / c->rate_hz - takeaway_s + quiet_s + lasts_s) / lasts_s;
        for (size_t k = 0; t > 0 && t < 1 && k < sizeof moved / sizeof *moved; k++) {
            long p = swt_capture_find(c, moved[k].label);
            assert_true(p >= 0);
            c->xyz[(f * c->n_points + (size_t)p) * 3] +=
                40 * moved[k].share * pow(sin(SWT_PI * t), 2);
        }
    }
}

static void a_forward_press_is_no_takeaway(void **state)
{
    static const char *const club[] = {"club."};
    const bounds from_hands = {60, 0, 0, 15, 30};

    (void)state;
    for (uint64_t seed = 1; seed <= DRAWS; seed++)
        for (size_t without_club = 0; without_club < 2; without_club++) {
            setting s = drawn(seed);
            swt_error err = SWT_ERROR_INIT;
            trial t;
            s.swing.quiet_s = 0.8;
            t = run(&s, NULL, 0);
            press_forward(t.capture, t.truth->event_s[SWT_TRUE_TAKEAWAY], 0.1);
            swt_swing_free(t.swing);
            t.swing = NULL;
            if (trial_analyse(&t, &s.player, &s.recording, club, without_club, &err) != SWT_OK)
                fail_msg("%s", err.msg);
            check(&t, without_club ? &from_hands : &laboratory, 0, "forward press");
            trial_done(&t);
        }
}

/* Standing still at the top: the hands' top is some instant of it, the rest holds. */
static void a_pause_at_the_top(void **state)
{
    const bounds b = {20, 1, 0, 15, 0.5};

    (void)state;
    for (uint64_t seed = 1; seed <= DRAWS; seed++) {
        setting s = drawn(seed);
        trial t;
        s.swing.pause_s = 0.3;
        t = run(&s, NULL, 0);
        check(&t, &b, 0, "pause");
        assert_close(t.swing->event[SWT_EVENT_CLUB_TOP].time_s, t.truth->event_s[SWT_TRUE_CLUB_TOP],
                     0.02, "club top after a pause");
        trial_done(&t);
    }
}

static void rates_and_noise(void **state)
{
    static const struct {
        double rate_hz, noise_m;
        bounds b;
    } rows[] = {
        {60, 0, {3, 1, 5, 4, 3}},          {60, 0.002, {30, 3, 10, 40, 5}},
        {120, 0.001, {30, 2, 8, 30, 1.5}}, {240, 0.002, {40, 2, 8, 40, 1.5}},
        {500, 0.001, {30, 1, 6, 25, 0.5}}, {1000, 0.002, {40, 1.5, 8, 30, 0.5}},
    };

    (void)state;
    for (uint64_t seed = 1; seed <= DRAWS; seed++)
        for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
            setting s = drawn(seed);
            char what[64];
            trial t;
            s.recording.rate_hz = rows[k].rate_hz;
            s.recording.noise_m = rows[k].noise_m;
            t = run(&s, NULL, 0);
            snprintf(what, sizeof what, "%g Hz, %g mm", rows[k].rate_hz, 1000 * rows[k].noise_m);
            check(&t, &rows[k].b, 0, what);
            trial_done(&t);
        }
}

static void short_shots_and_left_handers(void **state)
{
    (void)state;
    for (uint64_t seed = 1; seed <= DRAWS; seed++)
        for (int k = 0; k < 4; k++) {
            const bounds slow = {40, 2, 10, 20, 0.5};
            setting s = drawn(seed);
            trial t;
            s.swing.shot = k & 1 ? 0.5 : 0.75;
            s.player.left_handed = k & 2;
            t = run(&s, NULL, 0);
            check(&t, &slow, 0, "short shot"); /* half: the lead arm never gets level */
            trial_done(&t);
        }
}

/* Onset and contact come from the hands then, and are named so; the hands reach their address
 * position along the target line before the club does. */
static void without_a_club(void **state)
{
    static const char *const club[] = {"club."};
    const bounds b = {60, 0, 0, 15, 30};

    (void)state;
    for (uint64_t seed = 1; seed <= DRAWS; seed++) {
        setting s = drawn(seed);
        trial t;
        s.swing.waggle_rad = 0.3;
        t = run(&s, club, 1);
        check(&t, &b, 0, "no club");
        assert_int_equal(t.swing->event[SWT_EVENT_TAKEAWAY].verdict.reason, SWT_REASON_FROM_HANDS);
        assert_int_equal(t.swing->event[SWT_EVENT_IMPACT].verdict.reason, SWT_REASON_FROM_HANDS);
        trial_done(&t);
    }
}

/* From 50 ms before contact to 50 ms after: what the capture does not hold is absent. */
static void a_capture_that_ends_near_impact(void **state)
{
    static const double after_s[] = {-0.05, -0.02, 0.02, 0.05};

    (void)state;
    for (size_t k = 0; k < sizeof after_s / sizeof *after_s; k++) {
        setting s = drawn(1);
        trial whole = run(&s, NULL, 0), t;
        double end = (double)(whole.swing->n_frames - 1) / whole.swing->rate_hz;
        s.recording.clip_end_s = end - whole.truth->event_s[SWT_TRUE_IMPACT] - after_s[k];
        t = run(&s, NULL, 0);
        assert_close(t.swing->event[SWT_EVENT_CLUB_TOP].time_s, t.truth->event_s[SWT_TRUE_CLUB_TOP],
                     0.008, "club top");
        assert_int_equal(t.swing->event[SWT_EVENT_FINISH].verdict.reason, SWT_REASON_ENDS_EARLY);
        if (after_s[k] < 0)
            assert_int_equal(t.swing->event[SWT_EVENT_IMPACT].verdict.reason,
                             SWT_REASON_ENDS_EARLY);
        else
            assert_close(t.swing->event[SWT_EVENT_IMPACT].time_s, t.truth->event_s[SWT_TRUE_IMPACT],
                         0.0005, "impact");
        trial_done(&whole);
        trial_done(&t);
    }
}

/* Frames of b after those of a; `backwards`: in reverse order. */
static void append(swt_capture *into, size_t *at, const swt_capture *from, bool backwards)
{
    size_t row = 3 * from->n_points;

    for (size_t f = 0; f < from->n_frames; f++, (*at)++) {
        size_t source = backwards ? from->n_frames - 1 - f : f;
        memcpy(into->xyz + *at * row, from->xyz + source * row, row * sizeof(double));
    }
}

static void rest_ball(swt_capture *c, long ball, const double *place)
{
    for (size_t f = 0; f < c->n_frames; f++)
        memcpy(&c->xyz[(f * c->n_points + (size_t)ball) * 3], place, 3 * sizeof *place);
}

/* A practice swing, the same slowly backwards (the way back to address), then the real one. */
static swt_capture *with_practice(const setting *s, const swt_model_swing *practice,
                                  const swt_capture *real, double *offset_s)
{
    swt_model_recording r = s->recording;
    swt_error err = SWT_ERROR_INIT;
    swt_capture *swing = NULL, *back = NULL, *whole;
    long ball = swt_capture_find(real, "BALL");
    size_t at = 0;

    r.seed += 1000;
    if (swt_model_capture(&swing, NULL, &s->player, practice, &r, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    r.rate_hz *= 4;
    if (swt_model_capture(&back, NULL, &s->player, practice, &r, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    rest_ball(swing, ball, &real->xyz[3 * ball]);
    rest_ball(back, ball, &real->xyz[3 * ball]);
    whole = swt_capture_new(swing->n_frames + back->n_frames + real->n_frames, real->n_points);
    assert_non_null(whole);
    append(whole, &at, swing, false);
    append(whole, &at, back, true);
    *offset_s = (double)at / real->rate_hz;
    append(whole, &at, real, false);
    whole->rate_hz = real->rate_hz;
    for (size_t p = 0; p < real->n_points; p++)
        assert_int_equal(swt_string_set(&whole->label[p], real->label[p], &err), SWT_OK);
    assert_int_equal(swt_string_set(&whole->unit, real->unit, &err), SWT_OK);
    swt_capture_free(swing);
    swt_capture_free(back);
    return whole;
}

/* Frames in the wrong order: no number at all. */
static void reversed_time_is_refused(void **state)
{
    static const char *const no_ball[] = {"ball"}, *const no_club[] = {"club.", "ball"};

    (void)state;
    for (uint64_t seed = 1; seed <= DRAWS; seed++)
        for (int k = 0; k < 3; k++) {
            setting s = drawn(seed);
            trial t = run(&s, NULL, 0);
            swt_error err = SWT_ERROR_INIT;
            swt_capture *back = swt_capture_new(t.capture->n_frames, t.capture->n_points);
            size_t at = 0;

            assert_non_null(back);
            append(back, &at, t.capture, true);
            back->rate_hz = t.capture->rate_hz;
            for (size_t p = 0; p < back->n_points; p++)
                assert_int_equal(swt_string_set(&back->label[p], t.capture->label[p], &err),
                                 SWT_OK);
            assert_int_equal(swt_string_set(&back->unit, t.capture->unit, &err), SWT_OK);
            swt_capture_free(t.capture);
            swt_swing_free(t.swing);
            t.capture = back;
            t.swing = NULL;
            assert_int_equal(trial_analyse(&t, &s.player, &s.recording, k == 1 ? no_ball : no_club,
                                           (size_t)k, &err),
                             SWT_EDATA);
            assert_null(t.swing);
            trial_done(&t);
        }
}

static bool found(const swt_swing *swing, const char *code)
{
    for (size_t i = 0; i < swing->findings.n; i++)
        if (strcmp(swing->findings.item[i].code, code) == 0)
            return true;
    return false;
}

/* With the ball's start, and without a ball, where the last swing counts. */
static void the_real_swing_after_a_practice_swing(void **state)
{
    static const char *const no_ball[] = {"ball"};

    (void)state;
    for (uint64_t seed = 1; seed <= DRAWS; seed++)
        for (int k = 0; k < 4; k++) {
            setting s = drawn(seed);
            swt_model_swing practice;
            trial t = run(&s, NULL, 0);
            swt_error err = SWT_ERROR_INIT;
            swt_capture *whole;
            double offset_s;

            assert_false(found(t.swing, "other_swings"));
            practice = s.swing;
            if (k & 1) { /* as long, but slower */
                practice.downswing_s *= 1.2;
                practice.release_s *= 1.2;
            }
            whole = with_practice(&s, &practice, t.capture, &offset_s);
            swt_capture_free(t.capture);
            swt_swing_free(t.swing);
            t.capture = whole;
            t.swing = NULL;
            if (trial_analyse(&t, &s.player, &s.recording, no_ball, k & 2 ? 1 : 0, &err) != SWT_OK)
                fail_msg("%s", err.msg);
            check(&t, &laboratory, offset_s, "after a practice swing");
            assert_true(found(t.swing, "other_swings"));
            assert_false(found(t.swing, "rate_doubtful"));
            trial_done(&t);
        }
}

/* 0.2 s are too long for a curve through the gap: a PSIS is placed by the rest of the pelvis; the
 * two sides of an elbow are on no rigid body with those of the other one, and what is lost stays
 * lost. */
static void only_rigid_bodies_fill_long_gaps(void **state)
{
    const swt_model_stretch lost[] = {{"R_PSIS", NULL, 0.9, 1.1}, {"L_ELBOW_LAT", NULL, 0.9, 1.1}};
    setting s = {swt_model_player_default(1.78), swt_model_swing_default("driver"),
                 trial_recording()};
    trial t;

    (void)state;
    s.recording.stretch = lost;
    s.recording.n_stretches = 2;
    t = run(&s, NULL, 0);
    assert_close(t.swing->quality.longest_gap_s[SWT_TRAIL_PSIS], 0.2, 0.006, "PSIS");
    assert_close(t.swing->quality.longest_gap_s[SWT_LEAD_EL], 0.2, 0.006, "elbow");
    assert_close(t.swing->quality.missing_fraction[SWT_TRAIL_PSIS], 0, 0, "PSIS missing");
    assert_close(t.swing->quality.filled_fraction[SWT_TRAIL_PSIS] * (double)t.swing->n_frames, 48,
                 1, "frames of the PSIS filled");
    assert_close(t.swing->quality.filled_fraction[SWT_LEAD_EL], 0, 0, "elbow filled");
    assert_close(t.swing->quality.missing_fraction[SWT_LEAD_EL] * (double)t.swing->n_frames, 48, 1,
                 "frames of the elbow missing");
    trial_done(&t);
}

/* Moves the grip's marker along the shaft: by `part` of their distance, and to and fro. */
static void slip_grip(swt_capture *c, double part, double amplitude_m)
{
    long grip = swt_capture_find(c, "CLUB_GRIP"), head = swt_capture_find(c, "CLUB_HEAD");

    for (size_t f = 0; f < c->n_frames; f++) {
        double *g = c->xyz + 3 * (f * c->n_points + (size_t)grip);
        const double *h = c->xyz + 3 * (f * c->n_points + (size_t)head);
        swt_vec3 way = swt_vec3_make(h[0] - g[0], h[1] - g[1], h[2] - g[2]);
        double slip = sin(2 * SWT_PI * 3 * (double)f / c->rate_hz);
        double by = part + 1000 * amplitude_m * slip / swt_norm(way);
        g[0] += by * way.x;
        g[1] += by * way.y;
        g[2] += by * way.z;
    }
}

/* What no person and no club can have done is told, and limits what it touches. */
static void the_impossible_is_doubted(void **state)
{
    enum { RIGHT, SLOW, FAST, FEW, LONG_CLUB, SLIPPING, DAWDLING };
    static const struct {
        int what;
        double declared_hz;
        const char *code;
    } rows[] = {{RIGHT, 240, NULL},
                {SLOW, 60, "rate_doubtful"},
                {FAST, 480, "rate_doubtful"},
                {FEW, 40, "few_frames"},
                {LONG_CLUB, 240, "shaft_length_implausible"},
                {SLIPPING, 240, "club_not_rigid"},
                {DAWDLING, 240, "measure_implausible"}};
    static const char *const codes[] = {"rate_doubtful", "few_frames", "shaft_length_implausible",
                                        "club_not_rigid", "measure_implausible"};

    (void)state;
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        setting s = {swt_model_player_default(1.78), swt_model_swing_default("driver"),
                     trial_recording()};
        swt_error err = SWT_ERROR_INIT;
        const swt_swing *swing;
        trial t;

        if (rows[k].what == FEW)
            s.recording.rate_hz = 40;
        if (rows[k].what == DAWDLING)
            s.swing.backswing_s = 2.2;
        t = run(&s, NULL, 0);
        t.capture->rate_hz = rows[k].declared_hz;
        if (rows[k].what == LONG_CLUB)
            slip_grip(t.capture, -0.7, 0);
        if (rows[k].what == SLIPPING)
            slip_grip(t.capture, 0, 0.030);
        swt_swing_free(t.swing);
        t.swing = NULL;
        if (trial_analyse(&t, &s.player, &s.recording, NULL, 0, &err) != SWT_OK)
            fail_msg("%s", err.msg);
        swing = t.swing;
        for (size_t i = 0; i < sizeof codes / sizeof *codes; i++) {
            bool expected = rows[k].code && strcmp(codes[i], rows[k].code) == 0;
            if (rows[k].what != RIGHT && rows[k].what != DAWDLING && i == 4)
                continue; /* wrong rates and clubs make impossible numbers too */
            if (found(swing, codes[i]) != expected)
                fail_msg("row %zu: %s is %stold", k, codes[i], expected ? "not " : "");
        }
        assert_int_equal(swing->event[SWT_EVENT_IMPACT].verdict.state,
                         swing->rate_doubtful ? SWT_LIMITED : SWT_USABLE);
        if (rows[k].what == RIGHT || rows[k].what == FEW)
            assert_close(swing->quality.frames_in_downswing,
                         (t.truth->event_s[SWT_TRUE_IMPACT] - t.truth->event_s[SWT_TRUE_CLUB_TOP]) *
                             rows[k].declared_hz,
                         0.5, "frames between top and impact");
        if (rows[k].what == RIGHT)
            assert_true(swing->quality.shaft_length_sd_m < 0.001);
        if (rows[k].what == DAWDLING) {
            const swt_measurement *m = &swing->measure[swt_measure_find("backswing_time")];
            assert_true(m->value > 2.0);
            assert_int_equal(m->verdict.state, SWT_LIMITED);
            assert_int_equal(m->verdict.reason, SWT_REASON_IMPLAUSIBLE);
        }
        if (rows[k].what == SLIPPING) {
            double sum = 0, squares = 0, n = (double)swing->split;
            for (size_t f = 0; f < swing->split; f++) {
                double slip = 0.030 * sin(2 * SWT_PI * 3 * (double)f / swing->rate_hz);
                sum += slip;
                squares += slip * slip;
            }
            assert_close(swing->quality.shaft_length_sd_m,
                         sqrt((squares - sum * sum / n) / (n - 1)), 0.0005, "SD of the slip");
        }
        trial_done(&t);
    }
}

/* The order in which a file lists its markers changes no bit of any answer. */
static void the_order_of_the_markers_does_not_matter(void **state)
{
    setting s = drawn(1);
    trial plain = run(&s, NULL, 0), turned = run(&s, NULL, 0);
    swt_capture *c = turned.capture;
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    for (size_t a = 0, b = c->n_points - 1; a < b; a++, b--) {
        char *label = c->label[a];
        c->label[a] = c->label[b];
        c->label[b] = label;
        for (size_t f = 0; f < c->n_frames; f++)
            for (size_t k = 0; k < 3; k++) {
                double *x = &c->xyz[(f * c->n_points + a) * 3 + k];
                double *y = &c->xyz[(f * c->n_points + b) * 3 + k], keep = *x;
                *x = *y;
                *y = keep;
            }
    }
    swt_swing_free(turned.swing);
    turned.swing = NULL;
    assert_int_equal(trial_analyse(&turned, &s.player, &s.recording, NULL, 0, &err), SWT_OK);
    for (int e = 0; e < SWT_EVENT_COUNT; e++)
        assert_memory_equal(&turned.swing->event[e].time_s, &plain.swing->event[e].time_s,
                            sizeof(double));
    for (size_t m = 0; m < swt_measure_count(); m++)
        assert_memory_equal(&turned.swing->measure[m].value, &plain.swing->measure[m].value,
                            sizeof(double));
    trial_done(&plain);
    trial_done(&turned);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(waggles_are_not_takeaways),
        cmocka_unit_test(a_forward_press_is_no_takeaway),
        cmocka_unit_test(a_pause_at_the_top),
        cmocka_unit_test(rates_and_noise),
        cmocka_unit_test(short_shots_and_left_handers),
        cmocka_unit_test(without_a_club),
        cmocka_unit_test(a_capture_that_ends_near_impact),
        cmocka_unit_test(reversed_time_is_refused),
        cmocka_unit_test(the_real_swing_after_a_practice_swing),
        cmocka_unit_test(only_rigid_bodies_fill_long_gaps),
        cmocka_unit_test(the_impossible_is_doubted),
        cmocka_unit_test(the_order_of_the_markers_does_not_matter),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
