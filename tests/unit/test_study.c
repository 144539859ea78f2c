/* The study file: what is written is what is read, parts are the whole. */
#include "tests/support/support.h"
#include "tests/unit/invented_study.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char folder[] = "/tmp/swathe-study-XXXXXX";

static const char *in_folder(const char *name)
{
    static char path[4][256];
    static int turn;
    char *p = path[turn++ % 4];
    snprintf(p, 256, "%s/%s", folder, name);
    return p;
}

static void what_is_written_is_read(void **state)
{
    invented *v = *state;
    swt_error err = SWT_ERROR_INIT;

    if (swt_study_write(in_folder("whole.h5"), v->entry, CAPTURES, &provenance, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    check_study(in_folder("whole.h5"), v);
}

static void curves_are_read_for_a_list(void **state)
{
    static const size_t list[] = {5, 1, 2, 3, 0};
    swt_study *study = open_good(in_folder("whole.h5"));
    double many[5 * SWT_CURVE_SAMPLES], one[SWT_CURVE_SAMPLES];
    size_t beyond = study->n_swings;

    (void)state;
    assert_int_equal(swt_study_read_curves(study, SWT_SERIES_HAND_DEPTH, list, 5, many, NULL),
                     SWT_OK);
    for (size_t i = 0; i < 5; i++) {
        assert_int_equal(
            swt_study_read_curves(study, SWT_SERIES_HAND_DEPTH, &list[i], 1, one, NULL), SWT_OK);
        assert_memory_equal(many + i * SWT_CURVE_SAMPLES, one, sizeof one);
    }
    assert_int_equal(swt_study_read_curves(study, SWT_SERIES_HAND_DEPTH, &beyond, 1, one, NULL),
                     SWT_EARG);
    swt_study_close(study);
}

static void parts_make_the_whole(void **state)
{
    invented *v = *state;
    const char *parts[3] = {in_folder("p1.h5"), in_folder("p2.h5"), in_folder("p3.h5")};
    const size_t first[4] = {0, 2, 3, CAPTURES}; /* the second part has no swing */
    swt_error err = SWT_ERROR_INIT;
    swt_study *study;
    char merged[256];

    snprintf(merged, sizeof merged, "%s", in_folder("merged.h5"));
    for (int p = 0; p < 3; p++) /* written as a study or as a checkpoint */
        assert_int_equal(p == 1 ? swt_study_write(parts[p], v->entry + first[p],
                                                  first[p + 1] - first[p], &provenance, NULL)
                                : swt_study_write_checkpoint(parts[p], v->entry + first[p],
                                                             first[p + 1] - first[p], &provenance,
                                                             NULL, NULL),
                         SWT_OK);
    if (swt_study_merge(merged, parts, 3, NULL, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    check_study(merged, v);
    assert_int_equal(swt_study_merge(merged, parts, 3, "swathe merge p1 p2 p3", &err), SWT_OK);
    study = open_good(merged);
    assert_string_equal(strrchr(study->command, '\n') + 1, "swathe merge p1 p2 p3");
    swt_study_close(study);
}

static void grown_with_its_checkpoints(void **state)
{
    invented *v = *state;
    const char *checkpoint[3] = {in_folder("g1.h5"), in_folder("g2.h5"), in_folder("g3.h5")};
    const size_t first[4] = {0, 2, 3, CAPTURES}; /* the second has no swing */
    swt_study_growth *growth;
    swt_error err = SWT_ERROR_INIT;
    char grown[256];

    snprintf(grown, sizeof grown, "%s", in_folder("grown.h5"));
    assert_int_equal(swt_study_growth_captures(NULL), 0);
    assert_int_equal(swt_study_growth_new(&growth, grown, CAPTURES, &provenance, &err), SWT_OK);
    for (int p = 0; p < 3; p++) {
        if (swt_study_write_checkpoint(checkpoint[p], v->entry + first[p], first[p + 1] - first[p],
                                       &provenance, growth, &err) != SWT_OK)
            fail_msg("%s", err.msg);
        assert_int_equal(swt_study_growth_captures(growth), first[p + 1]);
        assert_int_not_equal(access(grown, F_OK), 0); /* not yet */
    }
    if (swt_study_growth_finish(growth, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    swt_study_growth_free(growth);
    check_study(grown, v);
    assert_int_equal(swt_study_verify(grown, &err), SWT_OK);

    /* one that is given up leaves nothing */
    assert_int_equal(unlink(grown), 0);
    assert_int_equal(swt_study_growth_new(&growth, grown, CAPTURES, &provenance, &err), SWT_OK);
    swt_study_growth_free(growth);
    assert_int_not_equal(access(grown, F_OK), 0);
}

static void unlike_parts_are_refused(void **state)
{
    invented *v = *state;
    const char *parts[2] = {in_folder("p1.h5"), in_folder("odd.h5")};
    swt_provenance other = provenance;
    swt_error err = SWT_ERROR_INIT;

    other.options = "cutoff_hz = 8";
    assert_int_equal(swt_study_write(parts[0], v->entry, 2, &provenance, NULL), SWT_OK);
    assert_int_equal(swt_study_write(parts[1], v->entry, 1, &other, NULL), SWT_OK);
    assert_int_equal(swt_study_merge(in_folder("no.h5"), parts, 2, NULL, &err), SWT_EDATA);
    assert_non_null(strstr(err.msg, "other options"));
    assert_int_equal(access(in_folder("no.h5"), F_OK), -1);
    assert_int_equal(swt_study_merge(in_folder("no.h5"), parts, 0, NULL, &err), SWT_EARG);
}

/* Captures picked to and fro from three studies, one of them not whole, come out in their order. */
static void picked_captures_make_the_whole(void **state)
{
    invented *v = *state;
    const char *parts[3] = {in_folder("p1.h5"), in_folder("p2.h5"), in_folder("p3.h5")};
    const swt_study_entry odd[4] = {v->entry[6], v->entry[1], v->entry[3], v->entry[5]};
    const swt_study_pick picks[CAPTURES] = {{0, 0}, {2, 1}, {0, 2}, {2, 2}, {1, 0}, {2, 3}, {2, 0}};
    const swt_study_entry first[3] = {v->entry[0], v->entry[5], v->entry[2]};
    swt_error err = SWT_ERROR_INIT;
    char whole[256];

    snprintf(whole, sizeof whole, "%s", in_folder("merged.h5"));
    assert_int_equal(swt_study_write(parts[0], first, 3, &provenance, NULL), SWT_OK);
    assert_int_equal(swt_study_write(parts[1], v->entry + 4, 1, &provenance, NULL), SWT_OK);
    assert_int_equal(swt_study_write(parts[2], odd, 4, &provenance, NULL), SWT_OK);
    if (swt_study_gather(whole, parts, 3, picks, CAPTURES, &provenance, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    check_study(whole, v);
}

static void captures_alone_are_read(void **state)
{
    invented *v = *state;
    swt_study *study;

    assert_int_equal(swt_study_open_captures(&study, in_folder("whole.h5"), NULL), SWT_OK);
    assert_int_equal(study->n_captures, CAPTURES);
    assert_int_equal(study->n_swings, 0);
    assert_string_equal(study->capture[3].file, v->trial[3].file);
    assert_string_equal(study->capture[3].row_sha256, v->facts[3].row_sha256);
    swt_study_close(study);
}

static void an_empty_study_is_a_study(void **state)
{
    swt_study *study;

    (void)state;
    assert_int_equal(swt_study_write(in_folder("empty.h5"), NULL, 0, &provenance, NULL), SWT_OK);
    study = open_good(in_folder("empty.h5"));
    assert_int_equal(study->n_swings, 0);
    swt_study_close(study);
}

static void the_same_input_gives_the_same_bytes(void **state)
{
    invented *v = *state;
    size_t n[2];
    unsigned char *bytes[2];

    for (int k = 0; k < 2; k++) {
        assert_int_equal(
            swt_study_write(in_folder("again.h5"), v->entry, CAPTURES, &provenance, NULL), SWT_OK);
        bytes[k] = read_all(in_folder("again.h5"), &n[k]);
        assert_non_null(bytes[k]);
    }
    assert_int_equal(n[0], n[1]);
    assert_memory_equal(bytes[0], bytes[1], n[0]);
    free(bytes[0]);
    free(bytes[1]);
}

/* Swings that were packed, and have lost their samples, are written as those that were not. */
static void packed_swings_give_the_same_bytes(void **state)
{
    invented *v = invent();
    swt_packed *packed[CAPTURES][2] = {{NULL}};
    size_t n, n_whole;
    unsigned char *bytes, *whole = read_all(in_folder("whole.h5"), &n_whole);

    (void)state;
    for (size_t i = 0; i < CAPTURES; i++) {
        for (size_t k = 0; k < v->entry[i].n_swings; k++) {
            assert_int_equal(swt_packed_new(&packed[i][k], v->swing[i][k], NULL), SWT_OK);
            swt_swing_drop_samples(v->swing[i][k]);
        }
        v->entry[i].packed = packed[i];
    }
    assert_int_equal(swt_study_write(in_folder("again.h5"), v->entry, CAPTURES, &provenance, NULL),
                     SWT_OK);
    bytes = read_all(in_folder("again.h5"), &n);
    assert_non_null(bytes);
    assert_non_null(whole);
    assert_int_equal(n, n_whole);
    assert_memory_equal(bytes, whole, n);
    for (size_t i = 0; i < CAPTURES; i++)
        for (size_t k = 0; k < 2; k++)
            swt_packed_free(packed[i][k]);
    free(bytes);
    free(whole);
    forget(v);
}

static int set_up(void **state)
{
    invented *v;

    setenv("SOURCE_DATE_EPOCH", "1000000000", 1);
    *state = v = invent();
    if (!mkdtemp(folder))
        return -1;
    return swt_study_write(in_folder("whole.h5"), v->entry, CAPTURES, &provenance, NULL) == SWT_OK
               ? 0
               : -1;
}

static int clean_up(void **state)
{
    static const char *const names[] = {"whole.h5", "p1.h5",    "p2.h5",    "p3.h5",
                                        "g1.h5",    "g2.h5",    "g3.h5",    "odd.h5",
                                        "empty.h5", "again.h5", "merged.h5"};

    forget(*state);
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        remove(in_folder(names[i]));
    return remove(folder); /* fails when a draft was left behind */
}

/* With an argument: writes the invented study there, for tests/reference/study_file.py. */
int main(int argc, char **argv)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_written_is_read),
        cmocka_unit_test(curves_are_read_for_a_list),
        cmocka_unit_test(parts_make_the_whole),
        cmocka_unit_test(picked_captures_make_the_whole),
        cmocka_unit_test(captures_alone_are_read),
        cmocka_unit_test(grown_with_its_checkpoints),
        cmocka_unit_test(unlike_parts_are_refused),
        cmocka_unit_test(an_empty_study_is_a_study),
        cmocka_unit_test(the_same_input_gives_the_same_bytes),
        cmocka_unit_test(packed_swings_give_the_same_bytes),
    };
    if (argc > 1) {
        invented *v = invent();
        swt_status rc = swt_study_write(argv[1], v->entry, CAPTURES, &provenance, NULL);
        forget(v);
        return rc == SWT_OK ? 0 : 1;
    }
    return cmocka_run_group_tests(tests, set_up, clean_up);
}
