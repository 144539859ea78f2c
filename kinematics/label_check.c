#include "kinematics/label_check.h"

#include "base/vector.h"
#include "base/wide.h"

#include <gsl/gsl_statistics_double.h>
#include <math.h>
#include <stdlib.h>

static swt_vec3 marker_at(const double *const *coordinate, size_t m, size_t f)
{
    return swt_vec3_make(coordinate[3 * m][f], coordinate[3 * m + 1][f], coordinate[3 * m + 2][f]);
}

static double distance_at(const double *const *coordinate, size_t a, size_t b, size_t f)
{
    return swt_norm(swt_sub(marker_at(coordinate, a, f), marker_at(coordinate, b, f)));
}

/** `scratch` holds n values. */
static void measure_pair(swt_pair_distance *pair, const double *const *coordinate, size_t n,
                         double *scratch)
{
    pair->n_frames = 0;
    pair->median_m = nan("");
    for (size_t f = 0; f < n; f++) {
        double d = distance_at(coordinate, pair->a, pair->b, f);
        if (isfinite(d))
            scratch[pair->n_frames++] = d;
    }
    if (pair->n_frames == 0)
        return;
    pair->median_m = gsl_stats_median(scratch, 1, pair->n_frames);
}

swt_status swt_label_distances(swt_pair_distance *pair, const double *const *coordinate,
                               size_t n_markers, size_t n, swt_error *err)
{
    double *scratch = malloc((n + 1) * sizeof *scratch);
    size_t k = 0;

    if (!scratch)
        return swt_fail(err, SWT_ENOMEM, "labels: out of memory for %zu frames", n);
    for (size_t a = 1; a < n_markers; a++)
        for (size_t b = 0; b < a; b++, k++) {
            pair[k].a = a;
            pair[k].b = b;
            measure_pair(&pair[k], coordinate, n, scratch);
        }
    free(scratch);
    return SWT_OK;
}

/** All that the search needs. */
typedef struct search {
    double *const *data;
    const double *const *coordinate; /**< the same, to read */
    size_t n_markers, n, max_gap;
    const swt_label_limits *limits;
    swt_pair_distance *pair; /**< NULL until a change of places is seen */
    double *miss;            /**< n_markers * n: step in which a marker leaves its way; NaN at 0 and
                                  where it or the last sample is missing                  */
    swt_label_report *report;
} search;

static double usual_distance(const search *s, size_t a, size_t b)
{
    size_t high = a > b ? a : b, low = a > b ? b : a;

    return s->pair[high * (high - 1) / 2 + low].median_m;
}

static swt_status add(search *s, swt_label_finding found, swt_error *err)
{
    swt_label_report *r = s->report;
    swt_label_finding *more = realloc(r->finding, (r->n_findings + 1) * sizeof *more);

    if (!more)
        return swt_fail(err, SWT_ENOMEM, "labels: out of memory for finding %zu", r->n_findings);
    r->finding = more;
    more[r->n_findings++] = found;
    return SWT_OK;
}

/** Where a marker is heading: from its last sample on with its last step, when there is one. */
static swt_vec3 expected(const search *s, size_t m, size_t last, size_t frames_on, bool trust_step)
{
    swt_vec3 at = marker_at(s->coordinate, m, last), before;

    if (!trust_step || last == 0 || frames_on > 2)
        return at;
    before = marker_at(s->coordinate, m, last - 1);
    return swt_vec3_is_finite(before)
               ? swt_add(at, swt_scale(swt_sub(at, before), (double)frames_on))
               : at;
}

/** True when labels a and b change places between frames `last` and `f`. */
static bool changes_places(const search *s, size_t a, size_t b, size_t last, size_t f,
                           bool trust_step)
{
    swt_vec3 at_a = marker_at(s->coordinate, a, f), at_b = marker_at(s->coordinate, b, f);
    swt_vec3 to_a = expected(s, a, last, f - last, trust_step);
    swt_vec3 to_b = expected(s, b, last, f - last, trust_step);
    double keep = swt_norm(swt_sub(at_a, to_a)) + swt_norm(swt_sub(at_b, to_b));
    double change = swt_norm(swt_sub(at_a, to_b)) + swt_norm(swt_sub(at_b, to_a));

    return change < 0.5 * keep && swt_norm(swt_sub(at_a, at_b)) > SWT_LABEL_MIN_SEPARATION_M &&
           swt_norm(swt_sub(to_a, to_b)) > SWT_LABEL_MIN_SEPARATION_M;
}

