#include "comparison/departure.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { T = 11 };

/* A corridor written down by hand: centre 0, edges -2 and +2, within-player SD 0.5. */
static double zero[T], two[T], minus_two[T], one[T], half[T];

static swt_corridor by_hand(void)
{
    swt_corridor c = {.n_samples = T, .multiplier = 2};

    for (int t = 0; t < T; t++) {
        zero[t] = 0;
        two[t] = 2;
        minus_two[t] = -2;
        one[t] = 1;
        half[t] = 0.5;
    }
    c.centre = zero;
    c.upper = two;
    c.lower = minus_two;
    c.sd_total = one;
    c.sd_between = one;
    c.sd_within = half;
    return c;
}

static void intervals_are_found_and_measured(void **state)
{
    const double curve[T] = {0, 1, 3, 5, 1, 0, -3, -4, -1, 2, 2.5};
    /* the uncertainty at the peak counts, and no other sample's */
    const double u[T] = {9, 9, 9, 0.1, 9, 9, 9, nan(""), 9, 9, 9};
    double time_s[T];
    int phase[T] = {0, 0, 0, 0, 1, 1, 1, 1, 2, 2, 2};
    swt_corridor c = by_hand();
    swt_departure_context context = {
        .measure = 4, .time_s = time_s, .phase = phase, .family_factor = 2.2, .measurement_sd = u};
    swt_departure *list = NULL;
    swt_departure_summary summary;
    size_t n = 0;

    (void)state;
    for (int t = 0; t < T; t++)
        time_s[t] = 0.1 * t;
    assert_int_equal(swt_departure_find(&list, &n, &summary, &c, curve, &context, NULL), SWT_OK);
    assert_int_equal(n, 3);
    assert_int_equal(list[0].measure, 4);
    assert_int_equal(list[0].direction, 1);
    assert_int_equal(list[0].first, 2);
    assert_int_equal(list[0].last, 3);
    assert_int_equal(list[0].peak, 3);
    assert_close(list[0].start, 1.5, 1e-12, "crosses 2 midway from 1 to 3");
    assert_close(list[0].end, 3.75, 1e-12, "crosses 2 on the way from 5 to 1");
    assert_close(list[0].start_s, 0.15, 1e-12, "start time");
    assert_close(list[0].peak_excess, 3, 1e-12, "beyond the edge");
    assert_close(list[0].peak_ratio, 2.5, 1e-12, "in half-widths");
    assert_close(list[0].peak_within_sd, 6, 1e-12, "in within-player SD");
    assert_close(list[0].peak_measurement_sd, 30, 1e-12, "in measurement SD");
    assert_true(list[0].stands_in_family);
    assert_int_equal(list[1].direction, -1);
    assert_close(list[1].start, 5 + 2.0 / 3, 1e-12, "falls through -2");
    assert_close(list[1].peak_excess, -2, 1e-12, "signed");
    assert_true(isnan(list[1].peak_measurement_sd)); /* unknown there */
    assert_int_equal(list[1].phase, 1);
    assert_false(list[1].stands_in_family); /* 2.0 half-widths, below 2.2 */
    assert_int_equal(list[2].first, 10);
    assert_int_equal(list[2].last, 10);
    assert_close(list[2].end, 10, 0, "the curve ends outside");
    assert_close(summary.share_outside, 5.0 / 11, 1e-12, "share");
    assert_close(summary.first_outside, 1.5, 1e-12, "first");
    assert_close(summary.peak_ratio, 2.5, 1e-12, "peak");
    assert_int_equal(summary.n_compared, 11);
    free(list);
}

static void from_side_to_side_makes_two(void **state)
{
    const double curve[T] = {4, -4};
    swt_corridor c = by_hand();
    swt_departure *list = NULL;
    size_t n = 0;

    (void)state;
    c.n_samples = 2;
    assert_int_equal(swt_departure_find(&list, &n, NULL, &c, curve, NULL, NULL), SWT_OK);
    assert_int_equal(n, 2);
    assert_close(list[0].start, 0, 0, "begins outside");
    assert_close(list[0].end, 0.25, 1e-12, "leaves the upper side");
    assert_close(list[1].start, 0.75, 1e-12, "reaches the lower side");
    assert_true(list[0].stands_in_family && isnan(list[0].start_s));
    assert_true(isnan(list[0].peak_measurement_sd));
    free(list);
}

