/* Reading and writing CSV captures: one swing in many spellings, and what must be refused. */
#include "base/analog.h"
#include "base/numtext.h"
#include "io/capture/read.h"
#include "io/csv/csv_read.h"
#include "io/csv/csv_write.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double pi = 3.14159265358979323846;

static swt_capture *parse(const char *text)
{
    swt_capture *c;
    swt_error err = SWT_ERROR_INIT;

    if (swt_csv_parse(&c, text, strlen(text), &err) != SWT_OK)
        fail_msg("%s\nin:\n%s", err.msg, text);
    return c;
}

static bool warns(const swt_capture *c, const char *part)
{
    for (size_t i = 0; i < c->n_warnings; i++)
        if (strstr(c->warning[i], part))
            return true;
    return false;
}

/* Two markers, three frames at 100 Hz in mm; the second marker is not seen in the second frame. */
static void check_the_usual_content(const char *text)
{
    static const double want[3][2][3] = {
        {{1, 2, 3}, {10.5, 20, 30}}, {{4, 5, 6}, {0, 0, 0}}, {{7, 8, -9.25}, {1e3, 0.5, 2}}};
    swt_capture *c = parse(text);

    assert_int_equal(c->n_points, 2);
    assert_int_equal(c->n_frames, 3);
    assert_string_equal(c->label[0], "LWRA");
    assert_string_equal(c->label[1], "C7");
    assert_string_equal(c->unit, "mm");
    assert_close(c->rate_hz, 100, 1e-9, "rate");
    for (size_t f = 0; f < 3; f++) {
        for (size_t p = 0; p < 2; p++) {
            for (size_t k = 0; k < 3; k++) {
                double got = c->xyz[3 * (2 * f + p) + k];
                if (f == 1 && p == 1)
                    assert_true(isnan(got));
                else
                    assert_close(got, want[f][p][k], 0, text);
            }
        }
    }
    swt_capture_free(c);
}

static void one_recording_in_many_spellings(void **state)
{
    static const char *const texts[] = {
        /* plain */
        "# rate_hz = 100\n# units = mm\n"
        "frame,LWRA.x,LWRA.y,LWRA.z,C7.x,C7.y,C7.z\n"
        "1,1,2,3,10.5,20,30\n2,4,5,6,,,\n3,7,8,-9.25,1e3,0.5,2\n",
        /* no column for time, key rows as cells, CRLF, no last line end */
        "rate,100\r\nunits,mm\r\n\r\n"
        "LWRA_X,LWRA_Y,LWRA_Z,C7_X,C7_Y,C7_Z\r\n"
        "1,2,3,10.5,20,30\r\n4,5,6,NA,NA,NA\r\n7,8,-9.25,1000,.5,2",
        /* byte order mark, semicolons, decimal comma, units in the column names, time in s */
        "\xef\xbb\xbftime (s);LWRA.x (mm);LWRA.y (mm);LWRA.z (mm);C7.x (mm);C7.y (mm);C7.z (mm)\n"
        "0,00;1;2;3;10,5;20;30\n0,01;4;5;6;NaN;NaN;NaN\n0,02;7;8;-9,25;1e3;0,5;2\n",
        /* tabs, two header rows, names above the first axis only, a row of units, time in ms */
        "#units: mm\nFrame\tTime [ms]\tLWRA\t\t\tC7\t\t\n\t\tX\tY\tZ\tX\tY\tZ\n"
        "\t\tmm\tmm\tmm\tmm\tmm\tmm\n"
        "5\t40\t1\t2\t3\t10.5\t20\t30\n6\t50\t4\t5\t6\t-\t-\t-\n7\t60\t7\t8\t-9.25\t1000\t0.5\t2\n",
        /* a title, quoted cells, names repeated over the axes, unrelated columns, blanks */
        "\"Swing 7, driver\"\n\"sampling rate (Hz)\",100\nlength unit,mm\n"
        "shot,LWRA,LWRA,LWRA,force,C7,C7,C7\n,x,y,z,,x,y,z\n"
        "a,1,2,3,\"9,9\",10.5,20,30\nb, 4 ,5,6,,null,null,null\nc,\"7\",8,-9.25,,1000,0.5,2\n",
        /* columns in another order, CR alone, comments between rows */
        "# Rate_Hz: 100 Hz\r# unit = mm\rLWRA:Z,LWRA:X,LWRA:Y,C7:X,C7:Y,C7:Z\r"
        "3,1,2,10.5,20,30\r#half way\r6,4,5,,,\r-9.25,7,8,1000,0.5,2\r",
        /* long form by frame, rows out of order, the unseen marker left out */
        "# rate_hz=100\n# units=mm\nframe,marker,x,y,z\n"
        "11,LWRA,1,2,3\n11,C7,10.5,20,30\n13,LWRA,7,8,-9.25\n12,LWRA,4,5,6\n13,C7,1000,0.5,2\n",
        /* long form by time, unit in the names, further columns */
        "Label;Time_s;X [mm];Y [mm];Z [mm];camera\n"
        "LWRA;0;1;2;3;7\nC7;0;10,5;20;30;7\nLWRA;0,01;4;5;6;7\nC7;0,01;;;;7\n"
        "LWRA;0,02;7;8;-9,25;7\nC7;0,02;1000;0,5;2;7\n",
    };

    (void)state;
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++)
        check_the_usual_content(texts[i]);
}

