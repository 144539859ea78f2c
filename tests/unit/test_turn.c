/* The turn of a segment from recorded markers, against a rotation known in closed form. */
#include "kinematics/turn.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdlib.h>

enum { N = 120, MARKERS = 4, FROM = 20, TO = 100 };

static const swt_landmark marker[MARKERS] = {SWT_LEAD_ASIS, SWT_TRAIL_ASIS, SWT_LEAD_PSIS,
                                             SWT_TRAIL_PSIS};
static const swt_vec3 place[MARKERS] = {
    {0.1, 0, -0.13}, {0.1, 0, 0.13}, {-0.08, 0.02, -0.05}, {-0.08, 0.02, 0.05}};

/* Turn at a frame, rad, about a long axis that leans 30 degrees. */
static double turn_at(size_t f)
{
    return 0.8 * cos(0.04 * ((double)f - 61.3));
}

static swt_mat3 axes_at(size_t f)
{
    swt_vec3 y = {0, sin(0.5), cos(0.5)}, e = {1, 0, 0}, d = swt_cross(y, e);
    double a = turn_at(f);
    swt_vec3 z = swt_add(swt_scale(e, cos(a)), swt_scale(d, sin(a)));
    return swt_mat3_from_columns(swt_cross(y, z), y, z);
}

typedef struct scene {
    swt_landmark_set *set;
    swt_pose pose[N];
    swt_segment_pose segment;
} scene;

/* The same turning by `turn` a frame while the long axis leans by `lean` a frame about X. */
static swt_mat3 leaning_axes_at(size_t f, double turn, double lean)
{
    double b = lean * (double)f, a = turn * (double)f;
    swt_vec3 y = {0, sin(b), cos(b)}, e = {1, 0, 0}, d = swt_cross(y, e);
    swt_vec3 z = swt_add(swt_scale(e, cos(a)), swt_scale(d, sin(a)));

    return swt_mat3_from_columns(swt_cross(y, z), y, z);
}

static scene *make(double noise_m, uint64_t seed)
{
    scene *s = calloc(1, sizeof *s);
    bool present[SWT_LANDMARK_COUNT] = {false};

    assert_non_null(s);
    for (int m = 0; m < MARKERS; m++)
        present[marker[m]] = true;
    assert_int_equal(swt_landmark_set_new(&s->set, N, 240, present, NULL), SWT_OK);
    for (size_t f = 0; f < N; f++) {
        swt_mat3 axes = axes_at(f);
        s->pose[f] = (swt_pose){axes, swt_vec3_make(0.1, 0.2, 1), 0};
        for (int m = 0; m < MARKERS; m++) {
            swt_vec3 p = swt_pose_apply(&s->pose[f], place[m]);
            s->set->axis[marker[m]][0][f] = p.x + noise_m * draw_normal(&seed);
            s->set->axis[marker[m]][1][f] = p.y + noise_m * draw_normal(&seed);
            s->set->axis[marker[m]][2][f] = p.z + noise_m * draw_normal(&seed);
            s->set->origin[marker[m]][f] = SWT_ORIGIN_RECORDED;
        }
    }
    s->segment = (swt_segment_pose){s->pose, NULL, swt_usable(), false};
    return s;
}

static void unmake(scene *s)
{
    swt_landmark_set_free(s->set);
    free(s);
}

static void follows_the_turn(void **state)
{
    scene *s = make(0, 1);
    double turn[N];

    (void)state;
    assert_int_equal(
        swt_segment_turn(turn, SWT_SEGMENT_PELVIS, &s->segment, s->set, FROM, TO, NULL), SWT_OK);
    assert_true(isnan(turn[FROM - 1]) && isnan(turn[TO + 1]));
    for (size_t f = FROM; f <= TO; f++) /* sines of steps under 2 degrees */
        assert_close(turn[f], turn_at(f) - turn_at(FROM), 3e-4, "turn");
    unmake(s);
}

