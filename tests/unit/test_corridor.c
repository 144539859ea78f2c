#include "comparison/corridor.h"
#include "comparison/grouped.h"
#include "comparison/tolerance.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Printed by tests/reference/corridor_band.py, which finds them the long way in NumPy. */
#define PLAYERS 12
#define SAMPLES 21
#define SWINGS 24
static const double want_centre[3] = {0.306702727208114, 9.06420601613628, -7.83878498707643};
static const double want_sd_total[3] = {1.5329269852667, 0.402481303963188, 1.62327731089115};
static const double want_sd_within[3] = {0.25222423698614, 0.412133579533614, 0.620431921268263};
#define WANT_MULTIPLIER 3.07444 /* +- 0.0076 */

static size_t reference_group(double *x, int *player)
{
    size_t n = 0;

    for (int p = 0; p < PLAYERS; p++)
        for (int s = 0; s < 1 + p % 3; s++, n++) {
            double k = 7 * p + s + 1, q = p + 1;
            player[n] = p;
            for (int t = 0; t < SAMPLES; t++)
                x[n * SAMPLES + (size_t)t] =
                    10 * sin(0.2 * t) + 2 * sin(12.9898 * q) * cos(0.15 * t) +
                    2 * sin(78.233 * q) * sin(0.3 * t) + sin(37.719 * q) * cos(0.45 * t) +
                    0.7 * sin(45.164 * k) * cos(0.25 * t + p) +
                    0.7 * sin(94.673 * k) * sin(0.35 * t);
        }
    return n;
}

