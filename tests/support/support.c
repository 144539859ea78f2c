#include "tests/support/support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

void assert_close(double got, double want, double tolerance, const char *what)
{
    if (!(fabs(got - want) <= tolerance)) /* written so that NaN fails */
        fail_msg("%s: got %.17g, want %.17g, tolerance %g", what, got, want, tolerance);
}

const char *real_capture(const char *name)
{
    static char path[1024];
    FILE *file;

    snprintf(path, sizeof path, "%s/%s", SWT_CAPTURES, name);
    file = fopen(path, "rb");
    if (!file) {
        printf("real captures absent: %s is not there, so this check is skipped\n", path);
        return NULL;
    }
    fclose(file);
    return path;
}

double draw(uint64_t *seed)
{
    if (*seed == 0)
        *seed = 88172645463325252u;
    *seed ^= *seed >> 12;
    *seed ^= *seed << 25;
    *seed ^= *seed >> 27;
    return (double)((*seed * 2685821657736338717u) >> 11) / 9007199254740992.0;
}

double draw_normal(uint64_t *seed)
{
    double u = 1 - draw(seed), v = draw(seed);
    return sqrt(-2 * log(u)) * cos(2 * 3.14159265358979323846 * v);
}

unsigned char *read_all(const char *path, size_t *size)
{
    FILE *file = fopen(path, "rb");
    unsigned char *bytes = NULL;
    long end;

    if (!file)
        return NULL;
    if (fseek(file, 0, SEEK_END) == 0 && (end = ftell(file)) >= 0 &&
        fseek(file, 0, SEEK_SET) == 0 && (bytes = malloc((size_t)end + 1))) {
        *size = fread(bytes, 1, (size_t)end, file);
        if (*size != (size_t)end) {
            free(bytes);
            bytes = NULL;
        }
    }
    fclose(file);
    return bytes;
}
