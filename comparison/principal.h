/** @file  Principal components of a small table, and the distance that they measure.
 *  Layer: comparison. */
#ifndef SWT_COMPARISON_PRINCIPAL_H
#define SWT_COMPARISON_PRINCIPAL_H

#include "base/status.h"

#include <stddef.h>

typedef struct swt_principal {
    size_t n_columns;
    size_t n_components;   /**< with variance above rounding, most first                     */
    double *variance;      /**< n_components, singular value^2 / (n_rows - 1)                */
    double *direction;     /**< n_components * n_columns, unit vectors                       */
    double total_variance; /**< sum over all components                                      */
} swt_principal;

/** Components of deviations from the centre (rows already centred), by GSL's SVD.
 *  @retval SWT_EDATA  fewer than two rows or a value that is not finite */
SWT_MUST_USE swt_status swt_principal_fit(swt_principal *out, const double *rows, size_t n_rows,
                                          size_t n_columns, swt_error *err);
void swt_principal_reset(swt_principal *p);

/** Squared distance of a deviation in the first `n_components` components: sum of (score^2 /
 *  variance). `contribution` (n_columns, may be NULL) splits it over the columns; the parts add up
 *  to it and single ones may be negative. `rest` (may be NULL) is the squared length that the
 *  components do not reach. */
double swt_principal_distance(double *contribution, double *rest, const swt_principal *p,
                              size_t n_components, const double *deviation);

/**
 * Squared Mahalanobis distance of a point from the mean of a table (n_rows * n_columns) in the
 * metric of its covariance (n - 1). n_rows times it is Hotelling's one-sample T2.
 * @retval SWT_EDATA  the covariance is singular (fewer rows than columns + 1, or dependent columns)
 */
SWT_MUST_USE swt_status swt_mahalanobis(double *squared, const double *point, const double *table,
                                        size_t n_rows, size_t n_columns, swt_error *err);

#endif
