#include "kinematics/filter_lanes.h"

#include "base/vector.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

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

/** Filters up to SWT_LANES runs of one length. */
static void filter_batch(double *const *out, const double *const *in, const job *jobs,
                         size_t n_jobs, const swt_lane_design *channel, double *room)
{
    double *to[SWT_LANES];
    swt_lanes lane;

    for (size_t l = 0; l < SWT_LANES; l++) { /* lanes left over repeat the first */
        const job *own = &jobs[l < n_jobs ? l : 0];
        to[l] = out[own->channel] + own->first;
        swt_lane_use(&lane, l, &channel[own->channel]);
        swt_lane_open(&lane, l, in[own->channel] + own->first, own->length);
    }
    swt_lanes_filter(to, &lane, jobs->length, jobs->pad, room);
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

/** Lists every run of at least SWT_FILTER_MIN_RUN samples, and lets through what lies in none. */
static swt_status list_runs(job **jobs, size_t *n_jobs, double *const *out, const double *const *in,
                            size_t n_channels, size_t n, size_t split, double rate_hz,
                            swt_error *err)
{
    size_t count = 0, room = 2 * n_channels + 1;
    job *list = malloc(room * sizeof *list), *larger;

    for (size_t c = 0; list && c < n_channels; c++) {
        swt_run run = {0, 0};
        size_t covered = 0;
        while (list && swt_run_next(&run, in[c], n, split)) {
            size_t length = run.end - run.begin;
            if (length < SWT_FILTER_MIN_RUN)
                continue;
            covered += length;
            list[count++] = (job){length, swt_filter_pad(length, rate_hz), run.begin, c};
            if (count == room) {
                room *= 2;
                larger = realloc(list, room * sizeof *list);
                if (!larger)
                    free(list);
                list = larger;
            }
        }
        if (covered < n && out[c] != in[c])
            memcpy(out[c], in[c], n * sizeof *out[c]);
    }
    *jobs = list;
    *n_jobs = count;
    return list ? SWT_OK
                : swt_fail(err, SWT_ENOMEM, "filter: out of memory for %zu channels", n_channels);
}

swt_status swt_filter_channels(double *const *out, const double *const *in, size_t n_channels,
                               size_t n, size_t split, double rate_hz, const double *cutoff_hz,
                               swt_error *err)
{
    swt_status rc = SWT_OK;
    swt_lane_design *channel = NULL;
    job *jobs = NULL;
    double *room = NULL;
    size_t n_jobs, most = 0;

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
    rc = list_runs(&jobs, &n_jobs, out, in, n_channels, n, split, rate_hz, err);
    if (rc != SWT_OK)
        goto done;
    for (size_t j = 0; j < n_jobs; j++)
        if (swt_lanes_room(jobs[j].length, jobs[j].pad) > most)
            most = swt_lanes_room(jobs[j].length, jobs[j].pad);
    room = malloc((most + 1) * sizeof *room);
    if (!room) {
        rc = swt_fail(err, SWT_ENOMEM, "filter: out of memory for %zu samples", n);
        goto done;
    }
    qsort(jobs, n_jobs, sizeof *jobs, by_length_then_place);
    for (size_t j = 0, k; j < n_jobs; j = k) {
        k = j + 1;
        while (k < n_jobs && k - j < SWT_LANES && jobs[k].length == jobs[j].length)
            k++;
        filter_batch(out, in, jobs + j, k - j, channel, room);
    }
done:
    free(room);
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
    in = out;
    return swt_filter_channels(&out, &in, 1, n, split, spec->rate_hz, &spec->cutoff_hz, err);
}

swt_status swt_filter_lowpass(double *out, const double *in, size_t n, const swt_filter_spec *spec,
                              swt_error *err)
{
    return swt_filter_lowpass_split(out, in, n, SWT_NO_SPLIT, spec, err);
}

/* --- residuals at many cut-offs ---------------------------------------------------------- */

/** Series that share the lanes: each of them takes `each`, one for every cut-off at a time. */
typedef struct company {
    const double *const *series;
    size_t n_series, each;
} company;

/** All cut-offs on one run; its sums are added. */
static void try_run(double *sum_squares, const company *c, swt_run run, size_t pad,
                    const swt_lane_design *cutoff, size_t n_cutoffs, double *rows, double *room)
{
    size_t n = run.end - run.begin;
    double sum[SWT_LANES];
    swt_lanes lane;

    for (size_t l = 0; l < SWT_LANES; l++)
        swt_lane_open(&lane, l, c->series[l % c->n_series] + run.begin, n);
    swt_lanes_load(rows, &lane, n);
    for (size_t first = 0; first < n_cutoffs; first += c->each) {
        for (size_t l = 0; l < SWT_LANES; l++) {
            size_t own = first + l / c->n_series; /* lanes left over repeat the first */
            swt_lane_use(&lane, l, &cutoff[own < n_cutoffs ? own : first]);
        }
        swt_lanes_residuals(sum, rows, &lane, n, pad, room);
        for (size_t l = 0; l < c->n_series * c->each && first + l / c->n_series < n_cutoffs; l++)
            sum_squares[l % c->n_series * n_cutoffs + first + l / c->n_series] += sum[l];
    }
}

static swt_status design_all(swt_lane_design *design, const double *cutoff_hz, size_t n,
                             double rate_hz, swt_error *err)
{
    swt_status rc = SWT_OK;

    for (size_t k = 0; k < n && rc == SWT_OK; k++) {
        swt_filter_spec spec = {rate_hz, cutoff_hz[k]};
        rc = swt_filter_design(&design[k].pass, &spec, err);
        design[k].period = rate_hz / cutoff_hz[k];
    }
    return rc;
}

swt_status swt_filter_residuals(double *sum_squares, size_t *used, const double *const *series,
                                size_t n_series, size_t n, size_t split, double rate_hz,
                                const double *cutoff_hz, size_t n_cutoffs, swt_error *err)
{
    size_t n_rows = n * SWT_LANES, n_room = swt_lanes_room(n, swt_filter_pad(n, rate_hz));
    swt_lane_design *design =
        malloc(n_cutoffs * sizeof *design + (n_rows + n_room) * sizeof(double));
    double *rows;
    swt_status rc;

    *used = 0;
    if (!design)
        return swt_fail(err, SWT_ENOMEM, "filter: out of memory for %zu samples", n);
    rows = (double *)(void *)(design + n_cutoffs);
    rc = design_all(design, cutoff_hz, n_cutoffs, rate_hz, err);
    for (size_t k = 0; k < n_series * n_cutoffs; k++)
        sum_squares[k] = 0;
    for (size_t first = 0; rc == SWT_OK && first < n_series; first += SWT_LANES) {
        size_t left = n_series - first, together = left < SWT_LANES ? left : SWT_LANES;
        company c = {series + first, together, SWT_LANES / together};
        swt_run run = {0, 0};
        *used = 0;
        while (swt_run_next(&run, series[first], n, split)) {
            size_t length = run.end - run.begin;
            if (length < SWT_FILTER_MIN_RUN)
                continue;
            try_run(sum_squares + first * n_cutoffs, &c, run, swt_filter_pad(length, rate_hz),
                    design, n_cutoffs, rows, rows + n_rows);
            *used += length;
        }
    }
    free(design);
    return rc;
}
