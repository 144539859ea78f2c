/* swathe generate: a swing of the forward model as a capture with known truth. */
#include "cli/analysis_options.h"
#include "cli/commands.h"
#include "cli/demo_study.h"
#include "datasets/generator/model.h"
#include "io/c3d/c3d_write.h"
#include "io/csv/csv_write.h"
#include "io/files.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct swing_request {
    char *output, *truth, *club, *fault;
    double rate_hz, noise_mm, soft_tissue_mm, shot, height_m, fault_amount;
    long seed, player, sound;
    int left_handed;
} swing_request;

static const struct {
    const char *name;
    swt_model_fault fault;
} faults[] = {
    {"none", SWT_FAULT_NONE},
    {"deep-early", SWT_FAULT_DEEP_EARLY},
    {"out", SWT_FAULT_OUT},
    {"hurried", SWT_FAULT_HURRIED},
};

static bool has_ending(const char *path, const char *ending)
{
    size_t n = strlen(path), m = strlen(ending);
    return n >= m && strcmp(path + n - m, ending) == 0;
}

/** Checks the request and draws player and swing. */
static int plan(swt_model_player *player, swt_model_swing *swing, swt_model_recording *recording,
                const swt_cli_command *self, const swing_request *r)
{
    const struct {
        const char *name;
        double value, low, high;
    } ranges[] = {
        {"rate", r->rate_hz, 20, 5000},
        {"noise", r->noise_mm, 0, 50},
        {"soft-tissue", r->soft_tissue_mm, 0, 50},
        {"shot", r->shot, 0.25, 1},
        {"height", r->height_m, 1.2, 2.3},
        {"amount", r->fault_amount, 0, 3},
        {"seed", (double)r->seed, 0, 1e15},
        {"player", (double)r->player, -1, 1e15},
        {"sound", (double)r->sound, 0, 1000},
    };
    size_t f = 0;

    for (size_t i = 0; i < sizeof ranges / sizeof ranges[0]; i++) {
        int code = swt_cli_check_range(self, ranges[i].name, ranges[i].value, ranges[i].low,
                                       ranges[i].high);
        if (code != SWT_CLI_GO_ON)
            return code;
    }
    while (r->fault && f < sizeof faults / sizeof faults[0] && strcmp(faults[f].name, r->fault))
        f++;
    if (f == sizeof faults / sizeof faults[0])
        return swt_cli_usage(self, "--fault %s: none, deep-early, out or hurried", r->fault);
    *player = swt_model_player_default(r->height_m);
    player->left_handed = r->left_handed != 0;
    *swing = swt_model_swing_default(r->club ? r->club : "driver");
    swing->shot = r->shot;
    const long drawn = r->player < 0 ? r->seed : r->player;
    if (drawn > 0)
        swt_model_draw_player(player, swing, (uint64_t)drawn);
    if (r->seed > 0)
        swt_model_draw_swing(swing, (uint64_t)r->seed + 1);
    swt_model_add_fault(swing, faults[f].fault, r->fault_amount);
    *recording = swt_model_recording_default();
    recording->rate_hz = r->rate_hz;
    recording->noise_m = r->noise_mm / 1000;
    recording->soft_tissue_m = r->soft_tissue_mm / 1000;
    recording->seed = (uint64_t)r->seed + 2;
    recording->sound_per_frame = (size_t)r->sound;
    return SWT_CLI_GO_ON;
}

static swt_status write_truth(const char *path, const swt_model_truth *truth, swt_error *err)
{
    swt_file_draft draft;
    swt_status rc = swt_draft_open(&draft, path, err);

    if (rc != SWT_OK)
        return rc;
    fprintf(draft.stream, "event,time_s,reason");
    for (int s = 0; s < SWT_TRUE_SERIES; s++)
        fprintf(draft.stream, ",%s (%s)", swt_model_series_name((swt_model_series)s),
                swt_model_series_unit((swt_model_series)s));
    fputc('\n', draft.stream);
    for (int e = 0; e < SWT_TRUE_EVENTS; e++) {
        fprintf(draft.stream, "\"%s\",", swt_model_event_name((swt_model_event)e));
        if (isfinite(truth->event_s[e]))
            fprintf(draft.stream, "%.17g", truth->event_s[e]);
        fprintf(draft.stream, ",%s", truth->event_reason[e]);
        for (int s = 0; s < SWT_TRUE_SERIES; s++) {
            fputc(',', draft.stream);
            if (isfinite(truth->at_event[e][s]))
                fprintf(draft.stream, "%.17g", truth->at_event[e][s]);
        }
        fputc('\n', draft.stream);
    }
    return swt_draft_commit(&draft, err);
}