static void gaps_end_an_interval_and_are_not_compared(void **state)
{
    double curve[T] = {0, 3, 0, 3, 3, 0, 0, 0, 0, 0, 0}, none[T];
    swt_corridor c = by_hand();
    swt_departure *list = NULL;
    swt_departure_summary summary;
    size_t n = 0;

    (void)state;
    curve[2] = nan("");
    assert_int_equal(swt_departure_find(&list, &n, &summary, &c, curve, NULL, NULL), SWT_OK);
    assert_int_equal(n, 2);
    assert_close(list[0].end, 1, 0, "no crossing is invented in a gap");
    assert_close(list[1].start, 3, 0, "nor on the way out");
    assert_int_equal(summary.n_compared, 10);
    free(list);
    for (int t = 0; t < T; t++)
        none[t] = nan("");
    assert_int_equal(swt_departure_find(&list, &n, &summary, &c, none, NULL, NULL), SWT_OK);
    assert_int_equal(n, 0);
    assert_null(list);
    assert_true(isnan(summary.share_outside) && isnan(summary.first_outside));
    c.state = SWT_CORRIDOR_REFUSED;
    assert_int_equal(swt_departure_find(&list, &n, NULL, &c, curve, NULL, NULL), SWT_EDATA);
}

static void persistence_takes_medians_over_swings(void **state)
{
    const swt_departure base = {.measure = 1,
                                .direction = 1,
                                .peak = 8,
                                .peak_ratio = 1.5,
                                .start_s = 0.5,
                                .end_s = 0.9,
                                .largest_value = 3,
                                .largest_excess = 1,
                                .largest_s = 0.7,
                                .peak_within_sd = 2,
                                .peak_measurement_sd = 30,
                                .stands_in_family = true};
    swt_departure second = base, third = base;
    const swt_departure *const of_swing[5] = {&base, NULL, &second, NULL, &third};
    const swt_departure *const none[2] = {NULL, NULL};
    swt_persistence p;

    (void)state;
    second.peak_within_sd = -7;
    third.peak_within_sd = 5;
    second.peak_measurement_sd = third.peak_measurement_sd = nan("");
    second.peak_ratio = 1.1;
    second.start_s = 0.3;
    second.peak = 5;
    second.stands_in_family = false;
    third.peak_ratio = 4;
    third.start_s = nan("");
    third.largest_excess = 6;
    third.peak = 11;
    assert_int_equal(swt_departure_persistence(&p, of_swing, 5, 4, NULL), SWT_OK);
    assert_int_equal(p.measure, 1);
    assert_int_equal(p.direction, 1);
    assert_int_equal(p.n_departing, 3);
    assert_int_equal(p.n_swings, 4);
    assert_int_equal(p.n_standing, 2);
    assert_close(p.peak_ratio, 1.5, 0, "median of 1.1 1.5 4");
    assert_close(p.start_s, 0.4, 1e-15, "median of the two there are");
    assert_close(p.largest_excess, 1, 0, "median of 1 1 6");
    assert_close(p.peak_within_sd, 5, 0, "median of 2 7 5");
    assert_close(p.peak_measurement_sd, 30, 0, "the only one known");
    assert_int_equal(p.peak, 8);
    assert_int_equal(swt_departure_persistence(&p, none, 2, 2, NULL), SWT_OK);
    assert_int_equal(p.n_departing, 0);
    assert_true(isnan(p.start_s) && isnan(p.largest_excess));
}

/* Pearson's r by its other formula, (n sum xy - sum x sum y) / ..., over the means of each player's
 * swings in which both are there. */
static double correlation_of_means(const double *x, const double *y, int rows, int each)
{
    double n = 0, sx = 0, sy = 0, sxx = 0, syy = 0, sxy = 0;

    for (int first = 0; first < rows; first += each) {
        double mx = 0, my = 0;
        int k = 0;
        for (int i = first; i < first + each; i++)
            if (isfinite(x[i] + y[i])) {
                mx = (k * mx + x[i]) / (k + 1);
                my = (k * my + y[i]) / (k + 1);
                k++;
            }
        n++;
        sx += mx;
        sy += my;
        sxx += mx * mx;
        syy += my * my;
        sxy += mx * my;
    }
    return (n * sxy - sx * sy) / sqrt((n * sxx - sx * sx) * (n * syy - sy * sy));
}

