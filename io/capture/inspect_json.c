#include "io/capture/inspect_text.h"

#include "io/json.h"

#include <math.h>
#include <string.h>

static void text_member(FILE *stream, const char *key, const char *text, int is_first)
{
    swt_json_key(stream, key, is_first);
    swt_json_string(stream, text);
}

static void number_member(FILE *stream, const char *key, double value)
{
    swt_json_key(stream, key, 0);
    swt_json_number(stream, value);
}

static void three(FILE *stream, const char *key, const double value[3])
{
    swt_json_key(stream, key, 0);
    for (int k = 0; k < 3; k++) {
        fputs(k == 0 ? "[" : ", ", stream);
        swt_json_number(stream, value[k]);
    }
    fputc(']', stream);
}

static void put_points(FILE *stream, const swt_capture *c, const swt_point_summary *points)
{
    swt_json_key(stream, "points", 0);
    fputc('[', stream);
    for (size_t p = 0; p < c->n_points; p++) {
        const swt_point_summary *s = &points[p];
        fputs(p == 0 ? "{" : ", {", stream);
        text_member(stream, "label", c->label[p], 1);
        text_member(stream, "description", c->description[p], 0);
        swt_json_key(stream, "computed", 0);
        fputs(c->is_computed && c->is_computed[p] ? "true" : "false", stream);
        number_member(stream, "frames_present", (double)s->n_present);
        number_member(stream, "fraction_present",
                      c->n_frames ? (double)s->n_present / (double)c->n_frames : nan(""));
        number_member(stream, "longest_gap_frames", (double)s->longest_gap);
        three(stream, "low", s->low);
        three(stream, "high", s->high);
        fputc('}', stream);
    }
    fputc(']', stream);
}

/* The list "A:, B:" as an array. */
static void put_subjects(FILE *stream, const swt_capture *c)
{
    char list[2000], *at = list;

    swt_json_key(stream, "subjects", 0);
    fputc('[', stream);
    (void)swt_capture_subjects(list, sizeof list, c);
    while (*at) {
        char *end = strstr(at, ", ");
        size_t length = end ? (size_t)(end - at) : strlen(at);
        bool last = !end;
        at[length] = '\0';
        fputs(at == list ? "" : ", ", stream);
        if (length > 0 && at[length - 1] == ':')
            at[length - 1] = '\0';
        swt_json_string(stream, at);
        at += length + (last ? 0 : 2);
    }
    fputc(']', stream);
}

static void put_events(FILE *stream, const swt_capture *c)
{
    swt_json_key(stream, "events", 0);
    fputc('[', stream);
    for (size_t i = 0; i < c->n_events; i++) {
        fputs(i == 0 ? "{" : ", {", stream);
        text_member(stream, "label", c->event[i].label, 1);
        text_member(stream, "context", c->event[i].context, 0);
        number_member(stream, "time_s", c->event[i].time_s);
        fputc('}', stream);
    }
    fputc(']', stream);
}

static void put_range(FILE *stream, const swt_capture *c, size_t channel)
{
    double low = nan(""), high = nan("");

    for (size_t i = 0; i < c->n_frames * c->analog_per_frame; i++) {
        low = fmin(low, c->analog[channel].sample[i]); /* fmin and fmax pass over a NaN */
        high = fmax(high, c->analog[channel].sample[i]);
    }
    number_member(stream, "low", low);
    number_member(stream, "high", high);
}

static void put_analog(FILE *stream, const swt_capture *c)
{
    swt_json_key(stream, "analog", 0);
    fputc('[', stream);
    for (size_t k = 0; k < c->n_analog; k++) {
        fputs(k == 0 ? "{" : ", {", stream);
        text_member(stream, "label", c->analog[k].label, 1);
        text_member(stream, "unit", c->analog[k].unit, 0);
        put_range(stream, c, k);
        fputc('}', stream);
    }
    fputc(']', stream);
}

void swt_inspect_json(FILE *stream, const swt_capture *c, const char *path,
                      const swt_point_summary *points)
{
    fputc('{', stream);
    text_member(stream, "file", path, 1);
    text_member(stream, "format", c->format, 0);
    number_member(stream, "frames", (double)c->n_frames);
    number_member(stream, "first_frame", (double)c->first_frame);
    number_member(stream, "rate_hz", c->rate_hz > 0 ? c->rate_hz : nan(""));
    number_member(stream, "duration_s", swt_capture_duration_s(c));
    text_member(stream, "unit", c->unit, 0);
    text_member(stream, "up_axis", c->up_axis, 0);
    put_subjects(stream, c);
    put_points(stream, c, points);
    put_events(stream, c);
    number_member(stream, "analog_samples_per_frame", (double)c->analog_per_frame);
    put_analog(stream, c);
    swt_json_key(stream, "warnings", 0);
    fputc('[', stream);
    for (size_t i = 0; i < c->n_warnings; i++) {
        fputs(i == 0 ? "" : ", ", stream);
        swt_json_string(stream, c->warning[i]);
    }
    fputs("]}\n", stream);
}
