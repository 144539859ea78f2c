#include "kinematics/local_spline.h"

#include "base/vector.h"
#include "kinematics/derivative.h"
#include "kinematics/subframe.h"

#include <math.h>
#include <string.h>

enum { BAND = SWT_LOCAL_ORDER_MAX + 1 };

/* A stretch of samples, their differences z, and u = (D D' + I / smoothing)^-1 z. */
typedef struct stretch {
    size_t order, channels, n; /* samples; differences are fewer by `order` */
    double noise;
    double z[SWT_LOCAL_CHANNELS][SWT_LOCAL_SAMPLES], u[SWT_LOCAL_CHANNELS][SWT_LOCAL_SAMPLES];
} stretch;

/* The weights of a difference, and a row of D D' from its diagonal on: the weights of a difference
 * of twice the order. */
static const double difference[BAND][BAND] = {[3] = {-1, 3, -3, 1}, [4] = {1, -4, 6, -4, 1}};
static const double row_of_product[BAND][BAND] = {
    [3] = {20, -15, 6, -1}, [4] = {70, -56, 28, -8, 1}};

/* Solves for u by L D L' of the banded matrix, row by row; returns the logarithm of its
 * determinant. */
static double solve(stretch *s, double ridge)
{
    size_t order = s->order, n = s->n - order;
    const double *product = row_of_product[order];
    double lower[SWT_LOCAL_SAMPLES][BAND], diagonal[SWT_LOCAL_SAMPLES], determinant = 0;
    double part = 1; /* of the determinant: some pivots, far from what a double cannot hold */

    for (size_t i = 0; i < n; i++) {
        size_t reach = i < order ? i : order;
        for (size_t k = reach; k > 0; k--) { /* column i - k */
            double sum = product[k];
            for (size_t l = reach; l > k; l--)
                sum -= lower[i][l] * diagonal[i - l] * lower[i - k][l - k];
            lower[i][k] = sum / diagonal[i - k];
        }
        diagonal[i] = product[0] + ridge;
        for (size_t k = 1; k <= reach; k++)
            diagonal[i] -= lower[i][k] * lower[i][k] * diagonal[i - k];
        part *= diagonal[i];
        if (i % 8 == 7 || i + 1 == n) {
            determinant += log(part);
            part = 1;
        }
    }
    for (size_t c = 0; c < s->channels; c++) {
        double *u = s->u[c];
        for (size_t i = 0; i < n; i++) {
            u[i] = s->z[c][i];
            for (size_t k = 1; k <= order && k <= i; k++)
                u[i] -= lower[i][k] * u[i - k];
        }
        for (size_t i = n; i-- > 0;) {
            u[i] /= diagonal[i];
            for (size_t k = 1; k <= order && i + k < n; k++)
                u[i] -= lower[i + k][k] * u[i + k];
        }
    }
    return determinant;
}

/* Minus twice the logarithm of the likelihood at a frequency, in cycles a sample, at which the
 * smoothing halves a wave. */
static double deviance(stretch *s, double frequency)
{
    double ridge = pow(2 * sin(SWT_PI * frequency), 2 * (double)s->order), fit = 0;
    double determinant = solve(s, ridge);

    for (size_t c = 0; c < s->channels; c++)
        for (size_t i = 0; i < s->n - s->order; i++)
            fit += s->z[c][i] * s->u[c][i];
    return (double)s->channels * determinant + fit / (s->noise * s->noise);
}

/* The likeliest smoothing: half octaves from one half wave in the stretch to nearly the highest
 * frequency there is, then the parabola through the best and its neighbours. */
static void smooth_likeliest(stretch *s)
{
    enum { STEPS = 32 };
    const double ratio = sqrt(2.0), lowest = 0.5 / (double)s->n;
    double d[STEPS], bend, shift = 0;
    int n = 0, best = 0;

    for (double f = lowest; n < STEPS && f < 0.45; f *= ratio, n++) {
        d[n] = deviance(s, f);
        if (d[n] < d[best])
            best = n;
    }
    if (best > 0 && best + 1 < n) {
        bend = d[best - 1] - 2 * d[best] + d[best + 1];
        shift = bend > 0 ? 0.5 * (d[best - 1] - d[best + 1]) / bend : 0;
    }
    (void)deviance(s, lowest * pow(ratio, best + shift));
}

/* Widest stretch of frames within `half` of `frame` that is of one run in every channel. */
static size_t window(size_t *from, const double *const *x, size_t channels, size_t n, size_t split,
                     double frame, double half)
{
    size_t middle, first, last;
    swt_run run = {0, n};

    if (!(frame >= 0) || frame > (double)(n - 1))
        return 0;
    middle = (size_t)lround(frame);
    for (size_t c = 0; c < channels; c++) {
        swt_run r = swt_run_around(x[c], n, split, middle);
        run.begin = r.begin > run.begin ? r.begin : run.begin;
        run.end = r.end < run.end ? r.end : run.end;
    }
    first = frame - half > (double)run.begin ? (size_t)ceil(frame - half) : run.begin;
    last = frame + half < (double)run.end - 1 ? (size_t)(frame + half) : run.end - 1;
    *from = first;
    return run.end > run.begin && last >= first ? last - first + 1 : 0;
}

