#include "kinematics/filter.h"

#include "base/vector.h"
#include "base/wide.h"

#include <math.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

/* Runs of equal length are filtered side by side, one in each lane: the recursion has no
 * parallelism along time, but lanes are independent. Unused lanes repeat the first. Every run takes
 * this path, alone or in company, so the numbers cannot depend on its neighbours. */
#define LANES 8

/** What a channel's cut-off makes of it. */
typedef struct design {
    swt_filter_pass pass;
    double period; /**< of the cut-off, in samples */
} design;

/** One run of one channel, waiting for a lane. */
typedef struct job {
    size_t length, pad;
    size_t first; /**< index of its first sample in the channel */
    size_t channel;
} job;

swt_status swt_filter_design(swt_filter_pass *pass, const swt_filter_spec *spec, swt_error *err)
{
    /* (2^(1/passes) - 1)^(1/4) for two passes */
    const double correction = sqrt(sqrt(sqrt(2.0) - 1));
    double u, scale;

    if (!(spec->rate_hz > 0) || !isfinite(spec->rate_hz))
        return swt_fail(err, SWT_EARG, "filter: the rate is %g Hz; expected a positive number",
                        spec->rate_hz);
    if (!(spec->cutoff_hz > 0 && spec->cutoff_hz < 0.45 * spec->rate_hz))
        return swt_fail(err, SWT_EARG,
                        "filter: the cut-off is %g Hz at a rate of %g Hz; expected a number above "
                        "0 and below %g Hz (0.45 of the rate)",
                        spec->cutoff_hz, spec->rate_hz, 0.45 * spec->rate_hz);
    u = tan(SWT_PI * spec->cutoff_hz / spec->rate_hz) / correction;
    scale = 1 / (1 + sqrt(2.0) * u + u * u);
    pass->b0 = u * u * scale;
    pass->a1 = 2 * (u * u - 1) * scale;
    pass->a2 = (1 - sqrt(2.0) * u + u * u) * scale;
    return SWT_OK;
}

size_t swt_filter_pad(size_t length, double rate_hz)
{
    double quarter_second = ceil(rate_hz / 4);

    if (length == 0)
        return 0;
    return quarter_second < (double)(length - 1) ? (size_t)quarter_second : length - 1;
}

/** What each lane carries. */
typedef struct lanes {
    double b0[LANES], a1[LANES], a2[LANES];
    double first[LANES], slope[LANES]; /**< line through the run's ends       */
    double period[LANES];              /**< of the cut-off, in samples        */
    const double *in[LANES];
    double *out[LANES];
} lanes;

/**
 * Second difference at the end of a lane: of the least-squares cubic through its `m` last samples.
 * `end` is the end sample, `stride` leads away from it.
 */
static double end_bend(const double *end, ptrdiff_t stride, size_t m)
{
    double power[7] = {0}, a[4][5] = {{0}}, top = (double)(m - 1);

    for (size_t k = 0; k < m; k++) {
        double u = (double)k / top, up = 1, y = end[(ptrdiff_t)k * stride];
        for (int p = 0; p < 7; p++, up *= u) {
            power[p] += up;
            if (p < 4)
                a[p][4] += up * y;
        }
    }
    for (int i = 0; i < 4; i++)
        for (int j = 0; j < 4; j++)
            a[i][j] = power[i + j];
    for (int i = 0; i < 4; i++) /* normal equations: positive definite, no pivoting needed */
        for (int j = i + 1; j < 4; j++) {
            double factor = a[j][i] / a[i][i];
            for (int k = i; k < 5; k++)
                a[j][k] -= factor * a[i][k];
        }
    a[3][4] /= a[3][3];
    return 2 * (a[2][4] - a[2][3] * a[3][4]) / (a[2][2] * top * top);
}

