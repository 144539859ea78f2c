/* Corridors and departures in the study: read back as stored, and the swings never at risk. */
#include "io/study/comparison_store.h"
#include "tests/support/support.h"

#include <hdf5.h>
#include <math.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

const char *__lsan_default_suppressions(void);
const char *__lsan_default_suppressions(void)
{
    return "leak:libhdf5"; /* HDF5 1.10 does not free a chunk whose checksum fails */
}

static char folder[] = "/tmp/swathe-kept-XXXXXX";
static char path[256];

enum { SWINGS = 24, SAMPLES = 11 };

static void write_study(void)
{
    static swt_trial trial[SWINGS];
    static swt_capture_facts facts[SWINGS];
    static char *no_covariate[1];
    static swt_study_entry entry[SWINGS];
    static swt_swing *swing[SWINGS];
    const swt_provenance provenance = {.version = "test"};
    bool present[SWT_LANDMARK_COUNT] = {[SWT_C7] = true};

    for (int i = 0; i < SWINGS; i++) {
        trial[i] = (swt_trial){.file = "f",
                               .player = "p",
                               .session = "",
                               .group = "",
                               .club = "",
                               .shot = "",
                               .covariate = no_covariate};
        swing[i] = calloc(1, sizeof *swing[i]);
        swing[i]->n_frames = 3;
        swing[i]->rate_hz = 240;
        swing[i]->measure = calloc(swt_measure_count(), sizeof(swt_measurement));
        assert_int_equal(swt_landmark_set_new(&swing[i]->body, 3, 240, present, NULL), SWT_OK);
        entry[i] = (swt_study_entry){&trial[i], &facts[i], 1, &swing[i], NULL};
    }
    assert_int_equal(swt_study_write(path, entry, SWINGS, &provenance, NULL), SWT_OK);
    for (int i = 0; i < SWINGS; i++)
        swt_swing_free(swing[i]);
}

static swt_kept_corridor corridors[3];
static swt_kept_path paths[1];
static swt_kept_departure departures[2];
static swt_kept_score scores[1] = {{.swing = 22,
                                    .score = {1.5, 2.5, 0.5, 0.9, 0.8, 0.1},
                                    .phase_share = {0.1, 0.2, 0.3, 0.25, 0.15}}};
static size_t reference[SWINGS - 2];

/* Real corridors of drawn swings: a curve, a scalar, and one that is refused. */
static swt_kept_comparison invent(void)
{
    static double curve[SWINGS * SAMPLES], other[SWINGS * SAMPLES];
    static int player[SWINGS];
    swt_corridor_options options = SWT_CORRIDOR_OPTIONS_INIT;
    swt_departure_context context = {0};
    swt_departure *found;
    size_t n;
    uint64_t seed = 11;

    options.n_resamples = 200;
    for (int i = 0; i < SWINGS * SAMPLES; i++) {
        curve[i] = draw_normal(&seed);
        other[i] = draw_normal(&seed);
    }
    for (int i = 0; i < SWINGS; i++)
        player[i] = i / 3;
    for (size_t i = 0; i < SWINGS - 2; i++)
        reference[i] = i;
    snprintf(corridors[0].name, sizeof corridors[0].name, "hand_depth");
    corridors[0].is_series = corridors[0].in_family = true;
    snprintf(corridors[1].name, sizeof corridors[1].name, "tempo_ratio");
    snprintf(corridors[2].name, sizeof corridors[2].name, "wrist_set");
    snprintf(paths[0].name, sizeof paths[0].name, "hand_path");
    assert_int_equal(
        swt_corridor_build(&corridors[0].corridor, curve, player, SWINGS, SAMPLES, &options, NULL),
        SWT_OK);
    assert_int_equal(
        swt_corridor_build(&corridors[1].corridor, curve, player, SWINGS, 1, &options, NULL),
        SWT_OK);
    assert_int_equal(
        swt_corridor_build(&corridors[2].corridor, curve, player, 3, SAMPLES, &options, NULL),
        SWT_OK);
    assert_int_equal(corridors[2].corridor->state, SWT_CORRIDOR_REFUSED);
    assert_int_equal(swt_path_corridor_build(&paths[0].corridor, curve, other, player, SWINGS,
                                             SAMPLES, &options, NULL),
                     SWT_OK);
    for (int i = 0; i < SAMPLES; i++)
        curve[i] = i > 4 ? 9 : 0;
    assert_int_equal(
        swt_departure_find(&found, &n, NULL, corridors[0].corridor, curve, &context, NULL), SWT_OK);
    assert_int_equal(n, 1);
    departures[0] = (swt_kept_departure){22, found[0], SWT_OF_BESIDE};
    departures[1] = (swt_kept_departure){23, found[0], SWT_OF_PATH};
    departures[1].departure.direction = -1;
    departures[1].departure.measure = 3; /* the path */
    free(found);
    return (swt_kept_comparison){
        .group = "tour & <ref>",
        .selection = "group = \"tour & <ref>\"",
        .options = "least_excess_mm = 5",
        .family_factor = 1.25,
        .false_alone = 0.31,
        .n_reference = SWINGS - 2,
        .reference = reference,
        .n_corridors = 3,
        .corridor = corridors,
        .n_paths = 1,
        .path = paths,
        .n_departures = 2,
        .departure = departures,
        .n_scores = 1,
        .score = scores,
    };
}