static void missing_rate_and_unit_are_left_to_the_map(void **state)
{
    swt_capture *c = parse("A.x,A.y,A.z\n1,2,3\n");

    (void)state;
    assert_close(c->rate_hz, 0, 0, "rate");
    assert_string_equal(c->unit, "");
    assert_true(warns(c, "no length unit"));
    assert_true(warns(c, "no frame rate"));
    swt_capture_free(c);
}

static void absent_frames_stay_empty(void **state)
{
    swt_capture *c = parse("frame,A.x,A.y,A.z\n10,1,2,3\n11,1,2,3\n14,4,5,6\n");

    (void)state;
    assert_int_equal(c->n_frames, 5);
    assert_int_equal(c->first_frame, 10);
    assert_true(isnan(c->xyz[3 * 3]));
    assert_close(c->xyz[3 * 4], 4, 0, "frame 14");
    assert_true(warns(c, "2 of 5 frames are absent"));
    swt_capture_free(c);
    c = parse("time,A.x,A.y,A.z\n0,1,2,3\n0.01,1,2,3\n0.02,1,1,1\n0.05,4,5,6\n");
    assert_int_equal(c->n_frames, 6);
    assert_close(c->rate_hz, 100, 1e-9, "rate");
    swt_capture_free(c);
}

/* 240 Hz with times cut to milliseconds: steps of 4 and 5 ms that must not add up to an error. */
static void times_in_milliseconds_give_the_true_rate(void **state)
{
    char *text = malloc(200000), *at = text;
    swt_capture *c;

    (void)state;
    assert_non_null(text);
    at += snprintf(at, 100, "time,A.x,A.y,A.z\n");
    for (int i = 0; i < 2400; i++)
        at += snprintf(at, 60, "%.3f,%d,0,1\n", floor(i / 240.0 * 1000) / 1000, i);
    c = parse(text);
    assert_int_equal(c->n_frames, 2400);
    assert_close(c->rate_hz, 240, 0.05, "rate");
    swt_capture_free(c);
    free(text);
}

static void labels_in_latin_1_become_utf_8(void **state)
{
    swt_capture *c = parse("Kn\366chel.x,Kn\366chel.y,Kn\366chel.z,f\n1,2,3,4\n");

    (void)state;
    assert_string_equal(c->label[0], "Kn\303\266chel");
    swt_capture_free(c);
}

