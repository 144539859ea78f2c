/* Damage to a study: told with the file's name, never believed, never a crash. */
#include "tests/support/support.h"
#include "tests/unit/invented_study.h"

#include <hdf5.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

/* HDF5 1.10 does not free a chunk whose checksum fails; that is not a leak of ours. */
const char *__lsan_default_suppressions(void);
const char *__lsan_default_suppressions(void)
{
    return "leak:libhdf5";
}

static char folder[] = "/tmp/swathe-study-XXXXXX";

static const char *in_folder(const char *name)
{
    static char path[4][256];
    static int turn;
    char *p = path[turn++ % 4];
    snprintf(p, 256, "%s/%s", folder, name);
    return p;
}

static void put(const char *name, const void *bytes, size_t n)
{
    FILE *file = fopen(in_folder(name), "wb");

    assert_non_null(file);
    assert_int_equal(fwrite(bytes, 1, n, file), n);
    assert_int_equal(fclose(file), 0);
}

static void what_is_no_study_is_refused(void **state)
{
    swt_study *study;
    swt_error err = SWT_ERROR_INIT;
    hid_t file;
    long schema = SWT_STUDY_SCHEMA + 1;
    hid_t attribute;

    (void)state;
    assert_int_equal(swt_study_open(&study, in_folder("none.h5"), &err), SWT_EIO);
    assert_int_equal(swt_study_open(&study, folder, &err), SWT_EIO);
    put("bad.h5", "file,player\n", 12);
    assert_int_equal(swt_study_open(&study, in_folder("bad.h5"), &err), SWT_EFORMAT);
    assert_non_null(strstr(err.msg, "not an HDF5 file"));
    put("bad.h5", "", 0);
    assert_int_equal(swt_study_open(&study, in_folder("bad.h5"), &err), SWT_EFORMAT);
    file = H5Fcreate(in_folder("bad.h5"), H5F_ACC_TRUNC, H5P_DEFAULT, H5P_DEFAULT);
    H5Fclose(file);
    assert_int_equal(swt_study_open(&study, in_folder("bad.h5"), &err), SWT_EFORMAT);
    assert_non_null(strstr(err.msg, "not a study"));

    size_t n;
    unsigned char *bytes = read_all(in_folder("whole.h5"), &n);
    put("bad.h5", bytes, n);
    free(bytes);
    file = H5Fopen(in_folder("bad.h5"), H5F_ACC_RDWR, H5P_DEFAULT);
    attribute = H5Aopen(file, "schema", H5P_DEFAULT);
    assert_true(H5Awrite(attribute, H5T_NATIVE_LONG, &schema) >= 0);
    H5Aclose(attribute);
    H5Fclose(file);
    assert_int_equal(swt_study_open(&study, in_folder("bad.h5"), &err), SWT_EFORMAT);
    assert_non_null(strstr(err.msg, "newer swathe"));
    assert_null(study);
}

