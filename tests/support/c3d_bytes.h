/** @file  C3D files made byte by byte in a test, apart from the project's own writer.
 *  Little-endian; what a test wants to be wrong, it overwrites in `bytes`. */
#ifndef SWT_TESTS_C3D_BYTES_H
#define SWT_TESTS_C3D_BYTES_H

#include <stddef.h>

typedef struct c3d_bytes {
    unsigned char *bytes;
    size_t size, capacity;
} c3d_bytes;

/** A header block and the 4 bytes that open the parameter section in block 2. */
void c3d_begin(c3d_bytes *f, unsigned points, unsigned analog_words, unsigned first, unsigned last,
               float scale, unsigned samples_per_frame, float rate_hz);
void c3d_append(c3d_bytes *f, const void *bytes, size_t size);
void c3d_word(c3d_bytes *f, unsigned value);
void c3d_real(c3d_bytes *f, float value);
/** Overwrites a word. */
void c3d_set_word(c3d_bytes *f, size_t at, unsigned value);
void c3d_set_real(c3d_bytes *f, size_t at, float value);
void c3d_group(c3d_bytes *f, int id, const char *name);
/** `n_dimensions` 0..2 taken from `a`, `b`; `data` holds the raw elements. */
void c3d_parameter(c3d_bytes *f, int group, const char *name, int type, int n_dimensions, int a,
                   int b, const void *data, size_t size);
void c3d_parameter_words(c3d_bytes *f, int group, const char *name, const unsigned *value, int n);
void c3d_parameter_reals(c3d_bytes *f, int group, const char *name, const float *value, int n);
/** A list of strings, padded with blanks to the longest. */
void c3d_parameter_texts(c3d_bytes *f, int group, const char *name, const char *const *text, int n);
/** Ends the parameters, pads to a block, sets the header's data block. @return data offset */
size_t c3d_begin_data(c3d_bytes *f);
void c3d_free(c3d_bytes *f);

#endif
