#include "kinematics/angle.h"

#include <math.h>

/* Nearer to lock than this, the first and third angle are read as one. */
#define LOCKED 1e-9

/** Axes of a sequence; for Euler sequences `k` is the axis that takes no part. */
typedef struct axes {
    int i, j, k;
    bool euler;
    double sign; /**< +1 when i, j, k is a cyclic order */
} axes;

static axes axes_of(swt_sequence sequence)
{
    static const signed char pairs[SWT_SEQUENCE_COUNT / 2][2] = {{0, 1}, {0, 2}, {1, 0},
                                                                 {1, 2}, {2, 0}, {2, 1}};
    const signed char *pair = pairs[(int)sequence % (SWT_SEQUENCE_COUNT / 2)];
    axes a = {.i = pair[0], .j = pair[1], .k = 3 - pair[0] - pair[1]};

    a.euler = sequence >= SWT_SEQUENCE_XYX;
    a.sign = (a.i + 1) % 3 == a.j ? 1 : -1;
    return a;
}

swt_mat3 swt_angle_compose(const double angle[3], swt_sequence sequence)
{
    axes x = axes_of(sequence);
    swt_mat3 first = swt_mat3_about_axis(x.i, angle[0]);
    swt_mat3 second = swt_mat3_about_axis(x.j, angle[1]);
    swt_mat3 third = swt_mat3_about_axis(x.euler ? x.i : x.k, angle[2]);
    swt_mat3 two = swt_mat3_multiply(&first, &second);

    return swt_mat3_multiply(&two, &third);
}

void swt_angle_decompose(double angle[3], const swt_mat3 *r, swt_sequence sequence)
{
    axes x = axes_of(sequence);
    const double(*m)[3] = r->m;
    double s = x.sign, from_lock;

    if (x.euler) {
        from_lock = sqrt(m[x.i][x.j] * m[x.i][x.j] + m[x.i][x.k] * m[x.i][x.k]);
        angle[0] = atan2(m[x.j][x.i], -s * m[x.k][x.i]);
        angle[1] = atan2(from_lock, m[x.i][x.i]);
        angle[2] = atan2(m[x.i][x.j], s * m[x.i][x.k]);
    } else {
        from_lock = sqrt(m[x.i][x.i] * m[x.i][x.i] + m[x.i][x.j] * m[x.i][x.j]);
        angle[0] = atan2(-s * m[x.j][x.k], m[x.k][x.k]);
        angle[1] = atan2(s * m[x.i][x.k], from_lock);
        angle[2] = atan2(-s * m[x.i][x.j], m[x.i][x.i]);
    }
    if (from_lock < LOCKED) {
        angle[0] = atan2(s * m[x.k][x.j], m[x.j][x.j]);
        angle[2] = 0;
    }
}

double swt_angle_turns(double angle, double near)
{
    return angle - 2 * SWT_PI * round((angle - near) / (2 * SWT_PI));
}

/** Into (-pi, pi]. */
static double principal(double angle)
{
    double a = swt_angle_turns(angle, 0);

    return a <= -SWT_PI ? a + 2 * SWT_PI : a;
}

void swt_angle_other(double angle[3], swt_sequence sequence)
{
    angle[0] = principal(angle[0] + SWT_PI);
    angle[1] = axes_of(sequence).euler ? -angle[1] : SWT_PI - angle[1];
    angle[2] = principal(angle[2] + SWT_PI);
}

double swt_angle_lock_distance(const double angle[3], swt_sequence sequence)
{
    double b = angle[1];

    return axes_of(sequence).euler ? asin(fabs(sin(b))) : asin(fabs(cos(b)));
}

void swt_angle_nearest(double angle[3], const double near[3], swt_sequence sequence)
{
    double other[3] = {angle[0], angle[1], angle[2]};
    double distance = 0, other_distance = 0;

    swt_angle_other(other, sequence);
    for (int k = 0; k < 3; k++) {
        angle[k] = swt_angle_turns(angle[k], near[k]);
        other[k] = swt_angle_turns(other[k], near[k]);
        distance += (angle[k] - near[k]) * (angle[k] - near[k]);
        other_distance += (other[k] - near[k]) * (other[k] - near[k]);
    }
    if (other_distance < distance)
        for (int k = 0; k < 3; k++)
            angle[k] = other[k];
}

void swt_angle_series(double *first, double *second, double *third, const swt_pose *proximal,
                      const swt_pose *distal, size_t n, swt_sequence sequence, const double near[3])
{
    double last[3], angle[3];
    bool known = near != NULL;

    for (int k = 0; known && k < 3; k++)
        last[k] = near[k];
    for (size_t f = 0; f < n; f++) {
        swt_mat3 r = distal[f].rotation;
        if (proximal) {
            swt_mat3 back = swt_mat3_transpose(&proximal[f].rotation);
            r = swt_mat3_multiply(&back, &r);
        }
        swt_angle_decompose(angle, &r, sequence);
        if (!isfinite(angle[0] + angle[1] + angle[2])) {
            first[f] = second[f] = third[f] = nan("");
            continue;
        }
        if (known)
            swt_angle_nearest(angle, last, sequence);
        known = true;
        first[f] = last[0] = angle[0];
        second[f] = last[1] = angle[1];
        third[f] = last[2] = angle[2];
    }
}

void swt_angle_unwrap(double *x, size_t n)
{
    double last = nan("");

    for (size_t i = 0; i < n; i++) {
        if (!isfinite(x[i]))
            continue;
        if (isfinite(last))
            x[i] = swt_angle_turns(x[i], last);
        last = x[i];
    }
}

double swt_angle_between(swt_vec3 a, swt_vec3 b)
{
    double across = swt_norm(swt_cross(a, b)), along = swt_dot(a, b);

    return across == 0 && along == 0 ? nan("") : atan2(across, along);
}

double swt_angle_projected(swt_vec3 v, swt_vec3 reference, swt_vec3 normal)
{
    swt_vec3 n = swt_direction(normal);
    /* n x v is v's projection turned by a quarter: same length, same angle to n x reference */
    swt_vec3 p = swt_cross(n, v), q = swt_cross(n, reference);

    if (!(swt_norm(p) > 1e-6 * swt_norm(v)) || !(swt_norm(q) > 1e-6 * swt_norm(reference)))
        return nan("");
    return atan2(swt_dot(n, swt_cross(q, p)), swt_dot(q, p));
}

double swt_angle_elevation(swt_vec3 v)
{
    double across = hypot(v.x, v.y);

    return across == 0 && v.z == 0 ? nan("") : atan2(v.z, across);
}
