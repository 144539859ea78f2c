#include "comparison/departure.h"

#include "comparison/array.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* What the search needs to know of a corridor, whatever its kind. */
typedef struct profile {
    size_t n_samples;
    double *ratio;  /* signed; a path's are positive */
    double *excess; /* beyond the edge, signed, unit */
    double *value;
    double *within; /* within-player SD along the deviation; NaN when not known */
    bool has_sides;
} profile;

static void profile_reset(profile *p)
{
    free(p->ratio);
    free(p->excess);
    free(p->value);
    free(p->within);
}

static swt_status profile_init(profile *p, size_t n_samples, swt_error *err)
{
    *p = (profile){.n_samples = n_samples};
    p->ratio = swt_doubles(n_samples, 1);
    p->excess = swt_doubles(n_samples, 1);
    p->value = swt_doubles(n_samples, 1);
    p->within = swt_doubles(n_samples, 1);
    if (p->ratio && p->excess && p->value && p->within)
        return SWT_OK;
    profile_reset(p);
    return swt_fail(err, SWT_ENOMEM, "no memory to compare %zu samples", n_samples);
}

static int side(const profile *p, size_t t)
{
    double r = p->ratio[t];

    if (!(fabs(r) > 1)) /* NaN too */
        return 0;
    return r > 0 ? 1 : -1;
}

/* Where |ratio| passes 1 between an inside and an outside neighbour, on the outside one's side. */
static double crossing(const profile *p, size_t inside, size_t outside)
{
    double sign = p->ratio[outside] > 0 ? 1 : -1;
    double in = sign * p->ratio[inside], out = sign * p->ratio[outside];
    double part = isfinite(out) ? (1 - in) / (out - in) : 0;

    return (double)inside + part * ((double)outside - (double)inside);
}

static double time_at(const double *time_s, size_t n, double sample)
{
    size_t before = (size_t)sample;
    double part = sample - (double)before;

    if (!time_s)
        return nan("");
    if (part > 0 && before + 1 < n)
        return time_s[before] + part * (time_s[before + 1] - time_s[before]);
    return time_s[before];
}

static void describe(swt_departure *d, const profile *p, size_t first, size_t last,
                     const swt_departure_context *c)
{
    size_t n = p->n_samples;

    memset(d, 0, sizeof *d);
    d->measure = c->measure;
    d->direction = p->has_sides ? side(p, first) : 0;
    d->first = d->peak = d->largest = first;
    d->last = last;
    for (size_t t = first; t <= last; t++) {
        if (fabs(p->ratio[t]) > fabs(p->ratio[d->peak]))
            d->peak = t;
        if (fabs(p->excess[t]) > fabs(p->excess[d->largest]))
            d->largest = t;
    }
    d->start =
        first > 0 && isfinite(p->ratio[first - 1]) ? crossing(p, first - 1, first) : (double)first;
    d->end =
        last + 1 < n && isfinite(p->ratio[last + 1]) ? crossing(p, last + 1, last) : (double)last;
    d->phase = c->phase ? c->phase[d->peak] : 0;
    d->peak_value = p->value[d->peak];
    d->peak_excess = p->excess[d->peak];
    d->peak_ratio = fabs(p->ratio[d->peak]);
    d->peak_within_sd = p->within[d->peak] > 0 ? d->peak_excess / p->within[d->peak] : nan("");
    d->peak_measurement_sd = c->measurement_sd && c->measurement_sd[d->peak] > 0
                                 ? d->peak_excess / c->measurement_sd[d->peak]
                                 : nan("");
    d->largest_value = p->value[d->largest];
    d->largest_excess = p->excess[d->largest];
    d->largest_s = time_at(c->time_s, n, (double)d->largest);
    d->start_s = time_at(c->time_s, n, d->start);
    d->end_s = time_at(c->time_s, n, d->end);
    d->peak_s = time_at(c->time_s, n, (double)d->peak);
    d->stands_in_family = c->family_factor > 0 ? d->peak_ratio > c->family_factor : true;
}

static void summarise(swt_departure_summary *s, const profile *p, const swt_departure *list,
                      size_t n)
{
    size_t outside = 0;

    *s = (swt_departure_summary){.share_outside = nan(""),
                                 .first_outside = n > 0 ? list[0].start : nan(""),
                                 .peak_ratio = nan("")};
    for (size_t t = 0; t < p->n_samples; t++) {
        double r = fabs(p->ratio[t]);
        if (isnan(r))
            continue;
        s->n_compared++;
        outside += r > 1;
        if (!(s->peak_ratio >= r))
            s->peak_ratio = r;
    }
    if (s->n_compared > 0)
        s->share_outside = (double)outside / (double)s->n_compared;
}

