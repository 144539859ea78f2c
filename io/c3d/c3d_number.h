/** @file  Numbers as C3D files store them: three processors, two byte orders, two float formats.
 *  Layer: io. Nothing in a C3D file is aligned, so every load is made byte by byte or by memcpy. */
#ifndef SWT_IO_C3D_C3D_NUMBER_H
#define SWT_IO_C3D_C3D_NUMBER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/** The processor byte of the parameter section; one choice holds for the whole file. */
typedef enum swt_c3d_processor {
    SWT_C3D_INTEL = 84, /**< little-endian, IEEE 754 floats  */
    SWT_C3D_DEC = 85,   /**< little-endian, VAX F floats     */
    SWT_C3D_SGI = 86    /**< big-endian, IEEE 754 floats     */
} swt_c3d_processor;

/** "little-endian IEEE", ... */
const char *swt_c3d_processor_name(swt_c3d_processor processor);

/** 16-bit word at `p`, unsigned: counts, pointers and their like are used unsigned. */
static inline unsigned swt_c3d_word(const unsigned char *p, swt_c3d_processor processor)
{
    return processor == SWT_C3D_SGI ? (unsigned)(p[0] << 8 | p[1]) : (unsigned)(p[1] << 8 | p[0]);
}

/** One 32-bit real at `p`; a VAX reserved operand comes out as NaN. Exact in double. */
double swt_c3d_real(const unsigned char *p, swt_c3d_processor processor);

/** Decodes `n` consecutive reals; the loop is per processor, without a call per value. */
void swt_c3d_decode_reals(double *out, const unsigned char *in, size_t n,
                          swt_c3d_processor processor);

/** Decodes `n` consecutive 16-bit integers, signed. */
void swt_c3d_decode_integers(double *out, const unsigned char *in, size_t n,
                             swt_c3d_processor processor);

/** Stores a 16-bit word. */
void swt_c3d_put_word(unsigned char *p, unsigned value, swt_c3d_processor processor);

/**
 * Stores the single-precision number nearest to `value`.
 * @return false when the format cannot hold it (not finite, or beyond 2^127 in VAX F)
 */
bool swt_c3d_put_real(unsigned char *p, double value, swt_c3d_processor processor);

#endif
