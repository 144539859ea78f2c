/** @file  Seeded draws, the same on every machine.
 *  Layer: generator, private. */
#ifndef SWT_GENERATOR_RANDOM_H
#define SWT_GENERATOR_RANDOM_H

#include <stdint.h>

/** State of a stream (splitmix64, Steele et al. 2014); any value is a valid seed. */
typedef struct swt_random {
    uint64_t state;
} swt_random;

/** Uniform on (0, 1). */
double swt_random_uniform(swt_random *r);

/** Standard normal (Box & Muller 1958). */
double swt_random_normal(swt_random *r);

#endif
