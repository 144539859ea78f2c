/* The rigid fit: four frames at a time, each as if it were alone. */
#include "kinematics/pose.h"

#include "base/wide.h"

#include <math.h>

enum { FRAMES = 4 };

typedef struct quad3 {
    swt_quad at[3];
} quad3;

typedef struct quad33 {
    swt_quad m[3][3];
} quad33;

/* Four neighbouring frames; behind the last the last again. */
typedef struct frames {
    const swt_cluster *cluster;
    const double *const *coordinate;
    size_t first, last;
} frames;

/** c = a b, or a^T b. */
SWT_WIDE_PART void multiply(quad33 *c, const quad33 *a, const quad33 *b)
{
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            c->m[i][j] =
                a->m[i][0] * b->m[0][j] + a->m[i][1] * b->m[1][j] + a->m[i][2] * b->m[2][j];
}
SWT_WIDE_PART void multiply_transposed(quad33 *c, const quad33 *a, const quad33 *b)
{
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            c->m[i][j] =
                a->m[0][i] * b->m[0][j] + a->m[1][i] * b->m[1][j] + a->m[2][i] * b->m[2][j];
}

SWT_WIDE_PART void dot(swt_quad *sum, const swt_quad *a, const swt_quad *b)
{
    *sum = a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

SWT_WIDE_PART void sum_of_squares(swt_quad *sum, const quad33 *h)
{
    *sum = h->m[0][0] * h->m[0][0];
    for (int i = 1; i < 9; i++)
        *sum += h->m[i / 3][i % 3] * h->m[i / 3][i % 3];
}

/** Cofactor matrix: cof(H) = adj(H)^T. */
SWT_WIDE_PART void cofactor(quad33 *c, const quad33 *h)
{
    for (int i = 0; i < 3; i++) {
        int p = (i + 1) % 3, q = (i + 2) % 3;
        for (int j = 0; j < 3; j++) {
            int r = (j + 1) % 3, s = (j + 2) % 3;
            c->m[i][j] = h->m[p][r] * h->m[q][s] - h->m[p][s] * h->m[q][r];
        }
    }
}

/**
 * Largest root of (x^2 - hh)^2 - 8 det x - 4 cc, from a bound above it: with singular values
 * s1 >= s2 >= s3 and s3 signed by det, it is s1 + s2 + s3 (Horn 1987; the polynomial's form:
 * Markley 1993). All four roots are real, so Newton's method falls monotonically on the largest. A
 * frame that has converged stays: convergence is quadratic, what is left lies below rounding.
 */
SWT_WIDE_PART void largest_root(swt_quad *x, const swt_quad *hh, const swt_quad *det,
                                const swt_quad *cc)
{
    swt_quad_mask open = {-1, -1, -1, -1};

    for (int k = 0; k < 100 && (open[0] | open[1] | open[2] | open[3]); k++) {
        swt_quad b = *x * *x - *hh, slope = 4 * *x * b - 8 * *det;
        swt_quad step = (b * b - 8 * *det * *x - 4 * *cc) / slope, next = *x - step;
        open &= (swt_quad_mask)(slope > 0);
        swt_quad_put(x, &open, &next);
        open &= (swt_quad_mask)(step * step > 1e-20 * *x * *x);
    }
}

/**
 * Proper rotation that maximises trace(R^T H); NaN where H does not determine one.
 * With e1, e2, e3 the elementary symmetric functions of the signed singular values,
 * R = (H ((e2 + |H|^2) I - H^T H) + e1 cof(H)) / (e1 e2 - e3)   (Markley 1993)
 */
SWT_WIDE_PART void best_rotation(quad33 *r, const quad33 *h, const swt_quad *bound)
{
    const swt_quad missing = {nan(""), nan(""), nan(""), nan("")};
    quad33 cof, s;
    swt_quad hh, cc, e1 = *bound, e2, e3, scale;
    swt_quad_mask bad;

    cofactor(&cof, h);
    sum_of_squares(&hh, h);
    sum_of_squares(&cc, &cof);
    dot(&e3, h->m[0], cof.m[0]);
    largest_root(&e1, &hh, &e3, &cc);
    e2 = 0.5 * (e1 * e1 - hh);
    scale = 1 / (e1 * e2 - e3);
    /* 2 (bound - e1) is the sum of squared residuals: below a tenth of the bound nothing fits */
    bad = ~((swt_quad_mask)(e2 >= SWT_POSE_MIN_SPREAD * e1 * e1) & (swt_quad_mask)(scale > 0) &
            (swt_quad_mask)(e1 > 0.1 * *bound));
    swt_quad_put(&scale, &bad, &missing);
    multiply_transposed(&s, h, h);
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            s.m[i][j] = i == j ? e2 + hh - s.m[i][j] : -s.m[i][j];
    multiply(r, h, &s);
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            r->m[i][j] = scale * (r->m[i][j] + e1 * cof.m[i][j]);
}

/** One Newton step to the nearest orthogonal matrix, R (3 - R^T R) / 2: takes off rounding. */
SWT_WIDE_PART void orthonormalise(quad33 *r)
{
    quad33 before = *r, s;

    multiply_transposed(&s, r, r);
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            s.m[i][j] = i == j ? 1.5 - 0.5 * s.m[i][j] : -0.5 * s.m[i][j];
    multiply(r, &before, &s);
}

/** Where a marker is in the reference and was measured; one that does not count is at 0 with weight
 *  0. */
SWT_WIDE_PART void take_marker(double reference[3], quad3 *measured, swt_quad *weight,
                               const frames *f, size_t marker)
{
    const swt_vec3 *rest = &f->cluster->reference[marker];
    double w = f->cluster->weight ? f->cluster->weight[marker] : 1;
    bool finite = swt_vec3_is_finite(*rest), counts = w > 0 && finite;
    const swt_quad zero = {0, 0, 0, 0};
    swt_quad_mask lost = {0, 0, 0, 0};

    reference[0] = finite ? rest->x : 0;
    reference[1] = finite ? rest->y : 0;
    reference[2] = finite ? rest->z : 0;
    *weight = zero + (counts ? w : 0);
    for (int k = 0; k < 3; k++) {
        const double *x = f->coordinate[3 * marker + (size_t)k];
        swt_quad at = zero;
        if (f->first + FRAMES - 1 <= f->last)
            at = *(const swt_quad_at *)(x + f->first);
        else
            for (size_t l = 0; l < FRAMES; l++)
                at[l] = x[f->first + l < f->last ? f->first + l : f->last];
        lost |= ~(swt_quad_mask)(at - at == 0); /* no finite number */
        measured->at[k] = at;
    }
    for (int k = 0; k < 3; k++)
        swt_quad_put(&measured->at[k], &lost, &zero);
    swt_quad_put(weight, &lost, &zero);
}

/** Weighted means of the markers that count, and the sum of their weights; NaN for fewer than 3. */
SWT_WIDE_PART void find_means(quad3 *reference_mean, quad3 *measured_mean, swt_quad *weight_sum,
                              const frames *f)
{
    const swt_quad zero = {0, 0, 0, 0}, missing = zero + nan("");
    swt_quad n = zero;
    swt_quad_mask few;

    *weight_sum = zero;
    for (int k = 0; k < 3; k++)
        reference_mean->at[k] = measured_mean->at[k] = zero;
    for (size_t m = 0; m < f->cluster->n_markers; m++) {
        double a[3];
        quad3 b;
        swt_quad w;
        take_marker(a, &b, &w, f, m);
        for (int k = 0; k < 3; k++) {
            reference_mean->at[k] += w * a[k];
            measured_mean->at[k] += w * b.at[k];
        }
        *weight_sum += w;
        n -= __builtin_convertvector((swt_quad_mask)(w > 0), swt_quad); /* all bits are -1 */
    }
    few = (swt_quad_mask)(n < 3);
    swt_quad_put(weight_sum, &few, &missing);
    for (int k = 0; k < 3; k++) {
        reference_mean->at[k] /= *weight_sum;
        measured_mean->at[k] /= *weight_sum;
    }
}

/** Cross-dispersion H of measured and reference, and a bound on the sum of its singular values. */
SWT_WIDE_PART void find_dispersion(quad33 *h, swt_quad *bound, const quad3 *reference_mean,
                                   const quad3 *measured_mean, const frames *f)
{
    const swt_quad zero = {0, 0, 0, 0};

    *bound = zero;
    for (int i = 0; i < 9; i++)
        h->m[i / 3][i % 3] = zero;
    for (size_t m = 0; m < f->cluster->n_markers; m++) {
        double reference[3];
        quad3 a, b;
        swt_quad w, aa, bb;
        take_marker(reference, &b, &w, f, m);
        for (int k = 0; k < 3; k++) {
            a.at[k] = reference[k] - reference_mean->at[k];
            b.at[k] -= measured_mean->at[k];
        }
        for (int i = 0; i < 3; i++)
            for (int j = 0; j < 3; j++)
                h->m[i][j] += w * b.at[i] * a.at[j];
        dot(&aa, a.at, a.at);
        dot(&bb, b.at, b.at);
        *bound += 0.5 * w * (aa + bb);
    }
}

SWT_WIDE static void fit_frames(swt_pose out[FRAMES], const frames *f)
{
    quad3 reference_mean, measured_mean, translation;
    quad33 h, r;
    swt_quad weight_sum, bound, turned, sum = {0, 0, 0, 0};

    find_means(&reference_mean, &measured_mean, &weight_sum, f);
    find_dispersion(&h, &bound, &reference_mean, &measured_mean, f);
    best_rotation(&r, &h, &bound);
    orthonormalise(&r);
    for (int i = 0; i < 3; i++) {
        dot(&turned, r.m[i], reference_mean.at);
        translation.at[i] = measured_mean.at[i] - turned;
    }
    for (size_t m = 0; m < f->cluster->n_markers; m++) {
        double a[3];
        quad3 b;
        swt_quad w, squares = {0, 0, 0, 0};
        take_marker(a, &b, &w, f, m);
        for (int i = 0; i < 3; i++) {
            swt_quad miss = b.at[i] - (r.m[i][0] * a[0] + r.m[i][1] * a[1] + r.m[i][2] * a[2] +
                                       translation.at[i]);
            squares += miss * miss;
        }
        sum += w * squares;
    }
    sum /= weight_sum;
    for (size_t l = 0; l < FRAMES; l++) {
        for (int i = 0; i < 9; i++)
            out[l].rotation.m[i / 3][i % 3] = r.m[i / 3][i % 3][l];
        out[l].translation =
            swt_vec3_make(translation.at[0][l], translation.at[1][l], translation.at[2][l]);
        out[l].residual_m = sqrt(sum[l]);
    }
}

void swt_pose_fit(swt_pose *pose, const swt_cluster *cluster, const double *const *coordinate,
                  size_t n_frames)
{
    frames f = {cluster, coordinate, 0, n_frames - 1};
    swt_pose last[FRAMES];

    for (; f.first + FRAMES <= n_frames; f.first += FRAMES)
        fit_frames(pose + f.first, &f);
    if (f.first < n_frames)
        fit_frames(last, &f);
    for (size_t k = 0; f.first + k < n_frames; k++)
        pose[f.first + k] = last[k];
}
