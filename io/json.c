#include "io/json.h"

#include "base/numtext.h"
#include "io/text.h"

#include <math.h>
#include <string.h>

static void put_character(FILE *stream, const char *text, size_t length)
{
    unsigned char c = (unsigned char)text[0];

    if (c == '"' || c == '\\')
        fprintf(stream, "\\%c", c);
    else if (c < 0x20 || c == 0x7f)
        fprintf(stream, "\\u%04x", c);
    else
        fwrite(text, 1, length, stream);
}

void swt_json_string(FILE *stream, const char *text)
{
    size_t left = strlen(text);

    fputc('"', stream);
    while (left > 0) {
        /* a character is the shortest well-formed start */
        size_t n = 1, most = left < 4 ? left : 4;
        while (n < most && !swt_text_is_utf8(text, n))
            n++;
        if (swt_text_is_utf8(text, n)) {
            put_character(stream, text, n);
        } else {
            fputs("\\ufffd", stream);
            n = 1;
        }
        text += n;
        left -= n;
    }
    fputc('"', stream);
}

void swt_json_number(FILE *stream, double value)
{
    char text[SWT_NUMBER_TEXT];

    if (!isfinite(value)) {
        fputs("null", stream);
        return;
    }
    swt_format_double(text, value, '.');
    fputs(text, stream);
}

void swt_json_key(FILE *stream, const char *key, int is_first)
{
    if (!is_first)
        fputs(", ", stream);
    swt_json_string(stream, key);
    fputs(": ", stream);
}
