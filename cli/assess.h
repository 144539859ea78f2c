/** @file  What corridor, compare, report and run share: options of the corridors, and the way from
 * a study to its assessment. Layer: cli. */
#ifndef SWT_CLI_ASSESS_H
#define SWT_CLI_ASSESS_H

#include "cli/cli.h"
#include "cli/keep.h"
#include "io/report/assessment.h"

typedef struct swt_cli_corridor {
    double coverage, confidence;
    long resamples, seed;
    int with_practice;
    char *centre, *sides; /**< words; NULL: the first of their list */
} swt_cli_corridor;

swt_cli_corridor swt_cli_corridor_default(void);

/** Rows of a popt table for the swt_cli_corridor `c`. */
#define SWT_CLI_CORRIDOR_OPTIONS(c)                                                                \
    {"coverage",                                                                                   \
     '\0',                                                                                         \
     POPT_ARG_DOUBLE,                                                                              \
     &(c).coverage,                                                                                \
     0,                                                                                            \
     "share of a new player's swings that a corridor is to hold",                                  \
     "P"},                                                                                         \
        {"confidence",                                                                             \
         '\0',                                                                                     \
         POPT_ARG_DOUBLE,                                                                          \
         &(c).confidence,                                                                          \
         0,                                                                                        \
         "of the tolerance intervals of scalar measures",                                          \
         "P"},                                                                                     \
        {"resamples", '\0', POPT_ARG_LONG, &(c).resamples, 0, "of the bootstrap", "N"},            \
        {"centre",                                                                                 \
         '\0',                                                                                     \
         POPT_ARG_STRING,                                                                          \
         &(c).centre,                                                                              \
         0,                                                                                        \
         "mean, or median with limits that take no shape of distribution for granted [mean]",      \
         "WORD"},                                                                                  \
        {"sides",    '\0', POPT_ARG_STRING,                                                        \
         &(c).sides, 0,    "limits of scalar measures: both, upper or lower [both]",               \
         "WORD"},                                                                                  \
    {                                                                                              \
        "seed", '\0', POPT_ARG_LONG, &(c).seed, 0, "of the bootstrap's draws", "N"                 \
    }

/** The row of a popt table for practice swings in a corridor of a study. */
#define SWT_CLI_WITH_PRACTICE(c)                                                                   \
    {                                                                                              \
        "with-practice", '\0', POPT_ARG_NONE, &(c).with_practice, 0,                               \
            "take practice swings too, in the group and in what is compared", NULL                 \
    }

/** The row of a popt table for the name of corridors in a study. */
#define SWT_CLI_CORRIDOR_NAME(text)                                                                \
    {                                                                                              \
        "name", 'n', POPT_ARG_STRING, &(text), 0,                                                  \
            "which of the corridors in the study [" SWT_CLI_CORRIDORS "]", "NAME"                  \
    }

/** The row of a popt table for the swings to assess. */
#define SWT_CLI_ONLY(text)                                                                         \
    {                                                                                              \
        "only", '\0', POPT_ARG_STRING, &(text), 0,                                                 \
            "the swings to take, by conditions on the sheet: 'player = A1, session = 2'",          \
            "CONDITIONS"                                                                           \
    }

/** Checks the words and ranges and fills `options`, all but the reference. @return SWT_CLI_GO_ON or
 * SWT_EXIT_USAGE */
int swt_cli_check_corridor(swt_assessment_options *options, const swt_cli_command *command,
                           const swt_cli_corridor *corridor);

/** Opens a study that has swings. @return SWT_CLI_GO_ON, or the exit code after the words */
int swt_cli_open_measured(swt_study **out, const swt_cli_command *command, const char *path);

/** Builds corridors of a reference and compares the other swings; without one nothing is compared.
 *  A reference that carries no corridor at all is a failure. Return as above. */
int swt_cli_assess(swt_assessment **out, const swt_cli_command *command, const swt_study *study,
                   const swt_assessment_options *options);

/** Assesses a study, or of it the swings that `only` (may be NULL) selects, against the corridors
 *  of that name in it. Return as above. */
int swt_cli_assess_kept(swt_assessment **assessment, const swt_cli_command *command,
                        const swt_study *study, const char *name, const char *only);

/** The same for tables, figures and report: without a name (NULL), and without corridors of the
 *  default name in the study, the swings are taken by themselves. Return as above. */
int swt_cli_assess_named_or_alone(swt_assessment **assessment, const swt_cli_command *command,
                                  const swt_study *study, const char *name, const char *only);

/** Prints the group, its size, who was left out, and how well its corridors hold. */
void swt_cli_print_corridors(const swt_assessment *assessment, const swt_study *study);

/** Prints every corridor with its size, what it held, and who is not in it. */
void swt_cli_list_corridors(const swt_assessment *assessment, const swt_study *study);

/** Prints the first departure of each assessed player, and how unusual the middle swing is. */
void swt_cli_print_players(const swt_assessment *assessment);

/** Prints what came before a player's departure in compared[measure]. */
void swt_cli_print_trace(const swt_assessment *assessment, const swt_assessed_player *player,
                         const swt_assessed_trace *trace, size_t measure);

#endif
