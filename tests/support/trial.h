/** @file  One swing of the forward model, analysed: for tests and benchmarks that need the truth
 *         beside the answer. */
#ifndef SWT_TESTS_TRIAL_H
#define SWT_TESTS_TRIAL_H

#include "datasets/generator/model.h"
#include "kinematics/analyse.h"
#include "kinematics/measure.h"

typedef struct trial {
    swt_capture *capture;
    swt_model_truth *truth;
    swt_swing *swing;  /**< NULL when the chain cannot take the drawn posture           */
    swt_capture *rest; /**< static capture for trial_analyse, owned; NULL = without one */
} trial;

/** Which of the model's events is which of ours. */
typedef struct trial_event {
    swt_event ours;
    swt_model_event theirs;
} trial_event;

enum { TRIAL_EVENTS = 14 };
extern const trial_event trial_events[TRIAL_EVENTS];

/** The model's series for one of ours, and what the model counts from another zero; -1 = none. */
int trial_series(double *offset, swt_series ours);

/** 240 Hz, no disturbances, ball and target marked. */
swt_model_recording trial_recording(void);

/**
 * Makes the capture and analyses it with the map of the demo captures.
 * @param without  parts of landmark keys ("club.", "PSIS") whose markers are taken as absent
 * @return of the analysis, or of the model where the capture can't be made (SWT_ENUM: the drawn
 *         posture is out of the chain's reach; not an error of the analysis)
 */
SWT_MUST_USE swt_status trial_run(trial *t, const swt_model_player *player,
                                  const swt_model_swing *swing,
                                  const swt_model_recording *recording, const char *const *without,
                                  size_t n_without, swt_error *err);

/** As trial_run with all markers, and with standard uncertainties from so many replicates (the
 * other functions estimate none, to save the time). */
SWT_MUST_USE swt_status trial_run_uncertain(trial *t, const swt_model_player *player,
                                            const swt_model_swing *swing,
                                            const swt_model_recording *recording, long replicates,
                                            swt_error *err);

/** Analyses a capture that is already there (changed, or put together) into t->swing. */
SWT_MUST_USE swt_status trial_analyse(trial *t, const swt_model_player *player,
                                      const swt_model_recording *recording,
                                      const char *const *without, size_t n_without, swt_error *err);

/** The landmarks of a capture by the map of the demo captures; the caller frees `set` and resets
 *  `map`. */
SWT_MUST_USE swt_status trial_bind(swt_landmark_set **set, swt_marker_map *map,
                                   const swt_capture *capture, const swt_model_player *player,
                                   const swt_model_recording *recording, const char *const *without,
                                   size_t n_without, swt_findings *findings, swt_error *err);

/** Frees what trial_run made. */
void trial_done(trial *t);

/** Value of a measure by name; NaN when absent. Stops the program when there is no such measure. */
double trial_measure(const trial *t, const char *name);

#endif
