/* What comes first on a page, in short sentences, and its shorter sister. */
#include "io/report/page_parts.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* A series' own words, or a measure's title and value; in parentheses what is said beside it.
 * No capital letter. */
static void add_clause(swt_text *out, const swt_assessment *a, const swt_player_departure *d,
                       const char *beside)
{
    const swt_compared *c = &a->compared[d->over.measure];
    char value[48], low[48], high[48];

    if (c->is_series) {
        const swt_series_words *w = swt_series_describe_in_words((swt_series)c->index);
        const char *words = d->over.direction > 0 ? w->more : w->less;
        size_t length = strlen(words);
        swt_text_add(out, "%s %.*s%s%s%s", w->subject,
                     (int)(words[length - 1] == ',' ? length - 1 : length), words,
                     *beside ? " (" : "", beside, *beside ? ")" : "");
    } else {
        const swt_measure *m = swt_measure_row(c->index);
        swt_text_add(out, "%s is %s", m->title,
                     swt_words_value(value, sizeof value, m->quantity, d->over.largest_value));
        if (*beside)
            swt_text_add(out, ", in the group %s to %s",
                         swt_words_number(low, sizeof low, m->quantity, c->corridor->lower[0]),
                         swt_words_value(high, sizeof high, m->quantity, c->corridor->upper[0]));
        swt_text_add(out, " (%s%s%s)", d->over.direction > 0 ? m->more : m->less,
                     *beside ? "; " : "", beside);
    }
}

void page_clause(swt_text *out, const swt_assessment *a, const swt_player_departure *d)
{
    add_clause(out, a, d, "");
}

static void add_when(swt_text *out, const swt_assessed_player *p, const swt_player_departure *d)
{
    char moment[160];

    if (!isfinite(d->over.start_s))
        swt_text_add(out, ", from a moment %s",
                     swt_words_phase(moment, sizeof moment, d->position));
    else if (d->over.start_s < 0.005)
        swt_text_add(out, ", already at takeaway");
    else
        swt_text_add(out, ", from %.2f s after takeaway (%s)", d->over.start_s,
                     swt_words_moment(moment, sizeof moment, p->event_s, d->over.start_s));
}

static void add_first(swt_text *out, const swt_assessment *a, const swt_assessed_player *p,
                      const swt_player_departure *d)
{
    const swt_compared *c = &a->compared[d->over.measure];
    char words[160], low[48], high[48];

    if (c->is_series) {
        const swt_series_words *w = swt_series_describe_in_words((swt_series)c->index);
        swt_text_add(out, "%s %s than in the group's corridor, by up to %s", w->subject,
                     d->over.direction > 0 ? w->more : w->less,
                     swt_words_amount(words, sizeof words, c->quantity, d->over.largest_excess));
        add_when(out, p, d);
    } else {
        const swt_measure *m = swt_measure_row(c->index);
        swt_text_add(out, "%s is %s, %s the group's %s to %s (%s)", m->title,
                     swt_words_value(words, sizeof words, m->quantity, d->over.largest_value),
                     d->over.direction > 0 ? "above" : "below",
                     swt_words_number(low, sizeof low, m->quantity, c->corridor->lower[0]),
                     swt_words_value(high, sizeof high, m->quantity, c->corridor->upper[0]),
                     d->over.direction > 0 ? m->more : m->less);
        if (isfinite(d->over.start_s))
            swt_text_add(out, ", settled %.2f s after takeaway", d->over.start_s);
    }
    swt_text_add(out, ", %s.",
                 swt_words_swings(words, sizeof words, d->over.n_departing, d->over.n_swings));
}

/* How much a departure tells: its size, and the hands before all else, since their path is what
 * the coach sees. */
static double weight(const swt_assessment *a, const swt_player_departure *d)
{
    const swt_compared *c = &a->compared[d->over.measure];
    bool hands =
        c->is_series && (c->index == SWT_SERIES_HAND_DEPTH || c->index == SWT_SERIES_HAND_HEIGHT);

    return hands ? HUGE_VAL : d->over.peak_ratio;
}

/* What came after it: of the departures that most swings show, the largest few, in time. */
static void add_followers(swt_text *out, const swt_assessment *a, const swt_assessed_player *p)
{
    enum { MOST = 3 };
    const swt_player_departure *first = &p->found.departure[0], *pick[MOST], *move;
    char phase[160], beside[260], amount[64];
    size_t n = 0;

    for (size_t i = 1; i < p->found.n_chain; i++) {
        const swt_player_departure *d = &p->found.departure[i];
        size_t at = n;
        if (d->over.measure == first->over.measure || d->position < first->position)
            continue;
        for (size_t k = 0; k < n; k++)
            if (pick[k]->over.measure == d->over.measure)
                at = MOST + 1;
        if (at > MOST)
            continue;
        while (at > 0 && weight(a, pick[at - 1]) < weight(a, d))
            at--;
        if (at == MOST)
            continue;
        n += n < MOST;
        for (size_t k = n - 1; k > at; k--)
            pick[k] = pick[k - 1];
        pick[at] = d;
    }
    for (size_t i = 1; i < n; i++) /* from largest first to earliest first */
        for (size_t k = i; k > 0 && pick[k]->position < pick[k - 1]->position; k--) {
            move = pick[k];
            pick[k] = pick[k - 1];
            pick[k - 1] = move;
        }
    for (size_t k = 0; k < n; k++) {
        if (!isfinite(pick[k]->over.start_s))
            snprintf(beside, sizeof beside, "%s",
                     swt_words_phase(phase, sizeof phase, pick[k]->position));
        else if (pick[k]->over.start_s < 0.005)
            snprintf(beside, sizeof beside, "also at takeaway");
        else
            snprintf(beside, sizeof beside, "%s %.2f s",
                     a->compared[pick[k]->over.measure].is_series ? "from" : "at",
                     pick[k]->over.start_s);
        if (a->compared[pick[k]->over.measure].is_series)
            snprintf(beside + strlen(beside), sizeof beside - strlen(beside), ", by up to %s",
                     swt_words_amount(amount, sizeof amount,
                                      a->compared[pick[k]->over.measure].quantity,
                                      pick[k]->over.largest_excess));
        swt_text_add(out, k == 0 ? " Then " : k + 1 == n ? " and " : ", ");
        add_clause(out, a, pick[k], beside);
    }
    if (n > 0)
        swt_text_add(out, ".");
}

