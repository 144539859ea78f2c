/* Reading C3D: files built byte by byte here, and files broken in every way that can be enumerated.
   Real files are read in test_c3d_real.c. */
#include "io/c3d/c3d_number.h"
#include "io/c3d/c3d_read.h"
#include "tests/support/c3d_bytes.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static swt_capture *parse(const c3d_bytes *f)
{
    swt_capture *c;
    swt_error err = SWT_ERROR_INIT;

    if (swt_c3d_parse(&c, f->bytes, f->size, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    return c;
}

static void assert_refused(const c3d_bytes *f, const char *part_of_message)
{
    swt_capture *c;
    swt_error err = SWT_ERROR_INIT;

    assert_int_equal(swt_c3d_parse(&c, f->bytes, f->size, &err), SWT_EFORMAT);
    assert_null(c);
    if (!strstr(err.msg, part_of_message))
        fail_msg("message '%s' lacks '%s'", err.msg, part_of_message);
}

static bool warns(const swt_capture *c, const char *part)
{
    for (size_t i = 0; i < c->n_warnings; i++)
        if (strstr(c->warning[i], part))
            return true;
    return false;
}

/* ---- files built here ---- */

/* Two points, `frames` frames of reals: x = 100 f + 10 p, y = x + 1, z = x + 2. */
static void add_real_frames(c3d_bytes *f, unsigned points, unsigned frames)
{
    for (unsigned i = 0; i < frames; i++) {
        for (unsigned p = 0; p < points; p++) {
            float x = (float)(100 * i + 10 * p);
            c3d_real(f, x);
            c3d_real(f, x + 1);
            c3d_real(f, x + 2);
            c3d_real(f, 0);
        }
    }
}

static void small_file(c3d_bytes *f)
{
    static const char *const labels[] = {"LEFT", "RIGHT"}, *const unit[] = {"mm"};

    c3d_begin(f, 2, 0, 1, 3, -0.5f, 0, 200);
    c3d_group(f, 1, "POINT");
    c3d_parameter_texts(f, 1, "LABELS", labels, 2);
    c3d_parameter_texts(f, 1, "UNITS", unit, 1);
    c3d_parameter_words(f, 1, "FRAMES", (unsigned[]){3}, 1);
    c3d_begin_data(f);
    add_real_frames(f, 2, 3);
}

static void a_small_file_reads_exactly(void **state)
{
    c3d_bytes f;
    swt_capture *c;

    (void)state;
    small_file(&f);
    c = parse(&f);
    assert_int_equal(c->n_frames, 3);
    assert_string_equal(c->label[1], "RIGHT");
    assert_string_equal(c->unit, "mm");
    assert_close(c->rate_hz, 200, 0, "rate");
    assert_close(c->xyz[(2 * 2 + 1) * 3 + 2], 212, 0, "frame 2, point 1, z");
    assert_null(c->is_computed);
    assert_int_equal(c->n_warnings, 0);
    swt_capture_free(c);
    c3d_free(&f);
}

static void parameters_may_precede_their_group_and_be_locked(void **state)
{
    c3d_bytes f;
    swt_capture *c;
    static const char *const labels[] = {"ONE"};

    (void)state;
    c3d_begin(&f, 1, 0, 1, 1, -1, 0, 100);
    c3d_parameter_texts(&f, 5, "labels", labels, 1);
    f.bytes[516] = (unsigned char)-6; /* locked: a negative length of the name */
    c3d_group(&f, 5, "Point");
    c3d_begin_data(&f);
    add_real_frames(&f, 1, 1);
    c = parse(&f);
    assert_string_equal(c->label[0], "ONE");
    swt_capture_free(c);
    c3d_free(&f);
}

static void residual_words_become_residuals_and_cameras(void **state)
{
    static const struct {
        float word;
        float residual;
        int cameras;
    } rows[] = {
        {0, 0, 0},      {15893, 0x15 * 0.5f, 0x3e}, /* 0x3E15 */
        {-1, -1, 0},    {-0.4f, 0, 0},              /* converted to an integer first */
        {65535, -1, 0},                             /* 0xFFFF is -1 in 16 bits */
        {1e9f, 0, 0}, /* no 16-bit number, but not negative: not declared invalid */
    };
    c3d_bytes f;

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        swt_capture *c;
        small_file(&f);
        c3d_set_real(&f, f.size - 4, rows[i].word);
        c = parse(&f);
        assert_close((double)c->residual[5], (double)rows[i].residual, 0, "residual");
        assert_int_equal(c->cameras[5], rows[i].cameras);
        assert_close(c->xyz[3 * 5], 210, 0, "coordinates stay as recorded");
        swt_capture_free(c);
        c3d_free(&f);
    }
}

static void infinity_is_no_number(void **state)
{
    c3d_bytes f;
    swt_capture *c;

    (void)state;
    small_file(&f);
    c3d_set_real(&f, f.size - 16, INFINITY);
    c = parse(&f);
    assert_true(isnan(c->xyz[3 * 5]));
    assert_close(c->xyz[3 * 5 + 1], 211, 0, "its neighbour");
    swt_capture_free(c);
    c3d_free(&f);
}

static void vax_numbers_follow_the_architecture_manual(void **state)
{
    /* VAX Architecture Reference Manual, F_floating: excess 128, fraction 0.1f, words swapped.
       1.0 = 0.5 * 2^1 is stored as the word 0x4080 and the word 0x0000. */
    static const struct {
        unsigned char bytes[4];
        double value;
    } rows[] = {
        {{0x80, 0x40, 0x00, 0x00}, 1.0},
        {{0x80, 0xc0, 0x00, 0x00}, -1.0},
        {{0x60, 0x41, 0x00, 0x00}, 3.5},
        {{0xf6, 0xc3, 0x79, 0xe9}, -123.456001281738281},
        {{0x00, 0x00, 0x12, 0x34}, 0.0},                     /* exponent 0, sign 0: zero always */
        {{0x80, 0x00, 0x00, 0x00}, 2.93873587705571877e-39}, /* smallest: 2^-128 */
        {{0xff, 0x7f, 0xff, 0xff}, 1.70141173319264430e38},  /* largest: (1 - 2^-24) 2^127 */
    };
    static const unsigned char reserved[4] = {0x00, 0x80, 0x00, 0x00};

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        unsigned char again[4];
        double got = swt_c3d_real(rows[i].bytes, SWT_C3D_DEC);
        assert_close(got, rows[i].value, 1e-15 * fabs(rows[i].value), "VAX F");
        assert_true(swt_c3d_put_real(again, got, SWT_C3D_DEC));
        if (got != 0)
            assert_memory_equal(again, rows[i].bytes, 4);
    }
    assert_true(isnan(swt_c3d_real(reserved, SWT_C3D_DEC)));
}