/* What schema 2 brought is taken out of a study again; the root's hash is that of schema 1. */
static void make_schema_1(const char *path)
{
    static const char *const younger[] = {"captures/static_sha256", "captures/map_sha256",
                                          "captures/row_sha256",    "captures/file_stamp",
                                          "captures/static_stamp",  "captures/measured",
                                          "swings/number",          "swings/strike"};
    static const char *const text_name[] = {
        "swathe_version", "created", "command",    "options",   "sheet",
        "sheet_sha256",   "map",     "map_sha256", "covariates"};
    char joined[9 * SWT_SHA256_TEXT], hash[SWT_SHA256_TEXT], text[400];
    hid_t file = H5Fopen(path, H5F_ACC_RDWR, H5P_DEFAULT), attribute, type;
    long schema = 1;

    for (size_t i = 0; i < sizeof younger / sizeof *younger; i++)
        assert_true(H5Ldelete(file, younger[i], H5P_DEFAULT) >= 0);
    assert_true(H5Adelete(file, "numerics") >= 0 && H5Adelete(file, "part") >= 0);
    for (size_t i = 0; i < 9; i++) {
        memset(text, 0, sizeof text);
        attribute = H5Aopen(file, text_name[i], H5P_DEFAULT);
        type = H5Aget_type(attribute);
        assert_in_range(H5Tget_size(type), 1, sizeof text - 1);
        assert_true(H5Aread(attribute, type, text) >= 0);
        swt_sha256(joined + i * SWT_SHA256_TEXT, text, strlen(text));
        H5Tclose(type);
        H5Aclose(attribute);
    }
    swt_sha256(hash, joined, sizeof joined);
    attribute = H5Aopen(file, "provenance_sha256", H5P_DEFAULT);
    type = H5Aget_type(attribute);
    assert_true(H5Awrite(attribute, type, hash) >= 0);
    H5Tclose(type);
    H5Aclose(attribute);
    attribute = H5Aopen(file, "schema", H5P_DEFAULT);
    assert_true(H5Awrite(attribute, H5T_NATIVE_LONG, &schema) >= 0);
    H5Aclose(attribute);
    H5Fclose(file);
}

