/** @file  A small study whose every departure is known, for the tests of assessment and report.
 *
 *  The group's hands follow known curves with known spread; one assessed player is deeper from a
 *  known moment on, one is clean, one is that deep in one swing of three only. */
#ifndef SWT_TESTS_REPORT_STUDY_H
#define SWT_TESTS_REPORT_STUDY_H

#include "io/report/report.h"

enum { SWINGS_MOST = 80, FRAMES = 480 };

typedef struct made {
    size_t n;
    swt_trial trial[SWINGS_MOST];
    swt_capture_facts facts[SWINGS_MOST];
    swt_swing *swing[SWINGS_MOST];
    swt_study_entry entry[SWINGS_MOST];
    char text[SWINGS_MOST][2][48];
    swt_study *study;
} made;

extern char folder[];          /**< temporary, made by make_folder */
extern const char deep_code[]; /**< the deep player's, with signs that mean something to HTML */

/** `n_players` in the group with 3 swings each, 20 mm spread between, 4 mm within; then 3 swings
 *  each of C1 (clean), the deep player, and E1 (deep in the second swing). */
made *make_study(size_t n_players);

/** Writes the swings as they are now and opens the study anew. */
void rewrite(made *m);

void drop(made *m);

/** Against the group "tour" with few resamples. */
swt_assessment *assess(const made *m);

/** The player with this code; fails without. */
const swt_assessed_player *player(const swt_assessment *a, const char *code);

/** Takes the registered backswing out of swings, as an event that is absent does; their samples
 *  stay. */
void hide(made *m, size_t first, size_t n, swt_event event);

/** Group fixtures. */
int make_folder(void **state);
int remove_folder(void **state);

#endif
