#include "io/capture/inspect.h"

#include "base/numtext.h"
#include "io/capture/csv_rows.h"
#include "io/capture/inspect_text.h"

#include <math.h>
#include <stdlib.h>

enum { FRAMES_AT_ONCE = 8 };

/* Comparisons with a NaN are false, so that it moves no bound; fmin and fmax would do the same, but
   as calls. */
static inline void take_position(swt_point_summary *s, const double xyz[3])
{
    s->last_gap = 0;
    s->n_present++;
    for (size_t k = 0; k < 3; k++) {
        s->low[k] = xyz[k] < s->low[k] ? xyz[k] : s->low[k];
        s->high[k] = xyz[k] > s->high[k] ? xyz[k] : s->high[k];
    }
}

static inline void take_gap(swt_point_summary *s)
{
    if (++s->last_gap > s->longest_gap)
        s->longest_gap = s->last_gap;
}

void swt_inspect_points(swt_point_summary *out, const swt_capture *c)
{
    bool trust_residuals = swt_capture_residuals_mean_something(c);

    for (size_t p = 0; p < c->n_points; p++)
        out[p] = (swt_point_summary){.low = {HUGE_VAL, HUGE_VAL, HUGE_VAL},
                                     .high = {-HUGE_VAL, -HUGE_VAL, -HUGE_VAL}};
    /* some frames of one point at a time: they stay in the cache, and its summary in registers */
    for (size_t first = 0; first < c->n_frames; first += FRAMES_AT_ONCE)
        for (size_t p = 0; p < c->n_points; p++) {
            swt_point_summary s = out[p];
            size_t end =
                first + FRAMES_AT_ONCE < c->n_frames ? first + FRAMES_AT_ONCE : c->n_frames;
            for (size_t f = first; f < end; f++) {
                if (swt_capture_has_point(c, f, p, trust_residuals))
                    take_position(&s, c->xyz + 3 * (f * c->n_points + p));
                else
                    take_gap(&s);
            }
            out[p] = s;
        }
    for (size_t p = 0; p < c->n_points; p++)
        for (size_t k = 0; k < 3 && out[p].n_present == 0; k++)
            out[p].low[k] = out[p].high[k] = nan("");
}

double swt_inspect_duration_s(const swt_capture *c)
{
    return c->rate_hz > 0 ? (double)c->n_frames / c->rate_hz : nan("");
}

size_t swt_inspect_computed(const swt_capture *c)
{
    size_t n = 0;

    for (size_t p = 0; c->is_computed && p < c->n_points; p++)
        n += c->is_computed[p];
    return n;
}

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
    swt_inspect_points(points, c);
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