static void mistakes_are_named_with_line_and_column(void **state)
{
    static const struct {
        const char *text, *message;
    } rows[] = {
        {"", "no header"},
        {"\n\n", "no header"},
        {"a,b,c,d\ne,f,g,h\n", "line 1: no coordinate columns"},
        {"A.x,A.y\n1,2\n", "no header"},
        {"A.x,A.y,A.z\n", "no rows"},
        {"A.x,A.y,A.z\n1,2,3\n1,two,3\n", "line 3, column 2: 'two' is not a number"},
        {"A.x,A.y,A.z\r\n1,2,3\r\n1,two,3\r\n", "line 3, column 2: 'two' is not a number"},
        {"A.x,A.y,A.z\r\n\r\n1,2\r\n", "line 3: 2 cells"},
        {"A.x,A.y,A.z\r1,2,3\r\r1,two,3\r", "line 4, column 2: 'two' is not a number"},
        {"A.x,A.y,A.z\n1,2,inf\n", "line 2, column 3: 'inf'"},
        {"A.x,A.y,A.z\n1,2,0x10\n", "line 2, column 3: '0x10'"},
        {"A.x,A.y,A.z\n\n1,2\n", "line 3: 2 cells, the header has 3 columns"},
        {"A.x,A.y,A.z\n1,5,2,5,3,5\n", "line 2: 6 cells, the header has only 3"},
        {"A.x,A.y,A.z\n\"1\n\",2,3\n4,5,\"6\n", "line 4, column 3: a quote"},
        {"A.x,A.y,A.z\n1,2\"3,4\n", "line 2, column 2: a quote"},
        {"A.x,A.y,A.z,A.x\n1,2,3,4\n",
         "line 1, column 4: marker 'A' has its x already in column 1"},
        {"A.x (mm),A.y (cm),A.z (mm)\n1,2,3\n", "line 1, column 2: unit 'cm'"},
        {"# units = m\nA.x (mm),A.y (mm),A.z (mm)\n1,2,3\n", "a key line says unit 'm'"},
        {"# rate_hz = fast\nA.x,A.y,A.z\n1,2,3\n", "line 1: 'fast' is not a frame rate"},
        {"# rate_hz = -5\nA.x,A.y,A.z\n1,2,3\n", "line 1: '-5' is not a frame rate"},
        {"frame,A.x,A.y,A.z\n1,1,2,3\n1,1,2,3\n", "line 3: frame 1 does not come after 1"},
        {"frame,A.x,A.y,A.z\n1.5,1,2,3\n", "line 2: 1.5 is not a frame number"},
        {"frame,A.x,A.y,A.z\n,1,2,3\n", "line 2, column 1: '' is not a frame number"},
        {"frame,A.x,A.y,A.z\n1,1,2,3\n2000000000,1,2,3\n", "line 3: 1999999999 frames after"},
        {"time,A.x,A.y,A.z\n0,1,2,3\n0.01,1,2,3\n0.02,1,2,3\n0.035,1,2,3\n",
         "line 5: time goes on by 0.015 s"},
        {"# rate_hz = 240\ntime,A.x,A.y,A.z\n0,1,2,3\n1,1,2,3\n2,1,2,3\n",
         "the file states 240 Hz, but its times"},
        {"A.x;A.y;A.z;B.x;B.y;B.z\n1,5;2.5;3;4;5;6\n", "line 2, column 2: '2.5' is not a number"},
        {"marker,x,y,z\nA,1,2,3\n", "line 1: a row per marker needs a frame or a time column"},
        {"marker,frame,x,y,z\nA,1,1,2,3\nB,1,1,2,3\nA,1,1,2,3\n",
         "line 4: marker 'A' has this frame twice"},
        {"marker,frame,x,y,z\n,1,1,2,3\n", "line 2, column 1: '' is not a marker's name"},
        {"marker,frame,x,y,x,z\nA,1,1,2,3,4\n", "line 1, column 5: a second column x"},
        {"\xff\xfeT\0i\0", "UTF-16"},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        swt_capture *c;
        swt_error err = SWT_ERROR_INIT;
        swt_status rc = swt_csv_parse(&c, rows[i].text, strlen(rows[i].text), &err);
        if (rc != SWT_EFORMAT)
            fail_msg("row %zu: status %d for:\n%s", i, (int)rc, rows[i].text);
        assert_null(c);
        if (!strstr(err.msg, rows[i].message))
            fail_msg("row %zu: message '%s' lacks '%s'", i, err.msg, rows[i].message);
    }
}

static swt_status parse_exact(swt_capture **c, const char *bytes, size_t size)
{
    char *copy = malloc(size ? size : 1);
    swt_error err = SWT_ERROR_INIT;
    swt_status rc;

    assert_non_null(copy);
    memcpy(copy, bytes, size);
    rc = swt_csv_parse(c, copy, size, &err);
    free(copy);
    assert_true((rc == SWT_OK) == (*c != NULL));
    if (rc != SWT_OK)
        assert_true(err.msg[0] != '\0');
    return rc;
}

