/** @file  A marker map: which recorded label is which landmark, and how the laboratory stands.
 *  Layer: kinematics. Read from INI by io/; bound to a capture by bind.h. */
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

/** Number of single-character edits between two labels (Levenshtein), letter case ignored. */
size_t swt_label_distance(const char *a, const char *b);

#endif
