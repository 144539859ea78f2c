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