/* Means of `group` samples each. */
static void average(double *out, const double *x, size_t n, size_t group)
{
    for (size_t i = 0; i < n; i++) {
        out[i] = 0;
        for (size_t k = 0; k < group; k++)
            out[i] += x[i * group + k] / (double)group;
    }
}

bool swt_local_spline_fit(swt_local_spline *fit, size_t order, const double *const *x,
                          size_t channels, size_t n, size_t split, double frame, double half,
                          double noise)
{
    size_t from, count = n > 0 ? window(&from, x, channels, n, split, frame, half) : 0;
    size_t group;
    stretch s;

    if (count < 2 * order + 1)
        return false;
    group = 1 + (count - 1) / SWT_LOCAL_SAMPLES;
    s = (stretch){.order = order,
                  .channels = channels,
                  .n = count / group,
                  .noise = noise / sqrt((double)group)};
    fit->channels = channels;
    fit->n = s.n;
    fit->first = (double)from + 0.5 * (double)(group - 1);
    fit->step = (double)group;
    for (size_t c = 0; c < channels; c++) {
        average(fit->value[c], x[c] + from, s.n, group);
        memcpy(s.z[c], fit->value[c], s.n * sizeof *s.z[c]);
        for (size_t k = 1; k <= order; k++)
            for (size_t i = 0; i + k < s.n; i++)
                s.z[c][i] = s.z[c][i + 1] - s.z[c][i];
    }
    smooth_likeliest(&s);
    for (size_t c = 0; c < channels; c++) {
        for (size_t i = 0; i < s.n - order; i++)
            for (size_t k = 0; k <= order; k++)
                fit->value[c][i + k] -= difference[order][k] * s.u[c][i];
        swt_derivative_first(fit->slope[c], fit->value[c], s.n, SWT_NO_SPLIT, 1 / fit->step);
    }
    return true;
}

/* The crossing of zero nearest to *frame. */
static bool nearest_crossing(double *frame, const double *x, const swt_local_spline *fit,
                             swt_crossing direction, size_t from)
{
    double rough = (*frame - fit->first) / fit->step, best = HUGE_VAL, at;

    while (from + 1 < fit->n &&
           swt_subframe_crossing(&at, x, fit->n, SWT_NO_SPLIT, 0, direction, from, fit->n - 1)) {
        if (fabs(at - rough) < fabs(best - rough))
            best = at;
        from = (size_t)at + 1;
    }
    if (!isfinite(best))
        return false;
    *frame = fit->first + fit->step * best;
    return true;
}

/* Rate of change of half the squared speed. */
static void gain(double *out, const swt_local_spline *fit)
{
    double pull[SWT_LOCAL_SAMPLES];

    memset(out, 0, fit->n * sizeof *out);
    for (size_t c = 0; c < fit->channels; c++) {
        swt_derivative_first(pull, fit->slope[c], fit->n, SWT_NO_SPLIT, 1 / fit->step);
        for (size_t i = 0; i < fit->n; i++)
            out[i] += fit->slope[c][i] * pull[i];
    }
}

/* Once more from where the first look found it, so that the stretch is about the instant itself. */
enum { LOOKS = 2, TURNING_ORDER = 4 };

bool swt_turning_point(double *frame, const double *const *x, size_t channels, size_t n,
                       size_t split, double half, double noise)
{
    double at = *frame, gained[SWT_LOCAL_SAMPLES];
    swt_local_spline fit;

    for (int look = 0; look < LOOKS; look++) {
        const double *of = channels == 1 ? fit.slope[0] : gained;
        double up = at, down = at;
        bool rises, falls;
        if (!swt_local_spline_fit(&fit, TURNING_ORDER, x, channels, n, split, at, half, noise))
            return false;
        if (channels > 1)
            gain(gained, &fit);
        rises = nearest_crossing(&up, of, &fit, SWT_CROSSING_RISING, 0);
        falls = channels == 1 && nearest_crossing(&down, of, &fit, SWT_CROSSING_FALLING, 0);
        if (!rises && !falls)
            return false;
        at = rises && (!falls || fabs(up - at) <= fabs(down - at)) ? up : down;
    }
    *frame = at;
    return true;
}

bool swt_slowing_point(double *frame, const double *const *x, size_t channels, size_t n,
                       size_t split, double half, double noise, double level)
{
    double at = *frame, faster[SWT_LOCAL_SAMPLES];
    swt_local_spline fit;

    for (int look = 0; look < LOOKS; look++) {
        if (!swt_local_spline_fit(&fit, TURNING_ORDER, x, channels, n, split, at, half, noise))
            return false;
        for (size_t i = 0; i < fit.n; i++) {
            double squares = 0;
            for (size_t c = 0; c < channels; c++)
                squares += fit.slope[c][i] * fit.slope[c][i];
            faster[i] = sqrt(squares) - level;
        }
        if (!nearest_crossing(&at, faster, &fit, SWT_CROSSING_FALLING, 0))
            return false;
    }
    *frame = at;
    return true;
}
