/* One long capture: a practice swing, the walk to the ball with a waggle, and two shots. Every
 * swing is found, and gives the same numbers as a capture of it alone. */
#include "kinematics/swings.h"
#include "tests/support/support.h"
#include "tests/support/trial.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { SWINGS = 3 };

/* What sets the three swings apart; the first is practice. */
typedef struct scene {
    const char *name;
    double rate_hz, noise_m;
    double behind_m; /* the practice is made so far behind the ball */
    double loss;     /* of the shaft's turning at contact, in the shots: of 0.4 of it the head's
                        speed, to which the hands add, loses a fifth */
    bool ball;       /* its marker is in the map */
    bool sound;      /* a channel tells the shots' contact */
    swt_strike strike[SWINGS];
} scene;

typedef struct long_capture {
    swt_model_player player;
    swt_model_recording recording;
    swt_capture *single[SWINGS], *whole;
    size_t first[SWINGS];    /* frame of the whole at which the single begins */
    double impact_s[SWINGS]; /* of each single */
} long_capture;

static double *at(const swt_capture *c, size_t frame, size_t point)
{
    return &c->xyz[(frame * c->n_points + point) * 3];
}

/* From a's last frame to b's first in 2 s, swaying, as a player walks back to the ball. */
static void walk(swt_capture *whole, size_t to, size_t frames, const swt_capture *a,
                 const swt_capture *b)
{
    for (size_t f = 0; f < frames; f++) {
        double part = 0.5 - 0.5 * cos(SWT_PI * (double)(f + 1) / (double)(frames + 1));
        double sway = 30 * sin(4 * SWT_PI * (double)(f + 1) / (double)(frames + 1));
        for (size_t p = 0; p < whole->n_points; p++)
            for (int k = 0; k < 3; k++)
                at(whole, to + f, p)[k] = (1 - part) * at(a, a->n_frames - 1, p)[k] +
                                          part * at(b, 0, p)[k] + (k == 2 ? sway : 0);
    }
}

/* The ball lies at the shots' place while the practice goes on, behind it or over it. */
static void put_practice_beside_the_ball(swt_capture *practice, const swt_capture *shot,
                                         double behind_m)
{
    size_t ball = (size_t)swt_capture_find(shot, "BALL");

    for (size_t f = 0; f < practice->n_frames; f++) {
        for (size_t p = 0; p < practice->n_points; p++)
            at(practice, f, p)[1] += 1000 * behind_m;
        memcpy(at(practice, f, ball), at(shot, 0, ball), 3 * sizeof(double));
    }
}

static void make(long_capture *c, const scene *s)
{
    size_t frames = 0, gap = (size_t)(2 * s->rate_hz), to = 0;
    swt_error err = SWT_ERROR_INIT;
    swt_model_truth *truth;

    c->player = swt_model_player_default(1.78);
    c->recording = trial_recording();
    c->recording.rate_hz = s->rate_hz;
    c->recording.noise_m = s->noise_m;
    for (size_t k = 0; k < SWINGS; k++) {
        swt_model_swing swing = swt_model_swing_default("7-iron");
        swt_model_draw_player(&c->player, &swing, 7001);
        c->player = swt_model_player_default(1.78);
        swt_model_draw_swing(&swing, 50 + k);
        swing.waggle_rad = 0.3;
        swing.impact_loss = k > 0 ? s->loss : 0;
        c->recording.seed = 90 + k;
        if (swt_model_capture(&c->single[k], &truth, &c->player, &swing, &c->recording, &err))
            fail_msg("%s", err.msg);
        c->impact_s[k] = truth->event_s[SWT_TRUE_IMPACT];
        swt_model_truth_free(truth);
        frames += c->single[k]->n_frames + (k > 0 ? gap : 0);
    }
    put_practice_beside_the_ball(c->single[0], c->single[1], s->behind_m);
    c->whole = swt_capture_new(frames, c->single[0]->n_points);
    assert_non_null(c->whole);
    for (size_t k = 0; k < SWINGS; k++) {
        if (k > 0) {
            walk(c->whole, to, gap, c->single[k - 1], c->single[k]);
            to += gap;
        }
        c->first[k] = to;
        memcpy(at(c->whole, to, 0), c->single[k]->xyz,
               c->single[k]->n_frames * c->whole->n_points * 3 * sizeof(double));
        to += c->single[k]->n_frames;
    }
    c->whole->rate_hz = s->rate_hz;
    for (size_t p = 0; p < c->whole->n_points; p++)
        assert_int_equal(swt_string_set(&c->whole->label[p], c->single[0]->label[p], &err), SWT_OK);
    assert_int_equal(swt_string_set(&c->whole->unit, c->single[0]->unit, &err), SWT_OK);
}

