#include "io/bids/bids_read.h"

#include "base/numtext.h"
#include "io/bids/bids_name.h"
#include "io/csv/csv_frames.h"
#include "io/csv/csv_rows.h"
#include "io/csv/csv_table.h"
#include "io/files.h"
#include "io/text.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* ---- the table of samples ---- */

typedef struct samples {
    const swt_bids_channels *channels;
    const char *missing; /* the file's own spelling of a missing value, "" = none */
    swt_csv_list value;  /* channels->n a row */
    swt_csv_list line;
    size_t n_rows;
    bool had_header;
} samples;

static bool repeats_the_names(const samples *s, const swt_csv_row *row)
{
    for (size_t i = 0; i < row->n_cells; i++)
        if (row->cell[i].length != strlen(s->channels->channel[i].name) ||
            memcmp(row->cell[i].text, s->channels->channel[i].name, row->cell[i].length) != 0)
            return false;
    return true;
}

static bool is_missing(const samples *s, swt_csv_cell c)
{
    size_t n = strlen(s->missing);

    return (n > 0 && c.length == n && memcmp(c.text, s->missing, n) == 0) ||
           swt_text_is_missing(c.text, c.length);
}

static swt_status take_row(void *context, const swt_csv_row *row, swt_error *err)
{
    samples *s = context;
    swt_status rc = SWT_OK;

    if (row->n_cells != s->channels->n)
        return swt_fail(err, SWT_EFORMAT,
                        "line %zu: %zu cells, but the table of channels has %zu rows; a recording "
                        "has a column for each channel",
                        row->line, row->n_cells, s->channels->n);
    if (s->n_rows == 0 && !s->had_header && repeats_the_names(s, row)) {
        s->had_header = true;
        return SWT_OK;
    }
    for (size_t i = 0; i < row->n_cells && rc == SWT_OK; i++) {
        swt_csv_cell c = row->cell[i];
        double value = nan("");
        char excerpt[SWT_EXCERPT];
        if (!is_missing(s, c) && !swt_parse_double(&value, c.text, c.length, '.') &&
            s->channels->channel[i].kind != SWT_BIDS_OTHER)
            return swt_fail(err, SWT_EFORMAT,
                            "line %zu, column %zu (%s): '%s' is not a number; a missing value is "
                            "n/a",
                            row->line, i + 1, s->channels->channel[i].name,
                            swt_text_excerpt(excerpt, c.text, c.length));
        rc = swt_csv_list_add(&s->value, value, err);
    }
    if (rc == SWT_OK)
        rc = swt_csv_list_add(&s->line, (double)row->line, err);
    s->n_rows++;
    return rc;
}

/* ---- which channels make which points ---- */

typedef struct points {
    swt_names names;
    size_t (*channel)[3]; /* of each point; SIZE_MAX where it has none */
    size_t n;             /* whole ones, moved to the front            */
    double *scale;        /* of each, to the capture's unit            */
    const char *unit;
} points;

static swt_status place_channels(points *p, const swt_bids_channels *channels, swt_error *err)
{
    p->channel = malloc((channels->n + 1) * sizeof *p->channel);
    p->scale = malloc((channels->n + 1) * sizeof *p->scale);
    if (!p->channel || !p->scale)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; i < channels->n; i++) {
        const swt_bids_channel *c = &channels->channel[i];
        size_t before = p->names.n, which;
        if (c->kind != SWT_BIDS_POSITION)
            continue;
        if (swt_names_add(&which, &p->names, c->point, strlen(c->point), err) != SWT_OK)
            return SWT_ENOMEM;
        for (int k = 0; k < 3 && which == before; k++)
            p->channel[which][k] = SIZE_MAX;
        if (p->channel[which][c->axis] != SIZE_MAX)
            return swt_fail(err, SWT_EFORMAT,
                            "the table of channels gives component %c of point '%s' twice, "
                            "channels %s and %s",
                            "xyz"[c->axis], c -> point,
                            channels -> channel[p->channel[which][c->axis]].name, c->name);
        p->channel[which][c->axis] = i;
    }
    return SWT_OK;
}

