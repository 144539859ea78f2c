/* A marker map bound to a capture: labels, units, axes, sides, missing samples, messages. */
#include "kinematics/bind.h"
#include "kinematics/marker_map.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static swt_map_entry entries[3];

static swt_marker_map simple_map(void)
{
    swt_marker_map map;

    swt_marker_map_init(&map);
    memset(entries, 0, sizeof entries);
    strcpy(entries[0].key, "left.ASIS");
    strcpy(entries[0].label[0], "LASI");
    strcpy(entries[1].key, "right.ASIS");
    strcpy(entries[1].label[0], "RASI");
    strcpy(entries[2].key, "club.head");
    strcpy(entries[2].label[0], "HEAD");
    for (int i = 0; i < 3; i++) {
        entries[i].n_labels = 1;
        entries[i].line = 10 + i;
    }
    map.entry = entries; /* not reset: the entries are static */
    map.n_entries = 3;
    return map;
}

/* Three points in two frames: point p of frame f at (1000 + f, 2000 + p, 300). */
static swt_capture *simple_capture(const char *a, const char *b, const char *c)
{
    swt_capture *capture = swt_capture_new(2, 3);
    const char *labels[3] = {a, b, c};

    assert_non_null(capture);
    capture->rate_hz = 100;
    assert_int_equal(swt_string_set(&capture->unit, "mm", NULL), SWT_OK);
    for (size_t p = 0; p < 3; p++) {
        assert_int_equal(swt_string_set(&capture->label[p], labels[p], NULL), SWT_OK);
        for (size_t f = 0; f < 2; f++) {
            double *xyz = capture->xyz + 3 * (f * 3 + p);
            xyz[0] = 1000 + (double)f;
            xyz[1] = 2000 + (double)p;
            xyz[2] = 300;
        }
    }
    return capture;
}

