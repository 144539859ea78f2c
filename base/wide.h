/** @file  Kernels for the widest vector unit of the machine.
 *  Layer: base.
 *
 *  SWT_WIDE before a function compiles it twice, for plain x86-64 and for AVX2; the loader chooses.
 *  Such a function adds in an order that its text fixes and contracts nothing, so both give the
 * same bits. Elsewhere (arm64, other C libraries, sanitizers) it is compiled once. */
#ifndef SWT_BASE_WIDE_H
#define SWT_BASE_WIDE_H

#if defined(SWT_TARGET_CLONES)
#define SWT_WIDE __attribute__((target_clones("avx2", "default")))
#else
#define SWT_WIDE
#endif

#endif
