/* scores.csv and score_shares.csv: how unusual whole swings are, and what makes them so. */
#include "io/report/scores_table.h"

#include "io/csv/csv_cells.h"
#include "io/files.h"
#include "io/report/departures_table.h"

#include <math.h>
#include <string.h>

static void put_swing(FILE *stream, const swt_study *study, size_t swing)
{
    const swt_study_swing *s = &study->swing[swing];

    fprintf(stream, "%zu,", swing);
    swt_csv_put_text(stream, study->capture[s->capture].file);
    fprintf(stream, "%zu,", s->number);
    swt_csv_put_text(stream, s->player);
    swt_csv_put_text(stream, s->session);
}

swt_status swt_scores_table_write(const char *path, const swt_study *study, const swt_assessment *a,
                                  swt_error *err)
{
    swt_file_draft draft;
    swt_status rc = swt_draft_open(&draft, path, err);

    if (rc != SWT_OK)
        return rc;
    fputs("swing,file,swing_in_file,player,session,rms,distance,rest,rms_rank,distance_rank,"
          "rest_rank",
          draft.stream);
    for (int p = 0; p < SWT_PHASES; p++)
        fprintf(draft.stream, ",share_%s_to_%s", swt_event_name(swt_phase_boundary[p]),
                swt_event_name(swt_phase_boundary[p + 1]));
    fputs(",share_scalars\n", draft.stream);
    for (size_t i = 0; i < a->n_swings; i++) {
        const swt_assessed_swing *s = &a->swing[i];
        const double score[] = {s->score.rms,      s->score.distance,      s->score.rest,
                                s->score.rms_rank, s->score.distance_rank, s->score.rest_rank};
        if (!isfinite(s->score.rms))
            continue;
        put_swing(draft.stream, study, s->swing);
        for (size_t k = 0; k < sizeof score / sizeof *score; k++)
            swt_csv_put_number(draft.stream, score[k], ",");
        for (size_t k = 0; k <= SWT_PHASES; k++)
            swt_csv_put_number(draft.stream, s->phase_share[k], k < SWT_PHASES ? "," : "\n");
    }
    return swt_draft_commit(&draft, err);
}

swt_status swt_score_shares_table_write(const char *path, const swt_study *study,
                                        const swt_assessment *a, swt_error *err)
{
    swt_file_draft draft;
    swt_status rc = swt_draft_open(&draft, path, err);

    if (rc != SWT_OK)
        return rc;
    fputs("swing,file,swing_in_file,player,session,name,share\n", draft.stream);
    for (size_t i = 0; i < a->n_swings; i++)
        for (size_t k = 0; k < a->n_compared; k++) {
            if (!isfinite(a->swing[i].score.rms) || !a->compared[k].in_family)
                continue;
            put_swing(draft.stream, study, a->swing[i].swing);
            swt_csv_put_text(draft.stream, swt_compared_name(&a->compared[k]));
            swt_csv_put_number(draft.stream, a->swing[i].measure_share[k], "\n");
        }
    return swt_draft_commit(&draft, err);
}