static int make_swing(const swt_cli_command *self, const swing_request *request)
{
    swt_model_player player;
    swt_model_swing swing;
    swt_model_recording recording;
    swt_capture *capture = NULL;
    swt_model_truth *truth = NULL;
    swt_error err = SWT_ERROR_INIT;
    swt_status rc;
    int code = plan(&player, &swing, &recording, self, request);

    if (code != SWT_CLI_GO_ON)
        return code;
    rc = swt_model_capture(&capture, &truth, &player, &swing, &recording, &err);
    if (rc != SWT_OK)
        return swt_cli_fail(self, SWT_EXIT_USAGE, "%s", err.msg);
    code = SWT_EXIT_ALL_DONE;
    rc = has_ending(request->output, ".csv") ? swt_csv_write(request->output, capture, NULL, &err)
                                             : swt_c3d_write(request->output, capture, NULL, &err);
    if (rc == SWT_OK && request->truth)
        rc = write_truth(request->truth, truth, &err);
    if (rc != SWT_OK)
        code = swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
    else
        printf("%s: %zu frames at %g Hz, %zu markers\n", request->output, capture->n_frames,
               capture->rate_hz, capture->n_points);
    swt_capture_free(capture);
    swt_model_truth_free(truth);
    return code;
}

int swt_cmd_generate(const swt_cli_command *self, int argc, char **argv)
{
    swing_request r = {
        .rate_hz = 240, .shot = 1, .height_m = 1.78, .fault_amount = 1, .player = -1};
    const struct poptOption options[] = {
        {"output", 'o', POPT_ARG_STRING, &r.output, 0,
         "demo: the folder; swing: the capture, .c3d or .csv (required)", "PATH"},
        {"truth", '\0', POPT_ARG_STRING, &r.truth, 0, "also write the true events and values there",
         "FILE"},
        {"club", '\0', POPT_ARG_STRING, &r.club, 0, "driver, 7-iron or wedge [driver]", "CLUB"},
        {"shot", '\0', POPT_ARG_DOUBLE, &r.shot, 0, "1 full, 0.5 half: how far back it goes",
         "PART"},
        {"height", '\0', POPT_ARG_DOUBLE, &r.height_m, 0, "of the player", "M"},
        {"left-handed", '\0', POPT_ARG_NONE, &r.left_handed, 0, "a left-handed player", NULL},
        {"fault", '\0', POPT_ARG_STRING, &r.fault, 0, "none, deep-early, out or hurried [none]",
         "FAULT"},
        {"amount", '\0', POPT_ARG_DOUBLE, &r.fault_amount, 0, "of the fault; 1 is plain to see",
         "X"},
        {"seed", '\0', POPT_ARG_LONG, &r.seed, 0,
         "draws a player and a swing; 0 = the average ones", "N"},
        {"player", '\0', POPT_ARG_LONG, &r.player, 0,
         "draws the player apart, for several swings of one; 0 = the average one, -1 = as --seed",
         "N"},
        {"rate", '\0', POPT_ARG_DOUBLE, &r.rate_hz, 0, "frames a second", "HZ"},
        {"noise", '\0', POPT_ARG_DOUBLE, &r.noise_mm, 0, "SD of the marker noise", "MM"},
        {"sound", '\0', POPT_ARG_LONG, &r.sound, 0,
         "samples a frame of an analog channel \"Sound\" that rings at contact; 0 = none", "N"},
        {"soft-tissue", '\0', POPT_ARG_DOUBLE, &r.soft_tissue_mm, 0, "SD of markers on the skin",
         "MM"},
        POPT_TABLEEND,
    };
    swt_cli_line line;
    int code = swt_cli_begin(&line, self, argc, argv, options, 1, 1);

    if (code == SWT_CLI_GO_ON && !r.output)
        code = swt_cli_usage(self, "--output is missing");
    if (code == SWT_CLI_GO_ON && strcmp(line.operand[0], "swing") == 0)
        code = make_swing(self, &r);
    else if (code == SWT_CLI_GO_ON && strcmp(line.operand[0], "demo") == 0)
        code = swt_cli_make_demo(self, r.output);
    else if (code == SWT_CLI_GO_ON)
        code = swt_cli_usage(self, "'%s': demo or swing", line.operand[0]);
    swt_cli_end(&line);
    return code;
}
