/** @file  The trial sheet: a CSV with one row for each capture.
 *  Layer: io. */
#ifndef SWT_IO_SHEET_SHEET_H
#define SWT_IO_SHEET_SHEET_H

#include "base/status.h"
#include "io/files.h"
#include "kinematics/landmark.h"

/** One row. Text is UTF-8 and owned by the sheet; "" where the cell is empty. */
typedef struct swt_trial {
    int line;   /**< of the sheet, for messages                                 */
    char *file; /**< as written                                                 */
    char *path; /**< resolved against the sheet's folder                        */
    char *player, *session, *group, *club, *shot;
    swt_handedness side;
    char *static_path; /**< resolved; "" when there is none                            */
    char *subject;     /**< whose markers of several people's: "A" for labels "A:LASI"     */
    char *map_path;    /**< resolved; "" = the map given on the command line           */
    char **covariate;  /**< sheet->n_covariates texts                                  */
} swt_trial;

typedef struct swt_sheet {
    char path[4096];
    char sha256[SWT_SHA256_TEXT];
    size_t n_trials;
    swt_trial *trial;
    size_t n_covariates;
    char **covariate_name;
} swt_sheet;

/**
 * Reads and checks a whole sheet before anything is processed.
 *
 * Required columns: file, player. Optional: session, group, side (right or left; right when
 * the column is absent), club, shot, static, map, subject. All other columns are kept as
 * covariates. Every problem (missing columns, files that do not exist, duplicate rows, bad side) is
 * collected with its line number.
 *
 * @param[out] out       caller frees; NULL on failure
 * @param[out] problems  heap text, one problem a line, "" when there is none; caller frees;
 *                       NULL when the sheet could not be read at all
 * @retval SWT_EFORMAT  there are problems: see `problems`
 */
SWT_MUST_USE swt_status swt_sheet_read(swt_sheet **out, char **problems, const char *path,
                                       swt_error *err);

/** The same from memory; `path` names the sheet in messages, and its folder holds the captures. */
SWT_MUST_USE swt_status swt_sheet_parse(swt_sheet **out, char **problems,
                                        const unsigned char *bytes, size_t size, const char *path,
                                        swt_error *err);

/** Frees a sheet; NULL is allowed. */
void swt_sheet_free(swt_sheet *sheet);

#endif
