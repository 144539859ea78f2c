#include "kinematics/run.h"

#include <math.h>

/** First index in [i, stop) without a finite sample, or stop: blocks first, then one by one. */
static size_t finite_until(const double *x, size_t i, size_t stop)
{
    enum { BLOCK = 16 };

    while (i + BLOCK <= stop) {
        double sum[4] = {0, 0, 0, 0};
        for (size_t k = 0; k < BLOCK; k += 4)
            for (size_t l = 0; l < 4; l++)
                sum[l] += x[i + k + l] * 0; /* 0, or NaN after a NaN or an infinity */
        if (!(sum[0] + sum[1] + sum[2] + sum[3] == 0))
            break;
        i += BLOCK;
    }
    while (i < stop && isfinite(x[i]))
        i++;
    return i;
}

bool swt_run_next(swt_run *run, const double *x, size_t n, size_t split)
{
    size_t i = run->end;

    while (i < n && !isfinite(x[i]))
        i++;
    if (i >= n)
        return false;
    run->begin = i;
    run->end = finite_until(x, i, split > i && split < n ? split : n);
    return true;
}

swt_run swt_run_around(const double *x, size_t n, size_t split, size_t i)
{
    swt_run run = {i, i};

    if (i >= n || !isfinite(x[i]))
        return run;
    while (run.begin > 0 && run.begin != split && isfinite(x[run.begin - 1]))
        run.begin--;
    run.end = finite_until(x, i, split > i && split < n ? split : n);
    return run;
}
