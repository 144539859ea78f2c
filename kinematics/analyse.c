#include "kinematics/analyse.h"

#include "kinematics/contact.h"
#include "kinematics/event.h"
#include "kinematics/filter.h"
#include "kinematics/impact_channel.h"
#include "kinematics/ledger.h"
#include "kinematics/locate.h"
#include "kinematics/measure.h"
#include "kinematics/prepare.h"
#include "kinematics/quality.h"
#include "kinematics/registration.h"
#include "kinematics/series.h"
#include "kinematics/swing_frame.h"
#include "kinematics/uncertainty.h"

#include <stdlib.h>
#include <string.h>

static swt_swing *swing_new(size_t n_frames, double rate_hz, const swt_findings *binding)
{
    swt_swing *swing = calloc(1, sizeof *swing);

    if (!swing)
        return NULL;
    swing->n_frames = n_frames;
    swing->rate_hz = rate_hz;
    swing->number = 1;
    swing->contact_speed_m_s = nan("");
    if (binding)
        swing->findings = *binding;
    for (int s = 0; s < SWT_SERIES_COUNT; s++)
        swing->series_verdict[s] = swt_absent(SWT_REASON_NOT_DEFINED, 0);
    return swing;
}

static double capture_time(const swt_swing *swing, double frame)
{
    return ((double)swing->capture_frame + frame) / swing->rate_hz;
}

/* From here on times count from the capture's first frame, not from the swing's. */
static void count_from_capture(swt_swing *swing)
{
    double offset_s = capture_time(swing, 0);

    for (int e = 0; e < SWT_EVENT_COUNT; e++)
        swing->event[e].time_s += offset_s;
    for (int k = 0; k < SWT_CURVE_SAMPLES; k++)
        swing->curve_time_s[k] += offset_s;
    for (int k = 0; k < SWT_TRAVEL_SAMPLES; k++)
        swing->travel_time_s[k] += offset_s;
}

/* The static capture of a left-handed player, mirrored as the swing frame mirrors the swing. */
static void mirror(swt_landmark_set *set)
{
    for (int i = 0; i < SWT_LANDMARK_COUNT; i++)
        for (size_t f = 0; set->present[i] && f < set->n_frames; f++)
            set->axis[i][0][f] = -set->axis[i][0][f];
}

/* What a swing is analysed with. */
typedef struct setting {
    const swt_landmark_set *rest; /* static capture, mirrored for a left-handed player, or NULL */
    const swt_marker_map *map;
    swt_handedness side;
    const swt_analysis_options *options;
    const swt_quality *known; /* cut-off and noise of each landmark; NULL: to be found */
    double head_noise_m;      /* of the club head at contact; 0: as of the landmark */
} setting;

