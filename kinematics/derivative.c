#include "kinematics/derivative.h"

#include <math.h>
#include <stdbool.h>

/* Row = place of the sample in its stencil; second half of each table mirrors the first. */
static const double first_5[5][5] = {{-25 / 12., 4, -3, 4 / 3., -1 / 4.},
                                     {-1 / 4., -5 / 6., 3 / 2., -1 / 2., 1 / 12.},
                                     {1 / 12., -2 / 3., 0, 2 / 3., -1 / 12.},
                                     {-1 / 12., 1 / 2., -3 / 2., 5 / 6., 1 / 4.},
                                     {1 / 4., -4 / 3., 3, -4, 25 / 12.}};
static const double first_4[4][5] = {{-11 / 6., 3, -3 / 2., 1 / 3.},
                                     {-1 / 3., -1 / 2., 1, -1 / 6.},
                                     {1 / 6., -1, 1 / 2., 1 / 3.},
                                     {-1 / 3., 3 / 2., -3, 11 / 6.}};
static const double first_3[3][5] = {{-1.5, 2, -0.5}, {-0.5, 0, 0.5}, {0.5, -2, 1.5}};
static const double first_2[2][5] = {{-1, 1}, {-1, 1}};

typedef const double (*stencil)[5];

/** Sample i of a run, by the widest stencil that fits. */
static double slope_at(const double *x, swt_run run, size_t i)
{
    static const stencil tables[6] = {NULL, NULL, first_2, first_3, first_4, first_5};
    size_t length = run.end - run.begin, width = length < 5 ? length : 5, half = width / 2;
    size_t left = i - run.begin < half ? run.begin : i - half;
    const double *w;
    double sum = 0;

    if (left + width > run.end)
        left = run.end - width;
    w = tables[width][i - left];
    for (size_t k = 0; k < width; k++)
        sum += w[k] * x[left + k];
    return sum;
}

/** Samples that have two neighbours on each side. */
static void inner_slopes(double *restrict out, const double *restrict x, size_t from, size_t to)
{
    const double *w = first_5[2];

    for (size_t i = from; i < to; i++)
        out[i] =
            w[0] * x[i - 2] + w[1] * x[i - 1] + w[2] * x[i] + w[3] * x[i + 1] + w[4] * x[i + 2];
}

void swt_derivative_first(double *out, const double *x, size_t n, size_t split, double rate_hz)
{
    swt_run run = {0, 0};

    for (size_t i = 0; i < n; i++)
        out[i] = nan("");
    while (swt_run_next(&run, x, n, split)) {
        bool wide = run.end - run.begin >= 5;
        size_t from = wide ? run.begin + 2 : run.end, to = wide ? run.end - 2 : run.end;
        if (run.end - run.begin < 2)
            continue;
        for (size_t i = run.begin; i < from; i++)
            out[i] = slope_at(x, run, i);
        inner_slopes(out, x, from, to);
        for (size_t i = to; i < run.end; i++)
            out[i] = slope_at(x, run, i);
        for (size_t i = run.begin; i < run.end; i++)
            out[i] *= rate_hz;
    }
}

/** Integral over the interval i .. i+1 of one side of the split, in sample intervals. */
static double interval(const double *x, swt_run side, size_t i)
{
    size_t length = side.end - side.begin;

    if (length >= 4 && i > side.begin && i + 2 < side.end)
        return (-x[i - 1] + 13 * x[i] + 13 * x[i + 1] - x[i + 2]) / 24;
    if (length >= 4 && i == side.begin)
        return (9 * x[i] + 19 * x[i + 1] - 5 * x[i + 2] + x[i + 3]) / 24;
    if (length >= 4)
        return (x[i - 2] - 5 * x[i - 1] + 19 * x[i] + 9 * x[i + 1]) / 24;
    if (length == 3 && i == side.begin)
        return (5 * x[i] + 8 * x[i + 1] - x[i + 2]) / 12;
    if (length == 3)
        return (-x[i - 1] + 8 * x[i] + 5 * x[i + 1]) / 12;
    return (x[i] + x[i + 1]) / 2;
}

void swt_integral_from(double *out, const double *x, size_t n, size_t split, size_t start,
                       double rate_hz)
{
    swt_run whole = swt_run_around(x, n, SWT_NO_SPLIT, start), before = whole, after = whole;
    double dt = 1 / rate_hz;

    for (size_t i = 0; i < n; i++)
        out[i] = nan("");
    if (whole.begin == whole.end)
        return;
    if (split > whole.begin && split < whole.end) {
        before.end = split;
        after.begin = split;
    }
    out[start] = 0;
    for (size_t i = start; i + 1 < whole.end; i++) {
        double area = i + 1 == split ? (x[i] + x[i + 1]) / 2
                                     : interval(x, i < before.end ? before : after, i);
        out[i + 1] = out[i] + area * dt;
    }
    for (size_t i = start; i > whole.begin; i--) {
        double area = i == split ? (x[i - 1] + x[i]) / 2
                                 : interval(x, i - 1 < before.end ? before : after, i - 1);
        out[i - 1] = out[i] - area * dt;
    }
}
