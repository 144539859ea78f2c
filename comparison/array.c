#include "comparison/array.h"

#include <gsl/gsl_sort.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

void swt_sort(double *x, size_t n)
{
    gsl_sort(x, 1, n);
}

double *swt_doubles(size_t n, size_t m)
{
    if (m > 0 && n > SIZE_MAX / sizeof(double) / m)
        return NULL;
    return calloc(n * m > 0 ? n * m : 1, sizeof(double));
}

void swt_fill_nan(double *x, size_t n)
{
    for (size_t i = 0; i < n; i++)
        x[i] = nan("");
}

double swt_rank_quantile(const double *sorted, size_t n, double p)
{
    double rank = ceil(p * ((double)n + 1) - 1e-9);

    if (n == 0)
        return nan("");
    if (rank < 1)
        rank = 1;
    return rank > (double)n ? sorted[n - 1] : sorted[(size_t)rank - 1];
}

double swt_correlation(size_t *pairs, const double *x, const double *y, size_t n)
{
    double mx = 0, my = 0, sxx = 0, syy = 0, sxy = 0;
    size_t k = 0;

    for (size_t i = 0; i < n; i++)
        if (isfinite(x[i]) && isfinite(y[i])) {
            mx += x[i];
            my += y[i];
            k++;
        }
    *pairs = k;
    if (k < 2)
        return nan("");
    mx /= (double)k;
    my /= (double)k;
    for (size_t i = 0; i < n; i++)
        if (isfinite(x[i]) && isfinite(y[i])) {
            sxx += (x[i] - mx) * (x[i] - mx);
            syy += (y[i] - my) * (y[i] - my);
            sxy += (x[i] - mx) * (y[i] - my);
        }
    return sxx > 0 && syy > 0 ? sxy / sqrt(sxx * syy) : nan("");
}

static int compare_int(const void *a, const void *b)
{
    int x = *(const int *)a, y = *(const int *)b;
    return (x > y) - (x < y);
}

swt_status swt_player_index(size_t **index, size_t *n_players, const int *player, size_t n_swings,
                            swt_error *err)
{
    size_t unique = 0;
    int *code = malloc((n_swings > 0 ? n_swings : 1) * sizeof *code);

    *n_players = 0;
    *index = malloc((n_swings > 0 ? n_swings : 1) * sizeof **index);
    if (!code || !*index) {
        free(code);
        free(*index);
        *index = NULL;
        return swt_fail(err, SWT_ENOMEM, "no memory to number the players of %zu swings", n_swings);
    }
    for (size_t i = 0; i < n_swings; i++)
        code[i] = player[i];
    qsort(code, n_swings, sizeof *code, compare_int);
    for (size_t i = 0; i < n_swings; i++)
        if (i == 0 || code[i] != code[unique - 1])
            code[unique++] = code[i];
    for (size_t i = 0; i < n_swings; i++) {
        const int *found = bsearch(&player[i], code, unique, sizeof *code, compare_int);
        (*index)[i] = (size_t)(found - code);
    }
    *n_players = unique;
    free(code);
    return SWT_OK;
}