/**
 * Mean deviation of the distances from a and b to the other markers over a stretch, with a and b
 * exchanged or not; NaN when no other marker is there.
 */
static double misfit(const search *s, size_t a, size_t b, swt_run stretch, bool exchanged)
{
    double sum = 0;
    size_t count = 0;

    for (size_t c = 0; c < s->n_markers; c++) {
        double usual_a, usual_b;
        if (c == a || c == b)
            continue;
        usual_a = usual_distance(s, exchanged ? b : a, c);
        usual_b = usual_distance(s, exchanged ? a : b, c);
        for (size_t f = stretch.begin; f < stretch.end; f++) {
            double off = fabs(distance_at(s->coordinate, a, c, f) - usual_a) +
                         fabs(distance_at(s->coordinate, b, c, f) - usual_b);
            if (isfinite(off)) {
                sum += off;
                count++;
            }
        }
    }
    return count ? sum / (double)count : nan("");
}

/** Steps off the way: of each frame from where the marker was heading, its last step repeated. */
static void find_misses(const search *s, size_t m)
{
    const double *restrict x = s->coordinate[3 * m], *restrict y = s->coordinate[3 * m + 1],
                           *restrict z = s->coordinate[3 * m + 2];
    double *restrict miss = s->miss + m * s->n;

    miss[0] = nan("");
    if (s->n > 1)
        miss[1] = swt_norm(swt_vec3_make(x[1] - x[0], y[1] - y[0], z[1] - z[0]));
    for (size_t f = 2; f < s->n; f++) {
        double dx = x[f] - 2 * x[f - 1] + x[f - 2], dy = y[f] - 2 * y[f - 1] + y[f - 2],
               dz = z[f] - 2 * z[f - 1] + z[f - 2];
        miss[f] = sqrt(dx * dx + dy * dy + dz * dz);
    }
}

/**
 * True when both markers are seen in every frame and never step off their way by as much as a
 * change of places takes. Where they do, keep (see changes_places) is the sum of their two steps,
 * and change is at least 2 * apart - keep; it can lie under keep / 2 only where keep is above
 * 4 / 3 * apart.
 */
SWT_WIDE static bool never_change_places(const search *s, size_t a, size_t b)
{
    const double *const *at_a = s->coordinate + 3 * a, *const *at_b = s->coordinate + 3 * b;
    const double *restrict xa = at_a[0], *restrict ya = at_a[1], *restrict za = at_a[2];
    const double *restrict xb = at_b[0], *restrict yb = at_b[1], *restrict zb = at_b[2];
    const double *restrict miss_a = s->miss + a * s->n, *restrict miss_b = s->miss + b * s->n;
    size_t n = s->n, calm = 0;

    for (size_t f = 1; f < n; f++) {
        double dx = xa[f] - xb[f], dy = ya[f] - yb[f], dz = za[f] - zb[f];
        double keep = miss_a[f] + miss_b[f];
        calm += keep * keep <= 1.7 * (dx * dx + dy * dy + dz * dz); /* 1.7 < 16 / 9 */
    }
    return calm + 1 == n;
}

static void exchange(search *s, size_t a, size_t b, swt_run stretch)
{
    for (size_t axis = 0; axis < 3; axis++)
        for (size_t f = stretch.begin; f < stretch.end; f++) {
            double kept = s->data[3 * a + axis][f];
            s->data[3 * a + axis][f] = s->data[3 * b + axis][f];
            s->data[3 * b + axis][f] = kept;
        }
    find_misses(s, a);
    find_misses(s, b);
}