/* Points of fewer than three components are left aside. */
static void keep_whole_ones(points *p, swt_capture *notes)
{
    size_t aside = 0;

    for (size_t i = 0; i < p->names.n; i++) {
        const size_t *c = p->channel[i];
        if (c[0] == SIZE_MAX || c[1] == SIZE_MAX || c[2] == SIZE_MAX) {
            if (aside++ == 0)
                swt_capture_warn(notes, "point '%s' has not all of x, y and z and is left aside",
                                 p->names.name[i]);
            continue;
        }
        memmove(p->channel[p->n], c, sizeof *p->channel);
        p->n++;
    }
    if (aside > 1)
        swt_capture_warn(notes, "%zu further points are left aside for the same reason", aside - 1);
}

static swt_status settle_units(points *p, const swt_bids_channels *channels, swt_capture *notes,
                               swt_error *err)
{
    size_t other = 0;

    for (size_t i = 0; i < p->n; i++) {
        const char *unit = channels->channel[p->channel[i][0]].unit;
        double metres = swt_metres_per_unit(unit), first;
        for (int k = 1; k < 3; k++)
            if (strcmp(unit, channels->channel[p->channel[i][k]].unit) != 0)
                return swt_fail(err, SWT_EFORMAT,
                                "the table of channels gives point '%s' two units, '%s' and '%s'",
                                channels->channel[p->channel[i][0]].point, unit,
                                channels->channel[p->channel[i][k]].unit);
        if (i == 0)
            p->unit = unit;
        first = swt_metres_per_unit(p->unit);
        p->scale[i] = 1;
        if (strcmp(unit, p->unit) == 0)
            continue;
        if (!(metres > 0 && first > 0))
            return swt_fail(err, SWT_EFORMAT,
                            "the table of channels has positions in '%s' and in '%s', of which one "
                            "is no length unit that is known here",
                            p->unit, unit);
        p->scale[i] = metres / first;
        other++;
    }
    if (other > 0)
        swt_capture_warn(notes, "%zu points are in another length unit and are converted to '%s'",
                         other, p->unit);
    return SWT_OK;
}

/* ---- rate and frames ---- */

static swt_status channel_rate(double *rate_hz, const swt_bids_channels *channels, swt_error *err)
{
    *rate_hz = 0;
    for (size_t i = 0; i < channels->n; i++) {
        const swt_bids_channel *c = &channels->channel[i];
        if (c->kind != SWT_BIDS_POSITION || !(c->rate_hz > 0))
            continue;
        if (*rate_hz > 0 && fabs(c->rate_hz - *rate_hz) > 0.001 * *rate_hz)
            return swt_fail(err, SWT_EFORMAT,
                            "the table of channels gives positions two rates, %g Hz and %g Hz",
                            *rate_hz, c->rate_hz);
        if (*rate_hz == 0)
            *rate_hz = c->rate_hz;
    }
    return SWT_OK;
}

static swt_status settle_rate(double *rate_hz, const swt_bids_channels *channels,
                              const swt_bids_facts *facts, swt_capture *notes, swt_error *err)
{
    double own;
    swt_status rc = channel_rate(&own, channels, err);

    if (rc != SWT_OK)
        return rc;
    *rate_hz = facts->effective_hz > 0 ? facts->effective_hz
               : facts->nominal_hz > 0 ? facts->nominal_hz
                                       : own;
    if (facts->effective_hz > 0 && facts->nominal_hz > 0 &&
        fabs(facts->effective_hz - facts->nominal_hz) > 0.001 * facts->nominal_hz)
        swt_capture_warn(notes, "the effective rate of %.9g Hz is used, not the nominal %.9g Hz",
                         facts->effective_hz, facts->nominal_hz);
    if (own > 0 && fabs(own - *rate_hz) > 0.001 * *rate_hz)
        swt_capture_warn(notes, "the table of channels says %.9g Hz; %.9g Hz is used", own,
                         *rate_hz);
    if (*rate_hz == 0)
        swt_capture_warn(notes, "neither the sidecar nor the channels state a frame rate");
    return SWT_OK;
}

