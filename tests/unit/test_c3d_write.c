/* Writing C3D: what is written must be read back equal, in every processor type and data form. */
#include "io/c3d/c3d_read.h"
#include "io/c3d/c3d_write.h"
#include "io/files.h"
#include "tests/support/support.h"

#include <float.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const swt_c3d_processor processors[] = {SWT_C3D_INTEL, SWT_C3D_DEC, SWT_C3D_SGI};

/* A capture of single-precision numbers, with gaps, residuals, cameras, analog and events. */
static swt_capture *made_up(size_t n_frames, size_t n_points, size_t n_analog)
{
    swt_capture *c = swt_capture_new(n_frames, n_points);
    uint64_t seed = 7;
    char text[32];

    assert_non_null(c);
    c->rate_hz = 240;
    c->residual = calloc(n_frames * n_points + 1, sizeof *c->residual);
    c->cameras = calloc(n_frames * n_points + 1, 1);
    assert_true(c->residual && c->cameras);
    for (size_t i = 0; i < n_frames * n_points; i++) {
        for (size_t k = 0; k < 3; k++)
            c->xyz[3 * i + k] = (double)(float)(3000 * draw(&seed) - 1500);
        c->residual[i] = 0.25f * (float)(int)(draw(&seed) * 255);
        c->cameras[i] = (unsigned char)(draw(&seed) * 128);
        if (draw(&seed) < 0.1) {
            c->residual[i] = -1;
            c->cameras[i] = 0;
        }
    }
    for (size_t p = 0; p < n_points; p++) {
        snprintf(text, sizeof text, "marker %zu", p);
        assert_int_equal(swt_string_set(&c->label[p], text, NULL), SWT_OK);
    }
    assert_int_equal(swt_string_set(&c->unit, "mm", NULL), SWT_OK);
    assert_int_equal(swt_string_set(&c->up_axis, "+Z", NULL), SWT_OK);
    c->n_analog = n_analog;
    c->analog_per_frame = n_analog ? 2 : 0;
    c->analog = calloc(n_analog + 1, sizeof *c->analog);
    assert_non_null(c->analog);
    for (size_t k = 0; k < n_analog; k++) {
        snprintf(text, sizeof text, "channel %zu", k);
        assert_int_equal(swt_string_set(&c->analog[k].label, text, NULL), SWT_OK);
        assert_int_equal(swt_string_set(&c->analog[k].unit, "V", NULL), SWT_OK);
        c->analog[k].sample = calloc(n_frames * 2, sizeof(double));
        assert_non_null(c->analog[k].sample);
        for (size_t i = 0; i < n_frames * 2; i++)
            c->analog[k].sample[i] = (double)(float)(10 * draw(&seed) - 5);
    }
    return c;
}

static swt_capture *there_and_back(const swt_capture *c, const swt_c3d_options *options)
{
    unsigned char *bytes;
    size_t size;
    swt_capture *again;
    swt_error err = SWT_ERROR_INIT;

    if (swt_c3d_format(&bytes, &size, c, options, &err) != SWT_OK)
        fail_msg("writing: %s", err.msg);
    assert_int_equal(size % 512, 0);
    if (swt_c3d_parse(&again, bytes, size, &err) != SWT_OK)
        fail_msg("reading: %s", err.msg);
    free(bytes);
    assert_int_equal(again->n_frames, c->n_frames);
    assert_int_equal(again->n_points, c->n_points);
    return again;
}

static void reals_come_back_exactly_from_every_processor(void **state)
{
    swt_capture *c = made_up(40, 9, 3);

    (void)state;
    c->xyz[0] = (double)FLT_MIN; /* 2^-126, and what is near the limits of both formats */
    c->xyz[1] = ldexp(1, 126);
    c->xyz[2] = -ldexp(8388607, -149); /* largest subnormal single */
    c->xyz[3] = -0.0;
    for (size_t m = 0; m < 3; m++) {
        swt_c3d_options options = {.processor = processors[m]};
        swt_capture *d = there_and_back(c, &options);
        if (processors[m] == SWT_C3D_DEC)
            d->xyz[3] =
                -d->xyz[3]; /* VAX has no negative zero: its bits are the reserved operand */
        assert_memory_equal(d->xyz, c->xyz, 3 * 40 * 9 * sizeof *c->xyz);
        assert_memory_equal(d->residual, c->residual, 40 * 9 * sizeof *c->residual);
        assert_memory_equal(d->cameras, c->cameras, 40 * 9);
        for (size_t k = 0; k < 3; k++) {
            assert_memory_equal(d->analog[k].sample, c->analog[k].sample, 80 * sizeof(double));
            assert_string_equal(d->analog[k].label, c->analog[k].label);
        }
        assert_string_equal(d->label[8], "marker 8");
        assert_string_equal(d->unit, "mm");
        assert_string_equal(d->up_axis, "+Z");
        assert_close(d->rate_hz, 240, 0, "rate");
        assert_int_equal(d->n_warnings, 0);
        swt_capture_free(d);
    }
    swt_capture_free(c);
}

