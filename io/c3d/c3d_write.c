#include "io/c3d/c3d_write.h"

#include "io/c3d/c3d_layout.h"
#include "io/c3d/c3d_section.h"
#include "io/files.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { FULL_SCALE = 32000, MOST = 65535 }; /* integer range in use; largest 16-bit count */

static double largest_coordinate(const swt_capture *c)
{
    double largest = 0;

    for (size_t i = 0; i < 3 * c->n_frames * c->n_points; i++)
        if (isfinite(c->xyz[i]) && fabs(c->xyz[i]) > largest)
            largest = fabs(c->xyz[i]);
    return largest;
}

/* A step that gives the residuals back as they are, when they are multiples of the smallest;
   else one that makes the largest fit into a byte. */
static double residual_step(const swt_capture *c)
{
    size_t n = c->residual ? c->n_frames * c->n_points : 0;
    double smallest = HUGE_VAL, largest = 0;

    for (size_t i = 0; i < n; i++) {
        double r = (double)c->residual[i];
        if (r > 0 && isfinite(r)) {
            smallest = fmin(smallest, r);
            largest = fmax(largest, r);
        }
    }
    if (largest == 0)
        return 1;
    if (largest > 255 * smallest)
        return largest / 255;
    for (size_t i = 0; i < n; i++) {
        double steps = (double)c->residual[i] / smallest;
        if (steps > 0 && isfinite(steps) && fabs(steps - round(steps)) > 1e-4)
            return largest / 255;
    }
    return smallest;
}

/* A scale as the file will say it; 0 when it cannot. */
static double as_stored(double scale, swt_c3d_processor processor)
{
    unsigned char bytes[4];

    return swt_c3d_put_real(bytes, scale, processor) ? swt_c3d_real(bytes, processor) : 0;
}

static swt_status choose_form(swt_c3d_form *form, const swt_capture *c,
                              const swt_c3d_options *options, swt_error *err)
{
    form->processor = options->processor;
    form->integers = options->integers;
    form->step = options->step;
    if (!(form->step > 0)) {
        double largest = form->integers ? largest_coordinate(c) : 0;
        form->step = form->integers ? (largest > 0 ? largest / FULL_SCALE : 1) : residual_step(c);
    }
    form->step = as_stored(form->step, form->processor);
    if (form->step == 0)
        return swt_fail(err, SWT_EDATA, "no usable scale for coordinates up to %g",
                        largest_coordinate(c));
    form->analog_scale = malloc((c->n_analog + 1) * sizeof *form->analog_scale);
    if (!form->analog_scale)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t k = 0; k < c->n_analog; k++) {
        double largest = 0;
        for (size_t i = 0; form->integers && i < c->n_frames * c->analog_per_frame; i++)
            largest = fmax(largest, fabs(c->analog[k].sample[i]));
        form->analog_scale[k] = largest > 0 ? as_stored(largest / FULL_SCALE, form->processor) : 1;
    }
    return SWT_OK;
}

static swt_status check_counts(const swt_capture *c, const swt_c3d_options *options, swt_error *err)
{
    if (options->processor < SWT_C3D_INTEL || options->processor > SWT_C3D_SGI)
        return swt_fail(err, SWT_EARG, "processor type %d is none of 84, 85, 86",
                        (int)options->processor);
    if (c->n_frames == 0 || (c->n_points == 0 && c->n_analog == 0))
        return swt_fail(err, SWT_EARG,
                        "a capture without frames or without points has no C3D form");
    if (c->n_points > MOST || c->n_analog > MOST ||
        (c->n_analog > 0 && c->analog_per_frame > MOST / c->n_analog))
        return swt_fail(err, SWT_EDATA,
                        "%zu points and %zu x %zu analog samples a frame: C3D counts both in 16 "
                        "bits",
                        c->n_points, c->n_analog, c->analog_per_frame);
    if (c->n_frames > UINT32_MAX)
        return swt_fail(err, SWT_EDATA, "%zu frames: C3D counts frames in 32 bits", c->n_frames);
    return SWT_OK;
}

static void put_header(unsigned char *p, const swt_capture *c, const swt_c3d_form *form,
                       size_t data_block)
{
    swt_c3d_processor m = form->processor;
    unsigned long first = c->first_frame > 0 ? (unsigned long)c->first_frame : 0;
    unsigned long last = first + c->n_frames - 1;

    p[0] = 2;
    p[1] = 0x50;
    swt_c3d_put_word(p + 2, (unsigned)c->n_points, m);
    swt_c3d_put_word(p + 4, (unsigned)(c->n_analog * c->analog_per_frame), m);
    swt_c3d_put_word(p + 6, (unsigned)(first < MOST ? first : MOST), m);
    swt_c3d_put_word(p + 8, (unsigned)(last < MOST ? last : MOST), m);
    (void)swt_c3d_put_real(p + 12, form->integers ? form->step : -form->step, m);
    swt_c3d_put_word(p + 16, (unsigned)data_block, m);
    swt_c3d_put_word(p + 18, (unsigned)c->analog_per_frame, m);
    (void)swt_c3d_put_real(p + 20, c->rate_hz, m);
    swt_c3d_put_word(p + 298, 12345, m);
}

