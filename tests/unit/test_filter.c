/* Zero-lag filter and residual analysis: published coefficients, SciPy, theory, invariances. */
#include "base/vector.h"
#include "kinematics/filter.h"
#include "tests/reference/filter_values.inc"
#include "tests/support/support.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define N 600

static void coefficients_match_the_worked_example(void **state)
{
    swt_filter_pass pass;

    (void)state;
    /* 250 Hz, 10 Hz, corrected on the warped frequency (method: Winter 4e p. 69, Robertson 2e
     * p. 288); digits computed with SciPy's butter at 12.42901468 Hz */
    assert_int_equal(swt_filter_design(&pass, &(swt_filter_spec){250, 10}, NULL), SWT_OK);
    assert_close(pass.b0, 0.0198773434, 5e-11, "b0");
    assert_close(pass.a1, -1.5634603432, 5e-11, "a1");
    assert_close(pass.a2, 0.6429697169, 5e-11, "a2");
}

static void scipy_gives_the_same_numbers(void **state)
{
    double y[N];

    (void)state;
    for (size_t k = 0; k < sizeof filter_cases / sizeof *filter_cases; k++) {
        swt_filter_spec spec = {filter_cases[k].rate_hz, filter_cases[k].cutoff_hz};
        assert_int_equal(swt_filter_lowpass(y, filter_cases[k].in, filter_cases[k].n, &spec, NULL),
                         SWT_OK);
        for (size_t i = 0; i < filter_cases[k].n; i++)
            assert_close(y[i], filter_cases[k].out[i], 2e-14, "against scipy.signal.filtfilt");
    }
}

static void gain_and_phase_match_theory(void **state)
{
    /* gain = 1 / (1 + (C tan(pi f/fs) / tan(pi fc/fs))^4), C^4 = sqrt(2) - 1, fs 240, fc 12 */
    static const struct {
        double f_hz, gain;
    } rows[] = {{3, 0.99843388}, {12, 0.70710678}, {48, 0.00542276}};
    static double x[4800], y[4800];
    const size_t n = sizeof x / sizeof *x;

    (void)state;
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        double in_phase = 0, quadrature = 0;
        for (size_t i = 0; i < n; i++)
            x[i] = sin(2 * SWT_PI * rows[k].f_hz * (double)i / 240);
        assert_int_equal(swt_filter_lowpass(y, x, n, &(swt_filter_spec){240, 12}, NULL), SWT_OK);
        for (size_t i = 1200; i < 3600; i++) { /* whole periods, far from the ends */
            in_phase += 2 * y[i] * x[i] / 2400;
            quadrature += 2 * y[i] * cos(2 * SWT_PI * rows[k].f_hz * (double)i / 240) / 2400;
        }
        assert_close(in_phase, rows[k].gain, 1e-7, "gain");
        assert_close(quadrature, 0, 1e-9, "phase");
    }
}

static void lines_pass_unchanged(void **state)
{
    double x[N], y[N];

    (void)state;
    for (size_t n = SWT_FILTER_MIN_RUN; n < N; n += 37) {
        for (size_t i = 0; i < n; i++)
            x[i] = 1500 - 3.25 * (double)i;
        assert_int_equal(swt_filter_lowpass(y, x, n, &(swt_filter_spec){240, 6}, NULL), SWT_OK);
        for (size_t i = 0; i < n; i++)
            assert_close(y[i], x[i], 1e-11, "line");
    }
}

static void curved_motion_keeps_its_direction_up_to_impact(void **state)
{
    /* a club head on a circle of 1.6 m, angular speed 38 / (1 + (t / 0.08 s)^2) rad/s, up to t = 0;
     * 20 Hz cut-off; without the curvature term the last velocity is turned by 10.8 degrees */
    enum { FRAMES = 240 };
    double x[FRAMES], z[FRAMES], vx = 0, vz = 0;
    static const double one_sided[5] = {25 / 12., -4, 3, -4 / 3., 1 / 4.};

    (void)state;
    for (int i = 0; i < FRAMES; i++) {
        double angle = 38 * 0.08 * atan((i - (FRAMES - 1)) / 240.0 / 0.08);
        x[i] = 1.6 * sin(angle);
        z[i] = -1.6 * cos(angle);
    }
    assert_int_equal(swt_filter_lowpass(x, x, FRAMES, &(swt_filter_spec){240, 20}, NULL), SWT_OK);
    assert_int_equal(swt_filter_lowpass(z, z, FRAMES, &(swt_filter_spec){240, 20}, NULL), SWT_OK);
    for (int k = 0; k < 5; k++) {
        vx += 240 * one_sided[k] * x[FRAMES - 1 - k];
        vz += 240 * one_sided[k] * z[FRAMES - 1 - k];
    }
    assert_close(hypot(vx, vz), 1.6 * 38, 0.3, "speed at impact");
    assert_close(SWT_DEGREES(atan2(vz, vx)), 0, 0.5, "direction at impact");
}

