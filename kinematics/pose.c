#include "kinematics/pose.h"

#include "kinematics/derivative.h"

#include <math.h>
#include <stdlib.h>

swt_pose swt_pose_missing(void)
{
    swt_pose pose;

    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            pose.rotation.m[i][j] = nan("");
    pose.translation = swt_vec3_nan();
    pose.residual_m = nan("");
    return pose;
}

swt_vec3 swt_pose_invert(const swt_pose *pose, swt_vec3 outer)
{
    swt_mat3 back = swt_mat3_transpose(&pose->rotation);

    return swt_rotate(&back, swt_sub(outer, pose->translation));
}

/** Cofactor matrix: cof(H) = adj(H)^T. */
static swt_mat3 cofactor(const swt_mat3 *h)
{
    swt_mat3 c;

    for (int i = 0; i < 3; i++) {
        int p = (i + 1) % 3, q = (i + 2) % 3;
        for (int j = 0; j < 3; j++) {
            int r = (j + 1) % 3, s = (j + 2) % 3;
            c.m[i][j] = h->m[p][r] * h->m[q][s] - h->m[p][s] * h->m[q][r];
        }
    }
    return c;
}

static double sum_of_squares(const swt_mat3 *h)
{
    double sum = 0;

    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            sum += h->m[i][j] * h->m[i][j];
    return sum;
}

/**
 * Largest root of (x^2 - hh)^2 - 8 det x - 4 cc: with singular values s1 >= s2 >= s3 and s3 signed
 * by det, it is s1 + s2 + s3 (Horn 1987; the polynomial's form: Markley 1993). All four roots are
 * real, so Newton's method falls monotonically on the largest from any bound above it.
 */
static double largest_root(double bound, double hh, double det, double cc)
{
    double x = bound;

    for (int k = 0; k < 100; k++) {
        double b = x * x - hh, slope = 4 * x * b - 8 * det;
        double step = (b * b - 8 * det * x - 4 * cc) / slope;
        if (!(slope > 0))
            break;
        x -= step;
        if (fabs(step) <= 1e-10 * x)
            break; /* convergence is quadratic: what is left lies below rounding */
    }
    return x;
}

/**
 * Proper rotation that maximises trace(R^T H); false when H does not determine one.
 * With e1, e2, e3 the elementary symmetric functions of the signed singular values,
 * R = (H ((e2 + |H|^2) I - H^T H) + e1 cof(H)) / (e1 e2 - e3)   (Markley 1993)
 */
static bool best_rotation(swt_mat3 *r, const swt_mat3 *h, double bound)
{
    swt_mat3 cof = cofactor(h), transposed = swt_mat3_transpose(h), s;
    double hh = sum_of_squares(h), cc = sum_of_squares(&cof);
    double e3 = h->m[0][0] * cof.m[0][0] + h->m[0][1] * cof.m[0][1] + h->m[0][2] * cof.m[0][2];
    double e1 = largest_root(bound, hh, e3, cc), e2 = 0.5 * (e1 * e1 - hh);
    double scale = 1 / (e1 * e2 - e3);

    /* 2 (bound - e1) is the sum of squared residuals: below a tenth of the bound nothing fits */
    if (!(e2 >= SWT_POSE_MIN_SPREAD * e1 * e1) || !(scale > 0) || !(e1 > 0.1 * bound))
        return false;
    s = swt_mat3_multiply(&transposed, h);
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            s.m[i][j] = (i == j ? e2 + hh : 0) - s.m[i][j];
    *r = swt_mat3_multiply(h, &s);
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            r->m[i][j] = scale * (r->m[i][j] + e1 * cof.m[i][j]);
    return true;
}

/** One Newton step to the nearest orthogonal matrix, R (3 - R^T R) / 2: takes off rounding. */
static void orthonormalise(swt_mat3 *r)
{
    swt_mat3 transposed = swt_mat3_transpose(r), s = swt_mat3_multiply(&transposed, r);

    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            s.m[i][j] = (i == j ? 1.5 : 0) - 0.5 * s.m[i][j];
    *r = swt_mat3_multiply(r, &s);
}

/** Markers of one frame that count, gathered so that the fit reads them from one place. */
typedef struct present {
    size_t n;
    double weight_sum;
    double *weight;
    swt_vec3 *reference, *measured;
} present;

static void gather(present *p, const swt_cluster *cluster, const double *const *coordinate,
                   size_t frame)
{
    p->n = 0;
    p->weight_sum = 0;
    for (size_t m = 0; m < cluster->n_markers; m++) {
        swt_vec3 at = {coordinate[3 * m][frame], coordinate[3 * m + 1][frame],
                       coordinate[3 * m + 2][frame]};
        double w = cluster->weight ? cluster->weight[m] : 1;
        if (!(w > 0) || !swt_vec3_is_finite(at) || !swt_vec3_is_finite(cluster->reference[m]))
            continue;
        p->weight[p->n] = w;
        p->reference[p->n] = cluster->reference[m];
        p->measured[p->n] = at;
        p->weight_sum += w;
        p->n++;
    }
}