static int word_at(const unsigned char *p)
{
    return (short)(unsigned short)(p[0] | p[1] << 8);
}

static double real_at(const unsigned char *p) /* this machine's own float, which Intel's is */
{
    float value;

    memcpy(&value, p, sizeof value);
    return (double)value;
}

/* Data of a parameter in a section of Intel's numbers, found by walking through it; fails when
 * there is none. By the format's description alone: the reader is not asked. */
static const unsigned char *parameter_of(const unsigned char *bytes, const char *group,
                                         const char *name)
{
    const unsigned char *at = bytes + 512 * (bytes[0] - 1) + 4;
    size_t n_group = strlen(group), n_name = strlen(name);
    int id = 0;

    for (int pass = 0; pass < 2; pass++)
        for (const unsigned char *p = at; p[0] != 0;) {
            size_t length = (size_t)abs((signed char)p[0]);
            int its_id = (signed char)p[1], offset = word_at(p + 2 + length);
            const unsigned char *after = p + 2 + length;
            if (pass == 0 && its_id < 0 && length == n_group && memcmp(p + 2, group, length) == 0)
                id = -its_id;
            if (pass == 1 && its_id == id && length == n_name && memcmp(p + 2, name, length) == 0)
                return after + 4 + after[3]; /* offset, type, number of dimensions, dimensions */
            if (offset == 0)
                break;
            p = after + offset;
        }
    fail_msg("no parameter %s:%s", group, name);
    return NULL;
}

/* Other programs believe the parameters where this one believes the header. */
static void parameters_say_what_the_header_says(void **state)
{
    swt_capture *c = made_up(40, 9, 3);

    (void)state;
    for (int integers = 0; integers < 2; integers++) {
        swt_c3d_options options = {.processor = SWT_C3D_INTEL, .integers = integers};
        unsigned char *b;
        size_t size;
        double scale;
        assert_int_equal(swt_c3d_format(&b, &size, c, &options, NULL), SWT_OK);
        scale = real_at(b + 12);
        assert_true(integers ? scale > 0 : scale < 0); /* negative: the points are reals */
        assert_close(real_at(parameter_of(b, "POINT", "SCALE")), scale, 0, "POINT:SCALE");
        assert_int_equal(word_at(b + 2), 9);
        assert_int_equal(word_at(parameter_of(b, "POINT", "USED")), 9);
        assert_int_equal(word_at(b + 8) - word_at(b + 6) + 1, 40);
        assert_int_equal(word_at(parameter_of(b, "POINT", "FRAMES")), 40);
        assert_int_equal(word_at(parameter_of(b, "POINT", "DATA_START")), word_at(b + 16));
        assert_close(real_at(parameter_of(b, "POINT", "RATE")), 240, 0, "POINT:RATE");
        assert_close(real_at(b + 20), 240, 0, "rate in the header");
        assert_memory_equal(parameter_of(b, "POINT", "UNITS"), "mm", 2);
        assert_int_equal(word_at(parameter_of(b, "ANALOG", "USED")), 3);
        assert_int_equal(word_at(b + 4), 3 * word_at(b + 18));
        assert_int_equal(word_at(b + 18), 2);
        assert_close(real_at(parameter_of(b, "ANALOG", "RATE")), 480, 0, "ANALOG:RATE");
        assert_close(real_at(parameter_of(b, "ANALOG", "GEN_SCALE")), 1, 0, "ANALOG:GEN_SCALE");
        if (integers) { /* the largest coordinate nearly fills a word */
            double most = 0;
            for (size_t i = 0; i < 3 * 40 * 9; i++)
                most = fmax(most, fabs(c->xyz[i]));
            assert_close(most / scale, 32000, 1, "largest coordinate in steps");
        }
        free(b);
    }
    swt_capture_free(c);
}

static void integers_come_back_within_half_a_step(void **state)
{
    swt_capture *c = made_up(40, 9, 3);

    (void)state;
    for (size_t m = 0; m < 3; m++) {
        swt_c3d_options options = {.processor = processors[m], .integers = true};
        swt_capture *d = there_and_back(c, &options);
        for (size_t i = 0; i < 3 * 40 * 9; i++)
            assert_close(d->xyz[i], c->xyz[i], 0.5 * 1500 / 32000 + 1e-6, "coordinate");
        for (size_t i = 0; i < 80; i++)
            assert_close(d->analog[1].sample[i], c->analog[1].sample[i], 0.5 * 5 / 32000 + 1e-9,
                         "analog sample");
        for (size_t i = 0; i < 40 * 9; i++)
            assert_true((d->residual[i] < 0) == (c->residual[i] < 0));
        swt_capture_free(d);
    }
    swt_capture_free(c);
}

