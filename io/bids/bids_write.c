#include "io/bids/bids_write.h"

#include "base/analog.h"
#include "base/numtext.h"
#include "io/bids/bids_name.h"
#include "io/files.h"
#include "io/json.h"
#include "io/names.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct writer {
    const swt_capture *capture;
    const swt_bids_about *about;
    swt_bids_name name;
    const char *path;
    const char *frame; /* of reference */
    double *analog;    /* n_analog x n_frames, at the rate of the points */
} writer;

/* ---- may it be written? ---- */

/* A table of tab-separated cells has no quotes: what would break it is written as a blank. */
static void put_cell(FILE *stream, const char *text)
{
    if (text[0] == '\0')
        fputs("n/a", stream);
    for (; *text; text++)
        fputc((unsigned char)*text < 0x20 || *text == '"' ? ' ' : *text, stream);
}

/* An angle or force that was stored as a point is no position. */
static bool is_position(const swt_capture *c, size_t point)
{
    return !(c->is_computed && c->is_computed[point]);
}

static size_t count_positions(const swt_capture *c)
{
    size_t n = 0;

    for (size_t p = 0; p < c->n_points; p++)
        n += is_position(c, p);
    return n;
}

static swt_status check_capture(const swt_capture *c, swt_error *err)
{
    swt_names names = {0};
    swt_status rc = SWT_OK;
    size_t index;

    if (!(c->rate_hz > 0))
        return swt_fail(err, SWT_EDATA, "no frame rate, which BIDS requires");
    if (count_positions(c) == 0)
        return swt_fail(err, SWT_EDATA, "no positions");
    if (strcmp(c->unit, "m") != 0 && strcmp(c->unit, "cm") != 0 && strcmp(c->unit, "mm") != 0)
        return swt_fail(err, SWT_EDATA, "length unit '%s': BIDS knows m, cm and mm", c->unit);
    for (size_t i = 0; i < c->n_points && rc == SWT_OK; i++) {
        rc = swt_names_add(&index, &names, c->label[i], strlen(c->label[i]), err);
        if (rc == SWT_OK && (index != i || c->label[i][0] == '\0'))
            rc = swt_fail(err, SWT_EDATA,
                          "point %zu: label '%s' is empty or used before; channels need names of "
                          "their own",
                          i + 1, c->label[i]);
    }
    swt_names_reset(&names);
    return rc;
}

/* ---- the tables ---- */

static void put_number(FILE *stream, double value, bool known)
{
    char number[SWT_NUMBER_TEXT];

    if (!known || !isfinite(value)) {
        fputs("n/a", stream);
        return;
    }
    swt_format_double(number, value, '.');
    fputs(number, stream);
}

static void print_motion(FILE *stream, const writer *w)
{
    const swt_capture *c = w->capture;
    bool trust = swt_capture_residuals_mean_something(c);

    for (size_t f = 0; f < c->n_frames; f++) {
        bool first = true;
        for (size_t p = 0; p < c->n_points; p++) {
            bool known = swt_capture_has_point(c, f, p, trust);
            for (size_t k = 0; k < 3 && is_position(c, p); k++) {
                if (!first)
                    fputc('\t', stream);
                first = false;
                put_number(stream, c->xyz[3 * (f * c->n_points + p) + k], known);
            }
        }
        for (size_t a = 0; a < c->n_analog; a++) {
            fputc('\t', stream);
            put_number(stream, w->analog[a * c->n_frames + f], true);
        }
        fputc('\n', stream);
    }
}

static void print_channels(FILE *stream, const writer *w)
{
    const swt_capture *c = w->capture;
    char rate[SWT_NUMBER_TEXT];

    swt_format_double(rate, c->rate_hz, '.');
    fputs("name\tcomponent\ttype\ttracked_point\tunits\tsampling_frequency\treference_frame\n",
          stream);
    for (size_t p = 0; p < c->n_points; p++)
        for (int k = 0; k < 3 && is_position(c, p); k++) {
            put_cell(stream, c->label[p]);
            fprintf(stream, "_%c\t%c\tPOS\t", "xyz"[k], "xyz"[k]);
            put_cell(stream, c->label[p]);
            fprintf(stream, "\t%s\t%s\t%s\n", c->unit, rate, w->frame);
        }
    for (size_t a = 0; a < c->n_analog; a++) {
        put_cell(stream, c->analog[a].label);
        fputs("\tn/a\tMISC\tn/a\t", stream);
        put_cell(stream, c->analog[a].unit);
        fprintf(stream, "\t%s\tn/a\n", rate);
    }
}

/* In the order of their onsets, as the standard wants; events of one instant in the capture's. */
static void print_events(FILE *stream, const writer *w)
{
    const swt_capture *c = w->capture;
    double last = -HUGE_VAL, next;

    fputs("onset\tduration\ttrial_type\n", stream);
    do {
        next = HUGE_VAL;
        for (size_t i = 0; i < c->n_events; i++)
            if (c->event[i].time_s > last)
                next = fmin(next, c->event[i].time_s);
        for (size_t i = 0; i < c->n_events; i++)
            if (c->event[i].time_s == next) {
                put_number(stream, next, true);
                fputs("\t0\t", stream);
                put_cell(stream, c->event[i].label);
                fputc('\n', stream);
            }
        last = next;
    } while (next < HUGE_VAL);
}

