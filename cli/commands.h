/** @file  The functions behind the commands, one file each: cmd_<name>.c.
 *  Layer: cli. */
#ifndef SWT_CLI_COMMANDS_H
#define SWT_CLI_COMMANDS_H

#include "cli/cli.h"

#endif
