/* The median of players' medians, by hand. */
#include "comparison/group_median.h"

#include "tests/support/support.h"

#include <math.h>

/* Player 7: 1, 2, 9 -> 2; player 3: 4, 8 -> 6; player 5: 100. Their median is 6; that of all six
 * swings would be 6 too, so the second column has player 7 in four swings: 1 1 1 1 | 6 | 8 -> 6
 * where the swings' own median is 1. */
static void every_player_weighs_the_same(void **state)
{
    const int player[] = {7, 3, 7, 5, 3, 7, 7};
    const double values[] = {1, 1, 4, 6, 2, 1, 100, 8, 8, nan(""), 9, 1, nan(""), 1};
    double out[2];

    (void)state;
    assert_int_equal(swt_group_median(out, values, player, 7, 2, NULL), SWT_OK);
    assert_close(out[0], 6, 0, "first column");
    assert_close(out[1], 6, 0, "second column");
}

/* Players 5 and 6 have nothing and do not count. Of four with values one has the second column:
 * fewer than half. Two have the third. */
static void what_most_players_lack_is_absent(void **state)
{
    const int player[] = {1, 2, 3, 4, 5, 6};
    const double no = nan("");
    const double values[] = {1, 5, 7, 2, no, 9, 3, no, no, 4, no, no, no, no, no, no, no, no};
    double out[3];

    (void)state;
    assert_int_equal(swt_group_median(out, values, player, 6, 3, NULL), SWT_OK);
    assert_close(out[0], 2.5, 0, "all four");
    assert_true(isnan(out[1]));
    assert_close(out[2], 8, 0, "half of them");
    assert_int_equal(swt_group_median(out, values, player, 0, 3, NULL), SWT_OK);
    assert_true(isnan(out[0]));
}

/* Of five players two are fewer than half, three are enough. */
static void half_of_an_odd_number_is_rounded_up(void **state)
{
    const int player[] = {1, 2, 3, 4, 5};
    const double no = nan("");
    const double values[] = {1, no, 7, 2, 4, 8, 3, 5, 9, 4, no, no, 5, no, no};
    double out[3];

    (void)state;
    assert_int_equal(swt_group_median(out, values, player, 5, 3, NULL), SWT_OK);
    assert_close(out[0], 3, 0, "all");
    assert_true(isnan(out[1]));
    assert_close(out[2], 8, 0, "three of five");
}

/* Players' medians 2, 20 and 300, means 3, 20 and 300; the fourth player has no value. */
static void spread_and_mean_are_of_players(void **state)
{
    const double no = nan("");
    const int player[] = {9, 9, 9, 4, 9, 5, 5, 1};
    const double value[] = {1, 2, 6, 20, no, 200, 400, no};
    double least, middle, greatest, mean;

    (void)state;
    assert_int_equal(swt_group_spread(&least, &middle, &greatest, value, player, 8, NULL), SWT_OK);
    assert_close(least, 2, 0, "least");
    assert_close(middle, 20, 0, "middle");
    assert_close(greatest, 300, 0, "greatest");
    assert_int_equal(swt_group_mean(&mean, value, player, 8, NULL), SWT_OK);
    assert_close(mean, (3 + 20 + 300) / 3.0, 1e-12, "mean of means");
    assert_int_equal(swt_group_spread(&least, &middle, &greatest, &value[7], player, 1, NULL),
                     SWT_OK);
    assert_int_equal(swt_group_mean(&mean, &value[7], player, 1, NULL), SWT_OK);
    assert_true(isnan(least) && isnan(middle) && isnan(greatest) && isnan(mean));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_player_weighs_the_same),
        cmocka_unit_test(what_most_players_lack_is_absent),
        cmocka_unit_test(half_of_an_odd_number_is_rounded_up),
        cmocka_unit_test(spread_and_mean_are_of_players),
    };
    return cmocka_run_group_tests_name("group_median", tests, NULL, NULL);
}
