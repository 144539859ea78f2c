/** @file  Which swings of a study: conditions on its columns, as a user writes them.
 *  Layer: io.
 *
 *      group = reference, handicap <= 5, shot = full | three-quarter, note != "warm up"
 *
 *  Conditions are separated by commas and must all hold. Columns are player, session, group, club,
 *  shot, side, file and the covariates of the sheet. `=` and `!=` take one value or several,
 *  separated by `|`; `<`, `<=`, `>`, `>=` take one number. Names and values with a comma, a bar or
 *  an operator in them stand in double quotes; two double quotes inside them are one. An empty cell
 *  is the value "". Numbers are equal by value: 5 and 5.0. A cell that holds no number meets no
 *  condition on numbers. */
#ifndef SWT_IO_STUDY_SELECTION_H
#define SWT_IO_STUDY_SELECTION_H

#include "io/study/study.h"

typedef struct swt_selection swt_selection;

/** @retval SWT_EARG  the text is no list of conditions: the message says where and why */
SWT_MUST_USE swt_status swt_selection_parse(swt_selection **out, const char *text, swt_error *err);

void swt_selection_free(swt_selection *selection);

/**
 * Which swings meet all conditions.
 * @param[out] chosen    study->n_swings
 * @param[out] n_chosen  how many; 1 or more on success
 * @retval SWT_EARG   a column that the study has not: the message names those it has
 * @retval SWT_EDATA  no swing is left: the message names the condition and the values there are
 */
SWT_MUST_USE swt_status swt_selection_apply(bool *chosen, size_t *n_chosen,
                                            const swt_selection *selection, const swt_study *study,
                                            swt_error *err);

/**
 * Both in one: which swings meet the conditions of `text`; all of them where it is NULL.
 * @param[out] chosen  study->n_swings, the caller frees; NULL on failure
 */
SWT_MUST_USE swt_status swt_selection_choose(bool **chosen, const swt_study *study,
                                             const char *text, swt_error *err);

/** The condition `column = value` as text, quoted where it must be; the caller frees; NULL: no
 *  memory. `more` (may be NULL) is added after a comma. */
char *swt_selection_text(const char *column, const char *value, const char *more);

#endif
