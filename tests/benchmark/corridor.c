/* Times the corridors of a whole study: 50 players x 10 swings, 20 curves of 101 samples, 2,000
 * resamples, and the family factor over all of them. Prints one line. The same work in NumPy, by
 * gathering each resample and as matrix products: tests/benchmark/corridor.py. */
#include "comparison/corridor.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

enum { PLAYERS = 50, EACH = 10, SWINGS = PLAYERS * EACH, SAMPLES = 101, MEASURES = 20 };

/** Processor seconds of this process. */
static double now_s(void)
{
    struct timespec t;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t); /* other work on the machine disturbs less */
    return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* Five harmonics per player and per swing: smooth, of rank 10. */
static void make_measure(double *x, uint64_t *seed)
{
    for (int p = 0; p < PLAYERS; p++) {
        double own[10];
        for (int k = 0; k < 10; k++)
            own[k] = draw_normal(seed) / (1 + k / 2);
        for (int s = 0; s < EACH; s++) {
            double swing[10];
            for (int k = 0; k < 10; k++)
                swing[k] = own[k] + 0.6 * draw_normal(seed) / (1 + k / 2);
            for (int t = 0; t < SAMPLES; t++) {
                double sum = 0;
                for (int k = 0; k < 10; k++)
                    sum += swing[k] *
                           (k % 2 ? sin((k / 2 + 1) * 0.05 * t) : cos((k / 2 + 1) * 0.05 * t));
                *x++ = sum;
            }
        }
    }
}

int main(void)
{
    double *x = malloc(sizeof *x * SWINGS * SAMPLES), start, built = 0, factor, alone;
    int player[SWINGS];
    uint64_t seed = 1;
    swt_corridor *c[MEASURES];
    swt_corridor_options options = SWT_CORRIDOR_OPTIONS_INIT;
    swt_corridor_draws *draws;
    swt_error err = SWT_ERROR_INIT;

    if (!x)
        return 1;
    for (int i = 0; i < SWINGS; i++)
        player[i] = i / EACH;
    start = now_s();
    if (swt_corridor_draws_new(&draws, player, SWINGS, &options, &err) != SWT_OK)
        return 1;
    built += now_s() - start;
    options.draws = draws;
    for (int m = 0; m < MEASURES; m++) {
        make_measure(x, &seed);
        start = now_s();
        if (swt_corridor_build(&c[m], x, player, SWINGS, SAMPLES, &options, &err) != SWT_OK) {
            fprintf(stderr, "%s\n", err.msg);
            return 1;
        }
        built += now_s() - start;
    }
    start = now_s();
    if (swt_corridor_family_factor(&factor, &alone, (const swt_corridor *const *)c, MEASURES, 0.95,
                                   &err) != SWT_OK) {
        fprintf(stderr, "%s\n", err.msg);
        return 1;
    }
    printf("%d swings x %d measures x %d samples x 2000 resamples: corridors %.3f s, family factor "
           "%.4f s (factor %.3f, %.1f %% of clean swings leave a corridor without it)\n",
           SWINGS, MEASURES, SAMPLES, built, now_s() - start, factor, 100 * alone);
    for (int m = 0; m < MEASURES; m++)
        swt_corridor_free(c[m]);
    swt_corridor_draws_free(draws);
    free(x);
    return 0;
}