static swt_status search(swt_departure **list, size_t *n, swt_departure_summary *summary,
                         const profile *p, const swt_departure_context *context, swt_error *err)
{
    static const swt_departure_context nothing = {0};
    const swt_departure_context *c = context ? context : &nothing;
    size_t runs = 0;

    for (size_t t = 0; t < p->n_samples; t++)
        runs += side(p, t) != 0 && (t == 0 || side(p, t) != side(p, t - 1));
    if (runs > 0) {
        *list = malloc(runs * sizeof **list);
        if (!*list)
            return swt_fail(err, SWT_ENOMEM, "no memory for %zu departures", runs);
    }
    for (size_t t = 0; t < p->n_samples; t++) {
        size_t first = t;
        if (side(p, t) == 0)
            continue;
        while (t + 1 < p->n_samples && side(p, t + 1) == side(p, first))
            t++;
        describe(&(*list)[(*n)++], p, first, t, c);
    }
    if (summary)
        summarise(summary, p, *list, *n);
    return SWT_OK;
}

swt_status swt_departure_find(swt_departure **list, size_t *n, swt_departure_summary *summary,
                              const swt_corridor *corridor, const double *curve,
                              const swt_departure_context *context, swt_error *err)
{
    profile p;
    swt_status rc;

    *list = NULL;
    *n = 0;
    if (corridor->state == SWT_CORRIDOR_REFUSED)
        return swt_fail(err, SWT_EDATA, "there is no corridor: %s", corridor->reason);
    rc = profile_init(&p, corridor->n_samples, err);
    if (rc != SWT_OK)
        return rc;
    p.has_sides = true;
    for (size_t t = 0; t < p.n_samples; t++) {
        p.value[t] = curve[t];
        p.ratio[t] = swt_corridor_ratio(corridor, t, curve[t]);
        p.excess[t] = curve[t] - (p.ratio[t] > 0 ? corridor->upper[t] : corridor->lower[t]);
        p.within[t] = corridor->sd_within[t];
    }
    rc = search(list, n, summary, &p, context, err);
    profile_reset(&p);
    return rc;
}

swt_status swt_departure_find_path(swt_departure **list, size_t *n, swt_departure_summary *summary,
                                   const swt_path_corridor *corridor, const double *depth,
                                   const double *height, const swt_departure_context *context,
                                   swt_error *err)
{
    profile p;
    swt_status rc;

    *list = NULL;
    *n = 0;
    if (corridor->state == SWT_CORRIDOR_REFUSED)
        return swt_fail(err, SWT_EDATA, "there is no corridor: %s", corridor->reason);
    rc = profile_init(&p, corridor->n_samples, err);
    if (rc != SWT_OK)
        return rc;
    for (size_t t = 0; t < p.n_samples; t++) {
        double d = depth[t] - corridor->centre_depth[t], e = height[t] - corridor->centre_height[t];
        const double *w = &corridor->covariance_within[3 * t];
        double away = hypot(d, e);
        p.ratio[t] = swt_path_corridor_ratio(corridor, t, depth[t], height[t]);
        p.value[t] = away;
        p.excess[t] = away * (1 - 1 / p.ratio[t]);
        /* SD of a player's own swings along the line from the centre */
        p.within[t] = sqrt(d * d * w[0] + 2 * d * e * w[1] + e * e * w[2]) / away;
    }
    rc = search(list, n, summary, &p, context, err);
    profile_reset(&p);
    return rc;
}

swt_status swt_departure_join(swt_departure **list, size_t *n, swt_departure *more, size_t n_more,
                              swt_error *err)
{
    swt_departure *grown = NULL;

    if (n_more > 0) {
        grown = realloc(*list, (*n + n_more) * sizeof *grown);
        if (grown) {
            memcpy(grown + *n, more, n_more * sizeof *grown);
            *list = grown;
            *n += n_more;
        }
    }
    free(more);
    return n_more == 0 || grown ? SWT_OK
                                : swt_fail(err, SWT_ENOMEM, "no memory for %zu departures", n_more);
}
