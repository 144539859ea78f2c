/* The trial sheet: what spreadsheets export is read; every slip is told with its line. */
#include "io/sheet/sheet.h"
#include "tests/support/support.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char folder[] = "/tmp/swathe-sheet-XXXXXX";

static const char *in_folder(const char *name)
{
    static char path[256];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    return path;
}

static void put(const char *name, const void *bytes, size_t n)
{
    FILE *file = fopen(in_folder(name), "wb");

    assert_non_null(file);
    assert_int_equal(fwrite(bytes, 1, n, file), n);
    assert_int_equal(fclose(file), 0);
}

/* Reads `text` as a sheet that must be good. */
static swt_sheet *read_good(const char *text)
{
    swt_sheet *sheet;
    char *problems;
    swt_error err = SWT_ERROR_INIT;

    put("sheet.csv", text, strlen(text));
    if (swt_sheet_read(&sheet, &problems, in_folder("sheet.csv"), &err) != SWT_OK)
        fail_msg("%s\n%s", err.msg, problems ? problems : "");
    assert_string_equal(problems, "");
    free(problems);
    return sheet;
}

static void reads_a_whole_sheet(void **state)
{
    swt_sheet *sheet =
        read_good("\xef\xbb\xbf"
                  "# reference group, first day\r\n"
                  "\r\n"
                  "file,Player,session,group,side,club,shot,static,map,speed,\"note\"\r\n"
                  "a.c3d,P01,1,ref,right,7 iron,full,s.c3d,m.ini,41.5,\"said \"\"good\"\",\n"
                  "then left\"\r\n"
                  "# left out: c.c3d\r\n"
                  " b.c3d , Pö2 ,,,L,,,,,,\r\n"
                  ",,,,,,,,,,\r\n");

    (void)state;
    assert_int_equal(sheet->n_trials, 2);
    assert_int_equal(sheet->n_covariates, 2);
    assert_string_equal(sheet->covariate_name[0], "speed");
    assert_string_equal(sheet->covariate_name[1], "note");
    assert_int_equal(strlen(sheet->sha256), 64);
    const swt_trial *t = sheet->trial;
    assert_int_equal(t[0].line, 4);
    assert_string_equal(t[0].file, "a.c3d");
    assert_string_equal(t[0].path, in_folder("a.c3d"));
    assert_string_equal(t[0].player, "P01");
    assert_string_equal(t[0].session, "1");
    assert_string_equal(t[0].group, "ref");
    assert_string_equal(t[0].club, "7 iron");
    assert_string_equal(t[0].shot, "full");
    assert_int_equal(t[0].side, SWT_RIGHT_HANDED);
    assert_string_equal(t[0].static_path, in_folder("s.c3d"));
    assert_string_equal(t[0].map_path, in_folder("m.ini"));
    assert_string_equal(t[0].covariate[0], "41.5");
    assert_string_equal(t[0].covariate[1], "said \"good\",\nthen left");
    assert_int_equal(t[1].line, 7);
    assert_string_equal(t[1].file, "b.c3d");
    assert_string_equal(t[1].player, "Pö2");
    assert_int_equal(t[1].side, SWT_LEFT_HANDED);
    assert_string_equal(t[1].static_path, "");
    assert_string_equal(t[1].map_path, "");
    assert_string_equal(t[1].covariate[1], "");
    swt_sheet_free(sheet);
}

static void finds_the_separator(void **state)
{
    static const char *const texts[] = {
        "file;player;\"a,b,c\"\na.c3d;P1;x\n", "file\tplayer\ta;b\na.c3d\tP1\tx\n",
        "file,player,a;b\ra.c3d,P1,x\r", /* lone CR */
    };

    (void)state;
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        swt_sheet *sheet = read_good(texts[i]);
        assert_int_equal(sheet->n_trials, 1);
        assert_int_equal(sheet->n_covariates, 1);
        assert_string_equal(sheet->trial[0].player, "P1");
        assert_string_equal(sheet->trial[0].covariate[0], "x");
        assert_int_equal(sheet->trial[0].line, 2);
        assert_int_equal(sheet->trial[0].side, SWT_RIGHT_HANDED);
        swt_sheet_free(sheet);
    }
}

