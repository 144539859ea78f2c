/* Smoothing spline: a worked example, exactness, theory of its gain, runs and refusals. */
#include "base/vector.h"
#include "kinematics/spline.h"
#include "tests/support/support.h"

#include <math.h>

#define N 600

static void worked_example(void **state)
{
    /* digits from a dense solution of Reinsch's equations, equal to SciPy 1.10.1's
     * make_smoothing_spline to 5e-9 */
    double y[21], g[21], smoothing, score, sd;

    (void)state;
    for (int i = 0; i <= 20; i++)
        y[i] = sin(.3 * i) + .1 * ((7 * i) % 13 - 6) / 6;
    assert_int_equal(swt_spline_gcv(&smoothing, &score, &sd, y, 21, SWT_NO_SPLIT, 1, NULL), SWT_OK);
    assert_close(smoothing, 1.7536629701, 5e-7, "smoothing"); /* the valley is flat */
    assert_close(score, .0076354677, 6e-11, "score");
    assert_int_equal(swt_spline_smooth(g, NULL, NULL, y, 21, SWT_NO_SPLIT, 1, 1.7536629701, NULL),
                     SWT_OK);
    assert_close(g[0], -.03807529, 6e-9, "g(0)");
    assert_close(g[10], .17256684, 6e-9, "g(10)");
    assert_close(g[20], -.28815569, 6e-9, "g(20)");
}

static void degrees_of_freedom_of_the_worked_example(void **state)
{
    /* tr H = 7.3773702910: RSS = score (N - tr H)^2 / N, noise SD^2 = RSS / (N - tr H) */
    double y[21], smoothing, score, sd;

    (void)state;
    for (int i = 0; i <= 20; i++)
        y[i] = sin(.3 * i) + .1 * ((7 * i) % 13 - 6) / 6;
    assert_int_equal(swt_spline_gcv(&smoothing, &score, &sd, y, 21, SWT_NO_SPLIT, 1, NULL), SWT_OK);
    assert_close(21 - 21 * sd * sd / score, 7.3773702910, 1e-6, "trace of H");
}

static void lines_pass_and_no_smoothing_interpolates(void **state)
{
    double x[N], g[N], d[N], dd[N];

    (void)state;
    for (int i = 0; i < N; i++)
        x[i] = 3 - 0.25 * i;
    assert_int_equal(swt_spline_smooth(g, d, dd, x, N, SWT_NO_SPLIT, 200, 1e-4, NULL), SWT_OK);
    for (int i = 0; i < N; i++) {
        assert_close(g[i], x[i], 1e-10, "line");
        assert_close(d[i], -50, 1e-8, "slope");
        assert_close(dd[i], 0, 1e-7, "bend");
    }
    for (int i = 0; i < N; i++)
        x[i] = sin(0.02 * i);
    assert_int_equal(swt_spline_smooth(g, d, dd, x, N, SWT_NO_SPLIT, 100, 0, NULL), SWT_OK);
    for (int i = 0; i < N; i++) {
        assert_close(g[i], x[i], 0, "interpolation");
        if (i > 20 && i < N - 20) {
            assert_close(d[i], 2 * cos(0.02 * i), 1e-8, "first derivative");
            assert_close(dd[i], -4 * x[i], 3e-4, "second derivative");
        }
    }
}

static void gain_is_what_the_header_says(void **state)
{
    static double x[4000], g[4000];
    const double rate = 250, smoothing = rate / pow(2 * SWT_PI * 8, 4); /* half at 8 Hz */
    static const double f[] = {2, 8, 16};

    (void)state;
    for (int k = 0; k < 3; k++) {
        double in_phase = 0;
        for (int i = 0; i < 4000; i++)
            x[i] = sin(2 * SWT_PI * f[k] * i / rate);
        assert_int_equal(
            swt_spline_smooth(g, NULL, NULL, x, 4000, SWT_NO_SPLIT, rate, smoothing, NULL), SWT_OK);
        for (int i = 1000; i < 3000; i++)
            in_phase += 2 * g[i] * x[i] / 2000;
        /* the samples' spacing changes the continuous-time gain a little */
        assert_close(in_phase, 1 / (1 + pow(f[k] / 8, 4)), 2e-3, "gain");
    }
}