static void a_reserved_operand_in_vax_data_is_missing(void **state)
{
    static const unsigned char one[4] = {0x80, 0x40, 0, 0}, reserved[4] = {0, 0x80, 0, 0},
                               minus[4] = {0x80, 0xc0, 0, 0}, hundred[4] = {0xc8, 0x43, 0, 0};
    c3d_bytes f;
    swt_capture *c;

    (void)state;
    c3d_begin(&f, 1, 0, 1, 1, 0, 0, 0);
    f.bytes[515] = 85;
    memcpy(f.bytes + 12, minus, 4);
    memcpy(f.bytes + 20, hundred, 4);
    c3d_begin_data(&f);
    c3d_append(&f, one, 4);
    c3d_append(&f, reserved, 4);
    c3d_append(&f, one, 4);
    c3d_append(&f, one, 4);
    c = parse(&f);
    assert_close(c->rate_hz, 100, 0, "rate");
    assert_close(c->xyz[0], 1, 0, "x");
    assert_true(isnan(c->xyz[1]));
    assert_string_equal(c->label[0], "M001");
    swt_capture_free(c);
    c3d_free(&f);
}

static void integer_points_and_analog_samples_are_scaled(void **state)
{
    static const float scale[] = {2, 0.5f}, general = 10;
    static const unsigned offset[] = {5, 32768};
    static const char *const form[] = {"UNSIGNED"}, *const units[] = {"N", "V"};
    c3d_bytes f;
    swt_capture *c;

    (void)state;
    c3d_begin(&f, 1, 4, 1, 1, 0.25f, 2, 100);
    c3d_group(&f, 2, "ANALOG");
    c3d_parameter_words(&f, 2, "USED", (unsigned[]){2}, 1);
    c3d_parameter_reals(&f, 2, "SCALE", scale, 2);
    c3d_parameter_reals(&f, 2, "GEN_SCALE", &general, 1);
    c3d_parameter_words(&f, 2, "OFFSET", offset, 2);
    c3d_parameter_texts(&f, 2, "FORMAT", form, 1);
    c3d_parameter_texts(&f, 2, "UNITS", units, 2);
    c3d_begin_data(&f);
    c3d_word(&f, 4);
    c3d_word(&f, 65532); /* -4 */
    c3d_word(&f, 32767);
    c3d_word(&f, 0x0302);
    c3d_word(&f, 6); /* sample 0: channels 0, 1; sample 1: channels 0, 1 */
    c3d_word(&f, 32770);
    c3d_word(&f, 65535);
    c3d_word(&f, 0);
    c = parse(&f);
    assert_close(c->xyz[0], 1, 0, "x");
    assert_close(c->xyz[1], -1, 0, "y");
    assert_close(c->xyz[2], 8191.75, 0, "z");
    assert_close((double)c->residual[0], 0.5, 0, "residual");
    assert_int_equal(c->cameras[0], 3);
    assert_int_equal(c->n_analog, 2);
    assert_int_equal(c->analog_per_frame, 2);
    assert_close(c->analog[0].sample[0], 20, 0, "(6 - 5) * 2 * 10");
    assert_close(c->analog[1].sample[0], 10, 0, "(32770 - 32768) * 0.5 * 10");
    assert_close(c->analog[0].sample[1], 1310600, 0, "(65535 - 5) * 2 * 10");
    assert_close(c->analog[1].sample[1], -163840, 0, "(0 - 32768) * 0.5 * 10");
    assert_string_equal(c->analog[1].unit, "V");
    assert_string_equal(c->analog[1].label, "A002");
    swt_capture_free(c);
    c3d_free(&f);
}

