/* swathe outcomes: do measures go with the results of the shots? */
#include "cli/analysis_options.h"
#include "cli/assess.h"
#include "cli/commands.h"
#include "io/files.h"
#include "io/report/outcomes.h"
#include "io/report/words.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { MOST_TOLD = 6 };
#define FALSE_SHARE 0.05 /* of what is called found */

typedef struct request {
    const char *path, *folder;
    swt_plot_format format;
    swt_outcomes_options options;
} request;

static double q_of(const swt_outcome_row *row, bool within)
{
    return within ? row->within_q : row->between_q;
}

/** The rows to tell of an outcome: the clearest first. */
static size_t choose_told(size_t told[MOST_TOLD], const swt_outcomes *o, size_t outcome,
                          bool within)
{
    size_t n = 0;

    while (n < MOST_TOLD) {
        size_t best = o->n_rows;
        double largest = 0;
        for (size_t i = 0; i < o->n_rows; i++) {
            const swt_outcome_row *row = &o->row[i];
            double rho = fabs(within ? row->within.rho : row->between.rho);
            bool used = false;
            for (size_t k = 0; k < n; k++)
                used = used || told[k] == i;
            if (!used && row->outcome == outcome && rho > largest &&
                (q_of(row, within) <= FALSE_SHARE || o->n_rows == o->n_outcomes)) {
                best = i;
                largest = rho;
            }
        }
        if (best == o->n_rows)
            break;
        told[n++] = best;
    }
    return n;
}

static void print_row(const swt_outcomes *o, const swt_outcome_row *row, bool within)
{
    const swt_measure *m = swt_measure_row(row->measure);
    const swt_unit *unit = swt_quantity_unit(m->quantity);
    const swt_association *a = within ? &row->within : &row->between;
    bool bare = strcmp(unit->shown, "1") == 0;

    printf("    %s: rank correlation %.2f, p %.4f, adjusted %.4f; %s %+.3g for 1 %s%smore\n",
           m->title, a->rho, a->p, q_of(row, within), o->name[row->outcome],
           a->slope / unit->shown_per_si, bare ? "" : unit->shown, bare ? "" : " ");
}

static void print_kind(const swt_outcomes *o, size_t outcome, bool within)
{
    size_t told[MOST_TOLD], n = choose_told(told, o, outcome, within), known = 0, found = 0;
    size_t players = 0, swings = 0;
    char words[2][64];

    for (size_t i = 0; i < o->n_rows; i++) {
        const swt_association *a = within ? &o->row[i].within : &o->row[i].between;
        if (o->row[i].outcome != outcome)
            continue;
        known += isfinite(a->rho) != 0;
        found += q_of(&o->row[i], within) <= FALSE_SHARE;
        players = a->n_players > players ? a->n_players : players;
        swings = a->n_swings > swings ? a->n_swings : swings;
    }
    printf(
        "  %s (%s, %s): ", within ? "from swing to swing of one player" : "from player to player",
        swt_words_count(words[0], sizeof words[0], players, "player", "players"),
        swt_words_count(words[1], sizeof words[1], swings, "swing", "swings"));
    if (known == 0) {
        if (within)
            printf("too little to say; it takes %d swings of players with %d or more\n",
                   SWT_ASSOCIATION_LEAST_PAIRS, SWT_ASSOCIATION_LEAST_SWINGS);
        else
            printf("too little to say; it takes %d players\n", SWT_ASSOCIATION_LEAST_PLAYERS);
        return;
    }
    if (known > 1 || o->n_rows > o->n_outcomes)
        printf("%zu of %zu measures go with it%s\n", found, known, n > 0 ? "; the clearest:" : "");
    else
        printf("\n");
    for (size_t k = 0; k < n; k++)
        print_row(o, &o->row[told[k]], within);
}

static void print(const swt_outcomes *o)
{
    char swings[64];

    printf("%s", swt_words_count(swings, sizeof swings, o->n_swings, "swing", "swings"));
    if (o->n_left_out > 0)
        printf(", %zu of other clubs, shots or conditions or for practice left out", o->n_left_out);
    printf("\n");
    for (size_t k = 0; k < o->n_outcomes; k++) {
        printf("%s:\n", o->name[k]);
        print_kind(o, k, true);
        print_kind(o, k, false);
    }
    printf("Of all %zu pairs looked at; of what is said to go together %.0f %% is chance on "
           "average (Benjamini and Hochberg). What goes together need not be cause and effect.\n",
           o->n_rows, 100 * FALSE_SHARE);
}

