/* What several swings and the reference group add to one swing's departures. */
#include "comparison/array.h"
#include "comparison/departure.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

double swt_median(double *value, size_t n)
{
    size_t k = 0;

    for (size_t i = 0; i < n; i++)
        if (isfinite(value[i]))
            value[k++] = value[i];
    if (k == 0)
        return nan("");
    swt_sort(value, k);
    return k % 2 ? value[k / 2] : (value[k / 2 - 1] + value[k / 2]) / 2;
}

/* The lower of the two middle values. Sorts. */
static size_t middle_sample(double *value, size_t n)
{
    swt_sort(value, n);
    return n > 0 ? (size_t)value[(n - 1) / 2] : 0;
}

enum { START, END, LARGEST, VALUE, EXCESS, RATIO, WITHIN, MEASUREMENT, FIRST, LAST, PEAK, FACTS };

swt_status swt_departure_persistence(swt_persistence *out, const swt_departure *const *of_swing,
                                     size_t n, size_t n_swings, swt_error *err)
{
    double *room = swt_doubles(n, FACTS), *fact[FACTS];

    *out = (swt_persistence){.n_swings = n_swings};
    if (!room)
        return swt_fail(err, SWT_ENOMEM, "no memory for %zu departures", n);
    for (size_t f = 0; f < FACTS; f++)
        fact[f] = room + f * n;
    for (size_t i = 0; i < n; i++) {
        const swt_departure *d = of_swing[i];
        size_t k = out->n_departing;
        if (!d)
            continue;
        out->measure = d->measure;
        out->direction = d->direction;
        fact[START][k] = d->start_s;
        fact[END][k] = d->end_s;
        fact[LARGEST][k] = d->largest_s;
        fact[VALUE][k] = d->largest_value;
        fact[EXCESS][k] = d->largest_excess;
        fact[RATIO][k] = d->peak_ratio;
        fact[WITHIN][k] = fabs(d->peak_within_sd);
        fact[MEASUREMENT][k] = fabs(d->peak_measurement_sd);
        fact[FIRST][k] = (double)d->first;
        fact[LAST][k] = (double)d->last;
        fact[PEAK][k] = (double)d->peak;
        out->n_standing += d->stands_in_family;
        out->n_departing++;
    }
    n = out->n_departing;
    out->start_s = swt_median(fact[START], n);
    out->end_s = swt_median(fact[END], n);
    out->largest_s = swt_median(fact[LARGEST], n);
    out->largest_value = swt_median(fact[VALUE], n);
    out->largest_excess = swt_median(fact[EXCESS], n);
    out->peak_ratio = swt_median(fact[RATIO], n);
    out->peak_within_sd = swt_median(fact[WITHIN], n);
    out->peak_measurement_sd = swt_median(fact[MEASUREMENT], n);
    out->first = middle_sample(fact[FIRST], n);
    out->last = middle_sample(fact[LAST], n);
    out->peak = middle_sample(fact[PEAK], n);
    if (out->last < out->first) /* medians of runs that lie apart */
        out->last = out->first;
    free(room);
    return SWT_OK;
}

/* Deviation of each reference swing at a departure's peak, in SD of one swing of a new player. */
static void deviations(double *z, const swt_departure *d, const swt_reference_measure *reference,
                       size_t n_swings)
{
    const swt_corridor *c = reference[d->measure].corridor;

    swt_fill_nan(z, n_swings);
    if (!c || !reference[d->measure].values || c->state == SWT_CORRIDOR_REFUSED ||
        !(c->sd_total[d->peak] > 0))
        return;
    for (size_t s = 0; s < n_swings; s++)
        z[s] = (reference[d->measure].values[s * c->n_samples + d->peak] - c->centre[d->peak]) /
               c->sd_total[d->peak];
}

/* Means over each player's swings in which both deviations are there; NaN for the others. */
static void player_means(double *mx, double *my, const double *x, const double *y,
                         const size_t *player, size_t n_swings, size_t n_players)
{
    for (size_t p = 0; p < n_players; p++) {
        size_t k = 0;
        mx[p] = my[p] = 0;
        for (size_t s = 0; s < n_swings; s++)
            if (player[s] == p && isfinite(x[s]) && isfinite(y[s])) {
                mx[p] += x[s];
                my[p] += y[s];
                k++;
            }
        mx[p] = k > 0 ? mx[p] / (double)k : nan("");
        my[p] = k > 0 ? my[p] / (double)k : nan("");
    }
}

