/* Rank association within and between players, and what many of them need. */
#include "comparison/association.h"
#include "tests/support/support.h"

#include <math.h>
#include <string.h>

static void rank_correlation_matches_published_values(void **state)
{
    /* the example of SciPy's manual page of spearmanr: .8207826816681233, ties in the second */
    const double x[] = {1, 2, 3, 4, 5}, y[] = {5, 6, 7, 8, 7};
    /* Wikipedia's worked example of 2008 on (hours of television, IQ): -29/165 */
    const double iq[] = {106, 100, 86, 101, 99, 103, 97, 113, 112, 110};
    const double hours[] = {7, 27, 2, 50, 28, 29, 20, 12, 6, 17};
    const double flat[] = {2, 2, 2, 2, 2};
    double rho;
    (void)state;

    assert_int_equal(swt_spearman(&rho, x, y, 5, NULL), SWT_OK);
    assert_close(rho, 0.8207826816681233, 1e-15, "ties");
    assert_int_equal(swt_spearman(&rho, iq, hours, 10, NULL), SWT_OK);
    assert_close(rho, -29.0 / 165, 1e-15, "no ties");
    assert_int_equal(swt_spearman(&rho, x, flat, 5, NULL), SWT_OK);
    assert_true(isnan(rho));
}

static void adjusted_as_benjamini_and_hochberg_do(void **state)
{
    /* Benjamini & Hochberg 1995, section 4: at .05 their procedure takes the first four, Bonferroni
     * and Holm the first three; from memory */
    const double p[] = {.0001, .0004, .0019, .0095, .0201, .0278, .0298, .0344,
                        .0459, .3240, .4262, .5719, .6528, .7590, 1};
    double q[15], h[15], some[3] = {0.02, nan(""), 0.01};
    (void)state;

    assert_int_equal(swt_adjust_discovery(q, p, 15, NULL), SWT_OK);
    assert_int_equal(swt_adjust_holm(h, p, 15, NULL), SWT_OK);
    for (int i = 0; i < 15; i++) {
        assert_true((q[i] <= 0.05) == (i < 4));
        assert_true((h[i] <= 0.05) == (i < 3));
    }
    assert_close(q[3], 0.0095 * 15 / 4, 1e-15, "fourth");
    assert_close(q[4], fmin(0.0201 * 15 / 5, 0.0298 * 15 / 7), 1e-15, "no larger than a later one");
    assert_close(h[2], 0.0019 * 13, 1e-15, "third by Holm");
    assert_close(q[14], 1, 0, "last");
    assert_int_equal(swt_adjust_holm(some, some, 3, NULL), SWT_OK);
    assert_close(some[0], 0.02, 1e-15, "larger of two");
    assert_true(isnan(some[1]));
    assert_close(some[2], 0.02, 1e-15, "smaller of two");
}

enum { PLAYERS = 12, EACH = 8, ROWS = PLAYERS * EACH };

/* Between players the outcome falls with the measure, within each it rises: they must not mix. */
static void within_and_between_are_kept_apart(void **state)
{
    double x[ROWS], y[ROWS];
    int player[ROWS];
    uint64_t seed = 4;
    swt_association within, between;
    (void)state;

    for (int p = 0; p < PLAYERS; p++)
        for (int s = 0; s < EACH; s++) {
            int i = p * EACH + s;
            player[i] = 100 - p;
            x[i] = 10 * p + s;
            y[i] = -30 * p + 2 * s + 0.01 * draw_normal(&seed);
        }
    x[3] = nan("");
    assert_int_equal(swt_association_within(&within, x, y, player, ROWS, 999, 1, NULL), SWT_OK);
    assert_int_equal(swt_association_between(&between, x, y, player, ROWS, 999, 1, NULL), SWT_OK);
    assert_int_equal(within.n_players, PLAYERS);
    assert_int_equal(within.n_swings, ROWS - 1);
    assert_true(within.rho > 0.95);
    assert_close(within.slope, 2, 0.01, "slope within");
    assert_close(within.p, 0.001, 1e-15, "none of 999 as large");
    assert_int_equal(between.n_players, PLAYERS);
    assert_close(between.rho, -1, 1e-12, "between");
    assert_close(between.slope, -3, 0.2, "slope between");
    assert_true(between.p <= 0.002);
}

