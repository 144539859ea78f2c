/** @file  The depth ledger: what carried the hands, pelvis, thorax or arms.
 *  Layer: kinematics. */
#ifndef SWT_KINEMATICS_LEDGER_H
#define SWT_KINEMATICS_LEDGER_H

#include "kinematics/segment.h"
#include "kinematics/swing.h"

/**
 * Splits the velocity of mid-hands h exactly (own definition):
 *
 *     v_pelvis = o_P' + w_P x (h - o_P)          what the pelvis carries
 *     v_thorax  = o_T' + w_T x (h - o_T) - v_pelvis   what the thorax adds
 *     v_arms   = h' - v_pelvis - v_thorax         what the arms add
 *
 * and integrates each along depth and height from takeaway. The six series add up to the hands'
 * displacement; the worst error of that sum between takeaway and impact goes to
 * swing->quality.ledger_closure_m.
 *
 * @param[in] takeaway_s  time from which is counted, seconds after the first frame
 */
SWT_MUST_USE swt_status swt_ledger_fill(swt_swing *swing, const swt_body *body, double takeaway_s,
                                        swt_error *err);

#endif
