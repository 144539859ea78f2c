/* What an assessment gathers, held against comparison on the same numbers: sides, shots of one
 * length, corridors beside the family, the hand path. */
#include "tests/support/support.h"
#include "tests/unit/report_study.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { PLAYERS = 16, EACH = 3, ROWS = PLAYERS * EACH };

/* Time warp, travel and shift of each swing: a known amount apart from player to player, and from
 * swing to swing; the deep player's club is slow throughout. */
static void vary(made *m)
{
    uint64_t seed = 5;
    double own = 0;

    for (size_t k = 0; k < m->n; k++) {
        swt_swing *s = m->swing[k];
        bool deep = strcmp(m->trial[k].player, deep_code) == 0;
        double slow;
        own = k % EACH == 0 ? 0.02 * draw_normal(&seed) : own;
        slow = 1 + own + 0.005 * draw_normal(&seed) + (deep ? 0.5 : 0);
        for (int i = 0; i < SWT_CURVE_SAMPLES; i++)
            s->curve_time_s[i] = 0.2 + (s->curve_time_s[i] - 0.2) * slow;
        s->travel_curve[SWT_SERIES_HAND_DEPTH] = malloc(SWT_TRAVEL_SAMPLES * sizeof(double));
        assert_non_null(s->travel_curve[SWT_SERIES_HAND_DEPTH]);
        s->series_verdict[SWT_SERIES_HAND_DEPTH] = swt_usable();
        for (int i = 0; i < SWT_TRAVEL_SAMPLES; i++) {
            double at = (double)i / (SWT_TRAVEL_SAMPLES - 1);
            s->travel_time_s[i] = 0.2 + 0.3 * at * slow;
            s->travel_curve[SWT_SERIES_HAND_DEPTH][i] =
                0.1 * at + 0.2 * at * (slow - 1) + 0.001 * draw_normal(&seed);
        }
        for (int i = 0; i < SWT_SHIFT_SAMPLES; i++) {
            s->shift_height_m[i] = 0.7 + 0.02 * i;
            s->shift_m[i] = -0.05 + own + 0.002 * draw_normal(&seed);
        }
    }
    rewrite(m);
}

static size_t find_beside(const swt_assessment *a, const char *name)
{
    for (size_t b = 0; b < a->n_beside; b++)
        if (strcmp(a->beside[b].name, name) == 0)
            return b;
    fail_msg("no corridor %s", name);
    return 0;
}

static void same(const double *got, const double *want, size_t n, const char *what)
{
    for (size_t i = 0; i < n; i++)
        assert_close(got[i], want[i], 0, what);
}

/* The corridor of the values, made anew, and the departures of the deep player's first swing. */
static void check_beside(const swt_assessment *a, const char *name, const double *table,
                         size_t samples, const double *own, const double *time_s)
{
    const swt_beside *b = &a->beside[find_beside(a, name)];
    const swt_assessed_player *p = player(a, deep_code);
    const swt_assessed_swing *s = &a->swing[p->first];
    swt_departure_context context = {.time_s = time_s, .family_factor = a->beside_factor};
    swt_departure *list;
    swt_corridor *c;
    size_t n, found = 0;

    assert_int_equal(swt_corridor_build(&c, table, a->reference_player, ROWS, samples,
                                        &a->options.corridor, NULL),
                     SWT_OK);
    same(b->corridor->centre, c->centre, samples, "centre");
    same(b->corridor->sd_total, c->sd_total, samples, "spread");
    assert_close(b->corridor->multiplier, c->multiplier, 0, "multiplier");
    assert_int_equal(b->corridor->loo_inside, c->loo_inside);
    assert_int_equal(swt_departure_find(&list, &n, NULL, c, own, &context, NULL), SWT_OK);
    for (size_t i = 0; i < s->n_beside; i++) {
        const swt_departure *d = &s->beside[i];
        if (d->measure != (size_t)(b - a->beside))
            continue;
        assert_true(found < n);
        assert_int_equal(d->first, list[found].first);
        assert_close(d->largest_excess, list[found].largest_excess, 0, "excess");
        assert_true(isnan(d->start_s) == isnan(list[found].start_s));
        if (!isnan(d->start_s))
            assert_close(d->start_s, list[found].start_s, 0, "start");
        assert_int_equal(d->stands_in_family, list[found].stands_in_family);
        found++;
    }
    assert_int_equal(found, n);
    free(list);
    swt_corridor_free(c);
}

