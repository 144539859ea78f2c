/* Any bytes as a study file, through a file since HDF5 reads no other way that we use. */
#include "io/study/comparison_store.h"
#include "tests/fuzz/fuzz.h"

#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

/* HDF5 1.10 does not free a chunk whose checksum fails. */
const char *__lsan_default_suppressions(void);
const char *__lsan_default_suppressions(void)
{
    return "leak:libhdf5";
}

static void read_all_of_it(const swt_study *study)
{
    double curve[SWT_CURVE_SAMPLES];
    swt_kept_comparison *comparison;
    swt_landmark_set *body;
    swt_quality quality;

    for (size_t i = 0; i < study->n_swings && i < 3; i++) {
        (void)!swt_study_read_curves(study, SWT_SERIES_HAND_DEPTH, &i, 1, curve, NULL);
        (void)!swt_study_read_quality(&quality, study, i, NULL);
        if (swt_study_read_body(&body, study, i, NULL) == SWT_OK)
            swt_landmark_set_free(body);
    }
    if (swt_comparison_load(&comparison, study, "reference", NULL) == SWT_OK)
        swt_kept_comparison_free(comparison);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char path[] = "/tmp/swathe-fuzz-XXXXXX";
    int fd = mkstemp(path);
    swt_study *study;
    swt_error err = SWT_ERROR_INIT;

    if (fd < 0)
        return 0;
    if (write(fd, data, size) == (ssize_t)size) {
        if (swt_study_open(&study, path, &err) == SWT_OK)
            read_all_of_it(study);
        else if (study || err.msg[0] == '\0')
            abort();
        swt_study_close(study);
    }
    close(fd);
    unlink(path);
    return 0;
}
