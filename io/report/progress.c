#include "io/report/progress.h"

#include "comparison/association.h"
#include "comparison/kinds.h"
#include "comparison/variance.h"
#include "io/study/alike.h"
#include "io/study/selection.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void swt_progress_free(swt_progress *p)
{
    if (!p)
        return;
    for (size_t i = 0; i < p->n_sets; i++) {
        for (size_t b = 0; p->set[i].block && b < p->set[i].n_blocks; b++)
            free(p->set[i].block[b].swing);
        free(p->set[i].block);
        free(p->set[i].step);
    }
    free(p->set);
    free(p->measure);
    free(p->noise);
    free(p);
}

static double value_of(const swt_study *study, size_t row, size_t swing)
{
    const swt_measurement *m = &study->measure[row][swing];

    return m->verdict.state == SWT_ABSENT ? nan("") : m->value;
}

static bool same(const char *a, const char *b)
{
    return strcmp(a, b) == 0;
}

/* Swings that only differ by what blocks are made of. */
static unsigned alike_in_set(const swt_progress *p)
{
    return SWT_ALIKE_PLAYER | SWT_ALIKE_CLUB |
           (p->options.by == SWT_BY_SESSION ? SWT_ALIKE_SHOT : SWT_ALIKE_SESSION);
}

static const char *block_name(const swt_progress *p, const swt_study_swing *s)
{
    return p->options.by == SWT_BY_SESSION ? s->session : s->shot;
}

/* Which measures, and which swings may take part. */
static swt_status choose(swt_progress *p, bool *chosen, const swt_study *study, swt_error *err)
{
    bool *selected;
    swt_status rc;

    p->measure = calloc(swt_measure_count() + 1, sizeof *p->measure);
    p->noise = calloc(swt_measure_count() + 1, sizeof *p->noise);
    if (!p->measure || !p->noise)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t m = 0; m < swt_measure_count(); m++)
        if (!p->options.measure || same(p->options.measure, swt_measure_row(m)->name))
            p->measure[p->n_measures++] = m;
    if (p->n_measures == 0)
        return swt_fail(err, SWT_EARG,
                        "there is no measure '%.80s'; `swathe help measures` lists them",
                        p->options.measure);
    rc = swt_selection_choose(&selected, study, p->options.only, err);
    for (size_t i = 0; rc == SWT_OK && i < study->n_swings; i++)
        chosen[i] =
            selected[i] && (study->swing[i].strike != SWT_PRACTICE || p->options.with_practice);
    free(selected);
    return rc;
}

/* Blocks of the set that swing `first` begins; taken swings are marked. */
static swt_status fill_set(swt_progress *p, swt_progress_set *set, const swt_study *study,
                           bool *chosen, size_t first, swt_error *err)
{
    const swt_study_swing *own = &study->swing[first];

    *set = (swt_progress_set){.player = own->player};
    if (p->options.by == SWT_BY_SESSION)
        snprintf(set->name, sizeof set->name, "%.100s%s%.60s%s%.60s", own->player,
                 *own->club ? ", " : "", own->club, *own->shot ? ", " : "", own->shot);
    else
        snprintf(set->name, sizeof set->name, "%.100s%s%.60s%s%.60s", own->player,
                 *own->club ? ", " : "", own->club, *own->session ? ", session " : "",
                 own->session);
    for (size_t i = first; i < study->n_swings; i++) {
        const swt_study_swing *s = &study->swing[i];
        swt_progress_block *block = NULL, *more;
        size_t *swing;
        if (!chosen[i] || !swt_swings_alike(own, s, alike_in_set(p)))
            continue;
        chosen[i] = false;
        for (size_t b = 0; b < set->n_blocks; b++)
            if (same(set->block[b].name, block_name(p, s)))
                block = &set->block[b];
        if (!block) {
            more = realloc(set->block, (set->n_blocks + 1) * sizeof *more);
            if (!more)
                return swt_fail(err, SWT_ENOMEM, "out of memory");
            set->block = more;
            block = &set->block[set->n_blocks++];
            *block = (swt_progress_block){.name = block_name(p, s)};
        }
        swing = realloc(block->swing, (block->n_swings + 1) * sizeof *swing);
        if (!swing)
            return swt_fail(err, SWT_ENOMEM, "out of memory");
        block->swing = swing;
        block->swing[block->n_swings++] = i;
    }
    return SWT_OK;
}

