#include "comparison/path_corridor.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdlib.h>

#define PLAYERS 12
#define SAMPLES 21
#define SWINGS 24

/* Smooth curves of 12 players with 1, 2, 3, 1, ... swings. */
static size_t smooth_group(double *x, int *player)
{
    size_t n = 0;

    for (int p = 0; p < PLAYERS; p++)
        for (int s = 0; s < 1 + p % 3; s++, n++) {
            double k = 7 * p + s + 1, q = p + 1;
            player[n] = p;
            for (int t = 0; t < SAMPLES; t++)
                x[n * SAMPLES + (size_t)t] = sin(12.9898 * q) * cos(0.15 * t) +
                                             sin(78.233 * q) * sin(0.3 * t) +
                                             0.4 * sin(45.164 * k) * cos(0.25 * t + p);
        }
    return n;
}

static void path_tube_turns_with_the_axes(void **state)
{
    static double d[SWINGS * SAMPLES], h[SWINGS * SAMPLES], e[SWINGS * SAMPLES],
        g[SWINGS * SAMPLES];
    int player[SWINGS];
    size_t n = smooth_group(d, player);
    swt_path_corridor *a = NULL, *b = NULL;
    double axis[2], turned[2], angle, angle_turned, c = cos(0.4), s = sin(0.4);

    (void)state;
    for (size_t i = 0; i < n; i++)
        for (size_t t = 0; t < SAMPLES; t++) {
            size_t at = i * SAMPLES + t;
            h[at] = 0.6 * d[i * SAMPLES + (t + 7) % SAMPLES] + 0.3 * d[at];
        }
    for (size_t i = 0; i < n * SAMPLES; i++) {
        e[i] = c * d[i] - s * h[i];
        g[i] = s * d[i] + c * h[i];
    }
    assert_int_equal(swt_path_corridor_build(&a, d, h, player, n, SAMPLES, NULL, NULL), SWT_OK);
    assert_int_equal(swt_path_corridor_build(&b, e, g, player, n, SAMPLES, NULL, NULL), SWT_OK);
    /* the factors are kept by whitened variance, which a turn leaves alone */
    assert_close(b->multiplier, a->multiplier, 1e-6, "multiplier");
    assert_true(a->multiplier > 2.4477); /* sqrt of chi2(.95, 2): known covariance, one sample */
    for (size_t t = 0; t < SAMPLES; t += 5)
        assert_close(swt_path_corridor_ratio(b, t, e[t], g[t]),
                     swt_path_corridor_ratio(a, t, d[t], h[t]), 1e-6, "ratio");
    swt_path_corridor_ellipse(axis, &angle, a, 4);
    swt_path_corridor_ellipse(turned, &angle_turned, b, 4);
    assert_close(turned[0], axis[0], 1e-6, "long axis");
    assert_close(turned[1], axis[1], 1e-6, "short axis");
    assert_close(sin(2 * (angle_turned - angle)), sin(0.8), 1e-6, "turned by 0.4");
    /* the end of the long axis is on the edge */
    assert_close(swt_path_corridor_ratio(a, 4, a->centre_depth[4] + axis[0] * cos(angle),
                                         a->centre_height[4] + axis[0] * sin(angle)),
                 1, 1e-9, "edge");
    swt_path_corridor_free(a);
    swt_path_corridor_free(b);
}

static void path_tube_covers_whole_paths(void **state)
{
    enum { N = 18, EACH = 2, ROWS = N * EACH, T = 15 };
    static double d[ROWS * T], h[ROWS * T];
    int player[ROWS];
    uint64_t seed = 77;
    double coverage = 0, loo = 0;
    const int groups = 100, fresh = 40;
    swt_corridor_options o = SWT_CORRIDOR_OPTIONS_INIT;

    (void)state;
    o.n_resamples = 500;
    for (int g = 0; g < groups; g++) {
        swt_path_corridor *c = NULL;
        double a[6], e[6];
        for (int p = 0; p < N + fresh; p++) {
            int good = 1;
            for (int k = 0; k < 6; k++)
                a[k] = draw_normal(&seed);
            for (int s = 0; s < EACH; s++) {
                for (int k = 0; k < 6; k++)
                    e[k] = a[k] + 0.6 * draw_normal(&seed);
                for (int t = 0; t < T; t++) {
                    double u = 0.3 * t;
                    double x = e[0] * cos(u) + e[1] * sin(u) + e[2] * cos(2 * u);
                    double y = e[3] * cos(u) + e[4] * sin(u) + e[5] * cos(2 * u) + x / 2;
                    if (p < N) {
                        d[(p * EACH + s) * T + t] = x;
                        h[(p * EACH + s) * T + t] = y;
                    } else {
                        good = good && swt_path_corridor_ratio(c, (size_t)t, x, y) <= 1;
                    }
                }
                if (p < N)
                    player[p * EACH + s] = p;
                else
                    break; /* one swing of a new player */
            }
            if (p >= N)
                coverage += good / (double)(groups * fresh);
            if (p == N - 1)
                assert_int_equal(swt_path_corridor_build(&c, d, h, player, ROWS, T, &o, NULL),
                                 SWT_OK);
        }
        loo += c->loo_coverage / groups;
        swt_path_corridor_free(c);
    }
    if (!(coverage >= 0.93 && coverage <= 0.97))
        fail_msg("path coverage %.4f, leave-one-out %.4f", coverage, loo);
    assert_close(loo, coverage, 0.03, "leave-one-out against the truth");
}

static void hopeless_paths_are_refused(void **state)
{
    double d[SWINGS * SAMPLES], h[SWINGS * SAMPLES];
    int player[SWINGS];
    size_t n = smooth_group(d, player);
    swt_path_corridor *c = NULL;

    (void)state;
    for (size_t i = 0; i < n * SAMPLES; i++)
        h[i] = nan(""); /* depth alone makes no path */
    assert_int_equal(swt_path_corridor_build(&c, d, h, player, n, SAMPLES, NULL, NULL), SWT_OK);
    assert_int_equal(c->state, SWT_CORRIDOR_REFUSED);
    assert_true(isnan(swt_path_corridor_ratio(c, 0, 1, 1)) && !c->resampled_ratio);
    swt_path_corridor_free(c);
    assert_int_equal(swt_path_corridor_build(&c, d, d, player, n, 1, NULL, NULL), SWT_EARG);
    assert_null(c);
    /* a path along a line has no area, and any step off the line is outside */
    assert_int_equal(swt_path_corridor_build(&c, d, d, player, n, SAMPLES, NULL, NULL), SWT_OK);
    assert_true(swt_path_corridor_ratio(c, 5, d[5], d[5]) < 1.5);
    assert_true(swt_path_corridor_ratio(c, 5, d[5], d[5] + 0.1) > 100);
    swt_path_corridor_free(c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(path_tube_turns_with_the_axes),
        cmocka_unit_test(path_tube_covers_whole_paths),
        cmocka_unit_test(hopeless_paths_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