static void corridors_beside_the_family_are_of_these_numbers(void **state)
{
    static double warp[ROWS * SWT_CURVE_SAMPLES], travel[ROWS * SWT_TRAVEL_SAMPLES],
        shift[ROWS * SWT_SHIFT_SAMPLES], own[SWT_CURVE_SAMPLES], time[SWT_TRAVEL_SAMPLES],
        none[SWT_SHIFT_SAMPLES];
    made *m = make_study(PLAYERS);
    const swt_assessed_swing *s;
    const swt_swing *deep;
    const swt_corridor *list[3];
    swt_assessment *a;
    double factor;
    size_t stands = 0;

    (void)state;
    vary(m);
    a = assess(m);
    assert_int_equal(a->n_reference, ROWS);
    assert_int_equal(a->n_beside, 3);
    for (size_t k = 0; k < ROWS; k++) {
        const swt_swing *r = m->swing[k];
        assert_int_equal(a->reference[k], k);
        for (int i = 0; i < SWT_CURVE_SAMPLES; i++)
            warp[k * SWT_CURVE_SAMPLES + (size_t)i] = r->curve_time_s[i] - 0.2;
        memcpy(travel + k * SWT_TRAVEL_SAMPLES, r->travel_curve[SWT_SERIES_HAND_DEPTH],
               sizeof time);
        memcpy(shift + k * SWT_SHIFT_SAMPLES, r->shift_m, sizeof none);
    }
    s = &a->swing[player(a, deep_code)->first];
    deep = m->swing[s->swing];
    for (int i = 0; i < SWT_CURVE_SAMPLES; i++)
        own[i] = deep->curve_time_s[i] - 0.2;
    for (int i = 0; i < SWT_TRAVEL_SAMPLES; i++)
        time[i] = deep->travel_time_s[i] - 0.2;
    for (int i = 0; i < SWT_SHIFT_SAMPLES; i++)
        none[i] = nan("");
    check_beside(a, "time_warp", warp, SWT_CURVE_SAMPLES, own, own);
    check_beside(a, "hand_depth_over_travel", travel, SWT_TRAVEL_SAMPLES,
                 deep->travel_curve[SWT_SERIES_HAND_DEPTH], time);
    check_beside(a, "transition_shift_over_height", shift, SWT_SHIFT_SAMPLES, deep->shift_m, none);
    for (size_t b = 0; b < 3; b++)
        list[b] = a->beside[b].corridor;
    assert_int_equal(swt_corridor_family_factor(&factor, NULL, list, 3, 0.95, NULL), SWT_OK);
    assert_close(a->beside_factor, factor, 0, "a family of their own");
    for (size_t i = 0; i < s->n_beside; i++)
        stands += s->beside[i].measure == find_beside(a, "time_warp") &&
                  s->beside[i].direction > 0 && s->beside[i].stands_in_family;
    assert_int_equal(stands, 1); /* half as slow again is twenty-five of the group's spreads */
    swt_assessment_free(a);
    drop(m);
}