static const char wide_text[] = "# rate_hz = 100\n# units = mm\nframe;time;A.x;A.y;A.z;\"B\".x\n";
static const char *const damaged[] = {
    ("# rate_hz = 100\n# units = mm\nframe;time;A.x;A.y;A.z;\"B,\";note\n"
     "1;0,00;1,5;2;3;;\"a \"\"b\"\"\nc\"\n2;0,01;;;;;\n3;0,02;1;2;3;;\n"),
    "frame,marker,x,y,z\n1,A,1,2,3\n1,B,4,5,6\n2,A,1,2,3\n2,B,,,\n",
    "\xef\xbb\xbfTime\tA\t\t\n\tX\tY\tZ\r\n0\t1\t2\t3\r\n0.5\t1\t2\t3\r\n",
};

static void text_cut_at_any_byte_or_damaged_never_crashes(void **state)
{
    static const char replacements[] = ",;\t\"\n\r#.xyz019-eN \0\377";
    uint64_t seed = 99;
    swt_capture *c;

    (void)state;
    assert_int_equal(parse_exact(&c, wide_text, sizeof wide_text - 1), SWT_EFORMAT);
    for (size_t i = 0; i < sizeof damaged / sizeof *damaged; i++) {
        size_t size = strlen(damaged[i]);
        char *copy = malloc(size);
        assert_non_null(copy);
        for (size_t n = 0; n <= size; n++) {
            parse_exact(&c, damaged[i], n);
            swt_capture_free(c);
        }
        for (int k = 0; k < 10000; k++) {
            memcpy(copy, damaged[i], size);
            for (int flips = 1 + (int)(draw(&seed) * 5); flips > 0; flips--)
                copy[(size_t)(draw(&seed) * (double)size)] =
                    replacements[(size_t)(draw(&seed) * (double)sizeof replacements)];
            parse_exact(&c, copy, size);
            swt_capture_free(c);
        }
        free(copy);
    }
}

static swt_capture *made_up(void)
{
    swt_capture *c = swt_capture_new(50, 3);
    static const char *const labels[] = {"A:LWRA", "with, comma", "\"quoted\" \303\244.x"};
    uint64_t seed = 3;

    assert_non_null(c);
    for (size_t i = 0; i < 3; i++)
        assert_int_equal(swt_string_set(&c->label[i], labels[i], NULL), SWT_OK);
    assert_int_equal(swt_string_set(&c->unit, "m", NULL), SWT_OK);
    c->rate_hz = 239.76;
    c->first_frame = 17;
    for (size_t i = 0; i < 450; i++)
        c->xyz[i] = draw_normal(&seed) * pow(10, 6 * draw(&seed) - 3);
    c->xyz[30] = c->xyz[31] = c->xyz[32] = nan("");
    return c;
}

static void what_is_written_reads_back_exactly(void **state)
{
    static const swt_csv_options options[] = {
        {.delimiter = ',', .decimal_mark = '.'},
        {.delimiter = ';', .decimal_mark = ','},
        {.delimiter = '\t', .decimal_mark = ','},
    };
    swt_capture *c = made_up();

    (void)state;
    for (size_t i = 0; i < sizeof options / sizeof *options; i++) {
        char folder[] = "/tmp/swathe-test-XXXXXX", path[128], sha256[SWT_SHA256_TEXT], *bytes;
        swt_capture *d;
        size_t size;
        swt_error err = SWT_ERROR_INIT;
        assert_non_null(mkdtemp(folder));
        snprintf(path, sizeof path, "%s/made.csv", folder);
        assert_int_equal(swt_csv_write(path, c, &options[i], &err), SWT_OK);
        if (swt_capture_read(&d, path, sha256, &err) != SWT_OK)
            fail_msg("%s", err.msg);
        assert_int_equal(strlen(sha256), 64);
        bytes = (char *)read_all(path, &size);
        assert_non_null(bytes);
        bytes[size - 1] = '\0';
        assert_non_null(strstr(bytes, "# rate_hz = 239.76\n")); /* not left to the times */
        assert_null(strstr(bytes, "nan"));
        free(bytes);
        assert_int_equal(d->n_frames, 50);
        assert_int_equal(d->n_points, 3);
        assert_int_equal(d->first_frame, 17);
        assert_close(d->rate_hz, 239.76, 0, "rate");
        assert_string_equal(d->unit, "m");
        for (size_t p = 0; p < 3; p++)
            assert_string_equal(d->label[p], c->label[p]);
        for (size_t k = 0; k < 450; k++)
            if (isnan(c->xyz[k]))
                assert_true(isnan(d->xyz[k]));
            else
                assert_close(d->xyz[k], c->xyz[k], 0, "coordinate");
        swt_capture_free(d);
        remove(path);
        remove(folder);
    }
    swt_capture_free(c);
}

