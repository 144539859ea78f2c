#include "comparison/draws.h"

#include "comparison/array.h"
#include "comparison/corridor.h"

#include <gsl/gsl_randist.h>
#include <stdlib.h>

#define MOST_NUMBERS                                                                               \
    (8u << 20) /* 64 MB: beyond, each corridor draws for itself, block by block                    \
                */

/* One 32-bit seed from (seed, stream, resample): SplitMix64's finaliser (Steele, Lea & Flood 2014).
 */
static unsigned long mix(unsigned long seed, uint64_t stream, size_t resample)
{
    uint64_t z = ((uint64_t)seed * 0x9E3779B97F4A7C15u ^ stream) + (uint64_t)resample + 1;

    z *= 0x9E3779B97F4A7C15u;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return (unsigned long)((z ^ (z >> 31)) & 0xFFFFFFFFu);
}

void swt_draws_start(gsl_rng *rng, unsigned long seed, uint64_t stream, size_t resample)
{
    gsl_rng_set(rng, mix(seed, stream, resample));
}

void swt_draws_block(double *out, gsl_rng *rng, unsigned long seed, size_t first, size_t n_rows)
{
    for (size_t i = 0; i < SWT_AT_ONCE; i++) {
        swt_draws_start(rng, seed, 0, first + i);
        for (size_t r = 0; r < n_rows; r++)
            out[r * SWT_AT_ONCE + i] = gsl_ran_gaussian_ziggurat(rng, 1.0);
    }
}

void swt_corridor_draws_free(swt_corridor_draws *draws)
{
    if (!draws)
        return;
    free(draws->value);
    free(draws);
}

swt_status swt_corridor_draws_new(swt_corridor_draws **out, const int *player, size_t n_swings,
                                  const swt_corridor_options *options, swt_error *err)
{
    size_t n_players, *index, n_blocks = (options->n_resamples + SWT_AT_ONCE - 1) / SWT_AT_ONCE;
    swt_corridor_draws *draws = NULL;
    gsl_rng *rng = NULL;
    swt_status rc;

    *out = NULL;
    rc = swt_player_index(&index, &n_players, player, n_swings, err);
    if (rc != SWT_OK)
        return rc;
    free(index);
    if (n_blocks > MOST_NUMBERS / SWT_AT_ONCE / (n_players + n_swings + 1))
        return SWT_OK;
    draws = calloc(1, sizeof *draws);
    rng = gsl_rng_alloc(gsl_rng_taus2);
    if (draws) {
        draws->n_rows = n_players + n_swings;
        draws->n_resamples = options->n_resamples;
        draws->seed = options->seed;
        draws->value = swt_doubles(n_blocks * SWT_AT_ONCE, draws->n_rows);
    }
    if (!draws || !rng || !draws->value) {
        swt_corridor_draws_free(draws);
        rc = swt_fail(err, SWT_ENOMEM, "no memory to resample %zu swings", n_swings);
        goto done;
    }
    for (size_t b = 0; b < n_blocks; b++)
        swt_draws_block(&draws->value[b * SWT_AT_ONCE * draws->n_rows], rng, draws->seed,
                        b * SWT_AT_ONCE, draws->n_rows);
    *out = draws;
done:
    if (rng)
        gsl_rng_free(rng);
    return rc;
}
