/** @file  A column: how one fact of a row is kept in the file and in memory.
 *  Layer: io. Included only by io/study. */
#ifndef SWT_IO_STUDY_STUDY_COLUMN_H
#define SWT_IO_STUDY_STUDY_COLUMN_H

#include "io/study/h5_util.h"
#include "io/study/study.h"

#include <string.h>

/** What the rows of a column are. */
typedef enum swt_axis {
    SWT_BY_CAPTURE,
    SWT_BY_SWING,
    SWT_BY_FINDING,
    SWT_BY_SAMPLE,
    SWT_AXES
} swt_axis;

/** How a value is stored, and as what it is held in memory. */
typedef enum swt_field {
    SWT_FIELD_TEXT,           /**< UTF-8, fixed length; char *        */
    SWT_FIELD_DOUBLE,         /**< float64; double                    */
    SWT_FIELD_SIZE,           /**< int64; size_t                      */
    SWT_FIELD_LONG,           /**< int64; long                        */
    SWT_FIELD_BOOL,           /**< enum FALSE, TRUE; bool             */
    SWT_FIELD_SIDE,           /**< enum; swt_handedness               */
    SWT_FIELD_STRIKE,         /**< enum; swt_strike                   */
    SWT_FIELD_STATUS,         /**< enum; swt_status                   */
    SWT_FIELD_SEVERITY,       /**< enum; swt_severity                 */
    SWT_FIELD_STATE,          /**< enum; swt_verdict.state            */
    SWT_FIELD_REASON,         /**< uint16, explained in /reasons; swt_verdict */
    SWT_FIELD_INDEX,          /**< int64, the row's own number        */
    SWT_FIELD_INT,            /**< int64; int                         */
    SWT_FIELD_CHARS,          /**< UTF-8, fixed length; char[index]   */
    SWT_FIELD_CORRIDOR_STATE, /**< enum; swt_corridor_state     */
    SWT_FIELD_METHOD,         /**< enum; swt_corridor_method          */
    SWT_FIELD_SIDES,          /**< enum; swt_sides                    */
    SWT_FIELD_CENTRE,         /**< enum; swt_centre                   */
    SWT_FIELD_FAMILY,         /**< enum; swt_kept_family              */
    SWT_FIELD_FLOAT,          /**< float32; bulk                      */
    SWT_FIELD_ORIGIN          /**< enum; bulk                         */
} swt_field;

/** Where the values come from. */
typedef enum swt_source {
    SWT_FROM_ROW, /**< the struct of the axis' row, at `offset`   */
    SWT_FROM_COVARIATE,
    SWT_FROM_EVENT,
    SWT_FROM_MEASURE,
    SWT_FROM_SERIES_VERDICT,
    /* bulk: written from the swings, read on demand */
    SWT_FROM_QUALITY,
    SWT_FROM_CURVE,
    SWT_FROM_CURVE_SD,
    SWT_FROM_CURVE_TIME,
    SWT_FROM_TRAVEL_CURVE,
    SWT_FROM_TRAVEL_TIME,
    SWT_FROM_SHIFT,
    SWT_FROM_SHIFT_HEIGHT,
    SWT_FROM_SERIES,
    SWT_FROM_BODY,
    SWT_FROM_ORIGIN
} swt_source;

typedef struct swt_column {
    char path[512];
    swt_axis axis;
    swt_field field;
    swt_source source;
    size_t index;  /**< of the event, measure, series, landmark or covariate; room of chars */
    size_t offset; /**< of the field in its struct                           */
    size_t width;  /**< values in a row                                      */
    int counts;    /**< swt_axis that the values number, -1: none; merging shifts them */
    int since;     /**< schema that brought it */
    bool may_lack; /**< studies of this schema may be without it: then it is missing throughout */
    const char *units, *title, *definition, *source_text;
} swt_column;

/** Where the file has the column under the name of an earlier version, its path becomes that. */
void swt_column_find_name(swt_column *column, hid_t file);

/** Is a column that may lack not in this file? */
static inline bool swt_column_lacks(const swt_column *column, hid_t file)
{
    char group[sizeof column->path];
    size_t length = (size_t)(strrchr(column->path, '/') - column->path);

    if (!column->may_lack)
        return false;
    memcpy(group, column->path, length);
    group[length] = '\0';
    return H5Lexists(file, group, H5P_DEFAULT) <= 0 ||
           H5Lexists(file, column->path, H5P_DEFAULT) <= 0;
}

static inline bool swt_column_is_text(const swt_column *column)
{
    return column->field == SWT_FIELD_TEXT || column->field == SWT_FIELD_CHARS;
}

/** The file type of a column; `length` is for texts. The caller closes it. */
hid_t swt_column_type(const swt_column *column, size_t length);

/** Bytes of one value in memory buffers of `swt_column_type`. */
size_t swt_column_size(const swt_column *column, size_t length);

/** One value from its struct into the column's buffer; `row` for SWT_FIELD_INDEX. */
void swt_column_put(const swt_column *column, char *to, size_t length, const void *from,
                    size_t row);

/** One value from the column's buffer into its struct (a text is copied to the heap).
 *  @return false when it is not a value of this field */
bool swt_column_take(const swt_column *column, void *to, const char *from, size_t length,
                     size_t row);

/** Neighbouring rows of one study that become neighbouring rows of another, for each axis. */
typedef struct swt_row_run {
    size_t from[SWT_AXES], to[SWT_AXES], n[SWT_AXES];
} swt_row_run;

/** Numbers of a column's cells that count rows of another axis move with the run's rows there. */
void swt_column_shift(const swt_column *column, void *buffer, size_t rows, const swt_row_run *run);

/** Length of a text column's cells, 1 for other columns, 0 when the type is not the column's. */
size_t swt_column_stored_length(hid_t dataset, const swt_column *column);

#endif