static void make_capital(swt_text *out, size_t at)
{
    if (out->bytes && at < out->length && out->bytes[at] >= 'a' && out->bytes[at] <= 'z')
        out->bytes[at] = (char)(out->bytes[at] - 'a' + 'A');
}

/* In how many swings, and how much of them: what was not seen is not called clean. */
static void add_nothing(swt_text *out, const swt_assessment *a, const swt_assessed_player *p)
{
    bool all = p->found.n_throughout == a->family.n_members;

    swt_text_add(out, "No measure leaves the group's corridor by a noteworthy amount in %s",
                 all ? "" : "what could be compared of ");
    if (p->n_swings == 1)
        swt_text_add(out, "the only swing.");
    else if (all)
        swt_text_add(out, "%s of the %zu swings.", p->n_swings == 2 ? "either" : "any",
                     p->n_swings);
    else
        swt_text_add(out, "the %zu swings.", p->n_swings);
    if (all)
        swt_text_add(out, " All %zu measures could be compared throughout.", a->family.n_members);
    else
        page_unseen_sentence(out, a, p);
    if (p->found.n_departures)
        swt_text_add(out, " What departs is small.");
}

/* Much is not compared: less than nine tenths of the family throughout. Own choice. */
static bool much_unseen(const swt_assessment *a, const swt_assessed_player *p)
{
    return 10 * p->found.n_throughout < 9 * a->family.n_members;
}

void swt_report_lead(swt_text *out, const swt_assessment *a, const swt_assessed_player *p)
{
    size_t begin = out->length;

    switch (p->found.certainty) {
    case SWT_NOT_COMPARED:
        if (!p->alike && a->club) {
            swt_text_add(out, "These swings are shown by themselves: the reference group's have "
                              "another club or shot length, and like is compared with like.");
            return;
        }
        if (!a->options.group) {
            swt_text_add(out, "These swings are shown by themselves, since no reference group was "
                              "chosen to compare them with.");
            return;
        }
        swt_text_add(out, "The swings of this player could not be compared with the group: %s.",
                     a->family.n_members == 0
                         ? "the group carries no corridor"
                         : "they have none of the measures that the group has");
        return;
    case SWT_NOTHING_DEPARTS:
        add_nothing(out, a, p);
        return;
    case SWT_SOME_SWINGS:
        swt_text_add(out, "Nothing leaves the group's corridor in most of the swings. In some, ");
        add_first(out, a, p, &p->found.departure[0]);
        break;
    case SWT_MOST_SWINGS:
        add_first(out, a, p, &p->found.departure[0]);
        add_followers(out, a, p);
        swt_text_add(out,
                     " With %zu measures looked at together this can be chance: take it as a hint.",
                     a->family.n_members);
        break;
    case SWT_STANDS:
        add_first(out, a, p, &p->found.departure[0]);
        add_followers(out, a, p);
        swt_text_add(out, " The first stands after allowing for all %zu measures looked at.",
                     a->family.n_members);
        break;
    }
    if (much_unseen(a, p))
        page_unseen_sentence(out, a, p);
    make_capital(out, begin);
}

void swt_report_lead_short(swt_text *out, const swt_assessment *a, const swt_assessed_player *p)
{
    const swt_player_departure *d = p->found.departure;
    char words[96];
    size_t begin = out->length;

    if (p->found.certainty == SWT_NOT_COMPARED) {
        swt_text_add(out, p->alike || !a->club ? "Not compared"
                                               : "Not compared: another club or shot length");
        return;
    }
    if (p->found.certainty == SWT_NOTHING_DEPARTS) {
        swt_text_add(out, "Nothing of note departs");
        if (p->found.n_throughout < a->family.n_members)
            swt_text_add(out,
                         " in what could be compared: %zu of %zu measures throughout, %zu in part",
                         p->found.n_throughout, a->family.n_members, p->found.n_in_part);
        return;
    }
    page_clause(out, a, d);
    if (a->compared[d->over.measure].is_series)
        swt_text_add(out, ", by up to %s",
                     swt_words_amount(words, sizeof words, a->compared[d->over.measure].quantity,
                                      d->over.largest_excess));
    if (much_unseen(a, p))
        swt_text_add(out, "; only %zu of %zu measures could be compared throughout",
                     p->found.n_throughout, a->family.n_members);
    make_capital(out, begin);
}
