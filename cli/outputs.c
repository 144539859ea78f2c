#include "cli/outputs.h"

#include "io/report/departures_table.h"
#include "io/report/scores_table.h"
#include "io/study/selection.h"
#include "io/study/tables.h"

#include <stdio.h>
#include <stdlib.h>

int swt_cli_write_tables(const swt_cli_command *command, const char *folder, const swt_study *study,
                         const swt_assessment *assessment, const char *only, bool with_curves)
{
    static const struct {
        const char *name;
        swt_status (*write)(const char *, const swt_study *, const swt_assessment *, swt_error *);
    } table[] = {{"departures.csv", swt_departures_table_write},
                 {"scores.csv", swt_scores_table_write},
                 {"score_shares.csv", swt_score_shares_table_write}};
    char path[4096];
    swt_error err = SWT_ERROR_INIT;
    bool *chosen = NULL;
    swt_status rc;

    if (only && swt_selection_choose(&chosen, study, only, &err) != SWT_OK)
        return swt_cli_fail(command, SWT_EXIT_NO_INPUT, "%s: %s", study->path, err.msg);
    rc = swt_tables_write(folder, study, chosen, with_curves, &err);
    free(chosen);

    for (size_t i = 0; rc == SWT_OK && assessment && i < sizeof table / sizeof *table; i++) {
        if ((size_t)snprintf(path, sizeof path, "%s/%s", folder, table[i].name) >= sizeof path)
            rc = swt_fail(&err, SWT_EARG, "%s: path too long", folder);
        else
            rc = table[i].write(path, study, assessment, &err);
    }
    return rc == SWT_OK ? (int)SWT_EXIT_ALL_DONE
                        : swt_cli_fail(command, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
}

int swt_cli_write_report(const swt_cli_command *command, const char *folder, const swt_study *study,
                         const swt_assessment *assessment, const swt_report_options *options)
{
    swt_report_outcome outcome;
    swt_error err = SWT_ERROR_INIT;

    if (swt_report_write(&outcome, folder, study, assessment, options, &err) != SWT_OK)
        return swt_cli_fail(command, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
    if (outcome.figures_missing)
        return swt_cli_fail(command, SWT_EXIT_NO_OUTPUT,
                            "the pages were written without figures: %s", outcome.message);
    if (outcome.n_earlier > 0)
        fprintf(
            stderr,
            "swathe %s: note: pages of an earlier report are still in %s and out of date; remove "
            "them or take a new folder: %s%s\n",
            command->name, folder, outcome.earlier, outcome.n_earlier > 1 ? " and others" : "");
    return SWT_EXIT_ALL_DONE;
}

int swt_cli_draw_figures(const swt_cli_command *command, const char *folder, const swt_study *study,
                         const swt_assessment *assessment)
{
    static const swt_plot_format format[] = {SWT_PLOT_SVG, SWT_PLOT_PNG};

    for (size_t i = 0; i < sizeof format / sizeof format[0]; i++) {
        swt_error err = SWT_ERROR_INIT;
        if (swt_report_draw_figures(folder, study, assessment, format[i], SWT_PLOT_PAGE, NULL,
                                    &err) != SWT_OK)
            return swt_cli_fail(command, SWT_EXIT_NO_OUTPUT, "no figures: %s", err.msg);
    }
    return SWT_EXIT_ALL_DONE;
}