static void the_hand_path_is_held_against_its_tube(void **state)
{
    made *m = make_study(PLAYERS);
    swt_assessment *a = assess(m);
    const swt_assessed_swing *s = &a->swing[player(a, deep_code)->first];
    const swt_assessed_player *clean = player(a, "C1");
    const swt_swing *deep = m->swing[s->swing];
    swt_departure *list;
    swt_departure_context context = {0};
    double time_s[SWT_CURVE_SAMPLES];
    size_t n;

    (void)state;
    for (int i = 0; i < SWT_CURVE_SAMPLES; i++)
        time_s[i] = deep->curve_time_s[i] - 0.2;
    context.time_s = time_s;
    assert_int_equal(swt_departure_find_path(&list, &n, NULL, a->hand_path,
                                             deep->curve[SWT_SERIES_HAND_DEPTH],
                                             deep->curve[SWT_SERIES_HAND_HEIGHT], &context, NULL),
                     SWT_OK);
    assert_true(n > 0);
    assert_int_equal(s->n_path, n);
    assert_int_equal(s->path[0].first, list[0].first);
    assert_close(s->path[0].peak_ratio, list[0].peak_ratio, 0, "ratio");
    assert_int_equal(s->path[0].direction, 0);
    assert_true(s->path[0].first >= 9 && s->path[0].first <= 14); /* deeper from sample 10 on */
    assert_close(s->path[0].start_s, list[0].start_s, 1e-12, "time after takeaway");
    assert_true(s->path[0].stands_in_family); /* a path is by itself */
    for (size_t k = 0; k < clean->n_swings; k++)
        assert_int_equal(a->swing[clean->first + k].n_path, 0);
    free(list);
    swt_assessment_free(a);
    drop(m);
}

static void limits_on_one_side_are_for_scalars_alone(void **state)
{
    made *m = make_study(PLAYERS);
    long row = swt_measure_find("backswing_time"), at;
    swt_assessment_options options;
    swt_assessment *a;
    swt_corridor *want;
    double value[ROWS];

    (void)state;
    for (size_t k = 0; k < ROWS; k++)
        value[k] = m->swing[k]->measure[row].value;
    for (int side = SWT_UPPER_ONLY; side <= SWT_LOWER_ONLY; side++) {
        const swt_corridor *c;
        swt_assessment_options_init(&options);
        options.group = "tour";
        options.corridor.n_resamples = 400;
        options.corridor.sides = (swt_sides)side;
        assert_int_equal(swt_assessment_build(&a, m->study, &options, NULL), SWT_OK);
        at = swt_compared_find(a, false, (size_t)row);
        assert_true(at >= 0);
        c = a->compared[at].corridor;
        assert_int_equal(
            swt_corridor_build(&want, value, a->reference_player, ROWS, 1, &options.corridor, NULL),
            SWT_OK);
        assert_true(side == SWT_UPPER_ONLY ? isinf(c->lower[0]) : isinf(c->upper[0]));
        if (side == SWT_UPPER_ONLY)
            assert_close(c->upper[0], want->upper[0], 0, "upper limit");
        else
            assert_close(c->lower[0], want->lower[0], 0, "lower limit");
        swt_corridor_free(want);
        at = swt_compared_find(a, true, SWT_SERIES_HAND_DEPTH);
        c = a->compared[at].corridor;
        assert_int_equal(c->options.sides, SWT_TWO_SIDED);
        assert_true(isfinite(c->lower[50]) && isfinite(c->upper[50]));
        assert_int_equal(a->hand_path->options.sides, SWT_TWO_SIDED);
        swt_assessment_free(a);
    }
    drop(m);
}