/* ---- the sidecars ---- */

static void put_text(FILE *stream, const char *key, const char *text)
{
    if (!text || !*text)
        return;
    fputs(",\n  ", stream);
    swt_json_key(stream, key, 1);
    swt_json_string(stream, text);
}

static void put_value(FILE *stream, const char *key, double value)
{
    fputs(",\n  ", stream);
    swt_json_key(stream, key, 1);
    swt_json_number(stream, value);
}

static void print_facts(FILE *stream, const writer *w)
{
    const swt_capture *c = w->capture;
    const char *task = swt_bids_name_value(&w->name, "task");
    size_t positions = count_positions(c);

    fputs("{\n  ", stream);
    swt_json_key(stream, "TaskName", 1);
    swt_json_string(stream, w->about->task ? w->about->task : task);
    /* the schema holds it against the file's name */
    put_text(stream, "TrackingSystemName", swt_bids_name_value(&w->name, "tracksys"));
    put_value(stream, "SamplingFrequency", c->rate_hz);
    put_value(stream, "SamplingFrequencyEffective", c->rate_hz);
    put_value(stream, "RecordingDuration", (double)c->n_frames / c->rate_hz);
    put_value(stream, "MotionChannelCount", (double)(3 * positions + c->n_analog));
    put_value(stream, "TrackedPointsCount", (double)positions);
    put_value(stream, "POSChannelCount", (double)(3 * positions));
    put_value(stream, "MISCChannelCount", (double)c->n_analog);
    put_text(stream, "MissingValues", "n/a");
    put_text(stream, "SoftwareVersions", "swathe " SWT_VERSION);
    fputs("\n}\n", stream);
}

static void print_frame(FILE *stream, const writer *w)
{
    fputs("{\n  \"reference_frame\": {\n    \"Levels\": {\n      ", stream);
    swt_json_key(stream, w->frame, 1);
    fputs("{\n        \"Description\": ", stream);
    swt_json_string(stream, w->about->frame_words ? w->about->frame_words
                                                  : "Axes of the laboratory, as recorded.");
    if (w->about->spatial_axes) {
        fputs(",\n        \"SpatialAxes\": ", stream);
        swt_json_string(stream, w->about->spatial_axes);
    }
    fputs("\n      }\n    }\n  }\n}\n", stream);
}

static void print_event_words(FILE *stream, const writer *w)
{
    (void)w;
    fputs("{\n  \"trial_type\": {\n    \"Description\": \"Event of the recording; its onset counts "
          "in seconds from the first sample.\"\n  }\n}\n",
          stream);
}

/* ---- files ---- */

typedef void printer(FILE *stream, const writer *w);

/* `ending` takes the place of "_motion.tsv". */
static swt_status write_file(const writer *w, const char *ending, printer *print, swt_error *err)
{
    size_t stem = strlen(w->path) - strlen("_motion.tsv"), room = strlen(w->path) + 16;
    char *path = malloc(room);
    swt_file_draft draft;
    swt_status rc;

    if (!path)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    snprintf(path, room, "%.*s%s", (int)stem, w->path, ending);
    rc = swt_draft_open(&draft, path, err);
    if (rc == SWT_OK) {
        print(draft.stream, w);
        rc = swt_draft_commit(&draft, err);
    }
    free(path);
    return rc;
}

/* The recording comes last: with it, all that tells about it is there. */
static swt_status write_all(const writer *w, swt_error *err)
{
    swt_status rc = write_file(w, "_channels.tsv", print_channels, err);

    if (rc == SWT_OK)
        rc = write_file(w, "_channels.json", print_frame, err);
    if (rc == SWT_OK)
        rc = write_file(w, "_motion.json", print_facts, err);
    if (rc == SWT_OK && w->capture->n_events > 0)
        rc = write_file(w, "_events.tsv", print_events, err);
    if (rc == SWT_OK && w->capture->n_events > 0)
        rc = write_file(w, "_events.json", print_event_words, err);
    if (rc == SWT_OK)
        rc = write_file(w, "_motion.tsv", print_motion, err);
    return rc;
}

swt_status swt_bids_write(const char *path, const swt_capture *c, const swt_bids_about *about,
                          swt_error *err)
{
    static const swt_bids_about nothing = {0};
    writer w = {.capture = c, .about = about ? about : &nothing, .path = path};
    swt_status rc = swt_bids_name_check(&w.name, path, err);

    if (rc != SWT_OK)
        return rc;
    rc = check_capture(c, err);
    if (rc != SWT_OK) {
        swt_error_prefix(err, "%s", path);
        return rc;
    }
    w.frame = w.about->reference_frame ? w.about->reference_frame : "laboratory";
    w.analog = malloc((c->n_analog * c->n_frames + 1) * sizeof *w.analog);
    if (!w.analog)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t a = 0; a < c->n_analog; a++)
        swt_analog_at_points(w.analog + a * c->n_frames, c, a);
    rc = write_all(&w, err);
    free(w.analog);
    return rc;
}
