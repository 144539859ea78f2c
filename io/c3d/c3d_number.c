#include "io/c3d/c3d_number.h"

#include <float.h>
#include <math.h>
#include <string.h>

const char *swt_c3d_processor_name(swt_c3d_processor processor)
{
    switch (processor) {
    case SWT_C3D_INTEL:
        return "little-endian IEEE";
    case SWT_C3D_DEC:
        return "little-endian DEC VAX";
    case SWT_C3D_SGI:
        return "big-endian IEEE";
    }
    return "unknown";
}

static inline double double_from_bits(uint64_t bits)
{
    double value;
    memcpy(&value, &bits, sizeof value);
    return value;
}

static inline double real_from_ieee(uint32_t bits)
{
    float value;
    memcpy(&value, &bits, sizeof value);
    return (double)value;
}

static inline uint32_t little_endian(const unsigned char *p)
{
    return (uint32_t)p[3] << 24 | (uint32_t)p[2] << 16 | (uint32_t)p[1] << 8 | p[0];
}

static inline uint32_t big_endian(const unsigned char *p)
{
    return (uint32_t)p[0] << 24 | (uint32_t)p[1] << 16 | (uint32_t)p[2] << 8 | p[3];
}

/* VAX Architecture Reference Manual, F_floating: two little-endian words, the first holding sign,
   exponent (excess 128, fraction 0.1f) and high fraction. Rebuilt as the bits of a double, which
   holds every F value exactly: 0.1f * 2^(e-128) = 1.f * 2^(e-129), biased by 1023. Exponent 0
   with sign 0 is zero whatever the fraction; with sign 1 it is the reserved operand. */
static inline double real_from_vax(const unsigned char *p)
{
    uint32_t w = (uint32_t)p[1] << 24 | (uint32_t)p[0] << 16 | (uint32_t)p[3] << 8 | p[2];
    uint64_t sign = w >> 31, exponent = w >> 23 & 255, fraction = w & 0x7fffff;

    if (exponent == 0)
        return sign ? nan("") : 0;
    return double_from_bits(sign << 63 | (exponent + 1023 - 129) << 52 | fraction << 29);
}

double swt_c3d_real(const unsigned char *p, swt_c3d_processor processor)
{
    double value;

    swt_c3d_decode_reals(&value, p, 1, processor);
    return value;
}

void swt_c3d_decode_reals(double *out, const unsigned char *in, size_t n,
                          swt_c3d_processor processor)
{
    switch (processor) {
    case SWT_C3D_INTEL:
        for (size_t i = 0; i < n; i++)
            out[i] = real_from_ieee(little_endian(in + 4 * i));
        break;
    case SWT_C3D_DEC:
        for (size_t i = 0; i < n; i++)
            out[i] = real_from_vax(in + 4 * i);
        break;
    case SWT_C3D_SGI:
        for (size_t i = 0; i < n; i++)
            out[i] = real_from_ieee(big_endian(in + 4 * i));
        break;
    }
}

void swt_c3d_decode_integers(double *out, const unsigned char *in, size_t n,
                             swt_c3d_processor processor)
{
    if (processor == SWT_C3D_SGI)
        for (size_t i = 0; i < n; i++)
            out[i] = (int16_t)(uint16_t)(in[2 * i] << 8 | in[2 * i + 1]);
    else
        for (size_t i = 0; i < n; i++)
            out[i] = (int16_t)(uint16_t)(in[2 * i + 1] << 8 | in[2 * i]);
}

void swt_c3d_put_word(unsigned char *p, unsigned value, swt_c3d_processor processor)
{
    bool big = processor == SWT_C3D_SGI;

    p[big ? 1 : 0] = (unsigned char)(value & 255);
    p[big ? 0 : 1] = (unsigned char)(value >> 8 & 255);
}

/* The inverse of real_from_vax. A single's exponent field grows by two (129 against 127); single
   subnormals below 2^-128 have no VAX form and become zero, the nearest value. */
static bool put_vax(unsigned char *p, float value)
{
    int exponent;
    double fraction = frexp((double)fabsf(value), &exponent); /* 0.5 <= fraction < 1 */
    uint32_t w = 0;

    if (exponent + 128 > 255)
        return false;
    if (value != 0 && exponent + 128 > 0) {
        uint32_t mantissa = (uint32_t)ldexp(fraction, 24); /* at most 24 bits, so exact */
        w = (signbit(value) ? 1u << 31 : 0) | (uint32_t)(exponent + 128) << 23 |
            (mantissa & 0x7fffff);
    }
    p[0] = (unsigned char)(w >> 16 & 255);
    p[1] = (unsigned char)(w >> 24);
    p[2] = (unsigned char)(w & 255);
    p[3] = (unsigned char)(w >> 8 & 255);
    return true;
}

bool swt_c3d_put_real(unsigned char *p, double value, swt_c3d_processor processor)
{
    float single;
    uint32_t bits;

    if (!(fabs(value) <= (double)FLT_MAX)) /* NaN too */
        return false;
    single = (float)value;
    if (processor == SWT_C3D_DEC)
        return put_vax(p, single);
    memcpy(&bits, &single, sizeof bits);
    for (int i = 0; i < 4; i++)
        p[processor == SWT_C3D_SGI ? 3 - i : i] = (unsigned char)(bits >> 8 * i & 255);
    return true;
}