/* Two of each player's three swings are half shots with the hands 0.2 m lower; so are C1's. */
static void half_shots_are_held_against_half_shots(void **state)
{
    static double height[2 * PLAYERS * SWT_CURVE_SAMPLES];
    made *m = make_study(PLAYERS);
    swt_assessment_options options;
    swt_assessment *a, *full;
    const swt_corridor *c;
    swt_corridor *want;
    size_t n = 0;
    long at;

    (void)state;
    for (size_t k = 0; k < m->n; k++) {
        bool half = k < ROWS ? k % EACH > 0 : k < ROWS + EACH;
        m->trial[k].shot = (char *)(half ? "half" : "full");
        for (int i = 0; half && i < SWT_CURVE_SAMPLES; i++)
            m->swing[k]->curve[SWT_SERIES_HAND_HEIGHT][i] -= 0.2;
        if (half && k < ROWS)
            memcpy(height + SWT_CURVE_SAMPLES * n++, m->swing[k]->curve[SWT_SERIES_HAND_HEIGHT],
                   SWT_CURVE_SAMPLES * sizeof *height);
    }
    rewrite(m);
    a = assess(m); /* the commonest shot of the group */
    assert_string_equal(a->shot, "half");
    assert_int_equal(a->n_reference, 2 * PLAYERS);
    assert_int_equal(a->n_reference_other, PLAYERS);
    at = swt_compared_find(a, true, SWT_SERIES_HAND_HEIGHT);
    c = a->compared[at].corridor;
    assert_int_equal(swt_corridor_build(&want, height, a->reference_player, n, SWT_CURVE_SAMPLES,
                                        &a->options.corridor, NULL),
                     SWT_OK);
    same(c->centre, want->centre, SWT_CURVE_SAMPLES, "centre");
    same(c->upper, want->upper, SWT_CURVE_SAMPLES, "edge");
    swt_corridor_free(want);
    assert_int_equal(player(a, "C1")->found.certainty, SWT_NOTHING_DEPARTS);
    assert_false(player(a, deep_code)->alike); /* full shots are told by themselves */
    assert_int_equal(player(a, deep_code)->found.certainty, SWT_NOT_COMPARED);

    swt_assessment_options_init(&options);
    options.reference = "group = tour, shot = full";
    options.corridor.n_resamples = 400;
    assert_int_equal(swt_assessment_build(&full, m->study, &options, NULL), SWT_OK);
    assert_string_equal(full->shot, "full");
    assert_int_equal(full->n_reference, PLAYERS);
    assert_false(player(full, "C1")->alike);
    assert_true(player(full, deep_code)->alike);
    at = swt_compared_find(full, true, SWT_SERIES_HAND_HEIGHT);
    assert_close(full->compared[at].corridor->centre[50] - c->centre[50], 0.2, 0.004,
                 "half shots are lower");
    swt_assessment_free(full);
    swt_assessment_free(a);
    drop(m);
}

static void a_group_without_any_value_has_no_corridor(void **state)
{
    made *m = make_study(6);
    swt_assessment *a;

    (void)state;
    for (size_t k = 0; k < m->n; k++) {
        for (int s = 0; s < SWT_SERIES_COUNT; s++) {
            free(m->swing[k]->curve[s]);
            m->swing[k]->curve[s] = NULL;
        }
        for (size_t i = 0; i < swt_measure_count(); i++)
            m->swing[k]->measure[i] =
                (swt_measurement){nan(""), nan(""), swt_absent(SWT_REASON_SAMPLES_MISSING, 0)};
        for (int i = 0; i < SWT_CURVE_SAMPLES; i++)
            m->swing[k]->curve_time_s[i] = nan("");
        for (int i = 0; i < SWT_SHIFT_SAMPLES; i++)
            m->swing[k]->shift_m[i] = nan("");
    }
    rewrite(m);
    a = assess(m);
    assert_int_equal(a->n_compared, 0);
    assert_int_equal(a->n_beside, 0);
    assert_true(isnan(a->family.factor) && isnan(a->beside_factor));
    assert_null(a->scores);
    assert_int_equal(a->hand_path->state, SWT_CORRIDOR_REFUSED);
    for (size_t p = 0; p < a->n_players; p++)
        assert_int_equal(a->player[p].found.certainty, SWT_NOT_COMPARED);
    swt_assessment_free(a);
    drop(m);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(corridors_beside_the_family_are_of_these_numbers),
        cmocka_unit_test(the_hand_path_is_held_against_its_tube),
        cmocka_unit_test(limits_on_one_side_are_for_scalars_alone),
        cmocka_unit_test(half_shots_are_held_against_half_shots),
        cmocka_unit_test(a_group_without_any_value_has_no_corridor),
    };
    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
