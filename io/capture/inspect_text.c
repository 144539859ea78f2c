#include "io/capture/inspect_text.h"

#include "io/text.h"

#include <math.h>
#include <string.h>

enum { MOST_LABEL_COLUMNS = 32 };

/* Control characters in a file's labels must not reach the terminal; C1 ones neither. */
static void put_text(FILE *stream, const char *text)
{
    for (const unsigned char *p = (const unsigned char *)text; *p; p++) {
        if (*p == 0xc2 && p[1] >= 0x80 && p[1] <= 0x9f) {
            fputc('?', stream);
            p++;
        } else {
            fputc(*p < 0x20 || *p == 0x7f ? '?' : *p, stream);
        }
    }
}

static void put_padded(FILE *stream, const char *text, size_t columns)
{
    put_text(stream, text);
    for (size_t n = swt_text_width(text); n < columns; n++)
        fputc(' ', stream);
}

/* As many decimals as laboratories give: tenths of a millimetre. */
static int decimals(const swt_capture *c)
{
    double metres = swt_metres_per_unit(c->unit);

    if (metres == 0)
        return 3;
    return metres <= 0.001 ? 1 : metres <= 0.01 ? 2 : 4;
}

static void print_facts(FILE *stream, const swt_capture *c)
{
    size_t computed = swt_capture_n_computed(c), subjects;
    char list[300];

    fprintf(stream, "  format    %s\n", c->format);
    fprintf(stream, "  frames    %zu", c->n_frames);
    if (c->n_frames > 0)
        fprintf(stream, " (numbers %ld to %ld)", c->first_frame,
                c->first_frame + (long)c->n_frames - 1);
    if (c->rate_hz > 0)
        fprintf(stream, ", %.6g Hz, %.3f s\n", c->rate_hz, swt_capture_duration_s(c));
    else
        fputs(", rate not stated\n", stream);
    fputs("  unit      ", stream);
    put_text(stream, c->unit[0] ? c->unit : "not stated");
    fputc('\n', stream);
    if (c->up_axis[0] != '\0') {
        fputs("  up axis   ", stream);
        put_text(stream, c->up_axis);
        fputs(", the file's own hint\n", stream);
    }
    fprintf(stream, "  points    %zu", c->n_points);
    if (computed > 0)
        fprintf(stream, ", %zu of them computed (angles, forces and the like)", computed);
    fputc('\n', stream);
    subjects = swt_capture_subjects(list, sizeof list, c);
    if (subjects > 0) {
        fprintf(stream, "  subjects  %zu: ", subjects);
        put_text(stream, list);
        fputc('\n', stream);
    }
}

static void print_points(FILE *stream, const swt_capture *c, const swt_point_summary *points)
{
    size_t columns = strlen("label");
    int digits = decimals(c);
    bool described = false;

    for (size_t p = 0; p < c->n_points; p++) {
        size_t width = swt_text_width(c->label[p]);
        columns = width > columns ? width : columns;
        described |= c->description[p][0] != '\0';
    }
    if (columns > MOST_LABEL_COLUMNS)
        columns = MOST_LABEL_COLUMNS;
    fputs("\n  ", stream);
    put_padded(stream, "label", columns);
    fprintf(stream, "  present  longest gap  %19s  %19s  %19s%s\n", "x from .. to", "y from .. to",
            "z from .. to", described ? "  description" : "");
    for (size_t p = 0; p < c->n_points; p++) {
        const swt_point_summary *s = &points[p];
        double percent = c->n_frames ? 100.0 * (double)s->n_present / (double)c->n_frames : 0;
        fputs("  ", stream);
        put_padded(stream, c->label[p], columns);
        /* rounded down, so that 100 % means every frame */
        fprintf(stream, "  %6.1f%%  %11zu", floor(percent * 10) / 10, s->longest_gap);
        for (size_t k = 0; k < 3; k++) {
            if (s->n_present > 0)
                fprintf(stream, "  %9.*f %9.*f", digits, s->low[k], digits, s->high[k]);
            else
                fprintf(stream, "  %19s", "never seen");
        }
        if (c->is_computed && c->is_computed[p])
            fputs("  (computed)", stream);
        if (c->description[p][0] != '\0') {
            fputs("  ", stream);
            put_text(stream, c->description[p]);
        }
        fputc('\n', stream);
    }
}

static void print_events(FILE *stream, const swt_capture *c)
{
    fprintf(stream, "\n  %zu event%s, seconds after the first frame\n", c->n_events,
            c->n_events == 1 ? "" : "s");
    for (size_t i = 0; i < c->n_events; i++) {
        fprintf(stream, "  %9.4f  ", c->event[i].time_s);
        put_text(stream, c->event[i].label);
        if (c->event[i].context[0] != '\0') {
            fputs(" (", stream);
            put_text(stream, c->event[i].context);
            fputc(')', stream);
        }
        fputc('\n', stream);
    }
}

static void print_analog(FILE *stream, const swt_capture *c)
{
    size_t n = c->n_frames * c->analog_per_frame;

    fprintf(stream, "\n  %zu analog channel%s, %zu sample%s a frame", c->n_analog,
            c->n_analog == 1 ? "" : "s", c->analog_per_frame, c->analog_per_frame == 1 ? "" : "s");
    if (c->rate_hz > 0)
        fprintf(stream, ", %.6g Hz", c->rate_hz * (double)c->analog_per_frame);
    fputc('\n', stream);
    for (size_t k = 0; k < c->n_analog; k++) {
        double low = nan(""), high = nan("");
        for (size_t i = 0; i < n; i++) {
            low = fmin(low, c->analog[k].sample[i]);
            high = fmax(high, c->analog[k].sample[i]);
        }
        fprintf(stream, "  %12.6g .. %-12.6g  ", low, high);
        put_text(stream, c->analog[k].label);
        if (c->analog[k].unit[0] != '\0') {
            fputs(" (", stream);
            put_text(stream, c->analog[k].unit);
            fputc(')', stream);
        }
        fputc('\n', stream);
    }
}

void swt_inspect_text(FILE *stream, const swt_capture *c, const char *path,
                      const swt_point_summary *points)
{
    put_text(stream, path);
    fputc('\n', stream);
    print_facts(stream, c);
    for (size_t i = 0; i < c->n_warnings; i++) {
        fputs("  note      ", stream);
        put_text(stream, c->warning[i]);
        fputc('\n', stream);
    }
    if (c->n_points > 0)
        print_points(stream, c, points);
    if (c->n_events > 0)
        print_events(stream, c);
    if (c->n_analog > 0)
        print_analog(stream, c);
    fputc('\n', stream);
}
