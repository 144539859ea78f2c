/** @file  Analog channels at the rate of the points.
 *  Layer: base. */
#ifndef SWT_BASE_ANALOG_H
#define SWT_BASE_ANALOG_H

#include "base/capture.h"

/**
 * One value a frame: the mean of the channel over one frame's length, centred on the frame.
 *
 * Sample 0 of a frame is taken at the instant of its points (the C3D standard), so the window runs
 * from half a frame before it to half a frame after; an even number of samples a frame counts the
 * two at its ends half (trapezoid). Being symmetric it shifts nothing in time, and being as long as
 * a frame it takes out what would fold over at the frame rate and its multiples: to take every n-th
 * sample alone would let it fold (decimation, e.g. Oppenheim & Schafer, Discrete-Time Signal
 * Processing, ch. 4; from memory). At the capture's ends the window shrinks, still centred.
 *
 * @param[out] out  n_frames values; NaN where a sample of the window is
 */
void swt_analog_at_points(double *out, const swt_capture *capture, size_t channel);

#endif
