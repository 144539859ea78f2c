/* What the commands say of corridors and of who leaves them. */
#include "cli/assess.h"
#include "io/report/report.h"
#include "io/report/words.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/** One line for each reason, with the first measure that it holds for. */
static void print_refused(const swt_assessment *a)
{
    for (size_t i = 0; i < a->n_compared; i++) {
        const swt_corridor *c = a->compared[i].corridor;
        size_t n = 0, earlier = 0;

        if (c->state != SWT_CORRIDOR_REFUSED)
            continue;
        for (size_t k = 0; k < a->n_compared; k++) {
            const swt_corridor *other = a->compared[k].corridor;
            bool same =
                other->state == SWT_CORRIDOR_REFUSED && strcmp(other->reason, c->reason) == 0;
            n += same;
            earlier += same && k < i;
        }
        if (earlier > 0)
            continue;
        printf("  no corridor: %s", a->compared[i].title);
        if (n > 1)
            printf(" and %zu more", n - 1);
        printf(": %s\n", c->reason);
    }
}

/** Whom the reference is made of, who was left out of it, and what makes its swings unlike. */
static void print_reference(const swt_assessment *a, const swt_study *study)
{
    char players[64], swings[64];
    size_t left = 0, stance = 0;

    printf("corridors from the group \"%s\": %s, %s\n", a->options.group,
           swt_words_count(players, sizeof players, a->n_reference_players, "player", "players"),
           swt_words_count(swings, sizeof swings, a->n_reference, "swing", "swings"));
    if (a->n_practice > 0)
        printf("  %s of the study left out; --with-practice takes them too\n",
               swt_words_count(swings, sizeof swings, a->n_practice, "practice swing is",
                               "practice swings are"));
    if (a->n_reference_other > 0)
        printf(
            "  %s left out: not %s%s%s, which most of the group's swings are\n",
            swt_words_count(swings, sizeof swings, a->n_reference_other, "swing is", "swings are"),
            a->club, *a->club && *a->shot ? ", " : "", a->shot);
    for (size_t i = 0; i < a->n_reference; i++) {
        left += study->swing[a->reference[i]].side == SWT_LEFT_HANDED;
        stance += study->swing[a->reference[i]].target_from_stance;
    }
    if (left > 0 && left < a->n_reference)
        printf("  %s left-handed and mirrored\n",
               swt_words_count(swings, sizeof swings, left, "swing is", "swings are"));
    if (stance > 0 && stance < a->n_reference)
        printf("  caution: in %zu of %zu swings the target line is the toe line, in the others it "
               "was recorded; an open or closed stance then widens depth\n",
               stance, a->n_reference);
}

/** How often chance alone makes a departure of corridors looked at together. */
static void print_family(size_t n, const char *which, double false_alone, double factor,
                         double coverage)
{
    printf("  an estimated %.0f %% of swings of new players like the group's leave at least one of "
           "%zu %s by chance, and %.0f %% when each is made %.2f times as wide\n",
           100 * false_alone, n, which, 100 * (1 - coverage), factor);
}

/** How many measures have a corridor, and how many of these a limited one. */
static void print_count(size_t n, size_t limited, size_t n_measures)
{
    if (n == n_measures)
        printf("  %zu corridors, one a measure", n);
    else
        printf("  %zu of %zu measures have a corridor", n, n_measures);
    if (limited > 0)
        printf(", %zu of them limited", limited);
}

