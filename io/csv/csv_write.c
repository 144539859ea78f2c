#include "io/csv/csv_write.h"

#include "base/analog.h"
#include "base/numtext.h"
#include "io/csv/csv_rows.h"
#include "io/files.h"
#include "io/names.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static swt_status check_labels(const swt_capture *c, swt_error *err)
{
    swt_names names = {0};
    swt_status rc = SWT_OK;
    size_t index;

    for (size_t i = 0; i < c->n_points && rc == SWT_OK; i++) {
        rc = swt_names_add(&index, &names, c->label[i], strlen(c->label[i]), err);
        if (rc == SWT_OK && (index != i || c->label[i][0] == '\0'))
            rc = swt_fail(err, SWT_EDATA,
                          "point %zu: label '%s' is empty or used before; columns need names of "
                          "their own",
                          i + 1, c->label[i]);
    }
    swt_names_reset(&names);
    return rc;
}

/* What every row needs. */
typedef struct writer {
    FILE *stream;
    const swt_capture *capture;
    const swt_csv_options *options;
    bool trust_residuals;
    double *analog; /* of the wide form: n_analog x n_frames, at the rate of the points */
} writer;

static void put_number(const writer *w, double value)
{
    char number[SWT_NUMBER_TEXT];

    if (value - value != 0)
        return; /* an empty cell */
    swt_format_double(number, value, w->options->decimal_mark);
    fputs(number, w->stream);
}

static void print_keys(const writer *w)
{
    char number[SWT_NUMBER_TEXT];

    if (w->capture->rate_hz > 0) {
        swt_format_double(number, w->capture->rate_hz, '.');
        fprintf(w->stream, "# rate_hz = %s\n", number);
    }
    if (w->capture->unit[0] != '\0')
        fprintf(w->stream, "# units = %s\n", w->capture->unit);
}

/* A column's name made of a label and what follows it. */
static swt_status put_name(const writer *w, const char *label, const char *end, swt_error *err)
{
    size_t length = strlen(label), more = strlen(end);
    char *name = malloc(length + more + 1);

    if (!name)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    memcpy(name, label, length);
    memcpy(name + length, end, more + 1);
    fputc(w->options->delimiter, w->stream);
    swt_csv_put_cell(w->stream, name, w->options->delimiter);
    free(name);
    return SWT_OK;
}

static swt_status print_wide_header(const writer *w, swt_error *err)
{
    static const char *const axis[] = {".x", ".y", ".z"};
    const swt_capture *c = w->capture;
    swt_status rc = SWT_OK;

    fputs("frame", w->stream);
    if (c->rate_hz > 0)
        fprintf(w->stream, "%ctime_s", w->options->delimiter);
    for (size_t i = 0; i < c->n_points; i++)
        for (int k = 0; k < 3 && rc == SWT_OK; k++)
            rc = put_name(w, c->label[i], axis[k], err);
    for (size_t i = 0; i < c->n_analog && rc == SWT_OK; i++) {
        char end[64] = " analog"; /* no axis at its end, so that no reader takes it for a marker */
        if (c->analog[i].unit[0] != '\0')
            snprintf(end, sizeof end, " analog (%.40s)", c->analog[i].unit);
        rc = put_name(w, c->analog[i].label, end, err);
    }
    fputc('\n', w->stream);
    return rc;
}

static void print_instant(const writer *w, size_t f)
{
    fprintf(w->stream, "%ld", w->capture->first_frame + (long)f);
    if (w->capture->rate_hz > 0) {
        fputc(w->options->delimiter, w->stream);
        put_number(w, (double)f / w->capture->rate_hz);
    }
}

static void print_point(const writer *w, size_t f, size_t p)
{
    const swt_capture *c = w->capture;
    bool keep = w->options->keep_invalid || swt_capture_has_point(c, f, p, w->trust_residuals);

    for (size_t k = 0; k < 3; k++) {
        fputc(w->options->delimiter, w->stream);
        put_number(w, keep ? c->xyz[3 * (f * c->n_points + p) + k] : nan(""));
    }
}

static void print_wide_frame(const writer *w, size_t f)
{
    print_instant(w, f);
    for (size_t p = 0; p < w->capture->n_points; p++)
        print_point(w, f, p);
    for (size_t i = 0; i < w->capture->n_analog; i++) {
        fputc(w->options->delimiter, w->stream);
        put_number(w, w->analog[i * w->capture->n_frames + f]);
    }
    fputc('\n', w->stream);
}

static void print_long_frame(const writer *w, size_t f)
{
    for (size_t p = 0; p < w->capture->n_points; p++) {
        swt_csv_put_cell(w->stream, w->capture->label[p], w->options->delimiter);
        fputc(w->options->delimiter, w->stream);
        print_instant(w, f);
        print_point(w, f, p);
        fputc('\n', w->stream);
    }
}

static swt_status print_wide(writer *w, swt_error *err)
{
    const swt_capture *c = w->capture;
    swt_status rc;

    w->analog = malloc((c->n_analog * c->n_frames + 1) * sizeof *w->analog);
    if (!w->analog)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; i < c->n_analog; i++)
        swt_analog_at_points(w->analog + i * c->n_frames, c, i);
    rc = print_wide_header(w, err);
    for (size_t f = 0; f < c->n_frames && rc == SWT_OK; f++)
        print_wide_frame(w, f);
    free(w->analog);
    return rc;
}

static void print_long(const writer *w)
{
    char d = w->options->delimiter;

    fprintf(w->stream, "marker%cframe", d);
    if (w->capture->rate_hz > 0)
        fprintf(w->stream, "%ctime_s", d);
    fprintf(w->stream, "%cx%cy%cz\n", d, d, d);
    for (size_t f = 0; f < w->capture->n_frames; f++)
        print_long_frame(w, f);
}

swt_status swt_csv_print(FILE *stream, const swt_capture *c, const swt_csv_options *options,
                         swt_error *err)
{
    static const swt_csv_options usual = SWT_CSV_OPTIONS_INIT;
    writer w = {stream, c, options ? options : &usual, swt_capture_residuals_mean_something(c),
                NULL};
    swt_status rc;

    if (w.options->delimiter == w.options->decimal_mark)
        return swt_fail(err, SWT_EARG, "'%c' cannot be both delimiter and decimal mark",
                        w.options->delimiter);
    rc = check_labels(c, err);
    if (rc != SWT_OK)
        return rc;
    print_keys(&w);
    if (!w.options->is_long)
        return print_wide(&w, err);
    print_long(&w);
    return SWT_OK;
}

swt_status swt_csv_write(const char *path, const swt_capture *capture,
                         const swt_csv_options *options, swt_error *err)
{
    swt_file_draft draft;
    swt_status rc = swt_draft_open(&draft, path, err);

    if (rc != SWT_OK)
        return rc;
    rc = swt_csv_print(draft.stream, capture, options, err);
    if (rc == SWT_OK)
        return swt_draft_commit(&draft, err);
    swt_draft_discard(&draft);
    swt_error_prefix(err, "%s", path);
    return rc;
}
