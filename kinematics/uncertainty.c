#include "kinematics/uncertainty.h"

#include "kinematics/measure.h"

#include <gsl/gsl_randist.h>
#include <gsl/gsl_rng.h>
#include <gsl/gsl_sort.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { N = SWT_CURVE_SAMPLES };

/* Event times, then measures, of each replicate: value[row * n + index]; NaN where absent. Of
 * registered curves, which would take too much room, the squares of the differences are added up.
 */
struct swt_replicates {
    size_t n;
    double *value, *scratch;
    double square[SWT_SERIES_COUNT][N];
    size_t found[SWT_SERIES_COUNT][N];
};

static size_t row_count(void)
{
    return SWT_EVENT_COUNT + swt_measure_count();
}

swt_status swt_replicates_new(swt_replicates **out, size_t n, swt_error *err)
{
    swt_replicates *r = calloc(1, sizeof *r);

    *out = NULL;
    if (r) {
        r->n = n;
        r->value = malloc((row_count() + 1) * n * sizeof *r->value);
        r->scratch = r->value ? r->value + row_count() * n : NULL;
    }
    if (!r || !r->value) {
        swt_replicates_free(r);
        return swt_fail(err, SWT_ENOMEM, "out of memory for %zu replicates", n);
    }
    for (size_t k = 0; k < n; k++)
        swt_replicates_keep(r, k, NULL);
    *out = r;
    return SWT_OK;
}

void swt_replicates_free(swt_replicates *replicates)
{
    if (!replicates)
        return;
    free(replicates->value);
    free(replicates);
}

/* Median of the landmarks whose noise is known; 0 when none is. */
static double median_noise(const swt_landmark_set *set, const swt_quality *quality)
{
    double noise[SWT_LANDMARK_COUNT];
    size_t n = 0;

    for (int i = 0; i < SWT_LANDMARK_COUNT; i++)
        if (set->present[i] && quality->noise_m[i] > 0)
            noise[n++] = quality->noise_m[i];
    gsl_sort(noise, 1, n);
    return n > 0 ? noise[n / 2] : 0;
}

swt_status swt_replicate_draw(swt_landmark_set **out, const swt_landmark_set *pilot,
                              const swt_quality *quality, size_t index, swt_error *err)
{
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_mt19937);
    double usual = median_noise(pilot, quality);
    swt_landmark_set *set;
    swt_status rc;

    *out = NULL;
    if (!rng)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    rc = swt_landmark_set_copy(out, pilot, 0, pilot->n_frames, err);
    set = *out;
    gsl_rng_set(rng, (unsigned long)index + 1);
    for (int i = 0; rc == SWT_OK && i < SWT_LANDMARK_COUNT; i++) {
        double sd = quality->noise_m[i] > 0 ? quality->noise_m[i] : usual;
        if (!set->present[i])
            continue;
        for (size_t f = 0; f < set->n_frames; f++) {
            bool recorded = set->origin[i][f] == SWT_ORIGIN_RECORDED;
            for (int k = 0; k < 3; k++)
                set->axis[i][k][f] =
                    recorded ? set->axis[i][k][f] + gsl_ran_gaussian_ziggurat(rng, sd) : nan("");
            if (!recorded)
                set->origin[i][f] = SWT_ORIGIN_MISSING;
        }
    }
    gsl_rng_free(rng);
    return rc;
}

void swt_replicates_keep(swt_replicates *replicates, size_t index, const swt_swing *swing)
{
    double *at = replicates->value + index;

    for (int e = 0; e < SWT_EVENT_COUNT; e++, at += replicates->n)
        *at = swing ? swing->event[e].time_s : nan("");
    for (size_t m = 0; m < swt_measure_count(); m++, at += replicates->n)
        *at = swing ? swing->measure[m].value : nan("");
}

void swt_replicates_keep_curves(swt_replicates *replicates, const swt_swing *reference,
                                const swt_swing *swing)
{
    for (int s = 0; s < SWT_SERIES_COUNT; s++) {
        const double *of = reference->curve[s], *own = swing->curve[s];
        for (size_t i = 0; of && own && i < N; i++) {
            double d = own[i] - of[i];
            if (!isfinite(d))
                continue;
            if (swt_series_describe((swt_series)s)->quantity == SWT_ANGLE)
                d = remainder(d, 2 * SWT_PI);
            replicates->square[s][i] += d * d;
            replicates->found[s][i]++;
        }
    }
}