static void trace_finds_what_goes_together_in_the_group(void **state)
{
    enum { N = 40, EACH = 2, ROWS = N * EACH };
    double early[ROWS], late[ROWS], apart[ROWS];
    int player[ROWS];
    uint64_t seed = 8;
    swt_corridor *c[3] = {NULL, NULL, NULL};
    swt_reference_measure reference[3];
    swt_departure list[3];
    swt_trace_link *links = NULL;
    size_t n = 0, n_early = 0, n_late = 0, n_both = 0;

    (void)state;
    for (int p = 0; p < N; p++) {
        double a = draw_normal(&seed), b = draw_normal(&seed);
        for (int s = 0; s < EACH; s++) {
            int i = p * EACH + s;
            player[i] = p;
            early[i] = a + 0.1 * draw_normal(&seed);
            late[i] = -a + 0.1 * draw_normal(&seed);
            apart[i] = b + 0.1 * draw_normal(&seed);
        }
    }
    assert_int_equal(swt_corridor_build(&c[0], early, player, ROWS, 1, NULL, NULL), SWT_OK);
    assert_int_equal(swt_corridor_build(&c[1], late, player, ROWS, 1, NULL, NULL), SWT_OK);
    assert_int_equal(swt_corridor_build(&c[2], apart, player, ROWS, 1, NULL, NULL), SWT_OK);
    reference[0] = (swt_reference_measure){early, c[0], 10};
    reference[1] = (swt_reference_measure){late, c[1], 80};
    reference[2] = (swt_reference_measure){apart, c[2], 10};
    memset(list, 0, sizeof list);
    list[0] = (swt_departure){.measure = 0, .direction = 1, .start_s = 0.2};
    list[1] = (swt_departure){.measure = 2, .direction = 1, .start_s = 0.3};
    list[2] = (swt_departure){.measure = 1, .direction = -1, .start_s = 0.8};
    assert_int_equal(swt_departure_trace(&links, &n, list, 3, 2, reference, 3, player, ROWS, NULL),
                     SWT_OK);
    assert_int_equal(n, 2);
    assert_int_equal(links[0].earlier, 0);
    assert_close(links[0].lag_s, 0.6, 1e-12, "lag");
    assert_true(links[0].correlation < -0.95);
    assert_int_equal(links[0].n_players, N);
    for (int i = 0; i < ROWS; i++) {
        bool is_early = early[i] > c[0]->centre[0] + c[0]->sd_total[0];
        bool is_late = late[i] < c[1]->centre[0] - c[1]->sd_total[0];
        n_early += is_early;
        n_late += is_late;
        n_both += is_early && is_late;
    }
    assert_true(n_both > 5 && n_both < n_early + n_late - n_both);
    assert_int_equal(links[0].n_earlier, n_early);
    assert_int_equal(links[0].n_both, n_both);
    assert_int_equal(links[0].n_in_order, n_both); /* settled at samples 10 and 80 */
    assert_close(links[0].base_rate, (double)n_late / ROWS, 1e-12, "base rate");
    assert_true(links[0].base_rate < 0.3);
    assert_true(fabs(links[1].correlation) < 0.5);
    free(links);
    /* nothing came before the first; a path has no reference table */
    assert_int_equal(swt_departure_trace(&links, &n, list, 3, 0, reference, 3, player, ROWS, NULL),
                     SWT_OK);
    assert_int_equal(n, 0);
    assert_null(links);
    reference[0].corridor = NULL;
    assert_int_equal(swt_departure_trace(&links, &n, list, 3, 2, reference, 3, player, ROWS, NULL),
                     SWT_OK);
    assert_true(isnan(links[0].correlation) && links[0].n_earlier == 0);
    free(links);
    reference[0].corridor = c[0];
    early[1] = late[5] = nan(""); /* these two players have one swing each */
    assert_int_equal(swt_departure_trace(&links, &n, list, 3, 2, reference, 3, player, ROWS, NULL),
                     SWT_OK);
    assert_close(links[0].correlation, correlation_of_means(early, late, ROWS, EACH), 1e-9,
                 "correlation over the players' means");
    free(links);
    for (int i = 4 * EACH; i < ROWS; i++)
        late[i] = nan("");
    assert_int_equal(swt_departure_trace(&links, &n, list, 3, 2, reference, 3, player, ROWS, NULL),
                     SWT_OK);
    assert_int_equal(links[0].n_players, 4); /* too few for a correlation */
    assert_true(isnan(links[0].correlation));
    free(links);
    list[2].start_s = nan("");
    assert_int_equal(swt_departure_trace(&links, &n, list, 3, 2, reference, 3, player, ROWS, NULL),
                     SWT_EARG);
    for (int i = 0; i < 3; i++)
        swt_corridor_free(c[i]);
}

/* Curves that rise one after the other: in the first half of the players x before y, in the others
 * after. */
