#include "kinematics/analyse.h"

#include "kinematics/analyse_again.h"
#include "kinematics/prepare.h"
#include "kinematics/quality.h"
#include "kinematics/registration.h"

/* From here on times count from the capture's first frame, not from the swing's. */
static void count_from_capture(swt_swing *swing)
{
    double offset_s = swt_capture_time(swing, 0);

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

swt_status swt_analyse(swt_swing **out, const swt_landmark_set *landmarks,
                       const swt_landmark_set *static_pose, const swt_marker_map *map,
                       swt_handedness side, const swt_findings *binding,
                       const swt_analysis_options *options, swt_error *err)
{
    swt_swing *swing = swt_swing_begin(landmarks->n_frames, landmarks->rate_hz, binding);
    swt_landmark_set *rest = NULL, *labelled = NULL;
    swt_setting with = {.map = map, .side = side, .options = options};
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
        rc = swt_landmark_set_copy(&labelled, swing->body, 0, swing->n_frames, err);
    if (rc == SWT_OK)
        rc = swt_analyse_once(swing, &with, err);

    /* how far marker noise may have moved events and measures */
    if (rc == SWT_OK && options->uncertainty_replicates > 0)
        rc = swt_analyse_again(swing, labelled, with, err);
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
    swt_landmark_set_free(labelled);
    swt_landmark_set_free(rest);
    swt_swing_free(swing);
    return rc;
}
