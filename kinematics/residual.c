/* Residual analysis: the cut-off that loses as much signal as it keeps noise. */
#include "kinematics/filter.h"

#include <math.h>

/* Of the highest trial: trials above count as the straight tail. */
#define TAIL_FROM 0.45
/* RMS residual of white noise at 0.4 rate is 0.46 of that at 0.18 rate. A quarter, and the tail
 * is the filter's own roll-off acting on signal, not noise. */
#define TAIL_MUST_KEEP 0.25

static void choose_trials(double fc[SWT_FILTER_TRIALS], double rate_hz)
{
    double high = SWT_FILTER_HIGHEST_SHARE * rate_hz, low = fmin(2.0, 0.01 * rate_hz);

    for (int k = 0; k < SWT_FILTER_TRIALS; k++)
        fc[k] = low * pow(high / low, k / (double)(SWT_FILTER_TRIALS - 1));
}

/** Value at 0 Hz of the least-squares line through the tail trials. */
static double tail_intercept(const double *fc, const double *rms, int first)
{
    double n = 0, f = 0, r = 0, ff = 0, fr = 0;

    for (int k = first; k < SWT_FILTER_TRIALS; k++) {
        n += 1;
        f += fc[k];
        r += rms[k];
    }
    f /= n;
    r /= n;
    for (int k = first; k < SWT_FILTER_TRIALS; k++) {
        ff += (fc[k] - f) * (fc[k] - f);
        fr += (fc[k] - f) * (rms[k] - r);
    }
    return r - f * fr / ff;
}

/** Between trial k and the next on a log scale: where the residual falls to `level`. */
static double between(const double *fc, const double *rms, int k, double level)
{
    double part = (rms[k] - level) / (rms[k] - rms[k + 1]);
    return fc[k] * pow(fc[k + 1] / fc[k], part);
}

/** RMS residual of the trials [from, to). */
static swt_status try_cutoffs(double *rms, size_t *used, const double *fc, int from, int to,
                              const double *x, size_t n, size_t split, double rate_hz,
                              swt_error *err)
{
    swt_status rc = swt_filter_residuals(rms + from, used, x, n, split, rate_hz, fc + from,
                                         (size_t)(to - from), err);

    for (int k = from; rc == SWT_OK && k < to; k++)
        rms[k] = *used ? sqrt(rms[k] / (double)*used) : nan("");
    return rc;
}

swt_status swt_filter_residual_cutoff(double *cutoff_hz, double *noise_sd, const double *x,
                                      size_t n, size_t split, double rate_hz, swt_error *err)
{
    double fc[SWT_FILTER_TRIALS], rms[SWT_FILTER_TRIALS], intercept;
    swt_status rc;
    size_t used = 0;
    int tail = 0, lowest;

    if (!(rate_hz > 0) || !isfinite(rate_hz))
        return swt_fail(err, SWT_EARG,
                        "residual analysis: the rate is %g Hz; expected a positive number",
                        rate_hz);
    choose_trials(fc, rate_hz);
    while (fc[tail] < TAIL_FROM * fc[SWT_FILTER_TRIALS - 1])
        tail++;
    lowest = !cutoff_hz || tail < SWT_FILTER_TRIALS / 2 ? tail : SWT_FILTER_TRIALS / 2;
    rc = try_cutoffs(rms, &used, fc, lowest, SWT_FILTER_TRIALS, x, n, split, rate_hz, err);
    if (rc != SWT_OK)
        return rc;
    if (used < 4 * SWT_FILTER_MIN_RUN)
        return swt_fail(
            err, SWT_EDATA,
            "residual analysis: %zu samples in runs of %d or more; at least %d are needed", used,
            SWT_FILTER_MIN_RUN, 4 * SWT_FILTER_MIN_RUN);
    intercept = tail_intercept(fc, rms, tail);
    if (rms[SWT_FILTER_TRIALS - 1] <= TAIL_MUST_KEEP * rms[tail]) {
        intercept = rms[SWT_FILTER_TRIALS - 1];
        if (cutoff_hz)
            *cutoff_hz = fc[SWT_FILTER_TRIALS - 1];
    } else if (cutoff_hz) {
        /* the highest cut-off at which the residual still reaches the noise: from above, and most
         * often the upper half of the trials is enough */
        int k = SWT_FILTER_TRIALS - 2;
        while (k >= lowest && !(rms[k] >= intercept))
            k--;
        if (k < lowest) {
            rc = try_cutoffs(rms, &used, fc, 0, lowest, x, n, split, rate_hz, err);
            if (rc != SWT_OK)
                return rc;
            while (k >= 0 && !(rms[k] >= intercept))
                k--;
        }
        *cutoff_hz = k >= 0 ? between(fc, rms, k, intercept) : fc[0];
    }
    if (noise_sd)
        *noise_sd = intercept;
    return SWT_OK;
}
