#include "comparison/corridor.h"

#include "comparison/array.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

void swt_corridor_free(swt_corridor *c)
{
    if (!c)
        return;
    free(c->centre);
    free(c->lower);
    free(c->upper);
    free(c->sd_total);
    free(c->sd_between);
    free(c->sd_within);
    free(c->n_players_at);
    free(c->resampled_ratio);
    free(c);
}

double swt_corridor_ratio(const swt_corridor *c, size_t sample, double value)
{
    double centre = c->centre[sample], edge;

    if (!isfinite(value) || !isfinite(centre))
        return nan("");
    edge = value >= centre ? c->upper[sample] : c->lower[sample];
    if (!isfinite(edge) || value == centre)
        return 0;
    return (value - centre) / fabs(edge - centre);
}

static bool same_experiment(const swt_corridor *a, const swt_corridor *b)
{
    return a->n_swings_given == b->n_swings_given && a->options.seed == b->options.seed &&
           a->options.n_resamples == b->options.n_resamples;
}

swt_status swt_corridor_family_factor(double *factor, double *false_alone,
                                      const swt_corridor *const *corridors, size_t n_corridors,
                                      double coverage, swt_error *err)
{
    const swt_corridor *first = NULL;
    double *largest = NULL;
    size_t outside = 0, n = 0;

    if (!(coverage > 0 && coverage < 1))
        return swt_fail(err, SWT_EARG, "coverage %g must lie between 0 and 1", coverage);
    for (size_t i = 0; i < n_corridors; i++) {
        const swt_corridor *c = corridors[i];
        if (!c || !c->resampled_ratio)
            continue;
        if (!first) {
            first = c;
            n = c->options.n_resamples;
            largest = swt_doubles(n, 1);
            if (!largest)
                return swt_fail(err, SWT_ENOMEM, "no memory for %zu resamples", n);
        }
        if (!same_experiment(first, c)) {
            free(largest);
            return swt_fail(err, SWT_EARG,
                            "corridor %zu of the family was built from other swings, another seed "
                            "or another number of resamples than the first",
                            i);
        }
        for (size_t r = 0; r < n; r++)
            largest[r] = fmax(largest[r], c->resampled_ratio[r]);
    }
    if (!first)
        return swt_fail(err, SWT_EARG, "no corridor of the family is usable");
    for (size_t r = 0; r < n; r++)
        outside += largest[r] > 1;
    swt_sort(largest, n);
    *factor = swt_rank_quantile(largest, n, coverage);
    if (false_alone)
        *false_alone = (double)outside / (double)n;
    free(largest);
    return SWT_OK;
}
