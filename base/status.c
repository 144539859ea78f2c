#include "base/status.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

swt_status swt_fail(swt_error *err, swt_status code, const char *format, ...)
{
    if (err) {
        va_list args;
        err->code = code;
        va_start(args, format);
        vsnprintf(err->msg, sizeof err->msg, format, args);
        va_end(args);
    }
    return code;
}

void swt_error_prefix(swt_error *err, const char *format, ...)
{
    char joined[sizeof err->msg];
    va_list args;
    int n;

    if (!err)
        return;
    va_start(args, format);
    n = vsnprintf(joined, sizeof joined, format, args);
    va_end(args);
    if (n < 0)
        return;
    if ((size_t)n < sizeof joined) {
        size_t used = (size_t)n;
        snprintf(joined + used, sizeof joined - used, ": %.*s",
                 (int)(sizeof joined - used > 3 ? sizeof joined - used - 3 : 0), err->msg);
    }
    memcpy(err->msg, joined, sizeof joined);
    err->msg[sizeof err->msg - 1] = '\0';
}
