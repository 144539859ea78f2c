/** @file  Joint centres and segment poses from landmarks, frame by frame.
 *  Layer: kinematics. Everything in metres in the swing frame.
 *
 *  Segment axes are those of ISB (Wu et al. 2002, 2005): X forward, Y up, Z to the player's
 *  right, which is the trail side here, since left-handed players are mirrored. */
#ifndef SWT_KINEMATICS_SEGMENT_H
#define SWT_KINEMATICS_SEGMENT_H

#include "kinematics/landmark.h"
#include "kinematics/pose.h"
#include "kinematics/verdict.h"

/** Points that the measures are built on. */
typedef enum swt_point {
    SWT_POINT_LEAD_HIP,
    SWT_POINT_TRAIL_HIP,
    SWT_POINT_PELVIS, /**< middle of the four iliac spines, else of the hips              */
    SWT_POINT_LEAD_SHOULDER,
    SWT_POINT_TRAIL_SHOULDER,
    SWT_POINT_LEAD_ELBOW,
    SWT_POINT_TRAIL_ELBOW,
    SWT_POINT_LEAD_WRIST,
    SWT_POINT_TRAIL_WRIST,
    SWT_POINT_LEAD_HAND,
    SWT_POINT_TRAIL_HAND,
    SWT_POINT_MID_HANDS, /**< mean of the hand centres, else the grip                        */
    SWT_POINT_LEAD_KNEE,
    SWT_POINT_TRAIL_KNEE,
    SWT_POINT_LEAD_ANKLE,
    SWT_POINT_TRAIL_ANKLE,
    SWT_POINT_GRIP, /**< on the shaft at the grip, else mid-hands                       */
    SWT_POINT_CLUB_HEAD,
    SWT_POINT_COUNT
} swt_point;

typedef enum swt_segment { SWT_SEGMENT_PELVIS, SWT_SEGMENT_THORAX, SWT_SEGMENT_COUNT } swt_segment;

/** Poses of a segment over frames, missing (NaN) where they can't be had. */
typedef struct swt_segment_pose {
    swt_pose *pose;    /**< n_frames; rotation: columns X, Y, Z in the swing frame; translation: the
                            origin (pelvis: mid-ASIS, else mid-hips; thorax: IJ, else
                            mid-shoulders); NULL when absent                                      */
    swt_pose *turning; /**< n_frames; another pose of the same segment, for its angular velocity
                            alone: the rigid fit of all its markers to their own mean shape, which
                            has less noise than axes drawn through some of them; NULL: use `pose` */
    swt_verdict verdict;
    bool fitted; /**< by the rigid fit to a static capture                                  */
} swt_segment_pose;

typedef struct swt_body {
    size_t n_frames;
    swt_vec3 *point[SWT_POINT_COUNT];       /**< n_frames; NULL when absent                   */
    unsigned char *filled[SWT_POINT_COUNT]; /**< n_frames; 1 where a source sample was filled */
    swt_verdict point_verdict[SWT_POINT_COUNT];
    swt_segment_pose segment[SWT_SEGMENT_COUNT];
} swt_body;

/**
 * Builds points and poses.
 *
 * Pelvis (Wu 2002): Z from lead to trail ASIS, X forward in the plane of both ASIS and the middle
 * of the PSIS. Thorax (Wu 2005): Y from mid(PX, T8) to mid(IJ, C7), Z normal to the plane of IJ,
 * C7 and mid(PX, T8). With a static capture, the poses come from a least-squares fit of all
 * markers of the segment. Without the landmarks: pelvis from the hip line and the vertical,
 * thorax from the shoulder line and the trunk axis, both limited with their reason.
 * Hip centres not marked: Harrington et al. 2007 (J Biomech 40:595), single-variable regression.
 *
 * @param[in] shoulder_drop_m  shoulder centre below AC along the thorax' Y axis
 * @param[in] static_pose      landmarks of a static capture (any frame of reference), or NULL
 */
SWT_MUST_USE swt_status swt_body_build(swt_body *body, const swt_landmark_set *set,
                                       const swt_landmark_set *static_pose, double shoulder_drop_m,
                                       swt_error *err);

/** Hands, wrists, grip and club head alone, `body` otherwise empty: of recorded trajectories,
 *  which are not smoothed. */
SWT_MUST_USE swt_status swt_body_build_hands(swt_body *body, const swt_landmark_set *set,
                                             swt_error *err);

enum { SWT_SEGMENT_MARKERS_MAX = 9 };

/** The markers of a segment that a set has; returns how many. */
size_t swt_segment_markers(swt_landmark member[SWT_SEGMENT_MARKERS_MAX], swt_segment segment,
                           const swt_landmark_set *set);

/**
 * The segment's markers over frames [from, from + n) fitted to their own mean shape.
 * @param[out] pose  n poses; *fitted says whether there are any (three markers at least, seen
 *                   together)
 */
SWT_MUST_USE swt_status swt_segment_fit_itself(swt_pose *pose, bool *fitted, swt_segment segment,
                                               const swt_landmark_set *set, size_t from, size_t n,
                                               swt_error *err);

/** Frees what swt_body_build allocated; a zeroed body is allowed. */
void swt_body_reset(swt_body *body);

/** Axes of the pelvis (ISB) from its landmarks; NaN when one is missing. */
swt_mat3 swt_pelvis_axes(swt_vec3 lead_asis, swt_vec3 trail_asis, swt_vec3 mid_psis);

/** Axes of the thorax (ISB) from its landmarks; NaN when one is missing. */
swt_mat3 swt_thorax_axes(swt_vec3 ij, swt_vec3 px, swt_vec3 c7, swt_vec3 t8);

#endif
