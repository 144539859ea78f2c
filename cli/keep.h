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

/** What stored corridors were built from and how. */
typedef struct swt_kept_request {
    swt_assessment_options options; /**< its texts are the two below                    */
    char *group, *reference;
} swt_kept_request;

/**
 * Finds what made stored corridors. Building them again from the same study gives the same
 * numbers, so nothing else is needed to go on from them.
 * @param[out] out  ended by swt_kept_request_reset, also after a failure
 * @retval SWT_EARG   there are none of that name
 * @retval SWT_EDATA  they are of measures that this version has not
 */
SWT_MUST_USE swt_status swt_cli_find_kept(swt_kept_request *out, const swt_study *study,
                                          const char *name, swt_error *err);

void swt_kept_request_reset(swt_kept_request *request);

#endif