static void two_subjects_may_share_a_file(void **state)
{
    swt_sheet *sheet = read_good("file,player,map\na.c3d,P1,m.ini\na.c3d,P2,\n");
    (void)state;
    assert_int_equal(sheet->n_trials, 2);
    swt_sheet_free(sheet);
}

static void covariates_like_columns_are_kept(void **state)
{
    swt_sheet *sheet = read_good("file,player,size,mass,age,season\na.c3d,P1,1,2,3,4\n");
    (void)state;
    assert_int_equal(sheet->n_covariates, 4);
    swt_sheet_free(sheet);
}

static void tells_every_problem_at_once(void **state)
{
    static const char text[] = "file,player,side\n"
                               "a.c3d,P1,right\n"
                               "none.c3d,P1,rigth\n"
                               "./a.c3d,,left\n"
                               "b.c3d,P1\n"
                               ",P2,right\n"
                               "c.c3d,P3,\n"
                               ".,P3,right\n";
    static const char *const wanted[] = {
        "line 3: file \"none.c3d\" does not exist",
        "line 3: side is \"rigth\": expected right or left",
        "line 4: player is empty",
        "line 4: file \"./a.c3d\" is already in line 2",
        "line 5: 2 cells, but the header has 3 columns",
        "line 6: file is empty",
        "line 7: side is \"\": expected right or left",
        "line 8: file \".\" is not a regular file",
    };
    swt_sheet *sheet;
    char *problems;
    swt_error err = SWT_ERROR_INIT;
    size_t lines = 0;

    (void)state;
    put("sheet.csv", text, strlen(text));
    assert_int_equal(swt_sheet_read(&sheet, &problems, in_folder("sheet.csv"), &err), SWT_EFORMAT);
    assert_null(sheet);
    for (size_t i = 0; i < sizeof wanted / sizeof *wanted; i++)
        if (!strstr(problems, wanted[i]))
            fail_msg("not told: %s\nin:\n%s", wanted[i], problems);
    for (const char *p = problems; *p; p++)
        lines += *p == '\n';
    assert_int_equal(lines, 8);
    assert_non_null(strstr(err.msg, "8 problems"));
    assert_non_null(strstr(err.msg, in_folder("sheet.csv")));
    free(problems);
}

static void refuses(const void *bytes, size_t n, const char *wanted)
{
    swt_sheet *sheet;
    char *problems;
    swt_error err = SWT_ERROR_INIT;

    put("sheet.csv", bytes, n);
    if (swt_sheet_read(&sheet, &problems, in_folder("sheet.csv"), &err) != SWT_EFORMAT)
        fail_msg("accepted; expected: %s", wanted);
    assert_null(sheet);
    if (!strstr(problems, wanted))
        fail_msg("\"%s\" does not say \"%s\"", problems, wanted);
    free(problems);
}

