#include "io/c3d/c3d_layout.h"

#include <math.h>

enum { SATURATED = 65535 }; /* the most that a 16-bit frame count can say */

swt_status swt_c3d_header_read(swt_c3d_header *out, swt_c3d_processor *processor,
                               size_t *parameter_offset, const unsigned char *bytes, size_t size,
                               swt_error *err)
{
    size_t section;
    unsigned char machine;

    if (size == 0)
        return swt_fail(err, SWT_EFORMAT, "the file is empty");
    if (size < 2 || bytes[1] != 0x50)
        return swt_fail(err, SWT_EFORMAT, "not a C3D file: byte 1 is not the key 0x50");
    if (size < 2 * SWT_C3D_BLOCK)
        return swt_fail(err, SWT_EFORMAT,
                        "%zu bytes are too few for a C3D file (a header block and a parameter "
                        "block take %d); the file is cut short",
                        size, 2 * SWT_C3D_BLOCK);
    section = bytes[0];
    if (section < 2)
        return swt_fail(err, SWT_EFORMAT,
                        "byte 0 says that the parameters start in block %zu; expected 2 or more",
                        section);
    section = (section - 1) * SWT_C3D_BLOCK;
    if (section + 4 > size)
        return swt_fail(err, SWT_EFORMAT,
                        "byte 0 says that the parameters start at byte %zu, but the file ends at "
                        "byte %zu",
                        section, size);
    machine = bytes[section + 3];
    if (machine < SWT_C3D_INTEL || machine > SWT_C3D_SGI)
        return swt_fail(err, SWT_EFORMAT,
                        "byte %zu: processor type %u is none of 84 (little-endian), 85 (DEC VAX), "
                        "86 (big-endian)",
                        section + 3, machine);
    *processor = (swt_c3d_processor)machine;
    *parameter_offset = section + 4;
    *out = (swt_c3d_header){.n_points = swt_c3d_word(bytes + 2, *processor),
                            .analog_words = swt_c3d_word(bytes + 4, *processor),
                            .first_frame = swt_c3d_word(bytes + 6, *processor),
                            .last_frame = swt_c3d_word(bytes + 8, *processor),
                            .scale = swt_c3d_real(bytes + 12, *processor),
                            .data_block = swt_c3d_word(bytes + 16, *processor),
                            .samples_per_frame = swt_c3d_word(bytes + 18, *processor),
                            .rate_hz = swt_c3d_real(bytes + 20, *processor)};
    return SWT_OK;
}

/* A 32-bit frame number in two 16-bit words, low word first; 0 when absent. */
static double trial_field(const swt_c3d_parameters *parameters, const char *name)
{
    const swt_c3d_parameter *p = swt_c3d_find(parameters, "TRIAL", name);
    double low = 0, high = 0;

    if (!p || p->type == -1 || !swt_c3d_number_at(&low, parameters, p, 0, true))
        return 0;
    swt_c3d_number_at(&high, parameters, p, 1, true);
    return p->type == 2 ? low + 65536 * high : low;
}

/* Every count of frames that the file states; 0 where it states none. */
typedef struct frame_counts {
    double frames;         /* POINT:FRAMES                          */
    bool frames_is_16_bit; /* ... which then stops or wraps at 65,535 */
    double trial;          /* TRIAL:ACTUAL_END - ACTUAL_START + 1   */
    double trial_start;
    double large;  /* POINT:LONG_FRAMES                     */
    double header; /* last - first + 1                      */
} frame_counts;

static double whole(double count)
{
    return count >= 1 && count == floor(count) ? count : 0;
}

static frame_counts stated_counts(const swt_c3d_header *header,
                                  const swt_c3d_parameters *parameters)
{
    frame_counts n = {0};
    const swt_c3d_parameter *frames = swt_c3d_find(parameters, "POINT", "FRAMES");
    double end = trial_field(parameters, "ACTUAL_END_FIELD");

    if (swt_c3d_number_at(&n.frames, parameters, frames, 0, true))
        n.frames_is_16_bit = frames->type == 2;
    n.frames = whole(n.frames);
    n.trial_start = trial_field(parameters, "ACTUAL_START_FIELD");
    if (end > 0 && end >= n.trial_start)
        n.trial = whole(end - n.trial_start + 1);
    swt_c3d_number(&n.large, parameters, "POINT", "LONG_FRAMES", true);
    n.large = whole(n.large);
    if (header->last_frame >= header->first_frame)
        n.header = (double)header->last_frame - header->first_frame + 1;
    return n;
}

