#include "datasets/generator/random.h"

#include "base/vector.h"

#include <math.h>

double swt_random_uniform(swt_random *r)
{
    uint64_t z = (r->state += 0x9e3779b97f4a7c15u);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    z ^= z >> 31;
    return ((double)(z >> 12) + 0.5) / 4503599627370496.0; /* 52 bits, never 0 or 1 */
}

double swt_random_normal(swt_random *r)
{
    double u = swt_random_uniform(r), v = swt_random_uniform(r);
    return sqrt(-2 * log(u)) * cos(2 * SWT_PI * v);
}
