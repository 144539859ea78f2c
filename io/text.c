#include "io/text.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* Length of the well-formed sequence at `p`, 0 when there is none. Table 3-7 of the Unicode
   standard: the second byte's range depends on the first. */
static size_t sequence_length(const unsigned char *p, size_t left)
{
    unsigned char low = 0x80, high = 0xbf;
    size_t n;

    if (p[0] < 0x80)
        return 1;
    if (p[0] >= 0xc2 && p[0] <= 0xdf)
        n = 2;
    else if (p[0] >= 0xe0 && p[0] <= 0xef)
        n = 3;
    else if (p[0] >= 0xf0 && p[0] <= 0xf4)
        n = 4;
    else
        return 0;
    if (left < n)
        return 0;
    if (p[0] == 0xe0)
        low = 0xa0;
    else if (p[0] == 0xed)
        high = 0x9f;
    else if (p[0] == 0xf0)
        low = 0x90;
    else if (p[0] == 0xf4)
        high = 0x8f;
    if (p[1] < low || p[1] > high)
        return 0;
    for (size_t i = 2; i < n; i++)
        if ((p[i] & 0xc0) != 0x80)
            return 0;
    return n;
}

bool swt_text_is_utf8(const void *bytes, size_t length)
{
    const unsigned char *p = bytes;

    for (size_t i = 0; i < length;) {
        size_t n = sequence_length(p + i, length - i);
        if (n == 0)
            return false;
        i += n;
    }
    return true;
}

static bool is_blank(unsigned char c)
{
    return c == ' ' || (c >= '\t' && c <= '\r');
}

char *swt_text_to_utf8(const void *bytes, size_t length)
{
    const unsigned char *p = bytes;
    const unsigned char *nul = length ? memchr(p, 0, length) : NULL;
    unsigned char *text, *out;

    if (nul)
        length = (size_t)(nul - p);
    while (length > 0 && is_blank(p[0])) {
        p++;
        length--;
    }
    while (length > 0 && is_blank(p[length - 1]))
        length--;
    if (length > (SIZE_MAX - 1) / 2 || !(text = malloc(2 * length + 1)))
        return NULL;
    out = text;
    if (swt_text_is_utf8(p, length)) {
        if (length > 0)
            memcpy(out, p, length);
        out += length;
    } else {
        for (size_t i = 0; i < length; i++) {
            if (p[i] < 0x80) {
                *out++ = p[i];
            } else {
                *out++ = (unsigned char)(0xc0 | p[i] >> 6);
                *out++ = (unsigned char)(0x80 | (p[i] & 0x3f));
            }
        }
    }
    *out = 0;
    return (char *)text;
}

const char *swt_text_excerpt(char out[SWT_EXCERPT], const void *bytes, size_t length)
{
    const unsigned char *p = bytes;
    size_t used = 0;

    while (length > 0) {
        size_t n = sequence_length(p, length), taken = n ? n : 1;
        bool printable = n > 1    ? !(p[0] == 0xc2 && p[1] < 0xa0)
                         : n == 1 ? p[0] >= ' ' && p[0] != 0x7f
                                  : false;
        if (used + taken + sizeof "..." > SWT_EXCERPT) {
            memcpy(out + used, "...", 3);
            used += 3;
            break;
        }
        if (printable)
            memcpy(out + used, p, n);
        else
            out[used] = '?';
        used += printable ? n : 1;
        p += taken;
        length -= taken;
    }
    out[used] = '\0';
    return out;
}

static uint32_t code_point(const unsigned char *p, size_t n)
{
    uint32_t code = n == 1 ? p[0] : p[0] & (0x7fu >> n);

    for (size_t i = 1; i < n; i++)
        code = code << 6 | (p[i] & 0x3f);
    return code;
}

/* The blocks that East Asian Width (Unicode annex 11) lists as wide, coarsely. */
static size_t code_width(uint32_t code)
{
    if (code >= 0x300 && code <= 0x36f)
        return 0;
    if ((code >= 0x1100 && code <= 0x115f) || (code >= 0x2e80 && code <= 0xa4cf) ||
        (code >= 0xac00 && code <= 0xd7a3) || (code >= 0xf900 && code <= 0xfaff) ||
        (code >= 0xfe30 && code <= 0xfe6f) || (code >= 0xff00 && code <= 0xff60) ||
        (code >= 0x1f300 && code <= 0x1faff) || (code >= 0x20000 && code <= 0x3fffd))
        return 2;
    return 1;
}

size_t swt_text_width(const char *text)
{
    const unsigned char *p = (const unsigned char *)text;
    size_t left = strlen(text), width = 0;

    while (left > 0) {
        size_t n = sequence_length(p, left);
        if (n == 0) {
            width++; /* a stray byte is shown as one replacement character */
            n = 1;
        } else {
            width += code_width(code_point(p, n));
        }
        p += n;
        left -= n;
    }
    return width;
}