static void labels_in_latin_1_become_utf_8(void **state)
{
    static const char *const labels[] = {"Kn\366chel", "Sch\303\244del"};
    c3d_bytes f;
    swt_capture *c;

    (void)state;
    c3d_begin(&f, 2, 0, 1, 1, -1, 0, 100);
    c3d_group(&f, 1, "POINT");
    c3d_parameter_texts(&f, 1, "LABELS", labels, 2);
    c3d_begin_data(&f);
    add_real_frames(&f, 2, 1);
    c = parse(&f);
    assert_string_equal(c->label[0], "Kn\303\266chel");
    assert_string_equal(c->label[1], "Sch\303\244del");
    swt_capture_free(c);
    c3d_free(&f);
}

static void lists_beyond_255_items_continue_in_numbered_parameters(void **state)
{
    enum { N = 300 };
    char text[N][8];
    const char *labels[N];
    c3d_bytes f;
    swt_capture *c;

    (void)state;
    for (int i = 0; i < N; i++) {
        snprintf(text[i], sizeof text[i], "p%d", i);
        labels[i] = text[i];
    }
    c3d_begin(&f, N, 0, 1, 1, -1, 0, 100);
    c3d_group(&f, 1, "POINT");
    c3d_parameter_texts(&f, 1, "LABELS", labels, 255);
    c3d_parameter_texts(&f, 1, "LABELS2", labels + 255, N - 255);
    c3d_begin_data(&f);
    add_real_frames(&f, N, 1);
    c = parse(&f);
    for (int i = 0; i < N; i++)
        assert_string_equal(c->label[i], text[i]);
    swt_capture_free(c);
    c3d_free(&f);
}

