/* Prints docs/coverage.md's tables: stated coverage against achieved, by simulation. */
#include "comparison/simulate.h"

#include <math.h>
#include <stdio.h>

static const swt_simulation plain = {
    .n_samples = 51,
    .between_share = 0.7,
    .length_scale = 0.1,
    .n_groups = 400,
    .n_new_players = 100,
    .corridor = {.coverage = 0.95, .confidence = 0.90, .n_resamples = 1000, .seed = 1},
    .seed = 2026};

static int cell(swt_simulation s)
{
    swt_simulation_result r;
    swt_error err = SWT_ERROR_INIT;

    if (swt_simulate_coverage(&r, &s, &err) != SWT_OK) {
        fprintf(stderr, "coverage: %s\n", err.msg);
        return 1;
    }
    if (r.n_refused == s.n_groups)
        printf(" refused |");
    else
        printf(" %.1f ± %.1f (%.1f) |", 100 * r.coverage, 100 * r.standard_error,
               100 * r.loo_coverage);
    fflush(stdout);
    return 0;
}

/* One line for each size of group; one column for each swings x share. */
static int table(const char *title, swt_simulation s, const size_t *sizes, size_t n_sizes)
{
    static const struct {
        size_t swings;
        double share;
    } column[] = {{1, 0.7}, {3, 0.5}, {3, 0.8}, {5, 0.5}, {5, 0.8}};
    const size_t n_columns = sizeof column / sizeof *column;

    printf("\n## %s\n\n| players |", title);
    for (size_t j = 0; j < n_columns; j++) {
        if (column[j].swings == 1)
            printf(" 1 swing |");
        else
            printf(" %zu swings, %.0f %% |", column[j].swings, 100 * column[j].share);
    }
    printf("\n|---|");
    for (size_t j = 0; j < n_columns; j++)
        printf("---|");
    printf("\n");
    for (size_t i = 0; i < n_sizes; i++) {
        printf("| %zu |", sizes[i]);
        for (size_t j = 0; j < n_columns; j++) {
            s.n_players = sizes[i];
            s.swings_per_player = column[j].swings;
            s.between_share = column[j].share;
            if (cell(s) != 0)
                return 1;
        }
        printf("\n");
    }
    return 0;
}

int main(void)
{
    static const size_t all[] = {4, 5, 8, 10, 15, 20, 30, 50}, some[] = {15, 30, 50};
    swt_simulation s = plain;

    if (table("Curves, stated 95 %", s, all, sizeof all / sizeof *all) != 0)
        return 1;
    s.length_scale = 0.03;
    if (table("Rougher curves (length scale 3 % of the curve)", s, some, 3) != 0)
        return 1;
    s.length_scale = 0.4;
    if (table("Smoother curves (length scale 40 %)", s, some, 3) != 0)
        return 1;
    s = plain;
    s.corridor.coverage = 0.90;
    if (table("Curves, stated 90 %", s, some, 3) != 0)
        return 1;
    s = plain;
    s.tail_df = 5;
    if (table("Heavy tails: Student's t with 5 degrees of freedom, stated 95 %", s, some, 3) != 0)
        return 1;
    s = plain;
    s.n_samples = 1;
    s.corridor.n_resamples = 200;
    return table("Scalars: tolerance interval, 95 % with confidence 90 %", s, all,
                 sizeof all / sizeof *all);
}