static size_t find_kind(const swt_bids_channels *channels, swt_bids_kind kind)
{
    for (size_t i = 0; i < channels->n; i++)
        if (channels->channel[i].kind == kind)
            return i;
    return SIZE_MAX;
}

static swt_status place_frames(swt_csv_frames *frames, const samples *s, double rate_hz,
                               swt_error *err)
{
    size_t latency = find_kind(s->channels, SWT_BIDS_LATENCY), n = s->n_rows;
    double *time_s = malloc((n + 1) * sizeof *time_s);
    size_t *line = malloc((n + 1) * sizeof *line);
    swt_csv_instants in = {n, NULL, NULL, line, rate_hz};
    swt_status rc;

    if (!time_s || !line) {
        free(time_s);
        free(line);
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    }
    for (size_t i = 0; i < n; i++) {
        line[i] = (size_t)s->line.value[i];
        time_s[i] = latency == SIZE_MAX ? 0 : s->value.value[i * s->channels->n + latency];
    }
    if (latency != SIZE_MAX)
        in.time_s = time_s;
    rc = swt_csv_frames_place(frames, &in, err);
    free(time_s);
    free(line);
    return rc;
}

/* ---- the capture ---- */

static void fill_points(swt_capture *c, const points *p, const samples *s, const size_t *index)
{
    for (size_t i = 0; i < s->n_rows; i++) {
        const double *row = s->value.value + i * s->channels->n;
        double *xyz = c->xyz + 3 * index[i] * c->n_points;
        for (size_t k = 0; k < p->n; k++)
            for (int a = 0; a < 3; a++)
                *xyz++ = row[p->channel[k][a]] * p->scale[k];
    }
}

static swt_status add_misc(swt_capture *c, const samples *s, const size_t *index, swt_error *err)
{
    size_t n = 0, other = 0;

    for (size_t i = 0; i < s->channels->n; i++) {
        n += s->channels->channel[i].kind == SWT_BIDS_MISC;
        other += s->channels->channel[i].kind == SWT_BIDS_OTHER;
    }
    if (other > 0)
        swt_capture_warn(c,
                         "%zu channels are neither positions nor MISC and are left aside, the "
                         "first of them %s",
                         other, s->channels->channel[find_kind(s->channels, SWT_BIDS_OTHER)].name);
    if (n == 0)
        return SWT_OK;
    c->analog = calloc(n, sizeof *c->analog);
    if (!c->analog)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    c->analog_per_frame = 1;
    for (size_t i = 0; i < s->channels->n; i++) {
        const swt_bids_channel *channel = &s->channels->channel[i];
        swt_capture_analog *a;
        if (channel->kind != SWT_BIDS_MISC)
            continue;
        a = &c->analog[c->n_analog++];
        a->sample = malloc((c->n_frames + 1) * sizeof *a->sample);
        if (!a->sample || swt_string_set(&a->label, channel->name, err) != SWT_OK ||
            swt_string_set(&a->unit, channel->unit, err) != SWT_OK)
            return swt_fail(err, SWT_ENOMEM, "out of memory");
        for (size_t f = 0; f < c->n_frames; f++)
            a->sample[f] = nan("");
        for (size_t row = 0; row < s->n_rows; row++)
            a->sample[index[row]] = s->value.value[row * s->channels->n + i];
    }
    return SWT_OK;
}

/* Of a frame's three letters the one for up or down tells which axis is vertical. */
static void up_axis(char out[4], const char *spatial_axes)
{
    out[0] = '\0';
    for (size_t i = 0; i < 3 && spatial_axes[i]; i++)
        if (strchr("SUID", spatial_axes[i])) {
            out[0] = strchr("SU", spatial_axes[i]) ? '+' : '-';
            out[1] = "XYZ"[i];
            out[2] = '\0';
        }
}

