#include "io/study/study_layout.h"

#include <stdlib.h>
#include <string.h>

#define CAPTURE(field) offsetof(swt_study_capture, field)
#define SWING(field) offsetof(swt_study_swing, field)
#define FINDING(field) offsetof(swt_study_finding, field)
#define QUALITY(field) offsetof(swt_quality, field)

/* Columns with a struct field of their own. Units: "" for texts, "1" for pure numbers. */
static const struct {
    const char *path;
    swt_axis axis;
    swt_field field;
    size_t offset;
    int counts;
    const char *units, *title;
    int since; /* schema that brought it */
} fixed[] = {
    {"captures/index", SWT_BY_CAPTURE, SWT_FIELD_INDEX, 0, SWT_BY_CAPTURE, "1", "capture number",
     1},
    {"captures/file", SWT_BY_CAPTURE, SWT_FIELD_TEXT, CAPTURE(file), -1, "",
     "file as the sheet names it", 1},
    {"captures/sha256", SWT_BY_CAPTURE, SWT_FIELD_TEXT, CAPTURE(sha256), -1, "",
     "SHA-256 of the file's bytes", 1},
    {"captures/format", SWT_BY_CAPTURE, SWT_FIELD_TEXT, CAPTURE(format), -1, "", "file format", 1},
    {"captures/unit", SWT_BY_CAPTURE, SWT_FIELD_TEXT, CAPTURE(unit), -1, "",
     "length unit as the file states it", 1},
    {"captures/status", SWT_BY_CAPTURE, SWT_FIELD_STATUS, CAPTURE(status), -1, "1",
     "whether the capture could be used", 1},
    {"captures/message", SWT_BY_CAPTURE, SWT_FIELD_TEXT, CAPTURE(message), -1, "",
     "why it could not be used", 1},
    {"captures/rate_hz", SWT_BY_CAPTURE, SWT_FIELD_DOUBLE, CAPTURE(rate_hz), -1, "Hz", "frame rate",
     1},
    {"captures/n_frames", SWT_BY_CAPTURE, SWT_FIELD_SIZE, CAPTURE(n_frames), -1, "1",
     "frames in the file", 1},
    {"captures/n_points", SWT_BY_CAPTURE, SWT_FIELD_SIZE, CAPTURE(n_points), -1, "1",
     "points in the file", 1},
    {"captures/static_sha256", SWT_BY_CAPTURE, SWT_FIELD_TEXT, CAPTURE(static_sha256), -1, "",
     "SHA-256 of the static capture's bytes", 2},
    {"captures/map_sha256", SWT_BY_CAPTURE, SWT_FIELD_TEXT, CAPTURE(map_sha256), -1, "",
     "SHA-256 of the marker map that was used", 2},
    {"captures/row_sha256", SWT_BY_CAPTURE, SWT_FIELD_TEXT, CAPTURE(row_sha256), -1, "",
     "SHA-256 of what the sheet's row says of the capture", 2},
    {"captures/file_stamp", SWT_BY_CAPTURE, SWT_FIELD_TEXT, CAPTURE(file_stamp), -1, "",
     "size, times and number of the file when it was read", 2},
    {"captures/static_stamp", SWT_BY_CAPTURE, SWT_FIELD_TEXT, CAPTURE(static_stamp), -1, "",
     "the same of the static capture", 2},
    {"captures/measured", SWT_BY_CAPTURE, SWT_FIELD_BOOL, CAPTURE(measured), -1, "1",
     "swings were looked for; else the capture was imported only", 2},

    {"swings/index", SWT_BY_SWING, SWT_FIELD_INDEX, 0, SWT_BY_SWING, "1", "swing number", 1},
    {"swings/capture", SWT_BY_SWING, SWT_FIELD_SIZE, SWING(capture), SWT_BY_CAPTURE, "1",
     "number of the capture it is from", 1},
    {"swings/number", SWT_BY_SWING, SWT_FIELD_SIZE, SWING(number), -1, "1",
     "its number among the swings of the capture, from 1", 2},
    {"swings/strike", SWT_BY_SWING, SWT_FIELD_STRIKE, SWING(strike), -1, "1",
     "whether it struck a ball, told where a capture has several swings", 2},
    {"swings/capture_frame", SWT_BY_SWING, SWT_FIELD_SIZE, SWING(capture_frame), -1, "1",
     "its first frame in the capture, from 0", 1},
    {"swings/n_frames", SWT_BY_SWING, SWT_FIELD_SIZE, SWING(n_frames), -1, "1", "its frames", 1},
    {"swings/first_sample", SWT_BY_SWING, SWT_FIELD_SIZE, SWING(first_sample), SWT_BY_SAMPLE, "1",
     "its first row in /series and /body", 1},
    {"swings/rate_hz", SWT_BY_SWING, SWT_FIELD_DOUBLE, SWING(rate_hz), -1, "Hz", "frame rate used",
     1},
    {"swings/player", SWT_BY_SWING, SWT_FIELD_TEXT, SWING(player), -1, "", "player code", 1},
    {"swings/session", SWT_BY_SWING, SWT_FIELD_TEXT, SWING(session), -1, "", "session", 1},
    {"swings/group", SWT_BY_SWING, SWT_FIELD_TEXT, SWING(group), -1, "", "group", 1},
    {"swings/club", SWT_BY_SWING, SWT_FIELD_TEXT, SWING(club), -1, "", "club", 1},
    {"swings/shot", SWT_BY_SWING, SWT_FIELD_TEXT, SWING(shot), -1, "", "shot", 1},
    {"swings/side", SWT_BY_SWING, SWT_FIELD_SIDE, SWING(side), -1, "1", "handedness", 1},
    {"swings/heel_depth", SWT_BY_SWING, SWT_FIELD_DOUBLE, SWING(heel_depth_m), -1, "m",
     "depth of the heel line; the toe line is at 0", 1},
    {"swings/target_from_stance", SWT_BY_SWING, SWT_FIELD_BOOL, SWING(target_from_stance), -1, "1",
     "the target line was taken from the toe line", 1},

    {"findings/index", SWT_BY_FINDING, SWT_FIELD_INDEX, 0, SWT_BY_FINDING, "1", "finding number",
     1},
    {"findings/capture", SWT_BY_FINDING, SWT_FIELD_SIZE, FINDING(capture), SWT_BY_CAPTURE, "1",
     "number of the capture", 1},
    {"findings/swing", SWT_BY_FINDING, SWT_FIELD_LONG, FINDING(swing), SWT_BY_SWING, "1",
     "number of the swing, -1: the capture as a whole", 1},
    {"findings/severity", SWT_BY_FINDING, SWT_FIELD_SEVERITY, FINDING(severity), -1, "1",
     "how serious it is", 1},
    {"findings/code", SWT_BY_FINDING, SWT_FIELD_TEXT, FINDING(code), -1, "", "kind of finding", 1},
    {"findings/text", SWT_BY_FINDING, SWT_FIELD_TEXT, FINDING(text), -1, "", "finding in words", 1},
};