static void filtering_is_affine(void **state)
{
    uint64_t seed = 7;
    double x[N], y[N], z[N];

    (void)state;
    for (int k = 0; k < 50; k++) {
        size_t n = SWT_FILTER_MIN_RUN + (size_t)(draw(&seed) * (N - SWT_FILTER_MIN_RUN));
        double p = 10 * draw(&seed) - 5, q = draw(&seed), r = draw(&seed) / 100;
        swt_filter_spec spec = {240, 2 + 90 * draw(&seed)};
        for (size_t i = 0; i < n; i++)
            x[i] = draw_normal(&seed);
        for (size_t i = 0; i < n; i++)
            z[i] = p * x[i] + q + r * (double)i;
        assert_int_equal(swt_filter_lowpass(y, x, n, &spec, NULL), SWT_OK);
        assert_int_equal(swt_filter_lowpass(z, z, n, &spec, NULL), SWT_OK); /* in place */
        for (size_t i = 0; i < n; i++)
            assert_close(z[i], p * y[i] + q + r * (double)i, 1e-12, "affine");
    }
}

static void gaps_divide_and_short_runs_vanish(void **state)
{
    uint64_t seed = 3;
    double x[N], y[N], alone[N];
    swt_filter_spec spec = {240, 10};

    (void)state;
    for (size_t i = 0; i < N; i++)
        x[i] = draw_normal(&seed);
    x[0] = x[200] = x[211] = nan("");
    x[300] = HUGE_VAL;
    assert_int_equal(swt_filter_lowpass(y, x, N, &spec, NULL), SWT_OK);
    for (size_t i = 200; i <= 211; i++)
        assert_true(isnan(y[i])); /* ten samples between two gaps are too few */
    assert_true(isnan(y[0]) && isnan(y[300]));
    assert_int_equal(swt_filter_lowpass(alone, x + 212, 88, &spec, NULL), SWT_OK);
    assert_memory_equal(alone, y + 212, 88 * sizeof *y);
    assert_int_equal(swt_filter_lowpass(alone, x + 301, N - 301, &spec, NULL), SWT_OK);
    assert_memory_equal(alone, y + 301, (N - 301) * sizeof *y);
}

static void nothing_crosses_impact(void **state)
{
    uint64_t seed = 5;
    double x[N], y[N], z[N];
    swt_filter_spec spec = {240, 10};
    const size_t split = 333;

    (void)state;
    for (size_t i = 0; i < N; i++)
        x[i] = (double)i / 100 + 0.1 * draw_normal(&seed);
    assert_int_equal(swt_filter_lowpass_split(y, x, N, split, &spec, NULL), SWT_OK);
    for (size_t i = split; i < N; i++)
        x[i] += 1000;
    assert_int_equal(swt_filter_lowpass_split(z, x, N, split, &spec, NULL), SWT_OK);
    assert_memory_equal(y, z, split * sizeof *y);
    for (size_t i = split; i < N; i++)
        assert_close(z[i], y[i] + 1000, 1e-10, "after impact");
    assert_int_equal(swt_filter_lowpass_split(y, x, N, 0, &spec, NULL), SWT_OK);
    assert_int_equal(swt_filter_lowpass_split(z, x, N, N, &spec, NULL), SWT_OK);
    assert_memory_equal(y, z, sizeof y);
}

