/* Contact from an analog channel: onsets of signals whose instant is known, and swings of the
   forward model with a sound at contact. */
#include "kinematics/impact_channel.h"
#include "tests/support/support.h"
#include "tests/support/trial.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { N = 4000 };
static const double rate_hz = 2000;
static double x[N];

static swt_onsets find(double threshold, double delay_s)
{
    swt_onsets onsets = {.n = 99};

    assert_int_equal(swt_onsets_find(&onsets, x, N, rate_hz, threshold, delay_s, NULL), SWT_OK);
    return onsets;
}

static void rest(double level, double noise)
{
    uint64_t seed = 5;
    for (size_t i = 0; i < N; i++)
        x[i] = level + noise * draw_normal(&seed);
}

static void onsets_of_known_signals(void **state)
{
    swt_onsets o;

    (void)state;
    /* a ramp of 1 V a sample from sample 1000 on, over rest at 3 V: 2.5 V are passed at 1002.5 */
    rest(3, 0);
    for (size_t i = 1000; i < 1010; i++)
        x[i] = 3 + (double)(i - 1000);
    o = find(2.5, 0);
    assert_int_equal(o.n, 1);
    assert_close(o.time_s[0], 1002.5 / rate_hz, 1e-12, "between two samples");
    assert_close(o.sd_s, 0.0005 / sqrt(12), 1e-12, "uniform within a sample");
    o = find(2.5, 0.003);
    assert_close(o.time_s[0], 1002.5 / rate_hz - 0.003, 1e-12, "a channel that lags");
    /* downwards, a step that stays, noise: found without a threshold, and once */
    rest(0, 0.01);
    for (size_t i = 2500; i < N; i++)
        x[i] = i < 3000 ? -2 : x[i];
    o = find(0, 0);
    assert_int_equal(o.n, 1);
    assert_close(o.time_s[0], 2499.5 / rate_hz, 0.5001 / rate_hz, "step");
    /* a ring counts once, another after 0.1 s again, a gap of NaN is rest */
    rest(0, 0.01);
    for (size_t i = 0; i < 300; i++)
        x[500 + i] += 5 * exp(-(double)i / 30) * cos(2.1 * (double)i);
    x[1500] = 4;
    for (size_t i = 1501; i < 1600; i++)
        x[i] = nan("");
    o = find(0, 0);
    assert_int_equal(o.n, 2);
    assert_close(o.time_s[0], 499.5 / rate_hz, 0.5001 / rate_hz, "ring");
    /* nothing to find: constant, missing throughout, noise alone (at most stray peaks far apart) */
    rest(7, 0);
    assert_int_equal(find(0, 0).n, 0);
    rest(nan(""), 1);
    assert_int_equal(find(0, 0).n, 0);
    rest(0, 1);
    assert_int_equal(find(0, 0).n, 0);
    /* above the threshold from the start: no onset is seen */
    rest(0, 0);
    for (size_t i = 0; i < 300; i++)
        x[i] = 1;
    assert_int_equal(find(0.5, 0).n, 0);
    /* more often than a person can strike: it tells nothing */
    rest(0, 0);
    for (size_t i = 50; i < N; i += 100)
        x[i] = 1;
    assert_int_equal(find(0.5, 0).n, 1); /* every 50 ms: one ring */
    assert_int_equal(swt_onsets_find(&o, x, N, 200, 0.5, 0, NULL), SWT_OK);
    assert_int_equal(o.n, 0); /* every half second, 40 times */
}

/* ---- swings ---- */

typedef struct told {
    double impact_s, sd_s;
    bool from_channel;
    char finding[280];
} told;

static trial t;
static swt_model_player player;
static swt_model_recording recording;

static void make(double frame_rate_hz, size_t per_frame)
{
    swt_model_swing swing = swt_model_swing_default("driver");
    swt_error err = SWT_ERROR_INIT;

    player = swt_model_player_default(1.8);
    recording = trial_recording();
    recording.rate_hz = frame_rate_hz;
    recording.noise_m = 0.0005;
    recording.sound_per_frame = per_frame;
    if (trial_run(&t, &player, &swing, &recording, NULL, 0, &err) != SWT_OK)
        fail_msg("%s", err.msg);
}

