/* The CSV tables, parsed back with libcsv and held against the study they were made from. */
#include "io/study/tables.h"
#include "tests/support/support.h"

#include <csv.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char folder[] = "/tmp/swathe-tables-XXXXXX";

static const char *in_folder(const char *name)
{
    static char path[256];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    return path;
}

enum { MAX_CELLS = 200000, MAX_ROWS = 20000 };

/* A parsed table: cell (row, column), row 0 the header. */
static char *cells[MAX_CELLS];
static size_t row_at[MAX_ROWS + 1], n_cells, n_rows;

static void on_cell(void *text, size_t n, void *user)
{
    (void)user;
    assert_true(n_cells < MAX_CELLS);
    cells[n_cells] = malloc(n + 1);
    memcpy(cells[n_cells], text, n);
    cells[n_cells++][n] = '\0';
}

static void on_row(int c, void *user)
{
    (void)c;
    (void)user;
    assert_true(n_rows < MAX_ROWS);
    row_at[++n_rows] = n_cells;
}

static void parse(const char *name)
{
    struct csv_parser parser;
    size_t size;
    char *bytes = (char *)read_all(in_folder(name), &size);

    for (size_t i = 0; i < n_cells; i++)
        free(cells[i]);
    n_cells = n_rows = 0;
    assert_non_null(bytes);
    assert_int_equal(csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI), 0);
    assert_int_equal(csv_parse(&parser, bytes, size, on_cell, on_row, NULL), size);
    assert_int_equal(csv_fini(&parser, on_cell, on_row, NULL), 0);
    csv_free(&parser);
    free(bytes);
    for (size_t r = 1; r < n_rows; r++)
        assert_int_equal(row_at[r + 1] - row_at[r], row_at[1]);
}

static const char *cell(size_t row, const char *column)
{
    for (size_t c = 0; c < row_at[1]; c++)
        if (strcmp(cells[c], column) == 0)
            return cells[row_at[row] + c];
    fail_msg("there is no column %s", column);
    return "";
}

static double number(size_t row, const char *column)
{
    const char *text = cell(row, column);
    char *end;
    double value = strtod(text, &end);

    if (text[0] == '\0')
        return nan("");
    assert_true(*end == '\0');
    return value;
}

static swt_swing *invent(double base)
{
    swt_swing *s = calloc(1, sizeof *s);
    bool present[SWT_LANDMARK_COUNT] = {[SWT_C7] = true};

    s->n_frames = 5;
    s->rate_hz = 240;
    for (int e = 0; e < SWT_EVENT_COUNT; e++)
        s->event[e] = (swt_event_time){base + e, 0.001, swt_usable()};
    s->event[SWT_EVENT_FINISH] =
        (swt_event_time){nan(""), nan(""), swt_absent(SWT_REASON_ENDS_EARLY, 0)};
    s->measure = calloc(swt_measure_count(), sizeof *s->measure);
    for (size_t m = 0; m < swt_measure_count(); m++)
        s->measure[m] = (swt_measurement){base + 0.01 * (double)m, 0.5, swt_usable()};
    s->measure[1] =
        (swt_measurement){nan(""), nan(""), swt_absent(SWT_REASON_LANDMARK_MISSING, SWT_CLUB_HEAD)};
    for (int k = 0; k < SWT_CURVE_SAMPLES; k++)
        s->curve_time_s[k] = base + 0.01 * k;
    s->curve[SWT_SERIES_HAND_DEPTH] = malloc(SWT_CURVE_SAMPLES * sizeof(double));
    s->series_verdict[SWT_SERIES_HAND_DEPTH] = swt_usable();
    for (int k = 0; k < SWT_CURVE_SAMPLES; k++)
        s->curve[SWT_SERIES_HAND_DEPTH][k] = base + 0.001 * k;
    s->curve_sd[SWT_SERIES_HAND_DEPTH] = malloc(SWT_CURVE_SAMPLES * sizeof(float));
    for (int k = 0; k < SWT_CURVE_SAMPLES; k++)
        s->curve_sd[SWT_SERIES_HAND_DEPTH][k] = k < 5 ? nanf("") : 0.0005f * (float)k;
    s->travel_curve[SWT_SERIES_HAND_DEPTH] = malloc(SWT_TRAVEL_SAMPLES * sizeof(double));
    for (int k = 0; k < SWT_TRAVEL_SAMPLES; k++) {
        s->travel_curve[SWT_SERIES_HAND_DEPTH][k] = base + 0.002 * k;
        s->travel_time_s[k] = base + 0.02 * k;
    }
    for (int k = 0; k < SWT_SHIFT_SAMPLES; k++) {
        s->shift_m[k] = -0.003 * k;
        s->shift_height_m[k] = base + 0.004 * k;
    }
    assert_int_equal(swt_landmark_set_new(&s->body, s->n_frames, 240, present, NULL), SWT_OK);
    swt_findings_add(&s->findings, SWT_CAUTION, "gap", "a \"gap\", of\n7 frames");
    return s;
}

