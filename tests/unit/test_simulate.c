#include "comparison/simulate.h"
#include "tests/support/support.h"

#include <math.h>

/* The spread, and how many groups and new players the shares below are known from. */
static const swt_simulation usual = {.n_players = 15,
                                     .swings_per_player = 2,
                                     .n_samples = 21,
                                     .between_share = 0.7,
                                     .length_scale = 0.1,
                                     .n_groups = 120,
                                     .n_new_players = 60,
                                     .corridor = SWT_CORRIDOR_OPTIONS_INIT};

/* For what does not hang on how well the shares are known. */
static const swt_simulation small = {.n_players = 6,
                                     .swings_per_player = 2,
                                     .n_samples = 5,
                                     .between_share = 0.5,
                                     .length_scale = 0.3,
                                     .n_groups = 5,
                                     .n_new_players = 20,
                                     .corridor = SWT_CORRIDOR_OPTIONS_INIT};

/* Simulates, and holds the coverage between 0.93 and `most`. */
static swt_simulation_result kept(const swt_simulation *s, double most, const char *what)
{
    swt_simulation_result r;

    assert_int_equal(swt_simulate_coverage(&r, s, NULL), SWT_OK);
    if (!(r.coverage >= 0.93 && r.coverage <= most))
        fail_msg("%s: coverage %.4f, standard error %.4f", what, r.coverage, r.standard_error);
    return r;
}

static void new_players_are_inside_as_often_as_stated(void **state)
{
    swt_simulation s = usual;
    swt_simulation_result r;

    (void)state;
    s.swings_per_player = 3;
    s.n_samples = 41;
    s.corridor.n_resamples = 600;
    s.seed = 3;
    r = kept(&s, 0.97, "three swings each");
    assert_close(r.loo_coverage, r.coverage, 0.03, "leave-one-out against the truth");
    s.swings_per_player = 1;
    s.seed = 4;
    (void)kept(&s, 0.97, "one swing each");
}

/* Heavy tails: means and SDs hold some 90 %, ranks what they state. */
static void ranks_keep_their_word_where_tails_are_heavy(void **state)
{
    swt_simulation s = usual;
    swt_simulation_result r;

    (void)state;
    s.n_players = 25;
    s.tail_df = 5;
    s.corridor.n_resamples = 300;
    s.seed = 9;
    assert_int_equal(swt_simulate_coverage(&r, &s, NULL), SWT_OK);
    assert_true(r.coverage < 0.93);
    s.corridor.centre = SWT_CENTRE_MEDIAN;
    (void)kept(&s, 0.975, "ranks");
}

static void a_family_is_left_as_seldom_as_stated(void **state)
{
    swt_simulation s = usual;
    swt_simulation_result r;

    (void)state;
    s.n_players = 20;
    s.n_measures = 8;
    s.length_scale = 0.2;
    s.n_groups = 60;
    s.corridor.n_resamples = 500;
    s.seed = 5;
    r = kept(&s, 0.97, "family");
    assert_close(r.coverage_alone, pow(0.95, 8), 0.05, "without the factor");
}

/* Each group has its own generator: two groups are the first two of three. Their shares follow from
 * mean and standard error, |a - b| / 2, and the third's from the mean of three. */
static void standard_error_is_that_of_the_groups_shares(void **state)
{
    swt_simulation s = small;
    swt_simulation_result two, three;
    double share[3], square = 0;

    (void)state;
    s.n_players = 10;
    s.n_samples = 11;
    s.n_groups = 2;
    s.n_new_players = 40;
    s.corridor.n_resamples = 300;
    s.seed = 2;
    assert_int_equal(swt_simulate_coverage(&two, &s, NULL), SWT_OK);
    s.n_groups = 3;
    assert_int_equal(swt_simulate_coverage(&three, &s, NULL), SWT_OK);
    share[0] = two.coverage - two.standard_error;
    share[1] = two.coverage + two.standard_error;
    share[2] = 3 * three.coverage - 2 * two.coverage;
    for (int i = 0; i < 3; i++) {
        double whole = 40 * share[i]; /* of forty new players, a whole number is inside */
        assert_close(whole, round(whole), 1e-6, "new players inside");
        square += pow(share[i] - three.coverage, 2);
    }
    assert_true(two.standard_error > 0);
    assert_close(three.standard_error, sqrt(square / (2 * 3)), 1e-9, "standard error");
    /* one sample alone would need some 2; all eleven at once need more */
    assert_true(three.multiplier > 2.2 && three.multiplier < 6);
}

static void same_seed_same_result(void **state)
{
    swt_simulation s = small;
    swt_simulation_result a, b;

    (void)state;
    s.tail_df = 4;
    s.seed = 9;
    assert_int_equal(swt_simulate_coverage(&a, &s, NULL), SWT_OK);
    assert_int_equal(swt_simulate_coverage(&b, &s, NULL), SWT_OK);
    assert_memory_equal(&a, &b, sizeof a);
    s.n_players = 4; /* too few: every corridor is refused, and that is said */
    assert_int_equal(swt_simulate_coverage(&a, &s, NULL), SWT_OK);
    assert_int_equal(a.n_refused, 5);
    assert_true(isnan(a.coverage));
}

static void bad_options_are_refused(void **state)
{
    swt_simulation s;
    swt_simulation_result r;

    (void)state;
    s = small;
    s.n_players = 1;
    assert_int_equal(swt_simulate_coverage(&r, &s, NULL), SWT_EARG);
    s = small;
    s.between_share = 1.5;
    assert_int_equal(swt_simulate_coverage(&r, &s, NULL), SWT_EARG);
    s = small;
    s.length_scale = 0;
    assert_int_equal(swt_simulate_coverage(&r, &s, NULL), SWT_EARG);
    s = small;
    s.tail_df = 2;
    assert_int_equal(swt_simulate_coverage(&r, &s, NULL), SWT_EARG);
    s = small;
    s.corridor.coverage = 0;
    assert_int_equal(swt_simulate_coverage(&r, &s, NULL), SWT_EARG);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(new_players_are_inside_as_often_as_stated),
        cmocka_unit_test(ranks_keep_their_word_where_tails_are_heavy),
        cmocka_unit_test(a_family_is_left_as_seldom_as_stated),
        cmocka_unit_test(standard_error_is_that_of_the_groups_shares),
        cmocka_unit_test(same_seed_same_result),
        cmocka_unit_test(bad_options_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
