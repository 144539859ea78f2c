/** @file  Where a C3D file keeps its data: header words, frame count, first frame.
 *  Layer: io. Header and parameters repeat each other and disagree in real files; the rules for
 *  which one is believed are here, in one place. */
#ifndef SWT_IO_C3D_C3D_LAYOUT_H
#define SWT_IO_C3D_C3D_LAYOUT_H

#include "base/status.h"
#include "io/c3d/c3d_parameters.h"

#define SWT_C3D_BLOCK 512

/** The header block as stored. */
typedef struct swt_c3d_header {
    unsigned n_points;
    unsigned analog_words; /**< analog values in each frame: channels x samples */
    unsigned first_frame, last_frame;
    double scale; /**< < 0: reals; > 0: 16-bit integers of this size */
    unsigned data_block;
    unsigned samples_per_frame;
    double rate_hz;
} swt_c3d_header;

/** What the data section is made of, settled. */
typedef struct swt_c3d_layout {
    swt_c3d_processor processor;
    bool is_real;   /**< 32-bit reals, already in the length unit; else 16-bit integers */
    double scale;   /**< length unit per integer step, and per residual step; > 0       */
    double rate_hz; /**< 0 when the file states none                                     */
    size_t n_points;
    size_t analog_words;
    size_t n_channels; /**< 0 when the words cannot be shared out evenly                */
    size_t samples_per_frame;
    size_t n_frames;
    long first_frame;
    size_t data_offset; /**< bytes from the start of the file                           */
    size_t frame_size;  /**< bytes                                                      */
} swt_c3d_layout;

/**
 * Checks key, processor and section pointers; decodes the header.
 * @param[out] parameter_offset  first byte of the first parameter record
 * @retval SWT_EFORMAT  with the byte offset and what was expected there
 */
SWT_MUST_USE swt_status swt_c3d_header_read(swt_c3d_header *out, swt_c3d_processor *processor,
                                            size_t *parameter_offset, const unsigned char *bytes,
                                            size_t size, swt_error *err);

/**
 * Settles the layout. The header is believed for points, analog words, data block, form and
 * scale; POINT:FRAMES for the frame count unless only the header's count fits the file, TRIAL
 * fields or LONG_FRAMES beyond 65,535. Each disagreement becomes a warning.
 * @retval SWT_EFORMAT  nothing fits, or the data end early ("holds k of n frames")
 */
SWT_MUST_USE swt_status swt_c3d_layout_read(swt_c3d_layout *out, const swt_c3d_header *header,
                                            const swt_c3d_parameters *parameters, size_t size,
                                            swt_capture *notes, swt_error *err);

#endif
