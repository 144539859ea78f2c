/* departures.csv: one row a departure, in the units people are shown. */
#include "io/report/departures_table.h"

#include "io/csv/csv_cells.h"
#include "kinematics/measure.h"

#include <math.h>
#include <string.h>

const char *swt_compared_name(const swt_compared *compared)
{
    return compared->is_series ? swt_series_describe((swt_series)compared->index)->name
                               : swt_measure_row(compared->index)->name;
}

bool swt_compared_is_known(const char *name, bool is_series)
{
    if (!is_series)
        return swt_measure_find(name) >= 0;
    for (int s = 0; s < SWT_SERIES_COUNT; s++)
        if (strcmp(swt_series_describe((swt_series)s)->name, name) == 0)
            return true;
    return false;
}

static void put_row(FILE *stream, const swt_study *study, const swt_assessment *assessment,
                    size_t swing, const swt_assessed_departure *departure)
{
    const swt_departure *d = &departure->found;
    const swt_study_swing *s = &study->swing[swing];
    const swt_compared *c = &assessment->compared[d->measure];
    const swt_unit *unit = swt_quantity_unit(c->quantity);

    fprintf(stream, "%zu,", swing);
    swt_csv_put_text(stream, study->capture[s->capture].file);
    fprintf(stream, "%zu,", s->number);
    swt_csv_put_text(stream, s->player);
    swt_csv_put_text(stream, s->session);
    swt_csv_put_text(stream, swt_compared_name(c));
    swt_csv_put_text(stream, unit->shown);
    swt_csv_put_text(stream, d->direction > 0 ? "above" : "below");
    swt_csv_put_number(stream, d->start_s, ",");
    swt_csv_put_number(stream, d->end_s, ",");
    swt_csv_put_number(stream, d->largest_s, ",");
    swt_csv_put_number(stream, d->largest_value * unit->shown_per_si, ",");
    swt_csv_put_number(stream, d->largest_excess * unit->shown_per_si, ",");
    swt_csv_put_number(stream, d->peak_ratio, ",");
    swt_csv_put_number(stream, d->peak_within_sd, ",");
    swt_csv_put_number(stream, d->peak_measurement_sd, ",");
    fputs(d->stands_in_family ? "yes\n" : "no\n", stream);
}

swt_status swt_departures_table_write(const char *path, const swt_study *study,
                                      const swt_assessment *assessment, swt_error *err)
{
    swt_file_draft draft;
    swt_status rc = swt_draft_open(&draft, path, err);

    if (rc != SWT_OK)
        return rc;
    fputs("swing,file,swing_in_file,player,session,name,unit,side,start_s,end_s,largest_s,largest_"
          "value,"
          "largest_excess,peak_ratio,excess_in_within_sd,excess_in_uncertainty,stands_for_all\n",
          draft.stream);
    for (size_t i = 0; i < assessment->n_swings; i++)
        for (size_t k = 0; k < assessment->swing[i].n_departures; k++)
            put_row(draft.stream, study, assessment, assessment->swing[i].swing,
                    &assessment->swing[i].departure[k]);
    return swt_draft_commit(&draft, err);
}
