/* The stick figure from landmarks: which point comes from where, and between frames. */
#include "kinematics/stick.h"

#include "tests/support/support.h"

#include <math.h>
#include <stdlib.h>

static const double *point(const double *stick, size_t frame, swt_stick_point p)
{
    return stick + 3 * (frame * SWT_STICK_POINTS + p);
}

static void points_come_from_their_landmarks(void **state)
{
    static const swt_landmark have[] = {SWT_LEAD_RS,   SWT_LEAD_US,   SWT_TRAIL_WRIST, SWT_LEAD_MT2,
                                        SWT_LEAD_MT5,  SWT_TRAIL_TOE, SWT_C7,          SWT_IJ,
                                        SWT_CLUB_GRIP, SWT_CLUB_HEAD, SWT_LEAD_AC,     SWT_TRAIL_AC,
                                        SWT_LEAD_HIP,  SWT_TRAIL_HIP};
    bool present[SWT_LANDMARK_COUNT] = {false};
    swt_landmark_set *set;
    double stick[2 * 3 * SWT_STICK_POINTS], between[3 * SWT_STICK_POINTS];

    (void)state;
    for (size_t i = 0; i < sizeof have / sizeof *have; i++)
        present[have[i]] = true;
    assert_int_equal(swt_landmark_set_new(&set, 2, 100, present, NULL), SWT_OK);
    for (size_t i = 0; i < sizeof have / sizeof *have; i++)
        for (size_t f = 0; f < 2; f++)
            for (size_t k = 0; k < 3; k++) /* no two landmarks alike, no line straight */
                set->axis[have[i]][k][f] = cos((double)(have[i] * 3 + k)) + 0.2 * (double)f;
    assert_int_equal(swt_stick_build(stick, set, 0.04, NULL), SWT_OK);
    for (size_t k = 0; k < 3; k++) {
        assert_close(point(stick, 1, SWT_STICK_LEAD_WRIST)[k],
                     (set->axis[SWT_LEAD_RS][k][1] + set->axis[SWT_LEAD_US][k][1]) / 2, 1e-12,
                     "wrist: middle of both styloids");
        assert_close(point(stick, 0, SWT_STICK_TRAIL_WRIST)[k], set->axis[SWT_TRAIL_WRIST][k][0],
                     1e-12, "wrist: the one marker");
        assert_close(point(stick, 0, SWT_STICK_LEAD_TOE)[k],
                     (set->axis[SWT_LEAD_MT2][k][0] + set->axis[SWT_LEAD_MT5][k][0]) / 2, 1e-12,
                     "toe: middle of the metatarsals");
        assert_close(point(stick, 0, SWT_STICK_TRAIL_TOE)[k], set->axis[SWT_TRAIL_TOE][k][0], 1e-12,
                     "toe: its marker");
        assert_close(point(stick, 0, SWT_STICK_NECK)[k],
                     (set->axis[SWT_C7][k][0] + set->axis[SWT_IJ][k][0]) / 2, 1e-12, "neck");
        assert_close(point(stick, 1, SWT_STICK_CLUB_HEAD)[k], set->axis[SWT_CLUB_HEAD][k][1], 1e-12,
                     "club head");
        assert_true(isnan(point(stick, 0, SWT_STICK_HEAD)[k]));
        assert_true(isnan(point(stick, 0, SWT_STICK_LEAD_HEEL)[k]));
    }
    swt_stick_at(between, stick, 2, 0.25);
    assert_close(between[3 * SWT_STICK_CLUB_HEAD], set->axis[SWT_CLUB_HEAD][0][0] + 0.05, 1e-12,
                 "a quarter of the way");
    swt_stick_at(between, stick, 2, 1.0);
    assert_close(between[3 * SWT_STICK_CLUB_HEAD], set->axis[SWT_CLUB_HEAD][0][1], 1e-12,
                 "the end");
    swt_stick_at(between, stick, 2, 1.01);
    assert_true(isnan(between[3 * SWT_STICK_CLUB_HEAD]));
    swt_stick_at(between, stick, 2, nan(""));
    assert_true(isnan(between[3 * SWT_STICK_CLUB_HEAD]));
    swt_landmark_set_free(set);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(points_come_from_their_landmarks)};
    return cmocka_run_group_tests_name("stick", tests, NULL, NULL);
}
