#include "kinematics/run.h"

#include <math.h>

bool swt_run_next(swt_run *run, const double *x, size_t n, size_t split)
{
    size_t i = run->end;

    while (i < n && !isfinite(x[i]))
        i++;
    if (i >= n)
        return false;
    run->begin = i;
    do
        i++;
    while (i < n && i != split && isfinite(x[i]));
    run->end = i;
    return true;
}

swt_run swt_run_around(const double *x, size_t n, size_t split, size_t i)
{
    swt_run run = {i, i};

    if (i >= n || !isfinite(x[i]))
        return run;
    while (run.begin > 0 && run.begin != split && isfinite(x[run.begin - 1]))
        run.begin--;
    do
        run.end++;
    while (run.end < n && run.end != split && isfinite(x[run.end]));
    return run;
}
