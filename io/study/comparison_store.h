/** @file  Corridors and departures kept in the study that they were made from.
 *  Layer: io.
 *
 *  Every stored comparison has a name of its own. Storing one writes a copy of the study with the
 *  comparison in it and renames it over the study: a crash leaves the old file or the new one,
 *  and never loses a swing. Merging parts drops comparisons, since their group has changed. */
#ifndef SWT_IO_STUDY_COMPARISON_STORE_H
#define SWT_IO_STUDY_COMPARISON_STORE_H

#include "comparison/corridor.h"
#include "comparison/departure.h"
#include "comparison/path_corridor.h"
#include "comparison/score.h"
#include "io/study/study.h"

/** One measure's corridor. */
typedef struct swt_kept_corridor {
    char name[96];  /**< of the series or measure                                */
    bool is_series; /**< a curve; else a scalar measure                          */
    bool in_family; /**< the family factor counts it                             */
    swt_corridor *corridor;
} swt_kept_corridor;

/** One path's tube. */
typedef struct swt_kept_path {
    char name[96]; /**< "hand_path"                                              */
    swt_path_corridor *corridor;
} swt_kept_path;

/** Corridors that are looked at together, as one family; of a path each by itself. */
typedef enum swt_kept_family { SWT_OF_MEASURES = 0, SWT_OF_BESIDE, SWT_OF_PATH } swt_kept_family;

/** "measures", "beside", "path" */
const char *swt_family_name(swt_kept_family family);

/** One departure; departure.measure is an index into `corridor`, or, from n_corridors on, into
 *  `path`. */
typedef struct swt_kept_departure {
    size_t swing; /**< row of the study */
    swt_departure departure;
    swt_kept_family family; /**< follows from the corridor */
} swt_kept_departure;

/** How unusual a swing is as a whole, and in which phase. */
typedef struct swt_kept_score {
    size_t swing; /**< row of the study */
    swt_score score;
    double phase_share[SWT_PHASES + 1]; /**< of rms^2; last: the scalars */
} swt_kept_score;

typedef struct swt_kept_comparison {
    char *group;          /**< what the reference is called                      */
    char *selection;      /**< the conditions that choose it (selection.h)       */
    char *options;        /**< what else decides the numbers, "key = value" lines */
    double family_factor; /**< NaN: none                                         */
    double false_alone;   /**< swt_corridor_family_factor                        */
    size_t n_reference;
    size_t *reference; /**< rows of the study that the corridors are made of     */
    size_t n_corridors;
    swt_kept_corridor *corridor;
    size_t n_paths;
    swt_kept_path *path;
    size_t n_departures;
    swt_kept_departure *departure;
    size_t n_scores;
    swt_kept_score *score;
} swt_kept_comparison;

/**
 * Adds a comparison to the study at `path`; one of the same name is replaced. All is borrowed.
 * A corridor's `resampled_ratio` is not kept: what was made of it is the family factor.
 */
SWT_MUST_USE swt_status swt_comparison_store(const char *path, const char *name,
                                             const swt_kept_comparison *comparison, swt_error *err);

/**
 * Reads a comparison.
 * @param[out] out  caller frees with swt_kept_comparison_free; NULL on failure
 * @retval SWT_EARG     the study has none of this name; the message lists those it has
 * @retval SWT_EFORMAT  damaged
 */
SWT_MUST_USE swt_status swt_comparison_load(swt_kept_comparison **out, const swt_study *study,
                                            const char *name, swt_error *err);

/** Adds the names of the comparisons that the study holds, in their order. */
SWT_MUST_USE swt_status swt_comparison_list(swt_names *names, const swt_study *study,
                                            swt_error *err);

/** Frees a loaded comparison with its corridors; NULL is allowed. */
void swt_kept_comparison_free(swt_kept_comparison *comparison);

#endif
