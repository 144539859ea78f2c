/* From a small invented study to what is said of its players: the right player, the right
 * departure, the right words. */
#include "tests/unit/report_study.h"

#include "tests/support/support.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { N = SWT_CURVE_SAMPLES };

static void the_known_departure_is_found(void **state)
{
    made *m = make_study(16);
    swt_assessment *a = assess(m);
    const swt_assessed_player *deep = player(a, deep_code);
    const swt_player_departure *d = deep->found.departure;
    swt_text lead = {0};

    (void)state;
    assert_int_equal(a->n_reference_players, 16);
    assert_int_equal(a->n_reference, 48);
    assert_int_equal(a->n_players, 3);
    assert_int_equal(deep->found.certainty, SWT_STANDS);
    assert_true(a->compared[d->over.measure].is_series);
    assert_int_equal(a->compared[d->over.measure].index, SWT_SERIES_HAND_DEPTH);
    assert_int_equal(d->over.direction, 1);
    assert_int_equal(d->over.n_departing, 3);
    /* the step rises over samples 10 to 13 of 25 between takeaway and lead arm level, 0.5 s */
    assert_true(d->over.start_s > 9 * 0.02 && d->over.start_s < 13 * 0.02);
    /* all curves have one shape: the excess is the same all along, the middle swing's is told */
    assert_close(d->over.largest_excess,
                 -0.05 + 0.4 + 0.002 + 0.3 - a->compared[d->over.measure].corridor->upper[50], 1e-6,
                 "largest excess");
    swt_report_lead(&lead, a, deep);
    assert_non_null(
        strstr(lead.bytes, "The hands are deeper than in the group's corridor, by up to "));
    assert_non_null(strstr(lead.bytes, ", from 0."));
    assert_non_null(strstr(lead.bytes, "between takeaway and shaft level in the backswing"));
    assert_non_null(strstr(lead.bytes, "in all 3 swings"));
    assert_non_null(strstr(lead.bytes, "stands after allowing for all 4 measures"));
    assert_null(strstr(lead.bytes, "because"));
    assert_null(strstr(lead.bytes, "caus"));
    swt_text_reset(&lead);
    swt_assessment_free(a);
    drop(m);
}

static void a_clean_player_is_called_clean_and_one_odd_swing_odd(void **state)
{
    made *m = make_study(16);
    swt_assessment *a = assess(m);
    swt_text lead = {0};

    (void)state;
    assert_int_equal(player(a, "C1")->found.certainty, SWT_NOTHING_DEPARTS);
    swt_report_lead(&lead, a, player(a, "C1"));
    assert_string_equal(lead.bytes, "No measure leaves the group's corridor by a noteworthy amount "
                                    "in any of the 3 swings. All 4 measures could be compared "
                                    "throughout.");
    swt_text_reset(&lead);
    assert_int_equal(player(a, "E1")->found.certainty, SWT_SOME_SWINGS);
    swt_report_lead(&lead, a, player(a, "E1"));
    assert_non_null(
        strstr(lead.bytes, "Nothing leaves the group's corridor in most of the swings"));
    assert_non_null(strstr(lead.bytes, "in 1 of 3 swings"));
    swt_text_reset(&lead);
    swt_assessment_free(a);
    drop(m);
}

static void a_group_too_small_makes_no_claim(void **state)
{
    made *m = make_study(3);
    swt_assessment *a = assess(m);
    swt_text lead = {0};

    (void)state;
    assert_int_equal(a->family.n_members, 0);
    assert_int_equal(player(a, deep_code)->found.certainty, SWT_NOT_COMPARED);
    swt_report_lead(&lead, a, player(a, deep_code));
    assert_non_null(strstr(lead.bytes, "could not be compared"));
    swt_text_reset(&lead);
    swt_assessment_free(a);
    drop(m);
}

static void an_unknown_group_is_refused_with_the_known_ones(void **state)
{
    made *m = make_study(3);
    swt_assessment_options options;
    swt_assessment *a;
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    swt_assessment_options_init(&options);
    options.group = "turo";
    assert_int_equal(swt_assessment_build(&a, m->study, &options, &err), SWT_EDATA);
    assert_null(a);
    assert_non_null(strstr(err.msg, "\"turo\""));
    assert_non_null(strstr(err.msg, "\"tour\""));
    drop(m);
}