static void channels_are_the_single_filter_bit_for_bit(void **state)
{
    enum { CHANNELS = 29 };
    uint64_t seed = 11;
    double *x = malloc(CHANNELS * N * sizeof *x), *y = malloc(CHANNELS * N * sizeof *y);
    double single[N], cutoff[CHANNELS], *out[CHANNELS], *again[CHANNELS];
    const double *in[CHANNELS];

    (void)state;
    assert_non_null(x);
    assert_non_null(y);
    for (size_t c = 0; c < CHANNELS; c++) {
        cutoff[c] = 4 + 40 * draw(&seed);
        for (size_t i = 0; i < N; i++)
            x[c * N + i] = draw_normal(&seed);
        if (c % 3 == 0)
            x[c * N + (size_t)(draw(&seed) * N)] = nan("");
        in[c] = x + c * N;
        out[c] = y + c * N;
        again[c] = x + c * N;
    }
    memset(y, 0x55, CHANNELS * N * sizeof *y);
    assert_int_equal(swt_filter_channels(out, in, CHANNELS, N, 250, 240, cutoff, NULL), SWT_OK);
    for (size_t c = 0; c < CHANNELS; c++) {
        swt_filter_spec spec = {240, cutoff[c]};
        assert_int_equal(swt_filter_lowpass_split(single, x + c * N, N, 250, &spec, NULL), SWT_OK);
        for (size_t i = 0; i < N; i++)
            if (isnan(single[i])) /* a run too short stays as it is */
                single[i] = x[c * N + i];
        assert_memory_equal(single, y + c * N, sizeof single);
    }
    assert_int_equal(swt_filter_channels(again, in, CHANNELS, N, 250, 240, cutoff, NULL), SWT_OK);
    assert_memory_equal(x, y, CHANNELS * N * sizeof *x); /* in place */
    free(x);
    free(y);
}

static void bad_calls_are_refused_untouched(void **state)
{
    static const swt_filter_spec bad[] = {{0, 10},   {-1, 10},   {240, 0},
                                          {240, -5}, {240, 108}, {240, 500}};
    double x[20] = {0}, y[20] = {42};
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    for (size_t k = 0; k < sizeof bad / sizeof *bad; k++) {
        assert_int_equal(swt_filter_lowpass(y, x, 20, &bad[k], &err), SWT_EARG);
        assert_close(y[0], 42, 0, "untouched");
    }
    assert_int_equal(swt_filter_lowpass(y, x, 20, &(swt_filter_spec){nan(""), 1}, &err), SWT_EARG);
    assert_int_equal(swt_filter_lowpass(y, x, 20, &(swt_filter_spec){240, nan("")}, &err),
                     SWT_EARG);
    assert_int_equal(swt_filter_lowpass(y, x, 0, &(swt_filter_spec){240, 10}, &err), SWT_OK);
}

/** A swing-like coordinate: two smooth moves, one of them quick. */
static void swing_like(double *x, size_t n, double rate_hz, double noise, uint64_t *seed)
{
    for (size_t i = 0; i < n; i++) {
        double t = (double)i / rate_hz;
        x[i] = 0.5 * exp(-pow((t - 1.0) / 0.3, 2)) + 0.8 / (1 + exp(-(t - 1.5) / 0.03)) +
               noise * draw_normal(seed);
    }
}

static void residual_analysis_finds_the_noise(void **state)
{
    static double x[2400], clean[2400], y[2400];
    static const struct {
        double rate_hz, noise;
    } rows[] = {{240, 0.0005}, {240, 0.005}, {500, 0.001}, {1000, 0.001}};
    double last = HUGE_VAL;

    (void)state;
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        size_t n = (size_t)(2.4 * rows[k].rate_hz);
        uint64_t seed = 21 + k;
        double cutoff, sd, before = 0, after = 0;

        swing_like(clean, n, rows[k].rate_hz, 0, &seed);
        swing_like(x, n, rows[k].rate_hz, rows[k].noise, &seed);
        assert_int_equal(
            swt_filter_residual_cutoff(&cutoff, &sd, x, n, SWT_NO_SPLIT, rows[k].rate_hz, NULL),
            SWT_OK);
        assert_close(sd, rows[k].noise, 0.15 * rows[k].noise, "noise SD");
        assert_true(cutoff > 4 && cutoff < 40);
        if (k == 1)
            assert_true(cutoff < last); /* more noise, lower cut-off */
        last = cutoff;
        assert_int_equal(
            swt_filter_lowpass(y, x, n, &(swt_filter_spec){rows[k].rate_hz, cutoff}, NULL), SWT_OK);
        for (size_t i = 0; i < n; i++) {
            before += pow(x[i] - clean[i], 2);
            after += pow(y[i] - clean[i], 2);
        }
        assert_true(after < 0.5 * before); /* the smoothed signal is nearer to the truth */
    }
}