/* The count that a 16-bit field could not hold, if the file states one elsewhere. */
static double count_beyond_16_bits(const frame_counts *n, swt_capture *notes)
{
    if (n->trial > 0 && n->large > 0 && n->trial != n->large)
        swt_capture_warn(notes, "TRIAL fields say %.0f frames, POINT:LONG_FRAMES says %.0f",
                         n->trial, n->large);
    return n->trial > 0 ? n->trial : n->large;
}

static double preferred_count(const frame_counts *n, swt_capture *notes)
{
    double beyond = count_beyond_16_bits(n, notes);

    if (n->frames == 0 || (n->frames_is_16_bit && n->frames == SATURATED)) {
        if (beyond > 0)
            return beyond;
        return n->frames > 0 ? n->frames : n->header;
    }
    /* Some writers let the field wrap: only its low 16 bits are then true. */
    if (n->frames_is_16_bit && beyond > SATURATED && fmod(beyond, 65536) == n->frames)
        return beyond;
    return n->frames;
}

static swt_status settle_frames(swt_c3d_layout *layout, const swt_c3d_header *header,
                                const swt_c3d_parameters *parameters, size_t size,
                                swt_capture *notes, swt_error *err)
{
    frame_counts n = stated_counts(header, parameters);
    double fit = (double)((size - layout->data_offset) / layout->frame_size);
    double count = preferred_count(&n, notes);

    if (count == 0)
        return swt_fail(err, SWT_EFORMAT,
                        "no frame count: header words 4 and 5 say frames %u to %u, and neither "
                        "POINT:FRAMES nor TRIAL says otherwise",
                        header->first_frame, header->last_frame);
    if (count != n.header && n.header > 0 && header->last_frame != SATURATED) {
        double other = count;
        if (count > fit && n.header <= fit)
            count = n.header;
        if (count <= SATURATED)
            swt_capture_warn(notes,
                             "the header says %.0f frames, the parameters say %.0f; the file has "
                             "room for %.0f; %.0f are read",
                             n.header, other, fit, count);
    }
    if (count > fit)
        return swt_fail(err, SWT_EFORMAT,
                        "truncated: the data section at byte %zu holds %.0f of %.0f frames of %zu "
                        "bytes; copy or export the file again",
                        layout->data_offset, fit, count, layout->frame_size);
    if (count == SATURATED && fit > count + (double)SWT_C3D_BLOCK / (double)layout->frame_size)
        swt_capture_warn(notes,
                         "the frame count stands at its 16-bit limit of 65,535, but the file has "
                         "room for %.0f frames",
                         fit);
    layout->n_frames = (size_t)count;
    layout->first_frame = (long)header->first_frame;
    if (n.trial == count && n.trial_start < 2147483648.0)
        layout->first_frame = (long)n.trial_start;
    return SWT_OK;
}

/* The header's rate, else POINT:RATE; 0 when both are 0, for the marker map to supply. */
static swt_status settle_rate(swt_c3d_layout *layout, const swt_c3d_header *header,
                              const swt_c3d_parameters *parameters, swt_capture *notes,
                              swt_error *err)
{
    double rate = 0;
    bool stated = swt_c3d_number(&rate, parameters, "POINT", "RATE", false);

    layout->rate_hz = header->rate_hz;
    if (!(isfinite(layout->rate_hz) && layout->rate_hz > 0)) {
        if (stated && isfinite(rate) && rate > 0) {
            swt_capture_warn(notes, "the header states no usable frame rate; POINT:RATE is taken");
            layout->rate_hz = rate;
        } else if (layout->rate_hz == 0 && rate == 0) {
            swt_capture_warn(notes, "the file states no frame rate");
        } else {
            return swt_fail(err, SWT_EFORMAT,
                            "byte 20: frame rate %g Hz, POINT:RATE %g Hz; expected a positive "
                            "number",
                            header->rate_hz, rate);
        }
    } else if (stated && fabs(rate - layout->rate_hz) > 1e-4 * layout->rate_hz) {
        swt_capture_warn(notes,
                         "frame rate: the header says %g Hz and is believed, POINT:RATE "
                         "says %g Hz",
                         layout->rate_hz, rate);
    }
    return SWT_OK;
}