static told analyse(const char *channel, double delay_s, const char *const *without, size_t n)
{
    swt_analysis_options options;
    swt_findings findings = {0};
    swt_landmark_set *set = NULL;
    swt_marker_map map = {0};
    swt_swing *swing = NULL;
    swt_error err = SWT_ERROR_INIT;
    told out = {nan(""), nan(""), false, ""};

    swt_analysis_options_init(&options);
    options.uncertainty_replicates = 5;
    if (trial_bind(&set, &map, t.capture, &player, &recording, without, n, &findings, &err) !=
        SWT_OK)
        fail_msg("%s", err.msg);
    strcpy(map.impact_channel, channel);
    map.impact_delay_s = delay_s;
    if (swt_onsets_of_capture(set, &map, t.capture, &findings, &err) != SWT_OK ||
        swt_analyse(&swing, set, NULL, &map, SWT_RIGHT_HANDED, &findings, &options, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    out.impact_s = swing->event[SWT_EVENT_IMPACT].time_s;
    out.sd_s = swing->event[SWT_EVENT_IMPACT].sd_s;
    out.from_channel = swing->impact_from_channel;
    for (size_t i = 0; i < swing->findings.n; i++)
        if (strncmp(swing->findings.item[i].code, "impact_", 7) == 0)
            strcpy(out.finding, swing->findings.item[i].text);
    swt_swing_free(swing);
    swt_landmark_set_free(set);
    swt_marker_map_reset(&map);
    return out;
}

static void impact_is_the_onset_to_a_fraction_of_a_sample(void **state)
{
    static const struct {
        double rate_hz;
        size_t per_frame;
    } kinds[] = {{240, 8}, {100, 20}, {200, 1}, {500, 3}};

    (void)state;
    for (size_t k = 0; k < sizeof kinds / sizeof *kinds; k++) {
        double sample_s = 1 / (kinds[k].rate_hz * (double)kinds[k].per_frame), truth;
        told with;
        make(kinds[k].rate_hz, kinds[k].per_frame);
        truth = t.truth->event_s[SWT_TRUE_IMPACT];
        with = analyse("Sound", 0, NULL, 0);
        assert_true(with.from_channel);
        assert_close(with.impact_s, truth, 1.001 * sample_s, "impact within a sample");
        assert_close(with.sd_s, sample_s / sqrt(12), 1e-12, "its uncertainty");
        assert_non_null(strstr(with.finding, "onset of channel \"Sound\""));
        trial_done(&t);
    }
}

/* Moves the sound by some samples, and adds another where asked. */
static void shift(long samples, long copy_after)
{
    size_t n = t.capture->n_frames * t.capture->analog_per_frame;
    double *from = t.capture->analog->sample, *to = malloc(n * sizeof *to);

    assert_non_null(to);
    for (size_t i = 0; i < n; i++) {
        long at = (long)i - samples, other = (long)i - copy_after;
        to[i] = at >= 0 && at < (long)n ? from[at] : 0;
        if (copy_after && other >= 0 && other < (long)n)
            to[i] += from[other];
    }
    memcpy(from, to, n * sizeof *to);
    free(to);
}

static void what_does_not_tell_leaves_it_to_the_markers(void **state)
{
    double markers;
    told with;

    (void)state;
    make(240, 8);
    markers = t.swing->event[SWT_EVENT_IMPACT].time_s;
    with = analyse("Sond", 0, NULL, 0);
    assert_close(with.impact_s, markers, 0, "no such channel");
    assert_non_null(strstr(with.finding, "the nearest is \"Sound\""));
    /* 40 ms late: another clock; with the delay named it is the same one */
    shift(77, 0);
    with = analyse("Sound", 0, NULL, 0);
    assert_false(with.from_channel);
    assert_close(with.impact_s, markers, 0, "another clock");
    assert_non_null(strstr(with.finding, "cannot share a clock"));
    with = analyse("Sound", 77 / 1920.0, NULL, 0);
    assert_true(with.from_channel);
    assert_close(with.impact_s, t.truth->event_s[SWT_TRUE_IMPACT], 1.001 / 1920, "delay");
    /* a second later: nothing where contact must be */
    shift(1920 / 2, 0);
    with = analyse("Sound", 0, NULL, 0);
    assert_non_null(strstr(with.finding, "has no onset"));
    assert_close(with.impact_s, markers, 0, "no onset");
    trial_done(&t);
    /* two in reach of one another: nobody knows which */
    make(240, 8);
    shift(0, -200);
    shift(-90, 0);
    with = analyse("Sound", 0, NULL, 0);
    assert_false(with.from_channel);
    trial_done(&t);
}

/* Hands alone place contact to some hundredths of a second; the channel places it to a sample. */
static void without_a_club_the_channel_tells_more(void **state)
{
    static const char *const club[] = {"club."};
    told with;
    double truth;

    (void)state;
    make(240, 8);
    truth = t.truth->event_s[SWT_TRUE_IMPACT];
    with = analyse("Sound", 0, club, 1);
    assert_true(with.from_channel);
    assert_close(with.impact_s, truth, 1.001 / 1920, "impact without a club");
    trial_done(&t);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(onsets_of_known_signals),
        cmocka_unit_test(impact_is_the_onset_to_a_fraction_of_a_sample),
        cmocka_unit_test(what_does_not_tell_leaves_it_to_the_markers),
        cmocka_unit_test(without_a_club_the_channel_tells_more),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
