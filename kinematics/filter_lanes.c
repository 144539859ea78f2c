#include "kinematics/filter_lanes.h"

#include "base/wide.h"

#include <math.h>
#include <stddef.h>

enum { QUADS = SWT_LANES / 4, BEFORE = 2 /* rows of room before those of a pass */ };

size_t swt_lanes_room(size_t n, size_t pad)
{
    return (BEFORE + n + 2 * pad) * SWT_LANES;
}

/**
 * Second difference at the end of a lane: of the least-squares cubic through its `m` last samples.
 * `end` is the end sample, `stride` leads away from it.
 */
static double end_bend(const double *end, ptrdiff_t stride, size_t m)
{
    double power[7] = {0}, a[4][5] = {{0}}, top = (double)(m - 1);

    for (size_t k = 0; k < m; k++) {
        double u = (double)k / top, up = 1, y = end[(ptrdiff_t)k * stride];
        for (int p = 0; p < 7; p++, up *= u) {
            power[p] += up;
            if (p < 4)
                a[p][4] += up * y;
        }
    }
    for (int i = 0; i < 4; i++)
        for (int j = 0; j < 4; j++)
            a[i][j] = power[i + j];
    for (int i = 0; i < 4; i++) /* normal equations: positive definite, no pivoting needed */
        for (int j = i + 1; j < 4; j++) {
            double factor = a[j][i] / a[i][i];
            for (int k = i; k < 5; k++)
                a[j][k] -= factor * a[i][k];
        }
    a[3][4] /= a[3][3];
    return 2 * (a[2][4] - a[2][3] * a[3][4]) / (a[2][2] * top * top);
}

/** Lengthens the lanes on both sides: reflection through the end, which is 0, plus curvature. */
SWT_WIDE_PART void extend(double *restrict row, const swt_lanes *restrict lane, size_t n,
                          size_t pad)
{
    double *middle = row + pad * SWT_LANES, *last = middle + (n - 1) * SWT_LANES;
    double bend[2][SWT_LANES];

    for (size_t l = 0; l < SWT_LANES; l++) {
        double half = ceil(lane->period[l] / 2);
        size_t m = half < (double)n ? (size_t)half : n;
        m = m > SWT_FILTER_END_SAMPLES ? m : SWT_FILTER_END_SAMPLES;
        bend[0][l] = end_bend(middle + l, SWT_LANES, m);
        bend[1][l] = end_bend(last + l, -SWT_LANES, m);
    }
    for (size_t k = 1; k <= pad; k++)
        for (size_t l = 0; l < SWT_LANES; l++) {
            /* k^2 for one period, then on along the tangent */
            double along = (double)k < lane->period[l] ? (double)k : lane->period[l];
            double square = along * (2 * (double)k - along);
            row[(pad - k) * SWT_LANES + l] = bend[0][l] * square - middle[k * SWT_LANES + l];
            last[k * SWT_LANES + l] = bend[1][l] * square - middle[(n - 1 - k) * SWT_LANES + l];
        }
}

/** Samples side by side, line removed, times `gain`. */
SWT_WIDE_PART void load(double *restrict middle, const swt_lanes *restrict lane, size_t n,
                        const double gain[SWT_LANES])
{
    for (size_t k = 0; k < n; k++)
        for (size_t l = 0; l < SWT_LANES; l++)
            middle[k * SWT_LANES + l] =
                gain[l] * (lane->in[l][k] - (lane->first[l] + lane->slope[l] * (double)k));
    for (size_t l = 0; l < SWT_LANES; l++)
        middle[l] = middle[(n - 1) * SWT_LANES + l] = 0; /* free of rounding */
}

/* The input comes scaled by b0 squared, so that each pass is left with numerator (1, 2, 1), which
 * is (1, 1) twice; for a constant u it then settles at u / b0. Each output waits for one product
 * and one difference of the last, no more. */

/** First pass, from a constant that is the first row. Each row becomes what the numerator of the
 *  pass back makes of it there, the last row taken for all that follow. BEFORE rows lie before. */
SWT_WIDE_PART void pass_forwards(double *restrict row, const swt_lanes *restrict lane,
                                 size_t n_rows)
{
    swt_quad_at *at = (swt_quad_at *)(row - BEFORE * SWT_LANES);
    const swt_quad_at *b0 = (const swt_quad_at *)lane->b0;
    swt_quad a1[QUADS], a2[QUADS], y1[QUADS], y2[QUADS], pair_in[QUADS], pair_out[QUADS];

    for (int q = 0; q < QUADS; q++) {
        swt_quad first = at[BEFORE * QUADS + q];
        a1[q] = ((const swt_quad_at *)lane->a1)[q];
        a2[q] = ((const swt_quad_at *)lane->a2)[q];
        at[q] = at[QUADS + q] = first;
        pair_in[q] = first + first;
        y1[q] = y2[q] = first / b0[q];
        pair_out[q] = y1[q] + y1[q];
    }
    for (size_t k = 0; k < n_rows; k++, at += QUADS)
        for (int q = 0; q < QUADS; q++) {
            swt_quad in = at[2 * QUADS + q] + at[QUADS + q];
            swt_quad y = ((in + pair_in[q]) - a2[q] * y2[q]) - a1[q] * y1[q];
            swt_quad out = y + y1[q];
            at[q] = out + pair_out[q];
            pair_in[q] = in;
            pair_out[q] = out;
            y2[q] = y1[q];
            y1[q] = y;
        }
    for (int q = 0; q < QUADS; q++) {
        at[q] = (y1[q] + y1[q]) + pair_out[q];
        at[QUADS + q] = 4 * y1[q];
    }
}

