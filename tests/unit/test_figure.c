/* The figures, by their scripts: true scales, whom they show, units, labels that keep apart. */
#include "io/report/figure.h"
#include "io/report/figure_parts.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { N = SWT_CURVE_SAMPLES };

static double centre_x[N], centre_y[N], ellipse[3 * N], low[N], high[N], own_x[2 * N], own_y[2 * N];
static bool outside[N];

static const swt_figure_frame frame = {.player = "P`07\"",
                                       .n_player_swings = 2,
                                       .group = "the reference group",
                                       .n_players = 21,
                                       .n_swings = 63,
                                       .coverage = 0.95};

/* A quarter circle for the group, the player 50 mm deeper in the middle. */
static int make_swings(void **state)
{
    (void)state;
    for (int i = 0; i < N; i++) {
        double angle = SWT_PI / 2 * i / (N - 1);
        centre_x[i] = 0.5 * (1 - cos(angle));
        centre_y[i] = 0.7 + sin(angle);
        ellipse[3 * i] = 0.0004; /* 20 mm by 30 mm */
        ellipse[3 * i + 1] = 0;
        ellipse[3 * i + 2] = 0.0009;
        low[i] = centre_x[i] - 0.02;
        high[i] = centre_x[i] + 0.02;
        for (int k = 0; k < 2; k++) {
            own_x[k * N + i] = centre_x[i] + 0.05 * sin(2 * angle) + 0.001 * k;
            own_y[k * N + i] = centre_y[i];
        }
        outside[i] = own_x[i] > high[i];
    }
    return 0;
}

static swt_figure_path path_figure(void)
{
    static const swt_figure_mark marks[] = {
        {SWT_EVENT_TAKEAWAY, 0, 0.7, 0, 0.7},
        {SWT_EVENT_LEAD_ARM_LEVEL_BACKSWING, 0.05, 1.1, 0.04, 1.1},
        {SWT_EVENT_HANDS_TOP, 0.49, 1.69, 0.49, 1.69},
        {SWT_EVENT_CLUB_TOP, 0.5, 1.7, 0.5, 1.7},
    };
    static const swt_figure_rule rules[] = {{0, false, "toe line"}, {0.27, false, "heel line"}};
    return (swt_figure_path){.frame = frame,
                             .title = "Hands",
                             .x_label = "depth (mm)",
                             .y_label = "height (mm)",
                             .n = N,
                             .centre_x = centre_x,
                             .centre_y = centre_y,
                             .ellipse = ellipse,
                             .n_paths = 2,
                             .x = own_x,
                             .y = own_y,
                             .median_x = own_x,
                             .median_y = own_y,
                             .outside = outside,
                             .n_marks = 4,
                             .mark = marks,
                             .n_rules = 2,
                             .rule = rules};
}

static swt_plot *blank(double ratio)
{
    swt_plot *plot;

    assert_int_equal(swt_plot_new(&plot, NULL), SWT_OK);
    assert_int_equal(
        swt_plot_picture(plot, "unused.svg", SWT_PLOT_SVG, SWT_PLOT_COLUMN, ratio, NULL), SWT_OK);
    return plot;
}

/* The number after `key` in a script. */
static double number_after(const char *script, const char *key)
{
    const char *at = strstr(script, key);

    assert_non_null(at);
    return strtod(at + strlen(key), NULL);
}

