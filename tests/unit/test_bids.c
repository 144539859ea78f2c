/* Recordings of the motion extension of BIDS: what the published schema says
   (rules/sidecars/motion, rules/tabular_data/motion, modality-specific-files/motion), what the
   example datasets of the standard hold, and what must be refused. */
#include "io/bids/bids_name.h"
#include "io/bids/bids_read.h"
#include "io/bids/bids_write.h"
#include "io/capture/read.h"
#include "io/files.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#define HEADER "name\tcomponent\ttype\ttracked_point\tunits\n"
#define POINT(label, unit)                                                                         \
    label "_x\tx\tPOS\t" label "\t" unit "\n" label "_y\ty\tPOS\t" label "\t" unit "\n" label      \
          "_z\tz\tPOS\t" label "\t" unit "\n"

static swt_status parse(swt_capture **out, const char *motion, const char *channels,
                        const char *json, swt_error *err)
{
    swt_bids_channels table;
    swt_bids_facts facts = {0};
    swt_status rc = swt_bids_channels_parse(&table, channels, strlen(channels), err);

    *out = NULL;
    if (rc == SWT_OK)
        rc = swt_bids_facts_add(&facts, json, strlen(json), err);
    if (rc == SWT_OK)
        rc = swt_bids_parse(out, motion, strlen(motion), &table, &facts, err);
    swt_bids_channels_reset(&table);
    return rc;
}