static swt_status write_all(const request *r, const swt_outcomes *o, const swt_study *study,
                            swt_error *err)
{
    char path[4096];
    swt_status rc = swt_folder_make(r->folder, err);

    if (rc == SWT_OK &&
        (size_t)snprintf(path, sizeof path, "%s/outcomes.csv", r->folder) >= sizeof path)
        rc = swt_fail(err, SWT_EARG, "%s: path too long", r->folder);
    if (rc == SWT_OK)
        rc = swt_outcomes_table_write(path, o, err);
    for (size_t j = 0; rc == SWT_OK && j < 2 * o->n_outcomes; j++) {
        bool within = j % 2 == 0;
        size_t told[MOST_TOLD], n = choose_told(told, o, j / 2, within);
        for (size_t k = 0; rc == SWT_OK && k < n && k < 3; k++) {
            if ((size_t)snprintf(path, sizeof path, "%s/outcome-%zu-%s-%s.%s", r->folder, j / 2 + 1,
                                 within ? "within" : "between",
                                 swt_measure_row(o->row[told[k]].measure)->name,
                                 swt_plot_extension(r->format)) >= sizeof path)
                return swt_fail(err, SWT_EARG, "%s: path too long", r->folder);
            rc = swt_outcomes_draw(path, o, told[k], within, study, r->format, err);
        }
    }
    return rc;
}

static int relate(const swt_cli_command *self, const request *r)
{
    swt_study *study = NULL;
    swt_outcomes *outcomes = NULL;
    swt_error err = SWT_ERROR_INIT;
    int code = swt_cli_open_measured(&study, self, r->path);

    if (code == SWT_CLI_GO_ON && swt_outcomes_build(&outcomes, study, &r->options, &err) != SWT_OK)
        code = swt_cli_fail(self, SWT_EXIT_NO_INPUT, "%s: %s", r->path, err.msg);
    if (code == SWT_CLI_GO_ON) {
        code = SWT_EXIT_ALL_DONE;
        print(outcomes);
        if (r->folder && write_all(r, outcomes, study, &err) != SWT_OK)
            code = swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
        else if (r->folder)
            printf("table and figures: %s\n", r->folder);
    }
    swt_outcomes_free(outcomes);
    swt_study_close(study);
    return code;
}

int swt_cmd_outcomes(const swt_cli_command *self, int argc, char **argv)
{
    static const char *const formats[] = {"svg", "pdf", "png", NULL};
    static const swt_plot_format format_of[] = {SWT_PLOT_SVG, SWT_PLOT_PDF, SWT_PLOT_PNG};
    char *folder = NULL, *columns = NULL, *only = NULL, *measure = NULL, *format = NULL;
    long permutations = 4999, seed = 1;
    int with_practice = 0;
    const struct poptOption options[] = {
        {"outcome", 'c', POPT_ARG_STRING, &columns, 0,
         "columns of the sheet with results, separated by commas (required)", "COLUMNS"},
        {"output", 'o', POPT_ARG_STRING, &folder, 0, "folder for table and figures", "FOLDER"},
        {"only", '\0', POPT_ARG_STRING, &only, 0,
         "the swings to take, by conditions on the sheet [of the commonest club and shot]",
         "CONDITIONS"},
        {"measure", 'm', POPT_ARG_STRING, &measure, 0, "this one alone [all]", "MEASURE"},
        {"permutations", '\0', POPT_ARG_LONG, &permutations, 0, "that p-values come from", "N"},
        {"seed", '\0', POPT_ARG_LONG, &seed, 0, "of the permutations", "N"},
        {"with-practice", '\0', POPT_ARG_NONE, &with_practice, 0, "take practice swings too", NULL},
        {"format", 'f', POPT_ARG_STRING, &format, 0, "of figures: svg, pdf or png [svg]", "FORMAT"},
        POPT_TABLEEND,
    };
    swt_cli_line line;
    int code = swt_cli_begin(&line, self, argc, argv, options, 1, 1);
    int chosen = swt_cli_find_word(format, formats);

    if (code == SWT_CLI_GO_ON && !columns)
        code = swt_cli_usage(self, "--outcome is missing");
    if (code == SWT_CLI_GO_ON)
        code = swt_cli_check_range(self, "permutations", (double)permutations, 99, 1e6);
    if (code == SWT_CLI_GO_ON)
        code = swt_cli_check_range(self, "seed", (double)seed, 0, 1e15);
    if (code == SWT_CLI_GO_ON && chosen < 0)
        code = swt_cli_usage(self, "--format %s: svg, pdf or png", format);
    if (code == SWT_CLI_GO_ON) {
        const request r = {.path = line.operand[0],
                           .folder = folder,
                           .format = format_of[chosen],
                           .options = {.columns = columns,
                                       .only = only,
                                       .measure = measure,
                                       .n_permutations = (size_t)permutations,
                                       .seed = (unsigned long)seed,
                                       .with_practice = with_practice != 0}};
        code = relate(self, &r);
    }
    swt_cli_end(&line);
    return code;
}
