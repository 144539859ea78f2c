/* One swing against the measures of a family. */
#include "comparison/family.h"

#include <math.h>
#include <stdlib.h>

bool swt_family_may_hold(const swt_corridor *corridor)
{
    return corridor->state != SWT_CORRIDOR_REFUSED &&
           (corridor->n_samples > 1 || corridor->method == SWT_CORRIDOR_TOLERANCE);
}

swt_status swt_family_settle(swt_family *family, double coverage, swt_error *err)
{
    const swt_corridor **list = calloc(family->n_measures + 1, sizeof *list);
    swt_status rc = SWT_OK;

    family->factor = family->false_alone = nan("");
    family->n_members = 0;
    if (!list)
        return swt_fail(err, SWT_ENOMEM, "no memory for a family of %zu measures",
                        family->n_measures);
    if (family->n_phases > SWT_FAMILY_MOST_PHASES)
        rc = swt_fail(err, SWT_EARG, "%zu phases, at most %d", family->n_phases,
                      SWT_FAMILY_MOST_PHASES);
    for (size_t i = 0; i < family->n_measures; i++)
        if (family->measure[i].corridor)
            list[family->n_members++] = family->measure[i].corridor;
    if (rc == SWT_OK && family->n_members > 0)
        rc = swt_corridor_family_factor(&family->factor, &family->false_alone, list,
                                        family->n_members, coverage, err);
    free(list);
    return rc;
}

swt_status swt_assessed_swing_begin(swt_assessed_swing *s, const swt_family *family, swt_error *err)
{
    s->was_compared = calloc(family->n_measures + 1, sizeof *s->was_compared);
    s->unseen = calloc(family->n_measures + 1, sizeof *s->unseen);
    s->measure_share = calloc(family->n_measures + 1, sizeof *s->measure_share);
    s->score = (swt_score){nan(""), nan(""), nan(""), nan(""), nan(""), nan("")};
    if (!s->was_compared || !s->unseen || !s->measure_share)
        return swt_fail(err, SWT_ENOMEM, "no memory to assess %zu measures", family->n_measures);
    return SWT_OK;
}

void swt_assessed_swing_reset(swt_assessed_swing *s)
{
    free(s->departure);
    free(s->was_compared);
    free(s->unseen);
    free(s->measure_share);
    free(s->beside);
    free(s->path);
    *s = (swt_assessed_swing){0};
}

static swt_status append(swt_assessed_swing *swing, const swt_departure *list, size_t n,
                         bool is_curve, double scalar_position, swt_error *err)
{
    swt_assessed_departure *more;

    if (n == 0)
        return SWT_OK;
    more = realloc(swing->departure, (swing->n_departures + n) * sizeof *more);
    if (!more)
        return swt_fail(err, SWT_ENOMEM, "no memory for %zu departures", n);
    swing->departure = more;
    for (size_t i = 0; i < n; i++)
        more[swing->n_departures++] =
            (swt_assessed_departure){list[i], is_curve ? list[i].start : scalar_position};
    return SWT_OK;
}

/* Phases in which the group has a band and the swing next to no curve. The samples at the events
 * are left out: they belong to two phases. */
static unsigned char unseen_phases(const swt_family *family, const swt_corridor *c,
                                   const double *curve)
{
    unsigned unseen = 0;

    if (c->n_samples == 1)
        return (unsigned char)(isfinite(curve[0]) ? 0 : 1);
    for (size_t p = 0; p < family->n_phases; p++) {
        size_t band = 0, seen = 0;
        for (size_t i = p * family->phase_steps + 1; i < (p + 1) * family->phase_steps; i++) {
            bool there = isfinite(c->lower[i]) && isfinite(c->upper[i]);
            band += there;
            seen += there && isfinite(curve[i]);
        }
        if (10 * seen < 9 * band)
            unseen |= 1u << p;
    }
    return (unsigned char)unseen;
}

swt_status swt_assessed_swing_add(swt_assessed_swing *swing, const swt_family *family,
                                  size_t measure, const swt_assessed_values *v, swt_error *err)
{
    const swt_corridor *c = family->measure[measure].corridor;
    const swt_departure_context context = {.measure = measure,
                                           .time_s = v->time_s,
                                           .family_factor = family->factor,
                                           .measurement_sd = v->sd};
    swt_departure_summary summary;
    swt_departure *list = NULL;
    size_t n = 0;
    swt_status rc = swt_departure_find(&list, &n, &summary, c, v->value, &context, err);

    if (rc == SWT_OK) {
        swing->was_compared[measure] = summary.n_compared > 0;
        swing->unseen[measure] = unseen_phases(family, c, v->value);
        rc = append(swing, list, n, c->n_samples > 1, v->position, err);
    }
    free(list);
    return rc;
}

/* Sums a share for each sample into shares for measures and phases. */
static void add_up(swt_assessed_swing *s, const swt_family *family, const double *share)
{
    for (size_t i = 0; i < family->n_measures; i++) {
        const swt_corridor *c = family->measure[i].corridor;
        for (size_t t = 0; c && t < c->n_samples; t++, share++) {
            size_t phase =
                c->n_samples > 1 ? (t > 0 ? t - 1 : 0) / family->phase_steps : family->n_phases;
            s->measure_share[i] += *share;
            s->phase_share[phase] += *share;
        }
    }
}

swt_status swt_assessed_swing_score(swt_assessed_swing *s, const swt_family *family,
                                    const swt_score_model *model, const double *const *curve,
                                    swt_error *err)
{
    size_t columns = 0;
    double *share;
    swt_status rc;

    for (size_t i = 0; i < family->n_measures; i++)
        columns += family->measure[i].corridor ? family->measure[i].corridor->n_samples : 0;
    share = calloc(columns + 1, sizeof *share);
    if (!share)
        return swt_fail(err, SWT_ENOMEM, "no memory to score %zu samples", columns);
    rc = swt_score_swing(&s->score, NULL, share, NULL, model, curve, err);
    if (rc == SWT_OK && isfinite(s->score.rms))
        add_up(s, family, share);
    free(share);
    return rc;
}
