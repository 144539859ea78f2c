#include "kinematics/plane.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdlib.h>

double swt_plane_distance(const swt_plane *plane, swt_vec3 point)
{
    return swt_dot(plane->normal, swt_sub(point, plane->centre));
}

static swt_vec3 point_at(const double *x, const double *y, const double *z, size_t i)
{
    return swt_vec3_make(x[i], y[i], z[i]);
}

/** Mean of the finite points; NaN when there is none. */
static swt_vec3 mean_point(size_t *used, const double *x, const double *y, const double *z,
                           size_t n)
{
    swt_vec3 sum = {0, 0, 0};

    *used = 0;
    for (size_t i = 0; i < n; i++)
        if (swt_vec3_is_finite(point_at(x, y, z, i))) {
            sum = swt_add(sum, point_at(x, y, z, i));
            ++*used;
        }
    return swt_scale(sum, 1 / (double)*used);
}

/** Slope and direction of the horizontal line n x z. */
static void orient(swt_plane *plane)
{
    swt_vec3 n = plane->normal;
    double level = hypot(n.x, n.y);

    if (n.z < 0)
        plane->normal = n = swt_scale(n, -1);
    plane->slope_rad = atan2(level, fabs(n.z));
    plane->direction_rad = level > 1e-12 ? atan2(-n.x, n.y) : nan("");
    if (plane->direction_rad > SWT_PI / 2)
        plane->direction_rad -= SWT_PI;
    else if (plane->direction_rad <= -SWT_PI / 2)
        plane->direction_rad += SWT_PI;
}

swt_status swt_plane_fit(swt_plane *plane, const double *x, const double *y, const double *z,
                         size_t n, swt_error *err)
{
    swt_status rc = SWT_OK;
    double v[9], s[3], work[3], *centred = NULL, sum = 0;
    gsl_matrix_view points, right = gsl_matrix_view_array(v, 3, 3);
    gsl_vector_view singular = gsl_vector_view_array(s, 3), spare = gsl_vector_view_array(work, 3);
    swt_plane fit = {.max_m = 0};
    size_t row = 0;

    fit.centre = mean_point(&fit.n_points, x, y, z, n);
    if (fit.n_points < 3)
        return swt_fail(err, SWT_EDATA, "plane: %zu points; at least 3 are needed", fit.n_points);
    centred = malloc(3 * fit.n_points * sizeof *centred);
    if (!centred)
        return swt_fail(err, SWT_ENOMEM, "plane: out of memory for %zu points", fit.n_points);
    for (size_t i = 0; i < n; i++)
        if (swt_vec3_is_finite(point_at(x, y, z, i))) {
            swt_vec3 d = swt_sub(point_at(x, y, z, i), fit.centre);
            centred[3 * row] = d.x;
            centred[3 * row + 1] = d.y;
            centred[3 * row + 2] = d.z;
            row++;
        }
    points = gsl_matrix_view_array(centred, fit.n_points, 3);
    if (gsl_linalg_SV_decomp(&points.matrix, &right.matrix, &singular.vector, &spare.vector) !=
        GSL_SUCCESS) {
        rc = swt_fail(err, SWT_ENUM, "plane: the singular value decomposition failed");
        goto done;
    }
    if (!(s[1] > 1e-6 * s[0])) {
        rc = swt_fail(err, SWT_EDATA, "plane: the %zu points lie on a line", fit.n_points);
        goto done;
    }
    fit.normal = swt_vec3_make(v[2], v[5], v[8]);
    orient(&fit);
    for (size_t i = 0; i < n; i++)
        if (swt_vec3_is_finite(point_at(x, y, z, i))) {
            double d = swt_plane_distance(&fit, point_at(x, y, z, i));
            sum += d * d;
            fit.max_m = fmax(fit.max_m, fabs(d));
        }
    fit.rms_m = sqrt(sum / (double)fit.n_points);
    *plane = fit;
done:
    free(centred);
    return rc;
}
