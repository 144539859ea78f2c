#include "io/study/tables.h"
#include "io/study/table_columns.h"

#include <csv.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

/* A table being written; the first failure of the stream is found when the draft is committed. */
typedef struct table {
    swt_file_draft draft;
    bool row_begun;
    const bool *chosen; /* swings; NULL: all */
} table;

static bool is_chosen(const table *t, size_t swing)
{
    return !t->chosen || t->chosen[swing];
}

/* A capture is told with its chosen swings, and, where no choice was made, without any. */
static bool has_chosen(const table *t, const swt_study *study, size_t capture)
{
    bool any = !t->chosen;

    for (size_t i = 0; i < study->n_swings && !any; i++)
        any = study->swing[i].capture == capture && t->chosen[i];
    return any;
}

static swt_status open_table(table *t, const char *folder, const char *name, swt_error *err)
{
    char path[4096];

    t->row_begun = false;
    t->draft.stream = NULL;
    if ((size_t)snprintf(path, sizeof path, "%s/%s", folder, name) >= sizeof path)
        return swt_fail(err, SWT_EARG, "%s: path too long", folder);
    return swt_draft_open(&t->draft, path, err);
}

static void next_cell(table *t)
{
    if (t->row_begun)
        fputc(',', t->draft.stream);
    t->row_begun = true;
}

static void put_text(table *t, const char *text)
{
    next_cell(t);
    if (text[0]) /* an empty text and an absent one are the same empty cell */
        csv_fwrite(t->draft.stream, text, strlen(text));
}

static void put_number(table *t, double value)
{
    char text[40];

    next_cell(t);
    if (!isfinite(value))
        return;
    snprintf(text, sizeof text, "%.12g", value);
    for (char *p = text; *p; p++)
        if (*p == ',')
            *p = '.'; /* whatever the locale */
    fputs(text, t->draft.stream);
}

static void put_count(table *t, size_t count)
{
    next_cell(t);
    fprintf(t->draft.stream, "%zu", count);
}

static void end_row(table *t)
{
    fputc('\n', t->draft.stream);
    t->row_begun = false;
}

static void put_verdict(table *t, swt_verdict verdict)
{
    char reason[200];

    put_text(t, swt_state_name(verdict.state));
    put_text(t, swt_reason_text(reason, sizeof reason, verdict));
}

static void put_header(table *t, const char *const *name)
{
    for (; *name; name++)
        put_text(t, *name);
}

/* The columns that say which swing a row is about, before the covariates. */
static const char *const swing_columns[] = {"swing",   "file",  "swing_in_file", "strike", "player",
                                            "session", "group", "club",          "shot",   "side",
                                            NULL};

/* A covariate must not hide a column of ours or a measure: then it is called sheet_<name>. */
static const char *covariate_column(char *buffer, size_t size, const char *name)
{
    bool taken = swt_measure_find(name) >= 0;

    for (size_t i = 0; i < swt_table_n_columns; i++)
        taken = taken || strcmp(swt_table_columns[i].name, name) == 0;
    snprintf(buffer, size, "%s%s", taken ? "sheet_" : "", name);
    return buffer;
}

static void put_swing_header(table *t, const swt_study *study)
{
    char name[2100];

    put_header(t, swing_columns);
    for (size_t c = 0; c < study->n_covariates; c++)
        put_text(t, covariate_column(name, sizeof name, study->covariate_name[c]));
}

static void put_swing(table *t, const swt_study *study, size_t i)
{
    const swt_study_swing *s = &study->swing[i];

    put_count(t, i);
    put_text(t, study->capture[s->capture].file);
    put_count(t, s->number);
    put_text(t, swt_strike_name(s->strike));
    put_text(t, s->player);
    put_text(t, s->session);
    put_text(t, s->group);
    put_text(t, s->club);
    put_text(t, s->shot);
    put_text(t, s->side == SWT_RIGHT_HANDED ? "right" : "left");
    for (size_t c = 0; c < study->n_covariates; c++)
        put_text(t, s->covariate[c]);
}

