#include "io/report/text.h"
#include "io/text.h"

#include <locale.h>
#include <openssl/evp.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static bool make_room(swt_text *text, size_t more)
{
    size_t want = text->length + more + 1, capacity = text->capacity ? text->capacity : 4096;
    char *bytes;

    if (text->failed)
        return false;
    if (want <= text->capacity)
        return true;
    while (capacity < want)
        capacity *= 2;
    bytes = realloc(text->bytes, capacity);
    if (!bytes) {
        text->failed = true;
        return false;
    }
    text->bytes = bytes;
    text->capacity = capacity;
    return true;
}

void swt_text_put(swt_text *text, const char *bytes, size_t length)
{
    if (!make_room(text, length))
        return;
    memcpy(text->bytes + text->length, bytes, length);
    text->length += length;
    text->bytes[text->length] = '\0';
}

void swt_text_put_base64(swt_text *text, const void *bytes, size_t size)
{
    enum { AT_ONCE = 3 * 1024 }; /* of three bytes each, so that no padding comes in between */
    unsigned char coded[AT_ONCE / 3 * 4 + 1];

    for (size_t from = 0, n; from < size; from += n) {
        n = size - from < AT_ONCE ? size - from : AT_ONCE;
        int length = EVP_EncodeBlock(coded, (const unsigned char *)bytes + from, (int)n);
        swt_text_put(text, (const char *)coded, (size_t)length);
    }
}

/* A host program may have set a locale with a decimal comma; scripts and pages need a point. */
SWT_PRINTF(3, 0)
static int print_in_c_locale(char *out, size_t size, const char *format, va_list arguments)
{
    locale_t c = newlocale(LC_ALL_MASK, "C", (locale_t)0);
    locale_t before = c ? uselocale(c) : (locale_t)0;
    int n = vsnprintf(out, size, format, arguments);

    if (c) {
        uselocale(before);
        freelocale(c);
    }
    return n;
}

void swt_text_add_list(swt_text *text, const char *format, va_list arguments)
{
    va_list again;
    int n;

    if (!make_room(text, 256))
        return;
    va_copy(again, arguments);
    n = print_in_c_locale(text->bytes + text->length, text->capacity - text->length, format,
                          arguments);
    if (n < 0) {
        text->failed = true;
        n = 0;
    } else if ((size_t)n >= text->capacity - text->length) {
        if (make_room(text, (size_t)n))
            (void)print_in_c_locale(text->bytes + text->length, text->capacity - text->length,
                                    format, again);
        else
            n = 0;
    }
    va_end(again);
    text->length += (size_t)n;
    text->bytes[text->length] = '\0';
}

void swt_text_add(swt_text *text, const char *format, ...)
{
    va_list arguments;

    va_start(arguments, format);
    swt_text_add_list(text, format, arguments);
    va_end(arguments);
}

swt_status swt_text_check(const swt_text *text, swt_error *err)
{
    if (text->failed)
        return swt_fail(err, SWT_ENOMEM, "out of memory while a page or script was made");
    return SWT_OK;
}

void swt_text_reset(swt_text *text)
{
    free(text->bytes);
    *text = (swt_text){0};
}

/* Length of the well-formed UTF-8 sequence at the start of `s`, 0 when there is none. */
static size_t sequence_length(const unsigned char *s)
{
    for (size_t n = 1; n <= 4 && s[n - 1]; n++)
        if (swt_text_is_utf8(s, n))
            return n;
    return 0;
}

char *swt_text_clean(char *out, size_t size, const char *in, size_t most)
{
    static const char ellipsis[] = "\xe2\x80\xa6";
    const unsigned char *s = (const unsigned char *)in;
    size_t used = 0, last = 0;

    for (size_t count = 0; *s; count++) {
        size_t n = sequence_length(s);
        const char *piece = n ? (const char *)s : "?";
        size_t length = n ? n : 1;
        if (n == 1 && (*s < 0x20 || *s == 0x7f))
            piece = " ";
        if (n == 2 && s[0] == 0xc2 && s[1] < 0xa0) { /* C1 controls */
            piece = " ";
            length = 1;
        }
        if (count >= most || used + length + sizeof ellipsis > size) {
            used = last;
            if (used + sizeof ellipsis <= size) {
                memcpy(out + used, ellipsis, sizeof ellipsis - 1);
                used += sizeof ellipsis - 1;
            }
            break;
        }
        last = used;
        memcpy(out + used, piece, length);
        used += length;
        s += n ? n : 1;
    }
    if (size > 0)
        out[used < size ? used : size - 1] = '\0';
    return out;
}