static swt_study *study;

static int write_tables(void **state)
{
    static char *covariate[2][2] = {{"1,5", "a \"b\"\nc"}, {"", "=1+1"}};
    static swt_trial trial[2] = {{.file = "a,1.c3d",
                                  .player = "P<1>",
                                  .session = "1",
                                  .group = "ref",
                                  .club = "7 iron",
                                  .shot = "full",
                                  .covariate = covariate[0]},
                                 {.file = "b.c3d",
                                  .player = "Pö2",
                                  .session = "",
                                  .group = "",
                                  .club = "",
                                  .shot = "",
                                  .side = SWT_LEFT_HANDED,
                                  .covariate = covariate[1]}};
    static swt_capture_facts facts[3] = {{.sha256 = "ab", .rate_hz = 240, .n_frames = 900},
                                         {.sha256 = "cd", .rate_hz = 240, .n_frames = 901},
                                         {.status = SWT_EDATA, .message = "no hands, no club"}};
    swt_swing *swing[2] = {invent(1), invent(2)};
    swt_study_entry entry[3] = {{&trial[0], &facts[0], 1, &swing[0], NULL},
                                {&trial[1], &facts[1], 1, &swing[1], NULL},
                                {&trial[1], &facts[2], 0, NULL, NULL}};
    swt_provenance provenance = {.sheet = "sheet.csv", .covariates = "value\nnote"};
    swt_error err = SWT_ERROR_INIT;
    bool ok;

    (void)state;
    if (!mkdtemp(folder))
        return -1;
    ok = swt_study_write(in_folder("s.h5"), entry, 3, &provenance, &err) == SWT_OK &&
         swt_study_open(&study, in_folder("s.h5"), &err) == SWT_OK &&
         swt_tables_write(in_folder("tables"), study, NULL, true, &err) == SWT_OK;
    swt_swing_free(swing[0]);
    swt_swing_free(swing[1]);
    if (!ok)
        printf("%s\n", err.msg);
    return ok ? 0 : -1;
}

static void long_table_holds_every_measure(void **state)
{
    size_t n = swt_measure_count();

    (void)state;
    parse("tables/measures_long.csv");
    assert_int_equal(n_rows, 1 + 2 * n);
    for (size_t i = 0; i < 2; i++)
        for (size_t m = 0; m < n; m++) {
            size_t row = 1 + i * n + m;
            const swt_unit *unit = swt_quantity_unit(swt_measure_row(m)->quantity);
            double want = ((double)i + 1 + 0.01 * (double)m) * unit->shown_per_si;
            assert_string_equal(cell(row, "measure"), swt_measure_row(m)->name);
            assert_string_equal(cell(row, "unit"), unit->shown);
            if (m == 1) {
                assert_string_equal(cell(row, "value"), "");
                assert_string_equal(cell(row, "state"), "absent");
                assert_string_equal(cell(row, "reason"),
                                    "landmark club.head is not in the capture");
            } else {
                assert_close(number(row, "value"), want, 1e-11 * want, "value");
                assert_close(number(row, "sd"), 0.5 * unit->shown_per_si, 1e-9, "sd");
                assert_string_equal(cell(row, "state"), "usable");
            }
        }
    assert_string_equal(cell(1, "file"), "a,1.c3d");
    assert_string_equal(cell(1, "player"), "P<1>");
    assert_string_equal(cell(1, "sheet_value"), "1,5"); /* not mistaken for our own column */
    assert_string_equal(cell(1, "note"), "a \"b\"\nc");
    assert_string_equal(cell(1 + n, "player"), "Pö2");
    assert_string_equal(cell(1 + n, "side"), "left");
}

