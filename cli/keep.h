/** @file  An assessment kept in its study, and what made it found again.
 *  Layer: cli. */
#ifndef SWT_CLI_KEEP_H
#define SWT_CLI_KEEP_H

#include "io/report/assessment.h"

#define SWT_CLI_CORRIDORS "main" /**< name of the corridors where the user gives none */

/** Stores the corridors under `name`, with the departures when asked. @retval SWT_EIO, SWT_ENOMEM
 */
SWT_MUST_USE swt_status swt_cli_keep(const char *study_path, const char *name,
                                     const swt_assessment *assessment, bool with_departures,
                                     swt_error *err);

/**
 * Finds the group and the options of stored corridors. Building them again from the same study
 * gives the same numbers, so nothing else is needed to go on from them.
 * @param[out] group  heap text, the caller frees; NULL on failure
 * @retval SWT_EARG   there are none of that name
 */
SWT_MUST_USE swt_status swt_cli_find_kept(char **group, bool *with_practice,
                                          swt_corridor_options *options, const swt_study *study,
                                          const char *name, swt_error *err);

#endif
