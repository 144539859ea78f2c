/* Any bytes as a C3D file. What is read must be written, and read again with the same shape. */
#include "io/c3d/c3d_read.h"
#include "io/c3d/c3d_write.h"
#include "tests/fuzz/fuzz.h"

#include <stdlib.h>

static void check_again(const swt_capture *c, swt_c3d_processor processor, bool integers)
{
    swt_c3d_options options = {.processor = processor, .integers = integers};
    unsigned char *bytes;
    size_t size;
    swt_capture *again;

    if (swt_c3d_format(&bytes, &size, c, &options, NULL) != SWT_OK)
        return; /* a number that this form cannot hold */
    if (swt_c3d_parse(&again, bytes, size, NULL) != SWT_OK || again->n_frames != c->n_frames ||
        again->n_points != c->n_points || again->n_analog != c->n_analog)
        abort();
    swt_capture_free(again);
    free(bytes);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    swt_capture *c;
    swt_error err = SWT_ERROR_INIT;
    swt_status rc = swt_c3d_parse(&c, data, size, &err);

    if ((rc == SWT_OK) != (c != NULL) || (rc != SWT_OK && err.msg[0] == '\0'))
        abort();
    if (c) {
        check_again(c, SWT_C3D_INTEL, false);
        check_again(c, SWT_C3D_DEC, false);
        check_again(c, SWT_C3D_SGI, true);
    }
    swt_capture_free(c);
    return 0;
}
