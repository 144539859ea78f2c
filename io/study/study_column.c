/* One column's type in the file, and one value's way between its struct and the file. */
#include "io/study/study_column.h"

#include "io/study/comparison_store.h"

#include <limits.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>

const char *swt_family_name(swt_kept_family family)
{
    static const char *const name[] = {"measures", "beside", "path"};
    return family <= SWT_OF_PATH ? name[family] : "?";
}

/* What has been renamed since studies were first written: now, then. */
static const char *const renamed[][2] = {{"_from_thorax", "_from_trunk"}};

/* H5Lexists fails where a group on the way is missing. */
static bool is_there(hid_t file, const char *path)
{
    char part[sizeof((swt_column *)0)->path];

    for (const char *end = strchr(path, '/'); end; end = strchr(end + 1, '/')) {
        snprintf(part, sizeof part, "%.*s", (int)(end - path), path);
        if (H5Lexists(file, part, H5P_DEFAULT) <= 0)
            return false;
    }
    return H5Lexists(file, path, H5P_DEFAULT) > 0;
}

void swt_column_find_name(swt_column *column, hid_t file)
{
    char then[sizeof column->path];

    for (size_t i = 0; i < sizeof renamed / sizeof *renamed; i++) {
        const char *at = strstr(column->path, renamed[i][0]);
        if (!at || is_there(file, column->path))
            continue;
        snprintf(then, sizeof then, "%.*s%s%s", (int)(at - column->path), column->path,
                 renamed[i][1], at + strlen(renamed[i][0]));
        if (is_there(file, then))
            memcpy(column->path, then, sizeof then);
    }
}

hid_t swt_column_type(const swt_column *column, size_t length)
{
    static const char *const boolean[] = {"FALSE", "TRUE"};
    static const char *const side[] = {"right", "left"};
    static const char *const strike[] = {"unknown", "struck", "practice"};
    static const char *const severity[] = {"note", "caution", "serious"};
    static const char *const state[] = {"absent", "limited", "usable"};
    static const char *const origin[] = {"recorded", "filled_spline", "filled_rigid", "missing"};
    static const char *const corridor_state[] = {"ok", "limited", "refused"};
    static const char *const method[] = {"band", "tolerance", "order"};
    static const char *const sides[] = {"two_sided", "upper_only", "lower_only"};
    static const char *const centre[] = {"mean", "median"};
    const char *const family[] = {swt_family_name(SWT_OF_MEASURES), swt_family_name(SWT_OF_BESIDE),
                                  swt_family_name(SWT_OF_PATH)};
    static const char *const status[] = {"ok",   "argument",  "system",       "format",
                                         "data", "undefined", "out_of_memory"};

    switch (column->field) {
    case SWT_FIELD_TEXT:
    case SWT_FIELD_CHARS:
        return swt_h5_text_type(length > 0 ? length : 1);
    case SWT_FIELD_CORRIDOR_STATE:
        return swt_h5_enum_type(corridor_state, 3);
    case SWT_FIELD_METHOD:
        return swt_h5_enum_type(method, 3);
    case SWT_FIELD_SIDES:
        return swt_h5_enum_type(sides, 3);
    case SWT_FIELD_CENTRE:
        return swt_h5_enum_type(centre, 2);
    case SWT_FIELD_FAMILY:
        return swt_h5_enum_type(family, 3);
    case SWT_FIELD_BOOL:
        return swt_h5_enum_type(boolean, 2);
    case SWT_FIELD_SIDE:
        return swt_h5_enum_type(side, 2);
    case SWT_FIELD_STRIKE:
        return swt_h5_enum_type(strike, 3);
    case SWT_FIELD_SEVERITY:
        return swt_h5_enum_type(severity, 3);
    case SWT_FIELD_STATE:
        return swt_h5_enum_type(state, 3);
    case SWT_FIELD_ORIGIN:
        return swt_h5_enum_type(origin, 4);
    case SWT_FIELD_STATUS:
        return swt_h5_enum_type(status, 7);
    case SWT_FIELD_REASON:
        return H5Tcopy(H5T_STD_U16LE);
    case SWT_FIELD_FLOAT:
        return H5Tcopy(H5T_IEEE_F32LE);
    case SWT_FIELD_DOUBLE:
        return H5Tcopy(H5T_IEEE_F64LE);
    default:
        return H5Tcopy(H5T_STD_I64LE);
    }
}

size_t swt_column_size(const swt_column *column, size_t length)
{
    switch (column->field) {
    case SWT_FIELD_TEXT:
    case SWT_FIELD_CHARS:
        return length > 0 ? length : 1;
    case SWT_FIELD_INT:
    case SWT_FIELD_DOUBLE:
    case SWT_FIELD_SIZE:
    case SWT_FIELD_LONG:
    case SWT_FIELD_INDEX:
        return 8;
    case SWT_FIELD_FLOAT:
        return 4;
    case SWT_FIELD_REASON:
        return 2;
    default:
        return 1;
    }
}