/* From trajectories free of label faults, swing->body, to measures. */
static swt_status analyse_prepared(swt_swing *swing, const setting *with, swt_error *err)
{
    swt_body body = {0};
    swt_swing_frame frame;
    swt_location at;
    swt_contact contact;
    swt_landmark_set *recorded = NULL;
    swt_status rc;

    /* the swing in the capture, and the frame that its address pose gives */
    rc = swt_locate(&at, swing->body, with->options->onset_speed_m_s, err);
    if (rc == SWT_OK)
        rc = swt_swing_frame_build(&frame, swing->body, with->map, with->side, at.address_first,
                                   at.address_last, &swing->findings, err);
    if (rc == SWT_OK)
        rc = swt_swing_frame_check_motion(&frame, swing->body, at.marker, at.fastest, err);
    if (rc != SWT_OK)
        return rc;
    if (!at.quiet)
        swt_findings_add(&swing->findings, SWT_CAUTION, "starts_late",
                         "The capture starts in motion: no takeaway, nothing that counts from it, "
                         "and turns counted from the first frame.");
    if (at.others > 0)
        swt_findings_add(&swing->findings, SWT_CAUTION, "other_swings",
                         "The capture holds %zu other motion%s as fast as a swing, the first at "
                         "%.2f s (a practice swing?); the one at %.2f s is analysed.",
                         at.others, at.others > 1 ? "s" : "", capture_time(swing, (double)at.other),
                         capture_time(swing, (double)at.fastest));
    swt_swing_frame_apply(&frame, swing->body);
    if (at.quiet) {
        rc = swt_swing_frame_check_address(swing->body, at.address_first, at.address_last, err);
        if (rc != SWT_OK)
            return rc;
    }
    swing->heel_depth_m = frame.heel_depth_m;
    swing->quality.target_from_stance = frame.target_from_stance;
    swing->quality.floor_from_feet = frame.floor_from_feet;

    swing->split = swt_locate_contact(&at, swing->body);
    at.contact_frame = swt_contact_by_channel(swing->body, &at, swing->split, &swing->findings);
    swing->impact_from_channel = isfinite(at.contact_frame);
    if (swing->impact_from_channel)
        swing->split = (size_t)at.contact_frame + 1;

    /* gaps: what can be filled is filled and marked, the rest stays open */
    rc = swt_fill_landmarks(swing->body, swing->split, with->options, &swing->quality, err);

    /* noise: low-pass, the two sides of contact apart */
    if (with->known) {
        memcpy(swing->quality.cutoff_hz, with->known->cutoff_hz, sizeof swing->quality.cutoff_hz);
        memcpy(swing->quality.noise_m, with->known->noise_m, sizeof swing->quality.noise_m);
    } else if (rc == SWT_OK) {
        rc = swt_choose_cutoffs(swing->body, swing->split, with->options, &swing->quality, err);
    }

    /* the club head at contact, before smoothing bends its end */
    if (rc == SWT_OK)
        rc = swt_contact_fit(&contact, swing->body, swing->split,
                             with->head_noise_m > 0 ? with->head_noise_m
                                                    : swing->quality.noise_m[SWT_CLUB_HEAD],
                             err);
    if (rc == SWT_OK)
        rc = swt_landmark_set_copy(&recorded, swing->body, 0, swing->n_frames, err);
    if (rc == SWT_OK)
        rc = swt_smooth_landmarks(swing->body, swing->split, swing->quality.cutoff_hz,
                                  with->options->smooth_by_spline, err);

    /* joint centres and segment poses, then all that varies in time */
    if (rc == SWT_OK)
        rc = swt_body_build(&body, swing->body, with->rest, with->map->shoulder_drop_m, err);
    if (rc == SWT_OK)
        rc = swt_series_fill(swing, &body, &frame, &at, err);

    /* the instants */
    if (rc == SWT_OK)
        rc = swt_events_find(swing, &body, recorded, &at, &contact, with->options, err);

    /* what no person and no club can have done limits what follows */
    if (rc == SWT_OK)
        swt_quality_of_motion(swing, &body);

    /* what carried the hands, counted from takeaway */
    if (rc == SWT_OK)
        rc = swt_ledger_fill(swing, &body, swing->event[SWT_EVENT_TAKEAWAY].time_s, err);
    if (rc == SWT_OK)
        rc = swt_measure_all(swing, err);
    swt_landmark_set_free(recorded);
    swt_body_reset(&body);
    return rc;
}

/* Analyses trajectories that were made from a swing's, `body` (taken over, freed); *out is NULL
 * when they can't be analysed, which is a result too. */
static swt_status analyse_copy(swt_swing **out, swt_landmark_set *body, const setting *with,
                               swt_error *err)
{
    swt_swing *copy = swing_new(body->n_frames, body->rate_hz, NULL);
    swt_error why = SWT_ERROR_INIT;
    swt_status rc;

    *out = NULL;
    if (!copy) {
        swt_landmark_set_free(body);
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    }
    copy->body = body;
    rc = analyse_prepared(copy, with, &why);
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
    swt_status rc = swt_landmark_set_copy(&twice, swing->body, 0, swing->n_frames, err);

    *out = NULL;
    if (rc == SWT_OK)
        rc = swt_smooth_landmarks(twice, swing->split, swing->quality.cutoff_hz, by_spline, err);
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
                                    const swt_landmark_set *pilot, setting with, swt_error *err)
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
static swt_status analyse_with_cutoff(swt_swing **out, const swt_landmark_set *recorded,
                                      const swt_quality *quality, double factor, setting with,
                                      swt_error *err)
{
    swt_quality other = *quality;
    swt_landmark_set *body;
    swt_status rc = swt_landmark_set_copy(&body, recorded, 0, recorded->n_frames, err);

    *out = NULL;
    for (int i = 0; i < SWT_LANDMARK_COUNT; i++)
        other.cutoff_hz[i] =
            fmin(factor * quality->cutoff_hz[i], SWT_FILTER_HIGHEST_SHARE * recorded->rate_hz);
    with.known = &other;
    return rc == SWT_OK ? analyse_copy(out, body, &with, err) : rc;
}

