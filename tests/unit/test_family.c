/* Swings against a family of measures, and what a player's swings add up to: corridors by hand. */
#include "comparison/family.h"
#include "comparison/kinds.h"
#include "tests/support/support.h"

#include <math.h>

enum { T = 11, PHASES = 2, STEPS = 5 };

static double zero[T], edge[T], under[T], one[T];

/* Edges at +-2, a spread of 1. */
static swt_corridor band(size_t n_samples, swt_corridor_method method)
{
    for (int t = 0; t < T; t++) {
        edge[t] = 2;
        under[t] = -2;
        one[t] = 1;
    }
    return (swt_corridor){.n_samples = n_samples,
                          .method = method,
                          .multiplier = 2,
                          .centre = zero,
                          .upper = edge,
                          .lower = under,
                          .sd_total = one,
                          .sd_within = one};
}

typedef struct made {
    swt_corridor curve, scalar;
    swt_family_measure measure[3];
    swt_family family;
} made;

/* A curve, a measure outside the family, and a scalar that is settled at sample 5; factor 1.5. */
static void make(made *m)
{
    m->curve = band(T, SWT_CORRIDOR_BAND);
    m->scalar = band(1, SWT_CORRIDOR_TOLERANCE);
    m->measure[0] = (swt_family_measure){.corridor = &m->curve, .least_excess = 0.5};
    m->measure[1] = (swt_family_measure){0};
    m->measure[2] =
        (swt_family_measure){.corridor = &m->scalar, .least_excess = 0.5, .position = 5};
    m->family = (swt_family){.n_measures = 3,
                             .n_members = 2,
                             .measure = m->measure,
                             .n_phases = PHASES,
                             .phase_steps = STEPS,
                             .factor = 1.5};
}

static void begin(swt_assessed_swing *s, const made *m, const double *curve, double scalar,
                  double position)
{
    double time_s[T], at_s = 0.5;

    *s = (swt_assessed_swing){0};
    for (int t = 0; t < T; t++)
        time_s[t] = 0.1 * t;
    assert_int_equal(swt_assessed_swing_begin(s, &m->family, NULL), SWT_OK);
    assert_int_equal(
        swt_assessed_swing_add(s, &m->family, 0,
                               &(swt_assessed_values){.value = curve, .time_s = time_s}, NULL),
        SWT_OK);
    assert_int_equal(swt_assessed_swing_add(
                         s, &m->family, 2,
                         &(swt_assessed_values){.value = &scalar, .time_s = &at_s, position}, NULL),
                     SWT_OK);
}

static void only_what_has_a_common_scale_is_a_member(void **state)
{
    swt_corridor c = band(T, SWT_CORRIDOR_ORDER);

    (void)state;
    assert_true(swt_family_may_hold(&c)); /* curves keep a multiplier with ranks too */
    c.n_samples = 1;
    assert_false(swt_family_may_hold(&c));
    c.method = SWT_CORRIDOR_TOLERANCE;
    assert_true(swt_family_may_hold(&c));
    c.state = SWT_CORRIDOR_REFUSED;
    assert_false(swt_family_may_hold(&c));
}

static void what_shows_in_most_swings_leads(void **state)
{
    /* 4 = 2 half-widths, 2.2 = 1.1: stands for the family or not; 2 to 2.5 is no departure that
     * matters */
    const double deep[T] = {0, 0, 1, 4, 4, 1, 0, 0, 0, 0, 0};
    const double calm[T] = {0, 0, 0, 0, 0, 0, 0, 2.2, 0, 0, 0};
    swt_assessed_swing s[3];
    swt_player_findings f;
    made m;

    (void)state;
    make(&m);
    begin(&s[0], &m, deep, -2.6, 4.5);
    begin(&s[1], &m, deep, -2.6, 4.5);
    begin(&s[2], &m, calm, 0, 4.5);
    assert_int_equal(s[0].n_departures, 2);
    assert_close(s[0].departure[0].position, 2 + 1.0 / 3, 1e-12, "crosses 2 a third of the way");
    assert_close(s[0].departure[0].found.start_s, 0.2 + 0.1 / 3, 1e-12, "its time");
    assert_close(s[0].departure[1].position, 4.5, 0, "a scalar's place is given");
    assert_close(s[0].departure[1].found.start_s, 0.5, 0, "a scalar's time is given");
    assert_int_equal(swt_player_findings_of(&f, &m.family, s, 3, NULL), SWT_OK);
    assert_int_equal(f.n_departures, 2); /* deep; the scalar; the third swing's is the same side */
    assert_int_equal(f.certainty, SWT_STANDS);
    assert_int_equal(f.departure[0].over.measure, 0);
    assert_int_equal(f.departure[0].over.n_departing, 3); /* one of them is small */
    assert_int_equal(f.departure[0].over.n_standing, 2);
    assert_int_equal(f.departure[0].over.n_swings, 3);
    assert_int_equal(f.departure[1].over.measure, 2);
    assert_int_equal(f.departure[1].over.direction, -1);
    assert_int_equal(f.departure[1].over.n_departing, 2);
    assert_int_equal(f.n_chain, 2);
    assert_int_equal(f.n_throughout, 2);
    assert_int_equal(f.n_in_part, 0);
    swt_player_findings_reset(&f);

    /* one swing of three: some swings; none that matters: nothing */
    assert_int_equal(swt_player_findings_of(&f, &m.family, &s[2], 1, NULL), SWT_OK);
    assert_int_equal(f.certainty, SWT_NOTHING_DEPARTS);
    swt_player_findings_reset(&f);
    for (int k = 0; k < 2; k++)
        swt_assessed_swing_reset(&s[k]);
    begin(&s[0], &m, deep, 0, 4.5);
    begin(&s[1], &m, zero, 0, 4.5);
    assert_int_equal(swt_player_findings_of(&f, &m.family, s, 2, NULL), SWT_OK);
    assert_int_equal(f.certainty, SWT_SOME_SWINGS); /* half is not most */
    assert_int_equal(f.n_chain, 0);
    swt_player_findings_reset(&f);
    for (int k = 0; k < 3; k++)
        swt_assessed_swing_reset(&s[k]);
}

