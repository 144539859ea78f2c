#include "comparison/tolerance.h"

#include "base/vector.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_integration.h>
#include <math.h>
#include <stdbool.h>

/* The mean's error Z is integrated over +-REACH standard errors: what is left out is below 1e-18,
 * and NODES Gauss-Legendre nodes resolve the smooth integrand beyond double precision. */
#define NODES 128
#define REACH 9.0
#define LARGEST_FACTOR 1e6

static double share_within(double z, double r)
{
    return gsl_cdf_ugaussian_P(z + r) - gsl_cdf_ugaussian_P(z - r);
}

/* The half-width r that holds `coverage` of N(0,1) around z: the share grows with r. */
static double half_width_around(double z, double coverage)
{
    double low = 0, high = fabs(z) + gsl_cdf_ugaussian_Pinv(0.5 + coverage / 2) + 1;

    while (share_within(z, high) < coverage && high < 1e3)
        high *= 2;
    for (int i = 0; i < 200 && high - low > 1e-15 * high; i++) {
        double middle = (low + high) / 2;
        if (share_within(z, middle) < coverage)
            low = middle;
        else
            high = middle;
    }
    return (low + high) / 2;
}

typedef struct quadrature {
    double weight[NODES];
    double half_width[NODES]; /* that the interval needs when the mean errs by this node's Z */
    double df;
} quadrature;

/* P(interval with factor k holds enough): s must be at least half_width / k. */
static double confidence_of(double k, const quadrature *q)
{
    double sum = 0;
    for (int i = 0; i < NODES; i++) {
        double s = q->half_width[i] / k;
        sum += q->weight[i] * (s > 0 ? gsl_cdf_chisq_Q(q->df * s * s, q->df) : 1.0);
    }
    return sum;
}

static swt_status solve(double *k, const quadrature *q, double confidence, swt_error *err)
{
    double low = 0, high = 1;

    while (confidence_of(high, q) < confidence) {
        low = high;
        high *= 2;
        if (high > LARGEST_FACTOR)
            return swt_fail(err, SWT_ENUM, "no tolerance factor below %g for %g degrees of freedom",
                            LARGEST_FACTOR, q->df);
    }
    for (int i = 0; i < 200 && high - low > 1e-14 * high; i++) {
        double middle = (low + high) / 2;
        if (confidence_of(middle, q) < confidence)
            low = middle;
        else
            high = middle;
    }
    *k = (low + high) / 2;
    return SWT_OK;
}

static swt_status check_arguments(double n_effective, double df, double coverage, double confidence,
                                  swt_error *err)
{
    if (!(n_effective > 0) || !(df >= 1) || !isfinite(n_effective) || !isfinite(df))
        return swt_fail(err, SWT_EARG, "a tolerance factor needs n > 0 and df >= 1, not %g and %g",
                        n_effective, df);
    if (!(coverage > 0 && coverage < 1) || !(confidence > 0 && confidence < 1))
        return swt_fail(err, SWT_EARG,
                        "coverage %g and confidence %g must both lie between 0 and 1", coverage,
                        confidence);
    return SWT_OK;
}

static swt_status factor(double *k, bool two_sided, double n_effective, double df, double coverage,
                         double confidence, swt_error *err)
{
    quadrature q = {.df = df};
    double error_sd, normal = 0;
    gsl_integration_glfixed_table *table;
    swt_status rc = check_arguments(n_effective, df, coverage, confidence, err);

    if (rc != SWT_OK)
        return rc;
    table = gsl_integration_glfixed_table_alloc(NODES);
    if (!table)
        return swt_fail(err, SWT_ENOMEM, "no memory for %d quadrature nodes", NODES);
    error_sd = 1 / sqrt(n_effective);
    if (!two_sided)
        normal = gsl_cdf_ugaussian_Pinv(coverage);
    for (size_t i = 0; i < NODES; i++) {
        double u, w;
        gsl_integration_glfixed_point(-REACH, REACH, i, &u, &w, table);
        q.weight[i] = w * exp(-u * u / 2) / sqrt(2 * SWT_PI);
        q.half_width[i] =
            two_sided ? half_width_around(u * error_sd, coverage) : normal + u * error_sd;
    }
    gsl_integration_glfixed_table_free(table);
    return solve(k, &q, confidence, err);
}

swt_status swt_tolerance_two_sided(double *k, double n_effective, double df, double coverage,
                                   double confidence, swt_error *err)
{
    return factor(k, true, n_effective, df, coverage, confidence, err);
}

swt_status swt_tolerance_one_sided(double *k, double n_effective, double df, double coverage,
                                   double confidence, swt_error *err)
{
    return factor(k, false, n_effective, df, coverage, confidence, err);
}

/* Confidence that the interval left after trimming holds `coverage`: the content between order
 * statistics i < j of n is Beta(j - i, n - j + i + 1), whatever the distribution. */
static double order_confidence(size_t n, size_t trim, int sides, double coverage)
{
    size_t outside = (size_t)sides * (trim + 1);

    if (n + 1 <= outside)
        return 0;
    return gsl_cdf_beta_Q(coverage, (double)(n + 1 - outside), (double)outside);
}

static void order_limits(size_t *trim, double *achieved, size_t n, int sides, double coverage,
                         double confidence)
{
    *trim = 0;
    *achieved = order_confidence(n, 0, sides, coverage);
    for (size_t t = 1; t < n; t++) {
        double c = order_confidence(n, t, sides, coverage);
        if (c < confidence)
            break;
        *trim = t;
        *achieved = c;
    }
}

void swt_order_limits(size_t *trim, double *achieved, size_t n, double coverage, double confidence)
{
    order_limits(trim, achieved, n, 2, coverage, confidence);
}

void swt_order_limit(size_t *trim, double *achieved, size_t n, double coverage, double confidence)
{
    order_limits(trim, achieved, n, 1, coverage, confidence);
}

size_t swt_order_least_n(int sides, double coverage, double confidence)
{
    size_t n = (size_t)sides;

    while (order_confidence(n, 0, sides, coverage) < confidence && n < 10000000)
        n++;
    return n;
}
