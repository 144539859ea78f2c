/* How unusual each assessed swing is as a whole: the family's measures taken together. */
#include "io/report/assessment_parts.h"

#include <math.h>
#include <stdlib.h>

enum { N = SWT_CURVE_SAMPLES };

static size_t samples_of(const swt_compared *c)
{
    return c->is_series ? N : 1;
}

/* The measure's values of the swings listed: n * samples_of. */
static swt_status read_values(double *out, const swt_compared *c, const swt_study *study,
                              const size_t *swing, size_t n, swt_error *err)
{
    if (c->is_series)
        return swt_study_read_curves(study, (swt_series)c->index, swing, n, out, err);
    for (size_t i = 0; i < n; i++) {
        const swt_measurement *m = &study->measure[c->index][swing[i]];
        out[i] = m->verdict.state == SWT_ABSENT ? nan("") : m->value;
    }
    return SWT_OK;
}

void assess_values_reset(assess_values *v)
{
    for (size_t i = 0; v->of && i < v->n; i++)
        free(v->of[i]);
    free(v->of);
}

swt_status assess_values_read(assess_values *v, const swt_assessment *a, const swt_study *study,
                              const size_t *swing, size_t n, swt_error *err)
{
    swt_status rc = SWT_OK;

    *v = (assess_values){.of = calloc(a->n_compared + 1, sizeof *v->of), .n = a->n_compared};
    if (!v->of)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; rc == SWT_OK && i < a->n_compared; i++) {
        if (!a->compared[i].in_family)
            continue;
        v->of[i] = calloc(n * samples_of(&a->compared[i]) + 1, sizeof *v->of[i]);
        if (!v->of[i])
            rc = swt_fail(err, SWT_ENOMEM, "out of memory");
        else
            rc = read_values(v->of[i], &a->compared[i], study, swing, n, err);
    }
    return rc;
}

/* The model from the reference swings. A group that cannot carry one leaves it NULL. */
static swt_status build_model(swt_assessment *a, const swt_study *study, swt_error *err)
{
    swt_score_measure *measure = calloc(a->n_compared + 1, sizeof *measure);
    assess_values v = {0};
    size_t n = 0;
    swt_error why = SWT_ERROR_INIT;
    swt_status rc = measure ? assess_values_read(&v, a, study, a->reference, a->n_reference, err)
                            : swt_fail(err, SWT_ENOMEM, "out of memory");

    for (size_t i = 0; rc == SWT_OK && i < a->n_compared; i++)
        if (a->compared[i].in_family)
            measure[n++] = (swt_score_measure){v.of[i], samples_of(&a->compared[i])};
    if (rc == SWT_OK) {
        rc = swt_score_model_build(&a->scores, measure, n, a->reference_player, a->n_reference,
                                   NULL, &why);
        if (rc == SWT_EDATA)
            rc = SWT_OK;
        else if (rc != SWT_OK && err)
            *err = why;
    }
    free(measure);
    assess_values_reset(&v);
    return rc;
}

/* Scores the swings that are like the reference. */
static swt_status score_swings(swt_assessment *a, const assess_values *v, const double **curve,
                               swt_error *err)
{
    swt_status rc = SWT_OK;

    for (size_t p = 0; p < a->n_players; p++) {
        size_t end = a->player[p].first + a->player[p].n_swings;
        for (size_t k = a->player[p].first; rc == SWT_OK && a->player[p].alike && k < end; k++) {
            size_t n = 0;
            for (size_t i = 0; i < a->n_compared; i++)
                if (a->compared[i].in_family)
                    curve[n++] = v->of[i] + k * samples_of(&a->compared[i]);
            rc = swt_assessed_swing_score(&a->swing[k], &a->family, a->scores, curve, err);
        }
    }
    return rc;
}

swt_status assess_scores(swt_assessment *a, const swt_study *study, swt_error *err)
{
    size_t n = a->n_swings;
    size_t *row = calloc(n + 1, sizeof *row);
    const double **curve = calloc(a->n_compared + 1, sizeof *curve);
    assess_values v = {0};
    swt_status rc = SWT_OK;

    if (!row || !curve)
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; rc == SWT_OK && i < n; i++)
        row[i] = a->swing[i].swing;
    if (rc == SWT_OK && a->family.n_members > 0)
        rc = build_model(a, study, err);
    if (rc == SWT_OK && a->scores && n > 0) {
        rc = assess_values_read(&v, a, study, row, n, err);
        if (rc == SWT_OK)
            rc = score_swings(a, &v, curve, err);
    }
    assess_values_reset(&v);
    free(row);
    free(curve);
    return rc;
}