static void the_writer_refuses_columns_without_names_of_their_own(void **state)
{
    swt_capture *c = made_up();
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    assert_int_equal(swt_string_set(&c->label[2], "A:LWRA", NULL), SWT_OK);
    assert_int_equal(swt_csv_print(stdout, c, NULL, &err), SWT_EDATA);
    assert_int_equal(
        swt_csv_print(stdout, c, &(swt_csv_options){.delimiter = ',', .decimal_mark = ','}, &err),
        SWT_EARG);
    swt_capture_free(c);
}

static void a_reader_is_chosen_and_the_path_named(void **state)
{
    char folder[] = "/tmp/swathe-test-XXXXXX", path[128];
    static const char *const names[] = {"text.c3d", "bytes.csv", "bytes"};
    static const char *const contents[] = {"A.x,A.y,A.z\n1,2,3\n", "A.x,A.y,A.z\n1,\001,3\n",
                                           "\001\002\003"};
    static const char *const messages[] = {"not a C3D file", "line 2, column 2",
                                           "neither a C3D file nor delimited text"};

    (void)state;
    assert_non_null(mkdtemp(folder));
    for (size_t i = 0; i < 3; i++) {
        swt_capture *c;
        swt_error err = SWT_ERROR_INIT;
        FILE *file;
        snprintf(path, sizeof path, "%s/%s", folder, names[i]);
        file = fopen(path, "wb");
        assert_non_null(file);
        fputs(contents[i], file);
        fclose(file);
        assert_int_equal(swt_capture_read(&c, path, NULL, &err), SWT_EFORMAT);
        assert_null(c);
        assert_memory_equal(err.msg, path, strlen(path));
        if (!strstr(err.msg, messages[i]))
            fail_msg("'%s' lacks '%s'", err.msg, messages[i]);
        remove(path);
    }
    remove(folder);
}

/* ---- the long form, and analog channels beside the points ---- */

static swt_capture *with_analog(size_t per_frame)
{
    swt_capture *c = swt_capture_new(50, 2);
    swt_error err = SWT_ERROR_INIT;
    static const char *const label[] = {"ACC.X", "ACC.Y", "ACC.Z"};

    assert_non_null(c);
    c->rate_hz = 100;
    assert_int_equal(swt_string_set(&c->unit, "mm", &err), SWT_OK);
    assert_int_equal(swt_string_set(&c->label[0], "C7", &err), SWT_OK);
    assert_int_equal(swt_string_set(&c->label[1], "LWRA", &err), SWT_OK);
    for (size_t i = 0; i < 300; i++)
        c->xyz[i] = i % 6 > 2 && i < 60 ? nan("") : 0.1 * (double)i + 1;
    c->n_analog = 3;
    c->analog_per_frame = per_frame;
    c->analog = calloc(3, sizeof *c->analog);
    assert_non_null(c->analog);
    for (size_t k = 0; k < 3; k++) {
        c->analog[k].sample = malloc(50 * per_frame * sizeof(double));
        assert_non_null(c->analog[k].sample);
        assert_int_equal(swt_string_set(&c->analog[k].label, label[k], &err), SWT_OK);
        assert_int_equal(swt_string_set(&c->analog[k].unit, "m/s2", &err), SWT_OK);
    }
    /* a straight line; a wave of the frames' rate; one of three quarters of it */
    for (size_t i = 0; i < 50 * per_frame; i++) {
        double t = (double)i / (double)per_frame;
        c->analog[0].sample[i] = 2 + 3 * t;
        c->analog[1].sample[i] = sin(2 * pi * t + 0.7);
        c->analog[2].sample[i] = cos(2 * pi * 0.75 * t);
    }
    return c;
}