/* The swing frame is the replicates' laboratory: there the player is right-handed, whatever the
 * capture's axes were, and label faults and cut-offs are settled. */
static swt_status estimate_uncertainty(swt_swing *swing, const swt_landmark_set *recorded,
                                       setting with, swt_error *err)
{
    size_t n = (size_t)with.options->uncertainty_replicates;
    swt_replicates *replicates;
    swt_swing *reference = NULL, *copy, *lower = NULL, *higher = NULL;
    swt_landmark_set *body, *pilot = NULL;
    swt_status rc = swt_replicates_new(&replicates, n, err);

    if (rc == SWT_OK)
        rc = analyse_with_cutoff(&lower, recorded, &swing->quality, 1 / cutoff_step, with, err);
    if (rc == SWT_OK)
        rc = analyse_with_cutoff(&higher, recorded, &swing->quality, cutoff_step, with, err);
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

swt_status swt_analyse(swt_swing **out, const swt_landmark_set *landmarks,
                       const swt_landmark_set *static_pose, const swt_marker_map *map,
                       swt_handedness side, const swt_findings *binding,
                       const swt_analysis_options *options, swt_error *err)
{
    swt_swing *swing = swing_new(landmarks->n_frames, landmarks->rate_hz, binding);
    swt_landmark_set *rest = NULL, *recorded = NULL;
    setting with = {.map = map, .side = side, .options = options};
    swt_status rc;

    *out = NULL;
    if (!swing)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    swing->capture_frame = landmarks->first_frame;
    rc = swt_landmark_set_copy(&swing->body, landmarks, 0, landmarks->n_frames, err);
    if (rc == SWT_OK && static_pose)
        rc = swt_landmark_set_copy(&rest, static_pose, 0, static_pose->n_frames, err);
    if (rc == SWT_OK && rest && side == SWT_LEFT_HANDED)
        mirror(rest);
    with.rest = rest;

    /* labels: exchanged ones put right or declared missing */
    if (rc == SWT_OK)
        rc = swt_check_landmark_labels(swing->body, &swing->findings, err);
    if (rc == SWT_OK && options->uncertainty_replicates > 0)
        rc = swt_landmark_set_copy(&recorded, swing->body, 0, swing->n_frames, err);
    if (rc == SWT_OK)
        rc = analyse_prepared(swing, &with, err);

    /* how far marker noise may have moved events and measures */
    if (rc == SWT_OK && options->uncertainty_replicates > 0)
        rc = estimate_uncertainty(swing, recorded, with, err);
    if (rc == SWT_OK && swing->impact_from_channel) /* which the markers' noise does not move */
        swing->event[SWT_EVENT_IMPACT].sd_s = swing->body->onsets.sd_s;

    /* curves on a common clock, and what to think of the measures */
    if (rc == SWT_OK)
        rc = swt_register_curves(swing, err);
    if (rc == SWT_OK)
        rc = swt_register_travel(swing, err);
    if (rc != SWT_OK)
        goto done;
    swt_register_shift(swing);
    swt_quality_of_measures(swing);
    count_from_capture(swing);
    *out = swing;
    swing = NULL;
done:
    swt_landmark_set_free(recorded);
    swt_landmark_set_free(rest);
    swt_swing_free(swing);
    return rc;
}
