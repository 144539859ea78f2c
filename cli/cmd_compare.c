/* swathe compare: where the other swings leave the corridors. */
#include "cli/assess.h"
#include "cli/commands.h"
#include "io/report/departures_table.h"
#include "io/study/study_lock.h"

#include <stdio.h>
#include <string.h>

typedef struct request {
    const char *path, *name, *only, *trace;
    bool check;
} request;

/** Finds MEASURE[@EVENT] among what is compared. @return SWT_CLI_GO_ON or the exit code */
static int find_asked(size_t *measure, int *event, const swt_cli_command *self,
                      const swt_assessment *a, const char *text)
{
    size_t length = strcspn(text, "@");

    *event = -1;
    for (int e = 0; text[length] == '@' && e < SWT_EVENT_COUNT; e++)
        if (strcmp(swt_event_name((swt_event)e), text + length + 1) == 0)
            *event = e;
    if (text[length] == '@' && *event < 0)
        return swt_cli_usage(self,
                             "--trace %s: no event of that name; `swathe help events` "
                             "lists them",
                             text);
    for (*measure = 0; *measure < a->n_compared; ++*measure) {
        const char *name = swt_compared_name(&a->compared[*measure]);
        if (strlen(name) != length || strncmp(name, text, length) != 0)
            continue;
        if (a->compared[*measure].in_family)
            return SWT_CLI_GO_ON;
        return swt_cli_usage(self,
                             "--trace %s: not among the %zu measures that departures are "
                             "looked for in",
                             text, a->family.n_members);
    }
    return swt_cli_usage(self,
                         "--trace %s: the corridors have no such curve or measure; "
                         "departures.csv of `swathe tables` names them",
                         text);
}

static int trace(const swt_cli_command *self, const swt_study *study, const swt_assessment *a,
                 const char *asked)
{
    size_t measure = 0;
    int event, code = find_asked(&measure, &event, self, a, asked);

    for (size_t i = 0; code == SWT_CLI_GO_ON && i < a->n_players; i++) {
        swt_assessed_trace found;
        swt_error err = SWT_ERROR_INIT;
        if (!a->player[i].alike)
            continue;
        if (swt_assessment_trace(&found, a, study, &a->player[i], measure, event, &err) != SWT_OK)
            return swt_cli_fail(self, SWT_EXIT_NO_INPUT, "%s: %s", study->path, err.msg);
        swt_cli_print_trace(a, &a->player[i], &found, measure);
        swt_assessed_trace_reset(&found);
    }
    return code == SWT_CLI_GO_ON ? (int)SWT_EXIT_ALL_DONE : code;
}

/** Of some swings alone, or a trace: a question, whose answer is not kept in the study. */
static int answer(const swt_cli_command *self, const request *r, const swt_study *study,
                  const swt_assessment *assessment)
{
    swt_error err = SWT_ERROR_INIT;

    if (r->trace)
        return trace(self, study, assessment, r->trace);
    if (!r->only && swt_cli_keep(r->path, r->name, assessment, true, &err) != SWT_OK)
        return swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
    swt_cli_print_players(assessment);
    for (size_t i = 0; r->check && i < assessment->n_players; i++)
        if (assessment->player[i].found.certainty == SWT_STANDS)
            return SWT_EXIT_OUTSIDE;
    return SWT_EXIT_ALL_DONE;
}

static int compare(const swt_cli_command *self, const request *r)
{
    swt_study *study = NULL;
    swt_assessment *assessment = NULL;
    swt_error err = SWT_ERROR_INIT;
    swt_study_lock lock;
    int code;

    if (swt_study_lock_take(&lock, r->path, &err) != SWT_OK)
        return swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
    code = swt_cli_open_measured(&study, self, r->path);
    if (code == SWT_CLI_GO_ON)
        code = swt_cli_assess_kept(&assessment, self, study, r->name, r->only);
    if (code == SWT_CLI_GO_ON)
        code = answer(self, r, study, assessment);
    swt_assessment_free(assessment);
    swt_study_close(study);
    swt_study_lock_release(&lock);
    return code;
}

int swt_cmd_compare(const swt_cli_command *self, int argc, char **argv)
{
    char *name = NULL, *only = NULL, *traced = NULL;
    int check = 0;
    const struct poptOption options[] = {
        SWT_CLI_CORRIDOR_NAME(name),
        SWT_CLI_ONLY(only),
        {"trace", 't', POPT_ARG_STRING, &traced, 0,
         "what came before a player's departure in this curve or measure, and whether the two go "
         "together in the group; @EVENT: the departure that is on at that event",
         "MEASURE[@EVENT]"},
        {"check", '\0', POPT_ARG_NONE, &check, 0,
         "exit with 5 when a player is outside in most swings, all measures taken together", NULL},
        POPT_TABLEEND,
    };
    swt_cli_line line;
    int code = swt_cli_begin(&line, self, argc, argv, options, 1, 1);

    if (code == SWT_CLI_GO_ON) {
        const request r = {.path = line.operand[0],
                           .name = name ? name : SWT_CLI_CORRIDORS,
                           .only = only,
                           .trace = traced,
                           .check = check != 0};
        code = compare(self, &r);
    }
    swt_cli_end(&line);
    return code;
}