/* A centred mean leaves a straight line as it is (no shift in time) and takes out a wave of the
   frames' rate, which every n-th sample alone would show as a constant. The gain at f cycles a
   frame is that of n samples, or of n + 1 with halves at the ends: sin(pi f) / (n sin(pi f / n))
   and sin(pi f) / (n tan(pi f / n)). */
static void analog_channels_come_to_the_rate_of_the_points(void **state)
{
    (void)state;
    for (size_t n = 1; n <= 10; n++) {
        swt_capture *c = with_analog(n);
        double line[50], wave[50], slower[50], f = 0.75, m = (double)n;
        double gain = sin(pi * f) / (m * (n % 2 ? sin(pi * f / m) : tan(pi * f / m)));
        swt_analog_at_points(line, c, 0);
        swt_analog_at_points(wave, c, 1);
        swt_analog_at_points(slower, c, 2);
        for (size_t i = 0; i < 50; i++)
            assert_close(line[i], 2 + 3 * (double)i, 1e-12, "straight line");
        for (size_t i = 1; i < 49; i++) {
            assert_close(wave[i], n == 1 ? sin(0.7) : 0, 1e-12, "wave of the frames' rate");
            assert_close(slower[i], gain * cos(2 * pi * f * (double)i), 1e-12, "gain");
        }
        swt_capture_free(c);
    }
}

static swt_capture *written_and_read(const swt_capture *c, const swt_csv_options *options)
{
    char *text = NULL;
    size_t size;
    FILE *stream = open_memstream(&text, &size);
    swt_capture *back;
    swt_error err = SWT_ERROR_INIT;

    assert_non_null(stream);
    if (swt_csv_print(stream, c, options, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    fclose(stream);
    back = parse(text);
    free(text);
    return back;
}

static void wide_and_long_read_back_exactly(void **state)
{
    static const swt_csv_options forms[] = {{',', '.', false, false},
                                            {';', ',', false, false},
                                            {',', '.', false, true},
                                            {'\t', '.', false, true},
                                            {';', ',', false, true}};
    swt_capture *c = with_analog(4);

    (void)state;
    for (size_t k = 0; k < sizeof forms / sizeof *forms; k++) {
        swt_capture *back = written_and_read(c, &forms[k]);
        assert_int_equal(back->n_frames, c->n_frames);
        assert_int_equal(back->n_points, 2); /* ACC.X, ACC.Y, ACC.Z are no marker */
        assert_string_equal(back->label[1], "LWRA");
        assert_string_equal(back->unit, "mm");
        assert_close(back->rate_hz, 100, 0, "rate");
        for (size_t i = 0; i < 300; i++)
            assert_true(back->xyz[i] == c->xyz[i] || (isnan(back->xyz[i]) && isnan(c->xyz[i])));
        assert_true(warns(back, "columns are no whole marker") == !forms[k].is_long);
        swt_capture_free(back);
    }
    swt_capture_free(c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_recording_in_many_spellings),
        cmocka_unit_test(missing_rate_and_unit_are_left_to_the_map),
        cmocka_unit_test(absent_frames_stay_empty),
        cmocka_unit_test(times_in_milliseconds_give_the_true_rate),
        cmocka_unit_test(labels_in_latin_1_become_utf_8),
        cmocka_unit_test(mistakes_are_named_with_line_and_column),
        cmocka_unit_test(text_cut_at_any_byte_or_damaged_never_crashes),
        cmocka_unit_test(what_is_written_reads_back_exactly),
        cmocka_unit_test(the_writer_refuses_columns_without_names_of_their_own),
        cmocka_unit_test(a_reader_is_chosen_and_the_path_named),
        cmocka_unit_test(analog_channels_come_to_the_rate_of_the_points),
        cmocka_unit_test(wide_and_long_read_back_exactly),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
