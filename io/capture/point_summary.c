#include "io/capture/point_summary.h"

#include <math.h>

enum { FRAMES_AT_ONCE = 8 };

/* Comparisons with a NaN are false, so that it moves no bound; fmin and fmax would do the same, but
   as calls. */
static inline void take_position(swt_point_summary *s, const double xyz[3])
{
    s->last_gap = 0;
    s->n_present++;
    for (size_t k = 0; k < 3; k++) {
        s->low[k] = xyz[k] < s->low[k] ? xyz[k] : s->low[k];
        s->high[k] = xyz[k] > s->high[k] ? xyz[k] : s->high[k];
    }
}

static inline void take_gap(swt_point_summary *s)
{
    if (++s->last_gap > s->longest_gap)
        s->longest_gap = s->last_gap;
}

void swt_point_summaries(swt_point_summary *out, const swt_capture *c)
{
    bool trust_residuals = swt_capture_residuals_mean_something(c);

    for (size_t p = 0; p < c->n_points; p++)
        out[p] = (swt_point_summary){.low = {HUGE_VAL, HUGE_VAL, HUGE_VAL},
                                     .high = {-HUGE_VAL, -HUGE_VAL, -HUGE_VAL}};
    /* some frames of one point at a time: they stay in the cache, and its summary in registers */
    for (size_t first = 0; first < c->n_frames; first += FRAMES_AT_ONCE)
        for (size_t p = 0; p < c->n_points; p++) {
            swt_point_summary s = out[p];
            size_t end =
                first + FRAMES_AT_ONCE < c->n_frames ? first + FRAMES_AT_ONCE : c->n_frames;
            for (size_t f = first; f < end; f++) {
                if (swt_capture_has_point(c, f, p, trust_residuals))
                    take_position(&s, c->xyz + 3 * (f * c->n_points + p));
                else
                    take_gap(&s);
            }
            out[p] = s;
        }
    for (size_t p = 0; p < c->n_points; p++)
        for (size_t k = 0; k < 3 && out[p].n_present == 0; k++)
            out[p].low[k] = out[p].high[k] = nan("");
}

double swt_capture_duration_s(const swt_capture *c)
{
    return c->rate_hz > 0 ? (double)c->n_frames / c->rate_hz : nan("");
}

size_t swt_capture_n_computed(const swt_capture *c)
{
    size_t n = 0;

    for (size_t p = 0; c->is_computed && p < c->n_points; p++)
        n += c->is_computed[p];
    return n;
}
