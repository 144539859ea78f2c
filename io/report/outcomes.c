#include "io/report/outcomes.h"

#include "base/capture.h"
#include "base/numtext.h"
#include "comparison/kinds.h"
#include "io/csv/csv_cells.h"
#include "io/files.h"
#include "io/study/alike.h"
#include "io/study/selection.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void swt_outcomes_free(swt_outcomes *o)
{
    if (!o)
        return;
    for (size_t i = 0; i < SWT_OUTCOMES_MOST; i++) {
        free(o->name[i]);
        free(o->result[i]);
    }
    free(o->swing);
    free(o->player);
    free(o->row);
    free(o);
}

static bool same(const char *a, const char *b)
{
    return strcmp(a, b) == 0;
}

/* Splits "carry, curve" into names. */
static swt_status read_names(swt_outcomes *o, const char *text, swt_error *err)
{
    while (text) {
        const char *end = strchr(text, ',');
        size_t length = end ? (size_t)(end - text) : strlen(text);
        const char *next = end ? end + 1 : NULL;
        while (length > 0 && *text == ' ') {
            text++;
            length--;
        }
        while (length > 0 && text[length - 1] == ' ')
            length--;
        if (length == 0)
            return swt_fail(err, SWT_EARG, "a name is missing among the outcome columns");
        if (o->n_outcomes == SWT_OUTCOMES_MOST)
            return swt_fail(err, SWT_EARG, "more than %d outcome columns", SWT_OUTCOMES_MOST);
        o->name[o->n_outcomes] = strndup(text, length);
        if (!o->name[o->n_outcomes++])
            return swt_fail(err, SWT_ENOMEM, "out of memory");
        text = next;
    }
    return SWT_OK;
}

/* Without conditions: the club and shot that most swings have. */
static swt_status keep_commonest(bool *chosen, const swt_study *study, swt_error *err)
{
    size_t *kind = calloc(study->n_swings + 1, sizeof *kind), row = 0;
    swt_status rc;

    if (!kind)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    swt_study_first_alike(kind, study, SWT_ALIKE_CLUB | SWT_ALIKE_SHOT);
    rc = swt_commonest_kind(&row, kind, NULL, study->n_swings, err);
    for (size_t i = 0; rc == SWT_OK && i < study->n_swings; i++)
        chosen[i] = kind[i] == kind[row];
    free(kind);
    return rc;
}

static swt_status choose_swings(swt_outcomes *o, const swt_study *study,
                                const swt_outcomes_options *options, swt_error *err)
{
    bool *chosen = NULL;
    size_t *player = calloc(study->n_swings + 1, sizeof *player);
    swt_status rc = swt_selection_choose(&chosen, study, options->only, err);

    o->swing = calloc(study->n_swings + 1, sizeof *o->swing);
    o->player = calloc(study->n_swings + 1, sizeof *o->player);
    if (rc == SWT_OK && (!player || !o->swing || !o->player))
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    if (rc == SWT_OK && !options->only)
        rc = keep_commonest(chosen, study, err);
    if (rc == SWT_OK)
        swt_study_first_alike(player, study, SWT_ALIKE_PLAYER);
    for (size_t i = 0; rc == SWT_OK && i < study->n_swings; i++) {
        if (!chosen[i] || (study->swing[i].strike == SWT_PRACTICE && !options->with_practice)) {
            o->n_left_out++;
            continue;
        }
        o->player[o->n_swings] = (int)player[i];
        o->swing[o->n_swings++] = i;
    }
    free(player);
    free(chosen);
    return rc;
}

static swt_status no_such_column(const swt_study *study, const char *name, swt_error *err)
{
    char list[300] = "";
    size_t used = 0;

    for (size_t k = 0; k < study->n_covariates && used + 60 < sizeof list; k++)
        used += (size_t)snprintf(list + used, sizeof list - used, "%s%.50s", k ? ", " : "",
                                 study->covariate_name[k]);
    return swt_fail(err, SWT_EARG,
                    "the sheet had no column '%.60s' for results; its columns beside the known "
                    "ones were: %s",
                    name, used ? list : "none");
}

static swt_status read_results(swt_outcomes *o, const swt_study *study, size_t outcome,
                               swt_error *err)
{
    size_t column = 0, n = 0;
    const char *example = "";

    while (column < study->n_covariates && !same(study->covariate_name[column], o->name[outcome]))
        column++;
    if (column == study->n_covariates)
        return no_such_column(study, o->name[outcome], err);
    o->result[outcome] = calloc(o->n_swings + 1, sizeof(double));
    if (!o->result[outcome])
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; i < o->n_swings; i++) {
        const char *text = study->swing[o->swing[i]].covariate[column];
        if (swt_parse_double(&o->result[outcome][i], text, strlen(text), '.')) {
            n++;
            continue;
        }
        o->result[outcome][i] = nan("");
        if (!*example)
            example = text;
    }
    return n >= SWT_ASSOCIATION_LEAST_PLAYERS
               ? SWT_OK
               : swt_fail(err, SWT_EDATA,
                          "column '%.60s' holds numbers in %zu of %zu swings, too few to go by%s"
                          "%.40s%s",
                          o->name[outcome], n, o->n_swings, *example ? "; it has \"" : "", example,
                          *example ? "\"" : "");
}