static const struct {
    const char *name, *units, *title;
    size_t offset, width;
} quality[] = {
    {"filled_fraction", "1", "fraction of frames filled in, by landmark", QUALITY(filled_fraction),
     SWT_LANDMARK_COUNT},
    {"missing_fraction", "1", "fraction of frames left open, by landmark",
     QUALITY(missing_fraction), SWT_LANDMARK_COUNT},
    {"longest_gap", "s", "longest gap, by landmark", QUALITY(longest_gap_s), SWT_LANDMARK_COUNT},
    {"noise", "m", "white noise per coordinate, by landmark", QUALITY(noise_m), SWT_LANDMARK_COUNT},
    {"cutoff_hz", "Hz", "low-pass cut-off used, by landmark", QUALITY(cutoff_hz),
     SWT_LANDMARK_COUNT},
    {"shaft_length_sd", "m", "standard deviation of grip to head before impact",
     QUALITY(shaft_length_sd_m), 1},
    {"frames_in_downswing", "1", "frames from club top to impact", QUALITY(frames_in_downswing), 1},
    {"ledger_closure", "m", "worst error of the depth ledger's sum", QUALITY(ledger_closure_m), 1},
    {"target_from_stance", "1", "the target line was taken from the toe line",
     QUALITY(target_from_stance), 1},
    {"floor_from_feet", "1", "the floor was found under the feet", QUALITY(floor_from_feet), 1},
};

