#define _GNU_SOURCE /* strtod_l, newlocale: one parse, whatever the user's locale */
#include "base/numtext.h"

#include <ctype.h>
#include <errno.h>
#include <locale.h>
#include <math.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#if defined(__APPLE__)
#include <xlocale.h>
#endif

enum { LONGEST_NUMBER = 64 };

static void trim(const char **text, size_t *length)
{
    while (*length > 0 && isspace((unsigned char)**text)) {
        ++*text;
        --*length;
    }
    while (*length > 0 && isspace((unsigned char)(*text)[*length - 1]))
        --*length;
}

/* One fixed grammar, so that hexadecimal, "inf" and group marks are refused. */
static bool is_decimal_number(const char *text, size_t length, char decimal_mark)
{
    size_t i = 0, digits = 0;

    if (i < length && (text[i] == '+' || text[i] == '-'))
        i++;
    for (; i < length && isdigit((unsigned char)text[i]); i++)
        digits++;
    if (i < length && text[i] == decimal_mark)
        for (i++; i < length && isdigit((unsigned char)text[i]); i++)
            digits++;
    if (digits == 0)
        return false;
    if (i < length && (text[i] == 'e' || text[i] == 'E')) {
        size_t exponent = 0;
        i++;
        if (i < length && (text[i] == '+' || text[i] == '-'))
            i++;
        for (; i < length && isdigit((unsigned char)text[i]); i++)
            exponent++;
        if (exponent == 0)
            return false;
    }
    return i == length;
}

static locale_t c_locale; /* never changes once it is made, and stays to the end */

static void make_c_locale(void)
{
    c_locale = newlocale(LC_ALL_MASK, "C", (locale_t)0);
}

static double parse_in_c_locale(const char *text)
{
    static pthread_once_t made = PTHREAD_ONCE_INIT;

    pthread_once(&made, make_c_locale);
    return c_locale ? strtod_l(text, NULL, c_locale) : nan("");
}

bool swt_parse_double(double *out, const char *text, size_t length, char decimal_mark)
{
    char copy[LONGEST_NUMBER + 1];
    double value;

    trim(&text, &length);
    if (length == 0 || length > LONGEST_NUMBER || !is_decimal_number(text, length, decimal_mark))
        return false;
    memcpy(copy, text, length);
    copy[length] = '\0';
    if (decimal_mark != '.') {
        char *mark = strchr(copy, decimal_mark);
        if (mark)
            *mark = '.';
    }
    value = parse_in_c_locale(copy);
    if (!isfinite(value))
        return false;
    *out = value;
    return true;
}

void swt_format_double(char out[SWT_NUMBER_TEXT], double value, char decimal_mark)
{
    double again;

    if (!isfinite(value)) {
        memcpy(out, "nan", 4);
        return;
    }
    for (int digits = 15; digits <= 17; digits++) {
        snprintf(out, SWT_NUMBER_TEXT, "%.*g", digits, value);
        for (char *c = out; *c; c++)
            if (!isdigit((unsigned char)*c) && !strchr("+-e", *c))
                *c = '.'; /* whatever the user's locale writes */
        again = parse_in_c_locale(out);
        if (memcmp(&again, &value, sizeof value) == 0)
            break;
    }
    if (decimal_mark != '.') {
        char *mark = strchr(out, '.');
        if (mark)
            *mark = decimal_mark;
    }
}

bool swt_parse_long(long *out, const char *text, long low, long high)
{
    char *end;
    long value;

    errno = 0;
    value = strtol(text, &end, 10);
    if (end == text || *end != '\0' || errno == ERANGE || value < low || value > high)
        return false;
    *out = value;
    return true;
}

bool swt_text_is_missing(const char *text, size_t length)
{
    static const char *const spellings[] = {"NA", "N/A", "NaN", "null", "-", "--", ".", "none"};

    trim(&text, &length);
    if (length == 0)
        return true;
    for (size_t i = 0; i < sizeof spellings / sizeof *spellings; i++)
        if (strlen(spellings[i]) == length && strncasecmp(text, spellings[i], length) == 0)
            return true;
    return false;
}
