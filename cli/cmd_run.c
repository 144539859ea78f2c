/* swathe run: the whole path, from a sheet to a report. */
#include "cli/analysis_options.h"
#include "cli/assess.h"
#include "cli/batch_options.h"
#include "cli/commands.h"
#include "cli/outputs.h"
#include "cli/progress.h"
#include "cli/summary.h"
#include "io/json.h"
#include "io/sheet/sheet.h"
#include "io/study/selection.h"
#include "io/study/study_lock.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char default_group[] = "reference";

typedef struct run_request {
    const char *folder, *group; /* group NULL: the default one, if there is one       */
    const char *where;          /* further conditions on the reference, or it alone   */
    const char *command_line;
    swt_batch batch;
    swt_assessment_options assessment; /* its group: as above */
    char study[4096], tables[4096], figures[4096], report[4096], index[4096];
} run_request;

static bool has_group(const swt_study *study, const char *group)
{
    for (size_t i = 0; i < study->n_swings; i++)
        if (strcmp(study->swing[i].group, group) == 0)
            return true;
    return false;
}

static void say_written(const run_request *r, const char *what, const char *path)
{
    if (r->batch.voice == SWT_SAY_WORDS) {
        printf("%s: %s\n", what, path);
    } else if (r->batch.voice == SWT_SAY_JSON) {
        printf("{\"event\": \"written\", \"what\": \"%s\", \"path\": ", what);
        swt_json_string(stdout, path);
        puts("}");
    }
}

/** Corridors, departures, tables, figures, pages. Each is written whatever became of the others. */
static int assess_and_write(const swt_cli_command *self, const run_request *r,
                            const swt_study *study)
{
    const char *group = r->group || r->where              ? r->group
                        : has_group(study, default_group) ? default_group
                                                          : NULL;
    bool has_reference = group || r->where;
    char *both = NULL;
    const swt_report_options options = {.command = r->command_line};
    swt_assessment_options request = r->assessment;
    swt_assessment *assessment = NULL;
    swt_error err = SWT_ERROR_INIT;
    int assessed, written, figures, pages;

    if (group && r->where && !(both = swt_selection_text("group", group, r->where)))
        return swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "out of memory");
    swt_progress_say(has_reference ? "Building corridors" : "Gathering swings");
    request.group = r->where ? NULL : group;
    request.reference = both ? both : r->where;
    assessed = swt_cli_assess(&assessment, self, study, &request);
    swt_progress_say("Writing tables");
    written = swt_cli_write_tables(self, r->tables, study, has_reference ? assessment : NULL, NULL,
                                   false);
    swt_progress_say(NULL);
    if (written == SWT_EXIT_ALL_DONE)
        say_written(r, "tables", r->tables);
    if (assessed != SWT_CLI_GO_ON) {
        free(both);
        return written != SWT_EXIT_ALL_DONE ? written : assessed;
    }
    if (has_reference) {
        if (r->batch.voice == SWT_SAY_WORDS)
            swt_cli_print_corridors(assessment, study);
        if (swt_cli_keep(r->study, SWT_CLI_CORRIDORS, assessment, true, &err) != SWT_OK)
            written = swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
        if (r->batch.voice == SWT_SAY_WORDS)
            swt_cli_print_players(assessment);
    } else {
        swt_cli_fail(
            self, 0,
            "no swing is of group '%s' and --reference names no other: the swings are shown "
            "without a corridor",
            default_group);
    }
    swt_progress_say("Drawing figures");
    figures = swt_cli_draw_figures(self, r->figures, study, assessment);
    swt_progress_say("Writing pages");
    pages = swt_cli_write_report(self, r->report, study, assessment, &options);
    swt_progress_say(NULL);
    if (figures == SWT_EXIT_ALL_DONE)
        say_written(r, "figures", r->figures);
    if (pages == SWT_EXIT_ALL_DONE)
        say_written(r, "report", r->index);
    if (figures != SWT_EXIT_ALL_DONE || pages != SWT_EXIT_ALL_DONE)
        written = SWT_EXIT_NO_OUTPUT;
    swt_assessment_free(assessment);
    free(both);
    return written;
}

static bool join(char path[4096], const char *folder, const char *name)
{
    return (size_t)snprintf(path, 4096, "%s/%s", folder, name) < 4096;
}

static int run_locked(const swt_cli_command *self, const run_request *r)
{
    swt_batch_outcome outcome;
    swt_study *study = NULL;
    swt_error err = SWT_ERROR_INIT;
    int measured, written;

    measured = swt_batch_run(&outcome, &r->batch);
    if (measured != SWT_EXIT_ALL_DONE && measured != SWT_EXIT_SOME_FAILED)
        return measured;
    if (swt_study_open(&study, r->study, &err) != SWT_OK)
        return swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
    if (r->batch.voice == SWT_SAY_WORDS) {
        swt_cli_print_outcome(&r->batch, &outcome);
        swt_cli_print_summary(study);
    }
    say_written(r, "study", r->study);
    if (r->batch.n_parts > 1) { /* corridors are for the whole */
        swt_study_close(study);
        return measured;
    }
    written = assess_and_write(self, r, study);
    swt_study_close(study);
    return written != SWT_EXIT_ALL_DONE ? written : measured;
}