/* Four players with three swings each, in which outcome follows measure: of the 6^4 ways to deal
 * the outcomes out among a player's own swings, two go together as strongly, all as they are and
 * all the other way round. Dealt out among all twelve they would be two of 34650. */
static void outcomes_are_dealt_out_within_a_player(void **state)
{
    enum { FEW = 12, DEALS = 99999 };
    double x[FEW], y[FEW];
    int player[FEW];
    swt_association within;

    (void)state;
    for (int i = 0; i < FEW; i++) {
        player[i] = i / 3;
        x[i] = i % 3 + 10 * player[i];
        y[i] = 2 * (i % 3) - 7 * player[i];
    }
    assert_int_equal(swt_association_within(&within, x, y, player, FEW, DEALS, 1, NULL), SWT_OK);
    assert_close(within.rho, 1, 1e-12, "within");
    assert_close(within.p, 2.0 / 1296, 5e-4, "p"); /* four standard errors */
}

/* Without any association p is at most .05 in one case of twenty, also when players differ much. */
static void noise_is_seldom_found(void **state)
{
    enum { CASES = 400 };
    uint64_t seed = 11;
    int found_within = 0, found_between = 0;
    (void)state;

    for (int c = 0; c < CASES; c++) {
        double x[ROWS], y[ROWS];
        int player[ROWS];
        swt_association a;
        for (int p = 0; p < PLAYERS; p++) {
            double own_x = 5 * draw_normal(&seed), own_y = 5 * draw_normal(&seed);
            for (int s = 0; s < EACH; s++) {
                player[p * EACH + s] = p;
                x[p * EACH + s] = own_x + draw_normal(&seed);
                y[p * EACH + s] = own_y + draw_normal(&seed);
            }
        }
        assert_int_equal(swt_association_within(&a, x, y, player, ROWS, 199, 7, NULL), SWT_OK);
        found_within += a.p <= 0.05;
        assert_int_equal(swt_association_between(&a, x, y, player, ROWS, 199, 7, NULL), SWT_OK);
        found_between += a.p <= 0.05;
    }
    /* 20 of 400 expected; standard error 4.4 */
    if (found_within < 7 || found_within > 33 || found_between < 7 || found_between > 33)
        fail_msg("of %d: within %d, between %d", CASES, found_within, found_between);
}

static void one_wild_outcome_moves_the_slope_little(void **state)
{
    double x[30], y[30];
    int player[30];
    swt_association a;
    (void)state;

    for (int i = 0; i < 30; i++) {
        player[i] = i / 10;
        x[i] = i % 10;
        y[i] = 3.0 * (i % 10);
    }
    y[7] = 1e6;
    assert_int_equal(swt_association_within(&a, x, y, player, 30, 199, 1, NULL), SWT_OK);
    assert_close(a.slope, 3, 1e-12, "median of slopes");
}

static void too_little_is_said_to_be_so(void **state)
{
    const double x[6] = {1, 2, 3, 4, 5, 6}, y[6] = {2, 1, 4, 3, 6, 5};
    const int two[6] = {1, 1, 1, 2, 2, 2}, pairs[6] = {1, 1, 2, 2, 3, 3};
    swt_association a;
    (void)state;

    assert_int_equal(swt_association_within(&a, x, y, two, 6, 199, 1, NULL), SWT_OK);
    assert_int_equal(a.n_swings, 6);
    assert_true(isnan(a.rho) && isnan(a.p));
    assert_int_equal(swt_association_within(&a, x, y, pairs, 6, 199, 1, NULL), SWT_OK);
    assert_int_equal(a.n_players, 0);
    assert_int_equal(swt_association_between(&a, x, y, pairs, 6, 199, 1, NULL), SWT_OK);
    assert_int_equal(a.n_players, 3);
    assert_true(isnan(a.rho));
    assert_int_equal(swt_association_between(&a, x, y, pairs, 6, 5, 1, NULL), SWT_EARG);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rank_correlation_matches_published_values),
        cmocka_unit_test(adjusted_as_benjamini_and_hochberg_do),
        cmocka_unit_test(within_and_between_are_kept_apart),
        cmocka_unit_test(outcomes_are_dealt_out_within_a_player),
        cmocka_unit_test(noise_is_seldom_found),
        cmocka_unit_test(one_wild_outcome_moves_the_slope_little),
        cmocka_unit_test(too_little_is_said_to_be_so),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
