/** @file  Lists that may be long: the first lines are printed, all of them are kept in a file.
 *  Layer: cli. */
#ifndef SWT_CLI_TELL_H
#define SWT_CLI_TELL_H

#include "cli/cli.h"

/**
 * Prints the first of `n` lines on standard error. Where there are more, they are all
 * written to `list_path`, and how many and where is said.
 */
void swt_cli_tell(const swt_cli_command *command, const char *const *line, size_t n,
                  const char *list_path);

#endif