/** A reference that no row of the sheet can meet is refused before the work. What else is wrong
 * with the sheet is told by the batch. */
static int check_reference(const swt_cli_command *self, const run_request *r)
{
    swt_selection *selection = NULL;
    swt_sheet *sheet = NULL;
    char *problems = NULL;
    swt_error err = SWT_ERROR_INIT;
    bool known = !r->group;

    if (r->where && swt_selection_parse(&selection, r->where, &err) != SWT_OK)
        return swt_cli_usage(self, "--where: %s", err.msg);
    swt_selection_free(selection);
    if (!known && swt_sheet_read(&sheet, &problems, r->batch.sheet_path, &err) == SWT_OK) {
        for (size_t i = 0; !known && i < sheet->n_trials; i++)
            known = strcmp(sheet->trial[i].group, r->group) == 0;
        if (!known)
            swt_cli_fail(self, 0, "%s: no row is of group '%s', so --reference cannot be built",
                         r->batch.sheet_path, r->group);
    } else {
        known = true;
    }
    swt_sheet_free(sheet);
    free(problems);
    return known ? SWT_CLI_GO_ON : SWT_EXIT_NO_INPUT;
}

static int run(const swt_cli_command *self, run_request *r)
{
    swt_study_lock lock;
    swt_error err = SWT_ERROR_INIT;
    int code;

    if (swt_folder_make(r->folder, &err) != SWT_OK)
        return swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
    if (!join(r->study, r->folder, "study.h5") || !join(r->tables, r->folder, "tables") ||
        !join(r->figures, r->folder, "figures") || !join(r->report, r->folder, "report") ||
        !join(r->index, r->folder, "report/index.html"))
        return swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "%s: path too long", r->folder);
    r->batch.study_path = r->study;
    if (swt_study_lock_take(&lock, r->study, &err) != SWT_OK)
        return swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
    code = run_locked(self, r);
    swt_study_lock_release(&lock);
    if (code == SWT_EXIT_NO_INPUT)
        remove(r->folder); /* made for the lock; nothing happens where it isn't empty */
    return code;
}

int swt_cmd_run(const swt_cli_command *self, int argc, char **argv)
{
    char *map = NULL, *folder = NULL, *group = NULL, *where = NULL;
    swt_cli_corridor corridor = swt_cli_corridor_default();
    swt_cli_batch how = {0};
    run_request request = {.batch = {.command = self, .depth = SWT_BATCH_MEASURE}};
    swt_analysis_options_init(&request.batch.options);
    const struct poptOption options[] = {
        {"map", 'm', POPT_ARG_STRING, &map, 0, "marker map; rows of the sheet may name their own",
         "FILE"},
        {"output", 'o', POPT_ARG_STRING, &folder, 0, "folder for all results (required)", "FOLDER"},
        {"reference", 'r', POPT_ARG_STRING, &group, 0,
         "group that the corridors are built from [reference]", "GROUP"},
        {"where", 'w', POPT_ARG_STRING, &where, 0,
         "conditions that the reference's swings must meet, as in `swathe corridor`", "CONDITIONS"},
        SWT_CLI_ANALYSIS_OPTIONS(request.batch.options),
        SWT_CLI_CORRIDOR_OPTIONS(corridor),
        SWT_CLI_WITH_PRACTICE(corridor),
        SWT_CLI_PART_OPTION(how),
        SWT_CLI_BATCH_OPTIONS(how),
        POPT_TABLEEND,
    };
    char *quoted = swt_cli_quote(argc, argv);
    swt_cli_line line;
    int code = swt_cli_begin(&line, self, argc, argv, options, 1, 1);

    if (code == SWT_CLI_GO_ON && !folder)
        code = swt_cli_usage(self, "--output is missing");
    if (code == SWT_CLI_GO_ON)
        code = swt_cli_check_analysis(self, &request.batch.options);
    if (code == SWT_CLI_GO_ON)
        code = swt_cli_check_corridor(&request.assessment, self, &corridor);
    if (code == SWT_CLI_GO_ON)
        code = swt_cli_check_batch(&request.batch, self, &how);
    if (code == SWT_CLI_GO_ON) {
        request.batch.command_line = quoted;
        request.batch.sheet_path = line.operand[0];
        request.batch.map_path = map;
        request.folder = folder;
        request.group = group;
        request.where = where;
        request.command_line = quoted;
        code = check_reference(self, &request);
        if (code == SWT_CLI_GO_ON)
            code = run(self, &request);
    }
    swt_cli_end(&line);
    free(quoted);
    return code;
}