void swt_cli_print_corridors(const swt_assessment *a, const swt_study *study)
{
    size_t usable = 0, limited = 0;
    const swt_compared *worst = NULL;
    char share[64];

    print_reference(a, study);
    for (size_t i = 0; i < a->n_compared; i++) {
        const swt_corridor *c = a->compared[i].corridor;
        usable += c->state == SWT_CORRIDOR_OK;
        limited += c->state == SWT_CORRIDOR_LIMITED;
        if (c->state != SWT_CORRIDOR_REFUSED &&
            !(worst && worst->corridor->loo_coverage <= c->loo_coverage))
            worst = &a->compared[i];
    }
    print_count(usable + limited, limited, a->n_compared);
    printf("; each is to hold %.0f %% of single swings of new players",
           100 * a->options.corridor.coverage);
    if (worst)
        printf("\n  tried with each player left out in turn: the worst (%s) held %s", worst->title,
               swt_words_share(share, sizeof share, worst->corridor->loo_inside,
                               worst->corridor->loo_swings));
    putchar('\n');
    if (isfinite(a->family.factor))
        print_family(a->family.n_members, "corridors looked at together", a->family.false_alone,
                     a->family.factor, a->options.corridor.coverage);
    else if (isinf(a->family.factor))
        printf("  too few players to say what leaves all %zu measures together by chance\n",
               a->family.n_members);
    print_refused(a);
}

/** The swings that a corridor is not made of: player by player, with the first reason. */
static void list_left_out(const swt_compared *c, const swt_assessment *a, const swt_study *study)
{
    for (size_t p = 0; p < a->n_reference_players; p++) {
        size_t n = 0, of = 0, first = 0;
        char reason[280];
        for (size_t i = 0; i < a->n_reference; i++) {
            swt_verdict v = c->is_series ? study->series_verdict[c->index][a->reference[i]]
                                         : study->measure[c->index][a->reference[i]].verdict;
            if (a->reference_player[i] != (int)p)
                continue;
            of++;
            if (v.state == SWT_ABSENT && n++ == 0)
                first = a->reference[i];
        }
        if (n == 0)
            continue;
        swt_reason_text(reason, sizeof reason,
                        c->is_series ? study->series_verdict[c->index][first]
                                     : study->measure[c->index][first].verdict);
        printf("    without %zu of %zu swings of %s: %s\n", n, of, study->swing[first].player,
               reason);
    }
}

/** Size, method and what a corridor held; its caution. */
static void list_corridor(const char *title, const swt_corridor *k)
{
    static const char *const method[] = {"whole curve", "tolerance interval", "order statistics"};
    char players[64], swings[64], share[64];

    printf("%s: %s, %s", title,
           swt_words_count(players, sizeof players, k->n_players, "player", "players"),
           swt_words_count(swings, sizeof swings, k->n_swings, "swing", "swings"));
    if (k->state != SWT_CORRIDOR_REFUSED)
        printf(", %s, left-out swings inside: %s", method[k->method],
               swt_words_share(share, sizeof share, k->loo_inside, k->loo_swings));
    printf("%s%s%s\n", k->state == SWT_CORRIDOR_REFUSED ? ", no corridor" : "",
           k->reason[0] ? ": " : "", k->reason);
}

/** The same of the hand path, which is by itself. */
static void list_path(const swt_path_corridor *k)
{
    char players[64], swings[64], share[64];

    printf("hand path, depth and height: %s, %s",
           swt_words_count(players, sizeof players, k->n_players, "player", "players"),
           swt_words_count(swings, sizeof swings, k->n_swings, "swing", "swings"));
    if (k->state != SWT_CORRIDOR_REFUSED)
        printf(", whole path, left-out swings inside: %s",
               swt_words_share(share, sizeof share, k->loo_inside, k->loo_swings));
    printf("%s%s%s\n", k->state == SWT_CORRIDOR_REFUSED ? ", no corridor" : "",
           k->reason[0] ? ": " : "", k->reason);
}

void swt_cli_list_corridors(const swt_assessment *a, const swt_study *study)
{
    for (size_t i = 0; i < a->n_compared; i++) {
        list_corridor(a->compared[i].title, a->compared[i].corridor);
        list_left_out(&a->compared[i], a, study);
    }
    if (isfinite(a->beside_factor))
        print_family(a->n_beside, "corridors beside these, which follow,", a->beside_false_alone,
                     a->beside_factor, a->options.corridor.coverage);
    for (size_t i = 0; i < a->n_beside; i++)
        list_corridor(a->beside[i].title, a->beside[i].corridor);
    if (a->hand_path)
        list_path(a->hand_path);
}

/** A part of a whole, by name. */
typedef struct part {
    const char *name;
    double share;
} part;

