#include "io/capture/inspect.h"

#include "base/numtext.h"
#include "io/capture/inspect_text.h"
#include "io/capture/point_summary.h"
#include "io/csv/csv_rows.h"

#include <math.h>
#include <stdlib.h>

void swt_inspect_begin(FILE *stream, swt_inspect_form form)
{
    if (form == SWT_INSPECT_CSV)
        fputs("file,label,description,kind,frames,rate_hz,unit,frames_present,fraction_present,"
              "longest_gap_frames,x_min,x_max,y_min,y_max,z_min,z_max\n",
              stream);
}

static void put_number(FILE *stream, double value)
{
    char text[SWT_NUMBER_TEXT];

    fputc(',', stream);
    if (!isfinite(value))
        return; /* an empty cell */
    swt_format_double(text, value, '.');
    fputs(text, stream);
}

static void print_rows(FILE *stream, const swt_capture *c, const char *path,
                       const swt_point_summary *points)
{
    for (size_t p = 0; p < c->n_points; p++) {
        const swt_point_summary *s = &points[p];
        swt_csv_put_cell(stream, path, ',');
        fputc(',', stream);
        swt_csv_put_cell(stream, c->label[p], ',');
        fputc(',', stream);
        swt_csv_put_cell(stream, c->description[p], ',');
        fputs(c->is_computed && c->is_computed[p] ? ",computed" : ",position", stream);
        fprintf(stream, ",%zu", c->n_frames);
        put_number(stream, c->rate_hz > 0 ? c->rate_hz : nan(""));
        fputc(',', stream);
        swt_csv_put_cell(stream, c->unit, ',');
        fprintf(stream, ",%zu", s->n_present);
        put_number(stream, c->n_frames ? (double)s->n_present / (double)c->n_frames : nan(""));
        fprintf(stream, ",%zu", s->longest_gap);
        for (size_t k = 0; k < 3; k++) {
            put_number(stream, s->low[k]);
            put_number(stream, s->high[k]);
        }
        fputc('\n', stream);
    }
}

swt_status swt_inspect_print(FILE *stream, const swt_capture *c, const char *path,
                             swt_inspect_form form, swt_error *err)
{
    swt_point_summary *points = malloc((c->n_points + 1) * sizeof *points);

    if (!points)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    swt_point_summaries(points, c);
    switch (form) {
    case SWT_INSPECT_TEXT:
        swt_inspect_text(stream, c, path, points);
        break;
    case SWT_INSPECT_JSON:
        swt_inspect_json(stream, c, path, points);
        break;
    case SWT_INSPECT_CSV:
        print_rows(stream, c, path, points);
        break;
    }
    free(points);
    return SWT_OK;
}