void swt_column_put(const swt_column *column, char *to, size_t length, const void *from, size_t row)
{
    int64_t integer;
    unsigned short reason;

    switch (column->field) {
    case SWT_FIELD_TEXT:
        strncpy(to, *(char *const *)from, length);
        break;
    case SWT_FIELD_CHARS:
        strncpy(to, from, length);
        break;
    case SWT_FIELD_INT:
        integer = *(const int *)from;
        memcpy(to, &integer, sizeof integer);
        break;
    case SWT_FIELD_DOUBLE:
        memcpy(to, from, sizeof(double));
        break;
    case SWT_FIELD_SIZE:
        integer = (int64_t) * (const size_t *)from;
        memcpy(to, &integer, sizeof integer);
        break;
    case SWT_FIELD_LONG:
        integer = *(const long *)from;
        memcpy(to, &integer, sizeof integer);
        break;
    case SWT_FIELD_INDEX:
        integer = (int64_t)row;
        memcpy(to, &integer, sizeof integer);
        break;
    case SWT_FIELD_BOOL:
        *to = (char)*(const bool *)from;
        break;
    case SWT_FIELD_SIDE:
    case SWT_FIELD_STRIKE:
    case SWT_FIELD_STATUS:
    case SWT_FIELD_SEVERITY:
    case SWT_FIELD_CORRIDOR_STATE:
    case SWT_FIELD_METHOD:
    case SWT_FIELD_SIDES:
    case SWT_FIELD_CENTRE:
    case SWT_FIELD_FAMILY:
        *to = (char)*(const unsigned *)from; /* a C enumeration */
        break;
    case SWT_FIELD_STATE:
        *to = (char)((const swt_verdict *)from)->state;
        break;
    case SWT_FIELD_REASON:
        reason = (unsigned short)swt_reason_pack(*(const swt_verdict *)from);
        memcpy(to, &reason, sizeof reason);
        break;
    default:
        break;
    }
}

bool swt_column_take(const swt_column *column, void *to, const char *from, size_t length,
                     size_t row)
{
    static const unsigned char limit[] = {
        [SWT_FIELD_BOOL] = 2,     [SWT_FIELD_SIDE] = 2,   [SWT_FIELD_STATUS] = SWT_ENOMEM + 1,
        [SWT_FIELD_SEVERITY] = 3, [SWT_FIELD_STATE] = 3,  [SWT_FIELD_CORRIDOR_STATE] = 3,
        [SWT_FIELD_METHOD] = 3,   [SWT_FIELD_SIDES] = 3,  [SWT_FIELD_STRIKE] = 3,
        [SWT_FIELD_CENTRE] = 2,   [SWT_FIELD_FAMILY] = 3,
    };
    unsigned char small = (unsigned char)*from;
    unsigned short reason;
    int64_t integer;

    switch (column->field) {
    case SWT_FIELD_TEXT:
        return (*(char **)to = strndup(from, length)) != NULL;
    case SWT_FIELD_CHARS:
        length = strnlen(from, length);
        if (length >= column->index)
            return false;
        memcpy(to, from, length);
        ((char *)to)[length] = '\0';
        return true;
    case SWT_FIELD_INT:
        memcpy(&integer, from, sizeof integer);
        *(int *)to = (int)integer;
        return integer >= INT_MIN && integer <= INT_MAX;
    case SWT_FIELD_DOUBLE:
        memcpy(to, from, sizeof(double));
        return true;
    case SWT_FIELD_SIZE:
        memcpy(&integer, from, sizeof integer);
        *(size_t *)to = (size_t)integer;
        return integer >= 0;
    case SWT_FIELD_LONG:
        memcpy(&integer, from, sizeof integer);
        *(long *)to = (long)integer;
        return true;
    case SWT_FIELD_INDEX:
        memcpy(&integer, from, sizeof integer);
        return integer == (int64_t)row;
    case SWT_FIELD_REASON:
        memcpy(&reason, from, sizeof reason);
        ((swt_verdict *)to)->reason = (unsigned char)(reason >> 8);
        ((swt_verdict *)to)->subject = (unsigned char)reason;
        return (reason >> 8) < SWT_REASON_COUNT;
    default:
        break;
    }
    if (small >= limit[column->field])
        return false;
    if (column->field == SWT_FIELD_BOOL)
        *(bool *)to = small;
    else if (column->field != SWT_FIELD_STATE)
        *(unsigned *)to = small; /* a C enumeration */
    else
        ((swt_verdict *)to)->state = small;
    return true;
}

void swt_column_shift(const swt_column *column, void *buffer, size_t rows, const swt_row_run *run)
{
    int64_t *number = buffer;

    if (column->counts >= 0)
        for (size_t i = 0; i < rows; i++)
            if (number[i] >= 0) /* -1: of no swing in particular */
                number[i] += (int64_t)run->to[column->counts] - (int64_t)run->from[column->counts];
}

size_t swt_column_stored_length(hid_t dataset, const swt_column *column)
{
    hid_t type = H5Dget_type(dataset), wanted = swt_column_type(column, 1);
    size_t length = 0;

    if (type >= 0 && wanted >= 0) {
        if (!swt_column_is_text(column))
            length = H5Tequal(type, wanted) > 0;
        else if (H5Tget_class(type) == H5T_STRING && H5Tis_variable_str(type) == 0)
            length = H5Tget_size(type);
    }
    if (wanted >= 0)
        H5Tclose(wanted);
    if (type >= 0)
        H5Tclose(type);
    return length;
}
