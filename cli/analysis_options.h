/** @file  The options of the kinematics, shared by every command that measures.
 *  Layer: cli. */
#ifndef SWT_CLI_ANALYSIS_OPTIONS_H
#define SWT_CLI_ANALYSIS_OPTIONS_H

#include "cli/cli.h"
#include "kinematics/options.h"

/** Rows of a popt table for the swt_analysis_options `o`. */
#define SWT_CLI_ANALYSIS_OPTIONS(o)                                                                \
    {"cutoff",                                                                                     \
     '\0',                                                                                         \
     POPT_ARG_DOUBLE,                                                                              \
     &(o).cutoff_hz,                                                                               \
     0,                                                                                            \
     "low-pass cut-off of the landmarks; 0 = found by residual analysis",                          \
     "HZ"},                                                                                        \
        {"spline",                                                                                 \
         '\0',                                                                                     \
         POPT_ARG_NONE,                                                                            \
         &(o).smooth_by_spline,                                                                    \
         0,                                                                                        \
         "smooth by cross-validated splines instead of the low-pass filter",                       \
         NULL},                                                                                    \
        {"spline-gap",                                                                             \
         '\0',                                                                                     \
         POPT_ARG_DOUBLE,                                                                          \
         &(o).max_spline_gap_s,                                                                    \
         0,                                                                                        \
         "longest gap that is filled by a spline",                                                 \
         "S"},                                                                                     \
        {"rigid-gap",                                                                              \
         '\0',                                                                                     \
         POPT_ARG_DOUBLE,                                                                          \
         &(o).max_rigid_gap_s,                                                                     \
         0,                                                                                        \
         "longest gap that is filled from the segment's other markers",                            \
         "S"},                                                                                     \
        {"onset-speed",                                                                            \
         '\0',                                                                                     \
         POPT_ARG_DOUBLE,                                                                          \
         &(o).onset_speed_m_s,                                                                     \
         0,                                                                                        \
         "club-head speed that counts as takeaway",                                                \
         "M/S"},                                                                                   \
        {"finish-speed",                                                                           \
         '\0',                                                                                     \
         POPT_ARG_DOUBLE,                                                                          \
         &(o).finish_speed_m_s,                                                                    \
         0,                                                                                        \
         "hand speed below which the swing has ended",                                             \
         "M/S"},                                                                                   \
    {                                                                                              \
        "replicates", '\0', POPT_ARG_LONG, &(o).uncertainty_replicates, 0,                         \
            "noisy copies of a swing that give its uncertainty; 0 = none, and faster", "N"         \
    }

/** Checks the ranges. @return SWT_CLI_GO_ON, or SWT_EXIT_USAGE after the words are printed */
int swt_cli_check_analysis(const swt_cli_command *command, const swt_analysis_options *options);

/** Checks one number: finite and within [low, high]. Return as above. */
int swt_cli_check_range(const swt_cli_command *command, const char *option, double value,
                        double low, double high);

#endif
