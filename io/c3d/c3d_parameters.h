/** @file  The parameter section of a C3D file: a walk over its records, and typed access to them.
 *  Layer: io. Entries point into the file's bytes, which must outlive them. */
#ifndef SWT_IO_C3D_C3D_PARAMETERS_H
#define SWT_IO_C3D_C3D_PARAMETERS_H

#include "base/capture.h"
#include "base/status.h"
#include "io/c3d/c3d_number.h"

#define SWT_C3D_MAX_DIMENSIONS 7

typedef struct swt_c3d_group {
    int id; /**< 1..128 */
    const unsigned char *name;
    size_t name_length;
} swt_c3d_group;

typedef struct swt_c3d_parameter {
    int group; /**< id of its group, which may come later in the file, or never */
    const unsigned char *name;
    size_t name_length;
    int type; /**< -1 characters, 1 bytes, 2 integers, 4 reals */
    size_t n_dimensions;
    unsigned char dimension[SWT_C3D_MAX_DIMENSIONS]; /**< the first varies fastest */
    size_t count;                                    /**< product of the dimensions */
    const unsigned char *data;
} swt_c3d_parameter;

typedef struct swt_c3d_parameters {
    swt_c3d_processor processor;
    size_t n_groups;
    swt_c3d_group *group;
    size_t n_parameters;
    swt_c3d_parameter *parameter;
} swt_c3d_parameters;

/**
 * Walks the records in `bytes[start..end)`, up to the terminator, a record that says it is the
 * last, or one that leads outside. Damage costs the records it touches, and a warning in `notes`.
 * @retval SWT_ENOMEM; a damaged section is no failure, since the header can do without it
 */
SWT_MUST_USE swt_status swt_c3d_parameters_read(swt_c3d_parameters *out, const unsigned char *bytes,
                                                size_t start, size_t end,
                                                swt_c3d_processor processor, swt_capture *notes,
                                                swt_error *err);

/** Frees the lists; a zeroed struct is allowed. */
void swt_c3d_parameters_reset(swt_c3d_parameters *parameters);

/** The parameter of that name (upper case) in any group of that name, or NULL. One that holds
 *  data is preferred where a file repeats itself. */
const swt_c3d_parameter *swt_c3d_find(const swt_c3d_parameters *parameters, const char *group,
                                      const char *name);

/** Part 1 of a list is NAME, part 2 NAME2, ...: a dimension is one byte, so lists of more than
 *  255 items are cut into parts. NULL past the last part that holds data. */
const swt_c3d_parameter *swt_c3d_find_part(const swt_c3d_parameters *parameters, const char *group,
                                           const char *name, unsigned part);

/** Element `i` as a number; integers and bytes are taken as unsigned on request.
 *  @return false when there is no such element or it is text */
bool swt_c3d_number_at(double *out, const swt_c3d_parameters *parameters,
                       const swt_c3d_parameter *parameter, size_t i, bool is_unsigned);

/** The first element of a parameter as a number. */
bool swt_c3d_number(double *out, const swt_c3d_parameters *parameters, const char *group,
                    const char *name, bool is_unsigned);

/** How many strings a character parameter holds; 0 for other types. */
size_t swt_c3d_text_count(const swt_c3d_parameter *parameter);

/** String `i` as UTF-8, trimmed; the caller frees; NULL when memory is out. */
char *swt_c3d_text_at(const swt_c3d_parameter *parameter, size_t i);

/** Replaces `texts[0..n)` by a list in parts; @param[out] found  how many the file holds of them */
SWT_MUST_USE swt_status swt_c3d_texts(size_t *found, char **texts, size_t n,
                                      const swt_c3d_parameters *parameters, const char *group,
                                      const char *name, swt_error *err);

/** Sets `values[0..n)` from a list in parts, leaves the rest; @return how many the file holds */
size_t swt_c3d_numbers(double *values, size_t n, const swt_c3d_parameters *parameters,
                       const char *group, const char *name, bool is_unsigned);

#endif
