#include "io/study/h5_util.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void swt_h5_quiet(void)
{
    H5Eset_auto2(H5E_DEFAULT, NULL, NULL);
}

/* The innermost entry says what happened; the ones above it only say on whose behalf. Of a failed
 * write it lists time, names and addresses, with the system's words among them. */
static herr_t take_first(unsigned n, const H5E_error2_t *entry, void *user)
{
    static const char before[] = "error message = '";
    char *text = user;
    const char *words = entry->desc ? strstr(entry->desc, before) : NULL;

    if (n == 0 && words)
        snprintf(text, 120, "%.*s", (int)strcspn(words + sizeof before - 1, "'"),
                 words + sizeof before - 1);
    else if (n == 0 && entry->desc)
        snprintf(text, 120, "%.*s", (int)strcspn(entry->desc, "\n"), entry->desc);
    return 0;
}

swt_status swt_h5_fail(swt_error *err, swt_status code, const char *path, const char *object,
                       const char *what)
{
    char reason[120] = "";

    H5Ewalk2(H5E_DEFAULT, H5E_WALK_UPWARD, take_first, reason);
    H5Eclear2(H5E_DEFAULT);
    return swt_fail(err, code, "%s: %s%s%s%s%s%s", path, object ? object : "", object ? ": " : "",
                    what, reason[0] ? " (" : "", reason, reason[0] ? ")" : "");
}

/* Object headers, chunk indexes and heaps of this format carry checksums of their own, which the
 * earliest format lacks: there, one flipped byte in a few hundred was read as a number and not
 * noticed (tests/unit/test_study_damage.c is red with it). Any HDF5 from 1.10 on reads this one,
 * and it takes a third of the room. */
static hid_t file_access(void)
{
    hid_t access = H5Pcreate(H5P_FILE_ACCESS);

    if (access < 0)
        return access;
    H5Pset_libver_bounds(access, H5F_LIBVER_V110, H5F_LIBVER_V110);
    H5Pset_fclose_degree(access, H5F_CLOSE_STRONG);
#if H5_VERSION_GE(1, 10, 7)
    H5Pset_file_locking(access, false, true);
#endif
    return access;
}

hid_t swt_h5_create_file(const char *path)
{
    hid_t access = file_access(), creation = H5Pcreate(H5P_FILE_CREATE), file = -1;

    if (access >= 0 && creation >= 0 && H5Pset_obj_track_times(creation, false) >= 0)
        file = H5Fcreate(path, H5F_ACC_TRUNC, creation, access);
    if (creation >= 0)
        H5Pclose(creation);
    if (access >= 0)
        H5Pclose(access);
    return file;
}

hid_t swt_h5_open_file(const char *path, bool writable)
{
    hid_t access = file_access(), file;

    if (access < 0)
        return access;
    file = H5Fopen(path, writable ? H5F_ACC_RDWR : H5F_ACC_RDONLY, access);
    H5Pclose(access);
    return file;
}

static bool set_text(hid_t object, const char *name, size_t length, const void *value)
{
    hid_t type = swt_h5_text_type(length), space = H5Screate(H5S_SCALAR), attribute = -1;
    bool ok = false;

    if (type >= 0 && space >= 0)
        attribute = H5Acreate2(object, name, type, space, H5P_DEFAULT, H5P_DEFAULT);
    if (attribute >= 0)
        ok = H5Awrite(attribute, type, value) >= 0;
    if (attribute >= 0)
        ok = H5Aclose(attribute) >= 0 && ok;
    if (space >= 0)
        H5Sclose(space);
    if (type >= 0)
        H5Tclose(type);
    return ok;
}

bool swt_h5_set_label(hid_t object, const char *name, const char *text)
{
    return set_text(object, name, H5T_VARIABLE, &text);
}

bool swt_h5_set_text(hid_t object, const char *name, const char *text)
{
    /* the NUL is not stored, save that of an empty text, since a type has at least one byte */
    return set_text(object, name, text[0] ? strlen(text) : 1, text);
}