static swt_capture *good(const char *motion, const char *channels, const char *json)
{
    swt_capture *c;
    swt_error err = SWT_ERROR_INIT;

    if (parse(&c, motion, channels, json, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    return c;
}

static void refused(const char *motion, const char *channels, const char *json, const char *words)
{
    swt_capture *c;
    swt_error err = SWT_ERROR_INIT;

    assert_int_equal(parse(&c, motion, channels, json, &err), SWT_EFORMAT);
    assert_null(c);
    if (!strstr(err.msg, words))
        fail_msg("expected \"%s\" in \"%s\"", words, err.msg);
}

static bool warns(const swt_capture *c, const char *part)
{
    for (size_t i = 0; i < c->n_warnings; i++)
        if (strstr(c->warning[i], part))
            return true;
    return false;
}

static const char json_100[] = "{\"TaskName\": \"swing\", \"SamplingFrequency\": 100}";

static void a_plain_recording(void **state)
{
    swt_capture *c = good("1\t2\t3\t4\t5\t6\nn/a\tn/a\tn/a\t7\t8\t-9.25e1\n",
                          HEADER POINT("C7", "mm") POINT("LWRA", "mm"), json_100);

    (void)state;
    assert_int_equal(c->n_frames, 2);
    assert_int_equal(c->n_points, 2);
    assert_string_equal(c->label[0], "C7");
    assert_string_equal(c->label[1], "LWRA");
    assert_string_equal(c->unit, "mm");
    assert_close(c->rate_hz, 100, 0, "rate");
    assert_close(c->xyz[1], 2, 0, "C7.y");
    assert_true(isnan(c->xyz[6]));
    assert_close(c->xyz[11], -92.5, 0, "LWRA.z");
    assert_int_equal(c->n_warnings, 0);
    swt_capture_free(c);
}

/* The layout of the standard's own example datasets: columns in another order, more of them, a
   header row that repeats the names, NaN, quaternions, a latency channel, an effective rate. */
static void the_examples_of_the_standard(void **state)
{
    static const char channels[] =
        "name\ttype\tunits\tsampling_frequency\ttracked_point\tcomponent\tplacement\n"
        "R_quat_w\tORNT\tn/a\t89.3\tR\tquat_w\tR\n"
        "R_cart_x\tPOS\tm\t89.3\tR\tx\tR\n"
        "R_cart_y\tPOS\tm\t89.3\tR\ty\tR\n"
        "R_cart_z\tPOS\tm\t89.3\tR\tz\tR\n"
        "R_Conf\tMISC\tn/a\t89.3\tR\tn/a\tR\n"
        "latency\tLATENCY\tseconds\t89.3\tn/a\tn/a\tn/a\n";
    static const char motion[] = "R_quat_w\tR_cart_x\tR_cart_y\tR_cart_z\tR_Conf\tlatency\n"
                                 "1\t0.5\t0.25\t1.5\t0.75\t0\n"
                                 "1\tNaN\tNaN\tNaN\t0.5\t0.0112\n"
                                 "1\t0.5\t0.25\t1.75\tn/a\t0.0336\n";
    static const char json[] =
        "{\"SamplingFrequency\": 90, \"SamplingFrequencyEffective\": 89.3, "
        "\"TrackingSystemName\": \"omc\", \"SpatialAxes\": \"FRU\", \"StartTime\": \"n/a\"}";
    swt_capture *c = good(motion, channels, json);

    (void)state;
    assert_int_equal(c->n_points, 1);
    assert_int_equal(c->n_frames, 4); /* the latency skips one */
    assert_close(c->rate_hz, 89.3, 1e-12, "the effective rate");
    assert_string_equal(c->format, "BIDS motion, tracking system omc");
    assert_string_equal(c->up_axis, "+Z");
    assert_true(isnan(c->xyz[3]) && isnan(c->xyz[6]));
    assert_close(c->xyz[11], 1.75, 0, "z after the absent frame");
    assert_int_equal(c->n_analog, 1);
    assert_string_equal(c->analog[0].label, "R_Conf");
    assert_close(c->analog[0].sample[1], 0.5, 0, "MISC");
    assert_true(isnan(c->analog[0].sample[2]) && isnan(c->analog[0].sample[3]));
    assert_true(warns(c, "repeats the channels' names"));
    assert_true(warns(c, "1 channels are neither positions nor MISC"));
    assert_true(warns(c, "the effective rate of 89.3 Hz is used, not the nominal 90 Hz"));
    assert_true(warns(c, "1 of 4 frames are absent"));
    swt_capture_free(c);
}

static void units_rates_and_missing_values(void **state)
{
    swt_capture *c;

    (void)state;
    /* several units: the first one's */
    c = good("1\t2\t3\t100\t200\t300\n", HEADER POINT("A", "m") POINT("B", "cm"), json_100);
    assert_string_equal(c->unit, "m");
    assert_close(c->xyz[3], 1, 1e-15, "100 cm");
    assert_true(warns(c, "1 points are in another length unit"));
    swt_capture_free(c);
    c = good("1\t2\t3\t1\t2\t3\n", HEADER POINT("A", "cm") POINT("B", "m"), json_100);
    assert_close(c->xyz[3], 100, 1e-13, "1 m");
    swt_capture_free(c);
    /* no unit: said, and the map may give it */
    c = good("1\t2\t3\n", HEADER POINT("A", "n/a"), json_100);
    assert_string_equal(c->unit, "");
    assert_true(warns(c, "no length unit"));
    swt_capture_free(c);
    /* the file's own spelling of a missing value */
    c = good("1\t2\t3\n-9999\t-9999\t-9999\n", HEADER POINT("A", "m"),
             "{\"SamplingFrequency\": 50, \"MissingValues\": \"-9999\"}");
    assert_true(isnan(c->xyz[3]));
    swt_capture_free(c);
    /* the rate of the channels where the sidecar says n/a */
    c = good("1\t2\t3\n",
             "name\tcomponent\ttype\ttracked_point\tunits\tsampling_frequency\n"
             "a\tx\tPOS\tA\tm\t60\nb\ty\tPOS\tA\tm\t60\nc\tz\tPOS\tA\tm\t60\n",
             "{\"SamplingFrequency\": \"n/a\"}");
    assert_close(c->rate_hz, 60, 0, "rate of the channels");
    swt_capture_free(c);
    c = good("1\t2\t3\n", HEADER POINT("A", "m"), "{\"SamplingFrequency\": \"n/a\"}");
    assert_close(c->rate_hz, 0, 0, "no rate");
    assert_true(warns(c, "state a frame rate"));
    swt_capture_free(c);
    c = good("1\t2\t3\n", HEADER POINT("A", "m"), "{\"SamplingFrequency\": 0.5}");
    assert_close(c->rate_hz, 0.5, 0, "a frame in two seconds");
    swt_capture_free(c);
    /* a byte order mark before the table of channels */
    c = good("1\t2\t3\n", "\xef\xbb\xbf" HEADER POINT("A", "m"), json_100);
    assert_close(c->xyz[2], 3, 0, "z");
    swt_capture_free(c);
    /* a point of two components is left aside */
    c = good("1\t2\t3\t4\t5\n",
             HEADER POINT("A", "m") "b\tx\tPOS\tB\tm\n"
                                    "c\ty\tPOS\tB\tm\n",
             json_100);
    assert_int_equal(c->n_points, 1);
    assert_true(warns(c, "'B' has not all of x, y and z"));
    swt_capture_free(c);
}

static void what_is_refused(void **state)
{
    static const char one[] = HEADER POINT("A", "m");

    (void)state;
    refused("1\t2\n", one, json_100, "line 1: 2 cells, but the table of channels has 3 rows");
    refused("1\t2\t3\n1\ttwo\t3\n", one, json_100, "line 2, column 2 (A_y): 'two' is not a number");
    refused("", one, json_100, "no rows of numbers");
    refused("1\t2\t3\n", "name\tcomponent\ttype\tunits\n", json_100, "no column \"tracked_point\"");
    refused("1\t2\t3\n", HEADER, json_100, "no channels");
    refused("1\t2\t3\n", HEADER "a\tw\tPOS\tA\tm\n", json_100, "component \"w\"");
    refused("1\n", HEADER "a\tn/a\tMISC\tn/a\tV\n", json_100, "holds no positions");
    refused("1\t2\t3\n", HEADER "a\tx\tPOS\tA\tm\nb\tx\tPOS\tA\tm\nc\tz\tPOS\tA\tm\n", json_100,
            "component x of point 'A' twice");
    refused("1\t2\t3\n", HEADER "a\tx\tPOS\tA\tm\nb\ty\tPOS\tA\tmm\nc\tz\tPOS\tA\tm\n", json_100,
            "two units");
    refused("1\t2\t3\t4\t5\t6\n", HEADER POINT("A", "m") POINT("B", "rod"), json_100,
            "positions in 'm' and in 'rod'");
    refused("1\t2\t3\t4\t5\t6\n", HEADER POINT("A", "rod") POINT("B", "m"), json_100,
            "positions in 'rod' and in 'm'");
    refused("1\t2\t3\n", one, "{\"SamplingFrequency\": -1}", "SamplingFrequency");
    refused("1\t2\t3\n", one, "{\"SamplingFrequency\": \"fast\"}", "SamplingFrequency");
    refused("1\t2\t3\n", one, "[100]", "no JSON object");
    refused("1\t2\t3\n", one, "{\"SamplingFrequency\": 100", "no JSON");
    /* times that contradict the rate */
    refused("1\t2\t3\t0\n1\t2\t3\t1\n1\t2\t3\t2\n",
            HEADER POINT("A", "m") "t\tn/a\tLATENCY\tn/a\ts\n", json_100, "make 1 Hz");
}

/* ---- names ---- */

static void names_of_files(void **state)
{
    swt_bids_name name, side;
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    assert_true(swt_bids_name_split(&name, "a/b/sub-01_task-x_tracksys-omc_run-2_motion.tsv"));
    assert_string_equal(swt_bids_name_value(&name, "tracksys"), "omc");
    assert_string_equal(name.suffix, "motion");
    assert_true(swt_bids_name_split(&side, "task-x_motion.json"));
    assert_true(swt_bids_name_applies(&side, &name));
    assert_true(swt_bids_name_split(&side, "task-y_motion.json"));
    assert_false(swt_bids_name_applies(&side, &name));
    assert_false(swt_bids_name_split(&side, "README.md.txt_"));
    assert_false(swt_bids_name_split(&side, "sub-_motion.tsv"));
    assert_int_equal(
        swt_bids_name_check(&name, "sub-1_ses-2_task-x_tracksys-o_acq-a_run-1_motion.tsv", &err),
        SWT_OK);
    assert_int_equal(swt_bids_name_check(&name, "sub-1_task-x_motion.tsv", &err), SWT_EARG);
    assert_int_equal(swt_bids_name_check(&name, "sub-1_tracksys-o_task-x_motion.tsv", &err),
                     SWT_EARG);
    assert_int_equal(swt_bids_name_check(&name, "sub-é_task-x_tracksys-o_motion.tsv", &err),
                     SWT_EARG);
}

/* ---- files ---- */

static void put(const char *folder, const char *name, const char *text)
{
    char path[4096];
    FILE *f;

    snprintf(path, sizeof path, "%s/%s", folder, name);
    f = fopen(path, "w");
    assert_non_null(f);
    fputs(text, f);
    fclose(f);
}

static void sidecars_are_found_up_to_the_root(void **state)
{
    char above[] = "/tmp/swt-bids-XXXXXX", root[64], folder[1024], path[4096];
    swt_error err = SWT_ERROR_INIT;
    swt_capture *c;

    (void)state;
    assert_non_null(mkdtemp(above));
    snprintf(root, sizeof root, "%s/dataset", above);
    snprintf(folder, sizeof folder, "%s/sub-1/ses-a/motion", root);
    assert_int_equal(swt_folder_make(folder, &err), SWT_OK);
    put(folder, "sub-1_ses-a_task-x_tracksys-o_motion.tsv", "1\t2\t3\n");
    snprintf(path, sizeof path, "%s/sub-1_ses-a_task-x_tracksys-o_motion.tsv", folder);
    assert_int_equal(swt_capture_read(&c, path, NULL, &err), SWT_EFORMAT);
    assert_non_null(strstr(err.msg, "no *_channels.tsv"));
    /* the whole dataset's table and facts; a nearer file has the last word on the rate */
    put(root, "task-x_tracksys-o_channels.tsv", HEADER POINT("A", "m"));
    put(root, "task-x_motion.json", "{\"SamplingFrequency\": 100, \"TrackingSystemName\": \"o\"}");
    put(root, "task-y_motion.json", "{\"SamplingFrequency\": 7}");
    snprintf(folder, sizeof folder, "%s/sub-1", root);
    put(folder, "sub-1_motion.json", "{\"SamplingFrequency\": 11}"); /* less close */
    put(folder, "sub-1_task-x_motion.json", "{\"SamplingFrequency\": 200}");
    /* above the dataset is another's ground: this would take the first sample for a missing one */
    put(above, "task-x_motion.json", "{\"MissingValues\": \"1\"}");
    snprintf(folder, sizeof folder, "%s/sub-1/ses-a/motion", root);
    put(folder, "sub-1_ses-a_task-x_tracksys-o_events.tsv",
        "onset\tduration\ttrial_type\n0.25\t0\timpact\nn/a\t0\tlost\n");
    if (swt_capture_read(&c, path, NULL, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    assert_close(c->rate_hz, 200, 0, "the nearer sidecar");
    assert_close(c->xyz[0], 1, 0, "x");
    assert_string_equal(c->format, "BIDS motion, tracking system o");
    assert_int_equal(c->n_events, 1);
    assert_string_equal(c->event[0].label, "impact");
    assert_close(c->event[0].time_s, 0.25, 0, "onset");
    swt_capture_free(c);
    /* a dataset without sessions has one folder less */
    snprintf(folder, sizeof folder, "%s/sub-2/motion", root);
    assert_int_equal(swt_folder_make(folder, &err), SWT_OK);
    put(folder, "sub-2_task-x_tracksys-o_motion.tsv", "1\t2\t3\n");
    snprintf(path, sizeof path, "%s/sub-2_task-x_tracksys-o_motion.tsv", folder);
    if (swt_capture_read(&c, path, NULL, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    assert_close(c->rate_hz, 100, 0, "the dataset's sidecar");
    assert_close(c->xyz[0], 1, 0, "x");
    swt_capture_free(c);
    snprintf(path, sizeof path, "rm -r %s", above);
    assert_int_equal(system(path), 0);
}

static swt_capture *drawn(void)
{
    swt_capture *c = swt_capture_new(40, 5);
    swt_error err = SWT_ERROR_INIT;
    uint64_t seed = 11;

    assert_non_null(c);
    c->rate_hz = 1000.0 / 7;
    assert_int_equal(swt_string_set(&c->unit, "mm", &err), SWT_OK);
    for (size_t p = 0; p < c->n_points; p++) {
        char label[32];
        snprintf(label, sizeof label, "P %zu", p);
        assert_int_equal(swt_string_set(&c->label[p], label, &err), SWT_OK);
    }
    for (size_t i = 0; i < 3 * c->n_frames * c->n_points; i++)
        c->xyz[i] = draw(&seed) < 0.02 ? nan("") : 1e3 * draw_normal(&seed);
    /* a position with one coordinate lost is no position */
    for (size_t i = 0; i < c->n_frames * c->n_points; i++)
        if (isnan(c->xyz[3 * i] + c->xyz[3 * i + 1] + c->xyz[3 * i + 2]))
            c->xyz[3 * i] = c->xyz[3 * i + 1] = c->xyz[3 * i + 2] = nan("");
    assert_int_equal(swt_capture_add_event(c, "late", "", 0.2, &err), SWT_OK);
    assert_int_equal(swt_capture_add_event(c, "early", "", 0.1, &err), SWT_OK);
    return c;
}

static void write_then_read_is_exact(void **state)
{
    char folder[] = "/tmp/swt-bids-XXXXXX", path[4096];
    swt_capture *c = drawn(), *back = NULL;
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    assert_non_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/sub-1_task-x_tracksys-o_motion.tsv", folder);
    if (swt_bids_write(path, c, NULL, &err) != SWT_OK ||
        swt_capture_read(&back, path, NULL, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    assert_int_equal(back->n_frames, c->n_frames);
    assert_int_equal(back->n_points, c->n_points);
    assert_close(back->rate_hz, c->rate_hz, 0, "rate");
    assert_string_equal(back->unit, c->unit);
    for (size_t p = 0; p < c->n_points; p++)
        assert_string_equal(back->label[p], c->label[p]);
    for (size_t i = 0; i < 3 * c->n_frames * c->n_points; i++)
        assert_true(back->xyz[i] == c->xyz[i] || (isnan(back->xyz[i]) && isnan(c->xyz[i])));
    assert_int_equal(back->n_events, 2);
    assert_string_equal(back->event[0].label, "early");
    assert_int_equal(back->n_warnings, 0);
    swt_capture_free(back);
    /* an angle stored as a point is no position */
    c->is_computed = calloc(c->n_points, sizeof *c->is_computed);
    assert_non_null(c->is_computed);
    c->is_computed[0] = c->is_computed[3] = true;
    if (swt_bids_write(path, c, NULL, &err) != SWT_OK ||
        swt_capture_read(&back, path, NULL, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    assert_int_equal(back->n_points, c->n_points - 2);
    assert_string_equal(back->label[0], c->label[1]);
    assert_string_equal(back->label[2], c->label[4]);
    swt_capture_free(back);
    /* what the standard cannot take is refused before anything is written */
    assert_int_equal(swt_string_set(&c->unit, "ft", &err), SWT_OK);
    assert_int_equal(swt_bids_write(path, c, NULL, &err), SWT_EDATA);
    c->rate_hz = 0;
    assert_int_equal(swt_bids_write(path, c, NULL, &err), SWT_EDATA);
    swt_capture_free(c);
    snprintf(path, sizeof path, "rm -r %s", folder);
    assert_int_equal(system(path), 0);
}

/* ---- damage ---- */

static const char whole_motion[] =
    "1\t2\t3\t0.5\t0\nn/a\tn/a\tn/a\tn/a\t0.01\n1.5\t2\t3\t0\t0.02\n";
static const char whole_channels[] =
    HEADER POINT("C7", "mm") "s\tn/a\tMISC\tn/a\tV\nt\tn/a\tLATENCY\tn/a\ts\n";

/* A capture or an error with words, whatever the bytes: exact blocks, so that a sanitizer sees a
   byte too far. */
static void survives(const char *motion, size_t n_motion, const char *channels, size_t n_channels,
                     const char *json, size_t n_json)
{
    void *m = malloc(n_motion + !n_motion), *t = malloc(n_channels + !n_channels),
         *j = malloc(n_json + !n_json);
    swt_bids_channels table = {0};
    swt_bids_facts facts = {0};
    swt_capture *c = NULL;
    swt_error err = SWT_ERROR_INIT;
    swt_status rc;

    memcpy(m, motion, n_motion);
    memcpy(t, channels, n_channels);
    memcpy(j, json, n_json);
    rc = swt_bids_channels_parse(&table, t, n_channels, &err);
    if (rc == SWT_OK)
        rc = swt_bids_facts_add(&facts, j, n_json, &err);
    if (rc == SWT_OK)
        rc = swt_bids_parse(&c, m, n_motion, &table, &facts, &err);
    if (rc != SWT_OK && err.msg[0] == '\0')
        fail_msg("status %d without words", (int)rc);
    assert_true((rc == SWT_OK) == (c != NULL));
    if (c)
        assert_true(c->n_frames <= 5 * 3 + 1000 && c->n_points <= 1);
    swt_capture_free(c);
    swt_bids_channels_reset(&table);
    free(m);
    free(t);
    free(j);
}

static void cut_at_every_byte_and_flipped(void **state)
{
    size_t m = sizeof whole_motion - 1, t = sizeof whole_channels - 1, j = sizeof json_100 - 1;
    uint64_t seed = 3;

    (void)state;
    for (size_t n = 0; n <= m; n++)
        survives(whole_motion, n, whole_channels, t, json_100, j);
    for (size_t n = 0; n <= t; n++)
        survives(whole_motion, m, whole_channels, n, json_100, j);
    for (size_t n = 0; n <= j; n++)
        survives(whole_motion, m, whole_channels, t, json_100, n);
    for (int k = 0; k < 3000; k++) {
        char motion[sizeof whole_motion], channels[sizeof whole_channels], json[sizeof json_100];
        memcpy(motion, whole_motion, sizeof motion);
        memcpy(channels, whole_channels, sizeof channels);
        memcpy(json, json_100, sizeof json);
        for (int flips = 0; flips < 3; flips++) {
            char byte = (char)(unsigned char)(256 * draw(&seed));
            int which = (int)(3 * draw(&seed));
            if (which == 0)
                motion[(size_t)(draw(&seed) * (double)m)] = byte;
            else if (which == 1)
                channels[(size_t)(draw(&seed) * (double)t)] = byte;
            else
                json[(size_t)(draw(&seed) * (double)j)] = byte;
        }
        survives(motion, m, channels, t, json, j);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_plain_recording),
        cmocka_unit_test(the_examples_of_the_standard),
        cmocka_unit_test(units_rates_and_missing_values),
        cmocka_unit_test(what_is_refused),
        cmocka_unit_test(names_of_files),
        cmocka_unit_test(sidecars_are_found_up_to_the_root),
        cmocka_unit_test(write_then_read_is_exact),
        cmocka_unit_test(cut_at_every_byte_and_flipped),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
