/** @file  The replay of a player's swings in space. For io/report alone.
 *
 *  Size in a page: at most 6 swings of 300 frames of 21 points, 6 bytes each, as base64: 0.31 MB;
 *  0.02 MB for the group. */
#ifndef SWT_IO_REPORT_REPLAY_H
#define SWT_IO_REPORT_REPLAY_H

#include "io/report/assessment.h"
#include "io/report/text.h"
#include "kinematics/stick.h"

enum { REPLAY_SWINGS_MOST = 6, REPLAY_FRAMES_MOST = 300, REPLAY_WIDTH = 3 * SWT_STICK_POINTS };

/** The reference group in space, worked out once for a report. */
typedef struct replay_group {
    double *body;             /**< SWT_CURVE_SAMPLES * REPLAY_WIDTH; NULL without a group  */
    swt_path_corridor *front; /**< along and height: the third look at the tube          */
} replay_group;

SWT_MUST_USE swt_status replay_group_build(replay_group *group, const swt_study *study,
                                           const swt_assessment *a, swt_error *err);
void replay_group_reset(replay_group *group);

/** The player's first swings whose bodies the study holds. */
SWT_MUST_USE swt_status replay_choose(size_t row[REPLAY_SWINGS_MOST], size_t *n,
                                      const swt_study *study, const swt_assessment *a,
                                      const swt_assessed_player *p, swt_error *err);

/** Stick figure of one swing at every frame; the caller frees. NULL and 0 frames where the study
 *  holds no body of it. */
SWT_MUST_USE swt_status replay_read_stick(double **stick, size_t *n_frames, const swt_study *study,
                                          size_t row, swt_error *err);

/** The JSON that web/replay.js draws from. */
SWT_MUST_USE swt_status replay_add_data(swt_text *page, const swt_study *study,
                                        const swt_assessment *a, const replay_group *group,
                                        const size_t *row, size_t n, swt_error *err);

#endif
