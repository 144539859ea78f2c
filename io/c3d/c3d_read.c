#include "io/c3d/c3d_read.h"

#include "base/block.h"
#include "io/c3d/c3d_data.h"
#include "io/c3d/c3d_describe.h"
#include "io/c3d/c3d_layout.h"
#include "io/c3d/c3d_parameters.h"

#include <stdlib.h>

bool swt_c3d_recognise(const void *bytes, size_t size)
{
    return size >= 2 && ((const unsigned char *)bytes)[1] == 0x50;
}

/* Where the parameter records must stop: the stored block count is often wrong, the start of the
   data is not. */
static size_t parameter_end(const swt_c3d_header *header, size_t start, size_t size)
{
    size_t data = header->data_block ? (header->data_block - 1u) * (size_t)SWT_C3D_BLOCK : 0;

    return data > start && data < size ? data : size;
}

static swt_status check_overlap(const swt_c3d_layout *layout, size_t parameter_start,
                                swt_error *err)
{
    size_t data_end = layout->data_offset + layout->n_frames * layout->frame_size;

    if (layout->data_offset <= parameter_start && parameter_start < data_end)
        return swt_fail(err, SWT_EFORMAT,
                        "byte 16: the data section (bytes %zu to %zu) runs over the parameter "
                        "section at byte %zu",
                        layout->data_offset, data_end, parameter_start);
    return SWT_OK;
}

/* Makes the capture and moves what was noted on the way here into it. */
static swt_capture *new_capture(const swt_c3d_layout *layout, swt_capture *notes)
{
    size_t n = layout->n_frames * layout->n_points;
    swt_capture *c = swt_capture_new_unset(layout->n_frames, layout->n_points);

    if (!c)
        return NULL;
    c->rate_hz = layout->rate_hz;
    c->first_frame = layout->first_frame;
    c->residual = swt_block_alloc(n * sizeof *c->residual);
    c->cameras = swt_block_alloc(n);
    if (!c->residual || !c->cameras) {
        swt_capture_free(c);
        return NULL;
    }
    c->warning = notes->warning;
    c->n_warnings = notes->n_warnings;
    notes->warning = NULL;
    notes->n_warnings = 0;
    return c;
}

static swt_status read_all_of_it(swt_capture *c, const unsigned char *bytes,
                                 const swt_c3d_parameters *parameters, const swt_c3d_layout *layout,
                                 swt_error *err)
{
    double *offset = NULL, *scale = NULL;
    bool analog_is_unsigned;
    swt_status rc = swt_c3d_describe_points(c, parameters, layout, err);

    if (rc == SWT_OK)
        rc = swt_c3d_flag_computed(c, parameters, err);
    if (rc == SWT_OK)
        rc = swt_c3d_read_events(c, bytes, parameters, err);
    if (rc == SWT_OK)
        rc = swt_c3d_describe_analog(c, &offset, &scale, &analog_is_unsigned, parameters, layout,
                                     err);
    if (rc == SWT_OK)
        rc = swt_c3d_data_read(c, bytes, layout, offset, scale, analog_is_unsigned, err);
    if (rc == SWT_OK && c->n_points > 0 && !swt_capture_residuals_mean_something(c))
        swt_capture_warn(c, "every sample is marked invalid (negative residual); if the "
                            "coordinates are real, say `residuals = meaningless` in the marker "
                            "map");
    free(offset);
    free(scale);
    return rc;
}

swt_status swt_c3d_parse(swt_capture **out, const void *bytes, size_t size, swt_error *err)
{
    swt_c3d_header header;
    swt_c3d_processor processor;
    swt_c3d_parameters parameters = {0};
    swt_c3d_layout layout;
    swt_capture *notes = NULL, *capture = NULL;
    size_t start;
    swt_status rc;

    *out = NULL;
    rc = swt_c3d_header_read(&header, &processor, &start, bytes, size, err);
    if (rc != SWT_OK)
        return rc;
    notes = swt_capture_new(0, 0);
    if (!notes)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    rc = swt_c3d_parameters_read(&parameters, bytes, start, parameter_end(&header, start, size),
                                 processor, notes, err);
    if (rc == SWT_OK)
        rc = swt_c3d_layout_read(&layout, &header, &parameters, size, notes, err);
    if (rc == SWT_OK)
        rc = check_overlap(&layout, start - 4, err);
    if (rc != SWT_OK)
        goto done;
    capture = new_capture(&layout, notes);
    if (!capture) {
        rc = swt_fail(err, SWT_ENOMEM, "out of memory for %zu frames of %zu points",
                      layout.n_frames, layout.n_points);
        goto done;
    }
    rc = read_all_of_it(capture, bytes, &parameters, &layout, err);
    if (rc != SWT_OK)
        goto done;
    *out = capture;
    capture = NULL;
done:
    swt_capture_free(capture);
    swt_capture_free(notes);
    swt_c3d_parameters_reset(&parameters);
    return rc;
}