static swt_status measures_long(table *t, const swt_study *study, swt_error *err)
{
    static const char *const names[] = {"measure", "value", "unit", "sd", "state", "reason", NULL};

    (void)err;
    put_swing_header(t, study);
    put_header(t, names);
    end_row(t);
    for (size_t i = 0; i < study->n_swings; i++)
        for (size_t m = 0; is_chosen(t, i) && m < swt_measure_count(); m++) {
            const swt_measure *row = swt_measure_row(m);
            const swt_unit *unit = swt_quantity_unit(row->quantity);
            const swt_measurement *value = &study->measure[m][i];
            put_swing(t, study, i);
            put_text(t, row->name);
            put_number(t, value->value * unit->shown_per_si);
            put_text(t, unit->shown);
            put_number(t, value->sd * unit->shown_per_si);
            put_verdict(t, value->verdict);
            end_row(t);
        }
    return SWT_OK;
}

static swt_status measures_wide(table *t, const swt_study *study, swt_error *err)
{
    (void)err;
    put_swing_header(t, study);
    for (size_t m = 0; m < swt_measure_count(); m++)
        put_text(t, swt_measure_row(m)->name);
    end_row(t);
    for (size_t i = 0; i < study->n_swings; i++) {
        if (!is_chosen(t, i))
            continue;
        put_swing(t, study, i);
        for (size_t m = 0; m < swt_measure_count(); m++)
            put_number(t, study->measure[m][i].value *
                              swt_quantity_unit(swt_measure_row(m)->quantity)->shown_per_si);
        end_row(t);
    }
    return SWT_OK;
}

static swt_status events(table *t, const swt_study *study, swt_error *err)
{
    static const char *const names[] = {"event",  "time_s", "after_takeaway_s", "sd_s", "state",
                                        "reason", NULL};

    (void)err;
    put_swing_header(t, study);
    put_header(t, names);
    end_row(t);
    for (size_t i = 0; i < study->n_swings; i++)
        for (int e = 0; is_chosen(t, i) && e < SWT_EVENT_COUNT; e++) {
            const swt_event_time *event = &study->event[e][i];
            put_swing(t, study, i);
            put_text(t, swt_event_name((swt_event)e));
            put_number(t, event->time_s);
            put_number(t, event->time_s - study->event[SWT_EVENT_TAKEAWAY][i].time_s);
            put_number(t, event->sd_s);
            put_verdict(t, event->verdict);
            end_row(t);
        }
    return SWT_OK;
}

static void put_curve(table *t, const swt_study *study, size_t swing, swt_series series,
                      const double *time, const double *value, const double *sd)
{
    const swt_series_info *info = swt_series_describe(series);
    const swt_unit *unit = swt_quantity_unit(info->quantity);

    for (size_t k = 0; k < SWT_CURVE_SAMPLES; k++) {
        put_swing(t, study, swing);
        put_text(t, info->name);
        put_count(t, k);
        put_number(t, (double)k / SWT_PHASE_STEPS);
        put_number(t, time[k]);
        put_number(t, value[k] * unit->shown_per_si);
        put_text(t, unit->shown);
        put_number(t, sd[k] * unit->shown_per_si);
        end_row(t);
    }
}

static swt_status curves(table *t, const swt_study *study, swt_error *err)
{
    static const char *const names[] = {"series", "sample", "phase", "time_s",
                                        "value",  "unit",   "sd",    NULL};
    double time[SWT_CURVE_SAMPLES], value[SWT_CURVE_SAMPLES], sd[SWT_CURVE_SAMPLES];
    swt_status rc = SWT_OK;

    put_swing_header(t, study);
    put_header(t, names);
    end_row(t);
    for (size_t i = 0; i < study->n_swings && rc == SWT_OK; i++) {
        if (!is_chosen(t, i))
            continue;
        rc = swt_study_read_curve_times(study, &i, 1, time, err);
        for (int s = 0; s < SWT_SERIES_COUNT && rc == SWT_OK; s++) {
            if (study->series_verdict[s][i].state == SWT_ABSENT)
                continue;
            rc = swt_study_read_curves(study, (swt_series)s, &i, 1, value, err);
            if (rc == SWT_OK)
                rc = swt_study_read_curve_sds(study, (swt_series)s, &i, 1, sd, err);
            if (rc == SWT_OK)
                put_curve(t, study, i, (swt_series)s, time, value, sd);
        }
    }
    return rc;
}

