/* What came before a departure of a player's: the reference's values for comparison's trace. */
#include "io/report/assessment_parts.h"

swt_status swt_assessment_trace(swt_assessed_trace *out, const swt_assessment *a,
                                const swt_study *study, const swt_assessed_player *p,
                                size_t measure, int event, swt_error *err)
{
    assess_values v = {0};
    swt_status rc = assess_values_read(&v, a, study, a->reference, a->n_reference, err);

    *out = (swt_assessed_trace){0};
    if (rc == SWT_OK)
        rc = swt_player_trace(out, &a->family, &p->found, measure,
                              event >= 0 ? &p->event_s[event] : NULL, (const double *const *)v.of,
                              a->reference_player, a->n_reference, err);
    assess_values_reset(&v);
    if (rc != SWT_OK)
        swt_assessed_trace_reset(out);
    return rc;
}