static swt_vec3 weighted_mean(const present *p, const swt_vec3 *at)
{
    swt_vec3 sum = {0, 0, 0};

    for (size_t k = 0; k < p->n; k++)
        sum = swt_add(sum, swt_scale(at[k], p->weight[k]));
    return swt_scale(sum, 1 / p->weight_sum);
}

static swt_pose fit_frame(const present *p)
{
    swt_pose pose;
    swt_vec3 reference_mean, measured_mean;
    swt_mat3 h = {{{0}}};
    double bound = 0, sum = 0;

    if (p->n < 3)
        return swt_pose_missing();
    reference_mean = weighted_mean(p, p->reference);
    measured_mean = weighted_mean(p, p->measured);
    for (size_t k = 0; k < p->n; k++) {
        swt_vec3 a = swt_sub(p->reference[k], reference_mean);
        swt_vec3 b = swt_sub(p->measured[k], measured_mean);
        swt_vec3 wb = swt_scale(b, p->weight[k]);
        h.m[0][0] += wb.x * a.x;
        h.m[0][1] += wb.x * a.y;
        h.m[0][2] += wb.x * a.z;
        h.m[1][0] += wb.y * a.x;
        h.m[1][1] += wb.y * a.y;
        h.m[1][2] += wb.y * a.z;
        h.m[2][0] += wb.z * a.x;
        h.m[2][1] += wb.z * a.y;
        h.m[2][2] += wb.z * a.z;
        bound += 0.5 * p->weight[k] * (swt_dot(a, a) + swt_dot(b, b));
    }
    if (!best_rotation(&pose.rotation, &h, bound))
        return swt_pose_missing();
    orthonormalise(&pose.rotation);
    pose.translation = swt_sub(measured_mean, swt_rotate(&pose.rotation, reference_mean));
    for (size_t k = 0; k < p->n; k++) {
        swt_vec3 miss = swt_sub(p->measured[k], swt_pose_apply(&pose, p->reference[k]));
        sum += p->weight[k] * swt_dot(miss, miss);
    }
    pose.residual_m = sqrt(sum / p->weight_sum);
    return pose;
}

static void fit_frames(swt_pose *pose, present *p, const swt_cluster *cluster,
                       const double *const *coordinate, size_t n_frames)
{
    for (size_t f = 0; f < n_frames; f++) {
        gather(p, cluster, coordinate, f);
        pose[f] = fit_frame(p);
    }
}

swt_status swt_pose_fit(swt_pose *pose, const swt_cluster *cluster, const double *const *coordinate,
                        size_t n_frames, swt_error *err)
{
    enum {
        USUAL = 16
    }; /* markers of a segment, for which no memory is asked: some fit one frame */
    double weight[USUAL];
    swt_vec3 reference[USUAL], measured[USUAL];
    present p = {.weight = weight, .reference = reference, .measured = measured};
    size_t n = cluster->n_markers;
    swt_status rc = SWT_OK;

    if (n <= USUAL) {
        fit_frames(pose, &p, cluster, coordinate, n_frames);
        return SWT_OK;
    }
    p = (present){.weight = calloc(n, sizeof *p.weight),
                  .reference = calloc(n, sizeof *p.reference),
                  .measured = calloc(n, sizeof *p.measured)};
    if (p.weight && p.reference && p.measured)
        fit_frames(pose, &p, cluster, coordinate, n_frames);
    else
        rc = swt_fail(err, SWT_ENOMEM, "pose: out of memory for %zu markers", n);
    free(p.weight);
    free(p.reference);
    free(p.measured);
    return rc;
}

swt_status swt_pose_angular_velocity(swt_vec3 *omega, const swt_pose *pose, size_t n_frames,
                                     size_t split, double rate_hz, swt_error *err)
{
    double *element = calloc(2 * n_frames + 1, sizeof *element), *rate;

    if (!element)
        return swt_fail(err, SWT_ENOMEM, "angular velocity: out of memory for %zu frames",
                        n_frames);
    rate = element + n_frames;
    for (size_t f = 0; f < n_frames; f++)
        omega[f] = swt_vec3_make(0, 0, 0);
    /* W = R' R^T is skew with W[2][1] = wx, W[0][2] = wy, W[1][0] = wz; each component is half the
     * difference of the two elements that hold it. */
    for (int j = 0; j < 3; j++)
        for (int i = 0; i < 3; i++) {
            for (size_t f = 0; f < n_frames; f++)
                element[f] = pose[f].rotation.m[i][j];
            swt_derivative_first(rate, element, n_frames, split, rate_hz);
            for (size_t f = 0; f < n_frames; f++) {
                const double(*r)[3] = pose[f].rotation.m;
                double half = 0.5 * rate[f];
                if (i == 0) {
                    omega[f].y += half * r[2][j];
                    omega[f].z -= half * r[1][j];
                } else if (i == 1) {
                    omega[f].z += half * r[0][j];
                    omega[f].x -= half * r[2][j];
                } else {
                    omega[f].x += half * r[1][j];
                    omega[f].y -= half * r[0][j];
                }
            }
        }
    free(element);
    return SWT_OK;
}