static void read_measure(double *value, const swt_outcomes *o, const swt_study *study, size_t row)
{
    for (size_t i = 0; i < o->n_swings; i++) {
        const swt_measurement *m = &study->measure[row][o->swing[i]];
        value[i] = m->verdict.state == SWT_ABSENT ? nan("") : m->value;
    }
}

static swt_status adjust(swt_outcomes *o, swt_error *err)
{
    double *p = calloc(2 * o->n_rows + 1, sizeof *p), *q = p ? p + o->n_rows : NULL;
    swt_status rc = p ? SWT_OK : swt_fail(err, SWT_ENOMEM, "out of memory");

    for (int within = 0; rc == SWT_OK && within < 2; within++) {
        for (size_t i = 0; i < o->n_rows; i++)
            p[i] = within ? o->row[i].within.p : o->row[i].between.p;
        rc = swt_adjust_discovery(q, p, o->n_rows, err);
        for (size_t i = 0; rc == SWT_OK && i < o->n_rows; i++)
            *(within ? &o->row[i].within_q : &o->row[i].between_q) = q[i];
    }
    free(p);
    return rc;
}

static swt_status associate(swt_outcomes *o, const swt_study *study,
                            const swt_outcomes_options *options, swt_error *err)
{
    double *value = calloc(o->n_swings + 1, sizeof *value);
    swt_status rc = SWT_OK;

    o->row = calloc(o->n_outcomes * swt_measure_count() + 1, sizeof *o->row);
    if (!value || !o->row)
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t k = 0; k < o->n_outcomes; k++)
        for (size_t m = 0; rc == SWT_OK && m < swt_measure_count(); m++) {
            swt_outcome_row *row = &o->row[o->n_rows];
            if (options->measure && !same(options->measure, swt_measure_row(m)->name))
                continue;
            read_measure(value, o, study, m);
            row->outcome = k;
            row->measure = m;
            rc = swt_association_within(&row->within, value, o->result[k], o->player, o->n_swings,
                                        options->n_permutations, options->seed, err);
            if (rc == SWT_OK)
                rc = swt_association_between(&row->between, value, o->result[k], o->player,
                                             o->n_swings, options->n_permutations, options->seed,
                                             err);
            o->n_rows++;
        }
    free(value);
    if (rc == SWT_OK && o->n_rows == 0)
        rc = swt_fail(err, SWT_EARG,
                      "there is no measure '%.80s'; `swathe help measures` lists "
                      "them",
                      options->measure);
    return rc == SWT_OK ? adjust(o, err) : rc;
}

swt_status swt_outcomes_build(swt_outcomes **out, const swt_study *study,
                              const swt_outcomes_options *options, swt_error *err)
{
    swt_outcomes *o = calloc(1, sizeof *o);
    swt_status rc = o ? SWT_OK : swt_fail(err, SWT_ENOMEM, "out of memory");

    *out = NULL;
    if (rc == SWT_OK)
        rc = read_names(o, options->columns, err);
    if (rc == SWT_OK)
        rc = choose_swings(o, study, options, err);
    for (size_t k = 0; rc == SWT_OK && k < o->n_outcomes; k++)
        rc = read_results(o, study, k, err);
    if (rc == SWT_OK)
        rc = associate(o, study, options, err);
    if (rc == SWT_OK)
        *out = o;
    else
        swt_outcomes_free(o);
    return rc;
}

static void put_association(FILE *stream, const swt_association *a, double q, double scale,
                            const char *after)
{
    fprintf(stream, "%zu,%zu,", a->n_players, a->n_swings);
    swt_csv_put_number(stream, a->rho, ",");
    swt_csv_put_number(stream, a->p, ",");
    swt_csv_put_number(stream, q, ",");
    swt_csv_put_number(stream, a->slope / scale, after);
}

swt_status swt_outcomes_table_write(const char *path, const swt_outcomes *o, swt_error *err)
{
    swt_file_draft draft;
    swt_status rc = swt_draft_open(&draft, path, err);

    if (rc != SWT_OK)
        return rc;
    fputs("outcome,name,unit,within_players,within_swings,within_rho,within_p,within_q,"
          "within_slope,between_players,between_swings,between_rho,between_p,between_q,"
          "between_slope\n",
          draft.stream);
    for (size_t i = 0; i < o->n_rows; i++) {
        const swt_outcome_row *row = &o->row[i];
        const swt_measure *measure = swt_measure_row(row->measure);
        const swt_unit *unit = swt_quantity_unit(measure->quantity);
        swt_csv_put_text(draft.stream, o->name[row->outcome]);
        swt_csv_put_text(draft.stream, measure->name);
        swt_csv_put_text(draft.stream, unit->shown);
        put_association(draft.stream, &row->within, row->within_q, unit->shown_per_si, ",");
        put_association(draft.stream, &row->between, row->between_q, unit->shown_per_si, "\n");
    }
    return swt_draft_commit(&draft, err);
}
