#include "comparison/principal.h"
#include "comparison/score.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdlib.h>

/* Perspiration of 20 women: rate, sodium, potassium. Johnson & Wichern, Applied Multivariate
 * Statistical Analysis, table 5.1. */
static const double sweat[20 * 3] = {
    3.7, 48.5, 9.3,  5.7, 65.1, 8.0,  3.8, 47.2, 10.9, 3.2, 53.2, 12.0, 3.1, 55.5, 9.7,
    4.6, 36.1, 7.9,  2.4, 24.8, 14.0, 7.2, 33.1, 7.6,  6.7, 47.4, 8.5,  5.4, 54.1, 11.3,
    3.9, 36.9, 12.7, 4.5, 58.8, 12.3, 3.5, 27.8, 9.8,  4.5, 40.2, 8.4,  1.5, 13.5, 10.1,
    8.5, 56.4, 7.1,  4.5, 71.6, 8.2,  6.5, 52.8, 10.9, 4.1, 44.1, 11.2, 5.5, 40.9, 9.4};

static void sweat_example_comes_out(void **state)
{
    const double mu[3] = {4, 50, 10};
    double d2 = nan(""), largest = 0;

    (void)state;
    assert_int_equal(swt_mahalanobis(&d2, mu, sweat, 20, 3, NULL), SWT_OK);
    assert_close(20 * d2, 9.7387728554, 1e-9, "T2, 9.74 in the book");
    assert_int_equal(swt_mahalanobis(&d2, sweat, sweat, 20, 3, NULL), SWT_OK);
    assert_close(d2, 1.2116858237, 1e-9, "D2 of the first row (NumPy)");
    for (int i = 0; i < 20; i++) {
        assert_int_equal(swt_mahalanobis(&d2, sweat + 3 * i, sweat, 20, 3, NULL), SWT_OK);
        largest = fmax(largest, d2);
    }
    assert_close(largest, 7.3310852906, 1e-9, "largest D2 (NumPy)");
}

static void singular_covariance_is_refused(void **state)
{
    double x[5 * 3], d2 = 7;

    (void)state;
    assert_int_equal(swt_mahalanobis(&d2, sweat, sweat, 3, 3, NULL), SWT_EDATA);
    for (int i = 0; i < 5; i++) {
        x[3 * i] = i;
        x[3 * i + 1] = i * i;
        x[3 * i + 2] = 2 * i + 1;
    }
    assert_int_equal(swt_mahalanobis(&d2, x, x, 5, 3, NULL), SWT_EDATA);
    x[4] = nan("");
    assert_int_equal(swt_mahalanobis(&d2, x, x, 5, 3, NULL), SWT_EDATA);
    assert_int_equal(swt_mahalanobis(&d2, x, x, 1, 3, NULL), SWT_EDATA);
}

static void components_of_a_known_table(void **state)
{
    /* (1, 1), (-1, -1), (.5, -.5), (-.5, .5): variances 4/3 along (1, 1), 1/3 along (1, -1) */
    const double rows[8] = {1, 1, -1, -1, 0.5, -0.5, -0.5, 0.5}, point[2] = {2, 0};
    swt_principal p;
    double part[2], rest;

    (void)state;
    assert_int_equal(swt_principal_fit(&p, rows, 4, 2, NULL), SWT_OK);
    assert_int_equal(p.n_components, 2);
    assert_close(p.variance[0], 4.0 / 3, 1e-12, "first");
    assert_close(p.variance[1], 1.0 / 3, 1e-12, "second");
    assert_close(fabs(p.direction[0]), sqrt(0.5), 1e-12, "along (1, 1)");
    assert_close(swt_principal_distance(part, &rest, &p, 1, point), 2 / (4.0 / 3), 1e-12, "one");
    assert_close(rest, 2, 1e-12, "the rest is along (1, -1)");
    assert_close(part[0] + part[1], 1.5, 1e-12, "parts add up");
    swt_principal_reset(&p);
}

static void profile_scores_combine_as_published(void **state)
{
    /* Baker 2009: GPS is the RMS of the GVS; numbers computed by hand from that formula */
    const double gvs[] = {4.2, 3.1, 7.5, 2.2, 5.0, 6.1, 3.3, 2.9, 4.4};
    (void)state;
    assert_close(swt_score_combine(gvs, 9), 4.5851208635, 5e-11, "GPS");
    assert_true(isnan(swt_score_combine(NULL, 0)));
}

