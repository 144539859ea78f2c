/** @file  Which swings of a study are alike in what the sheet says of them.
 *  Layer: io. */
#ifndef SWT_IO_STUDY_ALIKE_H
#define SWT_IO_STUDY_ALIKE_H

#include "io/study/study.h"

/** What is looked at: a sum of these. */
enum { SWT_ALIKE_PLAYER = 1, SWT_ALIKE_SESSION = 2, SWT_ALIKE_CLUB = 4, SWT_ALIKE_SHOT = 8 };

bool swt_swings_alike(const swt_study_swing *a, const swt_study_swing *b, unsigned in);

/** For each swing the first row of the study that is alike: equal numbers are the same kind.
 *  @param[out] row  study->n_swings */
void swt_study_first_alike(size_t *row, const swt_study *study, unsigned in);

#endif