/* Both stand in every swing: the one that begins first leads, however much the other is. */
static void of_equals_the_earliest_leads(void **state)
{
    const double deep[T] = {0, 0, 1, 4, 4, 1, 0, 0, 0, 0, 0};
    swt_assessed_swing s;
    swt_player_findings f;
    made m;

    (void)state;
    make(&m);
    for (int late = 0; late < 2; late++) {
        begin(&s, &m, deep, late ? 9 : 3.5, late ? 6 : 1);
        assert_int_equal(swt_player_findings_of(&f, &m.family, &s, 1, NULL), SWT_OK);
        assert_int_equal(f.n_chain, 2);
        assert_int_equal(f.departure[0].over.measure, late ? 0 : 2);
        swt_player_findings_reset(&f);
        swt_assessed_swing_reset(&s);
    }
}

/* The curve crosses at 2.33: what begins in the same half sample is not earlier or later, and the
 * larger leads; in the next half sample it is later. */
static void within_half_a_sample_the_larger_leads(void **state)
{
    const double deep[T] = {0, 0, 1, 4, 4, 1, 0, 0, 0, 0, 0};
    static const double at[] = {2.45, 2.55};
    swt_assessed_swing s;
    swt_player_findings f;
    made m;

    (void)state;
    make(&m);
    for (int later = 0; later < 2; later++) {
        begin(&s, &m, deep, 9, at[later]);
        assert_int_equal(swt_player_findings_of(&f, &m.family, &s, 1, NULL), SWT_OK);
        assert_int_equal(f.departure[0].over.measure, later ? 0 : 2);
        swt_player_findings_reset(&f);
        swt_assessed_swing_reset(&s);
    }
}

static void what_is_not_seen_is_counted(void **state)
{
    double half[T], none[T];
    swt_assessed_swing s;
    swt_player_findings f;
    made m;

    (void)state;
    make(&m);
    for (int t = 0; t < T; t++) {
        half[t] = t < STEPS ? nan("") : 0;
        none[t] = nan("");
    }
    begin(&s, &m, half, nan(""), 0);
    assert_int_equal(s.unseen[0], 1);
    assert_int_equal(s.unseen[2], 1);
    assert_true(s.was_compared[0] && !s.was_compared[2]);
    assert_int_equal(swt_player_findings_of(&f, &m.family, &s, 1, NULL), SWT_OK);
    assert_int_equal(f.n_throughout, 0);
    assert_int_equal(f.n_in_part, 1);
    assert_true(f.phase_unseen[0] && !f.phase_unseen[1]);
    assert_int_equal(f.certainty, SWT_NOTHING_DEPARTS);
    swt_player_findings_reset(&f);
    swt_assessed_swing_reset(&s);
    for (int t = 0; t < T; t++)
        half[t] = t == 2 ? nan("") : 0; /* three samples of four between the events: too few */
    begin(&s, &m, half, 0, 0);
    assert_int_equal(s.unseen[0], 1);
    swt_assessed_swing_reset(&s);
    half[2] = 0;
    half[STEPS] = nan(""); /* at an event: of no phase */
    begin(&s, &m, half, 0, 0);
    assert_int_equal(s.unseen[0], 0);
    swt_assessed_swing_reset(&s);
    begin(&s, &m, none, nan(""), 0);
    assert_int_equal(swt_player_findings_of(&f, &m.family, &s, 1, NULL), SWT_OK);
    assert_int_equal(f.certainty, SWT_NOT_COMPARED);
    assert_int_equal(f.n_in_part, 0);
    swt_player_findings_reset(&f);
    swt_assessed_swing_reset(&s);
}