static void done(long_capture *c)
{
    for (size_t k = 0; k < SWINGS; k++)
        swt_capture_free(c->single[k]);
    swt_capture_free(c->whole);
}

static void analyse(swt_swing ***swing, size_t *n, const long_capture *c,
                    const swt_capture *capture, bool ball, const swt_onsets *sound)
{
    static const char *const without[] = {"ball"};
    swt_landmark_set *set = NULL;
    swt_marker_map map = {0};
    swt_analysis_options options;
    swt_findings findings = {0};
    swt_error err = SWT_ERROR_INIT;

    swt_analysis_options_init(&options);
    options.uncertainty_replicates = 0;
    if (trial_bind(&set, &map, capture, &c->player, &c->recording, without, !ball, &findings,
                   &err) != SWT_OK)
        fail_msg("%s", err.msg);
    if (!ball)
        map.target = 1;
    set->onsets = *sound;
    if (swt_analyse_capture(swing, n, set, NULL, &map, SWT_RIGHT_HANDED, &options, &findings,
                            &err) != SWT_OK)
        fail_msg("%s", err.msg);
    swt_landmark_set_free(set);
    swt_marker_map_reset(&map);
}

static void free_swings(swt_swing **swing, size_t n)
{
    for (size_t k = 0; k < n; k++)
        swt_swing_free(swing[k]);
    free(swing);
}

/* The filter's cut-off is chosen from what surrounds the swing, so the numbers agree as far as
 * that choice does: SI units, about twice the greatest difference seen; times to a quarter of a
 * frame at least. The speeds are those of the club head at contact, where noise decides which of
 * two frames is the first after it. */
static double tolerance(swt_quantity quantity, double rate_hz)
{
    static const double limit[SWT_QUANTITY_COUNT] = {
        [SWT_LENGTH] = 0.0006, [SWT_ANGLE] = SWT_RADIANS(0.35),        [SWT_TIME] = 0.0025,
        [SWT_SPEED] = 0.2,     [SWT_ANGULAR_SPEED] = SWT_RADIANS(7.0), [SWT_FRACTION] = 0.02};
    return quantity == SWT_TIME ? fmax(limit[quantity], 0.25 / rate_hz) : limit[quantity];
}

static void same_numbers(const swt_swing *whole, const swt_swing *alone, double offset_s,
                         const char *name)
{
    char what[200];

    for (int e = 0; e < SWT_EVENT_COUNT; e++) {
        snprintf(what, sizeof what, "%s: %s", name, swt_event_name((swt_event)e));
        assert_int_equal(whole->event[e].verdict.state, alone->event[e].verdict.state);
        if (alone->event[e].verdict.state != SWT_ABSENT)
            assert_close(whole->event[e].time_s - offset_s, alone->event[e].time_s,
                         tolerance(SWT_TIME, whole->rate_hz), what);
    }
    for (size_t m = 0; m < swt_measure_count(); m++) {
        const swt_measure *row = swt_measure_row(m);
        snprintf(what, sizeof what, "%s: %s", name, row->name);
        if (alone->measure[m].verdict.state != SWT_ABSENT)
            assert_close(whole->measure[m].value, alone->measure[m].value,
                         tolerance(row->quantity, whole->rate_hz), what);
    }
}

