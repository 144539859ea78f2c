#include "cli/keep.h"

#include "base/capture.h"
#include "io/report/departures_table.h"
#include "io/study/comparison_store.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char practice_option[] = "with_practice = 1\n";

/** Adds a departure; its measures begin at row `first` of the corridors and paths. */
static void add(swt_kept_comparison *kept, size_t swing, const swt_departure *departure,
                size_t first, swt_kept_family family)
{
    swt_kept_departure *to = &kept->departure[kept->n_departures++];

    *to = (swt_kept_departure){.swing = swing, .departure = *departure, .family = family};
    to->departure.measure += first;
}

/** Fills the lists of a comparison; they are freed by the caller. */
static swt_status fill(swt_kept_comparison *kept, const swt_assessment *a, bool with_departures,
                       swt_error *err)
{
    size_t n = 0;

    for (size_t s = 0; with_departures && s < a->n_swings; s++)
        n += a->swing[s].n_departures + a->swing[s].n_beside + a->swing[s].n_path;
    kept->corridor = calloc(a->n_compared + a->n_beside + 1, sizeof *kept->corridor);
    kept->path = calloc(1, sizeof *kept->path);
    kept->departure = calloc(n + 1, sizeof *kept->departure);
    kept->score = calloc(a->n_swings + 1, sizeof *kept->score);
    if (!kept->corridor || !kept->path || !kept->departure || !kept->score)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; i < a->n_compared; i++) {
        swt_kept_corridor *row = &kept->corridor[kept->n_corridors++];
        snprintf(row->name, sizeof row->name, "%s", swt_compared_name(&a->compared[i]));
        row->is_series = a->compared[i].is_series;
        row->in_family = a->compared[i].in_family;
        row->corridor = a->compared[i].corridor;
    }
    for (size_t i = 0; i < a->n_beside; i++) {
        swt_kept_corridor *row = &kept->corridor[kept->n_corridors++];
        snprintf(row->name, sizeof row->name, "%s", a->beside[i].name);
        row->is_series = true;
        row->corridor = a->beside[i].corridor;
    }
    if (a->hand_path) {
        snprintf(kept->path[0].name, sizeof kept->path[0].name, SWT_HAND_PATH);
        kept->path[0].corridor = a->hand_path;
        kept->n_paths = 1;
    }
    for (size_t s = 0; with_departures && s < a->n_swings; s++) {
        const swt_assessed_swing *swing = &a->swing[s];
        for (size_t i = 0; i < swing->n_departures; i++)
            add(kept, swing->swing, &swing->departure[i].found, 0, SWT_OF_MEASURES);
        for (size_t i = 0; i < swing->n_beside; i++)
            add(kept, swing->swing, &swing->beside[i], a->n_compared, SWT_OF_BESIDE);
        for (size_t i = 0; i < swing->n_path; i++)
            add(kept, swing->swing, &swing->path[i], kept->n_corridors, SWT_OF_PATH);
    }
    for (size_t s = 0; with_departures && s < a->n_swings; s++) {
        swt_kept_score *score = &kept->score[kept->n_scores];
        *score = (swt_kept_score){.swing = a->swing[s].swing, .score = a->swing[s].score};
        memcpy(score->phase_share, a->swing[s].phase_share, sizeof score->phase_share);
        kept->n_scores += isfinite(score->score.rms) != 0;
    }
    return SWT_OK;
}

swt_status swt_cli_keep(const char *study_path, const char *name, const swt_assessment *assessment,
                        bool with_departures, swt_error *err)
{
    const swt_corridor_options *o = &assessment->options.corridor;
    char options[256], *group = NULL, *selection = NULL;
    swt_kept_comparison kept = {.options = options,
                                .family_factor = assessment->family.factor,
                                .false_alone = assessment->family.false_alone,
                                .n_reference = assessment->n_reference,
                                .reference = assessment->reference};
    swt_status rc = swt_string_set(&group, assessment->options.group, err);

    if (rc == SWT_OK)
        rc = swt_string_set(&selection, assessment->options.reference, err);
    kept.group = group;
    kept.selection = selection;
    snprintf(options, sizeof options,
             "coverage = %.17g\nconfidence = %.17g\nn_resamples = %zu\nseed = %lu\n%s", o->coverage,
             o->confidence, o->n_resamples, o->seed,
             assessment->options.with_practice ? practice_option : "");
    if (rc == SWT_OK)
        rc = fill(&kept, assessment, with_departures, err);
    if (rc == SWT_OK)
        rc = swt_comparison_store(study_path, name, &kept, err);
    free(group);
    free(selection);
    free(kept.corridor);
    free(kept.path);
    free(kept.departure);
    free(kept.score);
    return rc;
}

/** Corridors of a version that knew other measures cannot be built again. */
static swt_status check_measures(const swt_kept_comparison *kept, const swt_study *study,
                                 const char *name, swt_error *err)
{
    if (kept->n_corridors == 0)
        return swt_fail(err, SWT_EFORMAT, "%s: comparison \"%s\" holds no corridor", study->path,
                        name);
    for (size_t i = 0; i < kept->n_corridors; i++)
        if (!swt_compared_is_known(kept->corridor[i].name, kept->corridor[i].is_series) &&
            !swt_beside_is_known(kept->corridor[i].name))
            return swt_fail(err, SWT_EDATA,
                            "%s: comparison \"%s\" has a corridor of %s, which this version of "
                            "swathe does not measure",
                            study->path, name, kept->corridor[i].name);
    return SWT_OK;
}

swt_status swt_cli_find_kept(swt_kept_request *out, const swt_study *study, const char *name,
                             swt_error *err)
{
    swt_kept_comparison *kept = NULL;
    swt_status rc;

    *out = (swt_kept_request){0};
    swt_assessment_options_init(&out->options);
    rc = swt_comparison_load(&kept, study, name, err);
    if (rc == SWT_OK)
        rc = check_measures(kept, study, name, err);
    if (rc == SWT_OK) {
        out->options.corridor = kept->corridor[0].corridor->options;
        for (size_t i = 0; i < kept->n_corridors; i++) /* curves have both sides always */
            if (!kept->corridor[i].is_series)
                out->options.corridor.sides = kept->corridor[i].corridor->options.sides;
        out->options.with_practice = strstr(kept->options, practice_option) != NULL;
        rc = swt_string_set(&out->group, kept->group, err);
    }
    if (rc == SWT_OK)
        rc = swt_string_set(&out->reference, kept->selection, err);
    out->options.group = out->group;
    out->options.reference = out->reference;
    swt_kept_comparison_free(kept);
    return rc;
}

void swt_kept_request_reset(swt_kept_request *request)
{
    free(request->group);
    free(request->reference);
    *request = (swt_kept_request){0};
}