/** Lengthens the lanes on both sides: reflection through the end, which is 0, plus curvature. */
static inline void extend(double *restrict row, const lanes *restrict lane, size_t n, size_t pad)
{
    double *middle = row + pad * LANES, *last = middle + (n - 1) * LANES;
    double bend[2][LANES];

    for (size_t l = 0; l < LANES; l++) {
        double half = ceil(lane->period[l] / 2);
        size_t m = half < (double)n ? (size_t)half : n;
        m = m > SWT_FILTER_END_SAMPLES ? m : SWT_FILTER_END_SAMPLES;
        bend[0][l] = end_bend(middle + l, LANES, m);
        bend[1][l] = end_bend(last + l, -LANES, m);
    }
    for (size_t k = 1; k <= pad; k++)
        for (size_t l = 0; l < LANES; l++) {
            /* k^2 for one period, then on along the tangent */
            double along = (double)k < lane->period[l] ? (double)k : lane->period[l];
            double square = along * (2 * (double)k - along);
            row[(pad - k) * LANES + l] = bend[0][l] * square - middle[k * LANES + l];
            middle[(n - 1 + k) * LANES + l] = bend[1][l] * square - middle[(n - 1 - k) * LANES + l];
        }
}

/** Samples side by side, line removed, scaled by b0 squared, ends extended. */
static inline void load(double *restrict row, const lanes *restrict lane, size_t n, size_t pad)
{
    double gain[LANES];
    double *restrict middle = row + pad * LANES;

    for (size_t l = 0; l < LANES; l++)
        gain[l] = lane->b0[l] * lane->b0[l];
    for (size_t k = 0; k < n; k++)
        for (size_t l = 0; l < LANES; l++)
            middle[k * LANES + l] =
                gain[l] * (lane->in[l][k] - (lane->first[l] + lane->slope[l] * (double)k));
    for (size_t l = 0; l < LANES; l++)
        middle[l] = middle[(n - 1) * LANES + l] = 0; /* free of rounding */
    extend(row, lane, n, pad);
}

/** The two memory cells of each lane's filter. */
typedef struct memory {
    double z1[LANES], z2[LANES];
} memory;

/* The input comes scaled by b0 squared, so that each pass is left with numerator (1, 2, 1); for a
 * constant u it then settles at u / b0. */

static inline void settle(memory *restrict z, const double *restrict u, const lanes *restrict lane)
{
    for (size_t l = 0; l < LANES; l++) {
        double settled = u[l] / lane->b0[l];
        z->z2[l] = u[l] - lane->a2[l] * settled;
        z->z1[l] = 2 * u[l] - lane->a1[l] * settled + z->z2[l];
    }
}

/** One row in, the filtered row out in its place. */
static inline void step(memory *restrict z, double *restrict row, const lanes *restrict lane)
{
    for (size_t l = 0; l < LANES; l++) {
        double u = row[l], y = u + z->z1[l];
        z->z1[l] = (u + u + z->z2[l]) - lane->a1[l] * y;
        z->z2[l] = u - lane->a2[l] * y;
        row[l] = y;
    }
}

static inline void pass_forwards(double *restrict row, const lanes *restrict lane, size_t n_rows)
{
    memory z;

    settle(&z, row, lane);
    for (size_t k = 0; k < n_rows; k++)
        step(&z, row + k * LANES, lane);
}

/** Second pass, from the last row down to the first sample; each sample goes out as it is done,
 *  its line put back. A lane that repeats the first writes the same again. */
static inline void pass_backwards(double *restrict row, const lanes *restrict lane, size_t n,
                                  size_t pad)
{
    memory z;

    settle(&z, row + (n + 2 * pad - 1) * LANES, lane);
    for (size_t k = n + 2 * pad; k-- > n + pad;)
        step(&z, row + k * LANES, lane);
    for (size_t k = n; k-- > 0;) {
        double *restrict y = row + (pad + k) * LANES;
        step(&z, y, lane);
        for (size_t l = 0; l < LANES; l++)
            lane->out[l][k] = y[l] + (lane->first[l] + lane->slope[l] * (double)k);
    }
}

/** What a job's lane starts with. */
static void open_lane(lanes *lane, size_t l, const design *channel, const double *in, size_t n)
{
    lane->b0[l] = channel->pass.b0;
    lane->a1[l] = channel->pass.a1;
    lane->a2[l] = channel->pass.a2;
    lane->period[l] = channel->period;
    lane->in[l] = in;
    lane->first[l] = in[0];
    lane->slope[l] = (in[n - 1] - in[0]) / (double)(n - 1);
}