static void gcv_comes_near_the_truth(void **state)
{
    uint64_t seed = 12;
    double x[N], clean[N], g[N], d[N], smoothing, sd, error = 0, slope_error = 0;

    (void)state;
    for (int i = 0; i < N; i++) {
        clean[i] = exp(-pow((i - 300) / 60.0, 2));
        x[i] = clean[i] + 0.01 * draw_normal(&seed);
    }
    x[100] = nan("");
    assert_int_equal(swt_spline_gcv(&smoothing, NULL, &sd, x, N, 400, 240, NULL), SWT_OK);
    assert_close(sd, 0.01, 0.001, "noise SD");
    assert_int_equal(swt_spline_smooth(g, d, NULL, x, N, 400, 240, smoothing, NULL), SWT_OK);
    for (int i = 0; i < N; i++)
        if (i != 100) {
            error += pow(g[i] - clean[i], 2) / N;
            slope_error += pow(d[i] + 240 * clean[i] * 2 * (i - 300) / 3600.0, 2) / N;
        }
    assert_true(sqrt(error) < 0.004);     /* noise was 0.01 */
    assert_true(sqrt(slope_error) < 0.2); /* slopes reach 3.4 */
    assert_true(isnan(g[100]) && isnan(d[100]));
}

static void runs_stand_alone(void **state)
{
    uint64_t seed = 5;
    double x[N], g[N], alone[N];

    (void)state;
    for (int i = 0; i < N; i++)
        x[i] = draw_normal(&seed);
    x[200] = x[208] = nan("");
    assert_int_equal(swt_spline_smooth(g, NULL, NULL, x, N, 333, 240, 1e-6, NULL), SWT_OK);
    for (int i = 200; i <= 208; i++)
        assert_true(isnan(g[i]));
    assert_int_equal(
        swt_spline_smooth(alone, NULL, NULL, x + 209, 124, SWT_NO_SPLIT, 240, 1e-6, NULL), SWT_OK);
    assert_memory_equal(alone, g + 209, 124 * sizeof *g);
    assert_int_equal(swt_spline_smooth(x, NULL, NULL, x, N, 333, 240, 1e-6, NULL), SWT_OK);
    assert_memory_equal(x + 209, g + 209, 391 * sizeof *g); /* in place */
}

/* Where there is no sample there is no slope and no curvature: at both ends, and in between. */
static void gaps_stay_in_the_derivatives(void **state)
{
    double x[N], out[3][N];

    (void)state;
    for (int i = 0; i < N; i++) {
        x[i] = i < 7 || (i >= 250 && i < 260) || i >= N - 5 ? nan("") : 3.0 * i;
        out[0][i] = out[1][i] = out[2][i] = 42;
    }
    assert_int_equal(swt_spline_smooth(out[0], out[1], out[2], x, N, SWT_NO_SPLIT, 240, 1e-6, NULL),
                     SWT_OK);
    for (int i = 0; i < N; i++)
        if (isnan(x[i])) {
            assert_true(isnan(out[0][i]) && isnan(out[1][i]) && isnan(out[2][i]));
        } else { /* a line stays a line */
            assert_close(out[0][i], 3.0 * i, 1e-6, "line");
            assert_close(out[1][i], 3.0 * 240, 1e-4, "slope");
            assert_close(out[2][i], 0, 0.05, "curvature");
        }
}

static void bad_calls_are_refused(void **state)
{
    double x[20] = {0}, g[20] = {42}, smoothing;

    (void)state;
    assert_int_equal(swt_spline_smooth(g, NULL, NULL, x, 20, 0, 0, 1, NULL), SWT_EARG);
    assert_int_equal(swt_spline_smooth(g, NULL, NULL, x, 20, 0, 1, -1, NULL), SWT_EARG);
    assert_int_equal(swt_spline_smooth(g, NULL, NULL, x, 20, 0, 1, nan(""), NULL), SWT_EARG);
    assert_close(g[0], 42, 0, "untouched");
    assert_int_equal(swt_spline_gcv(&smoothing, NULL, NULL, x, 11, 0, 1, NULL), SWT_EDATA);
    assert_int_equal(swt_spline_gcv(&smoothing, NULL, NULL, x, 20, 0, -1, NULL), SWT_EARG);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_example),
        cmocka_unit_test(degrees_of_freedom_of_the_worked_example),
        cmocka_unit_test(lines_pass_and_no_smoothing_interpolates),
        cmocka_unit_test(gain_is_what_the_header_says),
        cmocka_unit_test(gcv_comes_near_the_truth),
        cmocka_unit_test(runs_stand_alone),
        cmocka_unit_test(gaps_stay_in_the_derivatives),
        cmocka_unit_test(bad_calls_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
