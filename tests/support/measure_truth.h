/** @file  What the forward model says each measure is. */
#ifndef SWT_TESTS_MEASURE_TRUTH_H
#define SWT_TESTS_MEASURE_TRUTH_H

#include "tests/support/trial.h"

/** True value of row `measure` of the table of measures, SI, at the true event; NaN where the model
 *  knows none or the swing has none. */
double measure_truth(const trial *t, size_t measure);

/** Value less truth; whole turns of an angle are taken off. NaN where either is. */
double measure_error(const trial *t, size_t measure);

#endif
