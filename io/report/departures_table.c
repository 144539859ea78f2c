/* departures.csv: one row a departure, in the units people are shown. */
#include "io/report/departures_table.h"

#include "io/csv/csv_cells.h"
#include "io/study/comparison_store.h"
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

/* What a row is of. */
typedef struct subject {
    const char *name, *family;
    swt_quantity quantity;
} subject;

static void put_row(FILE *stream, const swt_study *study, size_t swing, const subject *of,
                    const swt_departure *d)
{
    const swt_study_swing *s = &study->swing[swing];
    const swt_unit *unit = swt_quantity_unit(of->quantity);

    fprintf(stream, "%zu,", swing);
    swt_csv_put_text(stream, study->capture[s->capture].file);
    fprintf(stream, "%zu,", s->number);
    swt_csv_put_text(stream, s->player);
    swt_csv_put_text(stream, s->session);
    swt_csv_put_text(stream, of->name);
    swt_csv_put_text(stream, unit->shown);
    swt_csv_put_text(stream, d->direction > 0 ? "above" : d->direction < 0 ? "below" : "outside");
    swt_csv_put_number(stream, d->start_s, ",");
    swt_csv_put_number(stream, d->end_s, ",");
    swt_csv_put_number(stream, d->largest_s, ",");
    swt_csv_put_number(stream, d->largest_value * unit->shown_per_si, ",");
    swt_csv_put_number(stream, d->largest_excess * unit->shown_per_si, ",");
    swt_csv_put_number(stream, d->peak_ratio, ",");
    swt_csv_put_number(stream, d->peak_within_sd, ",");
    swt_csv_put_number(stream, d->peak_measurement_sd, ",");
    fprintf(stream, "%s,\"%s\"\n", d->stands_in_family ? "yes" : "no", of->family);
}

/* The departures of one swing: of the measures, then of what stands beside them. */
static void put_swing(FILE *stream, const swt_study *study, const swt_assessment *a,
                      const swt_assessed_swing *s)
{
    for (size_t k = 0; k < s->n_departures; k++) {
        const swt_departure *d = &s->departure[k].found;
        const swt_compared *c = &a->compared[d->measure];
        put_row(stream, study, s->swing,
                &(subject){swt_compared_name(c), swt_family_name(SWT_OF_MEASURES), c->quantity}, d);
    }
    for (size_t k = 0; k < s->n_beside; k++) {
        const swt_beside *b = &a->beside[s->beside[k].measure];
        put_row(stream, study, s->swing,
                &(subject){b->name, swt_family_name(SWT_OF_BESIDE), b->quantity}, &s->beside[k]);
    }
    for (size_t k = 0; k < s->n_path; k++)
        put_row(stream, study, s->swing,
                &(subject){SWT_HAND_PATH, swt_family_name(SWT_OF_PATH), SWT_LENGTH}, &s->path[k]);
}

swt_status swt_departures_table_write(const char *path, const swt_study *study,
                                      const swt_assessment *assessment, swt_error *err)
{
    swt_file_draft draft;
    swt_status rc = swt_draft_open(&draft, path, err);

    if (rc != SWT_OK)
        return rc;
    fputs("swing,file,swing_in_file,player,session,name,unit,side,start_s,end_s,largest_s,"
          "largest_value,largest_excess,peak_ratio,excess_in_within_sd,excess_in_uncertainty,"
          "stands_for_all,family\n",
          draft.stream);
    for (size_t i = 0; i < assessment->n_swings; i++)
        put_swing(draft.stream, study, assessment, &assessment->swing[i]);
    return swt_draft_commit(&draft, err);
}