/* Three series at once, with gaps in the same places: the noise of each, as one by one. */
static void noise_of_many_series_is_that_of_each(void **state)
{
    static const double noise[3] = {0.0005, 0.002, 0.001};
    static double x[3][600];
    const double *series[3] = {x[0], x[1], x[2]};
    double found[3], cutoff, alone;
    uint64_t seed = 5;

    (void)state;
    for (int k = 0; k < 3; k++) {
        swing_like(x[k], 600, 240, noise[k], &seed);
        for (int i = 200; i < 220; i++)
            x[k][i] = nan("");
    }
    assert_int_equal(swt_filter_residual_noise(found, series, 3, 600, 400, 240, NULL), SWT_OK);
    for (int k = 0; k < 3; k++) {
        assert_close(found[k], noise[k], 0.15 * noise[k], "noise SD");
        assert_int_equal(swt_filter_residual_cutoff(&cutoff, &alone, x[k], 600, 400, 240, NULL),
                         SWT_OK);
        assert_close(found[k], alone, 1e-12, "noise SD of the series alone");
    }
    assert_int_equal(swt_filter_residual_noise(found, series, 3, 40, 600, 240, NULL), SWT_EDATA);
    assert_int_equal(swt_filter_residual_noise(found, series, 3, 600, 400, -1, NULL), SWT_EARG);
}

static void residual_analysis_leaves_clean_data_alone(void **state)
{
    static double x[2400];
    uint64_t seed = 1;
    double cutoff, sd;

    (void)state;
    swing_like(x, 600, 250, 0, &seed);
    assert_int_equal(swt_filter_residual_cutoff(&cutoff, &sd, x, 600, SWT_NO_SPLIT, 250, NULL),
                     SWT_OK);
    assert_close(cutoff, 100, 1e-9, "highest trial");
    assert_true(sd < 1e-3);
    for (size_t i = 0; i < 600; i++)
        x[i] = 1.5;
    assert_int_equal(swt_filter_residual_cutoff(&cutoff, &sd, x, 600, SWT_NO_SPLIT, 250, NULL),
                     SWT_OK);
    assert_close(cutoff, 100, 1e-9, "a constant");
    assert_close(sd, 0, 1e-15, "a constant");
}

static void residual_analysis_needs_data(void **state)
{
    double x[60], cutoff, sd;

    (void)state;
    for (size_t i = 0; i < 60; i++)
        x[i] = i % 11 ? (double)i : nan("");
    assert_int_equal(swt_filter_residual_cutoff(&cutoff, &sd, x, 60, SWT_NO_SPLIT, 250, NULL),
                     SWT_EDATA);
    assert_int_equal(swt_filter_residual_cutoff(&cutoff, &sd, x, 0, SWT_NO_SPLIT, 250, NULL),
                     SWT_EDATA);
    assert_int_equal(swt_filter_residual_cutoff(&cutoff, &sd, x, 60, SWT_NO_SPLIT, 0, NULL),
                     SWT_EARG);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(coefficients_match_the_worked_example),
        cmocka_unit_test(scipy_gives_the_same_numbers),
        cmocka_unit_test(gain_and_phase_match_theory),
        cmocka_unit_test(lines_pass_unchanged),
        cmocka_unit_test(curved_motion_keeps_its_direction_up_to_impact),
        cmocka_unit_test(filtering_is_affine),
        cmocka_unit_test(gaps_divide_and_short_runs_vanish),
        cmocka_unit_test(nothing_crosses_impact),
        cmocka_unit_test(channels_are_the_single_filter_bit_for_bit),
        cmocka_unit_test(bad_calls_are_refused_untouched),
        cmocka_unit_test(residual_analysis_finds_the_noise),
        cmocka_unit_test(noise_of_many_series_is_that_of_each),
        cmocka_unit_test(residual_analysis_leaves_clean_data_alone),
        cmocka_unit_test(residual_analysis_needs_data),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