static void a_missing_coordinate_is_written_as_invalid(void **state)
{
    (void)state;
    for (size_t axis = 0; axis < 3; axis++) {
        swt_capture *c = made_up(2, 2, 0), *d;
        c->xyz[3 + axis] = nan("");
        d = there_and_back(c, NULL);
        assert_true(d->residual[1] < 0);
        for (size_t k = 3; k < 6; k++)
            assert_close(d->xyz[k], 0, 0, "coordinate of a missing point");
        assert_false(swt_capture_has_point(d, 0, 1, false));
        swt_capture_free(c);
        swt_capture_free(d);
    }
}

static void long_captures_and_long_lists_survive(void **state)
{
    swt_capture *c = made_up(70001, 1, 0), *d;

    (void)state;
    c->first_frame = 66000;
    d = there_and_back(c, &(swt_c3d_options){.processor = SWT_C3D_SGI});
    assert_int_equal(d->first_frame, 66000);
    assert_memory_equal(d->xyz, c->xyz, 3 * 70001 * sizeof *c->xyz);
    swt_capture_free(c);
    swt_capture_free(d);

    c = made_up(2, 700, 300);
    for (int i = 0; i < 600; i++)
        assert_int_equal(swt_capture_add_event(c, i % 2 ? "odd" : "even", "General", i * 0.5, NULL),
                         SWT_OK);
    c->first_frame = 100;
    c->is_computed = calloc(700, sizeof *c->is_computed);
    assert_non_null(c->is_computed);
    c->is_computed[3] = c->is_computed[699] = true;
    d = there_and_back(c, NULL);
    assert_memory_equal(d->xyz, c->xyz, 3 * 2 * 700 * sizeof *c->xyz);
    for (size_t i = 0; i < 700; i++)
        assert_string_equal(d->label[i], c->label[i]);
    assert_memory_equal(d->is_computed, c->is_computed, 700 * sizeof *c->is_computed);
    for (size_t k = 0; k < 300; k++)
        assert_memory_equal(d->analog[k].sample, c->analog[k].sample, 4 * sizeof(double));
    assert_int_equal(d->n_events, 600);
    for (size_t i = 0; i < 600; i++) {
        assert_close(d->event[i].time_s, c->event[i].time_s, 1e-5, "event time");
        assert_string_equal(d->event[i].label, c->event[i].label);
        assert_string_equal(d->event[i].context, "General");
    }
    swt_capture_free(c);
    swt_capture_free(d);
}

static void what_the_format_cannot_hold_is_refused(void **state)
{
    swt_capture *c = made_up(2, 2, 1);
    unsigned char *bytes;
    size_t size;
    char long_label[300];
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    c->xyz[0] = 2e38; /* fits an IEEE single, not a VAX F */
    assert_int_equal(
        swt_c3d_format(&bytes, &size, c, &(swt_c3d_options){.processor = SWT_C3D_DEC}, &err),
        SWT_EDATA);
    assert_null(bytes);
    assert_non_null(strstr(err.msg, "marker 0, frame 0"));
    c->xyz[0] = 1e4;
    assert_int_equal(
        swt_c3d_format(&bytes, &size, c,
                       &(swt_c3d_options){.processor = SWT_C3D_SGI, .integers = true, .step = 0.1},
                       &err),
        SWT_EDATA);
    c->xyz[0] = 1;
    c->analog[0].sample[1] = nan("");
    assert_int_equal(swt_c3d_format(&bytes, &size, c, NULL, &err), SWT_EDATA);
    c->analog[0].sample[1] = 0;
    memset(long_label, 'a', sizeof long_label);
    long_label[sizeof long_label - 1] = '\0';
    assert_int_equal(swt_string_set(&c->label[1], long_label, NULL), SWT_OK);
    assert_int_equal(swt_c3d_format(&bytes, &size, c, NULL, &err), SWT_EDATA);
    assert_non_null(strstr(err.msg, "299 bytes"));
    assert_int_equal(swt_c3d_format(&bytes, &size, c, &(swt_c3d_options){.processor = 12}, &err),
                     SWT_EARG);
    swt_capture_free(c);
    c = swt_capture_new(0, 3);
    assert_int_equal(swt_c3d_format(&bytes, &size, c, NULL, &err), SWT_EARG);
    swt_capture_free(c);
}