static void event_times_count_from_the_first_stored_frame(void **state)
{
    static const float times[] = {0, 2.5f, 1, 0.25f};
    static const char *const labels[] = {"Strike", "Off"}, *const contexts[] = {"Left", "Right"};
    c3d_bytes f;
    swt_capture *c;

    (void)state;
    c3d_begin(&f, 1, 0, 101, 101, -1, 0, 100);
    c3d_group(&f, 3, "EVENT");
    c3d_parameter_words(&f, 3, "USED", (unsigned[]){2}, 1);
    c3d_parameter_texts(&f, 3, "LABELS", labels, 2);
    c3d_parameter_texts(&f, 3, "CONTEXTS", contexts, 2);
    {
        c3d_bytes raw = {0};
        for (int i = 0; i < 4; i++)
            c3d_real(&raw, times[i]);
        c3d_parameter(&f, 3, "TIMES", 4, 2, 2, 2, raw.bytes, raw.size);
        c3d_free(&raw);
    }
    c3d_begin_data(&f);
    /* The header repeats the first event, shortened, and has one of its own. */
    c3d_set_word(&f, 298, 12345);
    c3d_set_word(&f, 300, 2);
    c3d_set_real(&f, 304, 1.5f);
    c3d_set_real(&f, 308, 1.75f);
    memcpy(f.bytes + 396, "StriSnd ", 8);
    add_real_frames(&f, 1, 1);
    c = parse(&f);
    assert_int_equal(c->first_frame, 101);
    assert_int_equal(c->n_events, 3);
    assert_close(c->event[0].time_s, 1.5, 1e-9, "2.5 s after frame 1, which is 1 s before");
    assert_close(c->event[1].time_s, 59.25, 1e-9, "1 min 0.25 s");
    assert_string_equal(c->event[1].context, "Right");
    assert_string_equal(c->event[2].label, "Snd");
    assert_close(c->event[2].time_s, 1.75, 0, "header events count from the first stored frame");
    swt_capture_free(c);
    c3d_free(&f);
}

static void an_event_without_label_is_called_by_its_context(void **state)
{
    static const char *const labels[] = {"  "}, *const contexts[] = {"LHS"};
    const unsigned char time[8] = {0};
    c3d_bytes f;
    swt_capture *c;

    (void)state;
    c3d_begin(&f, 1, 0, 1, 1, -1, 0, 100);
    c3d_group(&f, 3, "EVENT");
    c3d_parameter_texts(&f, 3, "LABELS", labels, 1);
    c3d_parameter_texts(&f, 3, "CONTEXTS", contexts, 1);
    c3d_parameter(&f, 3, "TIMES", 4, 2, 2, 1, time, 8);
    c3d_begin_data(&f);
    add_real_frames(&f, 1, 1);
    c = parse(&f);
    assert_int_equal(c->n_events, 1);
    assert_string_equal(c->event[0].label, "LHS");
    assert_string_equal(c->event[0].context, "");
    swt_capture_free(c);
    c3d_free(&f);
}

static void old_headers_have_event_labels_of_two_characters(void **state)
{
    c3d_bytes f;
    swt_capture *c;

    (void)state;
    small_file(&f);
    c3d_set_word(&f, 300, 2);
    c3d_set_real(&f, 304, 0.005f);
    c3d_set_real(&f, 308, 0.010f);
    memcpy(f.bytes + 396, "TASW", 4);
    c = parse(&f);
    assert_int_equal(c->n_events, 2);
    assert_string_equal(c->event[0].label, "TA");
    assert_string_equal(c->event[1].label, "SW");
    swt_capture_free(c);
    c3d_free(&f);
}

/* ---- counts ---- */

/* A file of `frames` frames of one integer point, whose header says `last`. */
static void long_file(c3d_bytes *f, unsigned frames, unsigned last)
{
    c3d_begin(f, 1, 0, 1, last, 1, 0, 1000);
    c3d_group(f, 1, "POINT");
    c3d_group(f, 2, "TRIAL");
    (void)frames;
}