/* Where in the curves' samples a reference swing is first beyond 1 SD to the departure's side,
 * within the samples of the departure; NaN: nowhere. *seen: it has a value there. */
static double first_beyond(bool *seen, const swt_departure *d, const swt_reference_measure *r,
                           size_t swing)
{
    const swt_corridor *c = r->corridor;

    *seen = false;
    if (!c || !r->values || c->state == SWT_CORRIDOR_REFUSED)
        return nan("");
    for (size_t t = d->first; t <= d->last; t++) {
        double z = (r->values[swing * c->n_samples + t] - c->centre[t]) / c->sd_total[t];
        if (!isfinite(z))
            continue;
        *seen = true;
        if (d->direction * z > 1)
            return c->n_samples > 1 ? (double)t : r->position;
    }
    return nan("");
}

static void count_together(swt_trace_link *link, const swt_departure *x, const swt_departure *y,
                           const swt_reference_measure *reference, size_t n_swings)
{
    size_t seen = 0, later = 0;

    for (size_t s = 0; s < n_swings; s++) {
        bool seen_x, seen_y;
        double at_x = first_beyond(&seen_x, x, &reference[x->measure], s);
        double at_y = first_beyond(&seen_y, y, &reference[y->measure], s);
        if (!seen_x || !seen_y)
            continue;
        seen++;
        later += isfinite(at_y) != 0;
        link->n_earlier += isfinite(at_x) != 0;
        link->n_both += isfinite(at_x) && isfinite(at_y);
        link->n_in_order += at_x < at_y;
    }
    link->base_rate = seen > 0 ? (double)later / (double)seen : nan("");
}

static int compare_lag(const void *a, const void *b)
{
    const swt_trace_link *x = a, *y = b;

    if (x->lag_s < y->lag_s || x->lag_s > y->lag_s)
        return x->lag_s > y->lag_s ? -1 : 1;
    return (x->earlier > y->earlier) - (x->earlier < y->earlier);
}

swt_status swt_departure_trace(swt_trace_link **links, size_t *n, const swt_departure *list,
                               size_t n_list, size_t of, const swt_reference_measure *reference,
                               size_t n_measures, const int *player, size_t n_swings,
                               swt_error *err)
{
    size_t *index = NULL, n_players = 0;
    double *x = NULL, *y = NULL, *mx = NULL, *my = NULL;
    swt_status rc;

    *links = NULL;
    *n = 0;
    if (of >= n_list || !isfinite(list[of].start_s))
        return swt_fail(err, SWT_EARG, "departure %zu of %zu has no start time to trace back from",
                        of, n_list);
    for (size_t i = 0; i < n_list; i++)
        if (list[i].measure >= n_measures)
            return swt_fail(err, SWT_EARG, "departure of measure %zu among %zu measures",
                            list[i].measure, n_measures);
    rc = swt_player_index(&index, &n_players, player, n_swings, err);
    if (rc != SWT_OK)
        return rc;
    x = swt_doubles(n_swings, 1);
    y = swt_doubles(n_swings, 1);
    mx = swt_doubles(n_players, 1);
    my = swt_doubles(n_players, 1);
    *links = calloc(n_list, sizeof **links);
    if (!x || !y || !mx || !my || !*links) {
        rc = swt_fail(err, SWT_ENOMEM, "no memory to trace %zu departures", n_list);
        goto done;
    }
    deviations(y, &list[of], reference, n_swings);
    for (size_t i = 0; i < n_list; i++) {
        swt_trace_link *link = &(*links)[*n];
        if (i == of || !(list[i].start_s < list[of].start_s))
            continue;
        link->earlier = i;
        link->lag_s = list[of].start_s - list[i].start_s;
        deviations(x, &list[i], reference, n_swings);
        player_means(mx, my, x, y, index, n_swings, n_players);
        link->correlation = swt_correlation(&link->n_players, mx, my, n_players);
        if (link->n_players < SWT_CORRIDOR_LEAST_PLAYERS)
            link->correlation = nan("");
        count_together(link, &list[i], &list[of], reference, n_swings);
        ++*n;
    }
    qsort(*links, *n, sizeof **links, compare_lag);
done:
    free(index);
    free(x);
    free(y);
    free(mx);
    free(my);
    if (rc != SWT_OK || *n == 0) {
        free(*links);
        *links = NULL;
    }
    return rc;
}