/* A swing that is the group's mean but for one sample: all of its score is that sample's, and so of
 * the phase that ends there, or of no phase for the scalar. */
static void a_score_is_shared_out_by_phase(void **state)
{
    enum { PLAYERS = 8 };
    double curve[PLAYERS * T], scalar[PLAYERS], mean[T + 1] = {0};
    const double *swing[] = {mean, mean + T};
    const swt_score_measure measure[] = {{curve, T}, {scalar, 1}};
    int player[PLAYERS];
    uint64_t seed = 6;
    swt_score_model *model;
    made m;

    (void)state;
    make(&m);
    for (int p = 0; p < PLAYERS; p++) {
        player[p] = p;
        for (int t = 0; t < T; t++)
            mean[t] += (curve[p * T + t] = draw_normal(&seed)) / PLAYERS;
        mean[T] += (scalar[p] = draw_normal(&seed)) / PLAYERS;
    }
    assert_int_equal(swt_score_model_build(&model, measure, 2, player, PLAYERS, NULL, NULL),
                     SWT_OK);
    for (int t = 0; t <= T; t++) {
        size_t phase = t == T ? PHASES : t <= STEPS ? 0 : 1;
        swt_assessed_swing s = {0};
        assert_int_equal(swt_assessed_swing_begin(&s, &m.family, NULL), SWT_OK);
        mean[t] += 3;
        assert_int_equal(swt_assessed_swing_score(&s, &m.family, model, swing, NULL), SWT_OK);
        mean[t] -= 3;
        for (size_t p = 0; p <= PHASES; p++)
            assert_close(s.phase_share[p], p == phase, 1e-9, "phase's share");
        assert_close(s.measure_share[0], t < T, 1e-9, "curve's share");
        assert_close(s.measure_share[1], 0, 0, "no corridor, no share");
        assert_close(s.measure_share[2], t == T, 1e-9, "scalar's share");
        swt_assessed_swing_reset(&s);
    }
    swt_score_model_free(model);
}

static void a_family_without_members_has_no_factor(void **state)
{
    swt_family_measure outside = {0};
    swt_family f = {.n_measures = 1, .measure = &outside, .n_phases = 4, .phase_steps = 25};

    (void)state;
    assert_int_equal(swt_family_settle(&f, 0.95, NULL), SWT_OK);
    assert_int_equal(f.n_members, 0);
    assert_true(isnan(f.factor) && isnan(f.false_alone));
    f.n_phases = SWT_FAMILY_MOST_PHASES + 1;
    assert_int_equal(swt_family_settle(&f, 0.95, NULL), SWT_EARG);
}

static void swings_are_gathered_by_player_and_kind(void **state)
{
    const size_t player[] = {7, 3, 7, 3, 7, 7}, kind[] = {0, 0, 1, 0, 0, 1};
    const bool chosen[] = {true, true, true, true, false, true}, none[6] = {false};
    const size_t want[] = {0, 2, 5, 1, 3};
    const swt_set sets[] = {{0, 1}, {1, 2}, {3, 2}};
    size_t row[6], n = 0, first;
    swt_set set[6];

    (void)state;
    assert_int_equal(swt_gather_sets(row, set, &n, chosen, player, kind, 6, NULL), SWT_OK);
    assert_int_equal(n, 3);
    assert_memory_equal(row, want, sizeof want);
    assert_memory_equal(set, sets, sizeof sets);
    assert_int_equal(swt_commonest_kind(&first, kind, chosen, 6, NULL), SWT_OK);
    assert_int_equal(first, 0); /* three against two */
    assert_int_equal(swt_commonest_kind(&first, (const size_t[]){0, 2, 2}, NULL, 3, NULL), SWT_OK);
    assert_int_equal(first, 1);
    assert_int_equal(swt_commonest_kind(&first, kind + 1, NULL, 2, NULL), SWT_OK);
    assert_int_equal(first, 0); /* of equals the first */
    assert_int_equal(swt_commonest_kind(&first, kind, none, 6, NULL), SWT_OK);
    assert_int_equal(first, 6);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(only_what_has_a_common_scale_is_a_member),
        cmocka_unit_test(what_shows_in_most_swings_leads),
        cmocka_unit_test(of_equals_the_earliest_leads),
        cmocka_unit_test(within_half_a_sample_the_larger_leads),
        cmocka_unit_test(what_is_not_seen_is_counted),
        cmocka_unit_test(a_score_is_shared_out_by_phase),
        cmocka_unit_test(a_family_without_members_has_no_factor),
        cmocka_unit_test(swings_are_gathered_by_player_and_kind),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