enum { N_FIXED = sizeof fixed / sizeof *fixed, N_QUALITY = sizeof quality / sizeof *quality };

const char *const swt_provenance_name[] = {
    "swathe_version", "created",    "command",  "options", "sheet", "sheet_sha256", "map",
    "map_sha256",     "covariates", "numerics", "part",    NULL};

static swt_column *add(swt_layout *layout, swt_axis axis, swt_field field, swt_source source,
                       size_t index, const char *units, const char *title)
{
    swt_column *c = &layout->column[layout->n++];

    memset(c, 0, sizeof *c);
    c->axis = axis;
    c->field = field;
    c->source = source;
    c->index = index;
    c->width = 1;
    c->counts = -1;
    c->since = 1;
    c->units = units;
    c->title = title;
    c->definition = c->source_text = "";
    return c;
}

/* value, uncertainty, state and reason of an event or a measure. */
static void add_judged(swt_layout *layout, swt_source source, size_t index, const char *folder,
                       const char *name, const char *value, const char *units, const char *title,
                       const char *definition, const char *source_text)
{
    bool is_event = source == SWT_FROM_EVENT;
    const struct {
        const char *name;
        swt_field field;
        size_t offset;
        const char *units;
    } part[4] = {
        {value, SWT_FIELD_DOUBLE,
         is_event ? offsetof(swt_event_time, time_s) : offsetof(swt_measurement, value), units},
        {"sd", SWT_FIELD_DOUBLE,
         is_event ? offsetof(swt_event_time, sd_s) : offsetof(swt_measurement, sd), units},
        {"state", SWT_FIELD_STATE,
         is_event ? offsetof(swt_event_time, verdict) : offsetof(swt_measurement, verdict), "1"},
        {"reason", SWT_FIELD_REASON,
         is_event ? offsetof(swt_event_time, verdict) : offsetof(swt_measurement, verdict), "1"},
    };

    for (size_t k = 0; k < 4; k++) {
        swt_column *c =
            add(layout, SWT_BY_SWING, part[k].field, source, index, part[k].units, title);
        snprintf(c->path, sizeof c->path, "%s/%s/%s", folder, name, part[k].name);
        c->offset = part[k].offset;
        c->definition = definition;
        c->source_text = source_text;
    }
}

static void add_events_and_measures(swt_layout *layout)
{
    for (int e = 0; e < SWT_EVENT_COUNT; e++)
        add_judged(layout, SWT_FROM_EVENT, (size_t)e, "events", swt_event_name((swt_event)e),
                   "time", "s", swt_event_title((swt_event)e), swt_event_definition((swt_event)e),
                   "");
    for (size_t m = 0; m < swt_measure_count(); m++) {
        const swt_measure *row = swt_measure_row(m);
        add_judged(layout, SWT_FROM_MEASURE, m, "measures", row->name, "value",
                   swt_quantity_unit(row->quantity)->si, row->title, row->definition, row->source);
    }
}

static void add_bulk(swt_layout *layout, swt_axis axis, swt_field field, swt_source source,
                     size_t index, size_t width, const char *units, const char *title,
                     const char *definition)
{
    swt_column *c = add(layout, axis, field, source, index, units, title);

    swt_layout_path(c->path, sizeof c->path, source, index);
    c->width = width;
    c->definition = definition;
}