static swt_status travel(table *t, const swt_study *study, swt_error *err)
{
    static const char *const names[] = {"series", "length_m", "time_s", "value", "unit", NULL};
    double time[SWT_TRAVEL_SAMPLES], value[SWT_TRAVEL_SAMPLES];
    swt_status rc = SWT_OK;

    put_swing_header(t, study);
    put_header(t, names);
    end_row(t);
    for (size_t i = 0; i < study->n_swings && rc == SWT_OK; i++) {
        if (!is_chosen(t, i))
            continue;
        rc = swt_study_read_travel_times(study, &i, 1, time, err);
        for (int s = 0; s < SWT_SERIES_COUNT && rc == SWT_OK; s++) {
            const swt_series_info *info = swt_series_describe((swt_series)s);
            const swt_unit *unit = swt_quantity_unit(info->quantity);
            if (study->series_verdict[s][i].state == SWT_ABSENT || !isfinite(time[0]))
                continue;
            rc = swt_study_read_travel_curves(study, (swt_series)s, &i, 1, value, err);
            for (int k = 0; k < SWT_TRAVEL_SAMPLES && rc == SWT_OK; k++) {
                put_swing(t, study, i);
                put_text(t, info->name);
                put_number(t, k * SWT_TRAVEL_STEP_M);
                put_number(t, time[k]);
                put_number(t, value[k] * unit->shown_per_si);
                put_text(t, unit->shown);
                end_row(t);
            }
        }
    }
    return rc;
}

static swt_status transition(table *t, const swt_study *study, swt_error *err)
{
    static const char *const names[] = {"level", "height_mm", "shift_mm", NULL};
    double shift[SWT_SHIFT_SAMPLES], height[SWT_SHIFT_SAMPLES];
    swt_status rc = SWT_OK;

    put_swing_header(t, study);
    put_header(t, names);
    end_row(t);
    for (size_t i = 0; i < study->n_swings && rc == SWT_OK; i++) {
        if (!is_chosen(t, i))
            continue;
        rc = swt_study_read_shift(study, &i, 1, shift, height, err);
        for (int k = 0; k < SWT_SHIFT_SAMPLES && rc == SWT_OK && isfinite(height[0]); k++) {
            put_swing(t, study, i);
            put_number(t, (double)k / SWT_SHIFT_SAMPLES);
            put_number(t, 1000 * height[k]);
            put_number(t, 1000 * shift[k]);
            end_row(t);
        }
    }
    return rc;
}

static swt_status captures(table *t, const swt_study *study, swt_error *err)
{
    static const char *const names[] = {"capture",     "file",    "sha256",  "format",
                                        "length_unit", "rate_hz", "frames",  "points",
                                        "swings",      "used",    "message", NULL};
    size_t *swings = calloc(study->n_captures + 1, sizeof *swings);

    if (!swings)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; i < study->n_swings; i++)
        swings[study->swing[i].capture]++;
    put_header(t, names);
    end_row(t);
    for (size_t i = 0; i < study->n_captures; i++) {
        const swt_study_capture *c = &study->capture[i];
        if (!has_chosen(t, study, i))
            continue;
        put_count(t, i);
        put_text(t, c->file);
        put_text(t, c->sha256);
        put_text(t, c->format);
        put_text(t, c->unit);
        put_number(t, c->rate_hz);
        put_count(t, c->n_frames);
        put_count(t, c->n_points);
        put_count(t, swings[i]);
        put_text(t, c->status == SWT_OK ? "yes" : "no");
        put_text(t, c->message);
        end_row(t);
    }
    free(swings);
    return SWT_OK;
}

