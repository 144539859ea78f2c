#include "comparison/change.h"

#include "comparison/variance.h"

#include <math.h>

static double mean_of(size_t *n, const double *x, size_t size)
{
    double mean = 0;

    *n = 0;
    for (size_t i = 0; i < size; i++)
        if (isfinite(x[i])) {
            ++*n;
            mean += (x[i] - mean) / (double)*n;
        }
    return *n > 0 ? mean : nan("");
}

swt_status swt_change_between(swt_change *out, const double *before, size_t n_before,
                              const double *after, size_t n_after, double sem, double confidence,
                              swt_error *err)
{
    if (!(sem > 0) || !isfinite(sem))
        return swt_fail(err, SWT_EARG, "the standard error of measurement must be above 0, not %g",
                        sem);
    if (!(confidence > 0 && confidence < 1))
        return swt_fail(err, SWT_EARG, "confidence %g must lie between 0 and 1", confidence);
    *out = (swt_change){0};
    out->before = mean_of(&out->n_before, before, n_before);
    out->after = mean_of(&out->n_after, after, n_after);
    out->difference = out->after - out->before;
    out->detectable = swt_detectable_change(sem, out->n_before, out->n_after, confidence);
    out->low = out->difference - out->detectable;
    out->high = out->difference + out->detectable;
    if (isnan(out->detectable))
        out->verdict = SWT_CHANGE_UNKNOWN;
    else if (fabs(out->difference) <= out->detectable)
        out->verdict = SWT_CHANGE_NOT_DETECTABLE;
    else
        out->verdict = out->difference > 0 ? SWT_CHANGE_UP : SWT_CHANGE_DOWN;
    return SWT_OK;
}
