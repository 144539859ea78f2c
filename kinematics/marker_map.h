/** @file  A marker map: which recorded label is which landmark, and how the laboratory stands.
 *  Layer: kinematics. Read from INI by io/; here it is bound to a capture. */
#ifndef SWT_KINEMATICS_MARKER_MAP_H
#define SWT_KINEMATICS_MARKER_MAP_H

#include "base/capture.h"
#include "kinematics/landmark.h"
#include "kinematics/verdict.h"

enum { SWT_MAP_LABEL = 64, SWT_MAP_ALTERNATIVES = 8 };

/** One line of the map: a landmark key ("left.ASIS") and the labels it may have, best first. */
typedef struct swt_map_entry {
    char key[32];
    int line;
    size_t n_labels;
    char label[SWT_MAP_ALTERNATIVES][SWT_MAP_LABEL]; /**< several: the first found is taken */
    bool averaged; /**< the labels joined by '+' are averaged instead (strobed markers)     */
} swt_map_entry;

/** Signed laboratory axis: +1 = +x, -3 = -z; 0 = not given. */
typedef int swt_signed_axis;

typedef struct swt_marker_map {
    bool labels_from_descriptions; /**< match the point descriptions, not the labels          */
    bool residuals_meaningless;    /**< negative residuals do not mean missing                */
    bool axes_left_handed;         /**< the laboratory's axes are a left-handed triple        */
    bool levelled;                 /**< laboratory height 0 is the floor                      */
    char prefix[SWT_MAP_LABEL];    /**< "*:" accepts any prefix up to ':', "S1:" just that one */
    swt_signed_axis up;            /**< required                                              */
    swt_signed_axis target;        /**< axis that points to the target; 0: ball and target
                                        markers, else the toe line                            */
    double metres_per_unit;        /**< used when the capture states no unit; 0 = none        */
    double rate_hz;                /**< used when the capture states no rate; 0 = none        */
    double marker_radius_m;
    double shoulder_drop_m; /**< shoulder centre below AC along the thorax axis        */
    char impact_channel[SWT_MAP_LABEL]; /**< analog channel that marks contact, "" = none        */
    double impact_threshold; /**< departure from rest that is contact, channel's unit; 0 = found */
    double impact_delay_s;   /**< how long after contact the channel shows it                   */
    size_t n_entries;
    swt_map_entry *entry; /**< owned                                                 */
} swt_marker_map;

/** Defaults: z up, radius 7 mm, shoulder drop 40 mm, everything else off. */
void swt_marker_map_init(swt_marker_map *map);

/** Frees the entries. */
void swt_marker_map_reset(swt_marker_map *map);

/**
 * Takes the mapped landmarks out of a capture: labels matched, units to metres, axes turned
 * to right-handed with z up, invalid samples to NaN, left/right resolved to lead/trail.
 *
 * The position stays in the laboratory's frame; the mirror image for left-handed players is
 * taken by swt_swing_frame. Landmarks that the map names and the capture lacks are noted as
 * findings, with the nearest spelling among the labels left over.
 *
 * @param[out] out       caller frees with swt_landmark_set_free; NULL on failure
 * @param[out] findings  appended to
 * @retval SWT_EDATA  no unit or rate anywhere, no mapped label is in the capture, or the landmarks
 *                    are not of a person's size: the unit is wrong
 */
SWT_MUST_USE swt_status swt_marker_map_bind(swt_landmark_set **out, const swt_marker_map *map,
                                            const swt_capture *capture, swt_handedness side,
                                            swt_findings *findings, swt_error *err);

/** Number of single-character edits between two labels (Levenshtein), letter case ignored. */
size_t swt_label_distance(const char *a, const char *b);

#endif