static int by_share(const void *a, const void *b)
{
    double x = ((const part *)a)->share, y = ((const part *)b)->share;

    return (x < y) - (x > y);
}

/** The three largest, down to a tenth of the whole. */
static void print_parts(const char *before, part *list, size_t n)
{
    qsort(list, n, sizeof *list, by_share);
    printf("%s", before);
    for (size_t i = 0; i < n && i < 3 && (i == 0 || list[i].share >= 0.1); i++)
        printf("%s%s (%.0f %%)", i ? ", " : "", list[i].name, 100 * list[i].share);
}

/** Of a player's swings, the one in the middle by its score; NULL: none has one. */
static const swt_assessed_swing *middle_swing(const swt_assessment *a, const swt_assessed_player *p)
{
    size_t n = 0;

    for (size_t k = 0; k < p->n_swings; k++)
        n += isfinite(a->swing[p->first + k].score.rms) ? 1 : 0;
    for (size_t k = 0; k < p->n_swings; k++) {
        const swt_assessed_swing *s = &a->swing[p->first + k];
        size_t below = 0;
        for (size_t j = 0; j < p->n_swings; j++) {
            double other = a->swing[p->first + j].score.rms;
            below += other < s->score.rms || (j < k && other <= s->score.rms);
        }
        if (isfinite(s->score.rms) && below == (n - 1) / 2)
            return s;
    }
    return NULL;
}

static void print_rank(const swt_assessment *a, double rank)
{
    if (a->n_reference_players < 20 || !isfinite(rank))
        return;
    if (rank <= 0)
        printf(", nearer than any of the group's own swings when left out");
    else if (rank >= 1)
        printf(", farther than all of the group's own swings when left out");
    else
        printf(", farther than %.0f %% of the group's own swings when left out", 100 * rank);
}

static void print_score(const swt_assessment *a, const swt_assessed_player *p)
{
    const swt_assessed_swing *s = middle_swing(a, p);
    part phase[SWT_PHASES + 1], measure[SWT_SERIES_COUNT + 8];
    char words[SWT_PHASES][160];
    size_t n = 0;

    if (!s)
        return;
    printf("    whole swing (the middle one of %zu): %.1f SD from the group's centre", p->n_swings,
           s->score.rms);
    print_rank(a, s->score.rms_rank);
    if (isfinite(s->score.distance)) {
        printf("\n    as a combination of measures: %.1f SD", s->score.distance);
        print_rank(a, s->score.distance_rank);
    }
    for (size_t i = 0; i < SWT_PHASES; i++) {
        bool only[SWT_PHASES] = {false};
        only[i] = true;
        phase[i] = (part){swt_words_stretch(words[i], sizeof words[i], only), s->phase_share[i]};
    }
    phase[SWT_PHASES] = (part){"times and other single numbers", s->phase_share[SWT_PHASES]};
    print_parts("\n    largest parts by moment: ", phase, SWT_PHASES + 1);
    for (size_t i = 0; i < a->n_compared && n < sizeof measure / sizeof *measure; i++)
        if (a->compared[i].in_family)
            measure[n++] = (part){a->compared[i].title, s->measure_share[i]};
    print_parts("\n    largest parts by measure: ", measure, n);
    printf("\n");
}

/** Where a departure beside the family begins, in what its corridor is drawn over. */
static void print_start(const swt_beside *b, size_t sample)
{
    char words[160];

    switch (b->kind) {
    case SWT_BESIDE_TRAVEL:
        printf("from %.2f m of travel", (double)sample * SWT_TRAVEL_STEP_M);
        break;
    case SWT_BESIDE_SHIFT:
        printf("from %.0f %% of the hands' height",
               100 * (double)sample / (double)SWT_SHIFT_SAMPLES);
        break;
    case SWT_BESIDE_WARP:
        printf("from a moment %s", swt_words_phase(words, sizeof words, (double)sample));
        break;
    }
}