static swt_status findings(table *t, const swt_study *study, swt_error *err)
{
    static const char *const names[] = {"swing",    "file", "swing_in_file", "player",
                                        "severity", "code", "text",          NULL};
    static const char *const severity[] = {"note", "caution", "serious"};

    (void)err;
    put_header(t, names);
    end_row(t);
    for (size_t i = 0; i < study->n_findings; i++) {
        const swt_study_finding *f = &study->finding[i];
        if (f->swing >= 0 ? !is_chosen(t, (size_t)f->swing) : !has_chosen(t, study, f->capture))
            continue;
        if (f->swing >= 0)
            put_count(t, (size_t)f->swing);
        else
            put_text(t, "");
        put_text(t, study->capture[f->capture].file);
        if (f->swing >= 0)
            put_count(t, study->swing[f->swing].number);
        else
            put_text(t, "");
        put_text(t, f->swing >= 0 ? study->swing[f->swing].player : "");
        put_text(t, severity[f->severity]);
        put_text(t, f->code);
        put_text(t, f->text);
        end_row(t);
    }
    return SWT_OK;
}

static void put_entry(table *t, const char *table_name, const char *kind, const char *name,
                      const char *meaning, const char *unit, const char *source)
{
    put_text(t, table_name);
    put_text(t, kind);
    put_text(t, name);
    put_text(t, meaning);
    put_text(t, unit);
    put_text(t, source);
    end_row(t);
}

static void put_columns(table *t, const swt_table_column *column, size_t n)
{
    for (size_t i = 0; i < n; i++)
        put_entry(t, column[i].table, "column", column[i].name, column[i].meaning, column[i].unit,
                  "");
}

static swt_status dictionary(table *t, const swt_study *study, swt_error *err)
{
    static const char *const names[] = {"table", "kind", "name", "meaning", "unit", "source", NULL};
    char name[2100], meaning[2100];

    (void)err;
    put_header(t, names);
    end_row(t);
    put_columns(t, swt_table_columns, swt_table_n_columns);
    put_columns(t, swt_comparison_columns, swt_comparison_n_columns);
    for (size_t c = 0; c < study->n_covariates; c++) {
        snprintf(meaning, sizeof meaning, "column \"%s\" of the sheet", study->covariate_name[c]);
        put_entry(t, "*", "covariate",
                  covariate_column(name, sizeof name, study->covariate_name[c]), meaning, "",
                  study->sheet);
    }
    for (size_t m = 0; m < swt_measure_count(); m++) {
        const swt_measure *row = swt_measure_row(m);
        put_entry(t, "measures_long, measures_wide", "measure", row->name, row->definition,
                  swt_quantity_unit(row->quantity)->shown, row->source);
    }
    for (int e = 0; e < SWT_EVENT_COUNT; e++)
        put_entry(t, "events", "event", swt_event_name((swt_event)e),
                  swt_event_definition((swt_event)e), "s", "");
    for (int s = 0; s < SWT_SERIES_COUNT; s++) {
        const swt_series_info *info = swt_series_describe((swt_series)s);
        put_entry(t, "curves", "series", info->name, info->definition,
                  swt_quantity_unit(info->quantity)->shown, "");
    }
    return SWT_OK;
}

swt_status swt_tables_write(const char *folder, const swt_study *study, const bool *chosen,
                            bool with_curves, swt_error *err)
{
    static const struct {
        const char *name;
        swt_status (*fill)(table *, const swt_study *, swt_error *);
    } tables[] = {
        {"measures_long.csv", measures_long},
        {"measures_wide.csv", measures_wide},
        {"events.csv", events},
        {"captures.csv", captures},
        {"findings.csv", findings},
        {"dictionary.csv", dictionary},
        {"curves.csv", curves}, /* this and what follows on request */
        {"travel.csv", travel},
        {"transition.csv", transition},
    };
    size_t n = sizeof tables / sizeof *tables - (with_curves ? 0 : 3);
    swt_status rc = swt_folder_make(folder, err);

    for (size_t i = 0; i < n && rc == SWT_OK; i++) {
        table t;
        t.chosen = chosen;
        rc = open_table(&t, folder, tables[i].name, err);
        if (rc == SWT_OK)
            rc = tables[i].fill(&t, study, err);
        if (rc == SWT_OK)
            rc = swt_draft_commit(&t.draft, err);
        swt_draft_discard(&t.draft);
    }
    return rc;
}
