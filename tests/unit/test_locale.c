/* A program that uses the library may run in a locale with decimal commas: captures must read and
   write the same numbers there. The locale is made for the test where the system cannot have it. */
#define _GNU_SOURCE /* setenv of LOCPATH is glibc's */
#include "io/bids/bids_read.h"
#include "io/capture/inspect.h"
#include "io/csv/csv_read.h"
#include "io/csv/csv_write.h"
#include "io/sheet/map_ini.h"
#include "tests/support/support.h"

#include <locale.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const char csv[] = "# rate_hz = 239.5\n# units = mm\nframe,A.x,A.y,A.z\n"
                          "1,1.5,-2.25,1e3\n2,0.1,1234.5678901234567,\n";

static const char ini[] =
    "[laboratory]\nup = +Z\n[markers]\nradius_mm = 7.5\n[landmarks]\nIJ = A\n";

/** All that is read and written, as one text; the caller frees. */
static char *everything(void)
{
    static const char motion[] = "1.5\t-2.25\t1e3\n0.1\t1234.5678901234567\tn/a\n";
    static const char channels[] = "name\tcomponent\ttype\ttracked_point\tunits\n"
                                   "a\tx\tPOS\tA\tm\nb\ty\tPOS\tA\tm\nc\tz\tPOS\tA\tm\n";
    static const char json[] = "{\"SamplingFrequency\": 239.5}";
    swt_csv_options comma = {';', ',', true, false};
    swt_bids_channels table;
    swt_bids_facts facts = {0};
    swt_capture *c = NULL, *b = NULL;
    swt_marker_map map;
    swt_error err = SWT_ERROR_INIT;
    char *text;
    size_t size;
    FILE *stream = open_memstream(&text, &size);

    assert_non_null(stream);
    if (swt_csv_parse(&c, csv, sizeof csv - 1, &err) != SWT_OK ||
        swt_bids_channels_parse(&table, channels, sizeof channels - 1, &err) != SWT_OK ||
        swt_bids_facts_add(&facts, json, sizeof json - 1, &err) != SWT_OK ||
        swt_bids_parse(&b, motion, sizeof motion - 1, &table, &facts, &err) != SWT_OK ||
        swt_map_ini_parse(&map, (const unsigned char *)ini, sizeof ini - 1, &err) != SWT_OK ||
        swt_csv_print(stream, c, NULL, &err) != SWT_OK ||
        swt_csv_print(stream, c, &comma, &err) != SWT_OK ||
        swt_inspect_print(stream, b, "b", SWT_INSPECT_JSON, &err) != SWT_OK ||
        swt_inspect_print(stream, b, "b", SWT_INSPECT_CSV, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    assert_close(c->rate_hz, 239.5, 0, "rate");
    assert_close(c->xyz[4], 1234.5678901234567, 0, "CSV");
    assert_close(b->rate_hz, 239.5, 0, "SamplingFrequency");
    assert_close(b->xyz[4], 1234.5678901234567, 0, "BIDS");
    assert_close(map.marker_radius_m, 0.0075, 0, "map");
    swt_marker_map_reset(&map);
    swt_bids_channels_reset(&table);
    swt_capture_free(c);
    swt_capture_free(b);
    fclose(stream);
    return text;
}

/** False when this system can neither find nor make such a locale. */
static bool use_decimal_comma(void)
{
    char folder[] = "/tmp/swt-locale-XXXXXX", command[256];
    bool there;

    if (setlocale(LC_ALL, "de_DE.UTF-8"))
        return true;
    if (!mkdtemp(folder))
        return false;
    snprintf(command, sizeof command,
             "localedef -i de_DE -f UTF-8 %s/de_DE.UTF-8 >/dev/null 2>&1 || true", folder);
    there = system(command) == 0 && setenv("LOCPATH", folder, 1) == 0 &&
            setlocale(LC_ALL, "de_DE.UTF-8");
    snprintf(command, sizeof command, "rm -r %s", folder);
    return system(command) == 0 && there;
}

static void the_same_in_a_locale_with_decimal_commas(void **state)
{
    char *here = everything(), *there, shown[16];

    (void)state;
    if (!use_decimal_comma()) {
        free(here);
        print_message("no locale with decimal commas here (package locales): skipped\n");
        skip();
    }
    snprintf(shown, sizeof shown, "%.1f", 1.5);
    assert_string_equal(shown, "1,5"); /* the locale is in force */
    there = everything();
    setlocale(LC_ALL, "C");
    assert_string_equal(there, here);
    free(here);
    free(there);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_same_in_a_locale_with_decimal_commas),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
