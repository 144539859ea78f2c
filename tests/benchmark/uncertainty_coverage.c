/* Not a test: how often value +- 1.96 u holds the truth, as a page of documentation.
 *
 *     ninja benchmark_uncertainty && tests/benchmark_uncertainty > docs/uncertainty.md
 *
 * Players, swings and noise are drawn with fixed seeds, so the page is the same on every run. */
#include "tests/support/measure_truth.h"

#include <gsl/gsl_sort.h>
#include <gsl/gsl_statistics_double.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { RATES = 3, NOISES = 3, DRAWS = 150, REPLICATES = 20, MEASURES_MAX = 256 };

static const double rate_hz[RATES] = {120, 240, 500};
static const double noise_mm[NOISES] = {0.3, 0.5, 1};

typedef struct tally {
    size_t n, held, limited; /* with an uncertainty; interval held the truth; noise decides */
    double squares_u, squares_error;
    size_t n_u; /* with an uncertainty, whether the truth is known or not */
    double squares_all_u;
    double error[DRAWS]; /* size, the first n of one rate and noise */
} tally;

static tally events[TRIAL_EVENTS][RATES][NOISES], measures[MEASURES_MAX][RATES][NOISES];

static void note(tally *t, double error, double u, swt_verdict verdict)
{
    if (!isfinite(u))
        return;
    t->n_u++;
    t->squares_all_u += u * u;
    if (!isfinite(error))
        return;
    t->error[t->n++] = fabs(error);
    t->held += fabs(error) <= 1.96 * u;
    t->limited += verdict.reason == SWT_REASON_NOISE_DECIDES;
    t->squares_u += u * u;
    t->squares_error += error * error;
}

static void add(tally *to, const tally *t)
{
    to->n += t->n;
    to->held += t->held;
    to->limited += t->limited;
    to->squares_u += t->squares_u;
    to->squares_error += t->squares_error;
}

static void note_swing(const trial *t, int rate, int noise)
{
    for (int k = 0; k < TRIAL_EVENTS; k++) {
        const swt_event_time *e = &t->swing->event[trial_events[k].ours];
        note(&events[k][rate][noise], e->time_s - t->truth->event_s[trial_events[k].theirs],
             e->sd_s, e->verdict);
    }
    for (size_t m = 0; m < swt_measure_count(); m++)
        note(&measures[m][rate][noise], measure_error(t, m), t->swing->measure[m].sd,
             t->swing->measure[m].verdict);
}

/* Returns the number of swings, one fewer for each posture that the chain can't take. */
static size_t run(int rate, int noise, uint64_t draws)
{
    static const char *const clubs[] = {"7-iron", "wedge", "driver"};
    size_t swings = 0;

    for (uint64_t seed = 1; seed <= draws; seed++) {
        swt_model_player player = swt_model_player_default(1.78);
        swt_model_swing swing = swt_model_swing_default(clubs[seed % 3]);
        swt_model_recording r = trial_recording();
        swt_error err = SWT_ERROR_INIT;
        trial t;
        swt_model_draw_player(&player, &swing, 3000 + seed);
        swt_model_draw_swing(&swing, 4000 + seed);
        r.seed = 500 + seed;
        r.rate_hz = rate_hz[rate];
        r.noise_m = noise_mm[noise] / 1000;
        if (trial_run_uncertain(&t, &player, &swing, &r, REPLICATES, &err) == SWT_OK) {
            note_swing(&t, rate, noise);
            swings++;
        } else if (t.capture) {
            fprintf(stderr, "draw %d: %s\n", (int)seed, err.msg);
        }
        trial_done(&t);
    }
    return swings;
}

static double percent(const tally *t)
{
    return 100 * (double)t->held / (double)t->n;
}

/* All rows of a table at one rate and noise; -1: over all of them. */
static tally total(tally (*rows)[RATES][NOISES], size_t n, int rate, int noise)
{
    tally sum = {0};

    for (size_t i = 0; i < n; i++)
        for (int r = 0; r < RATES; r++)
            for (int s = 0; s < NOISES; s++)
                if ((rate < 0 || r == rate) && (noise < 0 || s == noise))
                    add(&sum, &rows[i][r][s]);
    return sum;
}

static void print_overall(tally (*rows)[RATES][NOISES], size_t n, const char *what)
{
    for (int r = 0; r < RATES; r++) {
        printf("| %s | %.0f |", what, rate_hz[r]);
        for (int s = 0; s < NOISES; s++) {
            tally t = total(rows, n, r, s);
            printf(" %.1f |", percent(&t));
        }
        printf("\n");
    }
}

/* 240 Hz and 0.5 mm, in the unit shown: 95th percentile of the errors' size and size of u. */
static void print_sizes(tally *at, const swt_unit *unit)
{
    if (at->n > 0) {
        gsl_sort(at->error, 1, at->n);
        printf(" %.2g %s |",
               unit->shown_per_si * gsl_stats_quantile_from_sorted_data(at->error, 1, at->n, 0.95),
               unit->shown);
    } else {
        printf(" - |");
    }
    printf(" %.2g %s |", unit->shown_per_si * sqrt(at->squares_all_u / (double)at->n_u),
           unit->shown);
}

