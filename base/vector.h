/** @file  Three-dimensional vectors and rotation matrices, small enough to be inline.
 *  Layer: base. Plain doubles; a missing value is NaN and stays NaN. */
#ifndef SWT_BASE_VECTOR_H
#define SWT_BASE_VECTOR_H

#include <math.h>

#define SWT_PI 3.14159265358979323846
#define SWT_DEGREES(rad) ((rad) * (180.0 / SWT_PI))
#define SWT_RADIANS(deg) ((deg) * (SWT_PI / 180.0))

typedef struct swt_vec3 {
    double x, y, z;
} swt_vec3;

/** Row-major: `m[row][column]`. A pose's columns are the segment's axes in the outer frame. */
typedef struct swt_mat3 {
    double m[3][3];
} swt_mat3;

static inline swt_vec3 swt_vec3_make(double x, double y, double z)
{
    return (swt_vec3){x, y, z};
}
static inline swt_vec3 swt_vec3_nan(void)
{
    return (swt_vec3){nan(""), nan(""), nan("")};
}
static inline swt_vec3 swt_add(swt_vec3 a, swt_vec3 b)
{
    return (swt_vec3){a.x + b.x, a.y + b.y, a.z + b.z};
}
static inline swt_vec3 swt_sub(swt_vec3 a, swt_vec3 b)
{
    return (swt_vec3){a.x - b.x, a.y - b.y, a.z - b.z};
}
static inline swt_vec3 swt_scale(swt_vec3 a, double s)
{
    return (swt_vec3){a.x * s, a.y * s, a.z * s};
}
static inline swt_vec3 swt_mid(swt_vec3 a, swt_vec3 b)
{
    return swt_scale(swt_add(a, b), 0.5);
}
static inline double swt_dot(swt_vec3 a, swt_vec3 b)
{
    return a.x * b.x + a.y * b.y + a.z * b.z;
}
static inline swt_vec3 swt_cross(swt_vec3 a, swt_vec3 b)
{
    return (swt_vec3){a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}
static inline double swt_norm(swt_vec3 a)
{
    return sqrt(swt_dot(a, a));
}
/** Unit vector; NaN for a zero vector, since a direction that does not exist is missing. */
static inline swt_vec3 swt_direction(swt_vec3 a)
{
    double n = swt_norm(a);
    return n > 0 ? swt_scale(a, 1 / n) : swt_vec3_nan();
}
static inline int swt_vec3_is_finite(swt_vec3 a)
{
    return isfinite(a.x) && isfinite(a.y) && isfinite(a.z);
}

static inline swt_mat3 swt_mat3_identity(void)
{
    return (swt_mat3){{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}};
}
static inline swt_mat3 swt_mat3_from_columns(swt_vec3 a, swt_vec3 b, swt_vec3 c)
{
    return (swt_mat3){{{a.x, b.x, c.x}, {a.y, b.y, c.y}, {a.z, b.z, c.z}}};
}
static inline swt_vec3 swt_mat3_column(const swt_mat3 *r, int j)
{
    return (swt_vec3){r->m[0][j], r->m[1][j], r->m[2][j]};
}
static inline swt_vec3 swt_rotate(const swt_mat3 *r, swt_vec3 v)
{
    return (swt_vec3){r->m[0][0] * v.x + r->m[0][1] * v.y + r->m[0][2] * v.z,
                      r->m[1][0] * v.x + r->m[1][1] * v.y + r->m[1][2] * v.z,
                      r->m[2][0] * v.x + r->m[2][1] * v.y + r->m[2][2] * v.z};
}
static inline swt_mat3 swt_mat3_transpose(const swt_mat3 *a)
{
    return (swt_mat3){{{a->m[0][0], a->m[1][0], a->m[2][0]},
                       {a->m[0][1], a->m[1][1], a->m[2][1]},
                       {a->m[0][2], a->m[1][2], a->m[2][2]}}};
}
static inline swt_mat3 swt_mat3_multiply(const swt_mat3 *a, const swt_mat3 *b)
{
    swt_mat3 c;
    for (int i = 0; i < 3; i++)
        for (int j = 0; j < 3; j++)
            c.m[i][j] = a->m[i][0] * b->m[0][j] + a->m[i][1] * b->m[1][j] + a->m[i][2] * b->m[2][j];
    return c;
}
/** Rotation by `angle_rad` about coordinate axis 0 (x), 1 (y) or 2 (z), right-hand rule. */
static inline swt_mat3 swt_mat3_about_axis(int axis, double angle_rad)
{
    swt_mat3 r = swt_mat3_identity();
    int j = (axis + 1) % 3, k = (axis + 2) % 3;
    double c = cos(angle_rad), s = sin(angle_rad);
    r.m[j][j] = c;
    r.m[j][k] = -s;
    r.m[k][j] = s;
    r.m[k][k] = c;
    return r;
}

#endif