static void a_millimetre_is_as_long_across_as_up(void **state)
{
    const double ratios[] = {0.6, 1.0, 1.4};

    (void)state;
    for (size_t i = 0; i < 3; i++) {
        swt_plot *plot = blank(ratios[i]);
        swt_figure_path f = path_figure();
        swt_plot_canvas c = swt_plot_get_canvas(plot);
        const char *s, *colon;
        double across, up, width, height;
        assert_int_equal(swt_figure_draw_path(plot, &f, NULL), SWT_OK);
        s = swt_plot_script(plot);
        colon = strchr(strstr(s, "set xrange"), ':');
        across = strtod(colon + 1, NULL) - number_after(s, "set xrange [");
        colon = strchr(strstr(s, "set yrange"), ':');
        up = strtod(colon + 1, NULL) - number_after(s, "set yrange [");
        width = c.width *
                (number_after(s, "rmargin at screen ") - number_after(s, "lmargin at screen "));
        /* the top margin is lowered once, for the names of the lines */
        height = c.height * (number_after(strstr(s, "tmargin") + 8, "tmargin at screen ") -
                             number_after(s, "bmargin at screen "));
        assert_close(across / width, up / height, 0.002 * up / height, "mm per unit of canvas");
        /* the tube, 0 to 500 by 700 to 1700 with half axes of 20 and 30, is inside */
        assert_true(number_after(s, "set xrange [") < -20 && number_after(s, "set yrange [") < 670);
        assert_true(number_after(s, "set xrange [") + across > 520);
        assert_true(number_after(s, "set yrange [") + up > 1730);
        swt_plot_discard(plot);
    }
}

/* The largest x of the tube is the centre's plus the half axis: 500 + 20 mm. */
static void the_tube_is_as_wide_as_its_ellipses(void **state)
{
    swt_plot *plot = blank(1.4);
    swt_figure_path f = path_figure();
    double most = 0, least = 1000;

    (void)state;
    assert_int_equal(swt_figure_draw_path(plot, &f, NULL), SWT_OK);
    for (const char *s = strstr(swt_plot_script(plot), "$tube << E\n") + 11; *s != 'E';
         s = strchr(s, '\n') + 1)
        if (*s != '\n') {
            most = fmax(most, strtod(s, NULL));
            least = fmin(least, strtod(s, NULL));
        }
    assert_close(most, 520, 0.01, "widest point of the tube in mm");
    assert_close(least, -20, 0.01, "narrowest point of the tube in mm");
    swt_plot_discard(plot);
}

static void every_figure_says_units_group_and_numbers(void **state)
{
    const swt_event events[] = {SWT_EVENT_TAKEAWAY, SWT_EVENT_CLUB_TOP, SWT_EVENT_IMPACT};
    const double t0[] = {0, 0.7, 0.95}, t1[] = {0, 0.8, 1.05}, t2[] = {0, 0.9, 1.2};
    const double swings[] = {0, 0.6, 0.8, 0, 0.62, nan("")};
    const double part[] = {0.01, 0.03, -0.02};
    swt_figure_path path = path_figure();
    swt_figure_curve curve = {frame,  SWT_SERIES_HAND_DEPTH, centre_x, low, high, 2, own_x, own_x,
                              outside};
    swt_figure_timing timing = {frame, 3, events, t0, t1, t2, swings, swings};
    swt_figure_ledger ledger = {frame,  SWT_LEDGER_DEPTH,   3,
                                events, {part, part, part}, {part, part, part}};
    const char *const units[] = {"mm", "(mm)", "(s)", "(mm)"};

    (void)state;
    for (int i = 0; i < 4; i++) {
        swt_plot *plot = blank(1);
        const char *s;
        assert_int_equal(i == 0   ? swt_figure_draw_path(plot, &path, NULL)
                         : i == 1 ? swt_figure_draw_curve(plot, &curve, NULL)
                         : i == 2 ? swt_figure_draw_timing(plot, &timing, NULL)
                                  : swt_figure_draw_ledger(plot, &ledger, NULL),
                         SWT_OK);
        s = swt_plot_script(plot);
        assert_non_null(strstr(s, units[i]));
        assert_non_null(strstr(s, ": 21 players, 63 swings"));
        assert_non_null(strstr(s, "Player P\\140\\060\\067\\042"));
        assert_null(strchr(s, '`'));
        swt_plot_discard(plot);
    }
}

