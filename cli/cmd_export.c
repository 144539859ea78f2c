/* swathe export: a capture in another format, or a study's swings as a BIDS dataset. */
#include "cli/assess.h"
#include "cli/commands.h"
#include "io/bids/bids_dataset.h"
#include "io/bids/bids_name.h"
#include "io/bids/bids_write.h"
#include "io/c3d/c3d_write.h"
#include "io/capture/read.h"
#include "io/csv/csv_write.h"
#include "io/study/selection.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

typedef struct export_request {
    char *output, *units, *only;
    double rate_hz;
    int is_long, decimal_comma;
} export_request;

static bool ends_in(const char *path, const char *ending)
{
    size_t n = strlen(path), m = strlen(ending);

    return n > m && strcasecmp(path + n - m, ending) == 0;
}

static bool is_study_name(const char *path)
{
    return ends_in(path, ".h5") || ends_in(path, ".hdf5");
}

/* --- one capture -------------------------------------------------------------------------- */

static swt_status write_capture(const export_request *r, const swt_capture *capture, swt_error *err)
{
    swt_csv_options csv = SWT_CSV_OPTIONS_INIT;

    if (swt_bids_is_motion(r->output))
        return swt_bids_write(r->output, capture, NULL, err);
    if (ends_in(r->output, ".c3d"))
        return swt_c3d_write(r->output, capture, NULL, err);
    csv.is_long = r->is_long != 0;
    if (r->decimal_comma) {
        csv.delimiter = ';';
        csv.decimal_mark = ',';
    }
    return swt_csv_write(r->output, capture, &csv, err);
}

/** What the format cannot hold, so that nobody misses it later. */
static void tell_what_is_left_out(const swt_cli_command *self, const export_request *r,
                                  const swt_capture *c)
{
    bool c3d = ends_in(r->output, ".c3d"), bids = swt_bids_is_motion(r->output);

    if (!c3d && !bids && c->n_events > 0)
        swt_cli_fail(self, 0, "%s: CSV holds no events: %zu left out", r->output, c->n_events);
    if (!c3d && !bids && r->is_long && c->n_analog > 0)
        swt_cli_fail(self, 0, "%s: long CSV holds no analog channels: %zu left out", r->output,
                     c->n_analog);
    else if (!c3d && c->n_analog > 0 && c->analog_per_frame > 1)
        swt_cli_fail(self, 0,
                     "%s: analog channels are at the rate of the points, each value the mean over "
                     "one frame's length, centred on the frame; C3D keeps all %zu samples a frame",
                     r->output, c->analog_per_frame);
}

/** What the capture does not state, from the command line. */
static swt_status complete(swt_capture *capture, const export_request *r, swt_error *err)
{
    if (r->rate_hz > 0 && !(capture->rate_hz > 0))
        capture->rate_hz = r->rate_hz;
    if (r->units && swt_metres_per_unit(capture->unit) == 0)
        return swt_string_set(&capture->unit, r->units, err);
    return SWT_OK;
}

static int check_request(const swt_cli_command *self, const export_request *r)
{
    if (!ends_in(r->output, ".c3d") && !ends_in(r->output, ".csv") &&
        !swt_bids_is_motion(r->output))
        return swt_cli_usage(self,
                             "--output %s: the name of a capture ends in .c3d, .csv or "
                             "_motion.tsv (BIDS)",
                             r->output);
    if (r->only)
        return swt_cli_usage(self, "--only chooses swings of a study, not of a capture");
    if (r->units && swt_metres_per_unit(r->units) == 0)
        return swt_cli_usage(self, "--units %s: mm, cm, m, in or ft", r->units);
    if (r->rate_hz < 0 || r->rate_hz > 100000)
        return swt_cli_usage(self, "--rate %g: frames per second, up to 100000", r->rate_hz);
    return SWT_CLI_GO_ON;
}

