/* swathe simulate: does a corridor of such a group keep its word? */
#include "cli/analysis_options.h"
#include "cli/assess.h"
#include "cli/commands.h"
#include "comparison/simulate.h"

#include <math.h>
#include <stdio.h>

typedef struct request {
    long players, swings, samples, measures, groups, new_players, group_seed;
    double between, smoothness, tails;
    swt_cli_corridor corridor;
} request;

static int check(swt_simulation *s, const swt_cli_command *self, const request *r)
{
    const struct {
        const char *name;
        double value, low, high;
    } ranges[] = {
        {"players", (double)r->players, 2, 1000},
        {"swings", (double)r->swings, 1, 100},
        {"samples", (double)r->samples, 1, 501},
        {"measures", (double)r->measures, 1, 200},
        {"between", r->between, 0, 1},
        {"smoothness", r->smoothness, 0.01, 2},
        {"groups", (double)r->groups, 10, 100000},
        {"new-players", (double)r->new_players, 1, 100000},
        {"group-seed", (double)r->group_seed, 0, 1e15},
    };
    swt_assessment_options options;
    int code = swt_cli_check_corridor(&options, self, &r->corridor);

    for (size_t i = 0; code == SWT_CLI_GO_ON && i < sizeof ranges / sizeof *ranges; i++)
        code = swt_cli_check_range(self, ranges[i].name, ranges[i].value, ranges[i].low,
                                   ranges[i].high);
    if (code == SWT_CLI_GO_ON && r->tails != 0) /* NaN too */
        code = swt_cli_check_range(self, "tails", r->tails, 2.1, 1000);
    if (code == SWT_CLI_GO_ON && options.corridor.sides != SWT_TWO_SIDED && r->samples > 1)
        code = swt_cli_usage(self, "--sides is for scalar measures: --samples 1");
    if (code != SWT_CLI_GO_ON)
        return code;
    *s = (swt_simulation){.n_players = (size_t)r->players,
                          .swings_per_player = (size_t)r->swings,
                          .n_samples = (size_t)r->samples,
                          .n_measures = (size_t)r->measures,
                          .between_share = r->between,
                          .length_scale = r->smoothness,
                          .tail_df = r->tails,
                          .n_groups = (size_t)r->groups,
                          .n_new_players = (size_t)r->new_players,
                          .corridor = options.corridor,
                          .seed = (unsigned long)r->group_seed};
    return SWT_CLI_GO_ON;
}

/** The result against what was promised; more than two standard errors away is told as such. */
static void print(const swt_simulation *s, const swt_simulation_result *r)
{
    double stated = s->corridor.coverage, off = r->coverage - stated;
    bool scalar = s->n_samples == 1;

    printf("groups of %zu players with %zu %s each, %.0f %% of a swing's variance between "
           "players; %s",
           s->n_players, s->swings_per_player, s->swings_per_player == 1 ? "swing" : "swings",
           100 * s->between_share, scalar ? "scalar measure" : "curves");
    if (s->n_measures > 1)
        printf(", %zu of them looked at together", s->n_measures);
    if (s->tail_df > 0)
        printf(", heavy tails (Student's t, %g degrees of freedom)", s->tail_df);
    printf("\n");
    if (r->n_refused == s->n_groups) {
        printf("  no group of this size carries a corridor\n");
        return;
    }
    printf("  stated: %.1f %% of a new player's swings wholly inside%s\n", 100 * stated,
           scalar ? ", with the confidence asked for, so more than that on average" : "");
    printf("  inside: %.1f %% (standard error %.1f) over %zu groups with %zu new players each\n",
           100 * r->coverage, 100 * r->standard_error, s->n_groups - r->n_refused,
           s->n_new_players);
    if (s->n_measures > 1)
        printf("  inside, each measure taken alone: %.1f %%\n", 100 * r->coverage_alone);
    printf("  what the corridors say of themselves (each player left out in turn): %.1f %%\n",
           100 * r->loo_coverage);
    if (isfinite(r->multiplier))
        printf("  half-width: %.2f times the spread of one swing of a new player\n", r->multiplier);
    if (r->n_refused > 0)
        printf("  %zu groups gave no corridor\n", r->n_refused);
    if (fabs(off) > 2 * r->standard_error && (off < 0 || !scalar))
        printf("  such corridors hold %s than they state, by %.1f points\n",
               off < 0 ? "less" : "more", 100 * fabs(off));
}

int swt_cmd_simulate(const swt_cli_command *self, int argc, char **argv)
{
    request r = {.players = 20,
                 .swings = 3,
                 .samples = 51,
                 .measures = 1,
                 .groups = 200,
                 .new_players = 100,
                 .group_seed = 1,
                 .between = 0.7,
                 .smoothness = 0.1,
                 .corridor = swt_cli_corridor_default()};
    const struct poptOption options[] = {
        {"players", 'p', POPT_ARG_LONG, &r.players, 0, "of a reference group", "N"},
        {"swings", 's', POPT_ARG_LONG, &r.swings, 0, "of each player", "N"},
        {"between", 'b', POPT_ARG_DOUBLE, &r.between, 0,
         "share of a swing's variance that lies between players, 0 to 1", "SHARE"},
        {"samples", '\0', POPT_ARG_LONG, &r.samples, 0, "of a curve; 1 is a scalar measure", "N"},
        {"measures", '\0', POPT_ARG_LONG, &r.measures, 0,
         "independent measures that a swing must not leave, looked at together", "N"},
        {"smoothness", '\0', POPT_ARG_DOUBLE, &r.smoothness, 0,
         "over which part of the curve values go together", "SHARE"},
        {"tails", '\0', POPT_ARG_DOUBLE, &r.tails, 0,
         "degrees of freedom of Student's t for heavy tails; 0 is normal", "DF"},
        {"groups", '\0', POPT_ARG_LONG, &r.groups, 0, "simulated", "N"},
        {"new-players", '\0', POPT_ARG_LONG, &r.new_players, 0,
         "held against the corridor of each group, one swing each", "N"},
        {"group-seed", '\0', POPT_ARG_LONG, &r.group_seed, 0, "of the simulated groups", "N"},
        SWT_CLI_CORRIDOR_OPTIONS(r.corridor),
        POPT_TABLEEND,
    };
    swt_simulation simulation;
    swt_simulation_result result;
    swt_error err = SWT_ERROR_INIT;
    swt_cli_line line;
    int code = swt_cli_begin(&line, self, argc, argv, options, 0, 0);

    if (code == SWT_CLI_GO_ON)
        code = check(&simulation, self, &r);
    if (code == SWT_CLI_GO_ON) {
        code = SWT_EXIT_ALL_DONE;
        if (swt_simulate_coverage(&result, &simulation, &err) == SWT_OK)
            print(&simulation, &result);
        else
            code = swt_cli_fail(self, SWT_EXIT_OUR_BUG, "%s", err.msg);
    }
    swt_cli_end(&line);
    return code;
}