/* Half shots and an earlier session are not thrown together with the rest. */
static void kinds_of_swings_stand_apart(void **state)
{
    made *m = make_study(16);
    swt_assessment *a;

    (void)state;
    m->trial[m->n - 9].shot = m->trial[m->n - 8].shot = (char *)"half"; /* C1 */
    m->trial[m->n - 6].session = (char *)"1";                           /* the deep one */
    rewrite(m);
    a = assess(m);
    assert_int_equal(a->n_players, 5);
    assert_int_equal(a->n_swings, 9);
    assert_string_equal(a->player[0].name, "C1, half");
    assert_int_equal(a->player[0].n_swings, 2);
    assert_string_equal(a->player[1].kind, "");
    assert_int_equal(a->player[1].n_swings, 1);
    assert_string_equal(a->player[2].kind, "session 1");
    assert_int_equal(a->player[2].n_swings, 1);
    assert_int_equal(a->player[3].n_swings, 2);
    assert_string_equal(a->player[3].kind, "");
    assert_string_equal(a->player[4].name, "E1");
    assert_int_equal(a->player[4].n_swings, 3);
    swt_assessment_free(a);
    drop(m);
}

/* Two runs on one side: 4 mm too deep early on, then far too deep. The second must be led with. */
static void a_trifle_does_not_hide_what_comes_later(void **state)
{
    made *m = make_study(16);
    swt_assessment *a = assess(m);
    long depth = swt_compared_find(a, true, SWT_SERIES_HAND_DEPTH);
    const swt_corridor *c = a->compared[depth].corridor;
    const swt_assessed_player *p;
    const swt_player_departure *d;
    double *upper = malloc(N * sizeof *upper);

    (void)state;
    assert_non_null(upper);
    for (int i = 0; i < N; i++)
        upper[i] = c->upper[i];
    swt_assessment_free(a);
    for (size_t k = m->n - 6; k < m->n - 3; k++)
        for (int i = 0; i < N; i++)
            m->swing[k]->curve[SWT_SERIES_HAND_DEPTH][i] = upper[i] + (i >= 5 && i < 9     ? 0.002
                                                                       : i >= 30 && i < 40 ? 0.1
                                                                                           : -0.01);
    rewrite(m);
    a = assess(m);
    p = player(a, deep_code);
    d = p->found.departure;
    assert_int_equal(a->compared[d->over.measure].index, SWT_SERIES_HAND_DEPTH);
    assert_true(d->matters);
    assert_true(d->position > 28 && d->position < 31);
    assert_close(d->over.largest_excess, 0.1, 1e-6, "largest excess");
    free(upper);
    swt_assessment_free(a);
    drop(m);
}

/* The times of a capture that starts late are unknown; the order of its departures is not. */
static void without_a_takeaway_the_order_is_kept(void **state)
{
    made *m = make_study(16);
    swt_assessment *a;
    const swt_assessed_player *p;
    swt_text lead = {0};

    (void)state;
    for (size_t k = m->n - 6; k < m->n - 3; k++) {
        m->swing[k]->event[SWT_EVENT_TAKEAWAY] =
            (swt_event_time){nan(""), nan(""), swt_absent(SWT_REASON_STARTS_LATE, 0)};
        for (int i = 0; i < N; i++) {
            m->swing[k]->curve_time_s[i] = nan("");
            if (i < SWT_PHASE_STEPS)
                for (int s = 0; s < SWT_SERIES_COUNT; s++)
                    if (m->swing[k]->curve[s])
                        m->swing[k]->curve[s][i] = nan("");
        }
    }
    rewrite(m);
    a = assess(m);
    p = player(a, deep_code);
    assert_int_equal(p->found.certainty, SWT_STANDS);
    assert_true(isnan(p->found.departure->over.start_s));
    assert_close(p->found.departure->position, 25, 1e-9, "first sample there is");
    swt_report_lead(&lead, a, p);
    assert_non_null(strstr(lead.bytes, "from a moment between lead arm level in the backswing and "
                                       "club top"));
    assert_null(strstr(lead.bytes, "nan"));
    swt_text_reset(&lead);
    swt_assessment_free(a);
    drop(m);
}