/* Beyond this many median differences a replicate found something else: 6.7 standard deviations of
 * a normal distribution (own choice). */
static const double far_away = 10;

/* Uncertainty of what is truly `value` from its replicates; *doubtful when noise decides what is
 * found. */
static double spread(bool *doubtful, const double *replicate, size_t n, double value, bool is_angle,
                     double *difference)
{
    double squares = 0;
    size_t found = 0;

    for (size_t k = 0; k < n; k++) {
        double d = replicate[k] - value;
        if (!isfinite(d))
            continue;
        if (is_angle)
            d = remainder(d, 2 * SWT_PI); /* a whole turn is the same direction */
        squares += d * d;
        difference[found++] = fabs(d);
    }
    *doubtful = found < n;
    if (2 * found < n || found < SWT_REPLICATES_MIN)
        return nan("");
    gsl_sort(difference, 1, found);
    if (difference[found - 1] > far_away * difference[found / 2] && difference[found / 2] > 0)
        *doubtful = true;
    return sqrt(squares / (double)(found - 2)); /* K / (K - 2) times the mean of K squares */
}

/* Variance of a value from the choice of cut-off: rectangular between what the lower and the higher
 * one give (JCGM 100:2008, 4.3.7); 0 where one of them does not have it. */
static double choice_variance(double lower, double higher, bool is_angle)
{
    double width = higher - lower;

    if (is_angle)
        width = remainder(width, 2 * SWT_PI);
    return isfinite(width) ? width * width / 12 : 0;
}

void swt_uncertainty_estimate(swt_swing *swing, const swt_swing *reference,
                              swt_replicates *replicates, const swt_swing *lower,
                              const swt_swing *higher)
{
    const swt_verdict noise_decides = swt_limited(SWT_REASON_NOISE_DECIDES, 0);
    const double *row = replicates->value;
    size_t n = replicates->n;
    bool doubtful;

    for (int e = 0; e < SWT_EVENT_COUNT; e++, row += n) {
        swt_event_time *at = &swing->event[e];
        if (at->verdict.state == SWT_ABSENT)
            continue;
        at->sd_s =
            spread(&doubtful, row, n, reference->event[e].time_s, false, replicates->scratch);
        if (lower && higher)
            at->sd_s = sqrt(at->sd_s * at->sd_s + choice_variance(lower->event[e].time_s,
                                                                  higher->event[e].time_s, false));
        if (doubtful)
            at->verdict = swt_worse(at->verdict, noise_decides);
    }
    for (size_t m = 0; m < swt_measure_count(); m++, row += n) {
        swt_measurement *to = &swing->measure[m];
        if (to->verdict.state == SWT_ABSENT)
            continue;
        to->sd = spread(&doubtful, row, n, reference->measure[m].value,
                        swt_measure_row(m)->quantity == SWT_ANGLE, replicates->scratch);
        if (lower && higher)
            to->sd = sqrt(to->sd * to->sd +
                          choice_variance(lower->measure[m].value, higher->measure[m].value,
                                          swt_measure_row(m)->quantity == SWT_ANGLE));
        if (doubtful)
            to->verdict = swt_worse(to->verdict, noise_decides);
    }
}

swt_status swt_uncertainty_of_curves(swt_swing *swing, const swt_replicates *replicates,
                                     const swt_swing *lower, const swt_swing *higher,
                                     swt_error *err)
{
    for (int s = 0; s < SWT_SERIES_COUNT; s++) {
        bool is_angle = swt_series_describe((swt_series)s)->quantity == SWT_ANGLE, any = false;
        bool both = lower && higher && lower->curve[s] && higher->curve[s];
        float sd[N];
        for (size_t i = 0; i < N; i++) {
            size_t found = replicates->found[s][i];
            bool enough = 2 * found >= replicates->n && found >= SWT_REPLICATES_MIN;
            double choice =
                both ? choice_variance(lower->curve[s][i], higher->curve[s][i], is_angle) : 0;
            sd[i] = enough ? (float)sqrt(replicates->square[s][i] / (double)(found - 2) + choice)
                           : nanf("");
            any = any || enough;
        }
        if (!any)
            continue;
        swing->curve_sd[s] = malloc(sizeof sd);
        if (!swing->curve_sd[s])
            return swt_fail(err, SWT_ENOMEM, "out of memory");
        memcpy(swing->curve_sd[s], sd, sizeof sd);
    }
    return SWT_OK;
}
