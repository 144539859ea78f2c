/** @file  Entries of a study that never was, for the tests of the study file. */
#ifndef SWT_TESTS_INVENTED_STUDY_H
#define SWT_TESTS_INVENTED_STUDY_H

#include "io/study/study.h"

/* Invented entries whose every number is a draw, so that no two columns can be mistaken. */
enum { CAPTURES = 7 };

typedef struct invented {
    swt_trial trial[CAPTURES];
    swt_capture_facts facts[CAPTURES];
    swt_swing *swing[CAPTURES][2];
    swt_study_entry entry[CAPTURES];
    char *covariate[CAPTURES][2];
    char text[CAPTURES][2][32];
} invented;

extern const swt_provenance provenance;

invented *invent(void);
void forget(invented *v);

/** Opens and verifies a study that must be good; the caller closes. */
swt_study *open_good(const char *path);

/** Fails unless all that can be read from the study is what `v` holds. */
void check_study(const char *path, const invented *v);

#endif