/** Judges the stretch, repairs it when that is safe, and reports it. */
static swt_status settle(search *s, size_t a, size_t b, swt_run stretch, bool both_ends,
                         swt_error *err)
{
    double as_is, exchanged;
    swt_label_finding found = {.kind = SWT_LABEL_SWAP,
                               .marker = a,
                               .other = b,
                               .first = stretch.begin,
                               .last = stretch.end - 1,
                               .speed_mps = nan("")};

    if (!s->pair) { /* nothing has been exchanged yet */
        swt_status rc;
        s->pair = calloc(s->n_markers * s->n_markers / 2 + 1, sizeof *s->pair);
        if (!s->pair)
            return swt_fail(err, SWT_ENOMEM, "labels: out of memory for %zu markers", s->n_markers);
        rc = swt_label_distances(s->pair, s->coordinate, s->n_markers, s->n, err);
        if (rc != SWT_OK)
            return rc;
    }
    as_is = misfit(s, a, b, stretch, false);
    exchanged = misfit(s, a, b, stretch, true);
    if (!both_ends)
        found.reason = "only one end is seen: either side of it may be the exchanged one";
    else if (!isfinite(as_is))
        found.reason = "no third marker of the segment confirms it";
    else if (!(exchanged < 0.5 * as_is))
        found.reason = "the distances to the segment's other markers do not confirm it";
    else if (!s->limits->repair)
        found.reason = "confirmed at both ends and by the distances; repair is off";
    else {
        exchange(s, a, b, stretch);
        found.repaired = true;
        found.reason = "confirmed at both ends and by the distances to the other markers";
    }
    return add(s, found, err);
}

static swt_status find_swaps(search *s, size_t a, size_t b, swt_error *err)
{
    size_t last = s->n, since = s->n; /* n = none */
    bool trust_step = true;
    swt_status rc = SWT_OK;

    if (never_change_places(s, a, b))
        return SWT_OK;
    for (size_t f = 0; f < s->n && rc == SWT_OK; f++) {
        bool change;
        if (!isfinite(distance_at(s->coordinate, a, b, f)))
            continue;
        change = last < s->n && f - last <= s->max_gap + 1 &&
                 changes_places(s, a, b, last, f, trust_step);
        if (change && since == s->n) {
            since = f;
        } else if (change) {
            rc = settle(s, a, b, (swt_run){since, f}, true, err);
            since = s->n;
        }
        trust_step = !change; /* the step into this frame was no motion */
        last = f;
    }
    if (rc == SWT_OK && since < s->n)
        rc = settle(s, a, b, (swt_run){since, s->n}, false, err);
    return rc;
}

/* What noise alone can add to a step: six standard deviations of a coordinate's step, from the
 * median second difference. (Of white noise a second difference has 3 times the variance of a step,
 * and the median length of a normal vector is 1.538 standard deviations of its coordinates.) */
static swt_status noise_step(double *step, const search *s, size_t m, swt_error *err)
{
    double *length = malloc((s->n + 1) * sizeof *length);
    size_t used = 0;

    *step = 0;
    if (!length)
        return swt_fail(err, SWT_ENOMEM, "labels: out of memory for %zu frames", s->n);
    for (size_t f = 1; f + 1 < s->n; f++) {
        swt_vec3 sides =
            swt_add(marker_at(s->coordinate, m, f - 1), marker_at(s->coordinate, m, f + 1));
        double bend = swt_norm(swt_sub(sides, swt_scale(marker_at(s->coordinate, m, f), 2)));
        if (isfinite(bend))
            length[used++] = bend;
    }
    if (used > 0)
        *step = 6 / (1.538 * sqrt(3.0)) * gsl_stats_median(length, 1, used);
    free(length);
    return SWT_OK;
}

