/** @file  What every test shares: closeness that fails on NaN, the real captures, a fixed draw. */
#ifndef SWT_TESTS_SUPPORT_H
#define SWT_TESTS_SUPPORT_H

#include <setjmp.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

/** Fails with names and 17 digits unless |got - want| <= tolerance; NaN always fails. */
void assert_close(double got, double want, double tolerance, const char *what);

/** Path of a real capture ("swings/swing_a.c3d"), or NULL when the folder is absent. Static buffer.
 */
const char *real_capture(const char *name);

/** Uniform on [0, 1), the same sequence after the same seed on every machine (xorshift64*). */
double draw(uint64_t *seed);

/** Standard normal by Box and Muller from two draws. */
double draw_normal(uint64_t *seed);

/** Reads a whole file; the caller frees. NULL when it cannot be read. */
unsigned char *read_all(const char *path, size_t *size);

#endif