static void add_integer_frames(c3d_bytes *f, unsigned frames)
{
    for (unsigned i = 0; i < frames; i++) {
        c3d_word(f, i & 32767);
        c3d_word(f, 1);
        c3d_word(f, 2);
        c3d_word(f, 0);
    }
}

static void frame_counts_beyond_16_bits_are_found(void **state)
{
    enum { N = 70000 };
    const float real_count = N;

    (void)state;
    for (int kind = 0; kind < 4; kind++) {
        c3d_bytes f;
        swt_capture *c;
        long_file(&f, N, kind == 3 ? N % 65536 : 65535);
        if (kind == 0 || kind == 3) { /* TRIAL fields; FRAMES saturated or wrapped */
            c3d_parameter_words(&f, 1, "FRAMES", (unsigned[]){kind ? N % 65536 : 65535}, 1);
            c3d_parameter_words(&f, 2, "ACTUAL_START_FIELD", (unsigned[]){1, 0}, 2);
            c3d_parameter_words(&f, 2, "ACTUAL_END_FIELD", (unsigned[]){N & 65535, N >> 16}, 2);
        } else if (kind == 1) {
            c3d_parameter_words(&f, 1, "FRAMES", (unsigned[]){65535}, 1);
            c3d_parameter_reals(&f, 1, "LONG_FRAMES", &real_count, 1);
        } else {
            c3d_parameter_reals(&f, 1, "FRAMES", &real_count, 1);
        }
        c3d_begin_data(&f);
        add_integer_frames(&f, N);
        c = parse(&f);
        if (c->n_frames != N)
            fail_msg("convention %d: %zu frames", kind, c->n_frames);
        assert_close(c->xyz[3 * (N - 1)], (N - 1) & 32767, 0, "last frame");
        swt_capture_free(c);
        c3d_free(&f);
    }
}

static void trial_fields_give_the_first_frame(void **state)
{
    c3d_bytes f;
    swt_capture *c;

    (void)state;
    c3d_begin(&f, 1, 0, 65535, 65535, 1, 0, 1000);
    c3d_group(&f, 1, "POINT");
    c3d_group(&f, 2, "TRIAL");
    c3d_parameter_words(&f, 1, "FRAMES", (unsigned[]){10}, 1);
    c3d_parameter_words(&f, 2, "ACTUAL_START_FIELD", (unsigned[]){4464, 1}, 2); /* 70,000 */
    c3d_parameter_words(&f, 2, "ACTUAL_END_FIELD", (unsigned[]){4473, 1}, 2);
    c3d_begin_data(&f);
    add_integer_frames(&f, 10);
    c = parse(&f);
    assert_int_equal(c->n_frames, 10);
    assert_int_equal(c->first_frame, 70000);
    swt_capture_free(c);
    c3d_free(&f);
}

static void only_the_count_that_fits_is_believed(void **state)
{
    c3d_bytes f;
    swt_capture *c;

    (void)state;
    c3d_begin(&f, 1, 0, 1, 10, 1, 0, 100);
    c3d_group(&f, 1, "POINT");
    c3d_parameter_words(&f, 1, "FRAMES", (unsigned[]){11}, 1);
    c3d_begin_data(&f);
    add_integer_frames(&f, 10);
    c = parse(&f);
    assert_int_equal(c->n_frames, 10);
    assert_true(warns(c, "the header says 10 frames, the parameters say 11"));
    swt_capture_free(c);
    f.size -= 8;
    assert_refused(&f, "holds 9 of 11 frames");
    c3d_free(&f);
}

/* ---- broken files ---- */

