#include "kinematics/analyse_again.h"

#include "kinematics/filter.h"
#include "kinematics/prepare.h"
#include "kinematics/registration.h"
#include "kinematics/uncertainty.h"

#include <math.h>

/* Analyses trajectories that were made from a swing's, `body` (taken over, freed); *out is NULL
 * when they can't be analysed, which is a result too. */
static swt_status analyse_copy(swt_swing **out, swt_landmark_set *body, const swt_setting *with,
                               swt_error *err)
{
    swt_swing *copy = swt_swing_begin(body->n_frames, body->rate_hz, NULL);
    swt_error why = SWT_ERROR_INIT;
    swt_status rc;

    *out = NULL;
    if (!copy) {
        swt_landmark_set_free(body);
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    }
    copy->body = body;
    rc = swt_analyse_once(copy, with, &why);
    if (rc == SWT_OK)
        rc = swt_register_curves(copy, &why);
    if (rc == SWT_OK)
        *out = copy;
    else
        swt_swing_free(copy);
    return rc == SWT_ENOMEM ? swt_fail(err, rc, "out of memory") : SWT_OK;
}

/* What stands for the true trajectories: the smoothed ones with what smoothing them once more
 * takes off put back (twicing: Tukey 1977, Exploratory Data Analysis; from memory). Smoothing bends
 * them nearly as much as it bent the recorded ones, so the replicates show that bias too. */
static swt_status make_pilot(swt_landmark_set **out, const swt_swing *swing, bool by_spline,
                             swt_error *err)
{
    swt_landmark_set *twice = NULL, *pilot = NULL;
    swt_status rc = swt_landmark_set_new_like(&twice, swing->body, err);

    *out = NULL;
    if (rc == SWT_OK)
        rc = swt_smooth_landmarks(twice, swing->body, swing->split, swing->quality.cutoff_hz,
                                  by_spline, err);
    if (rc == SWT_OK)
        rc = swt_landmark_set_copy(&pilot, swing->body, 0, swing->n_frames, err);
    for (int i = 0; rc == SWT_OK && i < SWT_LANDMARK_COUNT; i++)
        for (int k = 0; k < 3 && pilot->present[i]; k++)
            for (size_t f = 0; f < pilot->n_frames; f++)
                pilot->axis[i][k][f] += pilot->axis[i][k][f] - twice->axis[i][k][f];
    swt_landmark_set_free(twice);
    *out = pilot;
    return rc;
}

/* The pilot as it is: nothing to smooth, no noise to allow for. */
static swt_status analyse_reference(swt_swing **out, const swt_swing *swing,
                                    const swt_landmark_set *pilot, swt_setting with, swt_error *err)
{
    swt_quality clean = {0};
    swt_landmark_set *body;
    swt_status rc = swt_landmark_set_copy(&body, pilot, 0, pilot->n_frames, err);

    *out = NULL;
    for (int i = 0; i < SWT_LANDMARK_COUNT; i++)
        clean.noise_m[i] = 1e-6; /* 0 would mean unknown */
    with.known = &clean;
    with.head_noise_m = swing->quality.noise_m[SWT_CLUB_HEAD]; /* the same window at contact */
    return rc == SWT_OK ? analyse_copy(out, body, &with, err) : rc;
}

/* Cut-offs as far above and below as another analyst might choose (own choice: two of the residual
 * analysis' steps lie a factor 1.5 apart). */
static const double cutoff_step = 1.25;

/* The recorded trajectories once more, all cut-offs times `factor`. */
static swt_status analyse_with_cutoff(swt_swing **out, const swt_landmark_set *labelled,
                                      const swt_quality *quality, double factor, swt_setting with,
                                      swt_error *err)
{
    swt_quality other = *quality;
    swt_landmark_set *body;
    swt_status rc = swt_landmark_set_copy(&body, labelled, 0, labelled->n_frames, err);

    *out = NULL;
    for (int i = 0; i < SWT_LANDMARK_COUNT; i++)
        other.cutoff_hz[i] =
            fmin(factor * quality->cutoff_hz[i], SWT_FILTER_HIGHEST_SHARE * labelled->rate_hz);
    with.known = &other;
    return rc == SWT_OK ? analyse_copy(out, body, &with, err) : rc;
}

/* The swing frame is the replicates' laboratory: there the player is right-handed, whatever the
 * capture's axes were, and label faults and cut-offs are settled. */
swt_status swt_analyse_again(swt_swing *swing, const swt_landmark_set *labelled, swt_setting with,
                             swt_error *err)
{
    size_t n = (size_t)with.options->uncertainty_replicates;
    swt_replicates *replicates;
    swt_swing *reference = NULL, *copy, *lower = NULL, *higher = NULL;
    swt_landmark_set *body, *pilot = NULL;
    swt_status rc = swt_replicates_new(&replicates, n, err);

    if (rc == SWT_OK)
        rc = analyse_with_cutoff(&lower, labelled, &swing->quality, 1 / cutoff_step, with, err);
    if (rc == SWT_OK)
        rc = analyse_with_cutoff(&higher, labelled, &swing->quality, cutoff_step, with, err);
    with.side = SWT_RIGHT_HANDED;
    if (rc == SWT_OK)
        rc = make_pilot(&pilot, swing, with.options->smooth_by_spline, err);
    if (rc == SWT_OK)
        rc = analyse_reference(&reference, swing, pilot, with, err);
    with.known = &swing->quality;
    for (size_t k = 0; k < n && rc == SWT_OK; k++) {
        rc = swt_replicate_draw(&body, pilot, &swing->quality, k, err);
        if (rc == SWT_OK)
            rc = analyse_copy(&copy, body, &with, err);
        if (rc == SWT_OK) {
            swt_replicates_keep(replicates, k, copy);
            if (reference && copy)
                swt_replicates_keep_curves(replicates, reference, copy);
            swt_swing_free(copy);
        }
    }
    if (rc == SWT_OK && reference) {
        swt_uncertainty_estimate(swing, reference, replicates, lower, higher);
        rc = swt_uncertainty_of_curves(swing, replicates, lower, higher, err);
    }
    swt_swing_free(lower);
    swt_swing_free(higher);
    swt_swing_free(reference);
    swt_landmark_set_free(pilot);
    swt_replicates_free(replicates);
    return rc;
}
