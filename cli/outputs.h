/** @file  Tables and pages, written in the name of a command.
 *  Layer: cli. */
#ifndef SWT_CLI_OUTPUTS_H
#define SWT_CLI_OUTPUTS_H

#include "cli/cli.h"
#include "io/report/report.h"

/** Writes the tables, of the swings that `only` (may be NULL) selects; departures.csv too when
 *  `assessment` is not NULL.
 *  @return SWT_EXIT_ALL_DONE, or SWT_EXIT_NO_OUTPUT after the words are printed */
int swt_cli_write_tables(const swt_cli_command *command, const char *folder, const swt_study *study,
                         const swt_assessment *assessment, const char *only, bool with_curves);

/** Writes the pages. Return as above; also when gnuplot failed and the pages lack figures. */
int swt_cli_write_report(const swt_cli_command *command, const char *folder, const swt_study *study,
                         const swt_assessment *assessment, const swt_report_options *options);

/** Draws the figures for paper (page width) as SVG and PNG. Return as above. */
int swt_cli_draw_figures(const swt_cli_command *command, const char *folder, const swt_study *study,
                         const swt_assessment *assessment);

#endif