static void trace_tells_in_how_many_one_comes_first(void **state)
{
    enum { N = 40, LONG = 30 };
    double x[N * LONG], y[N * LONG];
    int player[N];
    uint64_t seed = 5;
    swt_corridor *c[2] = {NULL, NULL};
    swt_reference_measure reference[2];
    const swt_departure list[2] = {
        {.measure = 0, .direction = 1, .first = 0, .last = LONG - 1, .start_s = 0.2},
        {.measure = 1, .direction = 1, .first = 0, .last = LONG - 1, .start_s = 0.5}};
    swt_trace_link *links = NULL;
    size_t n = 0;

    (void)state;
    for (int p = 0; p < N; p++) {
        int at_x = p % 4 == 0 ? 5 : 20, at_y = p % 4 < 2 ? 12 : 25;
        double size = p % 8 < 4 ? 10 : 0; /* half of the players rise */
        player[p] = p;
        for (int t = 0; t < LONG; t++) {
            x[p * LONG + t] = 0.1 * draw_normal(&seed) + (t >= at_x ? size : 0);
            y[p * LONG + t] = 0.1 * draw_normal(&seed) + (t >= at_y ? size : 0);
        }
    }
    assert_int_equal(swt_corridor_build(&c[0], x, player, N, LONG, NULL, NULL), SWT_OK);
    assert_int_equal(swt_corridor_build(&c[1], y, player, N, LONG, NULL, NULL), SWT_OK);
    for (int t = 0; t < LONG; t++) { /* a rise is beyond 1 SD, and nothing else is */
        c[0]->centre[t] = c[1]->centre[t] = 0;
        c[0]->sd_total[t] = c[1]->sd_total[t] = 2;
    }
    reference[0] = (swt_reference_measure){x, c[0], 0};
    reference[1] = (swt_reference_measure){y, c[1], 0};
    assert_int_equal(swt_departure_trace(&links, &n, list, 2, 1, reference, 2, player, N, NULL),
                     SWT_OK);
    assert_int_equal(n, 1);
    assert_int_equal(links[0].n_earlier, N / 2);
    assert_int_equal(links[0].n_both, N / 2);
    /* of each four who rise, x comes first at 5 < 12, 20 < 25 twice, and not at 20 > 12 */
    assert_int_equal(links[0].n_in_order, 3 * N / 8);
    free(links);
    swt_corridor_free(c[0]);
    swt_corridor_free(c[1]);
}

static void path_departs_from_its_tube(void **state)
{
    double depth[3] = {0, 4, 0.5}, height[3] = {0, 3, 0};
    double centre[3] = {0, 0, 0}, covariance[9], within[9];
    swt_path_corridor c = {.n_samples = 3, .multiplier = 2};
    swt_departure *list = NULL;
    size_t n = 0;

    (void)state;
    for (int t = 0; t < 3; t++) { /* circles of radius 2; within-player SD 0.25 */
        covariance[3 * t] = covariance[3 * t + 2] = 1;
        covariance[3 * t + 1] = 0;
        within[3 * t] = within[3 * t + 2] = 0.0625;
        within[3 * t + 1] = 0;
    }
    c.centre_depth = c.centre_height = centre;
    c.covariance = covariance;
    c.covariance_within = within;
    assert_int_equal(swt_departure_find_path(&list, &n, NULL, &c, depth, height, NULL, NULL),
                     SWT_OK);
    assert_int_equal(n, 1);
    assert_int_equal(list[0].direction, 0);
    assert_close(list[0].peak_ratio, 2.5, 1e-12, "5 away, radius 2");
    assert_close(list[0].peak_excess, 3, 1e-12, "beyond the edge");
    assert_close(list[0].peak_within_sd, 12, 1e-12, "in within-player SD");
    assert_close(list[0].start, 0.4, 1e-12, "crosses on the way from 0 to 2.5");
    free(list);

    /* own swings that spread along (4, 3) alone, variance 0.25: no variance across, so the
     * covariance is 0.25 times the outer product of (0.8, 0.6) */
    within[3] = 0.16;
    within[4] = 0.12;
    within[5] = 0.09;
    assert_int_equal(swt_departure_find_path(&list, &n, NULL, &c, depth, height, NULL, NULL),
                     SWT_OK);
    assert_close(list[0].peak_within_sd, 3 / 0.5, 1e-12, "in SD along the departure");
    free(list);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(intervals_are_found_and_measured),
        cmocka_unit_test(from_side_to_side_makes_two),
        cmocka_unit_test(gaps_end_an_interval_and_are_not_compared),
        cmocka_unit_test(persistence_takes_medians_over_swings),
        cmocka_unit_test(trace_finds_what_goes_together_in_the_group),
        cmocka_unit_test(trace_tells_in_how_many_one_comes_first),
        cmocka_unit_test(path_departs_from_its_tube),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