static void add_series_and_body(swt_layout *layout)
{
    add_bulk(layout, SWT_BY_SWING, SWT_FIELD_DOUBLE, SWT_FROM_CURVE_TIME, 0, SWT_CURVE_SAMPLES, "s",
             "time of the registered samples", "seconds after the first frame of the capture");
    add_bulk(layout, SWT_BY_SWING, SWT_FIELD_DOUBLE, SWT_FROM_TRAVEL_TIME, 0, SWT_TRAVEL_SAMPLES,
             "s", "time of the samples over club-head path length",
             "seconds after the first frame of the capture");
    add_bulk(layout, SWT_BY_SWING, SWT_FIELD_DOUBLE, SWT_FROM_SHIFT, 0, SWT_SHIFT_SAMPLES, "m",
             "transition shift over hand height",
             "hand depth on the way down less hand depth on the way up, at the same hand height; "
             "negative = the hands moved out towards the ball");
    add_bulk(layout, SWT_BY_SWING, SWT_FIELD_DOUBLE, SWT_FROM_SHIFT_HEIGHT, 0, SWT_SHIFT_SAMPLES,
             "m", "hand height of the transition shift", "height above the floor");
    for (int s = 0; s < SWT_SERIES_COUNT; s++) {
        const swt_series_info *info = swt_series_describe((swt_series)s);
        const char *units = swt_quantity_unit(info->quantity)->si;
        const swt_field verdict[2] = {SWT_FIELD_STATE, SWT_FIELD_REASON};
        add_bulk(layout, SWT_BY_SWING, SWT_FIELD_DOUBLE, SWT_FROM_CURVE, (size_t)s,
                 SWT_CURVE_SAMPLES, units, info->title, info->definition);
        add_bulk(layout, SWT_BY_SWING, SWT_FIELD_FLOAT, SWT_FROM_CURVE_SD, (size_t)s,
                 SWT_CURVE_SAMPLES, units, info->title, "standard uncertainty from marker noise");
        layout->column[layout->n - 1].may_lack = true;
        add_bulk(layout, SWT_BY_SWING, SWT_FIELD_DOUBLE, SWT_FROM_TRAVEL_CURVE, (size_t)s,
                 SWT_TRAVEL_SAMPLES, units, info->title, info->definition);
        for (int k = 0; k < 2; k++) {
            swt_column *c = add(layout, SWT_BY_SWING, verdict[k], SWT_FROM_SERIES_VERDICT,
                                (size_t)s, "1", info->title);
            snprintf(c->path, sizeof c->path, "curves/%s/%s", info->name, k ? "reason" : "state");
        }
        add_bulk(layout, SWT_BY_SAMPLE, SWT_FIELD_FLOAT, SWT_FROM_SERIES, (size_t)s, 1, units,
                 info->title, info->definition);
    }
    for (int k = 0; k < SWT_LANDMARK_COUNT; k++) {
        const char *what = swt_landmark_description((swt_landmark)k);
        add_bulk(layout, SWT_BY_SAMPLE, SWT_FIELD_FLOAT, SWT_FROM_BODY, (size_t)k, 3, "m", what,
                 "smoothed position in the swing frame: along, depth, height");
        add_bulk(layout, SWT_BY_SAMPLE, SWT_FIELD_ORIGIN, SWT_FROM_ORIGIN, (size_t)k, 1, "1", what,
                 "where each sample comes from");
    }
}

char *swt_link_name(char *out, size_t size, const char *name)
{
    size_t used = 0;

    if (strcmp(name, ".") == 0)
        name = "_";
    for (; *name && used + 1 < size; name++)
        out[used++] = *name == '/' ? '|' : *name;
    out[used] = '\0';
    return out;
}

/* The covariate's true name is in `long_name`. */
static void add_covariate(swt_layout *layout, size_t index, const char *name)
{
    swt_column *c = add(layout, SWT_BY_SWING, SWT_FIELD_TEXT, SWT_FROM_COVARIATE, index, "", name);
    size_t used = (size_t)snprintf(c->path, sizeof c->path, "covariates/");

    swt_link_name(c->path + used, sizeof c->path - used, name);
}

