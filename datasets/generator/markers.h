/** @file  Markers on the chain.
 *  Layer: generator, private. */
#ifndef SWT_GENERATOR_MARKERS_H
#define SWT_GENERATOR_MARKERS_H

#include "datasets/generator/plan.h"

#define SWT_MARKERS 72 /**< room for every marker */
#define SWT_MARKER_LABEL 24

/** The markers that a recording asks for, in file order. */
typedef struct swt_marker_set {
    size_t n;
    char label[SWT_MARKERS][SWT_MARKER_LABEL];
    size_t row[SWT_MARKERS]; /**< row of the table in markers.c */
    int side[SWT_MARKERS];   /**< LEAD or TRAIL; LEAD for middle markers */
    bool on_skin[SWT_MARKERS];
} swt_marker_set;

void swt_markers_choose(swt_marker_set *set, bool left_handed,
                        const swt_model_recording *recording);

/** Where one marker is, swing frame; ball and target are placed by `ball` and `target`. */
swt_vec3 swt_marker_at(const swt_marker_set *set, size_t marker, const chain_base *base,
                       const chain_pose *pose, swt_vec3 ball, swt_vec3 target);

#endif