static void share_out_analog(swt_c3d_layout *layout, const swt_c3d_header *header,
                             const swt_c3d_parameters *parameters, swt_capture *notes)
{
    size_t words = header->analog_words, samples = header->samples_per_frame;
    double used = 0;

    layout->analog_words = words;
    if (words == 0)
        return;
    swt_c3d_number(&used, parameters, "ANALOG", "USED", true);
    if (samples == 0 || words % samples != 0) {
        if (!(used >= 1 && used <= (double)words && words % (size_t)used == 0)) {
            swt_capture_warn(notes,
                             "%zu analog values a frame cannot be shared out over %zu samples; "
                             "analog data are left out",
                             words, samples);
            return;
        }
        samples = words / (size_t)used;
    }
    layout->samples_per_frame = samples;
    layout->n_channels = words / samples;
    if (used != 0 && used != (double)layout->n_channels)
        swt_capture_warn(notes,
                         "the header makes %zu analog channels and is believed, "
                         "ANALOG:USED says %.0f",
                         layout->n_channels, used);
}

static void warn_of_differences(const swt_c3d_header *header, const swt_c3d_parameters *parameters,
                                swt_capture *notes)
{
    double value;

    if (swt_c3d_number(&value, parameters, "POINT", "USED", true) && value != header->n_points)
        swt_capture_warn(notes, "the header says %u points and is believed, POINT:USED says %.0f",
                         header->n_points, value);
    if (swt_c3d_number(&value, parameters, "POINT", "DATA_START", true) &&
        value != header->data_block)
        swt_capture_warn(notes,
                         "the header says that data start in block %u and is believed, "
                         "POINT:DATA_START says %.0f",
                         header->data_block, value);
    if (swt_c3d_number(&value, parameters, "POINT", "SCALE", false) &&
        !(fabs(value - header->scale) <= 1e-5 * fabs(header->scale)))
        swt_capture_warn(notes, "the header says scale %g and is believed, POINT:SCALE says %g",
                         header->scale, value);
}

static swt_status check_sections(const swt_c3d_layout *layout, const swt_c3d_header *header,
                                 size_t size, swt_error *err)
{
    if (header->n_points == 0 && header->analog_words == 0)
        return swt_fail(err, SWT_EFORMAT,
                        "bytes 2 to 5: the header says 0 points and 0 analog values; there is "
                        "nothing to read");
    if (header->data_block < 2)
        return swt_fail(err, SWT_EFORMAT,
                        "byte 16: the header says that data start in block %u; expected 3 or more",
                        header->data_block);
    if (layout->data_offset >= size)
        return swt_fail(err, SWT_EFORMAT,
                        "byte 16: the header says that data start at byte %zu, but the file ends "
                        "at byte %zu",
                        layout->data_offset, size);
    if (!isfinite(header->scale) || header->scale == 0)
        return swt_fail(err, SWT_EFORMAT,
                        "byte 12: scale %g; expected a finite number other than 0", header->scale);
    return SWT_OK;
}

swt_status swt_c3d_layout_read(swt_c3d_layout *out, const swt_c3d_header *header,
                               const swt_c3d_parameters *parameters, size_t size,
                               swt_capture *notes, swt_error *err)
{
    swt_c3d_layout layout = {.processor = parameters->processor,
                             .is_real = header->scale < 0,
                             .scale = fabs(header->scale),
                             .n_points = header->n_points};
    swt_status rc;

    layout.data_offset = header->data_block ? (header->data_block - 1u) * (size_t)SWT_C3D_BLOCK : 0;
    layout.frame_size =
        (4 * (size_t)header->n_points + header->analog_words) * (layout.is_real ? 4 : 2);
    rc = check_sections(&layout, header, size, err);
    if (rc == SWT_OK)
        rc = settle_rate(&layout, header, parameters, notes, err);
    if (rc == SWT_OK)
        rc = settle_frames(&layout, header, parameters, size, notes, err);
    if (rc != SWT_OK)
        return rc;
    share_out_analog(&layout, header, parameters, notes);
    warn_of_differences(header, parameters, notes);
    *out = layout;
    return SWT_OK;
}
