#include "kinematics/derivative.h"

#include <math.h>

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

static const double second_5[5][5] = {{35 / 12., -26 / 3., 19 / 2., -14 / 3., 11 / 12.},
                                      {11 / 12., -5 / 3., 1 / 2., 1 / 3., -1 / 12.},
                                      {-1 / 12., 4 / 3., -5 / 2., 4 / 3., -1 / 12.},
                                      {-1 / 12., 1 / 3., 1 / 2., -5 / 3., 11 / 12.},
                                      {11 / 12., -14 / 3., 19 / 2., -26 / 3., 35 / 12.}};
static const double second_4[4][5] = {{2, -5, 4, -1}, {1, -2, 1, 0}, {0, 1, -2, 1}, {-1, 4, -5, 2}};
static const double second_3[3][5] = {{1, -2, 1}, {1, -2, 1}, {1, -2, 1}};

typedef const double (*stencil)[5];

/** Applies the widest stencil that fits each run; `tables[k]` serves k samples, NULL = none. */
static void differentiate(double *out, const double *x, size_t n, size_t split, double scale,
                          const stencil tables[6])
{
    swt_run run = {0, 0};

    for (size_t i = 0; i < n; i++)
        out[i] = nan("");
    while (swt_run_next(&run, x, n, split)) {
        size_t length = run.end - run.begin, width = length < 5 ? length : 5;
        if (!tables[width])
            continue;
        for (size_t i = run.begin; i < run.end; i++) {
            size_t half = width / 2, left = i - run.begin < half ? run.begin : i - half;
            const double *w;
            double sum = 0;

            if (left + width > run.end)
                left = run.end - width;
            w = tables[width][i - left];
            for (size_t k = 0; k < width; k++)
                sum += w[k] * x[left + k];
            out[i] = sum * scale;
        }
    }
}

void swt_derivative_first(double *out, const double *x, size_t n, size_t split, double rate_hz)
{
    static const stencil tables[6] = {NULL, NULL, first_2, first_3, first_4, first_5};

    differentiate(out, x, n, split, rate_hz, tables);
}

void swt_derivative_second(double *out, const double *x, size_t n, size_t split, double rate_hz)
{
    static const stencil tables[6] = {NULL, NULL, NULL, second_3, second_4, second_5};

    differentiate(out, x, n, split, rate_hz * rate_hz, tables);
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
