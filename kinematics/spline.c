#include "kinematics/spline.h"

#include <math.h>
#include <stdlib.h>

/* Time runs in sample intervals here: with unit spacing the second derivatives c of the curve at
 * its n - 2 inner samples solve B c = Q^T x, B = R + s Q^T Q, where R is tridiagonal (1, 4, 1) / 6,
 * Q^T takes second differences, and g = x - s Q c. */

/** Factors of B = L D L^T and the solution; arrays of n values, m = n - 2 of them used. */
typedef struct solver {
    double *d, *e, *f; /**< diagonal of D; first and second subdiagonal of L */
    double *c;
} solver;

static solver solver_over(double *scratch, size_t n)
{
    return (solver){scratch, scratch + n, scratch + 2 * n, scratch + 3 * n};
}

static void factor(solver *v, size_t m, double s)
{
    const double b0 = 2 / 3. + 6 * s, b1 = 1 / 6. - 4 * s, b2 = s;

    for (size_t i = 0; i < m; i++) {
        double d = b0, e = b1;
        if (i >= 1) {
            d -= v->e[i - 1] * v->e[i - 1] * v->d[i - 1];
            e -= v->e[i - 1] * v->f[i - 1] * v->d[i - 1];
        }
        if (i >= 2)
            d -= v->f[i - 2] * v->f[i - 2] * v->d[i - 2];
        v->d[i] = d;
        v->e[i] = i + 1 < m ? e / d : 0;
        v->f[i] = i + 2 < m ? b2 / d : 0;
    }
}

/** c = B^-1 Q^T x */
static void solve(solver *v, const double *x, size_t m)
{
    for (size_t i = 0; i < m; i++) {
        v->c[i] = x[i] - 2 * x[i + 1] + x[i + 2];
        if (i >= 1)
            v->c[i] -= v->e[i - 1] * v->c[i - 1];
        if (i >= 2)
            v->c[i] -= v->f[i - 2] * v->c[i - 2];
    }
    for (size_t i = m; i-- > 0;) {
        v->c[i] /= v->d[i];
        if (i + 1 < m)
            v->c[i] -= v->e[i] * v->c[i + 1];
        if (i + 2 < m)
            v->c[i] -= v->f[i] * v->c[i + 2];
    }
}

/** Second derivative of the curve at sample i of n (0 at the ends). */
static double bend(const solver *v, size_t n, size_t i)
{
    return i == 0 || i + 1 >= n ? 0 : v->c[i - 1];
}

/** (Q c) at sample i. */
static double spread(const solver *v, size_t n, size_t i)
{
    return (i > 0 ? bend(v, n, i - 1) : 0) - 2 * bend(v, n, i) + bend(v, n, i + 1);
}

/** tr(B^-1 Q^T Q) from the central bands of the inverse, bottom up (Hutchinson & de Hoog 1985). */
static double inverse_trace(const solver *v, size_t m)
{
    double diagonal_1 = 0, diagonal_2 = 0; /* inverse at i+1, i+2 */
    double beside_1 = 0;                   /* inverse at (i+1, i+2) */
    double trace = 0;

    for (size_t i = m; i-- > 0;) {
        double beside_2 = -v->e[i] * beside_1 - v->f[i] * diagonal_2; /* (i, i+2) */
        double beside = -v->e[i] * diagonal_1 - v->f[i] * beside_1;   /* (i, i+1) */
        double diagonal = 1 / v->d[i] - v->e[i] * beside - v->f[i] * beside_2;
        trace += 6 * diagonal - 8 * beside + 2 * beside_2;
        diagonal_2 = diagonal_1;
        diagonal_1 = diagonal;
        beside_1 = beside;
    }
    return trace;
}

/** Writes one run; s = smoothing in sample intervals. `out` may be `x`. */
static void smooth_run(double *out, double *first, double *second, const double *x, size_t n,
                       double rate_hz, double s, double *scratch)
{
    solver v = solver_over(scratch, n);

    factor(&v, n - 2, s);
    solve(&v, x, n - 2);
    for (size_t i = 0; i < n; i++)
        out[i] = x[i] - s * spread(&v, n, i);
    for (size_t i = 0; first && i < n; i++)
        first[i] =
            rate_hz * (i + 1 < n
                           ? out[i + 1] - out[i] - (2 * bend(&v, n, i) + bend(&v, n, i + 1)) / 6
                           : out[i] - out[i - 1] + (bend(&v, n, i - 1) + 2 * bend(&v, n, i)) / 6);
    for (size_t i = 0; second && i < n; i++)
        second[i] = rate_hz * rate_hz * bend(&v, n, i);
}

static void blank(double *x, size_t begin, size_t end)
{
    for (size_t i = begin; x && i < end; i++)
        x[i] = nan("");
}