/** Filters up to LANES runs of one length, in place. */
SWT_WIDE static void filter_batch(double *const *series, const job *jobs, size_t n_jobs,
                                  const design *channel, double *scratch)
{
    size_t n = jobs->length, pad = jobs->pad;
    lanes lane;

    for (size_t l = 0; l < LANES; l++) {
        const job *own = &jobs[l < n_jobs ? l : 0];
        double *run = series[own->channel] + own->first;
        open_lane(&lane, l, &channel[own->channel], run, n);
        lane.out[l] = run;
    }
    load(scratch, &lane, n, pad);
    pass_forwards(scratch, &lane, n + 2 * pad);
    pass_backwards(scratch, &lane, n, pad);
}

static int by_length_then_place(const void *a, const void *b)
{
    const job *p = a, *q = b;

    if (p->length != q->length)
        return p->length < q->length ? -1 : 1;
    if (p->channel != q->channel)
        return p->channel < q->channel ? -1 : 1;
    return p->first < q->first ? -1 : p->first > q->first;
}

/** Lists every run of at least SWT_FILTER_MIN_RUN samples. */
static swt_status list_runs(job **jobs, size_t *n_jobs, double *const *series, size_t n_channels,
                            size_t n, size_t split, double rate_hz, swt_error *err)
{
    size_t count = 0, room = 2 * n_channels + 1;
    job *list = malloc(room * sizeof *list), *larger;

    for (size_t c = 0; list && c < n_channels; c++) {
        swt_run run = {0, 0};
        while (list && swt_run_next(&run, series[c], n, split)) {
            size_t length = run.end - run.begin;
            if (length < SWT_FILTER_MIN_RUN)
                continue;
            list[count++] = (job){length, swt_filter_pad(length, rate_hz), run.begin, c};
            if (count == room) {
                room *= 2;
                larger = realloc(list, room * sizeof *list);
                if (!larger)
                    free(list);
                list = larger;
            }
        }
    }
    *jobs = list;
    *n_jobs = count;
    return list ? SWT_OK
                : swt_fail(err, SWT_ENOMEM, "filter: out of memory for %zu channels", n_channels);
}

swt_status swt_filter_channels(double *const *series, size_t n_channels, size_t n, size_t split,
                               double rate_hz, const double *cutoff_hz, swt_error *err)
{
    swt_status rc = SWT_OK;
    design *channel = NULL;
    job *jobs = NULL;
    double *scratch = NULL;
    size_t n_jobs, most_rows = 0;

    if (n == 0 || n_channels == 0)
        return SWT_OK;
    channel = calloc(n_channels, sizeof *channel);
    if (!channel)
        return swt_fail(err, SWT_ENOMEM, "filter: out of memory for %zu channels", n_channels);
    for (size_t c = 0; c < n_channels; c++) {
        swt_filter_spec spec = {rate_hz, cutoff_hz[c]};
        rc = swt_filter_design(&channel[c].pass, &spec, err);
        if (rc != SWT_OK)
            goto done;
        channel[c].period = rate_hz / cutoff_hz[c];
    }
    rc = list_runs(&jobs, &n_jobs, series, n_channels, n, split, rate_hz, err);
    if (rc != SWT_OK)
        goto done;
    for (size_t j = 0; j < n_jobs; j++)
        if (jobs[j].length + 2 * jobs[j].pad > most_rows)
            most_rows = jobs[j].length + 2 * jobs[j].pad;
    scratch = malloc((most_rows * LANES + 1) * sizeof *scratch);
    if (!scratch) {
        rc = swt_fail(err, SWT_ENOMEM, "filter: out of memory for runs of %zu samples", most_rows);
        goto done;
    }
    qsort(jobs, n_jobs, sizeof *jobs, by_length_then_place);
    for (size_t j = 0, k; j < n_jobs; j = k) {
        k = j + 1;
        while (k < n_jobs && k - j < LANES && jobs[k].length == jobs[j].length)
            k++;
        filter_batch(series, jobs + j, k - j, channel, scratch);
    }
done:
    free(scratch);
    free(jobs);
    free(channel);
    return rc;
}