static int export_capture(const swt_cli_command *self, const export_request *r, const char *source)
{
    swt_capture *capture = NULL;
    swt_error err = SWT_ERROR_INIT;
    int code = check_request(self, r);

    if (code != SWT_CLI_GO_ON)
        return code;
    code = SWT_EXIT_ALL_DONE;
    if (swt_capture_read(&capture, source, NULL, &err) != SWT_OK)
        return swt_cli_fail(self, SWT_EXIT_NO_INPUT, "%s", err.msg);
    if (swt_file_is_new(r->output, &err) != SWT_OK || complete(capture, r, &err) != SWT_OK ||
        write_capture(r, capture, &err) != SWT_OK) {
        code = swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
    } else {
        printf("%s -> %s: %zu frames, %zu points, %zu analog channels\n", source, r->output,
               capture->n_frames, capture->n_points, capture->n_analog);
        tell_what_is_left_out(self, r, capture);
    }
    swt_capture_free(capture);
    return code;
}

/* --- a study ------------------------------------------------------------------------------ */

static int write_dataset(const swt_cli_command *self, const export_request *r,
                         const swt_study *study)
{
    size_t *swing = malloc((study->n_swings + 1) * sizeof *swing), n = 0;
    bool *chosen = NULL;
    swt_error err = SWT_ERROR_INIT;
    int code = SWT_EXIT_ALL_DONE;

    if (!swing)
        return swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "out of memory");
    if (swt_selection_choose(&chosen, study, r->only, &err) == SWT_OK)
        for (size_t i = 0; i < study->n_swings; i++)
            if (chosen[i])
                swing[n++] = i;
    if (!chosen)
        code = swt_cli_fail(self, SWT_EXIT_NO_INPUT, "%s", err.msg);
    else if (n == 0)
        code = swt_cli_fail(self, SWT_EXIT_NO_INPUT, "%s: holds no measured swing", study->path);
    else if (swt_bids_dataset_write(r->output, study, swing, n, &err) != SWT_OK)
        code = swt_cli_fail(self, SWT_EXIT_NO_OUTPUT, "%s", err.msg);
    else
        printf("%s -> %s: a BIDS dataset of %zu swings\n", study->path, r->output, n);
    free(chosen);
    free(swing);
    return code;
}

static int export_study(const swt_cli_command *self, const export_request *r, const char *source)
{
    swt_study *study = NULL;
    swt_error err = SWT_ERROR_INIT;
    int code;

    if (r->is_long || r->decimal_comma || r->units || r->rate_hz != 0)
        return swt_cli_usage(self, "--long, --decimal-comma, --units and --rate are for captures; "
                                   "tables of a study come from `swathe tables`");
    if (ends_in(r->output, ".c3d") || ends_in(r->output, ".csv") || ends_in(r->output, ".tsv"))
        return swt_cli_usage(self, "--output %s: of a study a folder is made, a BIDS dataset",
                             r->output);
    if (swt_study_open(&study, source, &err) != SWT_OK)
        return swt_cli_fail(self, SWT_EXIT_NO_INPUT, "%s", err.msg);
    code = write_dataset(self, r, study);
    swt_study_close(study);
    return code;
}

int swt_cmd_export(const swt_cli_command *self, int argc, char **argv)
{
    export_request r = {0};
    const struct poptOption options[] = {
        {"output", 'o', POPT_ARG_STRING, &r.output, 0,
         "capture: .c3d, .csv or _motion.tsv; study: a new folder (required)", "PATH"},
        {"units", '\0', POPT_ARG_STRING, &r.units, 0, "length unit, where the capture states none",
         "UNIT"},
        {"rate", '\0', POPT_ARG_DOUBLE, &r.rate_hz, 0,
         "frames per second, where the capture states none", "HZ"},
        {"long", '\0', POPT_ARG_NONE, &r.is_long, 0, "CSV with a row a marker and frame", NULL},
        {"decimal-comma", '\0', POPT_ARG_NONE, &r.decimal_comma, 0,
         "CSV with decimal commas and semicolons", NULL},
        SWT_CLI_ONLY(r.only),
        POPT_TABLEEND,
    };
    swt_cli_line line;
    int code = swt_cli_begin(&line, self, argc, argv, options, 1, 1);

    if (code == SWT_CLI_GO_ON && !r.output)
        code = swt_cli_usage(self, "--output is missing");
    if (code == SWT_CLI_GO_ON)
        code = is_study_name(line.operand[0]) ? export_study(self, &r, line.operand[0])
                                              : export_capture(self, &r, line.operand[0]);
    swt_cli_end(&line);
    return code;
}