/** True when the marker is seen in every frame and makes no step as long as `farthest`. */
SWT_WIDE static bool never_jumps(const search *s, size_t m, double farthest)
{
    const double *restrict x = s->coordinate[3 * m], *restrict y = s->coordinate[3 * m + 1],
                           *restrict z = s->coordinate[3 * m + 2];
    double surely = 0.999 * farthest * farthest; /* rounding apart */
    size_t n = s->n, calm = 0;

    for (size_t f = 1; f < n; f++) {
        double dx = x[f] - x[f - 1], dy = y[f] - y[f - 1], dz = z[f] - z[f - 1];
        calm += dx * dx + dy * dy + dz * dz <= surely;
    }
    return calm + 1 == n;
}

static swt_status find_jumps(search *s, size_t m, swt_error *err)
{
    size_t last = s->n;
    double noise = -1; /* found when it matters */
    swt_status rc = SWT_OK;

    if (never_jumps(s, m, s->limits->max_speed_mps / s->limits->rate_hz))
        return SWT_OK;
    for (size_t f = 0; f < s->n && rc == SWT_OK; f++) {
        swt_vec3 at = marker_at(s->coordinate, m, f);
        if (!swt_vec3_is_finite(at))
            continue;
        if (last < s->n && f - last <= s->max_gap + 1) {
            double step = swt_norm(swt_sub(at, marker_at(s->coordinate, m, last)));
            double farthest = s->limits->max_speed_mps * (double)(f - last) / s->limits->rate_hz;
            if (step > farthest && noise < 0)
                rc = noise_step(&noise, s, m, err);
            if (rc == SWT_OK && step > farthest + fmax(noise, 0))
                rc = add(
                    s,
                    (swt_label_finding){.kind = SWT_LABEL_JUMP,
                                        .marker = m,
                                        .other = m,
                                        .first = last,
                                        .last = f,
                                        .speed_mps = step * s->limits->rate_hz / (double)(f - last),
                                        .reason = ""},
                    err);
        }
        last = f;
    }
    return rc;
}

static int by_first_frame(const void *a, const void *b)
{
    const swt_label_finding *p = a, *q = b;

    if (p->first != q->first)
        return p->first < q->first ? -1 : 1;
    if (p->kind != q->kind)
        return p->kind < q->kind ? -1 : 1;
    return p->marker < q->marker ? -1 : p->marker > q->marker;
}

void swt_label_report_free(swt_label_report *report)
{
    if (!report)
        return;
    free(report->finding);
    report->finding = NULL;
    report->n_findings = 0;
}

swt_status swt_label_check(swt_label_report *report, double *const *coordinate, size_t n_markers,
                           size_t n, const swt_label_limits *limits, swt_error *err)
{
    const double *const *reading = (const double *const *)coordinate;
    search s = {coordinate, reading, n_markers, n, 0, limits, NULL, NULL, report};
    swt_status rc = SWT_OK;

    *report = (swt_label_report){0, NULL};
    if (!(limits->rate_hz > 0) || !(limits->max_speed_mps > 0) || !(limits->max_gap_s >= 0))
        return swt_fail(err, SWT_EARG,
                        "labels: rate %g Hz, speed limit %g m/s, longest gap %g s; expected "
                        "positive numbers",
                        limits->rate_hz, limits->max_speed_mps, limits->max_gap_s);
    s.max_gap = (size_t)fmin(limits->max_gap_s * limits->rate_hz, (double)n);
    s.miss = malloc((n_markers * n + 2) * sizeof *s.miss);
    if (!s.miss)
        return swt_fail(err, SWT_ENOMEM, "labels: out of memory for %zu markers", n_markers);
    for (size_t m = 0; m < n_markers; m++)
        find_misses(&s, m);
    for (size_t a = 1; a < n_markers && rc == SWT_OK; a++)
        for (size_t b = 0; b < a && rc == SWT_OK; b++)
            rc = find_swaps(&s, a, b, err);
    for (size_t m = 0; m < n_markers && rc == SWT_OK; m++)
        rc = find_jumps(&s, m, err); /* after repairs: a repaired swap leaves no jump */
    if (rc != SWT_OK)
        swt_label_report_free(report);
    else if (report->n_findings > 1)
        qsort(report->finding, report->n_findings, sizeof *report->finding, by_first_frame);
    free(s.miss);
    free(s.pair);
    return rc;
}
