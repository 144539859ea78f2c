/** @file  Did a player change between two sessions, or is it the swing-to-swing noise?
 *  Layer: comparison. */
#ifndef SWT_COMPARISON_CHANGE_H
#define SWT_COMPARISON_CHANGE_H

#include "base/status.h"

#include <stddef.h>

typedef enum swt_change_verdict {
    SWT_CHANGE_UNKNOWN = 0,    /**< a session without a value, or no SEM                     */
    SWT_CHANGE_NOT_DETECTABLE, /**< |difference| <= detectable change; not "no change"       */
    SWT_CHANGE_UP,             /**< the second session's mean is higher                      */
    SWT_CHANGE_DOWN
} swt_change_verdict;

typedef struct swt_change {
    size_t n_before, n_after; /**< swings with a value                                       */
    double before, after;     /**< session means                                             */
    double difference;        /**< after - before, unit of the measure                       */
    double detectable;        /**< smallest change above noise, same unit                    */
    double low, high;         /**< difference -+ detectable: its confidence interval         */
    swt_change_verdict verdict;
} swt_change;

/**
 * Holds the difference of two session means against the minimal detectable change for their
 * numbers of swings, z sem sqrt(1/n_before + 1/n_after) (Weir 2005, J Strength Cond Res 19:231;
 * his n = 1 and 1 gives z sqrt(2) sem). Swing-to-swing noise is all that it knows: what differs
 * between days without any change in the player (marker placement) must be in the SEM, which is so
 * when the SEM comes from sessions on different days.
 *
 * @param[in] before, after  swings of the two sessions, NaN = absent
 * @param     sem            within-player SD, unit of the measure; > 0
 * @retval SWT_EARG  sem or confidence is out of range
 */
SWT_MUST_USE swt_status swt_change_between(swt_change *out, const double *before, size_t n_before,
                                           const double *after, size_t n_after, double sem,
                                           double confidence, swt_error *err);

#endif
