/** @file  Writing the demo study: captures, sheet, marker map.
 *  Layer: cli. */
#ifndef SWT_CLI_DEMO_STUDY_H
#define SWT_CLI_DEMO_STUDY_H

#include "cli/cli.h"

/**
 * Makes every capture of the demo's roster into `folder`, with sheet.csv and map.ini.
 * @return exit code; the words are printed
 */
int swt_cli_make_demo(const swt_cli_command *command, const char *folder);

#endif