static swt_corridor *build(const double *x, const int *player, size_t n, size_t samples,
                           const swt_corridor_options *o)
{
    swt_corridor *c = NULL;
    swt_error err = SWT_ERROR_INIT;
    if (swt_corridor_build(&c, x, player, n, samples, o, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    return c;
}

static void band_agrees_with_the_long_way_in_numpy(void **state)
{
    double x[SWINGS * SAMPLES];
    int player[SWINGS];
    swt_corridor_options o = SWT_CORRIDOR_OPTIONS_INIT;
    size_t n = reference_group(x, player);
    swt_corridor *c;

    (void)state;
    o.n_resamples = 50000;
    c = build(x, player, n, SAMPLES, &o);
    assert_int_equal(c->n_players, PLAYERS);
    assert_int_equal(c->n_swings, SWINGS);
    assert_int_equal(c->state, SWT_CORRIDOR_LIMITED); /* 12 players */
    for (size_t i = 0; i < 3; i++) {
        assert_close(c->centre[10 * i], want_centre[i], 1e-12, "centre");
        assert_close(c->sd_total[10 * i], want_sd_total[i], 1e-12, "sd_total");
        assert_close(c->sd_within[10 * i], want_sd_within[i], 1e-12, "sd_within");
    }
    /* both are simulated: 0.0076 and 0.015 standard error */
    assert_close(c->multiplier, WANT_MULTIPLIER, 0.045, "multiplier");
    assert_close(c->upper[5] - c->centre[5], c->multiplier * c->sd_total[5], 1e-12, "half-width");
    swt_corridor_free(c);
}

static void same_seed_gives_the_same_bytes(void **state)
{
    double x[SWINGS * SAMPLES];
    int player[SWINGS];
    size_t n = reference_group(x, player), size = SAMPLES * sizeof(double);
    swt_corridor_options other = SWT_CORRIDOR_OPTIONS_INIT;
    swt_corridor *a = build(x, player, n, SAMPLES, NULL), *b = build(x, player, n, SAMPLES, NULL);
    swt_corridor *c;

    (void)state;
    assert_memory_equal(a->lower, b->lower, size);
    assert_memory_equal(a->upper, b->upper, size);
    assert_memory_equal(a->resampled_ratio, b->resampled_ratio, 2000 * sizeof(double));
    other.seed = 2;
    c = build(x, player, n, SAMPLES, &other);
    assert_true(fabs(c->multiplier - a->multiplier) > 1e-9);
    assert_close(c->multiplier, a->multiplier, 0.2, "another seed, about the same");
    swt_corridor_free(a);
    swt_corridor_free(b);
    swt_corridor_free(c);
}

static void shared_draws_change_no_number(void **state)
{
    double x[SWINGS * SAMPLES];
    int player[SWINGS];
    size_t n = reference_group(x, player), size;
    swt_corridor_options o = SWT_CORRIDOR_OPTIONS_INIT;
    swt_corridor_draws *draws;
    swt_corridor *alone, *shared;

    (void)state;
    o.n_resamples = 1003; /* the last block is not full */
    size = o.n_resamples * sizeof(double);
    alone = build(x, player, n, SAMPLES, &o);
    assert_int_equal(swt_corridor_draws_new(&draws, player, n, &o, NULL), SWT_OK);
    assert_non_null(draws);
    o.draws = draws;
    shared = build(x, player, n, SAMPLES, &o);
    assert_null(shared->options.draws);
    assert_true(shared->multiplier == alone->multiplier);
    assert_memory_equal(shared->resampled_ratio, alone->resampled_ratio, size);
    swt_corridor_free(shared);
    swt_corridor_free(alone);
    o.seed = 2; /* draws of another seed are not taken */
    shared = build(x, player, n, SAMPLES, &o);
    o.draws = NULL;
    alone = build(x, player, n, SAMPLES, &o);
    assert_memory_equal(shared->resampled_ratio, alone->resampled_ratio, size);
    swt_corridor_free(shared);
    swt_corridor_free(alone);
    swt_corridor_draws_free(draws);

    o.n_resamples = 1000000; /* too many to be held */
    assert_int_equal(swt_corridor_draws_new(&draws, player, n, &o, NULL), SWT_OK);
    assert_null(draws);
}

static void statistics_without_a_player_agree_with_counting_anew(void **state)
{
    double x[SWINGS * SAMPLES], y[SWINGS * SAMPLES];
    int player[SWINGS];
    size_t n = reference_group(x, player);
    swt_grouped g;

    (void)state;
    for (size_t i = 0; i < n * SAMPLES; i++)
        y[i] = 100 + sin(3.7 * x[i]);
    x[3 * SAMPLES + 4] = y[7 * SAMPLES + 4] = nan("");
    x[0 * SAMPLES + 5] = nan(""); /* the only swing of player 0 */
    assert_int_equal(swt_grouped_init(&g, x, y, player, n, SAMPLES, NULL), SWT_OK);
    for (size_t t = 0; t < SAMPLES; t++)
        for (size_t p = 0; p < PLAYERS; p++) {
            swt_group_sample all, want, got;
            swt_grouped_at(&all, &g, t, SWT_NOBODY);
            swt_grouped_at(&want, &g, t, p);
            swt_grouped_without(&got, &all, &g, t, p);
            assert_int_equal(got.n_players, want.n_players);
            assert_int_equal(got.df_within, want.df_within);
            assert_close(got.n_harmonic, want.n_harmonic, 1e-12, "harmonic mean");
            for (size_t v = 0; v < 2; v++)
                assert_close(got.centre[v], want.centre[v], 1e-12, "centre");
            for (size_t m = 0; m < 3; m++) {
                assert_close(got.of_means.m[m], want.of_means.m[m], 1e-12, "between means");
                assert_close(got.within.m[m], want.within.m[m], 1e-12, "within");
                assert_close(got.total.m[m], want.total.m[m], 1e-12, "total");
            }
        }
    swt_grouped_reset(&g);
}

static void unit_and_names_of_players_do_not_matter(void **state)
{
    double x[SWINGS * SAMPLES], y[SWINGS * SAMPLES];
    int player[SWINGS], renamed[SWINGS];
    size_t n = reference_group(x, player);
    swt_corridor *a, *b;

    (void)state;
    for (size_t i = 0; i < n * SAMPLES; i++)
        y[i] = 1000 - 57 * x[i];
    for (size_t i = 0; i < n; i++)
        renamed[i] = 5 * player[i] - 30;
    a = build(x, player, n, SAMPLES, NULL);
    b = build(y, renamed, n, SAMPLES, NULL);
    assert_close(b->multiplier, a->multiplier, 1e-9, "multiplier");
    assert_close(b->upper[7], 1000 - 57 * a->lower[7], 1e-9, "edges change places");
    assert_close(b->loo_coverage, a->loo_coverage, 1e-12, "leave-one-out");
    swt_corridor_free(a);
    swt_corridor_free(b);
}

static void leave_one_out_agrees_with_building_anew(void **state)
{
    double x[SWINGS * SAMPLES], y[SWINGS * SAMPLES];
    int player[SWINGS], others[SWINGS];
    size_t n = reference_group(x, player), inside = 0, total = 0, on_the_edge = 0;
    swt_corridor_options o = SWT_CORRIDOR_OPTIONS_INIT;
    swt_corridor *all;

    (void)state;
    o.coverage = 0.70; /* many swings are outside, so that a wrong exclusion shows */
    all = build(x, player, n, SAMPLES, &o);
    for (int p = 0; p < PLAYERS; p++) {
        size_t m = 0;
        swt_corridor *c;
        for (size_t i = 0; i < n; i++)
            if (player[i] != p) {
                memcpy(y + m * SAMPLES, x + i * SAMPLES, SAMPLES * sizeof *x);
                others[m++] = player[i];
            }
        c = build(y, others, m, SAMPLES, &o);
        for (size_t i = 0; i < n; i++) {
            double largest = 0;
            if (player[i] != p)
                continue;
            for (size_t t = 0; t < SAMPLES; t++)
                largest = fmax(largest, fabs(swt_corridor_ratio(c, t, x[i * SAMPLES + t])));
            inside += largest <= 1;
            /* the multiplier for n - 1 players takes the whole group's smoothness, not the others'
             * alone; it agrees within 3 % */
            on_the_edge += fabs(largest - 1) < 0.03;
            total++;
        }
        swt_corridor_free(c);
    }
    assert_int_equal(all->loo_swings, total);
    assert_true(inside + 4 < total && on_the_edge < 4);
    if (all->loo_inside + on_the_edge < inside || all->loo_inside > inside + on_the_edge)
        fail_msg("inside %zu of %zu, built anew %zu", all->loo_inside, total, inside);
    swt_corridor_free(all);
}

static void scalar_of_one_swing_each_is_the_classical_interval(void **state)
{
    double x[20], mean = 0, square = 0, k;
    int player[20];
    uint64_t seed = 11;
    swt_corridor_options o = SWT_CORRIDOR_OPTIONS_INIT;
    swt_corridor *c;

    (void)state;
    for (int i = 0; i < 20; i++) {
        x[i] = 5 + 2 * draw_normal(&seed);
        player[i] = i;
        mean += x[i] / 20;
    }
    for (int i = 0; i < 20; i++)
        square += (x[i] - mean) * (x[i] - mean) / 19;
    o.confidence = 0.95;
    c = build(x, player, 20, 1, &o);
    assert_int_equal(c->method, SWT_CORRIDOR_TOLERANCE);
    assert_close(c->multiplier, 2.7603, 5.1e-5, "k of 20 at .95/.95");
    assert_close(c->upper[0], mean + c->multiplier * sqrt(square), 1e-12, "upper");
    assert_true(isnan(c->sd_within[0]));
    swt_corridor_free(c);
    o.sides = SWT_UPPER_ONLY;
    c = build(x, player, 20, 1, &o);
    assert_int_equal(swt_tolerance_one_sided(&k, 20, 19, 0.95, 0.95, NULL), SWT_OK);
    assert_close(c->upper[0], mean + k * sqrt(square), 1e-12, "one-sided upper");
    assert_true(isinf(c->lower[0]) && c->lower[0] < 0);
    assert_close(swt_corridor_ratio(c, 0, -1e9), 0, 0, "nothing is too low");
    swt_corridor_free(c);
}

static void skewed_scalar_gets_order_statistics(void **state)
{
    double x[40], low = HUGE_VAL, high = 0;
    int player[40];
    uint64_t seed = 12;
    swt_corridor *c;

    (void)state;
    for (int i = 0; i < 40; i++) {
        x[i] = exp(2 * draw_normal(&seed));
        player[i] = i;
        low = fmin(low, x[i]);
        high = fmax(high, x[i]);
    }
    c = build(x, player, 40, 1, NULL);
    assert_int_equal(c->method, SWT_CORRIDOR_ORDER);
    assert_int_equal(c->state, SWT_CORRIDOR_LIMITED); /* 40 players are too few for .95/.90 */
    assert_non_null(strstr(c->reason, "order statistics"));
    assert_close(c->lower[0], low, 0, "smallest");
    assert_close(c->upper[0], high, 0, "largest");
    assert_close(c->confidence, 1 - 40 * pow(.95, 39) + 39 * pow(.95, 40), 1e-12, "confidence");
    assert_true(c->centre[0] > low && c->centre[0] < high);
    swt_corridor_free(c);
}

/* Twenty-one players with one flat curve each at 1, 2, ..., 21, so that medians can be said without
 * a computer: centre 11; distances 10 9 .. 0 .. 10, median 5. */
static void medians_of_a_ladder(void **state)
{
    enum { LADDER = 21, FLAT = 4 };
    double x[LADDER * FLAT], more[(LADDER + 2) * FLAT], sd = 5 * 1.482602218505602, far;
    int player[LADDER + 2];
    swt_corridor_options o = SWT_CORRIDOR_OPTIONS_INIT;
    swt_corridor *c;

    (void)state;
    for (int p = 0; p < LADDER; p++) {
        player[p] = p;
        for (int t = 0; t < FLAT; t++)
            x[p * FLAT + t] = p + 1;
    }
    o.centre = SWT_CENTRE_MEDIAN;
    c = build(x, player, LADDER, FLAT, &o);
    assert_int_equal(c->method, SWT_CORRIDOR_ORDER);
    assert_close(c->centre[2], 11, 0, "median");
    assert_close(c->sd_total[2], sd, 1e-12, "median distance as an SD");
    /* without the player at 21 the others' median is 10.5 and their distances .5 to 9.5, twice
     * each: the tenth of twenty is 4.5. Rank .95 * 22 = 20.9 is the largest of 21 */
    far = 10.5 / (4.5 * 1.482602218505602);
    assert_close(c->multiplier, far, 1e-12, "largest left-out deviation");
    assert_close(c->upper[2], 11 + far * sd, 1e-12, "upper edge");
    /* the outermost two see each other's 10.5 as the limit: everyone is inside */
    assert_int_equal(c->loo_inside, LADDER);
    assert_close(c->loo_coverage, 1, 1e-12, "leave-one-out");
    swt_corridor_free(c);

    /* two more swings of the last player, far off: each player counts as one, so that a third of
     * one in 21 is lost twice */
    for (int i = 0; i < 2 * FLAT; i++)
        more[LADDER * FLAT + i] = 1e6;
    memcpy(more, x, sizeof x);
    for (int t = 0; t < FLAT; t++)
        more[(LADDER - 1) * FLAT + t] = 20;
    player[LADDER] = player[LADDER + 1] = LADDER - 1;
    c = build(more, player, LADDER + 2, FLAT, &o);
    assert_int_equal(c->loo_swings, LADDER + 2);
    assert_int_equal(c->loo_inside, LADDER);
    assert_close(c->loo_coverage, (20 + 1.0 / 3) / 21, 1e-12, "leave-one-out by players");
    swt_corridor_free(c);

    /* one wild player among ladder steps moves means, and medians hardly */
    x[(LADDER - 1) * FLAT] = x[(LADDER - 1) * FLAT + 1] = 1e6;
    c = build(x, player, LADDER, FLAT, &o);
    assert_close(c->centre[0], 11, 0, "median beside a wild player");
    assert_close(c->sd_total[0], sd, 1e-12, "spread beside a wild player");
    swt_corridor_free(c);
}

static void ranks_of_few_players_say_what_they_carry(void **state)
{
    double x[12 * 5], factor, alone;
    int player[12];
    uint64_t seed = 8;
    swt_corridor_options o = SWT_CORRIDOR_OPTIONS_INIT;
    const swt_corridor *list[1];
    swt_corridor *c;

    (void)state;
    for (int p = 0; p < 12; p++) {
        player[p] = p;
        for (int t = 0; t < 5; t++)
            x[p * 5 + t] = draw_normal(&seed);
    }
    o.centre = SWT_CENTRE_MEDIAN;
    c = build(x, player, 12, 5, &o);
    assert_int_equal(c->state, SWT_CORRIDOR_LIMITED);
    assert_non_null(strstr(c->reason, "Ranks of 12 players carry 92.3 % at most; 95 % takes 19"));
    list[0] = c;
    assert_int_equal(swt_corridor_family_factor(&factor, &alone, list, 1, 0.95, NULL), SWT_OK);
    assert_true(isinf(factor));
    swt_corridor_free(c);
}

static void family_factor_controls_the_whole_family(void **state)
{
    enum { N = 20, EACH = 2, ROWS = N * EACH, MEASURES = 6, T = 11 };
    static double x[MEASURES][ROWS * T];
    int player[ROWS];
    uint64_t seed = 31;
    swt_corridor *c[MEASURES];
    const swt_corridor *same[2];
    double factor, alone, coverage = 0;
    const int groups = 60, fresh = 40;
    swt_corridor_options o = SWT_CORRIDOR_OPTIONS_INIT;

    (void)state;
    o.n_resamples = 500;
    for (int g = 0; g < groups; g++) {
        for (int m = 0; m < MEASURES; m++)
            for (int p = 0; p < N; p++) {
                double a = draw_normal(&seed), b = draw_normal(&seed);
                for (int s = 0; s < EACH; s++) {
                    double e = draw_normal(&seed), f = draw_normal(&seed);
                    player[p * EACH + s] = p;
                    for (int t = 0; t < T; t++)
                        x[m][(p * EACH + s) * T + t] = a * cos(0.2 * t) + b * sin(0.2 * t) +
                                                       0.5 * (e * cos(0.2 * t) + f * sin(0.2 * t));
                }
            }
        for (int m = 0; m < MEASURES; m++)
            c[m] = build(x[m], player, ROWS, T, &o);
        assert_int_equal(swt_corridor_family_factor(&factor, &alone, (const swt_corridor *const *)c,
                                                    MEASURES, 0.95, NULL),
                         SWT_OK);
        assert_true(factor > 1.05 && factor < 2);
        assert_true(alone > 0.15 && alone < 0.35); /* 1 - .95^6 = .26 were they exact */
        for (int i = 0; i < fresh; i++) {
            int good = 1;
            for (int m = 0; m < MEASURES; m++) {
                double a = draw_normal(&seed), b = draw_normal(&seed), e = draw_normal(&seed),
                       f = draw_normal(&seed);
                for (int t = 0; t < T; t++)
                    good = good &&
                           fabs(swt_corridor_ratio(c[m], (size_t)t,
                                                   (a + 0.5 * e) * cos(0.2 * t) +
                                                       (b + 0.5 * f) * sin(0.2 * t))) <= factor;
            }
            coverage += good / (double)(groups * fresh);
        }
        same[0] = same[1] = c[0];
        assert_int_equal(swt_corridor_family_factor(&factor, NULL, same, 2, 0.95, NULL), SWT_OK);
        assert_close(factor, 1, 1e-12, "a measure counted twice costs nothing");
        for (int m = 0; m < MEASURES; m++)
            swt_corridor_free(c[m]);
    }
    if (!(coverage >= 0.93 && coverage <= 0.97))
        fail_msg("family coverage %.4f", coverage);
}

static void families_must_share_their_swings(void **state)
{
    double x[SWINGS * SAMPLES];
    int player[SWINGS];
    size_t n = reference_group(x, player);
    swt_corridor_options o = SWT_CORRIDOR_OPTIONS_INIT;
    swt_corridor *pair[2];
    double factor;

    (void)state;
    pair[0] = build(x, player, n, SAMPLES, &o);
    o.seed = 9;
    pair[1] = build(x, player, n, SAMPLES, &o);
    assert_int_equal(
        swt_corridor_family_factor(&factor, NULL, (const swt_corridor *const *)pair, 2, 0.95, NULL),
        SWT_EARG);
    assert_int_equal(swt_corridor_family_factor(&factor, NULL, NULL, 0, 0.95, NULL), SWT_EARG);
    swt_corridor_free(pair[0]);
    swt_corridor_free(pair[1]);
}

/* Every group that cannot carry a corridor is refused in words, and nothing crashes. */
static void hopeless_groups_are_refused(void **state)
{
    double x[SWINGS * SAMPLES];
    int player[SWINGS];
    size_t n = reference_group(x, player);
    swt_corridor *c;
    swt_corridor_options o = SWT_CORRIDOR_OPTIONS_INIT;

    (void)state;
    c = build(x, player, 0, SAMPLES, NULL);
    assert_int_equal(c->state, SWT_CORRIDOR_REFUSED);
    assert_non_null(strstr(c->reason, "absent in every swing"));
    assert_true(isnan(c->centre[0]) && isnan(c->multiplier) && !c->resampled_ratio);
    swt_corridor_free(c);

    memset(player, 0, sizeof player);
    c = build(x, player, n, SAMPLES, NULL);
    assert_int_equal(c->state, SWT_CORRIDOR_REFUSED);
    assert_non_null(strstr(c->reason, "at least 5 players"));
    swt_corridor_free(c);

    n = reference_group(x, player);
    for (size_t i = 1; i < n; i++)
        memcpy(x + i * SAMPLES, x, SAMPLES * sizeof *x);
    c = build(x, player, n, SAMPLES, NULL);
    assert_int_equal(c->state, SWT_CORRIDOR_REFUSED);
    assert_non_null(strstr(c->reason, "identical"));
    swt_corridor_free(c);
    for (size_t i = 0; i < n; i++)
        x[i] = 3.25;
    c = build(x, player, n, 1, NULL);
    assert_int_equal(c->state, SWT_CORRIDOR_REFUSED);
    assert_non_null(strstr(c->reason, "identical"));
    swt_corridor_free(c);

    for (size_t i = 0; i < n * SAMPLES; i++)
        x[i] = nan("");
    c = build(x, player, n, SAMPLES, NULL);
    assert_int_equal(c->state, SWT_CORRIDOR_REFUSED);
    swt_corridor_free(c);

    assert_int_equal(swt_corridor_build(&c, x, player, n, 0, NULL, NULL), SWT_EARG);
    assert_null(c);
    o.coverage = 1;
    assert_int_equal(swt_corridor_build(&c, x, player, n, SAMPLES, &o, NULL), SWT_EARG);
    o = (swt_corridor_options)SWT_CORRIDOR_OPTIONS_INIT;
    o.n_resamples = 3;
    assert_int_equal(swt_corridor_build(&c, x, player, n, SAMPLES, &o, NULL), SWT_EARG);
    o = (swt_corridor_options)SWT_CORRIDOR_OPTIONS_INIT;
    o.sides = SWT_UPPER_ONLY;
    assert_int_equal(swt_corridor_build(&c, x, player, n, SAMPLES, &o, NULL), SWT_EARG);
}

static void absent_and_constant_samples_keep_the_rest(void **state)
{
    double x[SWINGS * SAMPLES];
    int player[SWINGS];
    size_t n = reference_group(x, player);
    swt_corridor *c;

    (void)state;
    for (size_t i = 0; i < n; i++) {
        x[i * SAMPLES] = 0; /* zero by definition, as a turn is at address */
        if (player[i] < 6)
            x[i * SAMPLES + 20] = nan(""); /* half of the players never get there */
        if (i == 3)
            x[i * SAMPLES + 8] = nan("");
    }
    c = build(x, player, n, SAMPLES, NULL);
    assert_int_equal(c->state, SWT_CORRIDOR_LIMITED);
    assert_true(isnan(c->upper[20]) && isnan(swt_corridor_ratio(c, 20, 1.0)));
    assert_int_equal(c->n_players_at[20], 6);
    assert_int_equal(c->n_players_at[8], 12);
    assert_close(swt_corridor_ratio(c, 0, 0.0), 0, 0, "zero is in the middle");
    assert_true(swt_corridor_ratio(c, 0, 0.1) > 100);
    assert_true(c->upper[0] > c->lower[0]);
    assert_true(isfinite(c->multiplier) && c->multiplier > 2 && c->multiplier < 5);
    assert_true(isfinite(c->loo_coverage) && c->loo_coverage > 0.5);
    swt_corridor_free(c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(band_agrees_with_the_long_way_in_numpy),
        cmocka_unit_test(same_seed_gives_the_same_bytes),
        cmocka_unit_test(shared_draws_change_no_number),
        cmocka_unit_test(statistics_without_a_player_agree_with_counting_anew),
        cmocka_unit_test(unit_and_names_of_players_do_not_matter),
        cmocka_unit_test(leave_one_out_agrees_with_building_anew),
        cmocka_unit_test(scalar_of_one_swing_each_is_the_classical_interval),
        cmocka_unit_test(skewed_scalar_gets_order_statistics),
        cmocka_unit_test(medians_of_a_ladder),
        cmocka_unit_test(ranks_of_few_players_say_what_they_carry),
        cmocka_unit_test(family_factor_controls_the_whole_family),
        cmocka_unit_test(families_must_share_their_swings),
        cmocka_unit_test(hopeless_groups_are_refused),
        cmocka_unit_test(absent_and_constant_samples_keep_the_rest),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
