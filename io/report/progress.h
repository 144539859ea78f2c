/** @file  One player's swings in blocks, held against each other: session to session, or full shot
 *  to shorter ones. Which differences are more than swing-to-swing noise?
 *  Layer: io. Reads scalar measures of an open study; all statistics are comparison's.
 *
 *  Noise is the spread of a player's swings around their mean in one block, pooled over the players
 *  of the study (Weir 2005, J Strength Cond Res 19:231): the first session of each, in the club and
 *  shot that most swings have. What differs from day to day by itself, markers put on anew above
 * all, is not in it. A difference is held against the smallest one that noise alone exceeds in 1 -
 *  confidence of the cases; over all measures of a block together, Holm's adjustment says which
 *  stand. */
#ifndef SWT_IO_REPORT_PROGRESS_H
#define SWT_IO_REPORT_PROGRESS_H

#include "comparison/change.h"
#include "io/report/assessment.h"
#include "io/report/gnuplot.h"

#define SWT_PROGRESS_LEAST_DF 20 /**< swings less players that noise is known from: own choice */

typedef enum swt_progress_by { SWT_BY_SESSION, SWT_BY_SHOT } swt_progress_by;

typedef struct swt_progress_options {
    swt_progress_by by;
    const char *only;    /**< swings to take, as conditions (selection.h); NULL: all         */
    const char *measure; /**< name of the only measure; NULL: all                            */
    const char *from;    /**< name of the block that the others are held against; NULL: the first */
    double confidence;
    bool with_practice;
} swt_progress_options;

/** Noise of one measure. Numbers are NaN where fewer than SWT_PROGRESS_LEAST_DF say them. */
typedef struct swt_progress_noise {
    size_t n_players, n_swings;
    double icc; /**< ICC(1,1) of a single swing                                             */
    double sem; /**< standard error of measurement: within-player SD                       */
    double detectable; /**< one swing against one, at the confidence                        */
    double trend_p;    /**< F test of a change over the first swings, the same ones of every
                            player (Weir's trials): small = they warm up or tire           */
} swt_progress_noise;

/** One measure of one block. */
typedef struct swt_progress_step {
    double mean;           /**< NaN: absent                                                */
    size_t n;              /**< swings with a value                                        */
    swt_change since_from; /**< of the block against the one that all are held against     */
    swt_change since_last; /**< against the one before it                                  */
    double p, p_all;       /**< of since_from: alone, and over all measures of the block   */
} swt_progress_step;

typedef struct swt_progress_block {
    const char *name; /**< the session or the shot; owned by the study */
    size_t n_swings;
    size_t *swing; /**< rows of the study                           */
} swt_progress_block;

/** One player's swings with one club, and one shot or one session. */
typedef struct swt_progress_set {
    const char *player; /**< owned by the study              */
    char name[320];     /**< "A1, driver, full"              */
    size_t n_blocks, from;
    swt_progress_block *block; /**< in the order of the sheet       */
    swt_progress_step *step;   /**< n_blocks * n_measures           */
} swt_progress_set;

typedef struct swt_progress {
    swt_progress_options options; /**< texts are borrowed */
    size_t n_measures;
    size_t *measure; /**< rows of swt_measure_row */
    swt_progress_noise *noise;
    size_t n_sets; /**< with two blocks or more */
    swt_progress_set *set;
} swt_progress;

/**
 * @param[out] out  the caller frees; NULL on failure
 * @retval SWT_EARG, SWT_EDATA  an unknown measure or block, no set with two blocks, or as
 *                              swt_selection_apply
 */
SWT_MUST_USE swt_status swt_progress_build(swt_progress **out, const swt_study *study,
                                           const swt_progress_options *options, swt_error *err);

void swt_progress_free(swt_progress *progress);

static inline swt_progress_step *swt_progress_at(const swt_progress *p, const swt_progress_set *set,
                                                 size_t block, size_t measure)
{
    return &set->step[block * p->n_measures + measure];
}

/** The corridor that a set's sessions can be held against: of the same club and shot; NULL: none,
 * and for shots never, since one of another length would say nothing. */
const swt_corridor *swt_progress_corridor(const swt_progress *progress, const swt_progress_set *set,
                                          size_t measure, const swt_study *study,
                                          const swt_assessment *assessment);

/** One row a player, block and measure, in shown units. */
SWT_MUST_USE swt_status swt_progress_table_write(const char *path, const swt_progress *progress,
                                                 swt_error *err);

/** One row a measure: its noise. */
SWT_MUST_USE swt_status swt_noise_table_write(const char *path, const swt_progress *progress,
                                              swt_error *err);

/**
 * Draws one measure of one set into a file: each swing, the blocks' means, what noise alone makes
 * of the first block, and the group's corridor where there is one.
 * @param assessment  of the same study; NULL or without a reference: no corridor
 */
SWT_MUST_USE swt_status swt_progress_draw(const char *path, const swt_progress *progress,
                                          const swt_progress_set *set, size_t measure,
                                          const swt_study *study, const swt_assessment *assessment,
                                          swt_plot_format format, swt_plot_size size,
                                          swt_error *err);

#endif
