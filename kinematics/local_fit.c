#include "kinematics/local_fit.h"

#include <math.h>

/* Values of the orthogonal polynomials, and of their derivatives, at t (counted from the middle).
 * p[k+1] = (t - shift[k]) p[k] - square[k]/square[k-1] p[k-1], differentiated term by term. */
static void basis(double p[4][SWT_FIT_DEGREE + 1], const swt_local_fit *fit, double t)
{
    for (int d = 0; d < 4; d++)
        p[d][0] = d == 0 ? 1 : 0;
    for (size_t k = 0; k < fit->degree; k++) {
        double back = k > 0 ? fit->square[k] / fit->square[k - 1] : 0;
        for (int d = 0; d < 4; d++)
            p[d][k + 1] = (t - fit->shift[k]) * p[d][k] + (d > 0 ? d * p[d - 1][k] : 0) -
                          (k > 0 ? back * p[d][k - 1] : 0);
    }
}

void swt_local_fit_make(swt_local_fit *fit, const double *x, size_t from, size_t count,
                        size_t degree)
{
    fit->degree = 0;
    fit->middle = (double)from + 0.5 * (double)(count - 1);
    for (size_t k = 0; k <= degree; k++) {
        double square = 0, moment = 0, product = 0;
        fit->degree = k; /* the basis up to k is known by now */
        for (size_t i = 0; i < count; i++) {
            double t = (double)(from + i) - fit->middle, p[4][SWT_FIT_DEGREE + 1];
            basis(p, fit, t);
            square += p[0][k] * p[0][k];
            moment += t * p[0][k] * p[0][k];
            product += x[from + i] * p[0][k];
        }
        fit->square[k] = square;
        fit->shift[k] = moment / square;
        fit->coefficient[k] = product / square;
    }
}

void swt_local_fit_at(double value[4], const swt_local_fit *fit, double frame)
{
    double p[4][SWT_FIT_DEGREE + 1];

    basis(p, fit, frame - fit->middle);
    for (int d = 0; d < 4; d++) {
        value[d] = 0;
        for (size_t k = 0; k <= fit->degree; k++)
            value[d] += fit->coefficient[k] * p[d][k];
    }
}

double swt_local_fit_slope_variance(const swt_local_fit *fit, double frame)
{
    double p[4][SWT_FIT_DEGREE + 1], sum = 0;

    basis(p, fit, frame - fit->middle);
    for (size_t k = 0; k <= fit->degree; k++)
        sum += p[1][k] * p[1][k] / fit->square[k];
    return sum;
}

enum { CHANNELS = 3 };

/* Least speed of the fitted path within `reach` of *frame; `bend` is its second derivative there,
 * of half the squared speed, `pull` the size of the acceleration. */
static bool least_speed(double *frame, double *bend, double *pull,
                        const swt_local_fit fit[CHANNELS], size_t channels, double reach)
{
    double t = *frame;

    for (int step = 0; step < 30; step++) {
        double slope = 0, curve = 0, force = 0, move;
        for (size_t c = 0; c < channels; c++) {
            double v[4];
            swt_local_fit_at(v, &fit[c], t);
            slope += v[1] * v[2];
            curve += v[2] * v[2] + v[1] * v[3];
            force += v[2] * v[2];
        }
        if (!(curve > 0))
            return false;
        move = -slope / curve;
        t += fmax(-0.5 * reach, fmin(0.5 * reach, move));
        if (!(fabs(t - *frame) <= reach))
            return false;
        *bend = curve;
        *pull = sqrt(force);
        if (fabs(move) < 1e-9) {
            *frame = t;
            return true;
        }
    }
    return false;
}

/* Widest stretch of frames within `half` of `frame` that is of one run in every channel. */
static size_t window(size_t *from, const double *const *x, size_t channels, size_t n, size_t split,
                     double frame, double half)
{
    size_t middle = (size_t)lround(frame), first, last;
    swt_run run = {0, n};

    if (!(frame >= 0) || middle >= n)
        return 0;
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

/* Own choices. Intervals of 0.6 SD, since bias counts like noise: over drawn swings with 0.5 mm of
 * noise at 240 Hz the 95th percentile of the hands' and the club's top is least near it. */
static const double interval_sds = 0.6, growth = 1.25;

bool swt_turning_point(double *frame, const double *const *x, size_t channels, size_t n,
                       size_t split, double noise, double longest)
{
    double low = -HUGE_VAL, high = HUGE_VAL, at = *frame;
    bool found = false;

    for (double half = 2.5; half <= longest || half == 2.5; half *= growth) {
        swt_local_fit fit[CHANNELS];
        double t = at, bend, pull, sd;
        size_t from, count = window(&from, x, channels, n, split, at, half);
        if (count < 5)
            continue;
        for (size_t c = 0; c < channels; c++)
            swt_local_fit_make(&fit[c], x[c], from, count, 3);
        if (!least_speed(&t, &bend, &pull, fit, channels, half))
            continue;
        sd = noise * sqrt(swt_local_fit_slope_variance(&fit[0], t)) * pull / bend;
        if (t - interval_sds * sd > high || t + interval_sds * sd < low)
            break;
        low = fmax(low, t - interval_sds * sd);
        high = fmin(high, t + interval_sds * sd);
        at = t;
        found = true;
    }
    if (found)
        *frame = at;
    return found;
}