static swt_status describe(swt_capture *c, const points *p, const samples *s,
                           const swt_csv_frames *frames, const swt_bids_facts *facts,
                           swt_error *err)
{
    char format[128], axis[4];
    swt_status rc = SWT_OK;

    c->rate_hz = frames->rate_hz;
    up_axis(axis, facts->spatial_axes);
    snprintf(format, sizeof format, "BIDS motion%s%s",
             facts->tracking_system[0] ? ", tracking system " : "", facts->tracking_system);
    for (size_t i = 0; i < p->n && rc == SWT_OK; i++)
        rc = swt_string_set(&c->label[i], s->channels->channel[p->channel[i][0]].point, err);
    if (rc == SWT_OK)
        rc = swt_string_set(&c->unit, p->unit, err);
    if (rc == SWT_OK)
        rc = swt_string_set(&c->up_axis, axis, err);
    if (rc == SWT_OK)
        rc = swt_string_set(&c->format, format, err);
    if (s->had_header)
        swt_capture_warn(c, "the first row repeats the channels' names, which BIDS forbids");
    if (p->unit[0] == '\0')
        swt_capture_warn(c, "the table of channels states no length unit");
    else if (swt_metres_per_unit(p->unit) == 0)
        swt_capture_warn(c, "'%s' is not a length unit that is known here", p->unit);
    if (c->n_frames > s->n_rows)
        swt_capture_warn(c, "%zu of %zu frames are absent from the file and stay empty",
                         c->n_frames - s->n_rows, c->n_frames);
    return rc;
}

static void move_warnings(swt_capture *to, swt_capture *from)
{
    to->warning = from->warning;
    to->n_warnings = from->n_warnings;
    from->warning = NULL;
    from->n_warnings = 0;
}

static swt_status assemble(swt_capture **out, points *p, const samples *s,
                           const swt_bids_facts *facts, swt_error *err)
{
    swt_csv_frames frames = {0};
    swt_capture *notes = swt_capture_new(0, 0), *c = NULL;
    double rate_hz = 0;
    swt_status rc = notes ? SWT_OK : swt_fail(err, SWT_ENOMEM, "out of memory");

    if (rc == SWT_OK)
        rc = place_channels(p, s->channels, err);
    if (rc == SWT_OK) {
        keep_whole_ones(p, notes);
        if (p->n == 0)
            rc = swt_fail(err, SWT_EFORMAT,
                          "no tracked point has POS channels for x, y and z: this recording holds "
                          "no positions");
    }
    if (rc == SWT_OK)
        rc = settle_units(p, s->channels, notes, err);
    if (rc == SWT_OK)
        rc = settle_rate(&rate_hz, s->channels, facts, notes, err);
    if (rc == SWT_OK)
        rc = place_frames(&frames, s, rate_hz, err);
    if (rc == SWT_OK && !(c = swt_capture_new(frames.n_frames, p->n)))
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    if (rc == SWT_OK) {
        move_warnings(c, notes);
        fill_points(c, p, s, frames.index);
        rc = describe(c, p, s, &frames, facts, err);
    }
    if (rc == SWT_OK)
        rc = add_misc(c, s, frames.index, err);
    if (rc == SWT_OK) {
        *out = c;
        c = NULL;
    }
    free(frames.index);
    swt_capture_free(c);
    swt_capture_free(notes);
    return rc;
}

swt_status swt_bids_parse(swt_capture **out, const void *motion, size_t size,
                          const swt_bids_channels *channels, const swt_bids_facts *facts,
                          swt_error *err)
{
    samples s = {.channels = channels, .missing = facts->missing_values};
    points p = {0};
    swt_status rc;

    *out = NULL;
    rc = swt_csv_rows(motion, size, '\t', 1, take_row, &s, err);
    if (rc == SWT_OK && s.n_rows == 0)
        rc = swt_fail(err, SWT_EFORMAT, "no rows of numbers in it");
    if (rc == SWT_OK)
        rc = assemble(out, &p, &s, facts, err);
    swt_names_reset(&p.names);
    free(p.channel);
    free(p.scale);
    free(s.value.value);
    free(s.line.value);
    return rc;
}