enum { N = 24, EACH = 2, ROWS = N * EACH, T = 15, MEASURES = 3 };

/* Two curves from the same two traits of a player, and a scalar tied to the first. */
static void make_swing(double *a, double *b, double *c, const double trait[2], uint64_t *seed)
{
    double p = trait[0] + 0.3 * draw_normal(seed), q = trait[1] + 0.3 * draw_normal(seed);

    for (int t = 0; t < T; t++) {
        a[t] = 5 + p * cos(0.1 * t) + 0.1 * draw_normal(seed);
        b[t] = 100 * (p * sin(0.1 * t + 1) + q * cos(0.2 * t)) + 10 * draw_normal(seed);
    }
    *c = p + 0.2 * draw_normal(seed);
}

static double curve_a[ROWS * T], curve_b[ROWS * T], scalar[ROWS];
static int player[ROWS];

static swt_score_model *reference_model(uint64_t *seed)
{
    const swt_score_measure measure[MEASURES] = {{curve_a, T}, {curve_b, T}, {scalar, 1}};
    swt_score_model *model = NULL;

    for (int p = 0; p < N; p++) {
        double trait[2] = {draw_normal(seed), draw_normal(seed)};
        for (int s = 0; s < EACH; s++) {
            int i = p * EACH + s;
            player[i] = p;
            make_swing(curve_a + i * T, curve_b + i * T, scalar + i, trait, seed);
        }
    }
    assert_int_equal(swt_score_model_build(&model, measure, MEASURES, player, ROWS, NULL, NULL),
                     SWT_OK);
    return model;
}

static void clean_swings_rank_evenly_and_odd_ones_high(void **state)
{
    uint64_t seed = 17;
    double rms_rank = 0, distance_rank = 0, rms = 0;
    const int groups = 20, fresh = 40;

    (void)state;
    for (int g = 0; g < groups; g++) {
        swt_score_model *model = reference_model(&seed);
        double a[T], b[T], c;
        const double *curve[MEASURES] = {a, b, &c};
        swt_score s;
        for (int i = 0; i < fresh; i++) {
            double trait[2] = {draw_normal(&seed), draw_normal(&seed)};
            make_swing(a, b, &c, trait, &seed);
            assert_int_equal(swt_score_swing(&s, NULL, NULL, NULL, model, curve, NULL), SWT_OK);
            rms_rank += s.rms_rank / (groups * fresh);
            distance_rank += s.distance_rank / (groups * fresh);
            rms += s.rms * s.rms / (groups * fresh);
        }
        for (int t = 0; t < T; t++)
            a[t] += 8;
        assert_int_equal(swt_score_swing(&s, NULL, NULL, NULL, model, curve, NULL), SWT_OK);
        assert_true(s.rms_rank > 0.99);
        swt_score_model_free(model);
    }
    /* a new swing scores below half of the left-out ones half of the time */
    assert_close(rms_rank, 0.5, 0.05, "rms rank of clean swings");
    assert_close(distance_rank, 0.5, 0.05, "distance rank of clean swings");
    assert_close(sqrt(rms), 1, 0.08, "rms of clean swings");
}

/* The last player's reference scores are those of a model that never saw the player. */
static void left_out_means_built_anew(void **state)
{
    const swt_score_measure measure[MEASURES] = {{curve_a, T}, {curve_b, T}, {scalar, 1}};
    const double *curve[MEASURES] = {curve_a + (ROWS - 1) * T, curve_b + (ROWS - 1) * T,
                                     scalar + ROWS - 1};
    uint64_t seed = 19;
    swt_score_model *all = reference_model(&seed), *others = NULL;
    swt_score_reference r = swt_score_reference_of(all);
    swt_score s;
    size_t components, components_others, columns;

    (void)state;
    assert_int_equal(
        swt_score_model_build(&others, measure, MEASURES, player, ROWS - EACH, NULL, NULL), SWT_OK);
    swt_score_model_size(&components, &columns, all);
    swt_score_model_size(&components_others, &columns, others);
    assert_int_equal(components, components_others);
    assert_int_equal(r.n_scores, ROWS);
    assert_int_equal(swt_score_swing(&s, NULL, NULL, NULL, others, curve, NULL), SWT_OK);
    assert_close(r.rms[ROWS - 1], s.rms, 1e-12, "rms");
    assert_close(r.distance[ROWS - 1], s.distance, 1e-9, "distance");
    assert_close(r.rest[ROWS - 1], s.rest, 1e-9, "rest");
    assert_close(r.weight[ROWS - 1], 1.0 / EACH, 1e-15, "weight");
    swt_score_model_free(all);
    swt_score_model_free(others);
}

