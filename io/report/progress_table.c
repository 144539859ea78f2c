/* progress.csv and noise.csv: blocks of swings against each other, in the units people are shown.
 */
#include "io/report/progress.h"

#include "io/csv/csv_cells.h"
#include "io/files.h"

#include <math.h>
#include <string.h>

/* The difference and the smallest that can be told from noise; empty for the block itself. */
static void put_change(FILE *stream, const swt_change *c, double scale)
{
    bool known = c->verdict != SWT_CHANGE_UNKNOWN;

    swt_csv_put_number(stream, known ? c->difference * scale : nan(""), ",");
    swt_csv_put_number(stream, known ? c->detectable * scale : nan(""), ",");
}

static const char *verdict_of(const swt_progress_step *s)
{
    switch (s->since_from.verdict) {
    case SWT_CHANGE_NOT_DETECTABLE:
        return "within noise";
    case SWT_CHANGE_UP:
        return "higher";
    case SWT_CHANGE_DOWN:
        return "lower";
    case SWT_CHANGE_UNKNOWN:
        break;
    }
    return "";
}

static void put_set(FILE *stream, const swt_progress *p, const swt_progress_set *set)
{
    for (size_t b = 0; b < set->n_blocks; b++)
        for (size_t m = 0; m < p->n_measures; m++) {
            const swt_measure *row = swt_measure_row(p->measure[m]);
            const swt_unit *unit = swt_quantity_unit(row->quantity);
            const swt_progress_step *s = swt_progress_at(p, set, b, m);
            swt_csv_put_text(stream, set->player);
            swt_csv_put_text(stream, set->name);
            swt_csv_put_text(stream, set->block[b].name);
            swt_csv_put_text(stream, row->name);
            swt_csv_put_text(stream, unit->shown);
            fprintf(stream, "%zu,", s->n);
            swt_csv_put_number(stream, s->mean * unit->shown_per_si, ",");
            put_change(stream, &s->since_from, unit->shown_per_si);
            swt_csv_put_number(stream, s->p, ",");
            swt_csv_put_number(stream, s->p_all, ",");
            put_change(stream, &s->since_last, unit->shown_per_si);
            swt_csv_put_text(stream, verdict_of(s));
            fputs(s->p_all <= 1 - p->options.confidence ? "yes\n" : "no\n", stream);
        }
}

swt_status swt_progress_table_write(const char *path, const swt_progress *p, swt_error *err)
{
    swt_file_draft draft;
    swt_status rc = swt_draft_open(&draft, path, err);

    if (rc != SWT_OK)
        return rc;
    fprintf(draft.stream,
            "player,set,%s,name,unit,n,mean,change,detectable_change,p,p_all_measures,"
            "change_since_last,detectable_since_last,verdict,stands_for_all\n",
            p->options.by == SWT_BY_SESSION ? "session" : "shot");
    for (size_t i = 0; i < p->n_sets; i++)
        put_set(draft.stream, p, &p->set[i]);
    return swt_draft_commit(&draft, err);
}

swt_status swt_noise_table_write(const char *path, const swt_progress *p, swt_error *err)
{
    swt_file_draft draft;
    swt_status rc = swt_draft_open(&draft, path, err);

    if (rc != SWT_OK)
        return rc;
    fputs("name,unit,n_players,n_swings,icc,sem,detectable_one_swing,trend_p\n", draft.stream);
    for (size_t m = 0; m < p->n_measures; m++) {
        const swt_measure *row = swt_measure_row(p->measure[m]);
        const swt_unit *unit = swt_quantity_unit(row->quantity);
        const swt_progress_noise *noise = &p->noise[m];
        swt_csv_put_text(draft.stream, row->name);
        swt_csv_put_text(draft.stream, unit->shown);
        fprintf(draft.stream, "%zu,%zu,", noise->n_players, noise->n_swings);
        swt_csv_put_number(draft.stream, noise->icc, ",");
        swt_csv_put_number(draft.stream, noise->sem * unit->shown_per_si, ",");
        swt_csv_put_number(draft.stream, noise->detectable * unit->shown_per_si, ",");
        swt_csv_put_number(draft.stream, noise->trend_p, "\n");
    }
    return swt_draft_commit(&draft, err);
}
