/** @file  The functions behind the commands, one file each: cmd_<name>.c.
 *  Layer: cli. */
#ifndef SWT_CLI_COMMANDS_H
#define SWT_CLI_COMMANDS_H

#include "cli/cli.h"

int swt_cmd_run(const swt_cli_command *self, int argc, char **argv);
int swt_cmd_inspect(const swt_cli_command *self, int argc, char **argv);
int swt_cmd_import(const swt_cli_command *self, int argc, char **argv);
int swt_cmd_merge(const swt_cli_command *self, int argc, char **argv);
int swt_cmd_measure(const swt_cli_command *self, int argc, char **argv);
int swt_cmd_corridor(const swt_cli_command *self, int argc, char **argv);
int swt_cmd_compare(const swt_cli_command *self, int argc, char **argv);
int swt_cmd_progress(const swt_cli_command *self, int argc, char **argv);
int swt_cmd_shots(const swt_cli_command *self, int argc, char **argv);
int swt_cmd_outcomes(const swt_cli_command *self, int argc, char **argv);
int swt_cmd_report(const swt_cli_command *self, int argc, char **argv);
int swt_cmd_figures(const swt_cli_command *self, int argc, char **argv);
int swt_cmd_plot(const swt_cli_command *self, int argc, char **argv);
int swt_cmd_camera(const swt_cli_command *self, int argc, char **argv);
int swt_cmd_tables(const swt_cli_command *self, int argc, char **argv);
int swt_cmd_export(const swt_cli_command *self, int argc, char **argv);
int swt_cmd_simulate(const swt_cli_command *self, int argc, char **argv);
int swt_cmd_generate(const swt_cli_command *self, int argc, char **argv);
int swt_cmd_verify(const swt_cli_command *self, int argc, char **argv);
int swt_cmd_provenance(const swt_cli_command *self, int argc, char **argv);
int swt_cmd_deidentify(const swt_cli_command *self, int argc, char **argv);

#endif