static void refuses_bad_headers_and_bytes(void **state)
{
    static const struct {
        const char *text, *wanted;
    } rows[] = {
        {"", "the sheet is empty"},
        {"# nothing\n\n", "the sheet is empty"},
        {"file,player\n", "a header and no rows"},
        {"file,name\na.c3d,x\n", "line 1: there is no column \"player\"; found: file, name"},
        {"file,palyer\na.c3d,x\n", "column 2 is called \"palyer\": did you mean \"player\"?"},
        {"file,player,sesion\na.c3d,x,1\n", "did you mean \"session\"?"},
        {"file,player,clubs\na.c3d,x,1\n", "did you mean \"club\"?"},
        {"file,player,sdie\na.c3d,x,1\n", "did you mean \"side\"?"},
        {"file,player,\na.c3d,x,1\n", "line 1: column 3 has no name"},
        {"file,player,x,X\na.c3d,x,1,2\n", "columns 3 and 4 are both called \"X\""},
        {"file,player,File\na.c3d,x,1\n", "columns 1 and 3 are both called"},
        {"file,player,\"x\ny\"\na.c3d,x,1\n", "control character"},
        {"file,player\na.c3d,P\x01\n", "line 2: player holds a control character"},
        {"file,player\na.c3d,\"P1\n", "line 2: a quoted cell that begins here"},
        {"file,player\na.c3d,P\"1\n", "line 2: a quotation mark"},
        {"file,player\na.c3d,J\xfcrg\n", "line 2: not UTF-8"},
        {"file,player,static\na.c3d,P1,no.c3d\n", "static \"no.c3d\" does not exist"},
        {"file,player,map\na.c3d,P1,no.ini\n", "map \"no.ini\" does not exist"},
    };
    char *wide = malloc(4000);

    (void)state;
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
        refuses(rows[i].text, strlen(rows[i].text), rows[i].wanted);
    refuses("file,player\na.c3d,P\0\n", 21, "line 2: a NUL byte");
    refuses("\xff\xfe"
            "f\0i\0",
            6, "UTF-16");
    assert_non_null(wide);
    snprintf(wide, 4000, "file,player\na.c3d,%03000d\n", 1);
    refuses(wide, strlen(wide), "line 2: a cell is longer than");
    free(wide);
}

/* 2 and 1,5 in one column would be taken apart by a condition on numbers. */
static void refuses_mixed_decimals(void **state)
{
    static const char mixed[] = "file;player;handicap\na.c3d;P1;0\nb.c3d;P1;x\nc.c3d;P1;1,5\n";
    static const char *const alike[] = {
        "file;player;handicap\nno.c3d;P1;0,5\nb.c3d;P1;1,5\n",
        "file;player;handicap\nno.c3d;P1;0.5\nb.c3d;P1;\n",
        "file;player;handicap\nno.c3d;P1;7\nb.c3d;P1;holes 1,5\n",
    };

    (void)state;
    refuses(mixed, sizeof mixed - 1, "line 4: handicap is \"1,5\", and \"0\" in line 2");
    for (size_t i = 0; i < sizeof alike / sizeof *alike; i++) {
        swt_sheet *sheet;
        char *problems;
        assert_int_equal(swt_sheet_parse(&sheet, &problems, (const unsigned char *)alike[i],
                                         strlen(alike[i]), "sheet.csv", NULL),
                         SWT_EFORMAT); /* its captures are not there; nothing else is amiss */
        assert_null(strstr(problems, "handicap"));
        free(problems);
    }
}

static void a_sheet_that_cannot_be_read_has_no_problems_text(void **state)
{
    swt_sheet *sheet;
    char *problems;
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    assert_int_equal(swt_sheet_read(&sheet, &problems, "/no/such.csv", &err), SWT_EIO);
    assert_null(problems);
    assert_non_null(strstr(err.msg, "/no/such.csv"));
    assert_int_equal(swt_sheet_read(&sheet, &problems, folder, &err), SWT_EIO);
}

static int make_folder(void **state)
{
    static const char *const names[] = {"a.c3d", "b.c3d", "c.c3d", "s.c3d", "m.ini"};

    (void)state;
    if (!mkdtemp(folder))
        return -1;
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        put(names[i], "x", 1);
    return 0;
}

static int remove_folder(void **state)
{
    static const char *const names[] = {"a.c3d", "b.c3d", "c.c3d", "s.c3d", "m.ini", "sheet.csv"};

    (void)state;
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        remove(in_folder(names[i]));
    return remove(folder);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(reads_a_whole_sheet),
        cmocka_unit_test(finds_the_separator),
        cmocka_unit_test(two_subjects_may_share_a_file),
        cmocka_unit_test(covariates_like_columns_are_kept),
        cmocka_unit_test(tells_every_problem_at_once),
        cmocka_unit_test(refuses_bad_headers_and_bytes),
        cmocka_unit_test(refuses_mixed_decimals),
        cmocka_unit_test(a_sheet_that_cannot_be_read_has_no_problems_text),
    };
    return cmocka_run_group_tests(tests, make_folder, remove_folder);
}
