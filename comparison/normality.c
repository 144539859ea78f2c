#include "comparison/tolerance.h"

#include "base/vector.h"
#include "comparison/array.h"

#include <gsl/gsl_cdf.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Coefficients of Royston 1995 (AS R94): corrections of the two outermost weights in 1/sqrt(n),
 * mean and log SD of the transformed W for n <= 11 (in n) and above (in log n), and gamma. */
static const double outermost[6] = {0.0, 0.221157, -0.147981, -2.07119, 4.434685, -2.706056};
static const double next_to_it[6] = {0.0, 0.042981, -0.293762, -1.752461, 5.682633, -3.582633};
static const double small_mean[4] = {0.5440, -0.39978, 0.025054, -6.714e-4};
static const double small_log_sd[4] = {1.3822, -0.77857, 0.062767, -0.0020322};
static const double large_mean[4] = {-1.5861, -0.31082, -0.083751, 0.0038915};
static const double large_log_sd[3] = {-0.4803, -0.082676, 0.0030302};
static const double gamma_line[2] = {-2.273, 0.459};

static double polynomial(const double *c, size_t n, double x)
{
    double y = 0;
    while (n-- > 0)
        y = y * x + c[n];
    return y;
}

/* Weights a[0..n/2) of the largest, second largest, ... observation, less those of their mirror. */
static void weights(double *a, size_t n)
{
    size_t half = n / 2, kept = 1;
    double sum = 0, root = 1 / sqrt((double)n), scale, first;

    if (n == 3) {
        a[0] = sqrt(0.5);
        return;
    }
    for (size_t i = 0; i < half; i++) {
        a[i] = -gsl_cdf_ugaussian_Pinv(((double)i + 1 - 0.375) / ((double)n + 0.25));
        sum += 2 * a[i] * a[i];
    }
    first = polynomial(outermost, 6, root) + a[0] / sqrt(sum);
    if (n > 5) {
        double second = polynomial(next_to_it, 6, root) + a[1] / sqrt(sum);
        scale = sqrt((sum - 2 * a[0] * a[0] - 2 * a[1] * a[1]) /
                     (1 - 2 * first * first - 2 * second * second));
        a[1] = second;
        kept = 2;
    } else {
        scale = sqrt((sum - 2 * a[0] * a[0]) / (1 - 2 * first * first));
    }
    a[0] = first;
    for (size_t i = kept; i < half; i++)
        a[i] /= scale;
}

static double p_value(double w, size_t n)
{
    double m, s, y = log1p(-w), size = (double)n;

    if (n == 3) {
        double p = 6 / SWT_PI * (asin(sqrt(w)) - asin(sqrt(0.75)));
        return p > 0 ? p : 0;
    }
    if (n <= 11) {
        double gamma = polynomial(gamma_line, 2, size);
        if (y >= gamma)
            return 0;
        y = -log(gamma - y);
        m = polynomial(small_mean, 4, size);
        s = exp(polynomial(small_log_sd, 4, size));
    } else {
        m = polynomial(large_mean, 4, log(size));
        s = exp(polynomial(large_log_sd, 3, log(size)));
    }
    return gsl_cdf_ugaussian_Q((y - m) / s);
}

swt_status swt_shapiro_wilk(double *w, double *p, const double *x, size_t n, swt_error *err)
{
    double *sorted, *a, mean = 0, spread = 0, slope = 0;

    *w = *p = nan("");
    if (n < 3 || n > 5000)
        return SWT_OK;
    for (size_t i = 0; i < n; i++) {
        if (!isfinite(x[i]))
            return SWT_OK;
        mean += x[i] / (double)n;
    }
    sorted = malloc(n * sizeof *sorted);
    a = malloc(n * sizeof *a);
    if (!sorted || !a) {
        free(sorted);
        free(a);
        return swt_fail(err, SWT_ENOMEM, "no memory to sort %zu values", n);
    }
    memcpy(sorted, x, n * sizeof *sorted);
    swt_sort(sorted, n);
    weights(a, n);
    for (size_t i = 0; i < n; i++)
        spread += (sorted[i] - mean) * (sorted[i] - mean);
    for (size_t i = 0; i < n / 2; i++)
        slope += a[i] * (sorted[n - 1 - i] - sorted[i]);
    if (sorted[n - 1] - sorted[0] > 1e-12 * (fabs(mean) + spread)) {
        *w = slope * slope / spread;
        if (*w > 1)
            *w = 1;
        *p = p_value(*w, n);
    }
    free(sorted);
    free(a);
    return SWT_OK;
}
