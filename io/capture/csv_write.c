#include "io/capture/csv_write.h"

#include "base/numtext.h"
#include "io/capture/csv_rows.h"
#include "io/files.h"
#include "io/names.h"

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

static swt_status print_header(FILE *stream, const swt_capture *c, const swt_csv_options *options,
                               swt_error *err)
{
    char number[SWT_NUMBER_TEXT];

    if (c->rate_hz > 0) {
        swt_format_double(number, c->rate_hz, '.');
        fprintf(stream, "# rate_hz = %s\n", number);
    }
    if (c->unit[0] != '\0')
        fprintf(stream, "# units = %s\n", c->unit);
    fputs("frame", stream);
    if (c->rate_hz > 0)
        fprintf(stream, "%ctime_s", options->delimiter);
    for (size_t i = 0; i < c->n_points; i++) {
        size_t length = strlen(c->label[i]);
        char *name = malloc(length + 3);
        if (!name)
            return swt_fail(err, SWT_ENOMEM, "out of memory");
        memcpy(name, c->label[i], length);
        for (int k = 0; k < 3; k++) {
            name[length] = '.';
            name[length + 1] = "xyz"[k];
            name[length + 2] = '\0';
            fputc(options->delimiter, stream);
            swt_csv_put_cell(stream, name, options->delimiter);
        }
        free(name);
    }
    fputc('\n', stream);
    return SWT_OK;
}

static void print_frame(FILE *stream, const swt_capture *c, size_t f,
                        const swt_csv_options *options, bool trust_residuals)
{
    char number[SWT_NUMBER_TEXT];

    fprintf(stream, "%ld", c->first_frame + (long)f);
    if (c->rate_hz > 0) {
        swt_format_double(number, (double)f / c->rate_hz, options->decimal_mark);
        fprintf(stream, "%c%s", options->delimiter, number);
    }
    for (size_t p = 0; p < c->n_points; p++) {
        bool keep = options->keep_invalid || swt_capture_has_point(c, f, p, trust_residuals);
        for (size_t k = 0; k < 3; k++) {
            double value = c->xyz[3 * (f * c->n_points + p) + k];
            fputc(options->delimiter, stream);
            if (!keep || value - value != 0)
                continue;
            swt_format_double(number, value, options->decimal_mark);
            fputs(number, stream);
        }
    }
    fputc('\n', stream);
}

swt_status swt_csv_print(FILE *stream, const swt_capture *c, const swt_csv_options *options,
                         swt_error *err)
{
    static const swt_csv_options usual = SWT_CSV_OPTIONS_INIT;
    bool trust_residuals = swt_capture_residuals_mean_something(c);
    swt_status rc;

    options = options ? options : &usual;
    if (options->delimiter == options->decimal_mark)
        return swt_fail(err, SWT_EARG, "'%c' cannot be both delimiter and decimal mark",
                        options->delimiter);
    rc = check_labels(c, err);
    if (rc == SWT_OK)
        rc = print_header(stream, c, options, err);
    for (size_t f = 0; f < c->n_frames && rc == SWT_OK; f++)
        print_frame(stream, c, f, options, trust_residuals);
    return rc;
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