/* In the frame midway the step is Rx(lean / 2) Ry(turn) Rx(lean / 2), of quaternion (cos(turn / 2)
 * cos(lean / 2), cos(turn / 2) sin(lean / 2), sin(turn / 2), 0); so its skew part about the axis
 * midway is sin(turn) cos(lean / 2). Leaning itself is no turn. */
static void an_axis_that_leans(void **state)
{
    const double turn_step = 0.05, lean_step = 0.2;
    scene *s = make(0, 1);
    double turn[N];

    (void)state;
    for (size_t f = 0; f < N; f++) {
        s->pose[f].rotation = leaning_axes_at(f, turn_step, lean_step);
        for (int m = 0; m < MARKERS; m++) {
            swt_vec3 p = swt_pose_apply(&s->pose[f], place[m]);
            s->set->axis[marker[m]][0][f] = p.x;
            s->set->axis[marker[m]][1][f] = p.y;
            s->set->axis[marker[m]][2][f] = p.z;
        }
    }
    assert_int_equal(
        swt_segment_turn(turn, SWT_SEGMENT_PELVIS, &s->segment, s->set, FROM, TO, NULL), SWT_OK);
    for (size_t f = FROM; f <= TO; f++)
        assert_close(turn[f], (double)(f - FROM) * sin(turn_step) * cos(lean_step / 2), 1e-9,
                     "turn about the axis midway");
    unmake(s);
}

/* The noise of the turn is white and of the size that the markers' lever arms say. */
static void noise_is_white_and_as_told(void **state)
{
    enum { DRAWS = 60 };
    const double noise_m[SWT_LANDMARK_COUNT] = {0}; /* unknown: half a millimetre */
    double squares = 0, neighbours = 0, said = 0, n = 0;

    (void)state;
    for (uint64_t seed = 1; seed <= DRAWS; seed++) {
        scene *s = make(0.0005, seed);
        double turn[N], off[N], mean = 0;
        assert_int_equal(
            swt_segment_turn(turn, SWT_SEGMENT_PELVIS, &s->segment, s->set, FROM, TO, NULL),
            SWT_OK);
        for (size_t f = FROM; f <= TO; f++)
            mean += (off[f] = turn[f] - turn_at(f)) / (TO - FROM + 1);
        for (size_t f = FROM; f < TO; f++) {
            squares += (off[f] - mean) * (off[f] - mean);
            neighbours += (off[f] - mean) * (off[f + 1] - mean);
            n++;
        }
        said = swt_segment_turn_noise(&s->segment, SWT_SEGMENT_PELVIS, s->set, noise_m, 60);
        unmake(s);
    }
    assert_close(sqrt(squares / n) / said, 1, 0.05, "size");
    assert_close(neighbours / squares, 0, 0.05, "correlation of neighbours");
}

static void lost_poses_and_too_few_markers(void **state)
{
    scene *s = make(0, 1);
    double turn[N];

    (void)state;
    for (int m = 0; m < 2; m++)
        for (int k = 0; k < 3; k++)
            s->set->axis[marker[m]][k][50] = nan("");
    assert_int_equal(
        swt_segment_turn(turn, SWT_SEGMENT_PELVIS, &s->segment, s->set, FROM, TO, NULL), SWT_OK);
    assert_true(isfinite(turn[49]) && isnan(turn[50]));
    assert_close(turn[51], 0, 0, "counted anew");
    assert_close(turn[80], turn_at(80) - turn_at(51), 3e-4, "after the loss");
    s->set->present[SWT_LEAD_ASIS] = s->set->present[SWT_LEAD_PSIS] = false;
    assert_int_equal(
        swt_segment_turn(turn, SWT_SEGMENT_PELVIS, &s->segment, s->set, FROM, TO, NULL), SWT_OK);
    for (size_t f = 0; f < N; f++)
        assert_true(isnan(turn[f]));
    unmake(s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(follows_the_turn),
        cmocka_unit_test(an_axis_that_leans),
        cmocka_unit_test(noise_is_white_and_as_told),
        cmocka_unit_test(lost_poses_and_too_few_markers),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
