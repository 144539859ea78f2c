#include "kinematics/analyse_once.h"

#include "kinematics/contact.h"
#include "kinematics/event.h"
#include "kinematics/filter.h"
#include "kinematics/impact_channel.h"
#include "kinematics/ledger.h"
#include "kinematics/locate.h"
#include "kinematics/measure.h"
#include "kinematics/prepare.h"
#include "kinematics/quality.h"
#include "kinematics/series.h"
#include "kinematics/swing_frame.h"

#include <stdlib.h>
#include <string.h>

swt_swing *swt_swing_begin(size_t n_frames, double rate_hz, const swt_findings *binding)
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

double swt_capture_time(const swt_swing *swing, double frame)
{
    return ((double)swing->capture_frame + frame) / swing->rate_hz;
}

/* What is odd about where the swing lies in the capture. */
static void tell_place(swt_swing *swing, const swt_location *at)
{
    if (!at->quiet)
        swt_findings_add(&swing->findings, SWT_CAUTION, "starts_late",
                         "The capture starts in motion: no takeaway, nothing that counts from it, "
                         "and turns counted from the first frame.");
    if (at->others > 0)
        swt_findings_add(&swing->findings, SWT_CAUTION, "other_swings",
                         "The capture holds %zu other motion%s as fast as a swing, the first at "
                         "%.2f s (a practice swing?); the one at %.2f s is analysed.",
                         at->others, at->others > 1 ? "s" : "",
                         swt_capture_time(swing, (double)at->other),
                         swt_capture_time(swing, (double)at->fastest));
}

/* The swing in the capture, and the frame that its address pose gives; from here on its
 * trajectories lie along the target line, in depth and in height. */
static swt_status find_place(swt_swing_frame *frame, swt_location *at, swt_swing *swing,
                             const swt_setting *with, swt_error *err)
{
    swt_status rc = swt_locate(at, swing->body, with->options->onset_speed_m_s, err);

    if (rc == SWT_OK)
        rc = swt_swing_frame_build(frame, swing->body, with->map, with->side, at->address_first,
                                   at->address_last, &swing->findings, err);
    if (rc == SWT_OK)
        rc = swt_swing_frame_check_motion(frame, swing->body, at->marker, at->fastest, err);
    if (rc != SWT_OK)
        return rc;
    tell_place(swing, at);
    swt_swing_frame_apply(frame, swing->body);
    if (at->quiet)
        rc = swt_swing_frame_check_address(swing->body, at->address_first, at->address_last, err);
    swing->heel_depth_m = frame->heel_depth_m;
    swing->quality.target_from_stance = frame->target_from_stance;
    swing->quality.floor_from_feet = frame->floor_from_feet;
    return rc;
}

/* Contact divides the swing: as the club's motion tells, or an analog channel, to the sample. */
static void find_split(swt_location *at, swt_swing *swing)
{
    swing->split = swt_locate_contact(at, swing->body);
    at->contact_frame = swt_contact_by_channel(swing->body, at, swing->split, &swing->findings);
    swing->impact_from_channel = isfinite(at->contact_frame);
    if (swing->impact_from_channel)
        swing->split = (size_t)at->contact_frame + 1;
}

/* Low-pass cut-off and noise of each landmark: those known, or from residual analysis. */
static swt_status find_noise(swt_swing *swing, const swt_setting *with, swt_error *err)
{
    if (!with->known)
        return swt_choose_cutoffs(swing->body, swing->split, with->options, &swing->quality, err);
    memcpy(swing->quality.cutoff_hz, with->known->cutoff_hz, sizeof swing->quality.cutoff_hz);
    memcpy(swing->quality.noise_m, with->known->noise_m, sizeof swing->quality.noise_m);
    return SWT_OK;
}

/* The swing's body becomes the smoothed one; *recorded is what it was. */
static swt_status smooth(swt_landmark_set **recorded, swt_swing *swing, const swt_setting *with,
                         swt_error *err)
{
    swt_landmark_set *smoothed;
    swt_status rc = swt_landmark_set_new_like(&smoothed, swing->body, err);

    if (rc == SWT_OK)
        rc = swt_smooth_landmarks(smoothed, swing->body, swing->split, swing->quality.cutoff_hz,
                                  with->options->smooth_by_spline, err);
    if (rc != SWT_OK) {
        swt_landmark_set_free(smoothed);
        return rc;
    }
    *recorded = swing->body;
    swing->body = smoothed;
    return SWT_OK;
}

swt_status swt_analyse_once(swt_swing *swing, const swt_setting *with, swt_error *err)
{
    swt_body body = {0};
    swt_swing_frame frame;
    swt_location at;
    swt_contact contact;
    swt_landmark_set *recorded = NULL;
    swt_status rc = find_place(&frame, &at, swing, with, err);

    if (rc != SWT_OK)
        return rc;
    find_split(&at, swing);

    /* gaps: what can be filled is filled and marked, the rest stays open */
    rc = swt_fill_landmarks(swing->body, swing->split, with->options, &swing->quality, err);
    if (rc == SWT_OK)
        rc = find_noise(swing, with, err);

    /* the club head at contact, before smoothing bends its end */
    if (rc == SWT_OK)
        rc = swt_contact_fit(&contact, swing->body, swing->split,
                             with->head_noise_m > 0 ? with->head_noise_m
                                                    : swing->quality.noise_m[SWT_CLUB_HEAD],
                             err);

    /* low-pass, the two sides of contact apart */
    if (rc == SWT_OK)
        rc = smooth(&recorded, swing, with, err);

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

    /* what carried the hands, counted from takeaway, and the measures */
    if (rc == SWT_OK)
        rc = swt_ledger_fill(swing, &body, swing->event[SWT_EVENT_TAKEAWAY].time_s, err);
    if (rc == SWT_OK)
        rc = swt_measure_all(swing, err);
    swt_landmark_set_free(recorded);
    swt_body_reset(&body);
    return rc;
}
