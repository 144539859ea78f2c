/* Marker maps: every key is read, and every slip is named with its line and key. */
#include "io/sheet/map_ini.h"
#include "tests/support/support.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char map_path[] = "/tmp/swathe-map-XXXXXX";

static swt_status read_bytes(swt_marker_map *map, const void *bytes, size_t n, swt_error *err)
{
    FILE *file = fopen(map_path, "wb");

    assert_non_null(file);
    assert_int_equal(fwrite(bytes, 1, n, file), n);
    assert_int_equal(fclose(file), 0);
    return swt_map_ini_read(map, NULL, map_path, err);
}

static swt_status read_text(swt_marker_map *map, const char *text, swt_error *err)
{
    return read_bytes(map, text, strlen(text), err);
}

static void reads_every_key(void **state)
{
    swt_marker_map map;
    swt_error err = SWT_ERROR_INIT;
    char sha256[SWT_SHA256_TEXT];

    (void)state;
    assert_int_equal(read_text(&map,
                               "# a comment\n"
                               "[capture]\r\n"
                               "labels = descriptions\r\n"
                               "residuals: meaningless\n"
                               "prefix = *:\n"
                               "units = cm\n"
                               "rate_hz = 239.76 ; of the recorder\n"
                               "[laboratory]\n"
                               "axes = left-handed\n"
                               "   up = -Y\n"
                               "target = x\n"
                               "levelled = yes\n"
                               "[markers]\nradius_mm = 6.5\n"
                               "[body]\nshoulder_drop_mm = 35\n"
                               "[landmarks]\n"
                               "left.ASIS = L_ASIS, LASI ,Hüfte links\n"
                               "club.head = Cl1 + Cl2+Cl3\n"
                               "c7 = C7",
                               &err),
                     SWT_OK);
    assert_true(map.labels_from_descriptions);
    assert_true(map.residuals_meaningless);
    assert_true(map.axes_left_handed);
    assert_true(map.levelled);
    assert_string_equal(map.prefix, "*:");
    assert_int_equal(map.up, -2);
    assert_int_equal(map.target, 1);
    assert_close(map.metres_per_unit, 0.01, 0, "units");
    assert_close(map.rate_hz, 239.76, 0, "rate");
    assert_close(map.marker_radius_m, 0.0065, 1e-15, "radius");
    assert_close(map.shoulder_drop_m, 0.035, 1e-15, "shoulder drop");
    assert_int_equal(map.n_entries, 3);
    assert_string_equal(map.entry[0].key, "left.ASIS");
    assert_int_equal(map.entry[0].line, 18);
    assert_int_equal(map.entry[0].n_labels, 3);
    assert_string_equal(map.entry[0].label[1], "LASI");
    assert_string_equal(map.entry[0].label[2], "Hüfte links");
    assert_false(map.entry[0].averaged);
    assert_int_equal(map.entry[1].n_labels, 3);
    assert_string_equal(map.entry[1].label[2], "Cl3");
    assert_true(map.entry[1].averaged);
    assert_string_equal(map.entry[2].label[0], "C7");
    swt_marker_map_reset(&map);

    assert_int_equal(swt_map_ini_read(&map, sha256, map_path, &err), SWT_OK);
    assert_int_equal(strlen(sha256), 64);
    swt_marker_map_reset(&map);
}

static void the_template_is_a_map(void **state)
{
    swt_marker_map map;
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    if (swt_map_ini_read(&map, NULL, SWT_SOURCE_DIR "/datasets/maps/template.ini", &err) != SWT_OK)
        fail_msg("%s", err.msg);
    assert_int_equal(map.up, 3);
    assert_true(map.n_entries >= 30);
    swt_marker_map_reset(&map);
}

