#include "base/analog.h"

/* Samples on either side of the frame's own that lie within half a frame and within the channel. */
static size_t half_window(const swt_capture *c, size_t frame)
{
    size_t n = c->analog_per_frame, at = frame * n, after = c->n_frames * n - 1 - at;
    size_t half = n / 2;

    if (half > at)
        half = at;
    return half > after ? after : half;
}

void swt_analog_at_points(double *out, const swt_capture *c, size_t channel)
{
    size_t n = c->analog_per_frame;

    for (size_t f = 0; f < c->n_frames; f++) {
        size_t half = half_window(c, f);
        const double *x = c->analog[channel].sample + f * n;
        double end = n % 2 == 0 && half == n / 2 ? 0.5 : 1, sum = x[0], weight = 1;
        for (size_t k = 1; k <= half; k++) {
            double w = k == half ? end : 1;
            sum += w * (*(x + k) + *(x - k));
            weight += 2 * w;
        }
        out[f] = sum / weight;
    }
}
