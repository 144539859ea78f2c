/* The draws behind the resampled experiments: what depends on the seed, and what does not. */
#include "comparison/draws.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdlib.h>

static int ascending(const void *a, const void *b)
{
    unsigned long x = *(const unsigned long *)a, y = *(const unsigned long *)b;
    return (x > y) - (x < y);
}

/* Seed, stream and resample each name a generator of their own: of 4096 no two start alike. */
static void every_resample_has_a_generator_of_its_own(void **state)
{
    enum { SEEDS = 4, STREAMS = 4, RESAMPLES = 256, ALL = SEEDS * STREAMS * RESAMPLES };
    static const uint64_t stream[STREAMS] = {0, 0x9ae16a3b2f90404f, 0xc949d7c7509e6557,
                                             0x0d6d3c1f8e2b7a45}; /* hashes, as those of bands */
    unsigned long first[ALL];
    size_t n = 0;
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_taus2);

    (void)state;
    assert_non_null(rng);
    for (unsigned long seed = 0; seed < SEEDS; seed++)
        for (size_t k = 0; k < STREAMS; k++)
            for (size_t r = 0; r < RESAMPLES; r++) {
                swt_draws_start(rng, seed, stream[k], r);
                first[n++] = gsl_rng_get(rng);
            }
    qsort(first, n, sizeof *first, ascending);
    for (size_t i = 1; i < n; i++)
        assert_true(first[i] != first[i - 1]);
    gsl_rng_free(rng);
}

/* Weights are standard normal, those of two seeds have nothing in common, and those of a row are
 * the same whatever follows it. */
static void weights_are_normal_and_their_seed_s_own(void **state)
{
    enum { ROWS = 20, BLOCKS = 1000, BLOCK = ROWS * SWT_AT_ONCE };
    const double n = (double)BLOCKS * BLOCK;
    double one[BLOCK], two[BLOCK], fewer[BLOCK], sum = 0, squares = 0, products = 0;
    gsl_rng *rng = gsl_rng_alloc(gsl_rng_taus2);

    (void)state;
    assert_non_null(rng);
    for (size_t b = 0; b < BLOCKS; b++) {
        swt_draws_block(one, rng, 1, b * SWT_AT_ONCE, ROWS);
        swt_draws_block(two, rng, 2, b * SWT_AT_ONCE, ROWS);
        swt_draws_block(fewer, rng, 1, b * SWT_AT_ONCE, ROWS / 2);
        assert_memory_equal(fewer, one, sizeof fewer / 2);
        for (size_t i = 0; i < BLOCK; i++) {
            sum += one[i];
            squares += one[i] * one[i];
            products += one[i] * two[i];
        }
    }
    /* four standard errors: of a mean, of a variance (2 / n), of a correlation */
    assert_close(sum / n, 0, 4 / sqrt(n), "mean");
    assert_close(squares / n, 1, 4 * sqrt(2 / n), "variance");
    assert_close(products / n, 0, 4 / sqrt(n), "correlation of two seeds");
    gsl_rng_free(rng);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_resample_has_a_generator_of_its_own),
        cmocka_unit_test(weights_are_normal_and_their_seed_s_own),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