static void a_study_of_the_first_schema_is_read(void **state)
{
    const char *path = in_folder("bad.h5");
    swt_study *study = NULL;
    swt_error err = SWT_ERROR_INIT;
    size_t n;
    unsigned char *bytes = read_all(in_folder("whole.h5"), &n);

    (void)state;
    put("bad.h5", bytes, n);
    free(bytes);
    make_schema_1(path);
    if (swt_study_verify(path, &err) != SWT_OK || swt_study_open(&study, path, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    assert_int_equal(study->schema, 1);
    assert_string_equal(study->numerics, "");
    assert_string_equal(study->capture[1].row_sha256, "");
    assert_int_equal(study->swing[0].number, 1);
    swt_study_close(study);
    /* numbers of two schemas do not go into one study */
    assert_int_equal(swt_study_merge(in_folder("no.h5"), &path, 1, NULL, &err), SWT_EDATA);
    assert_non_null(strstr(err.msg, "schema 1"));
}

/* Uncertainties of curves came later, and no reader goes wrong without them: not known. */
static void a_study_without_uncertain_curves_is_read(void **state)
{
    char bad[200], copied[200];
    const char *path = bad;
    const size_t first = 0;
    double sd[SWT_CURVE_SAMPLES] = {0};
    swt_study *study = NULL;
    swt_error err = SWT_ERROR_INIT;
    size_t n;
    unsigned char *bytes = read_all(in_folder("whole.h5"), &n);
    hid_t file;

    (void)state;
    snprintf(bad, sizeof bad, "%s", in_folder("bad.h5"));
    snprintf(copied, sizeof copied, "%s", in_folder("copied.h5"));
    put("bad.h5", bytes, n);
    free(bytes);
    file = H5Fopen(path, H5F_ACC_RDWR, H5P_DEFAULT);
    for (int s = 0; s < SWT_SERIES_COUNT; s++) {
        char name[200];
        snprintf(name, sizeof name, "curves/%s/sd", swt_series_describe((swt_series)s)->name);
        assert_true(H5Ldelete(file, name, H5P_DEFAULT) >= 0);
    }
    H5Fclose(file);
    if (swt_study_verify(path, &err) != SWT_OK || swt_study_open(&study, path, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    assert_int_equal(swt_study_read_curve_sds(study, SWT_SERIES_HAND_DEPTH, &first, 1, sd, &err),
                     SWT_OK);
    for (int i = 0; i < SWT_CURVE_SAMPLES; i++)
        assert_true(isnan(sd[i]));
    swt_study_close(study);
    if (swt_study_merge(copied, &path, 1, NULL, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    assert_int_equal(swt_study_verify(copied, &err), SWT_OK);
    remove(copied);
}

/* What an earlier version called the trunk is the thorax now. */
static void a_study_with_earlier_names_is_read(void **state)
{
    static const char *const group[] = {"curves", "series", "travel"};
    char bad[200], copied[200], now[200], then[200];
    const char *path = bad;
    const size_t first = 0;
    double curve[2][SWT_CURVE_SAMPLES];
    size_t n;
    unsigned char *bytes = read_all(in_folder("whole.h5"), &n);
    swt_error err = SWT_ERROR_INIT;
    hid_t file;

    (void)state;
    snprintf(bad, sizeof bad, "%s", in_folder("bad.h5"));
    snprintf(copied, sizeof copied, "%s", in_folder("copied.h5"));
    put("bad.h5", bytes, n);
    free(bytes);
    file = H5Fopen(path, H5F_ACC_RDWR, H5P_DEFAULT);
    for (size_t g = 0; g < sizeof group / sizeof *group; g++) {
        snprintf(now, sizeof now, "%s/depth_from_thorax", group[g]);
        snprintf(then, sizeof then, "%s/depth_from_trunk", group[g]);
        assert_true(H5Lmove(file, now, file, then, H5P_DEFAULT, H5P_DEFAULT) >= 0);
    }
    H5Fclose(file);
    if (swt_study_verify(path, &err) != SWT_OK ||
        swt_study_merge(copied, &path, 1, NULL, &err) != SWT_OK ||
        swt_study_verify(copied, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    for (int k = 0; k < 2; k++) {
        swt_study *study;
        assert_int_equal(swt_study_open(&study, k == 0 ? in_folder("whole.h5") : path, &err),
                         SWT_OK);
        assert_int_equal(
            swt_study_read_curves(study, SWT_SERIES_LEDGER_DEPTH_THORAX, &first, 1, curve[k], &err),
            SWT_OK);
        swt_study_close(study);
    }
    assert_memory_equal(curve[0], curve[1], sizeof curve[0]);
    remove(copied);
}

/* Reads all that a reader can ask for, so that damage anywhere is met. */
static void read_everything(const char *path)
{
    swt_study *study;
    swt_error err = SWT_ERROR_INIT;

    if (swt_study_open(&study, path, &err) != SWT_OK) {
        assert_true(err.msg[0] != '\0');
        return;
    }
    for (size_t i = 0; i < study->n_swings; i++) {
        double *series = malloc((study->swing[i].n_frames + 1) * sizeof *series);
        double curve[SWT_CURVE_SAMPLES];
        swt_landmark_set *body;
        swt_quality quality;
        for (int k = 0; k < SWT_SERIES_COUNT; k += 7) {
            (void)!swt_study_read_series(study, (swt_series)k, i, series, &err);
            (void)!swt_study_read_curves(study, (swt_series)k, &i, 1, curve, &err);
        }
        if (swt_study_read_body(&body, study, i, &err) == SWT_OK)
            swt_landmark_set_free(body);
        (void)!swt_study_read_quality(&quality, study, i, &err);
        free(series);
    }
    swt_study_close(study);
}

static void a_truncated_study_is_refused(void **state)
{
    size_t n;
    unsigned char *bytes = read_all(in_folder("whole.h5"), &n);
    uint64_t seed = 3;

    (void)state;
    assert_non_null(bytes);
    for (int k = 0; k < 40; k++) {
        size_t cut = k < 20    ? n * (size_t)k / 20
                     : k == 20 ? n - 1
                               : (size_t)(draw(&seed) * (double)n);
        swt_study *study;
        swt_error err = SWT_ERROR_INIT;
        put("cut.h5", bytes, cut);
        if (swt_study_open(&study, in_folder("cut.h5"), &err) == SWT_OK)
            fail_msg("cut at %zu of %zu was opened", cut, n);
        assert_non_null(strstr(err.msg, "cut.h5"));
    }
    free(bytes);
}

/* A flipped byte is either found or did no harm: whatever verifies must read as the original. */
static void flipped_bytes_are_found(void **state)
{
    size_t n, found = 0, harmless = 0;
    unsigned char *bytes = read_all(in_folder("whole.h5"), &n);
    uint64_t seed = 5;

    assert_non_null(bytes);
    for (int k = 0; k < 40; k++) {
        size_t at = (size_t)(draw(&seed) * (double)n);
        unsigned char old = bytes[at];
        swt_error err = SWT_ERROR_INIT;
        bytes[at] = (unsigned char)(old ^ (1 + (unsigned)(draw(&seed) * 255)));
        put("flip.h5", bytes, n);
        bytes[at] = old;
        if (swt_study_verify(in_folder("flip.h5"), &err) == SWT_OK) {
            harmless++;
            check_study(in_folder("flip.h5"), *state);
        } else {
            found++;
            assert_non_null(strstr(err.msg, "flip.h5"));
        }
        read_everything(in_folder("flip.h5"));
    }
    printf("of 40 flipped bytes %zu were found and %zu changed nothing\n", found, harmless);
    assert_true(found > 0);
    free(bytes);
}

/* A curve that is missing, and one with a sample less than the others have. */
static void a_lost_or_shortened_curve_is_found(void **state)
{
    static const char curve[] = "curves/hand_depth/value";
    const char *path = in_folder("bad.h5");
    size_t n;
    unsigned char *bytes = read_all(in_folder("whole.h5"), &n);

    (void)state;
    for (int shortened = 0; shortened < 2; shortened++) {
        swt_error err = SWT_ERROR_INIT;
        hid_t file, dataset, space, type;
        hsize_t dims[2];
        put("bad.h5", bytes, n);
        file = H5Fopen(path, H5F_ACC_RDWR, H5P_DEFAULT);
        dataset = H5Dopen2(file, curve, H5P_DEFAULT);
        assert_true(dataset >= 0);
        space = H5Dget_space(dataset);
        type = H5Dget_type(dataset);
        assert_int_equal(H5Sget_simple_extent_dims(space, dims, NULL), 2);
        H5Sclose(space);
        H5Dclose(dataset);
        assert_true(H5Ldelete(file, curve, H5P_DEFAULT) >= 0);
        if (shortened) {
            dims[1]--;
            space = H5Screate_simple(2, dims, NULL);
            dataset = H5Dcreate2(file, curve, type, space, H5P_DEFAULT, H5P_DEFAULT, H5P_DEFAULT);
            assert_true(dataset >= 0);
            H5Sclose(space);
            H5Dclose(dataset);
        }
        H5Tclose(type);
        H5Fclose(file);
        assert_int_equal(swt_study_verify(path, &err), SWT_EFORMAT);
        assert_non_null(strstr(err.msg, curve));
    }
    free(bytes);
}

/* The lists that say where the cells of a checkpoint's columns lie must fit the file. */
static void a_checkpoint_whose_lists_lie_is_refused(void **state)
{
    static const struct {
        const char *list;
        size_t at;
        unsigned long long value;
    } rows[] = {{"cell_rows", 0, 1ULL << 61},    {"cell_rows", 1, 3},     {"cell_rows", 1, 1 << 20},
                {"cell_lengths", 0, 0},          {"cell_lengths", 0, 9},  {"cell_lengths", 1, 0},
                {"cell_lengths", 1, 1ULL << 62}, {"cell_lengths", 1, 900}};
    const invented *v = *state;
    const char *path = in_folder("bad.h5");
    swt_study *study;

    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        unsigned long long list[2000];
        swt_error err = SWT_ERROR_INIT;
        hid_t file, dataset;
        assert_int_equal(
            swt_study_write_checkpoint(path, v->entry, CAPTURES, &provenance, NULL, NULL), SWT_OK);
        assert_int_equal(swt_study_open(&study, path, &err), SWT_OK);
        swt_study_close(study);
        file = H5Fopen(path, H5F_ACC_RDWR, H5P_DEFAULT);
        dataset = H5Dopen2(file, rows[i].list, H5P_DEFAULT);
        assert_true(H5Dget_storage_size(dataset) <= sizeof list);
        assert_true(H5Dread(dataset, H5T_NATIVE_ULLONG, H5S_ALL, H5S_ALL, H5P_DEFAULT, list) >= 0);
        assert_true(list[rows[i].at] != rows[i].value);
        list[rows[i].at] = rows[i].value;
        assert_true(H5Dwrite(dataset, H5T_NATIVE_ULLONG, H5S_ALL, H5S_ALL, H5P_DEFAULT, list) >= 0);
        H5Dclose(dataset);
        H5Fclose(file);
        assert_int_equal(swt_study_open(&study, path, &err), SWT_EFORMAT);
        assert_non_null(strstr(err.msg, "bad.h5"));
        assert_int_equal(swt_study_open_captures(&study, path, &err), SWT_EFORMAT);
        assert_null(study);
    }
}

static void a_study_that_cannot_be_written_leaves_nothing(void **state)
{
    invented *v = *state;
    swt_error err = SWT_ERROR_INIT;

    assert_int_equal(swt_study_write("/no/such/folder/s.h5", v->entry, CAPTURES, &provenance, &err),
                     SWT_EIO);
    assert_non_null(strstr(err.msg, "/no/such/folder/s.h5"));
}

/* A limit on the file's size stands for a disk that is full. */
static void a_full_disk_is_told_and_leaves_nothing(void **state)
{
    invented *v = *state;
    static const rlim_t rooms[] = {0, 5000, 100000};

    for (size_t k = 0; k < sizeof rooms / sizeof *rooms; k++) {
        int result;
        pid_t child = fork();
        if (child == 0) {
            struct rlimit limit = {rooms[k], rooms[k]};
            swt_error err = SWT_ERROR_INIT;
            signal(SIGXFSZ, SIG_IGN);
            setrlimit(RLIMIT_FSIZE, &limit);
            _exit(swt_study_write(in_folder("full.h5"), v->entry, CAPTURES, &provenance, &err) ==
                              SWT_EIO &&
                          strstr(err.msg, "full.h5")
                      ? 0
                      : 1);
        }
        assert_int_equal(waitpid(child, &result, 0), child);
        assert_true(WIFEXITED(result));
        assert_int_equal(WEXITSTATUS(result), 0);
        assert_int_equal(access(in_folder("full.h5"), F_OK), -1);
    }
}

static int set_up(void **state)
{
    setenv("SOURCE_DATE_EPOCH", "1000000000", 1);
    invented *v = *state = invent();
    return mkdtemp(folder) && swt_study_write(in_folder("whole.h5"), v->entry, CAPTURES,
                                              &provenance, NULL) == SWT_OK
               ? 0
               : -1;
}

static int clean_up(void **state)
{
    static const char *const names[] = {"whole.h5", "bad.h5", "cut.h5", "flip.h5"};

    forget(*state);
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        remove(in_folder(names[i]));
    return remove(folder); /* fails when a draft was left behind */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_no_study_is_refused),
        cmocka_unit_test(a_study_of_the_first_schema_is_read),
        cmocka_unit_test(a_study_without_uncertain_curves_is_read),
        cmocka_unit_test(a_study_with_earlier_names_is_read),
        cmocka_unit_test(a_truncated_study_is_refused),
        cmocka_unit_test(flipped_bytes_are_found),
        cmocka_unit_test(a_lost_or_shortened_curve_is_found),
        cmocka_unit_test(a_checkpoint_whose_lists_lie_is_refused),
        cmocka_unit_test(a_study_that_cannot_be_written_leaves_nothing),
        cmocka_unit_test(a_full_disk_is_told_and_leaves_nothing),
    };
    return cmocka_run_group_tests(tests, set_up, clean_up);
}