static void wide_table_has_a_column_per_measure(void **state)
{
    (void)state;
    parse("tables/measures_wide.csv");
    assert_int_equal(n_rows, 3);
    for (size_t m = 0; m < swt_measure_count(); m++) {
        const swt_measure *row = swt_measure_row(m);
        double want = (2 + 0.01 * (double)m) * swt_quantity_unit(row->quantity)->shown_per_si;
        if (m == 1)
            assert_string_equal(cell(2, row->name), "");
        else
            assert_close(number(2, row->name), want, 1e-11 * want, row->name);
    }
}

static void events_are_given_from_both_zeros(void **state)
{
    (void)state;
    parse("tables/events.csv");
    assert_int_equal(n_rows, 1 + 2 * SWT_EVENT_COUNT);
    assert_string_equal(cell(1 + SWT_EVENT_IMPACT, "event"), "impact");
    assert_close(number(1 + SWT_EVENT_IMPACT, "time_s"), 1 + SWT_EVENT_IMPACT, 1e-11, "time");
    assert_close(number(1 + SWT_EVENT_IMPACT, "after_takeaway_s"), SWT_EVENT_IMPACT, 1e-11,
                 "after takeaway");
    assert_string_equal(cell(1 + SWT_EVENT_FINISH, "time_s"), "");
    assert_string_equal(cell(1 + SWT_EVENT_FINISH, "reason"),
                        "the capture ends before this moment");
}

static void captures_and_findings_are_told(void **state)
{
    (void)state;
    parse("tables/captures.csv");
    assert_int_equal(n_rows, 4);
    assert_string_equal(cell(3, "used"), "no");
    assert_string_equal(cell(3, "message"), "no hands, no club");
    assert_string_equal(cell(1, "swings"), "1");
    assert_string_equal(cell(3, "swings"), "0");
    parse("tables/findings.csv");
    assert_int_equal(n_rows, 3);
    assert_string_equal(cell(2, "swing"), "1");
    assert_string_equal(cell(2, "severity"), "caution");
    assert_string_equal(cell(2, "text"), "a \"gap\", of\n7 frames");
}

static void curves_are_one_row_a_sample(void **state)
{
    (void)state;
    parse("tables/curves.csv");
    assert_int_equal(n_rows, 1 + 2 * SWT_CURVE_SAMPLES);
    assert_string_equal(cell(1 + 50, "series"), "hand_depth");
    assert_close(number(1 + 50, "phase"), 2, 0, "phase");
    assert_close(number(1 + 50, "value"), 1050, 1e-9, "value in mm");
    assert_close(number(1 + 50, "time_s"), 0.5, 1e-11, "time");
    assert_close(number(1 + 50, "sd"), 25, 1e-5, "standard uncertainty in mm, kept as float32");
    assert_string_equal(cell(1 + 4, "sd"), "");
}

static void chosen_swings_are_told_alone(void **state)
{
    static const char *const files[] = {"measures_long", "measures_wide", "events",  "curves",
                                        "travel",        "transition",    "findings"};
    const bool chosen[2] = {false, true};

    (void)state;
    assert_int_equal(swt_tables_write(in_folder("only"), study, chosen, true, NULL), SWT_OK);
    for (size_t f = 0; f < sizeof files / sizeof *files; f++) {
        char path[64];
        snprintf(path, sizeof path, "only/%s.csv", files[f]);
        parse(path);
        assert_true(n_rows > 1);
        for (size_t r = 1; r < n_rows; r++)
            assert_string_equal(cell(r, "swing"), "1");
    }
    parse("only/captures.csv"); /* neither the other swing's nor the one without a swing */
    assert_int_equal(n_rows, 2);
    assert_string_equal(cell(1, "file"), "b.c3d");
}