char *swt_h5_get_text(hid_t object, const char *name)
{
    hid_t attribute = H5Aopen(object, name, H5P_DEFAULT), type = -1, space = -1;
    char *text = NULL;
    size_t length;

    if (attribute < 0)
        return NULL;
    type = H5Aget_type(attribute);
    space = H5Aget_space(attribute);
    if (type >= 0 && space >= 0 && H5Tget_class(type) == H5T_STRING &&
        H5Tis_variable_str(type) == 0 && H5Sget_simple_extent_npoints(space) == 1) {
        length = H5Tget_size(type);
        /* all of it is in the file, so no length can ask for more memory than was stored */
        if (length > 0 && length <= H5Aget_storage_size(attribute))
            text = calloc(length + 1, 1);
        if (text && H5Aread(attribute, type, text) < 0) {
            free(text);
            text = NULL;
        }
    }
    if (space >= 0)
        H5Sclose(space);
    if (type >= 0)
        H5Tclose(type);
    H5Aclose(attribute);
    return text;
}

bool swt_h5_set_integer(hid_t object, const char *name, long value)
{
    hid_t space = H5Screate(H5S_SCALAR), attribute = -1;
    bool ok = false;

    if (space >= 0)
        attribute = H5Acreate2(object, name, H5T_STD_I64LE, space, H5P_DEFAULT, H5P_DEFAULT);
    if (attribute >= 0)
        ok = H5Awrite(attribute, H5T_NATIVE_LONG, &value) >= 0;
    if (attribute >= 0)
        ok = H5Aclose(attribute) >= 0 && ok;
    if (space >= 0)
        H5Sclose(space);
    return ok;
}

bool swt_h5_get_integer(long *value, hid_t object, const char *name)
{
    hid_t attribute = H5Aopen(object, name, H5P_DEFAULT), space = -1, type = -1;
    bool ok = false;

    if (attribute < 0)
        return false;
    space = H5Aget_space(attribute);
    type = H5Aget_type(attribute);
    if (space >= 0 && type >= 0 && H5Sget_simple_extent_npoints(space) == 1 &&
        H5Tget_class(type) == H5T_INTEGER)
        ok = H5Aread(attribute, H5T_NATIVE_LONG, value) >= 0;
    if (type >= 0)
        H5Tclose(type);
    if (space >= 0)
        H5Sclose(space);
    H5Aclose(attribute);
    return ok;
}

hid_t swt_h5_text_type(size_t length)
{
    hid_t type = H5Tcopy(H5T_C_S1);

    if (type < 0)
        return type;
    if (H5Tset_size(type, length) < 0 || H5Tset_cset(type, H5T_CSET_UTF8) < 0 ||
        (length != H5T_VARIABLE && H5Tset_strpad(type, H5T_STR_NULLPAD) < 0)) {
        H5Tclose(type);
        return -1;
    }
    return type;
}

hid_t swt_h5_enum_type(const char *const *name, size_t n)
{
    hid_t type = H5Tenum_create(H5T_STD_U8LE);

    if (type < 0)
        return type;
    for (size_t i = 0; i < n; i++) {
        unsigned char value = (unsigned char)i;
        if (H5Tenum_insert(type, name[i], &value) < 0) {
            H5Tclose(type);
            return -1;
        }
    }
    return type;
}

/* The groups above a dataset. HDF5 could make them itself, but then with the time of the day in
 * them. */
static bool make_groups(hid_t file, const char *name)
{
    hid_t creation = H5Pcreate(H5P_GROUP_CREATE), group;
    bool ok = creation >= 0 && H5Pset_obj_track_times(creation, false) >= 0;
    char path[600];

    for (const char *slash = strchr(name, '/'); ok && slash; slash = strchr(slash + 1, '/')) {
        int length = (int)(slash - name);
        if (snprintf(path, sizeof path, "%.*s", length, name) != length) {
            ok = false;
        } else if (H5Lexists(file, path, H5P_DEFAULT) <= 0) {
            group = H5Gcreate2(file, path, H5P_DEFAULT, creation, H5P_DEFAULT);
            ok = group >= 0 && H5Gclose(group) >= 0;
        }
    }
    if (creation >= 0)
        H5Pclose(creation);
    return ok;
}

/* The cache has room for the one chunk that rows are being added to: hundreds of datasets can stay
 * open. */
