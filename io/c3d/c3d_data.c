#include "io/c3d/c3d_data.h"

#include <math.h>
#include <stdlib.h>

/* The fourth word of a point as a 16-bit integer. 65535.0 stands for -1 in several recorders'
   files. A positive number far beyond 16 bits, also seen, tells nothing but that it is not
   negative. */
static inline int point_word(double raw)
{
    int word;

    if (!(raw > -32769))
        return -1;
    if (raw >= 65536)
        return 0;
    word = (int)raw;
    return word > 32767 ? word - 65536 : word;
}

static inline double number_or_nan(double value)
{
    return value - value == 0 ? value : nan(""); /* infinity less itself is NaN */
}

static void take_points(swt_capture *c, size_t frame, const double *raw, double step,
                        double residual_step)
{
    size_t n = c->n_points;
    double *restrict xyz = c->xyz + 3 * frame * n;
    float *restrict residual = c->residual + frame * n;
    unsigned char *restrict cameras = c->cameras + frame * n;

    for (size_t p = 0; p < n; p++) {
        int word = point_word(raw[4 * p + 3]);
        xyz[3 * p] = number_or_nan(raw[4 * p] * step);
        xyz[3 * p + 1] = number_or_nan(raw[4 * p + 1] * step);
        xyz[3 * p + 2] = number_or_nan(raw[4 * p + 2] * step);
        residual[p] = word < 0 ? -1.0f : (float)((word & 255) * residual_step);
        cameras[p] = (unsigned char)(word < 0 ? 0 : word >> 8);
    }
}

static void take_analog(swt_capture *c, size_t frame, const double *raw, const double *offset,
                        const double *scale, double wrap)
{
    for (size_t s = 0; s < c->analog_per_frame; s++) {
        for (size_t k = 0; k < c->n_analog; k++) {
            double value = *raw++;
            if (value < 0)
                value += wrap;
            c->analog[k].sample[frame * c->analog_per_frame + s] = (value - offset[k]) * scale[k];
        }
    }
}

swt_status swt_c3d_data_read(swt_capture *c, const unsigned char *bytes,
                             const swt_c3d_layout *layout, const double *offset,
                             const double *scale, bool analog_is_unsigned, swt_error *err)
{
    size_t n_values = 4 * layout->n_points + layout->analog_words;
    double *raw = malloc(n_values * sizeof *raw); /* one frame: it stays in the nearest cache */
    const unsigned char *in = bytes + layout->data_offset;
    /* unsigned 16-bit samples were decoded as signed ones; reals need nothing */
    double wrap = analog_is_unsigned && !layout->is_real ? 65536 : 0;

    if (!raw)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t f = 0; f < layout->n_frames; f++, in += layout->frame_size) {
        if (layout->is_real)
            swt_c3d_decode_reals(raw, in, n_values, layout->processor);
        else
            swt_c3d_decode_integers(raw, in, n_values, layout->processor);
        if (c->n_points > 0)
            take_points(c, f, raw, layout->is_real ? 1 : layout->scale, layout->scale);
        if (c->n_analog > 0)
            take_analog(c, f, raw + 4 * layout->n_points, offset, scale, wrap);
    }
    free(raw);
    return SWT_OK;
}
