#include "io/csv/csv_cells.h"

#include <csv.h>
#include <math.h>
#include <string.h>

void swt_csv_put_text(FILE *stream, const char *text)
{
    csv_fwrite(stream, text, strlen(text));
    fputc(',', stream);
}

void swt_csv_put_number(FILE *stream, double value, const char *after)
{
    if (isfinite(value))
        fprintf(stream, "%.12g", value);
    fputs(after, stream);
}
