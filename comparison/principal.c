#include "comparison/principal.h"

#include "comparison/array.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

/* A component below this share of the total variance is rounding. */
#define LEAST_SHARE 1e-12

void swt_principal_reset(swt_principal *p)
{
    free(p->variance);
    free(p->direction);
    *p = (swt_principal){0};
}

static bool all_finite(const double *x, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (!isfinite(x[i]))
            return false;
    return true;
}

/* The table, or its transpose when it is wide: GSL decomposes matrices that are not wider than
 * high. */
static void load(gsl_matrix *a, const double *rows, size_t n_rows, size_t n_columns, bool wide)
{
    for (size_t i = 0; i < n_rows; i++)
        for (size_t j = 0; j < n_columns; j++)
            gsl_matrix_set(a, wide ? j : i, wide ? i : j, rows[i * n_columns + j]);
}

static swt_status take(swt_principal *p, const gsl_matrix *directions, const gsl_vector *singular,
                       size_t n_rows, swt_error *err)
{
    size_t n = singular->size;

    p->variance = swt_doubles(n, 1);
    p->direction = swt_doubles(n, p->n_columns);
    if (!p->variance || !p->direction)
        return swt_fail(err, SWT_ENOMEM, "no memory for %zu components", n);
    for (size_t k = 0; k < n; k++) {
        double s = gsl_vector_get(singular, k);
        p->variance[k] = s * s / ((double)n_rows - 1);
        p->total_variance += p->variance[k];
    }
    while (p->n_components < n && p->variance[p->n_components] > LEAST_SHARE * p->total_variance) {
        size_t k = p->n_components++;
        for (size_t j = 0; j < p->n_columns; j++)
            p->direction[k * p->n_columns + j] = gsl_matrix_get(directions, j, k);
    }
    return SWT_OK;
}

swt_status swt_principal_fit(swt_principal *out, const double *rows, size_t n_rows,
                             size_t n_columns, swt_error *err)
{
    bool wide = n_columns > n_rows;
    size_t high = wide ? n_columns : n_rows, narrow = wide ? n_rows : n_columns;
    gsl_matrix *a = NULL, *v = NULL;
    gsl_vector *s = NULL, *work = NULL;
    swt_status rc = SWT_OK;

    *out = (swt_principal){.n_columns = n_columns};
    if (n_rows < 2 || n_columns == 0 || !all_finite(rows, n_rows * n_columns))
        return swt_fail(err, SWT_EDATA,
                        "principal components need two rows of finite numbers, not %zu x %zu",
                        n_rows, n_columns);
    a = gsl_matrix_alloc(high, narrow);
    v = gsl_matrix_alloc(narrow, narrow);
    s = gsl_vector_alloc(narrow);
    work = gsl_vector_alloc(narrow);
    if (!a || !v || !s || !work) {
        rc = swt_fail(err, SWT_ENOMEM, "no memory for %zu x %zu", n_rows, n_columns);
        goto done;
    }
    load(a, rows, n_rows, n_columns, wide);
    if (gsl_linalg_SV_decomp(a, v, s, work) != GSL_SUCCESS) {
        rc = swt_fail(err, SWT_ENUM, "the singular values of %zu x %zu did not converge", n_rows,
                      n_columns);
        goto done;
    }
    rc = take(out, wide ? a : v, s, n_rows, err);
done:
    gsl_matrix_free(a);
    gsl_matrix_free(v);
    gsl_vector_free(s);
    gsl_vector_free(work);
    if (rc != SWT_OK)
        swt_principal_reset(out);
    return rc;
}

double swt_principal_distance(double *contribution, double *rest, const swt_principal *p,
                              size_t n_components, const double *deviation)
{
    size_t n = p->n_columns;
    double squared = 0, reached = 0, length = 0;

    for (size_t j = 0; j < n; j++) {
        length += deviation[j] * deviation[j];
        if (contribution)
            contribution[j] = 0;
    }
    for (size_t k = 0; k < n_components && k < p->n_components; k++) {
        const double *direction = &p->direction[k * n];
        double score = 0;
        for (size_t j = 0; j < n; j++)
            score += direction[j] * deviation[j];
        squared += score * score / p->variance[k];
        reached += score * score;
        for (size_t j = 0; contribution && j < n; j++)
            contribution[j] += score / p->variance[k] * direction[j] * deviation[j];
    }
    if (rest)
        *rest = length > reached ? length - reached : 0;
    return squared;
}

swt_status swt_mahalanobis(double *squared, const double *point, const double *table, size_t n_rows,
                           size_t n_columns, swt_error *err)
{
    swt_principal p = {0};
    double *rows = swt_doubles(n_rows, n_columns), *deviation = swt_doubles(n_columns, 1);
    swt_status rc = SWT_OK;

    if (!rows || !deviation) {
        rc = swt_fail(err, SWT_ENOMEM, "no memory for %zu x %zu", n_rows, n_columns);
        goto done;
    }
    for (size_t j = 0; j < n_columns; j++) {
        double mean = 0;
        for (size_t i = 0; i < n_rows; i++)
            mean += (table[i * n_columns + j] - mean) / ((double)i + 1);
        for (size_t i = 0; i < n_rows; i++)
            rows[i * n_columns + j] = table[i * n_columns + j] - mean;
        deviation[j] = point[j] - mean;
    }
    rc = swt_principal_fit(&p, rows, n_rows, n_columns, err);
    if (rc != SWT_OK)
        goto done;
    if (p.n_components < n_columns)
        rc =
            swt_fail(err, SWT_EDATA, "%zu rows span %zu of %zu columns: the covariance is singular",
                     n_rows, p.n_components, n_columns);
    else
        *squared = swt_principal_distance(NULL, NULL, &p, n_columns, deviation);
done:
    swt_principal_reset(&p);
    free(rows);
    free(deviation);
    return rc;
}