static void same(const double *got, const double *want, size_t n)
{
    for (size_t i = 0; i < n; i++)
        if (memcmp(&got[i], &want[i], sizeof *got) != 0 && !(isnan(got[i]) && isnan(want[i])))
            fail_msg("value %zu: got %.17g, want %.17g", i, got[i], want[i]);
}

static void same_corridor(const swt_corridor *got, const swt_corridor *want)
{
    assert_int_equal(got->state, want->state);
    assert_string_equal(got->reason, want->reason);
    assert_int_equal(got->method, want->method);
    assert_int_equal(got->n_samples, want->n_samples);
    assert_int_equal(got->n_swings, want->n_swings);
    assert_int_equal(got->n_players, want->n_players);
    assert_int_equal(got->n_swings_given, want->n_swings_given);
    assert_int_equal(got->options.n_resamples, want->options.n_resamples);
    assert_int_equal(got->options.seed, want->options.seed);
    assert_int_equal(got->options.sides, want->options.sides);
    same(&got->options.coverage, &want->options.coverage, 1);
    same(&got->options.confidence, &want->options.confidence, 1);
    same(&got->multiplier, &want->multiplier, 1);
    same(&got->confidence, &want->confidence, 1);
    same(&got->normality_p, &want->normality_p, 1);
    same(&got->loo_coverage, &want->loo_coverage, 1);
    assert_int_equal(got->loo_inside, want->loo_inside);
    assert_int_equal(got->loo_swings, want->loo_swings);
    same(got->centre, want->centre, want->n_samples);
    same(got->lower, want->lower, want->n_samples);
    same(got->upper, want->upper, want->n_samples);
    same(got->sd_total, want->sd_total, want->n_samples);
    same(got->sd_between, want->sd_between, want->n_samples);
    same(got->sd_within, want->sd_within, want->n_samples);
    assert_memory_equal(got->n_players_at, want->n_players_at, want->n_samples * sizeof(size_t));
    assert_null(got->resampled_ratio);
}

static void same_departure(const swt_departure *got, const swt_departure *want)
{
    assert_int_equal(got->measure, want->measure);
    assert_int_equal(got->direction, want->direction);
    assert_int_equal(got->first, want->first);
    assert_int_equal(got->last, want->last);
    assert_int_equal(got->peak, want->peak);
    assert_int_equal(got->phase, want->phase);
    same(&got->start, &want->start, 1);
    same(&got->end, &want->end, 1);
    same(&got->peak_value, &want->peak_value, 1);
    same(&got->peak_excess, &want->peak_excess, 1);
    same(&got->peak_ratio, &want->peak_ratio, 1);
    same(&got->peak_within_sd, &want->peak_within_sd, 1);
    same(&got->peak_measurement_sd, &want->peak_measurement_sd, 1);
    same(&got->start_s, &want->start_s, 1);
    same(&got->end_s, &want->end_s, 1);
    same(&got->peak_s, &want->peak_s, 1);
    assert_int_equal(got->stands_in_family, want->stands_in_family);
}

static swt_kept_comparison made;