swt_status swt_spline_smooth(double *out, double *first, double *second, const double *x, size_t n,
                             size_t split, double rate_hz, double smoothing, swt_error *err)
{
    double *scratch;
    swt_run run = {0, 0};
    size_t done = 0;

    if (!(rate_hz > 0) || !(smoothing >= 0) || !isfinite(rate_hz) || !isfinite(smoothing))
        return swt_fail(err, SWT_EARG,
                        "spline: rate %g Hz, smoothing %g s^3; expected a positive rate and a "
                        "smoothing that is not negative",
                        rate_hz, smoothing);
    scratch = malloc((4 * n + 1) * sizeof *scratch);
    if (!scratch)
        return swt_fail(err, SWT_ENOMEM, "spline: out of memory for %zu samples", n);
    while (swt_run_next(&run, x, n, split)) {
        if (run.end - run.begin < SWT_SPLINE_MIN_RUN)
            continue;
        blank(out, done, run.begin);
        blank(first, done, run.begin);
        blank(second, done, run.begin);
        smooth_run(out + run.begin, first ? first + run.begin : NULL,
                   second ? second + run.begin : NULL, x + run.begin, run.end - run.begin, rate_hz,
                   smoothing * pow(rate_hz, 3), scratch);
        done = run.end;
    }
    blank(out, done, n);
    blank(first, done, n);
    blank(second, done, n);
    free(scratch);
    return SWT_OK;
}

/** One series under examination. */
typedef struct trial {
    const double *x;
    size_t n, split, used;
    double *scratch;
    double rss, trace; /**< of the last score: residual sum of squares, tr(I - H) */
} trial;

static double score_of(trial *t, double log_s)
{
    double s = pow(10, log_s);
    swt_run run = {0, 0};

    t->rss = t->trace = 0;
    t->used = 0;
    while (swt_run_next(&run, t->x, t->n, t->split)) {
        size_t n = run.end - run.begin;
        solver v = solver_over(t->scratch, n);
        if (n < SWT_SPLINE_MIN_RUN)
            continue;
        factor(&v, n - 2, s);
        solve(&v, t->x + run.begin, n - 2);
        for (size_t i = 0; i < n; i++)
            t->rss += pow(s * spread(&v, n, i), 2);
        t->trace += s * inverse_trace(&v, n - 2);
        t->used += n;
    }
    return t->rss * (double)t->used / (t->trace * t->trace);
}

/** Golden-section search for the least score between low and high. */
static double least_between(trial *t, double low, double high)
{
    const double golden = (sqrt(5.0) - 1) / 2;
    double a = high - golden * (high - low), b = low + golden * (high - low);
    double at_a = score_of(t, a), at_b = score_of(t, b);

    while (high - low > 1e-7) {
        if (at_a <= at_b) {
            high = b;
            b = a;
            at_b = at_a;
            a = high - golden * (high - low);
            at_a = score_of(t, a);
        } else {
            low = a;
            a = b;
            at_a = at_b;
            b = low + golden * (high - low);
            at_b = score_of(t, b);
        }
    }
    return 0.5 * (low + high);
}

swt_status swt_spline_gcv(double *smoothing, double *score, double *noise_sd, const double *x,
                          size_t n, size_t split, double rate_hz, swt_error *err)
{
    /* Half gain at 1.6 and 0.0028 of the rate; steps small enough not to miss a valley. */
    const double low = -4, high = 7, step = 0.5;
    trial t = {.x = x, .n = n, .split = split};
    double best = low, least = HUGE_VAL, at;

    if (!(rate_hz > 0) || !isfinite(rate_hz))
        return swt_fail(err, SWT_EARG, "spline: the rate is %g Hz; expected a positive number",
                        rate_hz);
    t.scratch = malloc((4 * n + 1) * sizeof *t.scratch);
    if (!t.scratch)
        return swt_fail(err, SWT_ENOMEM, "spline: out of memory for %zu samples", n);
    score_of(&t, low);
    if (t.used == 0) {
        free(t.scratch);
        return swt_fail(err, SWT_EDATA, "spline: no run of %d finite samples", SWT_SPLINE_MIN_RUN);
    }
    for (at = low; at <= high; at += step) {
        double now = score_of(&t, at);
        if (now < least) {
            least = now;
            best = at;
        }
    }
    best = least_between(&t, fmax(low, best - step), fmin(high, best + step));
    least = score_of(&t, best);
    *smoothing = pow(10, best) / pow(rate_hz, 3);
    if (score)
        *score = least;
    if (noise_sd)
        *noise_sd = sqrt(t.rss / t.trace);
    free(t.scratch);
    return SWT_OK;
}
