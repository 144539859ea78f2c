/* What several swings and the reference group add to one swing's departures. */
#include "comparison/array.h"
#include "comparison/departure.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* One departure of one swing, reduced to what persistence counts. */
typedef struct occurrence {
    size_t measure, swing;
    int direction, phase;
    double ratio, start_s;
    bool stands;
} occurrence;

static int compare_occurrence(const void *a, const void *b)
{
    const occurrence *x = a, *y = b;

    if (x->measure != y->measure)
        return x->measure < y->measure ? -1 : 1;
    if (x->phase != y->phase)
        return x->phase < y->phase ? -1 : 1;
    if (x->direction != y->direction)
        return x->direction < y->direction ? -1 : 1;
    if (x->swing != y->swing)
        return x->swing < y->swing ? -1 : 1;
    return (x->ratio < y->ratio) - (x->ratio > y->ratio); /* the largest of a swing first */
}

static bool same_kind(const occurrence *x, const occurrence *y)
{
    return x->measure == y->measure && x->phase == y->phase && x->direction == y->direction;
}

static int compare_persistence(const void *a, const void *b)
{
    const swt_persistence *x = a, *y = b;
    double share_x = (double)x->n_departing / (double)x->n_swings;
    double share_y = (double)y->n_departing / (double)y->n_swings;

    if (share_x < share_y || share_x > share_y)
        return share_x > share_y ? -1 : 1;
    if (x->earliest_start_s < y->earliest_start_s || x->earliest_start_s > y->earliest_start_s)
        return x->earliest_start_s < y->earliest_start_s ? -1 : 1;
    if (x->measure != y->measure)
        return x->measure < y->measure ? -1 : 1;
    if (x->phase != y->phase)
        return x->phase < y->phase ? -1 : 1;
    return (x->direction > y->direction) - (x->direction < y->direction);
}

/* Sums up occurrences all[0..n) of one kind; `peaks` is scratch for one ratio per swing. */
static swt_persistence sum_up(const occurrence *all, size_t n, double *peaks)
{
    swt_persistence out = {.measure = all[0].measure,
                           .direction = all[0].direction,
                           .phase = all[0].phase,
                           .earliest_start_s = nan("")};

    for (size_t i = 0; i < n; i++) {
        if (i == 0 || all[i].swing != all[i - 1].swing)
            peaks[out.n_departing++] = all[i].ratio;
        if (!(out.earliest_start_s <= all[i].start_s) && isfinite(all[i].start_s))
            out.earliest_start_s = all[i].start_s;
        out.stands_in_family = out.stands_in_family || all[i].stands;
    }
    swt_sort(peaks, out.n_departing);
    out.median_peak_ratio = (peaks[(out.n_departing - 1) / 2] + peaks[out.n_departing / 2]) / 2;
    return out;
}

swt_status swt_departure_persistence(swt_persistence **list, size_t *n,
                                     const swt_departure *const *chains, const size_t *n_departures,
                                     size_t n_swings, const size_t *compared, size_t n_measures,
                                     swt_error *err)
{
    size_t total = 0, filled = 0;
    occurrence *all = NULL;
    double *peaks = NULL;
    swt_status rc = SWT_OK;

    *list = NULL;
    *n = 0;
    for (size_t s = 0; s < n_swings; s++)
        total += n_departures[s];
    if (total == 0)
        return SWT_OK;
    all = calloc(total, sizeof *all);
    peaks = swt_doubles(total, 1);
    *list = calloc(total, sizeof **list);
    if (!all || !peaks || !*list) {
        rc = swt_fail(err, SWT_ENOMEM, "no memory for %zu departures", total);
        goto done;
    }
    for (size_t s = 0; s < n_swings; s++)
        for (size_t i = 0; i < n_departures[s]; i++) {
            const swt_departure *d = &chains[s][i];
            if (d->measure >= n_measures) {
                rc = swt_fail(err, SWT_EARG, "departure of measure %zu among %zu measures",
                              d->measure, n_measures);
                goto done;
            }
            all[filled++] = (occurrence){d->measure,    s,          d->direction,       d->phase,
                                         d->peak_ratio, d->start_s, d->stands_in_family};
        }
    qsort(all, total, sizeof *all, compare_occurrence);
    for (size_t i = 0, next; i < total; i = next) {
        next = i + 1;
        while (next < total && same_kind(&all[i], &all[next]))
            next++;
        (*list)[*n] = sum_up(&all[i], next - i, peaks);
        (*list)[*n].n_swings = compared ? compared[all[i].measure] : n_swings;
        ++*n;
    }
    qsort(*list, *n, sizeof **list, compare_persistence);
done:
    free(all);
    free(peaks);
    if (rc != SWT_OK) {
        free(*list);
        *list = NULL;
        *n = 0;
    }
    return rc;
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

static void count_together(swt_trace_link *link, const double *x, int side_x, const double *y,
                           int side_y, size_t n_swings)
{
    size_t seen = 0, later = 0;

    for (size_t s = 0; s < n_swings; s++) {
        bool far_x = side_x * x[s] > 1, far_y = side_y * y[s] > 1;
        if (!isfinite(x[s]) || !isfinite(y[s]))
            continue;
        seen++;
        later += far_y;
        link->n_earlier += far_x;
        link->n_both += far_x && far_y;
    }
    link->base_rate = seen > 0 ? (double)later / (double)seen : nan("");
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
        count_together(link, x, list[i].direction, y, list[of].direction, n_swings);
        ++*n;
    }
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