static void a_file_appears_whole_or_not_at_all(void **state)
{
    char folder[] = "/tmp/swathe-test-XXXXXX", path[128];
    swt_capture *c = made_up(3, 2, 0), *d;
    unsigned char *bytes;
    size_t size;

    (void)state;
    assert_non_null(mkdtemp(folder));
    snprintf(path, sizeof path, "%s/made.c3d", folder);
    assert_int_equal(swt_c3d_write(path, c, NULL, NULL), SWT_OK);
    assert_int_equal(swt_file_read(&bytes, &size, path, NULL), SWT_OK);
    assert_int_equal(swt_c3d_parse(&d, bytes, size, NULL), SWT_OK);
    assert_memory_equal(d->xyz, c->xyz, 18 * sizeof *c->xyz);
    free(bytes);
    remove(path);
    remove(folder);
    assert_int_equal(swt_c3d_write(path, c, NULL, NULL), SWT_EIO);
    swt_capture_free(c);
    swt_capture_free(d);
}

/* Real recordings through the writer: reals exactly; integer files' products within the rounding
   of a single. */
static void real_recordings_survive_the_writer(void **state)
{
    static const char *const names[] = {"standard/s01b.c3d",  "standard/s01e.c3d",
                                        "standard/s00j.c3d",  "standard/s26d.c3d",
                                        "swings/swing_a.c3d", "swings/swing_b.c3d"};

    (void)state;
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        const char *path = real_capture(names[i]);
        unsigned char *bytes;
        size_t size;
        swt_capture *c, *d;
        if (!path)
            skip();
        bytes = read_all(path, &size);
        assert_int_equal(swt_c3d_parse(&c, bytes, size, NULL), SWT_OK);
        free(bytes);
        d = there_and_back(c, &(swt_c3d_options){.processor = processors[i % 3]});
        assert_int_equal(d->first_frame, c->first_frame);
        assert_int_equal(d->n_events, c->n_events);
        for (size_t k = 0; k < 3 * c->n_frames * c->n_points; k++) {
            double want = c->xyz[k];
            if (isfinite(want))
                assert_close(d->xyz[k], (double)(float)want, 0, names[i]);
        }
        for (size_t k = 0; k < c->n_frames * c->n_points; k++)
            if (isfinite(c->xyz[3 * k]))
                assert_true((c->residual[k] < 0) == (d->residual[k] < 0));
        swt_capture_free(c);
        swt_capture_free(d);
    }
}

/* A parameter section that starts late, is padded with junk before and after, and gives a wrong
   number of its own blocks: the header's pointers count. */
static void late_and_padded_sections_read_the_same(void **state)
{
    enum { BLOCK = 512, LATE = 3, PADDING = 2 };
    swt_capture *c = made_up(20, 5, 2), *back;
    unsigned char *bytes, *moved;
    size_t size, data;
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    for (size_t k = 0; k < sizeof processors / sizeof *processors; k++) {
        const swt_c3d_options options = {processors[k], false, 0};
        bool big = processors[k] == SWT_C3D_SGI;
        assert_int_equal(swt_c3d_format(&bytes, &size, c, &options, &err), SWT_OK);
        data = (size_t)(bytes[16 + big] - 1) * BLOCK;
        moved = malloc(size + (LATE + PADDING) * BLOCK);
        assert_non_null(moved);
        memset(moved, 0x5a, size + (LATE + PADDING) * BLOCK);
        memcpy(moved, bytes, BLOCK);
        memcpy(moved + (1 + LATE) * BLOCK, bytes + BLOCK, data - BLOCK);
        memcpy(moved + data + (LATE + PADDING) * BLOCK, bytes + data, size - data);
        moved[0] = 2 + LATE;
        moved[16 + big] = (unsigned char)(moved[16 + big] + LATE + PADDING);
        moved[(1 + LATE) * BLOCK + 2] = 1; /* blocks of the section, often wrong */
        if (swt_c3d_parse(&back, moved, size + (LATE + PADDING) * BLOCK, &err) != SWT_OK)
            fail_msg("%s", err.msg);
        assert_int_equal(back->n_frames, 20);
        assert_string_equal(back->label[4], "marker 4");
        for (size_t i = 0; i < (size_t)3 * 20 * 5; i++)
            assert_close(back->xyz[i], c->xyz[i], 0, "coordinate");
        for (size_t i = 0; i < (size_t)2 * 20; i++)
            assert_close(back->analog[1].sample[i], c->analog[1].sample[i], 0, "analog");
        swt_capture_free(back);
        free(moved);
        free(bytes);
    }
    swt_capture_free(c);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reals_come_back_exactly_from_every_processor),
        cmocka_unit_test(parameters_say_what_the_header_says),
        cmocka_unit_test(integers_come_back_within_half_a_step),
        cmocka_unit_test(a_missing_coordinate_is_written_as_invalid),
        cmocka_unit_test(long_captures_and_long_lists_survive),
        cmocka_unit_test(what_the_format_cannot_hold_is_refused),
        cmocka_unit_test(a_file_appears_whole_or_not_at_all),
        cmocka_unit_test(real_recordings_survive_the_writer),
        cmocka_unit_test(late_and_padded_sections_read_the_same),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
