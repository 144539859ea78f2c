#include "io/report/hands.h"

#include <math.h>
#include <stdlib.h>

const swt_event swt_hands_events[SWT_HANDS_EVENTS] = {SWT_EVENT_TAKEAWAY,
                                                      SWT_EVENT_SHAFT_LEVEL_BACKSWING,
                                                      SWT_EVENT_LEAD_ARM_LEVEL_BACKSWING,
                                                      SWT_EVENT_HANDS_TOP,
                                                      SWT_EVENT_CLUB_TOP,
                                                      SWT_EVENT_LEAD_ARM_LEVEL_DOWNSWING,
                                                      SWT_EVENT_SHAFT_LEVEL_DOWNSWING,
                                                      SWT_EVENT_IMPACT};

double swt_native_at(const double *native, size_t n_frames, double frame)
{
    double low = floor(frame);
    size_t i;

    if (!(frame >= 0) || !(frame <= (double)(n_frames - 1)))
        return nan("");
    i = (size_t)low;
    if (i + 1 >= n_frames || !(frame > low))
        return native[i];
    return native[i] + (frame - low) * (native[i + 1] - native[i]);
}

swt_status swt_hands_at_events(swt_vec3 hands[SWT_EVENT_COUNT], const swt_study *study,
                               size_t swing, swt_error *err)
{
    static const swt_series axis[] = {SWT_SERIES_HAND_ALONG, SWT_SERIES_HAND_DEPTH,
                                      SWT_SERIES_HAND_HEIGHT};
    const swt_study_swing *s = &study->swing[swing];
    double *native = calloc(3 * s->n_frames + 1, sizeof *native);
    swt_status rc = SWT_OK;

    if (!native)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t k = 0; rc == SWT_OK && k < 3; k++)
        rc = swt_study_read_series(study, axis[k], swing, native + k * s->n_frames, err);
    for (int e = 0; rc == SWT_OK && e < SWT_EVENT_COUNT; e++) {
        double frame = swt_study_event_frame(study, (swt_event)e, swing);
        hands[e] = s->n_frames == 0
                       ? swt_vec3_nan()
                       : swt_vec3_make(swt_native_at(native, s->n_frames, frame),
                                       swt_native_at(native + s->n_frames, s->n_frames, frame),
                                       swt_native_at(native + 2 * s->n_frames, s->n_frames, frame));
    }
    free(native);
    return rc;
}

swt_vec3 swt_camera_aim_point(swt_camera_aim aim, const swt_vec3 hands[SWT_EVENT_COUNT])
{
    swt_vec3 at = swt_vec3_nan();

    for (size_t i = 0; i < SWT_HANDS_EVENTS && !swt_vec3_is_finite(at); i++)
        at = hands[swt_hands_events[i]];
    return aim == SWT_AIM_HANDS ? at : swt_vec3_make(0, 0, at.z);
}