static swt_status find_from(const swt_progress *p, swt_progress_set *set, swt_error *err)
{
    if (!p->options.from)
        return SWT_OK;
    for (set->from = 0; set->from < set->n_blocks; set->from++)
        if (same(set->block[set->from].name, p->options.from))
            return SWT_OK;
    return swt_fail(err, SWT_EDATA, "%.100s has no swings of %s '%.60s' to hold the others against",
                    set->name, p->options.by == SWT_BY_SESSION ? "session" : "shot",
                    p->options.from);
}

static swt_status find_sets(swt_progress *p, const swt_study *study, bool *chosen, swt_error *err)
{
    const char *what = p->options.by == SWT_BY_SESSION ? "session" : "shot length";
    swt_status rc = SWT_OK;

    p->set = calloc(study->n_swings + 1, sizeof *p->set);
    if (!p->set)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; rc == SWT_OK && i < study->n_swings; i++) {
        swt_progress_set *set = &p->set[p->n_sets];
        if (!chosen[i])
            continue;
        p->n_sets++; /* freed with the rest when it fails half-way */
        rc = fill_set(p, set, study, chosen, i, err);
        if (rc != SWT_OK || set->n_blocks >= 2) {
            if (rc == SWT_OK)
                rc = find_from(p, set, err);
            continue;
        }
        for (size_t b = 0; b < set->n_blocks; b++)
            free(set->block[b].swing);
        free(set->block);
        p->n_sets--;
    }
    if (rc == SWT_OK && p->n_sets == 0)
        rc = swt_fail(err, SWT_EDATA,
                      "no player has swings of more than one %s with one club and "
                      "one %s%s",
                      what, p->options.by == SWT_BY_SESSION ? "shot length" : "session",
                      p->options.only ? " among those selected" : "");
    return rc;
}

/* The swings that noise is taken from: first session of each player, commonest club and shot.
 * `room`: two for each swing. */
static swt_status find_repeats(size_t *swing, int *player, size_t *n, size_t *room,
                               const swt_progress *p, const swt_study *study, swt_error *err)
{
    enum { CLUB_AND_SHOT = SWT_ALIKE_CLUB | SWT_ALIKE_SHOT };
    size_t *kind = room, *own = room + study->n_swings, row = 0;
    swt_status rc;

    *n = 0;
    swt_study_first_alike(kind, study, CLUB_AND_SHOT);
    swt_study_first_alike(own, study, CLUB_AND_SHOT | SWT_ALIKE_PLAYER);
    rc = swt_commonest_kind(&row, kind, NULL, study->n_swings, err);
    for (size_t i = 0; rc == SWT_OK && i < study->n_swings; i++) {
        const swt_study_swing *s = &study->swing[i];
        if (kind[i] != kind[row] || (s->strike == SWT_PRACTICE && !p->options.with_practice) ||
            !swt_swings_alike(s, &study->swing[own[i]], SWT_ALIKE_SESSION))
            continue;
        player[*n] = (int)own[i];
        swing[(*n)++] = i;
    }
    return rc;
}

/* F test over the first swings of those players who have as many as most have. */
static double trend_of(const double *value, const int *player, size_t n)
{
    enum { TRIALS = 3 };
    double *table = calloc(n * TRIALS + 1, sizeof *table);
    swt_reliability r;
    double p = nan("");
    size_t rows = 0;

    if (!table)
        return p;
    for (size_t i = 0; i < n; i++) {
        size_t k = 0;
        bool seen = false;
        for (size_t j = 0; j < i && !seen; j++)
            seen = player[j] == player[i];
        for (size_t j = i; !seen && j < n && k < TRIALS; j++)
            if (player[j] == player[i])
                table[rows * TRIALS + k++] = value[j];
        rows += k == TRIALS;
    }
    if (rows >= SWT_CORRIDOR_LEAST_PLAYERS &&
        swt_reliability_of(&r, table, rows, TRIALS, NULL) == SWT_OK)
        p = r.p_trials;
    free(table);
    return p;
}

static swt_status find_noise(swt_progress *p, const swt_study *study, swt_error *err)
{
    size_t *swing = calloc(3 * study->n_swings + 1, sizeof *swing), n = 0;
    int *player = calloc(study->n_swings + 1, sizeof *player);
    double *value = calloc(study->n_swings + 1, sizeof *value);
    swt_status rc = SWT_OK;

    if (!swing || !player || !value)
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    if (rc == SWT_OK)
        rc = find_repeats(swing, player, &n, swing + study->n_swings, p, study, err);
    for (size_t m = 0; rc == SWT_OK && m < p->n_measures; m++) {
        swt_progress_noise *noise = &p->noise[m];
        swt_variance v;
        *noise = (swt_progress_noise){.icc = nan(""), .sem = nan(""), .detectable = nan("")};
        for (size_t i = 0; i < n; i++)
            value[i] = value_of(study, p->measure[m], swing[i]);
        noise->trend_p = trend_of(value, player, n);
        rc = swt_variance_split(&v, value, player, n, err);
        if (rc == SWT_EDATA) { /* fewer than two players */
            rc = SWT_OK;
            continue;
        }
        noise->n_players = v.n_groups;
        noise->n_swings = v.n_values;
        if (rc != SWT_OK || v.df_within < SWT_PROGRESS_LEAST_DF || !(v.sem > 0))
            continue;
        noise->icc = v.icc;
        noise->sem = v.sem;
        noise->detectable = swt_detectable_change(v.sem, 1, 1, p->options.confidence);
    }
    free(swing);
    free(player);
    free(value);
    return rc;
}