/* Onsets of the shots [from, to) in the whole capture, or in the one single. */
static swt_onsets sound_of(const long_capture *c, const scene *s, size_t from, size_t to,
                           bool whole)
{
    swt_onsets sound = {.channel = ""};

    if (s->sound)
        snprintf(sound.channel, sizeof sound.channel, "sound");
    for (size_t k = from > 0 ? from : 1; s->sound && k < to; k++)
        sound.time_s[sound.n++] = c->impact_s[k] + (whole ? (double)c->first[k] / s->rate_hz : 0);
    return sound;
}

static void check_scene(const scene *s)
{
    long_capture c;
    swt_swing **swing;
    swt_onsets sound;
    size_t n, last_end = 0;

    make(&c, s);
    sound = sound_of(&c, s, 0, SWINGS, true);
    analyse(&swing, &n, &c, c.whole, s->ball, &sound);
    assert_int_equal(n, SWINGS);
    for (size_t k = 0; k < n; k++) {
        swt_swing **alone;
        size_t one;
        char name[100];
        snprintf(name, sizeof name, "%s, swing %zu", s->name, k + 1);
        if (swing[k]->strike != s->strike[k])
            fail_msg("%s: %s", name, swt_strike_name(swing[k]->strike));
        assert_int_equal(swing[k]->number, k + 1);
        assert_true(swing[k]->capture_frame >= last_end);
        last_end = swing[k]->capture_frame + swing[k]->n_frames;
        assert_true(last_end <= c.whole->n_frames);
        sound = sound_of(&c, s, k, k + 1, false);
        analyse(&alone, &one, &c, c.single[k], s->ball, &sound);
        assert_int_equal(one, 1);
        assert_int_equal(alone[0]->strike, SWT_STRIKE_UNKNOWN);
        assert_int_equal(alone[0]->capture_frame, 0);
        assert_int_equal(alone[0]->n_frames, c.single[k]->n_frames);
        same_numbers(swing[k], alone[0], (double)c.first[k] / s->rate_hz, name);
        free_swings(alone, one);
    }
    free_swings(swing, n);
    done(&c);
}

#define SHOTS SWT_STRUCK, SWT_STRUCK

static void a_ball_that_starts(void **state)
{
    static const scene scenes[] = {
        {"beside the ball", 240, 0.0005, 0.5, 0.25, true, false, {SWT_PRACTICE, SHOTS}},
        {"over the ball", 240, 0.0005, 0, 0.25, true, false, {SWT_PRACTICE, SHOTS}},
        {"1000 Hz", 1000, 0.0005, 0.5, 0.25, true, false, {SWT_PRACTICE, SHOTS}},
        {"60 Hz", 60, 0.0005, 0.5, 0.25, true, false, {SWT_PRACTICE, SHOTS}},
        {"no noise", 120, 0, 0.5, 0, true, false, {SWT_PRACTICE, SHOTS}},
    };

    (void)state;
    for (size_t k = 0; k < sizeof scenes / sizeof *scenes; k++)
        check_scene(&scenes[k]);
}

static void without_a_ball_sound_or_the_speed_lost_at_contact_tells(void **state)
{
    static const scene scenes[] = {
        {"240 Hz, no ball", 240, 0.0005, 0, 0.4, false, false, {SWT_PRACTICE, SHOTS}},
        {"1000 Hz, no ball", 1000, 0.0005, 0, 0.4, false, false, {SWT_PRACTICE, SHOTS}},
        {"a sound tells", 240, 0.0005, 0, 0, false, true, {SWT_PRACTICE, SHOTS}},
        {"nothing tells",
         240,
         0.0005,
         0,
         0,
         false,
         false,
         {SWT_STRIKE_UNKNOWN, SWT_STRIKE_UNKNOWN, SWT_STRIKE_UNKNOWN}},
    };

    (void)state;
    for (size_t k = 0; k < sizeof scenes / sizeof *scenes; k++)
        check_scene(&scenes[k]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_ball_that_starts),
        cmocka_unit_test(without_a_ball_sound_or_the_speed_lost_at_contact_tells),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
