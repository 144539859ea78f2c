/* Prints docs/coverage.md's tables: stated coverage against achieved, by simulation. */
#include "base/numtext.h"
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

/* Families of independent curves: one line for each number of measures. */
static int families(void)
{
    static const size_t measures[] = {5, 10, 20};
    swt_simulation s = plain;

    s.swings_per_player = 3;
    s.n_groups = 60;
    printf("\n## Families of independent curves, stated 95 %% for all together, 3 swings each\n\n"
           "| measures | players | with the family factor | each measure alone |\n"
           "|---|---|---|---|\n");
    for (size_t i = 0; i < 3; i++)
        for (size_t players = 15; players <= 30; players += 15) {
            swt_simulation_result r;
            swt_error err = SWT_ERROR_INIT;
            s.n_measures = measures[i];
            s.n_players = players;
            if (swt_simulate_coverage(&r, &s, &err) != SWT_OK) {
                fprintf(stderr, "coverage: %s\n", err.msg);
                return 1;
            }
            printf("| %zu | %zu | %.1f ± %.1f | %.1f |\n", measures[i], players, 100 * r.coverage,
                   100 * r.standard_error, 100 * r.coverage_alone);
            fflush(stdout);
        }
    return 0;
}

/* Table `which` of 1 to 7, with its options. */
static int print_table(long which)
{
    static const size_t all[] = {4, 5, 8, 10, 15, 20, 30, 50}, some[] = {15, 30, 50};
    swt_simulation s = plain;

    switch (which) {
    case 1:
        return table("Curves, stated 95 %", s, all, 8);
    case 2:
        s.length_scale = 0.03;
        return table("Rougher curves (length scale 3 % of the curve)", s, some, 3);
    case 3:
        s.length_scale = 0.4;
        return table("Smoother curves (length scale 40 %)", s, some, 3);
    case 4:
        s.corridor.coverage = 0.90;
        return table("Curves, stated 90 %", s, some, 3);
    case 5:
        s.tail_df = 5;
        return table("Heavy tails: Student's t with 5 degrees of freedom, stated 95 %", s, some, 3);
    case 6:
        s.n_samples = 1;
        s.corridor.n_resamples = 200;
        return table("Scalars: tolerance interval, 95 % with confidence 90 %", s, all, 8);
    default:
        return families();
    }
}

/* All tables, or the one whose number is given. */
int main(int argc, char **argv)
{
    long which;

    if (argc > 1) {
        if (!swt_parse_long(&which, argv[1], 1, 7)) {
            fprintf(stderr, "coverage: a table is a number from 1 to 7, not %s\n", argv[1]);
            return 2;
        }
        return print_table(which);
    }
    for (which = 1; which <= 7; which++)
        if (print_table(which) != 0)
            return 1;
    return 0;
}