/* Stores one value in the file's form; false when it does not fit. */
static inline bool put_value(unsigned char **p, double value, double step, const swt_c3d_form *form)
{
    if (form->integers) {
        double steps = nearbyint(value / step);
        if (!(steps >= -32768 && steps <= 32767))
            return false;
        swt_c3d_put_word(*p, (unsigned)(int)steps, form->processor);
        *p += 2;
        return true;
    }
    if (!swt_c3d_put_real(*p, value, form->processor))
        return false;
    *p += 4;
    return true;
}

/* Camera mask and residual in one word; -1 for an invalid point. */
static int point_word(const swt_capture *c, size_t i, double step)
{
    double residual = c->residual ? (double)c->residual[i] : 0;
    int cameras = c->cameras ? c->cameras[i] & 127 : 0;

    if (!(residual >= 0))
        return -1;
    return cameras << 8 | (int)fmin(nearbyint(residual / step), 255);
}

static swt_status put_point(unsigned char **p, const swt_capture *c, size_t frame, size_t point,
                            const swt_c3d_form *form, swt_error *err)
{
    size_t i = frame * c->n_points + point;
    const double *xyz = c->xyz + 3 * i, zero[3] = {0, 0, 0};
    bool missing = !isfinite(xyz[0]) || !isfinite(xyz[1]) || !isfinite(xyz[2]);
    const double *from = missing ? zero : xyz;
    double word = missing ? -1 : point_word(c, i, form->step);

    for (int k = 0; k < 3; k++)
        if (!put_value(p, from[k], form->step, form))
            return swt_fail(err, SWT_EDATA, "point %s, frame %zu: %g does not fit this C3D form",
                            c->label[point], frame, from[k]);
    put_value(p, word, 1, form);
    return SWT_OK;
}

static swt_status put_frame(unsigned char *p, const swt_capture *c, size_t frame,
                            const swt_c3d_form *form, swt_error *err)
{
    swt_status rc = SWT_OK;

    for (size_t i = 0; i < c->n_points && rc == SWT_OK; i++)
        rc = put_point(&p, c, frame, i, form, err);
    for (size_t s = 0; s < c->analog_per_frame && rc == SWT_OK; s++)
        for (size_t k = 0; k < c->n_analog && rc == SWT_OK; k++)
            if (!put_value(&p, c->analog[k].sample[frame * c->analog_per_frame + s],
                           form->analog_scale[k], form))
                rc = swt_fail(err, SWT_EDATA,
                              "analog channel %s, frame %zu: a value that is no number or does not "
                              "fit this C3D form",
                              c->analog[k].label, frame);
    return rc;
}

swt_status swt_c3d_format(unsigned char **out, size_t *out_size, const swt_capture *c,
                          const swt_c3d_options *options, swt_error *err)
{
    static const swt_c3d_options usual = SWT_C3D_OPTIONS_INIT;
    swt_c3d_form form = {0};
    unsigned char *section = NULL, *bytes = NULL;
    size_t section_size, data_start_at, frame_size, data, size;
    swt_status rc;

    *out = NULL;
    *out_size = 0;
    options = options ? options : &usual;
    rc = check_counts(c, options, err);
    if (rc == SWT_OK)
        rc = choose_form(&form, c, options, err);
    if (rc == SWT_OK)
        rc = swt_c3d_section_make(&section, &section_size, &data_start_at, c, &form, err);
    if (rc != SWT_OK)
        goto done;
    data = SWT_C3D_BLOCK + section_size;
    frame_size = (4 * c->n_points + c->n_analog * c->analog_per_frame) * (form.integers ? 2 : 4);
    size = data + (c->n_frames * frame_size + SWT_C3D_BLOCK - 1) / SWT_C3D_BLOCK * SWT_C3D_BLOCK;
    bytes = calloc(size, 1);
    if (!bytes) {
        rc = swt_fail(err, SWT_ENOMEM, "out of memory for %zu bytes", size);
        goto done;
    }
    swt_c3d_put_word(section + data_start_at, (unsigned)(data / SWT_C3D_BLOCK + 1), form.processor);
    memcpy(bytes + SWT_C3D_BLOCK, section, section_size);
    put_header(bytes, c, &form, data / SWT_C3D_BLOCK + 1);
    for (size_t f = 0; f < c->n_frames && rc == SWT_OK; f++)
        rc = put_frame(bytes + data + f * frame_size, c, f, &form, err);
    if (rc != SWT_OK)
        goto done;
    *out = bytes;
    *out_size = size;
    bytes = NULL;
done:
    free(bytes);
    free(section);
    free(form.analog_scale);
    return rc;
}

swt_status swt_c3d_write(const char *path, const swt_capture *capture,
                         const swt_c3d_options *options, swt_error *err)
{
    unsigned char *bytes;
    size_t size;
    swt_file_draft draft;
    swt_status rc = swt_c3d_format(&bytes, &size, capture, options, err);

    if (rc != SWT_OK) {
        swt_error_prefix(err, "%s", path);
        return rc;
    }
    rc = swt_draft_open(&draft, path, err);
    if (rc == SWT_OK) {
        fwrite(bytes, 1, size, draft.stream); /* commit sees a failed write */
        rc = swt_draft_commit(&draft, err);
    }
    free(bytes);
    return rc;
}