/* The parts 10, 30 and -20 mm stack to 0..10, 10..40 and -20..0 and add up to 20; at the second
   event -5, -1 and 9 mm stack to -5..0, -6..-5 and 0..9. The group's are a tenth, at the right. */
static void bars_of_the_ledger_stack_from_zero(void **state)
{
    const swt_event events[] = {SWT_EVENT_CLUB_TOP, SWT_EVENT_IMPACT, SWT_EVENT_FINISH};
    const double pelvis[] = {0.01, -0.005, nan("")}, thorax[] = {0.03, -0.001, 0.1};
    const double arms[] = {-0.02, 0.009, 0.1};
    const double group[3][3] = {{0.001, 0, 0}, {0.003, 0, 0}, {-0.002, 0, 0}};
    const swt_figure_ledger ledger = {
        frame,  SWT_LEDGER_HEIGHT,      3,
        events, {pelvis, thorax, arms}, {group[0], group[1], group[2]}};
    static const char *const drawn[] = {
        "rectangle from first 0.640,0.00 to first 0.960,10.00 fc",
        "rectangle from first 0.640,10.00 to first 0.960,40.00 fc",
        "rectangle from first 0.640,-20.00 to first 0.960,0.00 fc",
        "arrow from first 0.600,20.00 to first 1.000,20.00 nohead",
        "rectangle from first 1.040,1.00 to first 1.360,4.00 fc",
        "rectangle from first 1.640,-5.00 to first 1.960,0.00 fc",
        "rectangle from first 1.640,-6.00 to first 1.960,-5.00 fc",
        "rectangle from first 1.640,0.00 to first 1.960,9.00 fc",
        "arrow from first 1.600,3.00 to first 2.000,3.00 nohead",
    };
    swt_plot *plot = blank(1);
    const char *s;

    (void)state;
    assert_int_equal(swt_figure_draw_ledger(plot, &ledger, NULL), SWT_OK);
    s = swt_plot_script(plot);
    for (size_t i = 0; i < sizeof drawn / sizeof *drawn; i++)
        if (!strstr(s, drawn[i]))
            fail_msg("not drawn: %s", drawn[i]);
    assert_null(strstr(s, "from first 2.640")); /* a part is missing at the third event */
    assert_non_null(strstr(s, "from first 3.040"));
    assert_close(number_after(s, "set yrange ["), -20 - 0.06 * 60, 1e-6, "lowest, with a margin");
    assert_close(strtod(strchr(strstr(s, "set yrange ["), ':') + 1, NULL), 40 + 0.06 * 60, 1e-6,
                 "highest, with a margin");
    swt_plot_discard(plot);
}

