#include "comparison/group_median.h"

#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

typedef struct row_of {
    int player;
    size_t row;
} row_of;

static int by_player(const void *left, const void *right)
{
    const row_of *a = left, *b = right;

    if (a->player != b->player)
        return a->player < b->player ? -1 : 1;
    return (a->row > b->row) - (a->row < b->row);
}

/* Median of n values, which are put in order. */
static double median_of(double *value, size_t n)
{
    gsl_sort(value, 1, n);
    return n ? gsl_stats_median_from_sorted_data(value, 1, n) : nan("");
}

/* The medians of those players that have a value in a column; returns how many. `of`: scratch. */
static size_t medians_of_players(double *median, double *of, const double *values, size_t column,
                                 const row_of *order, size_t n_rows, size_t n_columns)
{
    size_t n = 0, n_of = 0;

    for (size_t i = 0; i < n_rows; i++) {
        double value = values[order[i].row * n_columns + column];
        if (isfinite(value))
            of[n_of++] = value;
        if (i + 1 == n_rows || order[i + 1].player != order[i].player) {
            if (n_of > 0)
                median[n++] = median_of(of, n_of);
            n_of = 0;
        }
    }
    return n;
}

/* Players with any value at all. */
static size_t count_players(const double *values, const row_of *order, size_t n_rows,
                            size_t n_columns)
{
    size_t n = 0;
    bool any = false;

    for (size_t i = 0; i < n_rows; i++) {
        for (size_t c = 0; c < n_columns && !any; c++)
            any = isfinite(values[order[i].row * n_columns + c]) != 0;
        if (i + 1 == n_rows || order[i + 1].player != order[i].player) {
            n += any;
            any = false;
        }
    }
    return n;
}

/* Rows by player. NULL: no memory. */
static row_of *rows_by_player(const int *player, size_t n_rows)
{
    row_of *order = calloc(n_rows + 1, sizeof *order);

    for (size_t i = 0; order && i < n_rows; i++)
        order[i] = (row_of){player[i], i};
    if (order)
        qsort(order, n_rows, sizeof *order, by_player);
    return order;
}

swt_status swt_group_median(double *out, const double *values, const int *player, size_t n_rows,
                            size_t n_columns, swt_error *err)
{
    row_of *order = rows_by_player(player, n_rows);
    double *median = calloc(n_rows + 1, sizeof *median), *of = calloc(n_rows + 1, sizeof *of);
    size_t n_able;
    swt_status rc = SWT_OK;

    if (!order || !median || !of) {
        rc = swt_fail(err, SWT_ENOMEM, "no memory for the medians of %zu swings", n_rows);
        goto done;
    }
    n_able = count_players(values, order, n_rows, n_columns);
    for (size_t c = 0; c < n_columns; c++) {
        size_t n = medians_of_players(median, of, values, c, order, n_rows, n_columns);
        out[c] = n > 0 && 2 * n >= n_able ? median_of(median, n) : nan("");
    }
done:
    free(order);
    free(median);
    free(of);
    return rc;
}

swt_status swt_group_spread(double *least, double *middle, double *greatest, const double *value,
                            const int *player, size_t n_rows, swt_error *err)
{
    row_of *order = rows_by_player(player, n_rows);
    double *median = calloc(2 * n_rows + 1, sizeof *median);
    swt_status rc = SWT_OK;

    *least = *middle = *greatest = nan("");
    if (order && median) {
        size_t n = medians_of_players(median, median + n_rows, value, 0, order, n_rows, 1);
        *middle = median_of(median, n); /* puts them in order */
        if (n > 0) {
            *least = median[0];
            *greatest = median[n - 1];
        }
    } else {
        rc = swt_fail(err, SWT_ENOMEM, "no memory for the medians of %zu swings", n_rows);
    }
    free(order);
    free(median);
    return rc;
}

swt_status swt_group_mean(double *mean, const double *value, const int *player, size_t n_rows,
                          swt_error *err)
{
    row_of *order = rows_by_player(player, n_rows);
    double total = 0, players = 0, sum = 0, n = 0;

    *mean = nan("");
    if (!order)
        return swt_fail(err, SWT_ENOMEM, "no memory for the mean of %zu swings", n_rows);
    for (size_t i = 0; i < n_rows; i++) {
        double x = value[order[i].row];
        sum += isfinite(x) ? x : 0;
        n += isfinite(x) ? 1 : 0;
        if (i + 1 < n_rows && order[i + 1].player == order[i].player)
            continue;
        total += n > 0 ? sum / n : 0;
        players += n > 0 ? 1 : 0;
        sum = n = 0;
    }
    if (players > 0)
        *mean = total / players;
    free(order);
    return SWT_OK;
}
