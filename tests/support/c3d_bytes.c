#include "tests/support/c3d_bytes.h"

#include <stdlib.h>
#include <string.h>

void c3d_append(c3d_bytes *f, const void *bytes, size_t size)
{
    if (f->size + size > f->capacity) {
        f->capacity = 2 * (f->size + size);
        f->bytes = realloc(f->bytes, f->capacity);
        if (!f->bytes)
            abort();
    }
    if (size > 0)
        memcpy(f->bytes + f->size, bytes, size);
    f->size += size;
}

static void byte(c3d_bytes *f, int value)
{
    unsigned char b = (unsigned char)(value & 255);
    c3d_append(f, &b, 1);
}

void c3d_word(c3d_bytes *f, unsigned value)
{
    byte(f, (int)(value & 255));
    byte(f, (int)(value >> 8 & 255));
}

void c3d_real(c3d_bytes *f, float value)
{
    unsigned bits;
    memcpy(&bits, &value, 4);
    c3d_word(f, bits & 65535);
    c3d_word(f, bits >> 16);
}

void c3d_set_word(c3d_bytes *f, size_t at, unsigned value)
{
    f->bytes[at] = (unsigned char)(value & 255);
    f->bytes[at + 1] = (unsigned char)(value >> 8 & 255);
}

void c3d_set_real(c3d_bytes *f, size_t at, float value)
{
    unsigned bits;
    memcpy(&bits, &value, 4);
    c3d_set_word(f, at, bits & 65535);
    c3d_set_word(f, at + 2, bits >> 16);
}

void c3d_begin(c3d_bytes *f, unsigned points, unsigned analog_words, unsigned first, unsigned last,
               float scale, unsigned samples_per_frame, float rate_hz)
{
    static const unsigned char zero[512], opening[4] = {1, 80, 0, 84};

    memset(f, 0, sizeof *f);
    c3d_append(f, zero, 512);
    f->bytes[0] = 2;
    f->bytes[1] = 80;
    c3d_set_word(f, 2, points);
    c3d_set_word(f, 4, analog_words);
    c3d_set_word(f, 6, first);
    c3d_set_word(f, 8, last);
    c3d_set_real(f, 12, scale);
    c3d_set_word(f, 18, samples_per_frame);
    c3d_set_real(f, 20, rate_hz);
    c3d_append(f, opening, 4);
}

void c3d_group(c3d_bytes *f, int id, const char *name)
{
    byte(f, (int)strlen(name));
    byte(f, -id);
    c3d_append(f, name, strlen(name));
    c3d_word(f, 3);
    byte(f, 0);
}

void c3d_parameter(c3d_bytes *f, int group, const char *name, int type, int n_dimensions, int a,
                   int b, const void *data, size_t size)
{
    byte(f, (int)strlen(name));
    byte(f, group);
    c3d_append(f, name, strlen(name));
    c3d_word(f, (unsigned)(2 + 2 + n_dimensions + (int)size + 1));
    byte(f, type);
    byte(f, n_dimensions);
    if (n_dimensions > 0)
        byte(f, a);
    if (n_dimensions > 1)
        byte(f, b);
    c3d_append(f, data, size);
    byte(f, 0);
}

void c3d_parameter_words(c3d_bytes *f, int group, const char *name, const unsigned *value, int n)
{
    c3d_bytes data = {0};

    for (int i = 0; i < n; i++)
        c3d_word(&data, value[i]);
    c3d_parameter(f, group, name, 2, n > 1, n, 0, data.bytes, data.size);
    c3d_free(&data);
}

void c3d_parameter_reals(c3d_bytes *f, int group, const char *name, const float *value, int n)
{
    c3d_bytes data = {0};

    for (int i = 0; i < n; i++)
        c3d_real(&data, value[i]);
    c3d_parameter(f, group, name, 4, n > 1, n, 0, data.bytes, data.size);
    c3d_free(&data);
}

void c3d_parameter_texts(c3d_bytes *f, int group, const char *name, const char *const *text, int n)
{
    c3d_bytes data = {0};
    size_t longest = 1;

    for (int i = 0; i < n; i++)
        if (strlen(text[i]) > longest)
            longest = strlen(text[i]);
    for (int i = 0; i < n; i++) {
        c3d_append(&data, text[i], strlen(text[i]));
        for (size_t k = strlen(text[i]); k < longest; k++)
            byte(&data, ' ');
    }
    c3d_parameter(f, group, name, -1, 2, (int)longest, n, data.bytes, data.size);
    c3d_free(&data);
}

size_t c3d_begin_data(c3d_bytes *f)
{
    byte(f, 0);
    byte(f, 0);
    while (f->size % 512 != 0)
        byte(f, 0);
    f->bytes[514] = (unsigned char)(f->size / 512 - 1);
    c3d_set_word(f, 16, (unsigned)(f->size / 512 + 1));
    return f->size;
}

void c3d_free(c3d_bytes *f)
{
    free(f->bytes);
    memset(f, 0, sizeof *f);
}