/** Departures from the corridors beside the family that stand in most swings. */
static void print_beside(const swt_assessment *a, const swt_assessed_player *p)
{
    for (size_t b = 0; b < a->n_beside; b++)
        for (int side = 1; side >= -1; side -= 2) {
            size_t n = 0, first = 0;
            double excess = 0;
            char words[64];
            for (size_t k = p->first; k < p->first + p->n_swings; k++) {
                const swt_departure *own = NULL;
                for (size_t i = 0; i < a->swing[k].n_beside; i++) {
                    const swt_departure *d = &a->swing[k].beside[i];
                    if (d->measure == b && d->direction == side && d->stands_in_family && !own)
                        own = d;
                }
                if (!own)
                    continue;
                n++;
                first = n == 1 || own->first < first ? own->first : first;
                excess = fabs(own->largest_excess) > fabs(excess) ? own->largest_excess : excess;
            }
            if (2 * n <= p->n_swings)
                continue;
            printf("    also %s its corridor: %s, by up to %s, ", side > 0 ? "above" : "below",
                   a->beside[b].title,
                   swt_words_amount(words, sizeof words, a->beside[b].quantity, excess));
            print_start(&a->beside[b], first);
            printf(", %s.\n", swt_words_swings(words, sizeof words, n, p->n_swings));
        }
}

/** Swings of another kind than the group's, all in one line. */
static void print_unlike(const swt_assessment *a)
{
    size_t n = 0;

    for (size_t i = 0; i < a->n_players; i++)
        if (!a->player[i].alike)
            printf("%s%s",
                   n++ ? "; "
                       : "not compared, since the group's swings are of another club or shot "
                         "length: ",
                   a->player[i].name);
    if (n > 0)
        putchar('\n');
}

void swt_cli_print_players(const swt_assessment *a)
{
    for (size_t i = 0; i < a->n_players; i++) {
        swt_text lead = {0};

        if (!a->player[i].alike)
            continue;
        swt_report_lead(&lead, a, &a->player[i]);
        printf("%s: %s\n", a->player[i].name, lead.bytes ? lead.bytes : "");
        swt_text_reset(&lead);
        print_score(a, &a->player[i]);
        print_beside(a, &a->player[i]);
    }
    print_unlike(a);
}

static void print_link(const swt_assessment *a, const swt_assessed_trace *t,
                       const swt_trace_link *link)
{
    const swt_departure *d = &t->list[link->earlier];
    char share[64];

    printf("  %.2f s before: %s %s, from %.2f s.", link->lag_s, a->compared[d->measure].title,
           d->direction > 0 ? "above" : "below", d->start_s);
    if (link->n_earlier == 0) {
        printf(" No swing of the group goes more than 1 SD that way there.\n");
        return;
    }
    printf(" Of the group's swings that go more than 1 SD that way, %s also go more than 1 SD the "
           "later way",
           swt_words_share(share, sizeof share, link->n_both, link->n_earlier));
    if (isfinite(link->base_rate) && a->n_reference >= 20)
        printf(" (of all its swings %.0f %% do)", 100 * link->base_rate);
    if (link->n_both > 0)
        printf("; in %s of these it is the first of the two",
               swt_words_share(share, sizeof share, link->n_in_order, link->n_both));
    if (isfinite(link->correlation))
        printf("; correlation over %zu players %.2f", link->n_players, link->correlation);
    printf(".\n");
}

void swt_cli_print_trace(const swt_assessment *a, const swt_assessed_player *p,
                         const swt_assessed_trace *t, size_t measure)
{
    const swt_persistence *o;
    char swings[48];

    if (!t->from) {
        printf("%s: no departure in %s there\n", p->name, a->compared[measure].title);
        return;
    }
    o = &t->from->over;
    printf("%s: %s %s the corridor from %.2f s after takeaway, %s; before it, earliest first:\n",
           p->name, a->compared[measure].title, o->direction > 0 ? "above" : "below", o->start_s,
           swt_words_swings(swings, sizeof swings, o->n_departing, o->n_swings));
    for (size_t i = 0; i < t->n; i++)
        print_link(a, t, &t->link[i]);
    if (t->n == 0)
        printf("  nothing: it is the first\n");
    else
        printf("  Order and company in the group, not cause: what comes first may only be seen "
               "first.\n");
}