swt_status swt_layout_build(swt_layout *layout, char *const *covariate, size_t n, swt_error *err)
{
    size_t most = N_FIXED + N_QUALITY + 4 * SWT_EVENT_COUNT + 4 * swt_measure_count() + 4 +
                  6 * SWT_SERIES_COUNT + 2 * SWT_LANDMARK_COUNT + n;

    memset(layout, 0, sizeof *layout);
    layout->column = calloc(most, sizeof *layout->column);
    if (!layout->column)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; i < N_FIXED; i++) {
        swt_column *c = add(layout, fixed[i].axis, fixed[i].field, SWT_FROM_ROW, i, fixed[i].units,
                            fixed[i].title);
        snprintf(c->path, sizeof c->path, "%s", fixed[i].path);
        c->offset = fixed[i].offset;
        c->counts = fixed[i].counts;
        c->since = fixed[i].since;
    }
    for (size_t i = 0; i < n; i++)
        add_covariate(layout, i, covariate[i]);
    add_events_and_measures(layout);
    for (size_t i = 0; i < N_QUALITY; i++) {
        bool is_flag = quality[i].offset >= QUALITY(target_from_stance);
        swt_column *c = add(layout, SWT_BY_SWING, is_flag ? SWT_FIELD_BOOL : SWT_FIELD_DOUBLE,
                            SWT_FROM_QUALITY, i, quality[i].units, quality[i].title);
        swt_layout_path(c->path, sizeof c->path, SWT_FROM_QUALITY, i);
        c->offset = quality[i].offset;
        c->width = quality[i].width;
    }
    add_series_and_body(layout);
    return SWT_OK;
}

void swt_layout_free(swt_layout *layout)
{
    free(layout->column);
    memset(layout, 0, sizeof *layout);
}

void swt_layout_path(char *path, size_t size, swt_source source, size_t index)
{
    switch (source) {
    case SWT_FROM_QUALITY:
        snprintf(path, size, "quality/%s", quality[index].name);
        break;
    case SWT_FROM_CURVE:
        snprintf(path, size, "curves/%s/value", swt_series_describe((swt_series)index)->name);
        break;
    case SWT_FROM_CURVE_SD:
        snprintf(path, size, "curves/%s/sd", swt_series_describe((swt_series)index)->name);
        break;
    case SWT_FROM_CURVE_TIME:
        snprintf(path, size, "registration/time");
        break;
    case SWT_FROM_TRAVEL_CURVE:
        snprintf(path, size, "travel/%s", swt_series_describe((swt_series)index)->name);
        break;
    case SWT_FROM_TRAVEL_TIME:
        snprintf(path, size, "travel/time");
        break;
    case SWT_FROM_SHIFT:
        snprintf(path, size, "transition/shift");
        break;
    case SWT_FROM_SHIFT_HEIGHT:
        snprintf(path, size, "transition/height");
        break;
    case SWT_FROM_SERIES:
        snprintf(path, size, "series/%s", swt_series_describe((swt_series)index)->name);
        break;
    case SWT_FROM_BODY:
        snprintf(path, size, "body/%s/position", swt_landmark_name((swt_landmark)index));
        break;
    case SWT_FROM_ORIGIN:
        snprintf(path, size, "body/%s/origin", swt_landmark_name((swt_landmark)index));
        break;
    default:
        path[0] = '\0';
    }
}

void *swt_column_at(const swt_column *column, const swt_study *study, size_t i)
{
    char *row;

    switch (column->source) {
    case SWT_FROM_COVARIATE:
        return &study->swing[i].covariate[column->index];
    case SWT_FROM_EVENT:
        row = (char *)&study->event[column->index][i];
        break;
    case SWT_FROM_MEASURE:
        row = (char *)&study->measure[column->index][i];
        break;
    case SWT_FROM_SERIES_VERDICT:
        row = (char *)&study->series_verdict[column->index][i];
        break;
    default:
        row = column->axis == SWT_BY_CAPTURE ? (char *)&study->capture[i]
              : column->axis == SWT_BY_SWING ? (char *)&study->swing[i]
                                             : (char *)&study->finding[i];
    }
    return row + column->offset;
}
