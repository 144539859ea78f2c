/* Residual analysis: the cut-off that loses as much signal as it keeps noise. */
#include "kinematics/filter.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

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

/** RMS residuals of the trials [from, SWT_FILTER_TRIALS) or of those below, series after series. */
static swt_status try_cutoffs(double *rms, const double *fc, int from, int to,
                              const double *const *series, size_t n_series, size_t n, size_t split,
                              double rate_hz, swt_error *err)
{
    size_t n_trials = (size_t)(to - from), used = 0;
    swt_status rc = swt_filter_residuals(rms, &used, series, n_series, n, split, rate_hz, fc + from,
                                         n_trials, err);

    if (rc != SWT_OK)
        return rc;
    if (used < 4 * SWT_FILTER_MIN_RUN)
        return swt_fail(
            err, SWT_EDATA,
            "residual analysis: %zu samples in runs of %d or more; at least %d are needed", used,
            SWT_FILTER_MIN_RUN, 4 * SWT_FILTER_MIN_RUN);
    for (size_t k = 0; k < n_series * n_trials; k++)
        rms[k] = sqrt(rms[k] / (double)used);
    return SWT_OK;
}

/** Trials, and the first that counts as the tail. */
static swt_status begin(double fc[SWT_FILTER_TRIALS], int *tail, double rate_hz, swt_error *err)
{
    if (!(rate_hz > 0) || !isfinite(rate_hz))
        return swt_fail(err, SWT_EARG,
                        "residual analysis: the rate is %g Hz; expected a positive number",
                        rate_hz);
    choose_trials(fc, rate_hz);
    *tail = 0;
    while (fc[*tail] < TAIL_FROM * fc[SWT_FILTER_TRIALS - 1])
        (*tail)++;
    return SWT_OK;
}

/** Noise from the residuals of all trials; only the tail is read. *seen: it falls like noise. */
static double noise_of(bool *seen, const double *fc, const double *rms, int tail)
{
    double last = rms[SWT_FILTER_TRIALS - 1];

    *seen = !(last <= TAIL_MUST_KEEP * rms[tail]);
    return *seen ? tail_intercept(fc, rms, tail) : last;
}

swt_status swt_filter_residual_noise(double *noise_sd, const double *const *series, size_t n_series,
                                     size_t n, size_t split, double rate_hz, swt_error *err)
{
    double fc[SWT_FILTER_TRIALS], *rms;
    bool seen;
    int tail;
    swt_status rc = begin(fc, &tail, rate_hz, err);
    size_t n_tail = (size_t)(SWT_FILTER_TRIALS - tail);

    if (rc != SWT_OK)
        return rc;
    rms = malloc((n_series * n_tail + SWT_FILTER_TRIALS) * sizeof *rms);
    if (!rms)
        return swt_fail(err, SWT_ENOMEM, "residual analysis: out of memory");
    /* room before the first for the trials that noise_of does not read */
    rc = try_cutoffs(rms + tail, fc, tail, SWT_FILTER_TRIALS, series, n_series, n, split, rate_hz,
                     err);
    for (size_t k = 0; rc == SWT_OK && k < n_series; k++)
        noise_sd[k] = noise_of(&seen, fc, rms + k * n_tail, tail);
    free(rms);
    return rc;
}

swt_status swt_filter_residual_cutoff(double *cutoff_hz, double *noise_sd, const double *x,
                                      size_t n, size_t split, double rate_hz, swt_error *err)
{
    double fc[SWT_FILTER_TRIALS], rms[SWT_FILTER_TRIALS], noise;
    int tail, lowest, k = SWT_FILTER_TRIALS - 2;
    bool seen;
    swt_status rc = begin(fc, &tail, rate_hz, err);

    if (rc != SWT_OK)
        return rc;
    lowest = tail < SWT_FILTER_TRIALS / 2 ? tail : SWT_FILTER_TRIALS / 2;
    rc = try_cutoffs(rms + lowest, fc, lowest, SWT_FILTER_TRIALS, &x, 1, n, split, rate_hz, err);
    if (rc != SWT_OK)
        return rc;
    noise = noise_of(&seen, fc, rms, tail);
    if (noise_sd)
        *noise_sd = noise;
    if (!seen) {
        *cutoff_hz = fc[SWT_FILTER_TRIALS - 1];
        return SWT_OK;
    }
    /* the highest cut-off at which the residual still reaches the noise: from above, and most often
     * the upper half of the trials is enough */
    while (k >= lowest && !(rms[k] >= noise))
        k--;
    if (k < lowest) {
        rc = try_cutoffs(rms, fc, 0, lowest, &x, 1, n, split, rate_hz, err);
        if (rc != SWT_OK)
            return rc;
        while (k >= 0 && !(rms[k] >= noise))
            k--;
    }
    *cutoff_hz = k >= 0 ? between(fc, rms, k, noise) : fc[0];
    return SWT_OK;
}