/* The clean player's backswing is hidden, and one measure with it: nothing may sound sure of it. */
static void what_was_not_seen_is_not_called_clean(void **state)
{
    made *m = make_study(16);
    swt_assessment *a;
    const swt_assessed_player *p;
    swt_text lead = {0};

    (void)state;
    hide(m, m->n - 9, 3, SWT_EVENT_LEAD_ARM_LEVEL_BACKSWING);
    for (size_t k = m->n - 9; k < m->n - 6; k++)
        for (size_t i = 0; i < swt_measure_count(); i++)
            m->swing[k]->measure[i] =
                (swt_measurement){nan(""), nan(""), swt_absent(SWT_REASON_SAMPLES_MISSING, 0)};
    rewrite(m);
    a = assess(m);
    p = player(a, "C1");
    assert_int_equal(p->found.certainty, SWT_NOTHING_DEPARTS);
    assert_int_equal(a->family.n_members, 4);
    assert_int_equal(p->found.n_throughout, 0);
    assert_int_equal(p->found.n_in_part, 3);
    assert_true(p->found.phase_unseen[0] && p->found.phase_unseen[1]);
    assert_false(p->found.phase_unseen[2] || p->found.phase_unseen[3]);
    swt_report_lead(&lead, a, p);
    assert_string_equal(
        lead.bytes, "No measure leaves the group's corridor by a noteworthy amount in what could "
                    "be compared of the 3 swings. Of the 4 measures 0 could be compared "
                    "throughout, 3 in part (no curve between takeaway and club top) and 1 not at "
                    "all.");
    swt_text_reset(&lead);
    swt_report_lead_short(&lead, a, p);
    assert_string_equal(lead.bytes, "Nothing of note departs in what could be compared: 0 of 4 "
                                    "measures throughout, 3 in part");
    swt_text_reset(&lead);
    p = player(a, deep_code);
    assert_int_equal(p->found.n_throughout, 4);
    swt_assessment_free(a);
    drop(m);
}

/* One swing of three without its backswing: no measure counts as compared throughout, though no
 * phase is hidden in all swings; and a departure that leads says how little was compared. */
static void a_lead_tells_how_much_was_compared(void **state)
{
    made *m = make_study(16);
    swt_assessment *a;
    const swt_assessed_player *p;
    swt_text lead = {0};

    (void)state;
    hide(m, m->n - 6, 1, SWT_EVENT_LEAD_ARM_LEVEL_BACKSWING);
    rewrite(m);
    a = assess(m);
    p = player(a, deep_code);
    assert_int_equal(p->found.certainty, SWT_STANDS);
    assert_int_equal(p->found.n_throughout, 1); /* the backswing time */
    assert_int_equal(p->found.n_in_part, 3);
    assert_false(p->found.phase_unseen[0]);
    swt_report_lead(&lead, a, p);
    assert_non_null(strstr(lead.bytes, "looked at. Of the 4 measures 1 could be compared "
                                       "throughout and 3 in part."));
    swt_text_reset(&lead);
    swt_assessment_free(a);
    drop(m);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_known_departure_is_found),
        cmocka_unit_test(a_clean_player_is_called_clean_and_one_odd_swing_odd),
        cmocka_unit_test(a_group_too_small_makes_no_claim),
        cmocka_unit_test(an_unknown_group_is_refused_with_the_known_ones),
        cmocka_unit_test(kinds_of_swings_stand_apart),
        cmocka_unit_test(a_trifle_does_not_hide_what_comes_later),
        cmocka_unit_test(without_a_takeaway_the_order_is_kept),
        cmocka_unit_test(what_was_not_seen_is_not_called_clean),
        cmocka_unit_test(a_lead_tells_how_much_was_compared),
    };
    return cmocka_run_group_tests_name("report", tests, make_folder, remove_folder);
}