/* The template promises every key: with all comments taken off, it must still be read. */
static void the_template_shows_every_landmark(void **state)
{
    size_t size, out = 0;
    char *text = (char *)read_all(SWT_SOURCE_DIR "/datasets/maps/template.ini", &size);
    swt_marker_map map;
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    assert_non_null(text);
    for (size_t i = 0; i < size; i++)
        if (!(text[i] == ';' && (i == 0 || text[i - 1] == '\n')))
            text[out++] = text[i];
    if (read_bytes(&map, text, out, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    for (int i = 0; i < SWT_LANDMARK_COUNT; i++) {
        bool shown = false;
        for (size_t e = 0; e < map.n_entries; e++)
            shown |= swt_landmark_from_key(map.entry[e].key, SWT_RIGHT_HANDED) == (swt_landmark)i;
        if (!shown)
            fail_msg("%s is not in the template", swt_landmark_name((swt_landmark)i));
    }
    assert_string_equal(map.prefix, "*:");
    assert_close(map.rate_hz, 240, 0, "rate");
    swt_marker_map_reset(&map);
    free(text);
}

static void names_every_slip(void **state)
{
    static const struct {
        const char *text;
        const char *wanted[3];
    } rows[] = {
        {"[laboratory]\nup = Z\n", {"[landmarks] is missing"}},
        {"[landmarks]\nIJ = A\n", {"key up in [laboratory] is missing"}},
        {"[laboratory]\nup = up\n", {"line 2, key up: found \"up\"", "+Z"}},
        {"[laboratory]\nup = +ZZ\n", {"line 2, key up"}},
        {"[laboratory]\nup = +\n", {"line 2, key up"}},
        {"[laboratory]\nup = Z\ntarget = -z\n[landmarks]\nIJ = A\n",
         {"line 3, key target", "same"}},
        {"[laboratory]\nup = Z\nup = Z\n", {"line 3, key up: found again", "line 2"}},
        {"[laboratory]\naxes = mirrored\n", {"line 2, key axes", "right-handed or left-handed"}},
        {"[laboratory]\nlevelled = maybe\n", {"line 2, key levelled", "no or yes"}},
        {"[laboratory]\nlevel = yes\n", {"line 2, key level: found no such key", "levelled"}},
        {"[labratory]\nup = Z\n", {"section [labratory]", "did you mean [laboratory]"}},
        {"up = Z\n", {"line 1", "before any section"}},
        {"[capture]\nunits = furlong\n", {"line 2, key units: found \"furlong\"", "mm"}},
        {"[capture]\nrate_hz = 240Hz\n", {"line 2, key rate_hz: found \"240Hz\""}},
        {"[capture]\nrate_hz = -1\n", {"line 2, key rate_hz"}},
        {"[capture]\nlabels =\n", {"line 2, key labels: found no value"}},
        {"[markers]\nradius_mm = 70\n", {"line 2, key radius_mm", "0 to 50"}},
        {"[body]\nshoulder_drop_mm = x\n", {"line 2, key shoulder_drop_mm"}},
        {"[landmarks]\nleft.ASSI = A\n", {"line 2, key left.ASSI", "did you mean left.ASIS"}},
        {"[landmarks]\nASIS = A\n", {"line 2, key ASIS", "left. or right."}},
        {"[landmarks]\nIJ = A\nij = B\n", {"line 3, key ij: found again", "line 2"}},
        {"[landmarks]\nIJ = A\nPX = B, A\n", {"line 3, key PX: found label \"A\"", "IJ in line 2"}},
        {"[landmarks]\nIJ = A,,B\n", {"line 2, key IJ: found an empty label"}},
        {"[landmarks]\nIJ = A, B, A\n", {"line 2, key IJ: found label \"A\" twice"}},
        {"[landmarks]\nIJ = A+B,C\n", {"line 2, key IJ", "average"}},
        {"[landmarks]\nIJ = a,b,c,d,e,f,g,h,i\n", {"line 2, key IJ: found more than 8"}},
        {"[landmarks]\n\nIJ\n", {"line 3: found neither"}},
        {"[landmarks\nIJ = A\n", {"line 1: found neither"}},
        {"", {"key up"}},
    };

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        swt_marker_map map;
        swt_error err = SWT_ERROR_INIT;
        if (read_text(&map, rows[i].text, &err) != SWT_EFORMAT)
            fail_msg("row %zu was accepted: %s", i, rows[i].text);
        assert_null(map.entry);
        for (size_t k = 0; k < 3 && rows[i].wanted[k]; k++)
            if (!strstr(err.msg, rows[i].wanted[k]))
                fail_msg("row %zu: \"%s\" does not say \"%s\"", i, err.msg, rows[i].wanted[k]);
        assert_non_null(strstr(err.msg, map_path));
    }
}

static void refuses_what_is_not_a_map(void **state)
{
    swt_marker_map map;
    swt_error err = SWT_ERROR_INIT;
    char line[400] = "[landmarks]\nIJ = ";

    (void)state;
    memset(line + strlen(line), 'A', 300);
    assert_int_equal(read_text(&map, line, &err), SWT_EFORMAT);
    assert_non_null(strstr(err.msg, "line 2"));
    assert_int_equal(read_bytes(&map, "[capture]\0", 10, &err), SWT_EFORMAT);
    assert_non_null(strstr(err.msg, "NUL"));
    assert_int_equal(read_text(&map,
                               "[landmarks]\nIJ = H\xfc"
                               "fte\n",
                               &err),
                     SWT_EFORMAT);
    assert_non_null(strstr(err.msg, "UTF-8"));
    assert_int_equal(swt_map_ini_read(&map, NULL, "/no/such.ini", &err), SWT_EIO);
    assert_non_null(strstr(err.msg, "/no/such.ini"));
}

static int make_file(void **state)
{
    int fd = mkstemp(map_path);
    (void)state;
    return fd < 0 ? -1 : close(fd);
}

static int remove_file(void **state)
{
    (void)state;
    return remove(map_path);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_every_key),
        cmocka_unit_test(the_template_is_a_map),
        cmocka_unit_test(the_template_shows_every_landmark),
        cmocka_unit_test(names_every_slip),
        cmocka_unit_test(refuses_what_is_not_a_map),
    };
    return cmocka_run_group_tests(tests, make_file, remove_file);
}
