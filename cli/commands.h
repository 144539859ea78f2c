/** @file  The functions behind the commands, one file each: cmd_<name>.c.
 *  Layer: cli. */
#ifndef SWT_CLI_COMMANDS_H
#define SWT_CLI_COMMANDS_H

#include "cli/cli.h"

int swt_cmd_inspect(const swt_cli_command *self, int argc, char **argv);
int swt_cmd_import(const swt_cli_command *self, int argc, char **argv);
int swt_cmd_measure(const swt_cli_command *self, int argc, char **argv);
int swt_cmd_verify(const swt_cli_command *self, int argc, char **argv);

#endif