/** Half of the lanes on the way back. */
typedef struct backwards {
    swt_quad a1, a2, y1, y2;
} backwards;

/** From a constant behind the last row of the first pass, over the padding. */
SWT_WIDE_PART void begin_back(backwards z[QUADS], double *restrict row,
                              const swt_lanes *restrict lane, size_t n, size_t pad)
{
    const swt_quad_at *at = (const swt_quad_at *)(row + (n + 2 * pad) * SWT_LANES);
    const swt_quad_at *b0 = (const swt_quad_at *)lane->b0;

    for (int q = 0; q < QUADS; q++) {
        z[q].a1 = ((const swt_quad_at *)lane->a1)[q];
        z[q].a2 = ((const swt_quad_at *)lane->a2)[q];
        z[q].y1 = z[q].y2 = at[q - QUADS] / (4 * b0[q]);
    }
    for (size_t k = 0; k < pad; k++) {
        at -= QUADS;
        for (int q = 0; q < QUADS; q++) {
            swt_quad y = (at[q] - z[q].a2 * z[q].y2) - z[q].a1 * z[q].y1;
            z[q].y2 = z[q].y1;
            z[q].y1 = y;
        }
    }
}

SWT_WIDE static void filter(double *const out[SWT_LANES], const swt_lanes *lane, size_t n,
                            size_t pad, double *room)
{
    double *row = room + BEFORE * SWT_LANES, *middle = row + pad * SWT_LANES, gain[SWT_LANES];
    backwards z[QUADS];

    for (size_t l = 0; l < SWT_LANES; l++)
        gain[l] = lane->b0[l] * lane->b0[l];
    load(middle, lane, n, gain);
    extend(row, lane, n, pad);
    pass_forwards(row, lane, n + 2 * pad);
    begin_back(z, row, lane, n, pad);
    for (size_t k = n; k-- > 0;) {
        swt_quad_at *at = (swt_quad_at *)(middle + k * SWT_LANES);
        for (int q = 0; q < QUADS; q++) {
            swt_quad y = (at[q] - z[q].a2 * z[q].y2) - z[q].a1 * z[q].y1;
            z[q].y2 = z[q].y1;
            at[q] = z[q].y1 = y;
        }
        for (size_t l = 0; l < SWT_LANES; l++) /* the line put back */
            out[l][k] = middle[k * SWT_LANES + l] + (lane->first[l] + lane->slope[l] * (double)k);
    }
}

SWT_WIDE static void load_rows(double *rows, const swt_lanes *lane, size_t n)
{
    static const double as_they_are[SWT_LANES] = {1, 1, 1, 1, 1, 1, 1, 1};

    load(rows, lane, n, as_they_are);
}

SWT_WIDE static void residuals(double sum[SWT_LANES], const double *restrict rows,
                               const swt_lanes *restrict lane, size_t n, size_t pad,
                               double *restrict room)
{
    double *row = room + BEFORE * SWT_LANES, *middle = row + pad * SWT_LANES;
    const swt_quad_at *b0 = (const swt_quad_at *)lane->b0;
    backwards z[QUADS];
    swt_quad squares[QUADS];

    for (size_t k = 0; k < n; k++)
        for (int q = 0; q < QUADS; q++)
            ((swt_quad_at *)middle)[k * QUADS + (size_t)q] =
                b0[q] * b0[q] * ((const swt_quad_at *)rows)[k * QUADS + (size_t)q];
    extend(row, lane, n, pad);
    pass_forwards(row, lane, n + 2 * pad);
    begin_back(z, row, lane, n, pad);
    for (int q = 0; q < QUADS; q++)
        squares[q] = z[q].y1 - z[q].y1;
    for (size_t k = n; k-- > 0;)
        for (int q = 0; q < QUADS; q++) {
            swt_quad y =
                (((const swt_quad_at *)middle)[k * QUADS + (size_t)q] - z[q].a2 * z[q].y2) -
                z[q].a1 * z[q].y1;
            swt_quad taken = ((const swt_quad_at *)rows)[k * QUADS + (size_t)q] - y;
            z[q].y2 = z[q].y1;
            z[q].y1 = y;
            squares[q] += taken * taken;
        }
    for (int q = 0; q < QUADS; q++)
        ((swt_quad_at *)sum)[q] = squares[q];
}

void swt_lanes_filter(double *const out[SWT_LANES], const swt_lanes *lane, size_t n, size_t pad,
                      double *room)
{
    filter(out, lane, n, pad, room);
}

void swt_lanes_load(double *rows, const swt_lanes *lane, size_t n)
{
    load_rows(rows, lane, n);
}

void swt_lanes_residuals(double sum[SWT_LANES], const double *rows, const swt_lanes *lane, size_t n,
                         size_t pad, double *room)
{
    residuals(sum, rows, lane, n, pad, room);
}
