/** @file  Kernels for the widest vector unit of the machine.
 *  Layer: base.
 *
 *  SWT_WIDE before a function compiles it twice, for plain x86-64 and for AVX2; the loader chooses.
 *  It must be static (Clang 14 gives others a name that no file finds). Such a function adds in an
 *  order that its text fixes and contracts nothing, so both give the same bits. Elsewhere (arm64,
 *  other C libraries, sanitizers) it is compiled once.
 *
 *  What works on four numbers at a time says so with the compiler's own vectors (GCC, Clang): what
 *  it makes of loops changes with every change of their text. Where the machine has narrower
 *  vectors it takes several. They are passed by address: how they are passed by value depends on
 *  the machine. */
#ifndef SWT_BASE_WIDE_H
#define SWT_BASE_WIDE_H

#if defined(SWT_TARGET_CLONES)
#define SWT_WIDE __attribute__((target_clones("avx2", "default")))
#else
#define SWT_WIDE
#endif

/** Part of a kernel, compiled as the SWT_WIDE function that it stands in. */
#define SWT_WIDE_PART static inline __attribute__((always_inline))

typedef double swt_quad __attribute__((vector_size(4 * sizeof(double))));
/** The same in memory, at the address of any double. */
typedef double swt_quad_at __attribute__((vector_size(4 * sizeof(double)), aligned(8), may_alias));
/** What comparing gives, in each number all bits or none. */
typedef long long swt_quad_mask __attribute__((vector_size(4 * sizeof(long long))));

/** to[l] = from[l] where the mask says so. */
SWT_WIDE_PART void swt_quad_put(swt_quad *to, const swt_quad_mask *where, const swt_quad *from)
{
    *to = (swt_quad)((*where & (swt_quad_mask)*from) | (~*where & (swt_quad_mask)*to));
}

#endif
