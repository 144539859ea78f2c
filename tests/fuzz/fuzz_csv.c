/* Any bytes as a CSV capture. */
#include "io/csv/csv_read.h"
#include "tests/fuzz/fuzz.h"

#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    swt_capture *c;
    swt_error err = SWT_ERROR_INIT;
    swt_status rc = swt_csv_parse(&c, data, size, &err);

    if ((rc == SWT_OK) != (c != NULL) || (rc != SWT_OK && err.msg[0] == '\0'))
        abort();
    if (c && (c->n_frames == 0 || c->n_points == 0))
        abort();
    swt_capture_free(c);
    return 0;
}