static void all_sizes_and_formats_are_drawn(void **state)
{
    char folder[] = "/tmp/swathe-figure-XXXXXX", file[64];
    swt_error err = SWT_ERROR_INIT;
    swt_plot *plot;
    swt_figure_path f = path_figure();

    (void)state;
    assert_non_null(mkdtemp(folder));
    assert_int_equal(swt_plot_new(&plot, NULL), SWT_OK);
    for (int format = 0; format < 3; format++)
        for (int size = 0; size < 3; size++) {
            snprintf(file, sizeof file, "%s/%d.%s", folder, size,
                     swt_plot_extension((swt_plot_format)format));
            assert_int_equal(swt_plot_picture(plot, file, (swt_plot_format)format,
                                              (swt_plot_size)size, SWT_FIGURE_PATH_RATIO, NULL),
                             SWT_OK);
            assert_int_equal(swt_figure_draw_path(plot, &f, NULL), SWT_OK);
        }
    if (swt_plot_draw(plot, NULL, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    for (int format = 0; format < 3; format++)
        for (int size = 0; size < 3; size++) {
            snprintf(file, sizeof file, "%s/%d.%s", folder, size,
                     swt_plot_extension((swt_plot_format)format));
            assert_int_equal(unlink(file), 0);
        }
    assert_int_equal(rmdir(folder), 0);
}

static void nothing_to_draw_is_said(void **state)
{
    swt_plot *plot = blank(1);
    double gone[2 * N];
    swt_figure_path path = {.frame = frame, .title = "", .n = N};
    swt_figure_curve curve = {.frame = frame, .series = SWT_SERIES_WRIST_SET};
    swt_figure_ledger ledger = {.frame = frame};
    swt_figure_timing timing = {.frame = frame};
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    for (int i = 0; i < 2 * N; i++)
        gone[i] = nan("");
    assert_int_equal(swt_figure_draw_path(plot, &path, &err), SWT_EDATA);
    path.n_paths = 2;
    path.x = path.y = gone;
    assert_int_equal(swt_figure_draw_path(plot, &path, &err), SWT_EDATA);
    assert_int_equal(swt_figure_draw_curve(plot, &curve, &err), SWT_EDATA);
    curve.n_curves = 2;
    curve.curve = gone;
    assert_int_equal(swt_figure_draw_curve(plot, &curve, &err), SWT_EDATA);
    assert_int_equal(swt_figure_draw_ledger(plot, &ledger, &err), SWT_EDATA);
    assert_int_equal(swt_figure_draw_timing(plot, &timing, &err), SWT_EDATA);
    swt_plot_discard(plot);
}

/* Five points within a few units of each other: no two labels may share ground. */
static void crowded_labels_keep_apart(void **state)
{
    swt_plot *plot = blank(1);
    swt_plot_canvas c = swt_plot_get_canvas(plot);
    figure_box box = {20, c.width - 20, 20, c.height - 20, 0, 1, 0, 1};
    figure_label label[5] = {{"takeaway", 100, 100},
                             {"shaft level", 104, 103},
                             {"lead arm level", 98, 106},
                             {"hands top", 102, 97},
                             {"club top", 106, 100}};
    double x[5], y[5], font = 0.92 * c.font;
    const char *s;

    (void)state;
    figure_place_labels(plot, &box, label, 5, NULL, 0);
    s = swt_plot_script(plot);
    for (int i = 0; i < 5; i++) {
        s = strstr(s, "\" at screen ");
        assert_non_null(s);
        s += 12;
        x[i] = strtod(s, NULL) * c.width;
        y[i] = strtod(strchr(s, ',') + 1, NULL) * c.height;
        for (int j = 0; j < i; j++) {
            double apart =
                (figure_text_width(label[i].text, font) + figure_text_width(label[j].text, font)) /
                2;
            if (fabs(x[i] - x[j]) < 0.97 * apart && fabs(y[i] - y[j]) < 1.15 * font)
                fail_msg("\"%s\" lies on \"%s\"", label[i].text, label[j].text);
        }
    }
    swt_plot_discard(plot);
}

static void steps_are_round(void **state)
{
    (void)state;
    assert_close(figure_step(1200, 6), 200, 1e-12, "1200 in at most 6");
    assert_close(figure_step(1000, 4), 250, 1e-12, "1000 in at most 4");
    assert_close(figure_step(1.7, 4), 0.5, 1e-12, "1.7 in at most 4");
    assert_close(figure_step(9.9, 1), 10, 1e-12, "9.9 in at most 1");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_millimetre_is_as_long_across_as_up),
        cmocka_unit_test(the_tube_is_as_wide_as_its_ellipses),
        cmocka_unit_test(every_figure_says_units_group_and_numbers),
        cmocka_unit_test(bars_of_the_ledger_stack_from_zero),
        cmocka_unit_test(all_sizes_and_formats_are_drawn),
        cmocka_unit_test(nothing_to_draw_is_said),
        cmocka_unit_test(crowded_labels_keep_apart),
        cmocka_unit_test(steps_are_round),
    };
    return cmocka_run_group_tests_name("figure", tests, make_swings, NULL);
}
