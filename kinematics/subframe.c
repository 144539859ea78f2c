#include "kinematics/subframe.h"

#include "kinematics/local_fit.h"

#include <math.h>

/* Of modelled hands at impact, a cubic by least squares through five smoothed samples errs least at
 * 120 Hz, and no more than another at 240 and 500 Hz (three to six samples, degrees 2 to 4). */
enum { BEFORE_SAMPLES = 5, BEFORE_DEGREE = 3 };

/** Lagrange polynomial through x[left] .. x[left + width - 1] at `frame`. */
static double lagrange(const double *x, size_t left, size_t width, double frame)
{
    double u = frame - (double)left, sum = 0;

    for (size_t j = 0; j < width; j++) {
        double w = x[left + j];
        for (size_t k = 0; k < width; k++)
            if (k != j)
                w *= (u - (double)k) / ((double)j - (double)k);
        sum += w;
    }
    return sum;
}

/** Value in the interval i .. i+1, both ends of one run. Only four samples are ever looked at. */
static double inside(const double *x, size_t n, size_t split, size_t i, double frame)
{
    size_t left = i, right = i + 2; /* [left, right) */

    for (int k = 0; k < 2 && left > 0 && left != split && isfinite(x[left - 1]); k++)
        left--;
    for (int k = 0; k < 2 && right < n && right != split && isfinite(x[right]); k++)
        right++;
    while (right - left > 4) { /* one sample too many on the longer side */
        if (i - left > right - (i + 2))
            left++;
        else
            right--;
    }
    /* i-1 .. i+2 where both exist */
    return lagrange(x, left, right - left, frame);
}

/** True when i and i+1 are samples of one run. */
static bool joined(const double *x, size_t n, size_t split, size_t i)
{
    return i + 1 < n && i + 1 != split && isfinite(x[i]) && isfinite(x[i + 1]);
}

double swt_subframe_value(const double *x, size_t n, size_t split, double frame)
{
    size_t i;

    if (!(frame >= 0) || n == 0 || frame > (double)(n - 1))
        return nan("");
    i = (size_t)frame;
    if ((double)i == frame)
        return isfinite(x[i]) ? x[i] : nan("");
    return joined(x, n, split, i) ? inside(x, n, split, i, frame) : nan("");
}

double swt_subframe_before(const double *x, size_t n, size_t split, double frame)
{
    size_t last = split - 1, count = 1;
    swt_local_fit fit;
    double value[4];

    if (split == 0 || split > n || !(frame > (double)last))
        return swt_subframe_value(x, n, split, frame);
    if (frame > (double)split || !isfinite(x[last]))
        return nan("");
    while (count < BEFORE_SAMPLES && last >= count && isfinite(x[last - count]))
        count++;
    if (count < 2)
        return nan("");
    swt_local_fit_make(&fit, x, last + 1 - count, count,
                       count > BEFORE_DEGREE ? BEFORE_DEGREE : count - 1);
    swt_local_fit_at(value, &fit, frame);
    return value[0];
}

/** Root of the cubic in the bracketing interval, by bisection to the last bit that matters. */
static double refine(const double *x, size_t n, size_t split, double level, size_t i, double sign)
{
    double low = (double)i, high = (double)(i + 1);

    for (int k = 0; k < 60 && high - low > 1e-12; k++) {
        double middle = 0.5 * (low + high);
        if (sign * (inside(x, n, split, i, middle) - level) < 0)
            low = middle;
        else
            high = middle;
    }
    return high;
}

static bool crosses(const double *x, size_t n, size_t split, double level, double sign, size_t i)
{
    return joined(x, n, split, i) && sign * (x[i] - level) < 0 && sign * (x[i + 1] - level) >= 0;
}

bool swt_subframe_crossing(double *frame, const double *x, size_t n, size_t split, double level,
                           swt_crossing direction, size_t from, size_t to)
{
    double sign = (double)direction;

    for (size_t i = from; i < to && i + 1 < n; i++)
        if (crosses(x, n, split, level, sign, i)) {
            *frame = refine(x, n, split, level, i, sign);
            return true;
        }
    return false;
}

bool swt_subframe_last_crossing(double *frame, const double *x, size_t n, size_t split,
                                double level, swt_crossing direction, size_t from, size_t to)
{
    double sign = (double)direction;

    if (n == 0)
        return false;
    for (size_t i = to < n - 1 ? to : n - 1; i-- > from;)
        if (crosses(x, n, split, level, sign, i)) {
            *frame = refine(x, n, split, level, i, sign);
            return true;
        }
    return false;
}

/** Least value of sign * x. */
static bool extremum(double *frame, double *value, const double *x, size_t n, size_t split,
                     size_t from, size_t to, double sign)
{
    size_t best = n;
    double shift = 0, at;

    for (size_t i = from; i <= to && i < n; i++)
        if (isfinite(x[i]) && (best == n || sign * x[i] < sign * x[best]))
            best = i;
    if (best == n)
        return false;
    at = x[best];
    if (best > 0 && joined(x, n, split, best - 1) && joined(x, n, split, best)) {
        double slope = (x[best + 1] - x[best - 1]) / 2;
        double bend = x[best + 1] - 2 * x[best] + x[best - 1];
        if (sign * bend > 0 && fabs(slope) <= 0.5 * fabs(bend)) {
            shift = -slope / bend;
            at -= slope * slope / (2 * bend);
        }
    }
    *frame = (double)best + shift;
    if (value)
        *value = at;
    return true;
}

bool swt_subframe_minimum(double *frame, double *value, const double *x, size_t n, size_t split,
                          size_t from, size_t to)
{
    return extremum(frame, value, x, n, split, from, to, 1);
}

bool swt_subframe_maximum(double *frame, double *value, const double *x, size_t n, size_t split,
                          size_t from, size_t to)
{
    return extremum(frame, value, x, n, split, from, to, -1);
}
