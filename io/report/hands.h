/** @file  Where the hands are at the events of a swing, and the events a camera is judged by.
 *  Layer: io. */
#ifndef SWT_IO_REPORT_HANDS_H
#define SWT_IO_REPORT_HANDS_H

#include "io/study/study.h"
#include "kinematics/camera.h"

enum { SWT_HANDS_EVENTS = 8 };

/** From takeaway to impact, in the order of a swing. */
extern const swt_event swt_hands_events[SWT_HANDS_EVENTS];

/** Value between two samples of a study's native series, linear; NaN outside. */
double swt_native_at(const double *native, size_t n_frames, double frame);

/** Mid-hands at every event, in metres in the swing frame; NaN where the event is absent. */
SWT_MUST_USE swt_status swt_hands_at_events(swt_vec3 hands[SWT_EVENT_COUNT], const swt_study *study,
                                            size_t swing, swt_error *err);

/** What a camera is pointed at. */
typedef enum swt_camera_aim {
    SWT_AIM_HANDS, /**< mid-hands at address                                     */
    SWT_AIM_TOES   /**< middle of the toe line, at the height of those hands     */
} swt_camera_aim;

/** Where that is; the hands at the first event there is stand in for those at address. */
swt_vec3 swt_camera_aim_point(swt_camera_aim aim, const swt_vec3 hands[SWT_EVENT_COUNT]);

#endif