/* Coverage by rate and over all; sizes at 240 Hz and 0.5 mm; error against u; limited share. */
static void print_row(tally (*row)[RATES][NOISES], const char *title, const swt_unit *unit)
{
    tally all = total(row, 1, -1, -1);

    if (row[0][1][1].n_u == 0)
        return;
    printf("| %s |", title);
    if (all.n == 0) { /* the model knows no truth */
        printf(" - | - | - | - |");
        print_sizes(&(*row)[1][1], unit);
        printf(" - | - |\n");
        return;
    }
    for (int r = 0; r < RATES; r++) {
        tally t = total(row, 1, r, -1);
        printf(" %.1f |", percent(&t));
    }
    printf(" %s%.1f%s |", percent(&all) < 92 || percent(&all) > 98 ? "**" : "", percent(&all),
           percent(&all) < 92 || percent(&all) > 98 ? "**" : "");
    print_sizes(&(*row)[1][1], unit);
    printf(" %.2f | %.1f |\n", sqrt(all.squares_error / all.squares_u),
           100 * (double)all.limited / (double)all.n);
}

static void print_head(size_t swings)
{
    printf(
        "# Standard uncertainty from marker noise and smoothing\n\n"
        "Made by `ninja benchmark_uncertainty && tests/benchmark_uncertainty > "
        "docs/uncertainty.md`; the\nnumbers are the same on every run.\n\n"
        "Each event and each measure carries a standard uncertainty u. A pilot stands for the "
        "true motion:\nthe smoothed trajectories, with what smoothing them once more takes off "
        "put back. With fresh white\nnoise of each landmark's estimated standard deviation it "
        "is analysed again %d times; to the mean square\nof the differences, widened for their "
        "small number, comes the choice of cut-off: rectangular between\nwhat cut-offs divided "
        "and multiplied by 1.25 give (`kinematics/uncertainty.h` has the formula and its\n"
        "sources). Value ± 1.96 u is to hold the truth 95 times in 100.\n\n"
        "Reversals, tops, finish and contact are read from the recorded markers, which no cut-off "
        "moves. What\nnoise is left in the pilot counts as motion there, so that the replicates "
        "are smoothed less than the\nrecording was, and u comes out too wide: see the column "
        "error / u.\n\n"
        "**Not in u**: soft tissue that moves on the bone, markers beside their landmarks, "
        "calibration and\nscale, how well a gap's filling meets the motion, the noise of a "
        "static capture, and what sub-frame\ninterpolation misses at a low rate. u is a lower "
        "bound of the error.\n\n"
        "Held against the forward model: %zu swings at each rate and noise (drawn players; "
        "driver, 7-iron,\nwedge), its own white noise, its own truth. The standard error of a "
        "row's figure over all is about\n0.6 percentage points, at one rate 1.0.\n\n",
        (int)REPLICATES, swings);
}

int main(int argc, char **argv)
{
    bool quick = argc > 1 && strcmp(argv[1], "--quick") == 0; /* few draws, for a first look */
    size_t swings = 0, inside = 0, rows = 0, n = swt_measure_count();

    for (int r = 0; r < RATES; r++)
        for (int s = 0; s < NOISES; s++)
            swings = run(r, s, quick ? DRAWS / 5 : DRAWS);
    print_head(swings);
    printf("## All together: share of intervals that hold the truth, %%\n\n| of | rate, Hz |");
    for (int s = 0; s < NOISES; s++)
        printf(" noise %.1f mm |", noise_mm[s]);
    printf("\n|---|---|---|---|---|\n");
    print_overall(events, TRIAL_EVENTS, "events");
    print_overall(measures, n, "measures");
    for (size_t i = 0; i < TRIAL_EVENTS + n; i++) {
        tally t = i < TRIAL_EVENTS ? total(&events[i], 1, -1, -1)
                                   : total(&measures[i - TRIAL_EVENTS], 1, -1, -1);
        rows += t.n > 0;
        inside += t.n > 0 && percent(&t) >= 92 && percent(&t) <= 98;
    }
    printf(
        "\n## Each by itself\n\n"
        "Share of intervals that hold the truth, %%, over the three noises; at 240 Hz and 0.5 mm "
        "the 95th\npercentile of the error's size, and u (root mean square); error / u: root "
        "mean square over all; limited:\nshare, %%, in which noise decides what is found, and "
        "the value says so. %zu of %zu rows lie between\n92 and 98 %% over all; the others are "
        "bold. Where the forward model knows no truth of a measure, u\nalone is given; it is "
        "estimated in the same way.\n\n"
        "| | 120 Hz | 240 Hz | 500 Hz | all | 95th | u | error / u | limited |\n"
        "|---|---|---|---|---|---|---|---|---|\n",
        inside, rows);
    for (int k = 0; k < TRIAL_EVENTS; k++) {
        static const swt_unit ms = {"s", "ms", 1000, 2};
        print_row(&events[k], swt_event_title(trial_events[k].ours), &ms);
    }
    for (size_t m = 0; m < n; m++)
        print_row(&measures[m], swt_measure_row(m)->title,
                  swt_quantity_unit(swt_measure_row(m)->quantity));
    return 0;
}
