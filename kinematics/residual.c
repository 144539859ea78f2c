/* Residual analysis: the cut-off that loses as much signal as it keeps noise. */
#include "kinematics/filter.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

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

/** RMS of raw - filtered over the samples that the filter kept. @return how many those are */
static size_t rms_residual(double *rms, const double *x, const double *smooth, size_t n)
{
    double sum = 0;
    size_t used = 0;

    for (size_t i = 0; i < n; i++)
        if (isfinite(smooth[i])) {
            sum += (x[i] - smooth[i]) * (x[i] - smooth[i]);
            used++;
        }
    *rms = used ? sqrt(sum / (double)used) : nan("");
    return used;
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

/** Highest cut-off at which the residual still reaches `level`, between trials on a log scale. */
static double crossing(const double *fc, const double *rms, double level)
{
    for (int k = SWT_FILTER_TRIALS - 2; k >= 0; k--)
        if (rms[k] >= level) {
            double part = (rms[k] - level) / (rms[k] - rms[k + 1]);
            return fc[k] * pow(fc[k + 1] / fc[k], part);
        }
    return fc[0];
}

swt_status swt_filter_residual_cutoff(double *cutoff_hz, double *noise_sd, const double *x,
                                      size_t n, size_t split, double rate_hz, swt_error *err)
{
    double fc[SWT_FILTER_TRIALS], rms[SWT_FILTER_TRIALS], intercept;
    double *smooth = NULL;
    swt_status rc;
    size_t used = 0;
    int first = 0;

    if (!(rate_hz > 0) || !isfinite(rate_hz))
        return swt_fail(err, SWT_EARG,
                        "residual analysis: the rate is %g Hz; expected a positive number",
                        rate_hz);
    choose_trials(fc, rate_hz);
    smooth = calloc(n * SWT_FILTER_TRIALS + 1, sizeof *smooth);
    if (!smooth)
        return swt_fail(err, SWT_ENOMEM, "residual analysis: out of memory for %zu samples", n);
    for (size_t k = 0; k < SWT_FILTER_TRIALS && n > 0; k++)
        memcpy(smooth + k * n, x, n * sizeof *x);
    rc = swt_filter_channels(smooth, smooth, SWT_FILTER_TRIALS, n, split, rate_hz, fc, err);
    if (rc != SWT_OK)
        goto done;
    for (int k = 0; k < SWT_FILTER_TRIALS; k++)
        used = rms_residual(&rms[k], x, smooth + (size_t)k * n, n);
    if (used < 4 * SWT_FILTER_MIN_RUN) {
        rc =
            swt_fail(err, SWT_EDATA,
                     "residual analysis: %zu samples in runs of %d or more; at least %d are needed",
                     used, SWT_FILTER_MIN_RUN, 4 * SWT_FILTER_MIN_RUN);
        goto done;
    }
    while (fc[first] < TAIL_FROM * fc[SWT_FILTER_TRIALS - 1])
        first++;
    intercept = tail_intercept(fc, rms, first);
    if (rms[SWT_FILTER_TRIALS - 1] <= TAIL_MUST_KEEP * rms[first]) {
        *cutoff_hz = fc[SWT_FILTER_TRIALS - 1];
        intercept = rms[SWT_FILTER_TRIALS - 1];
    } else {
        *cutoff_hz = crossing(fc, rms, intercept);
    }
    if (noise_sd)
        *noise_sd = intercept;
done:
    free(smooth);
    return rc;
}