static swt_kept_comparison *load_good(const char *name)
{
    swt_study *study;
    swt_kept_comparison *c;
    swt_error err = SWT_ERROR_INIT;

    if (swt_study_verify(path, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    assert_int_equal(swt_study_open(&study, path, &err), SWT_OK);
    assert_int_equal(study->n_swings, SWINGS);
    if (swt_comparison_load(&c, study, name, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    swt_study_close(study);
    return c;
}

static void what_is_stored_is_loaded(void **state)
{
    swt_kept_comparison *c;
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    if (swt_comparison_store(path, "ref/1", &made, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    c = load_good("ref/1");
    assert_string_equal(c->group, made.group);
    assert_string_equal(c->options, made.options);
    same(&c->family_factor, &made.family_factor, 1);
    same(&c->false_alone, &made.false_alone, 1);
    assert_int_equal(c->n_reference, made.n_reference);
    assert_memory_equal(c->reference, made.reference, sizeof reference);
    assert_int_equal(c->n_corridors, 3);
    for (size_t i = 0; i < 3; i++) {
        assert_string_equal(c->corridor[i].name, corridors[i].name);
        assert_int_equal(c->corridor[i].is_series, corridors[i].is_series);
        assert_int_equal(c->corridor[i].in_family, corridors[i].in_family);
        same_corridor(c->corridor[i].corridor, corridors[i].corridor);
    }
    assert_int_equal(c->n_paths, 1);
    assert_string_equal(c->path[0].name, "hand_path");
    same(c->path[0].corridor->centre_depth, paths[0].corridor->centre_depth, SAMPLES);
    same(c->path[0].corridor->centre_height, paths[0].corridor->centre_height, SAMPLES);
    same(c->path[0].corridor->covariance, paths[0].corridor->covariance, 3 * SAMPLES);
    same(c->path[0].corridor->covariance_within, paths[0].corridor->covariance_within, 3 * SAMPLES);
    same(&c->path[0].corridor->multiplier, &paths[0].corridor->multiplier, 1);
    assert_int_equal(c->n_departures, 2);
    for (size_t i = 0; i < 2; i++) {
        assert_int_equal(c->departure[i].swing, departures[i].swing);
        assert_int_equal(c->departure[i].family, departures[i].family);
        same_departure(&c->departure[i].departure, &departures[i].departure);
    }
    assert_int_equal(c->n_scores, 1);
    assert_int_equal(c->score[0].swing, 22);
    same(&c->score[0].score.rms, &scores[0].score.rms, 1);
    same(&c->score[0].score.distance, &scores[0].score.distance, 1);
    same(&c->score[0].score.rest, &scores[0].score.rest, 1);
    same(&c->score[0].score.rms_rank, &scores[0].score.rms_rank, 1);
    same(&c->score[0].score.distance_rank, &scores[0].score.distance_rank, 1);
    same(&c->score[0].score.rest_rank, &scores[0].score.rest_rank, 1);
    same(c->score[0].phase_share, scores[0].phase_share, SWT_PHASES + 1);
    swt_kept_comparison_free(c);
}

static void several_names_stand_beside_each_other(void **state)
{
    swt_kept_comparison few = made, *c;
    swt_study *study;
    swt_names names = {0};
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    few.n_departures = few.n_paths = 0;
    few.n_corridors = 1;
    assert_int_equal(swt_comparison_store(path, "second", &few, NULL), SWT_OK);
    c = load_good("second");
    assert_int_equal(c->n_departures, 0);
    swt_kept_comparison_free(c);
    few.n_corridors = 2; /* the same name again: the old one goes */
    assert_int_equal(swt_comparison_store(path, "second", &few, NULL), SWT_OK);
    c = load_good("second");
    assert_int_equal(c->n_corridors, 2);
    swt_kept_comparison_free(c);
    c = load_good("ref/1");
    assert_int_equal(c->n_departures, 2);
    swt_kept_comparison_free(c);

    assert_int_equal(swt_study_open(&study, path, &err), SWT_OK);
    assert_int_equal(swt_comparison_load(&c, study, "third", &err), SWT_EARG);
    assert_null(c);
    assert_non_null(strstr(err.msg, "second"));
    assert_int_equal(swt_comparison_list(&names, study, &err), SWT_OK);
    assert_int_equal(names.n, 2);
    for (size_t i = 0; i < names.n; i++) { /* each of them is one that can be loaded */
        assert_int_equal(swt_comparison_load(&c, study, names.name[i], &err), SWT_OK);
        swt_kept_comparison_free(c);
    }
    swt_names_reset(&names);
    swt_study_close(study);
    assert_int_equal(swt_comparison_store(path, "", &made, &err), SWT_EARG);
}

/* Families came later: what was stored before them had the measures' departures, and paths'. */
static void a_comparison_without_families_is_loaded(void **state)
{
    swt_kept_comparison *c;
    hid_t file;

    (void)state;
    assert_int_equal(swt_comparison_store(path, "older", &made, NULL), SWT_OK);
    file = H5Fopen(path, H5F_ACC_RDWR, H5P_DEFAULT);
    assert_true(H5Ldelete(file, "departures/older/family", H5P_DEFAULT) >= 0);
    H5Fclose(file);
    c = load_good("older");
    assert_int_equal(c->departure[0].family, SWT_OF_MEASURES);
    assert_int_equal(c->departure[1].family, SWT_OF_PATH);
    swt_kept_comparison_free(c);
}

static void a_number_that_points_nowhere_is_found(void **state)
{
    swt_kept_comparison wrong = made, *c;
    swt_kept_departure bad = departures[0];
    swt_study *study;
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    bad.swing = SWINGS;
    wrong.departure = &bad;
    wrong.n_departures = 1;
    assert_int_equal(swt_comparison_store(path, "wrong", &wrong, NULL), SWT_OK);
    assert_int_equal(swt_study_open(&study, path, &err), SWT_OK);
    assert_int_equal(swt_comparison_load(&c, study, "wrong", &err), SWT_EFORMAT);
    assert_non_null(strstr(err.msg, "points nowhere"));
    swt_study_close(study);
}

/* A disk that fills up while a comparison is stored: a limit on the file's size stands for it. */
static void a_full_disk_leaves_the_study_as_it_was(void **state)
{
    size_t before, after;
    unsigned char *old = read_all(path, &before), *now;
    int result;
    pid_t child = fork();

    (void)state;
    if (child == 0) {
        struct rlimit limit = {before + 2000, before + 2000};
        signal(SIGXFSZ, SIG_IGN);
        setrlimit(RLIMIT_FSIZE, &limit);
        /* _exit: HDF5 would try once more to write what it could not */
        _exit(swt_comparison_store(path, "late", &made, NULL) == SWT_EIO ? 0 : 1);
    }
    assert_int_equal(waitpid(child, &result, 0), child);
    assert_true(WIFEXITED(result));
    assert_int_equal(WEXITSTATUS(result), 0);
    now = read_all(path, &after);
    assert_int_equal(after, before);
    assert_memory_equal(now, old, before);
    free(old);
    free(now);
}

static void flipped_bytes_never_crash(void **state)
{
    static char flipped[300];
    size_t n;
    unsigned char *bytes = read_all(path, &n);
    uint64_t seed = 17;

    (void)state;
    snprintf(flipped, sizeof flipped, "%s/flip.h5", folder);
    for (int k = 0; k < 60; k++) {
        size_t at = (size_t)(draw(&seed) * (double)n);
        unsigned char old = bytes[at];
        swt_study *study;
        swt_kept_comparison *c;
        FILE *file = fopen(flipped, "wb");
        bytes[at] ^= (unsigned char)(1 + draw(&seed) * 254);
        assert_int_equal(fwrite(bytes, 1, n, file), n);
        fclose(file);
        bytes[at] = old;
        if (swt_study_open(&study, flipped, NULL) != SWT_OK)
            continue;
        if (swt_comparison_load(&c, study, "ref/1", NULL) == SWT_OK)
            swt_kept_comparison_free(c);
        swt_study_close(study);
    }
    remove(flipped);
    free(bytes);
}

static int set_up(void **state)
{
    (void)state;
    setenv("SOURCE_DATE_EPOCH", "1000000000", 1);
    if (!mkdtemp(folder))
        return -1;
    snprintf(path, sizeof path, "%s/study.h5", folder);
    write_study();
    made = invent();
    return swt_comparison_store(path, "ref/1", &made, NULL) == SWT_OK ? 0 : -1;
}

static int clean_up(void **state)
{
    (void)state;
    for (int i = 0; i < 3; i++)
        swt_corridor_free(corridors[i].corridor);
    swt_path_corridor_free(paths[0].corridor);
    remove(path);
    return remove(folder); /* fails when a draft was left behind */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_stored_is_loaded),
        cmocka_unit_test(several_names_stand_beside_each_other),
        cmocka_unit_test(a_comparison_without_families_is_loaded),
        cmocka_unit_test(a_number_that_points_nowhere_is_found),
        cmocka_unit_test(a_full_disk_leaves_the_study_as_it_was),
        cmocka_unit_test(flipped_bytes_never_crash),
    };
    return cmocka_run_group_tests(tests, set_up, clean_up);
}
