/* Any bytes as a trial sheet. */
#include "io/sheet/sheet.h"
#include "tests/fuzz/fuzz.h"

#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    swt_sheet *sheet;
    char *problems;
    swt_error err = SWT_ERROR_INIT;
    /* in this folder /dev/null/x never exists, and /etc/hosts is a file whatever the folder */
    swt_status rc = swt_sheet_parse(&sheet, &problems, data, size, "/dev/null/sheet.csv", &err);

    if ((rc == SWT_OK) != (sheet != NULL) || (rc != SWT_OK && err.msg[0] == '\0'))
        abort();
    if (!problems || (rc == SWT_OK) != (problems[0] == '\0'))
        abort();
    if (sheet && sheet->n_trials == 0)
        abort();
    swt_sheet_free(sheet);
    free(problems);
    return 0;
}