static void the_other_registrations_are_told(void **state)
{
    (void)state;
    parse("tables/travel.csv");
    assert_int_equal(n_rows, 1 + 2 * SWT_TRAVEL_SAMPLES);
    assert_string_equal(cell(1 + 20, "series"), "hand_depth");
    assert_close(number(1 + 20, "length_m"), 0.61, 1e-12, "travel 0.61 is a sample");
    assert_close(number(1 + 60, "length_m"), 1.83, 1e-12, "and so is 1.83");
    assert_close(number(1 + 20, "value"), 1040, 1e-9, "value in mm");
    assert_close(number(1 + 20, "time_s"), 0.4, 1e-11, "time");
    parse("tables/transition.csv");
    assert_int_equal(n_rows, 1 + 2 * SWT_SHIFT_SAMPLES);
    assert_close(number(1 + 10, "level"), 0.25, 1e-12, "level");
    assert_close(number(1 + 10, "height_mm"), 1040, 1e-9, "height");
    assert_close(number(1 + 10, "shift_mm"), -30, 1e-9, "shift");
}

static void the_dictionary_knows_every_name(void **state)
{
    static const char *const files[] = {"measures_long", "measures_wide", "events", "captures",
                                        "findings",      "curves",        "travel", "transition"};
    char *name[600];
    size_t n = 0;

    (void)state;
    for (size_t f = 0; f < sizeof files / sizeof *files; f++) {
        char path[64];
        snprintf(path, sizeof path, "tables/%s.csv", files[f]);
        parse(path);
        for (size_t c = 0; c < row_at[1]; c++)
            name[n++] = strdup(cells[c]);
    }
    for (size_t m = 0; m < swt_measure_count(); m++)
        name[n++] = strdup(swt_measure_row(m)->name);
    parse("tables/dictionary.csv");
    for (size_t i = 0; i < n; i++) {
        bool known = false;
        for (size_t r = 1; r < n_rows; r++)
            known = known || strcmp(cell(r, "name"), name[i]) == 0;
        if (!known)
            fail_msg("%s is not in the dictionary", name[i]);
        free(name[i]);
    }
    for (size_t r = 1; r < n_rows; r++)
        assert_true(cell(r, "meaning")[0] != '\0');
}

static void a_folder_that_cannot_be_made_is_told(void **state)
{
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    assert_int_equal(swt_tables_write(in_folder("s.h5"), study, NULL, false, &err), SWT_EIO);
    assert_non_null(strstr(err.msg, "s.h5"));
}

static int clean_up(void **state)
{
    static const char *const names[] = {"measures_long", "measures_wide", "events",
                                        "captures",      "findings",      "curves",
                                        "travel",        "transition",    "dictionary"};
    static const char *const folders[] = {"tables", "only"};

    (void)state;
    for (size_t i = 0; i < n_cells; i++)
        free(cells[i]);
    swt_study_close(study);
    for (size_t k = 0; k < sizeof folders / sizeof *folders; k++) {
        for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
            char name[80];
            snprintf(name, sizeof name, "%s/%s.csv", folders[k], names[i]);
            remove(in_folder(name));
        }
        remove(in_folder(folders[k]));
    }
    remove(in_folder("s.h5"));
    return remove(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(long_table_holds_every_measure),
        cmocka_unit_test(wide_table_has_a_column_per_measure),
        cmocka_unit_test(events_are_given_from_both_zeros),
        cmocka_unit_test(captures_and_findings_are_told),
        cmocka_unit_test(curves_are_one_row_a_sample),
        cmocka_unit_test(chosen_swings_are_told_alone),
        cmocka_unit_test(the_other_registrations_are_told),
        cmocka_unit_test(the_dictionary_knows_every_name),
        cmocka_unit_test(a_folder_that_cannot_be_made_is_told),
    };
    return cmocka_run_group_tests(tests, write_tables, clean_up);
}