static bool set_chunks(hid_t creation, hid_t access, int rank, const hsize_t chunk[2],
                       size_t cell_size)
{
    return H5Pset_chunk_cache(access, 1, chunk[0] * chunk[1] * cell_size, 1) >= 0 &&
           H5Pset_chunk(creation, rank, chunk) >= 0 && H5Pset_fletcher32(creation) >= 0;
}

hid_t swt_h5_create_dataset(hid_t file, const char *name, hid_t type, const void *fill, int rank,
                            const hsize_t *dims, hsize_t chunk_rows, swt_h5_storage storage)
{
    bool grows = storage == SWT_H5_GROWING;
    hsize_t second = rank == 2 ? dims[1] : 1, most[2] = {H5S_UNLIMITED, second};
    hsize_t chunk[2] = {grows || dims[0] > chunk_rows ? chunk_rows : dims[0], second};
    hid_t creation = H5Pcreate(H5P_DATASET_CREATE), access = H5Pcreate(H5P_DATASET_ACCESS);
    hid_t space = H5Screate_simple(rank, dims, grows ? most : NULL), dataset = -1;

    if (chunk[0] == 0)
        chunk[0] = 1;
    if (creation >= 0 && access >= 0 && space >= 0 && make_groups(file, name) &&
        (storage == SWT_H5_PLAIN || set_chunks(creation, access, rank, chunk, H5Tget_size(type))) &&
        H5Pset_obj_track_times(creation, false) >= 0 &&
        (!fill || H5Pset_fill_value(creation, type, fill) >= 0))
        dataset = H5Dcreate2(file, name, type, space, H5P_DEFAULT, creation, access);
    if (access >= 0)
        H5Pclose(access);
    if (space >= 0)
        H5Sclose(space);
    if (creation >= 0)
        H5Pclose(creation);
    return dataset;
}

bool swt_h5_extend(hid_t dataset, hsize_t rows)
{
    hsize_t dims[2] = {0, 0};
    int rank;

    if (!swt_h5_extents(dataset, &rank, dims))
        return false;
    dims[0] = rows;
    return H5Dset_extent(dataset, dims) >= 0;
}

/* Both directions of the same walk: choose the rows, then move them. */
static bool move_rows(hid_t dataset, hid_t memory_type, hsize_t first, hsize_t n, void *in,
                      const void *out)
{
    hid_t space = H5Dget_space(dataset), memory = -1;
    hsize_t dims[2] = {0, 1}, start[2] = {first, 0}, count[2];
    bool ok = false;
    int rank;

    if (space < 0)
        return false;
    rank = H5Sget_simple_extent_ndims(space);
    if ((rank == 1 || rank == 2) && H5Sget_simple_extent_dims(space, dims, NULL) == rank &&
        first <= dims[0] && n <= dims[0] - first) {
        count[0] = n;
        count[1] = dims[1];
        if (n == 0) {
            ok = true;
        } else if (H5Sselect_hyperslab(space, H5S_SELECT_SET, start, NULL, count, NULL) >= 0 &&
                   (memory = H5Screate_simple(rank, count, NULL)) >= 0) {
            ok = (out ? H5Dwrite(dataset, memory_type, memory, space, H5P_DEFAULT, out)
                      : H5Dread(dataset, memory_type, memory, space, H5P_DEFAULT, in)) >= 0;
        }
    }
    if (memory >= 0)
        H5Sclose(memory);
    H5Sclose(space);
    return ok;
}

bool swt_h5_write_rows(hid_t dataset, hid_t memory_type, hsize_t first, hsize_t n,
                       const void *buffer)
{
    return move_rows(dataset, memory_type, first, n, NULL, buffer);
}

bool swt_h5_read_rows(hid_t dataset, hid_t memory_type, hsize_t first, hsize_t n, void *buffer)
{
    return move_rows(dataset, memory_type, first, n, buffer, NULL);
}

bool swt_h5_extents(hid_t dataset, int *rank, hsize_t dims[2])
{
    hid_t space = H5Dget_space(dataset);
    bool ok = false;

    if (space < 0)
        return false;
    dims[1] = 1;
    *rank = H5Sget_simple_extent_ndims(space);
    if (*rank == 1 || *rank == 2)
        ok = H5Sget_simple_extent_dims(space, dims, NULL) == *rank;
    H5Sclose(space);
    return ok;
}
