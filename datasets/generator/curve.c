#include "datasets/generator/curve.h"

#include <gsl/gsl_linalg.h>
#include <math.h>

swt_status swt_curve_add(swt_curve *curve, double time_s, double value, double velocity,
                         swt_error *err)
{
    if (curve->n == SWT_CURVE_KNOTS)
        return swt_fail(err, SWT_EARG, "a curve holds at most %d knots", SWT_CURVE_KNOTS);
    if (!isfinite(time_s) || !isfinite(value) ||
        (curve->n > 0 && !(time_s > curve->time_s[curve->n - 1])))
        return swt_fail(err, SWT_EARG,
                        "knot %zu of a curve at %g s, value %g: times must rise and all be finite",
                        curve->n + 1, time_s, value);
    curve->time_s[curve->n] = time_s;
    curve->value[curve->n] = value;
    curve->velocity[curve->n] = velocity;
    curve->acceleration[curve->n] = 0;
    curve->n++;
    return SWT_OK;
}

/* Adds `sign` times the third (order 3) or fourth (order 4) derivative at the start (end = 0) or
   end (end = 1) of the piece that begins at knot k to row r. Unknowns: velocity of knot i in
   column 2(i-1), acceleration in the column after it. */
static void add_derivative(gsl_matrix *a, gsl_vector *b, size_t r, const swt_curve *c, size_t k,
                           int order, int end, double sign)
{
    /* coefficients of rise, v0 h, v1 h, a0 h^2, a1 h^2 in the quintic Hermite form */
    static const double table[2][2][5] = {{{60, -36, -24, -9, 3}, {60, -24, -36, -3, 9}},
                                          {{-360, 192, 168, 36, -24}, {360, -168, -192, -24, 36}}};
    const double *w = table[order - 3][end];
    double h = c->time_s[k + 1] - c->time_s[k];
    double scale = sign / pow(h, order);
    double known = w[0] * (c->value[k + 1] - c->value[k]);

    for (size_t j = 0; j < 2; j++) {
        size_t i = k + j;
        if (i == 0 || i == c->n - 1)
            continue; /* at rest: both terms are zero */
        gsl_matrix_set(a, r, 2 * (i - 1), gsl_matrix_get(a, r, 2 * (i - 1)) + scale * w[1 + j] * h);
        gsl_matrix_set(a, r, 2 * (i - 1) + 1,
                       gsl_matrix_get(a, r, 2 * (i - 1) + 1) + scale * w[3 + j] * h * h);
    }
    gsl_vector_set(b, r, gsl_vector_get(b, r) - scale * known);
}

static void fill_system(gsl_matrix *a, gsl_vector *b, const swt_curve *c)
{
    gsl_matrix_set_zero(a);
    gsl_vector_set_zero(b);
    for (size_t i = 1; i + 1 < c->n; i++) {
        size_t r = 2 * (i - 1);
        add_derivative(a, b, r, c, i - 1, 3, 1, 1);
        add_derivative(a, b, r, c, i, 3, 0, -1);
        if (isnan(c->velocity[i])) {
            add_derivative(a, b, r + 1, c, i - 1, 4, 1, 1);
            add_derivative(a, b, r + 1, c, i, 4, 0, -1);
        } else {
            gsl_matrix_set(a, r + 1, r, 1);
            gsl_vector_set(b, r + 1, c->velocity[i]);
        }
    }
}

swt_status swt_curve_fit(swt_curve *curve, swt_error *err)
{
    size_t unknowns = curve->n > 2 ? 2 * (curve->n - 2) : 0;
    gsl_matrix *a = NULL;
    gsl_vector *b = NULL;
    gsl_permutation *p = NULL;
    swt_status rc = SWT_OK;
    int sign;

    if (curve->n > 0) {
        curve->velocity[0] = curve->velocity[curve->n - 1] = 0;
        curve->acceleration[0] = curve->acceleration[curve->n - 1] = 0;
    }
    if (unknowns == 0)
        return SWT_OK;
    a = gsl_matrix_alloc(unknowns, unknowns);
    b = gsl_vector_alloc(unknowns);
    p = gsl_permutation_alloc(unknowns);
    if (!a || !b || !p) {
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
        goto done;
    }
    fill_system(a, b, curve);
    if (gsl_linalg_LU_decomp(a, p, &sign) || gsl_linalg_LU_svx(a, p, b)) {
        rc = swt_fail(err, SWT_ENUM, "a curve through %zu knots has no solution", curve->n);
        goto done;
    }
    for (size_t i = 1; i + 1 < curve->n; i++) {
        curve->velocity[i] = gsl_vector_get(b, 2 * (i - 1));
        curve->acceleration[i] = gsl_vector_get(b, 2 * (i - 1) + 1);
    }
done:
    gsl_permutation_free(p);
    gsl_vector_free(b);
    gsl_matrix_free(a);
    return rc;
}

double swt_curve_value(const swt_curve *c, double time_s)
{
    size_t k = 0;
    double h, s, rise, v0, v1, a0, a1;

    if (c->n == 0)
        return 0;
    if (time_s <= c->time_s[0])
        return c->value[0];
    if (time_s >= c->time_s[c->n - 1])
        return c->value[c->n - 1];
    while (time_s > c->time_s[k + 1])
        k++;
    h = c->time_s[k + 1] - c->time_s[k];
    s = (time_s - c->time_s[k]) / h;
    rise = c->value[k + 1] - c->value[k];
    v0 = c->velocity[k] * h;
    v1 = c->velocity[k + 1] * h;
    a0 = c->acceleration[k] * h * h;
    a1 = c->acceleration[k + 1] * h * h;
    return c->value[k] +
           s * (v0 +
                s * (a0 / 2 + s * ((10 * rise - 6 * v0 - 4 * v1 - 1.5 * a0 + 0.5 * a1) +
                                   s * ((-15 * rise + 8 * v0 + 7 * v1 + 1.5 * a0 - a1) +
                                        s * (6 * rise - 3 * v0 - 3 * v1 - 0.5 * a0 + 0.5 * a1)))));
}