static swt_landmark_set *bind(const swt_marker_map *map, const swt_capture *capture,
                              swt_handedness side, swt_findings *findings)
{
    swt_landmark_set *set = NULL;
    swt_error err = SWT_ERROR_INIT;

    memset(findings, 0, sizeof *findings);
    if (swt_marker_map_bind(&set, map, capture, side, findings, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    return set;
}

static bool found(const swt_findings *findings, const char *code, const char *word)
{
    for (size_t i = 0; i < findings->n; i++)
        if (strcmp(findings->item[i].code, code) == 0 && strstr(findings->item[i].text, word))
            return true;
    return false;
}

static void lead_is_left_for_a_right_handed_player(void **state)
{
    swt_marker_map map = simple_map();
    swt_capture *capture = simple_capture("LASI", "RASI", "HEAD");
    swt_findings findings;
    swt_landmark_set *set = bind(&map, capture, SWT_RIGHT_HANDED, &findings);

    (void)state;
    assert_close(swt_landmark_at(set, SWT_LEAD_ASIS, 1).x, 1.001, 1e-12, "x in metres");
    assert_close(swt_landmark_at(set, SWT_LEAD_ASIS, 1).y, 2.000, 1e-12, "left is lead");
    swt_landmark_set_free(set);
    set = bind(&map, capture, SWT_LEFT_HANDED, &findings);
    assert_close(swt_landmark_at(set, SWT_TRAIL_ASIS, 1).y, 2.000, 1e-12, "left is trail");
    swt_landmark_set_free(set);
    swt_capture_free(capture);
}

/* Up +X, right-handed: the turned axes must keep the sense of rotation of every triple. */
static void axes_keep_their_handedness(void **state)
{
    static const struct {
        int up, target;
        bool left_handed;
    } rows[] = {{3, 0, false},  {1, 0, false}, {-2, 3, false},
                {1, -3, false}, {3, 2, true},  {-1, 2, true}};

    (void)state;
    for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
        swt_marker_map map = simple_map();
        swt_capture *capture = swt_capture_new(1, 3);
        swt_vec3 a, b, c;
        swt_findings findings;
        swt_landmark_set *set;
        const char *labels[3] = {"LASI", "RASI", "HEAD"};
        double volume, want = rows[k].left_handed ? -1 : 1;

        assert_non_null(capture);
        capture->rate_hz = 100;
        assert_int_equal(swt_string_set(&capture->unit, "m", NULL), SWT_OK);
        /* the unit vectors of the file's axes */
        for (size_t p = 0; p < 3; p++) {
            assert_int_equal(swt_string_set(&capture->label[p], labels[p], NULL), SWT_OK);
            for (size_t axis = 0; axis < 3; axis++)
                capture->xyz[3 * p + axis] = p == axis ? 1 : 0;
        }
        map.up = rows[k].up;
        map.target = rows[k].target;
        map.axes_left_handed = rows[k].left_handed;
        set = bind(&map, capture, SWT_RIGHT_HANDED, &findings);
        a = swt_landmark_at(set, SWT_LEAD_ASIS, 0);
        b = swt_landmark_at(set, SWT_TRAIL_ASIS, 0);
        c = swt_landmark_at(set, SWT_CLUB_HEAD, 0);
        volume = swt_dot(swt_cross(a, b), c);
        assert_close(volume, want, 1e-12, "triple product of the file's axes");
        {
            swt_vec3 axes[3] = {a, b, c};
            double sign = rows[k].up > 0 ? 1 : -1;
            assert_close(axes[abs(rows[k].up) - 1].z, sign, 1e-12, "up becomes z");
            if (rows[k].target)
                assert_close(axes[abs(rows[k].target) - 1].x, rows[k].target > 0 ? 1 : -1, 1e-12,
                             "target becomes x");
        }
        swt_landmark_set_free(set);
        swt_capture_free(capture);
    }
}

static void prefixes_are_taken_off(void **state)
{
    swt_marker_map map = simple_map();
    swt_capture *capture = simple_capture("S1:LASI", "S1:RASI", "S2:HEAD");
    swt_findings findings;
    swt_landmark_set *set;

    (void)state;
    strcpy(map.prefix, "*:");
    set = bind(&map, capture, SWT_RIGHT_HANDED, &findings);
    assert_true(set->present[SWT_CLUB_HEAD]);
    swt_landmark_set_free(set);
    strcpy(map.prefix, "S1:");
    set = bind(&map, capture, SWT_RIGHT_HANDED, &findings);
    assert_true(set->present[SWT_LEAD_ASIS]);
    assert_false(set->present[SWT_CLUB_HEAD]);
    swt_landmark_set_free(set);
    swt_capture_free(capture);
}

static void a_misspelt_label_gets_a_suggestion(void **state)
{
    swt_marker_map map = simple_map();
    swt_capture *capture = simple_capture("LASI", "RASIS", "HEAD");
    swt_findings findings;
    swt_landmark_set *set = bind(&map, capture, SWT_RIGHT_HANDED, &findings);

    (void)state;
    assert_false(set->present[SWT_TRAIL_ASIS]);
    assert_true(found(&findings, "landmark_missing", "\"RASIS\""));
    assert_true(found(&findings, "labels_left_over", "RASIS"));
    swt_landmark_set_free(set);
    swt_capture_free(capture);
}

static void invalid_samples_are_missing(void **state)
{
    swt_marker_map map = simple_map();
    swt_capture *capture = simple_capture("LASI", "RASI", "HEAD");
    swt_findings findings;
    swt_landmark_set *set;

    (void)state;
    capture->residual = calloc(6, sizeof(float));
    assert_non_null(capture->residual);
    capture->residual[0] = -1;                           /* LASI, frame 0 */
    memset(capture->xyz + 3 * 1, 0, 3 * sizeof(double)); /* RASI, frame 0: all zero */
    capture->xyz[3 * 2] = nan("");                       /* HEAD, frame 0 */
    set = bind(&map, capture, SWT_RIGHT_HANDED, &findings);
    assert_true(isnan(swt_landmark_at(set, SWT_LEAD_ASIS, 0).x));
    assert_true(isnan(swt_landmark_at(set, SWT_TRAIL_ASIS, 0).x));
    assert_true(isnan(swt_landmark_at(set, SWT_CLUB_HEAD, 0).y));
    assert_int_equal(set->origin[SWT_LEAD_ASIS][0], SWT_ORIGIN_MISSING);
    assert_int_equal(set->origin[SWT_LEAD_ASIS][1], SWT_ORIGIN_RECORDED);
    swt_landmark_set_free(set);
    map.residuals_meaningless = true;
    set = bind(&map, capture, SWT_RIGHT_HANDED, &findings);
    assert_close(swt_landmark_at(set, SWT_LEAD_ASIS, 0).x, 1, 1e-12, "residual not believed");
    swt_landmark_set_free(set);
    swt_capture_free(capture);
}

static void strobed_labels_are_averaged(void **state)
{
    swt_marker_map map = simple_map();
    swt_capture *capture = simple_capture("LASI", "RASI", "HEAD");
    swt_findings findings;
    swt_landmark_set *set;

    (void)state;
    strcpy(entries[2].label[0], "LASI");
    strcpy(entries[2].label[1], "HEAD");
    entries[2].n_labels = 2;
    entries[2].averaged = true;
    set = bind(&map, capture, SWT_RIGHT_HANDED, &findings);
    assert_close(swt_landmark_at(set, SWT_CLUB_HEAD, 0).y, 2.001, 1e-12, "mean of points 0 and 2");
    swt_landmark_set_free(set);
    swt_capture_free(capture);
}

static void refuses_what_cannot_serve(void **state)
{
    swt_marker_map map = simple_map();
    swt_capture *capture = simple_capture("A", "B", "C");
    swt_findings findings = {0};
    swt_landmark_set *set = NULL;
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    assert_int_equal(swt_marker_map_bind(&set, &map, capture, SWT_RIGHT_HANDED, &findings, &err),
                     SWT_EDATA);
    assert_non_null(strstr(err.msg, "is it the right map"));
    assert_null(set);
    assert_int_equal(swt_string_set(&capture->label[0], "LASI", NULL), SWT_OK);
    assert_int_equal(swt_string_set(&capture->unit, "furlong", NULL), SWT_OK);
    assert_int_equal(swt_marker_map_bind(&set, &map, capture, SWT_RIGHT_HANDED, &findings, &err),
                     SWT_EDATA);
    assert_non_null(strstr(err.msg, "furlong"));
    map.metres_per_unit = 0.001;
    capture->rate_hz = 0;
    assert_int_equal(swt_marker_map_bind(&set, &map, capture, SWT_RIGHT_HANDED, &findings, &err),
                     SWT_EDATA);
    assert_non_null(strstr(err.msg, "rate"));
    map.rate_hz = 50;
    assert_int_equal(swt_marker_map_bind(&set, &map, capture, SWT_RIGHT_HANDED, &findings, &err),
                     SWT_OK);
    assert_close(set->rate_hz, 50, 0, "rate from the map");
    swt_landmark_set_free(set);
    swt_capture_free(capture);
}

static void edits_are_counted(void **state)
{
    /* Levenshtein's classical pair: kitten -> sitting takes 3 edits */
    (void)state;
    assert_int_equal(swt_label_distance("kitten", "sitting"), 3);
    assert_int_equal(swt_label_distance("LASI", "lasi"), 0);
    assert_int_equal(swt_label_distance("", "abc"), 3);
}

/* Two people in one file: refused with their names until one is named; then just that one's. */
static void of_several_subjects_one_must_be_named(void **state)
{
    static const char *const prefixes[] = {"", "*:", "C:"};
    swt_marker_map map = simple_map();
    swt_capture *capture = simple_capture("A:LASI", "B:LASI", "B:RASI");
    swt_landmark_set *set;
    swt_findings findings = {0};

    (void)state;
    for (size_t k = 0; k < 3; k++) {
        swt_error err = SWT_ERROR_INIT;
        strcpy(map.prefix, prefixes[k]);
        assert_int_equal(
            swt_marker_map_bind(&set, &map, capture, SWT_RIGHT_HANDED, &findings, &err), SWT_EDATA);
        assert_null(set);
        assert_non_null(strstr(err.msg, "A:, B:"));
        assert_non_null(strstr(err.msg, "\"subject\""));
    }
    strcpy(map.prefix, "B:");
    set = bind(&map, capture, SWT_RIGHT_HANDED, &findings);
    assert_close(set->axis[SWT_LEAD_ASIS][1][0], set->axis[SWT_LEAD_ASIS][1][1], 1, "B's");
    assert_true(set->present[SWT_LEAD_ASIS] && set->present[SWT_TRAIL_ASIS]);
    swt_landmark_set_free(set);
    /* whose labels do not meet those of the others needs no choice */
    swt_capture_free(capture);
    capture = simple_capture("A:LASI", "A:RASI", "B:BALL");
    strcpy(map.prefix, "*:");
    set = bind(&map, capture, SWT_RIGHT_HANDED, &findings);
    swt_landmark_set_free(set);
    swt_capture_free(capture);
}

/* The same names, but among the descriptions: a foreign map and a map that looks in the wrong place
 * are mended differently. */
static void names_in_the_other_place_are_told(void **state)
{
    swt_marker_map map = simple_map();
    swt_capture *capture = simple_capture("1", "2", "3");
    swt_findings findings = {0};
    swt_landmark_set *set = NULL;
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    assert_int_equal(swt_string_set(&capture->description[1], "RASI", NULL), SWT_OK);
    assert_int_equal(swt_marker_map_bind(&set, &map, capture, SWT_RIGHT_HANDED, &findings, &err),
                     SWT_EDATA);
    assert_non_null(strstr(err.msg, "\"labels = descriptions\""));
    assert_int_equal(swt_string_set(&capture->label[1], "RASI", NULL), SWT_OK);
    assert_int_equal(swt_string_set(&capture->description[1], "front", NULL), SWT_OK);
    map.labels_from_descriptions = true;
    assert_int_equal(swt_marker_map_bind(&set, &map, capture, SWT_RIGHT_HANDED, &findings, &err),
                     SWT_EDATA);
    assert_non_null(strstr(err.msg, "\"labels = labels\""));
    swt_capture_free(capture);
}

/* A whole person of samples declared missing has no size: residuals are the matter, not the unit.
 */
static void a_capture_declared_missing_is_not_a_wrong_unit(void **state)
{
    static const char *const keys[] = {"left.ASIS", "right.ASIS", "C7", "IJ", "club.head"};
    swt_map_entry person[5] = {0};
    swt_marker_map map = simple_map();
    swt_capture *capture = swt_capture_new(2, 5);
    swt_findings findings = {0};
    swt_landmark_set *set = NULL;
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    assert_non_null(capture);
    capture->rate_hz = 100;
    capture->residual = calloc(10, sizeof *capture->residual);
    assert_non_null(capture->residual);
    assert_int_equal(swt_string_set(&capture->unit, "m", NULL), SWT_OK);
    for (size_t i = 0; i < 10; i++) {
        capture->residual[i] = -1;
        for (size_t k = 0; k < 3; k++)
            capture->xyz[3 * i + k] = 0.3 * (double)(i % 5 + 1);
    }
    for (size_t p = 0; p < 5; p++) {
        assert_int_equal(swt_string_set(&capture->label[p], keys[p], NULL), SWT_OK);
        strcpy(person[p].key, keys[p]);
        strcpy(person[p].label[0], keys[p]);
        person[p].n_labels = 1;
    }
    map.entry = person;
    map.n_entries = 5;
    assert_int_equal(swt_marker_map_bind(&set, &map, capture, SWT_RIGHT_HANDED, &findings, &err),
                     SWT_EDATA);
    assert_non_null(strstr(err.msg, "residuals = meaningless"));
    assert_null(strstr(err.msg, "unit"));
    map.residuals_meaningless = true;
    set = bind(&map, capture, SWT_RIGHT_HANDED, &findings);
    swt_landmark_set_free(set);
    swt_capture_free(capture);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lead_is_left_for_a_right_handed_player),
        cmocka_unit_test(axes_keep_their_handedness),
        cmocka_unit_test(prefixes_are_taken_off),
        cmocka_unit_test(of_several_subjects_one_must_be_named),
        cmocka_unit_test(a_misspelt_label_gets_a_suggestion),
        cmocka_unit_test(invalid_samples_are_missing),
        cmocka_unit_test(strobed_labels_are_averaged),
        cmocka_unit_test(refuses_what_cannot_serve),
        cmocka_unit_test(names_in_the_other_place_are_told),
        cmocka_unit_test(a_capture_declared_missing_is_not_a_wrong_unit),
        cmocka_unit_test(edits_are_counted),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
