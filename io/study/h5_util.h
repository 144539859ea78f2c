/** @file  HDF5 with this project's manners: silent, checked, one message per failure.
 *  Layer: io. Included only by io/study. */
#ifndef SWT_IO_STUDY_H5_UTIL_H
#define SWT_IO_STUDY_H5_UTIL_H

#include "base/status.h"

#include <hdf5.h>
#include <stdbool.h>

/** Turns off HDF5's printing in this thread; every public function of io/study begins with it. */
void swt_h5_quiet(void);

/** "<path>: <object>: <what> (<HDF5's innermost reason>)". Returns `code`. */
swt_status swt_h5_fail(swt_error *err, swt_status code, const char *path, const char *object,
                       const char *what);

/** Creates a file, replacing what is there; negative on failure. */
hid_t swt_h5_create_file(const char *path);

/** Opens a file; negative on failure. Takes no lock: studies are replaced whole, by renaming. */
hid_t swt_h5_open_file(const char *path, bool writable);

/** Sets a scalar UTF-8 text attribute of variable length, the form that other readers like best.
 *  We write these and never read them: HDF5 keeps their bytes in a heap without a checksum, and
 *  HDF5 1.10 hangs on some damaged heaps. */
bool swt_h5_set_label(hid_t object, const char *name, const char *text);

/** Sets a scalar UTF-8 text attribute that swt_h5_get_text reads back: of fixed length, within the
 *  object's header and under its checksum. */
bool swt_h5_set_text(hid_t object, const char *name, const char *text);

/** Reads a scalar text attribute of fixed length; the caller frees. NULL when it is absent or
 * damaged. */
char *swt_h5_get_text(hid_t object, const char *name);

bool swt_h5_set_integer(hid_t object, const char *name, long value);
bool swt_h5_get_integer(long *value, hid_t object, const char *name);

/** A UTF-8 string type of `length` bytes, padded with NUL. The caller closes it. */
hid_t swt_h5_text_type(size_t length);

/** An enumeration stored in one byte, members numbered from 0. The caller closes it. */
hid_t swt_h5_enum_type(const char *const *name, size_t n);

/** How a dataset's rows lie in the file. */
typedef enum swt_h5_storage {
    SWT_H5_FIXED,   /**< in chunks with checksums                                         */
    SWT_H5_GROWING, /**< the same, and rows can be added                                   */
    SWT_H5_PLAIN    /**< in one piece without checksum: for what is read back in a moment */
} swt_h5_storage;

/**
 * Creates a dataset with its groups; times are not tracked, so that the same input gives the same
 * bytes. Chunks hold `chunk_rows` rows, or all where there are fewer and none can be added.
 * @param fill  one element of `type`, or NULL for zero
 * @return the dataset, negative on failure
 */
hid_t swt_h5_create_dataset(hid_t file, const char *name, hid_t type, const void *fill, int rank,
                            const hsize_t *dims, hsize_t chunk_rows, swt_h5_storage storage);

/** Makes room for `rows` rows in a dataset that grows. */
bool swt_h5_extend(hid_t dataset, hsize_t rows);

/** Writes rows [first, first + n) of a dataset. */
bool swt_h5_write_rows(hid_t dataset, hid_t memory_type, hsize_t first, hsize_t n,
                       const void *buffer);

/** Reads rows [first, first + n) of a dataset. */
bool swt_h5_read_rows(hid_t dataset, hid_t memory_type, hsize_t first, hsize_t n, void *buffer);

/** Rank and extents, at most 2; false when it has another rank. */
bool swt_h5_extents(hid_t dataset, int *rank, hsize_t dims[2]);

#endif
