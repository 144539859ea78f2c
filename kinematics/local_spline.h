/** @file  A short stretch of samples smoothed as hard as the samples themselves say, and the
 *         turning points and speeds read off it.
 *  Layer: kinematics. Needs: base. Pure. Times are in frames, as in subframe.h.
 *
 *  The smooth curve g minimises
 *
 *      sum (x - g)^2 + smoothing * sum (difference of g, of order three or four)^2
 *
 *  (Whittaker 1923, Proc Edinburgh Math Soc 41:63; in the limit of many samples the quintic or
 *  heptic smoothing spline of Woltring 1986, Adv Eng Software 8:104; both from memory). For turning
 *  points the order is four, which holds down the rate of change of jerk: velocity is wanted where
 *  acceleration changes. At the end of a stretch it is three (jerk; cf. Flash & Hogan 1985, J
 *  Neurosci 5:1688), which asks for fewer samples.
 *
 *  The same g is the estimate of a motion whose differences are white noise, of variance
 *  noise^2 / smoothing; the smoothing is the one under which the samples are most likely, the
 *  noise being known and the polynomial that differences do not see left free (restricted maximum
 *  likelihood: Patterson & Thompson 1971, Biometrika 58:545; Wecker & Ansley 1983, J Am Stat
 *  Assoc 78:81; from memory). With D the matrix of differences and z = D x, minus twice its
 *  logarithm is
 *
 *      log det (D D' + I / smoothing) + z' (D D' + I / smoothing)^-1 z / noise^2,
 *
 *  and g = x - D' (D D' + I / smoothing)^-1 z (Reinsch's form: well conditioned, since what is
 *  solved for is what is taken off). Nothing is chosen by hand but the length of the stretch. */
#ifndef SWT_KINEMATICS_LOCAL_SPLINE_H
#define SWT_KINEMATICS_LOCAL_SPLINE_H

#include "kinematics/run.h"

enum {
    SWT_LOCAL_ORDER_MAX = 4, /**< of the differences held down                                 */
    SWT_LOCAL_CHANNELS = 3,  /**< at most                                                      */
    SWT_LOCAL_SAMPLES = 128, /**< at most; more are averaged in groups of two, three, ...      */
};

typedef struct swt_local_spline {
    size_t channels, n;
    double first, step; /**< frame of the first value, frames from one to the next */
    double value[SWT_LOCAL_CHANNELS][SWT_LOCAL_SAMPLES];
    double slope[SWT_LOCAL_CHANNELS][SWT_LOCAL_SAMPLES]; /**< per frame */
} swt_local_spline;

/**
 * Smooths the frames within `half` of `frame` that are of one run in every channel; one smoothing
 * serves all channels.
 *
 * @param     order  of the differences, 3 or 4
 * @param[in] x      `channels` series (1 to 3) of n samples
 * @param     split  first sample after contact, or SWT_NO_SPLIT
 * @param     half   half width of the stretch, frames
 * @param     noise  SD of white noise in one sample of each channel, > 0
 * @return false where there are fewer such frames than twice the order and one
 */
bool swt_local_spline_fit(swt_local_spline *fit, size_t order, const double *const *x,
                          size_t channels, size_t n, size_t split, double frame, double half,
                          double noise);

/**
 * Turning point nearest to *frame: of one channel its reversal, of two or three the least speed of
 * the path (velocity square to acceleration).
 * @param[in,out] frame  rough instant in, refined out; untouched when false
 * @return false where the stretch is too short or holds none
 */
bool swt_turning_point(double *frame, const double *const *x, size_t channels, size_t n,
                       size_t split, double half, double noise);

/** Instant nearest to *frame at which the path's speed falls through `level`, per frame; otherwise
 *  as swt_turning_point. */
bool swt_slowing_point(double *frame, const double *const *x, size_t channels, size_t n,
                       size_t split, double half, double noise, double level);

#endif