static size_t read_block(double *value, const swt_study *study, const swt_progress_block *block,
                         size_t row)
{
    for (size_t i = 0; i < block->n_swings; i++)
        value[i] = value_of(study, row, block->swing[i]);
    return block->n_swings;
}

static swt_status fill_step(swt_progress_step *step, const swt_progress *p,
                            const swt_progress_set *set, const swt_study *study, size_t b, size_t m,
                            double *room, swt_error *err)
{
    double *now = room, *then = room + study->n_swings, sem = p->noise[m].sem;
    size_t n_now = read_block(now, study, &set->block[b], p->measure[m]), n_then, others;
    const size_t against[2] = {set->from, b > 0 ? b - 1 : 0};
    swt_change *const change[2] = {&step->since_from, &step->since_last};
    swt_status rc = SWT_OK;

    *step = (swt_progress_step){.mean = nan(""), .p = nan(""), .p_all = nan("")};
    for (size_t i = 0; i < n_now; i++)
        if (isfinite(now[i])) {
            step->n++;
            step->mean =
                step->n == 1 ? now[i] : step->mean + (now[i] - step->mean) / (double)step->n;
        }
    for (int k = 0; k < 2 && rc == SWT_OK && sem > 0; k++) {
        if (against[k] == b)
            continue;
        n_then = read_block(then, study, &set->block[against[k]], p->measure[m]);
        rc = swt_change_between(change[k], then, n_then, now, n_now, sem, p->options.confidence,
                                err);
    }
    others = step->since_from.n_before;
    if (step->since_from.verdict != SWT_CHANGE_UNKNOWN)
        step->p = erfc(fabs(step->since_from.difference) /
                       (sem * sqrt(1.0 / (double)others + 1.0 / (double)step->n)) / sqrt(2));
    return rc;
}

static swt_status fill_steps(swt_progress *p, swt_progress_set *set, const swt_study *study,
                             swt_error *err)
{
    double *room = calloc(2 * study->n_swings + 1, sizeof *room);
    double *alone = calloc(p->n_measures + 1, sizeof *alone);
    swt_status rc = SWT_OK;

    set->step = calloc(set->n_blocks * p->n_measures, sizeof *set->step);
    if (!room || !alone || !set->step)
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t b = 0; rc == SWT_OK && b < set->n_blocks; b++) {
        for (size_t m = 0; rc == SWT_OK && m < p->n_measures; m++) {
            rc = fill_step(swt_progress_at(p, set, b, m), p, set, study, b, m, room, err);
            alone[m] = swt_progress_at(p, set, b, m)->p;
        }
        if (rc == SWT_OK)
            rc = swt_adjust_holm(alone, alone, p->n_measures, err);
        for (size_t m = 0; rc == SWT_OK && m < p->n_measures; m++)
            swt_progress_at(p, set, b, m)->p_all = alone[m];
    }
    free(room);
    free(alone);
    return rc;
}

swt_status swt_progress_build(swt_progress **out, const swt_study *study,
                              const swt_progress_options *options, swt_error *err)
{
    swt_progress *p = calloc(1, sizeof *p);
    bool *chosen = calloc(study->n_swings + 1, sizeof *chosen);
    swt_status rc = SWT_OK;

    *out = NULL;
    if (!p || !chosen)
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    if (rc == SWT_OK) {
        p->options = *options;
        rc = choose(p, chosen, study, err);
    }
    if (rc == SWT_OK)
        rc = find_sets(p, study, chosen, err);
    if (rc == SWT_OK)
        rc = find_noise(p, study, err);
    for (size_t i = 0; rc == SWT_OK && i < p->n_sets; i++)
        rc = fill_steps(p, &p->set[i], study, err);
    free(chosen);
    if (rc == SWT_OK)
        *out = p;
    else
        swt_progress_free(p);
    return rc;
}