static void parts_add_up(void **state)
{
    uint64_t seed = 18;
    swt_score_model *model = reference_model(&seed);
    double a[T], b[T], c, trait[2] = {1.5, -1}, share[2 * T + 1], part[2 * T + 1], rms[MEASURES];
    double share_sum = 0, part_sum = 0, a_sum = 0;
    const double *curve[MEASURES] = {a, b, &c};
    swt_score s;
    size_t components, columns;

    (void)state;
    swt_score_model_size(&components, &columns, model);
    assert_int_equal(columns, 2 * T + 1);
    assert_true(components >= 1 && components <= N / 5);
    make_swing(a, b, &c, trait, &seed);
    assert_int_equal(swt_score_swing(&s, rms, share, part, model, curve, NULL), SWT_OK);
    for (int i = 0; i < 2 * T + 1; i++) {
        share_sum += share[i];
        part_sum += part[i];
        a_sum += i < T ? share[i] : 0;
    }
    assert_close(share_sum, 1, 1e-12, "shares of rms");
    assert_close(part_sum, s.distance * s.distance, 1e-9, "parts of distance");
    assert_close(swt_score_combine(rms, MEASURES), s.rms, 1e-12, "rms of the measures' rms");
    assert_close(a_sum, rms[0] * rms[0] / (3 * s.rms * s.rms), 1e-12, "first measure's share");
    /* an absent measure leaves rms to the others, and no distance */
    curve[1] = NULL;
    assert_int_equal(swt_score_swing(&s, rms, NULL, NULL, model, curve, NULL), SWT_OK);
    assert_true(isnan(rms[1]) && isfinite(s.rms) && isnan(s.distance) && isnan(s.distance_rank));
    curve[0] = curve[2] = NULL;
    assert_int_equal(swt_score_swing(&s, rms, share, part, model, curve, NULL), SWT_OK);
    assert_true(isnan(s.rms) && isnan(s.rms_rank) && isnan(share[0]));
    swt_score_model_free(model);
}

static void hopeless_groups_are_refused(void **state)
{
    double same[10] = {0};
    const int ten[10] = {0, 1, 2, 3, 4, 5, 6, 7, 8, 9}, one[10] = {0};
    const swt_score_measure measure = {same, 1};
    swt_score_model *model = NULL;

    (void)state;
    assert_int_equal(swt_score_model_build(&model, &measure, 1, ten, 10, NULL, NULL), SWT_EDATA);
    assert_int_equal(swt_score_model_build(&model, &measure, 1, one, 10, NULL, NULL), SWT_EDATA);
    assert_int_equal(swt_score_model_build(&model, &measure, 0, ten, 10, NULL, NULL), SWT_EDATA);
    assert_int_equal(swt_score_model_build(&model, &measure, 1, ten, 0, NULL, NULL), SWT_EDATA);
    for (int i = 0; i < 10; i++)
        same[i] = nan("");
    assert_int_equal(swt_score_model_build(&model, &measure, 1, ten, 10, NULL, NULL), SWT_EDATA);
    assert_null(model);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(sweat_example_comes_out),
        cmocka_unit_test(singular_covariance_is_refused),
        cmocka_unit_test(components_of_a_known_table),
        cmocka_unit_test(profile_scores_combine_as_published),
        cmocka_unit_test(clean_swings_rank_evenly_and_odd_ones_high),
        cmocka_unit_test(left_out_means_built_anew),
        cmocka_unit_test(parts_add_up),
        cmocka_unit_test(hopeless_groups_are_refused),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
