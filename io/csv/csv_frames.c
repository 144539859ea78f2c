#include "io/csv/csv_frames.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_ABSENT = 4, FREE_ABSENT = 1000 };

static const double RATE_TOLERANCE = 0.01;     /* of the stated rate                        */
static const double TIME_RESOLUTION_S = 0.001; /* times are often written in milliseconds   */
static const double LARGEST_FRAME = 2147483647;

static int by_value(const void *a, const void *b)
{
    double p = *(const double *)a, q = *(const double *)b;

    return (p > q) - (p < q);
}

static double median_step(const double *value, size_t n)
{
    double *step = malloc(n * sizeof *step), median;

    if (!step)
        return nan("");
    for (size_t i = 1; i < n; i++)
        step[i - 1] = value[i] - value[i - 1];
    qsort(step, n - 1, sizeof *step, by_value);
    median = step[(n - 2) / 2]; /* the lower one: gaps make steps longer, never shorter */
    free(step);
    return median;
}

static swt_status check_rising(const double *value, const swt_csv_instants *in, const char *what,
                               swt_error *err)
{
    for (size_t i = 1; value && i < in->n; i++)
        if (!(value[i] > value[i - 1]))
            return swt_fail(err, SWT_EFORMAT,
                            "line %zu: %s %.17g does not come after %.17g in the row before",
                            in->line[i], what, value[i], value[i - 1]);
    return SWT_OK;
}

static swt_status check_absent(const swt_csv_frames *out, const swt_csv_instants *in,
                               swt_error *err)
{
    size_t at = 0, widest = 0;

    if (out->n_frames <= MOST_ABSENT * in->n + FREE_ABSENT)
        return SWT_OK;
    for (size_t i = 1; i < in->n; i++) {
        if (out->index[i] - out->index[i - 1] > widest) {
            widest = out->index[i] - out->index[i - 1];
            at = i;
        }
    }
    return swt_fail(err, SWT_EFORMAT,
                    "line %zu: %zu frames after the row before; %zu of %zu frames would be absent",
                    in->line[at], widest, out->n_frames - in->n, out->n_frames);
}

static swt_status place_by_number(swt_csv_frames *out, const swt_csv_instants *in, swt_error *err)
{
    swt_status rc = check_rising(in->frame, in, "frame", err);

    if (rc != SWT_OK)
        return rc;
    for (size_t i = 0; i < in->n; i++) {
        if (in->frame[i] != floor(in->frame[i]) || fabs(in->frame[i]) > LARGEST_FRAME)
            return swt_fail(err, SWT_EFORMAT, "line %zu: %.17g is not a frame number", in->line[i],
                            in->frame[i]);
        out->index[i] = (size_t)(in->frame[i] - in->frame[0]);
    }
    out->first_frame = (long)in->frame[0];
    out->n_frames = out->index[in->n - 1] + 1;
    return check_absent(out, in, err);
}

/* Counts steps one by one, each against the median step, so that rounded times do not drift. */
static swt_status place_by_time(swt_csv_frames *out, const swt_csv_instants *in, swt_error *err)
{
    double median = in->n > 1 ? median_step(in->time_s, in->n) : 1;
    double index = 0;

    if (isnan(median))
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 1; i < in->n; i++) {
        double steps = (in->time_s[i] - in->time_s[i - 1]) / median;
        if (!(steps < LARGEST_FRAME) || fabs(steps - fmax(round(steps), 1)) > 0.4)
            return swt_fail(err, SWT_EFORMAT,
                            "line %zu: time goes on by %.9g s where rows lie %.9g s apart; samples "
                            "must be evenly spaced",
                            in->line[i], in->time_s[i] - in->time_s[i - 1], median);
        index += fmax(round(steps), 1);
        out->index[i] = (size_t)index;
    }
    out->n_frames = (size_t)index + 1;
    return check_absent(out, in, err);
}

static swt_status settle_rate(swt_csv_frames *out, const swt_csv_instants *in, swt_error *err)
{
    double duration_s, rate_hz, tolerance;

    out->rate_hz = in->rate_hz;
    if (!in->time_s || out->n_frames < 2)
        return SWT_OK;
    duration_s = in->time_s[in->n - 1] - in->time_s[0];
    rate_hz = (double)(out->n_frames - 1) / duration_s;
    tolerance = RATE_TOLERANCE + TIME_RESOLUTION_S / duration_s;
    if (in->rate_hz == 0)
        out->rate_hz = rate_hz;
    else if (fabs(rate_hz - in->rate_hz) > tolerance * in->rate_hz)
        return swt_fail(err, SWT_EFORMAT,
                        "the file states %g Hz, but its times (lines %zu to %zu) make %.6g Hz; "
                        "correct one, or give the unit of time in the column's name",
                        in->rate_hz, in->line[0], in->line[in->n - 1], rate_hz);
    return SWT_OK;
}

swt_status swt_csv_frames_place(swt_csv_frames *out, const swt_csv_instants *in, swt_error *err)
{
    swt_status rc;

    memset(out, 0, sizeof *out);
    out->first_frame = 1;
    out->index = calloc(in->n + 1, sizeof *out->index);
    if (!out->index)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    rc = check_rising(in->time_s, in, "time", err);
    if (rc == SWT_OK && in->n > 0) {
        if (in->frame) {
            rc = place_by_number(out, in, err);
        } else if (in->time_s) {
            rc = place_by_time(out, in, err);
        } else {
            for (size_t i = 0; i < in->n; i++)
                out->index[i] = i;
            out->n_frames = in->n;
        }
    }
    if (rc == SWT_OK)
        rc = settle_rate(out, in, err);
    if (rc != SWT_OK) {
        free(out->index);
        out->index = NULL;
    }
    return rc;
}