/** What no run long enough covers is missing. */
static void blank_short_runs(double *x, size_t n, size_t split)
{
    swt_run run = {0, 0};
    size_t at = 0;

    while (at < n) {
        bool found = swt_run_next(&run, x, n, split);
        size_t stop = found ? run.begin : n;
        if (found && run.end - run.begin < SWT_FILTER_MIN_RUN)
            continue;
        for (; at < stop; at++)
            x[at] = nan("");
        if (found)
            at = run.end;
    }
}

swt_status swt_filter_lowpass_split(double *out, const double *in, size_t n, size_t split,
                                    const swt_filter_spec *spec, swt_error *err)
{
    swt_filter_pass pass;
    swt_status rc = swt_filter_design(&pass, spec, err);

    if (rc != SWT_OK)
        return rc;
    memmove(out, in, n * sizeof *out);
    blank_short_runs(out, n, split);
    return swt_filter_channels(&out, 1, n, split, spec->rate_hz, &spec->cutoff_hz, err);
}

swt_status swt_filter_lowpass(double *out, const double *in, size_t n, const swt_filter_spec *spec,
                              swt_error *err)
{
    return swt_filter_lowpass_split(out, in, n, SWT_NO_SPLIT, spec, err);
}

/* --- residuals at many cut-offs ---------------------------------------------------------- */

/** Adds the squares of what the filter took, lane by lane. */
static inline void add_residuals(double *restrict sum, const double *restrict row,
                                 const lanes *restrict lane, size_t n, size_t pad)
{
    const double *restrict middle = row + pad * LANES;

    for (size_t k = 0; k < n; k++)
        for (size_t l = 0; l < LANES; l++) {
            double line = lane->first[l] + lane->slope[l] * (double)k;
            double d = lane->in[l][k] - (middle[k * LANES + l] + line);
            sum[l] += d * d;
        }
}

/** One run, of the series and with the filter of each lane. */
SWT_WIDE static void add_run(double *sum, const double *const *x, swt_run run, size_t pad,
                             const design *channel, double *scratch)
{
    size_t n = run.end - run.begin, rows = n + 2 * pad;
    lanes lane;
    memory z;

    for (size_t l = 0; l < LANES; l++)
        open_lane(&lane, l, &channel[l], x[l] + run.begin, n);
    load(scratch, &lane, n, pad);
    pass_forwards(scratch, &lane, rows);
    settle(&z, scratch + (rows - 1) * LANES, &lane);
    for (size_t k = rows; k-- > pad;)
        step(&z, scratch + k * LANES, &lane);
    add_residuals(sum, scratch, &lane, n, pad);
}

swt_status swt_filter_residuals(double *sum_squares, size_t *used, const double *const *series,
                                size_t n_series, size_t n, size_t split, double rate_hz,
                                const double *cutoff_hz, size_t n_cutoffs, swt_error *err)
{
    size_t total = n_series * n_cutoffs;
    double *scratch = malloc((n + 2 * swt_filter_pad(n, rate_hz) + 1) * LANES * sizeof *scratch);

    if (!scratch)
        return swt_fail(err, SWT_ENOMEM, "filter: out of memory for %zu samples", n);
    *used = 0;
    for (size_t first = 0; first < total; first += LANES) {
        const double *x[LANES];
        double sum[LANES] = {0};
        swt_run run = {0, 0};
        design channel[LANES];
        *used = 0;
        for (size_t l = 0; l < LANES; l++) { /* unused lanes repeat the last */
            size_t own = first + l < total ? first + l : total - 1;
            swt_filter_spec spec = {rate_hz, cutoff_hz[own % n_cutoffs]};
            swt_status rc = swt_filter_design(&channel[l].pass, &spec, err);
            channel[l].period = rate_hz / spec.cutoff_hz;
            x[l] = series[own / n_cutoffs];
            if (rc != SWT_OK) {
                free(scratch);
                return rc;
            }
        }
        while (swt_run_next(&run, x[0], n, split)) {
            size_t length = run.end - run.begin;
            if (length < SWT_FILTER_MIN_RUN)
                continue;
            add_run(sum, x, run, swt_filter_pad(length, rate_hz), channel, scratch);
            *used += length;
        }
        for (size_t l = 0; l < LANES && first + l < total; l++)
            sum_squares[first + l] = sum[l];
    }
    free(scratch);
    return SWT_OK;
}