static void impossible_headers_are_refused_with_the_place(void **state)
{
    static const struct {
        size_t at;
        unsigned word;
        const char *message;
    } rows[] = {
        {0, 0x5000, "byte 0"},
        {0, 0x5001, "byte 0"},
        {0, 0x50ff, "the file ends at"},
        {0, 0x5102, "not a C3D file"},
        {2, 0, "0 points"},
        {2, 65535, "truncated"},
        {4, 65535, "truncated"},
        {16, 0, "byte 16"},
        {16, 1, "byte 16"},
        {16, 60000, "byte 16"},
        {14, 0x7f80, "byte 12"},
        {14, 0x7fc0, "byte 12"},
        {22, 0xbf80, "byte 20"},
        {22, 0x7f80, "byte 20"},
        {514, 0x0000, "byte 515"},
        {514, 0x5700, "byte 515"},
        {16, 2, "runs over the parameter section"},
    };
    c3d_bytes f;

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        small_file(&f);
        c3d_set_word(&f, rows[i].at, rows[i].word);
        assert_refused(&f, rows[i].message);
        c3d_free(&f);
    }
    small_file(&f);
    c3d_set_word(&f, 12, 0); /* scale 0 */
    c3d_set_word(&f, 14, 0);
    assert_refused(&f, "byte 12");
    f.size = 0;
    assert_refused(&f, "empty");
    c3d_free(&f);
}

/* The block is handed over at its exact size, so that the sanitizer sees a read past its end. */
static swt_status parse_exact(swt_capture **c, const unsigned char *bytes, size_t size)
{
    unsigned char *copy = malloc(size ? size : 1);
    swt_error err = SWT_ERROR_INIT;
    swt_status rc;

    assert_non_null(copy);
    memcpy(copy, bytes, size);
    rc = swt_c3d_parse(c, copy, size, &err);
    free(copy);
    assert_true((rc == SWT_OK) == (*c != NULL));
    if (rc != SWT_OK)
        assert_true(err.msg[0] != '\0');
    return rc;
}

static void a_file_cut_at_any_byte_is_refused(void **state)
{
    c3d_bytes f;
    swt_capture *c;

    (void)state;
    small_file(&f);
    for (size_t n = 0; n < f.size; n++)
        assert_int_equal(parse_exact(&c, f.bytes, n), SWT_EFORMAT);
    c3d_free(&f);
}

static void random_damage_never_crashes(void **state)
{
    c3d_bytes f;
    swt_capture *c;
    uint64_t seed = 20251;

    (void)state;
    for (int k = 0; k < 20000; k++) {
        int flips = 1 + (int)(draw(&seed) * 12);
        small_file(&f);
        c3d_set_word(&f, 4, 2); /* some analog, so that this path is walked too */
        c3d_set_word(&f, 18, 1);
        c3d_set_word(&f, 300, 3);
        for (int i = 0; i < flips; i++) {
            /* mostly in the header's used words and in the parameters */
            size_t at =
                draw(&seed) < 0.3 ? (size_t)(draw(&seed) * 24) : 512 + (size_t)(draw(&seed) * 160);
            f.bytes[at] = (unsigned char)(draw(&seed) * 256);
        }
        parse_exact(&c, f.bytes, f.size);
        swt_capture_free(c);
        c3d_free(&f);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_small_file_reads_exactly),
        cmocka_unit_test(parameters_may_precede_their_group_and_be_locked),
        cmocka_unit_test(residual_words_become_residuals_and_cameras),
        cmocka_unit_test(infinity_is_no_number),
        cmocka_unit_test(vax_numbers_follow_the_architecture_manual),
        cmocka_unit_test(a_reserved_operand_in_vax_data_is_missing),
        cmocka_unit_test(integer_points_and_analog_samples_are_scaled),
        cmocka_unit_test(labels_in_latin_1_become_utf_8),
        cmocka_unit_test(lists_beyond_255_items_continue_in_numbered_parameters),
        cmocka_unit_test(event_times_count_from_the_first_stored_frame),
        cmocka_unit_test(an_event_without_label_is_called_by_its_context),
        cmocka_unit_test(old_headers_have_event_labels_of_two_characters),
        cmocka_unit_test(frame_counts_beyond_16_bits_are_found),
        cmocka_unit_test(trial_fields_give_the_first_frame),
        cmocka_unit_test(only_the_count_that_fits_is_believed),
        cmocka_unit_test(impossible_headers_are_refused_with_the_place),
        cmocka_unit_test(a_file_cut_at_any_byte_is_refused),
        cmocka_unit_test(random_damage_never_crashes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
