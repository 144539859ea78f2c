/* The club head at contact, on an arc whose speed is a formula. */
#include "kinematics/contact.h"
#include "tests/support/support.h"

#include <math.h>
#include <string.h>

enum { FRAMES = 200, SPLIT = 150 };

/* Angle before contact at time t (0 = frame SPLIT - 0.5), rad, and how fast it grows. */
static double angle_at(double t)
{
    return 38 * t + 60 * t * t - 900 * t * t * t;
}

static double rate_at(double t)
{
    return 38 + 120 * t - 2700 * t * t;
}

/* A head on an arc of 1.4 m in an inclined plane, whose centre moves at 2 m/s; toe and heel turn
 * with it. After contact it stands still: nothing of that may be read. */
static swt_landmark_set *make(double rate_hz, double noise_m, uint64_t seed, bool with_toe)
{
    const bool present[SWT_LANDMARK_COUNT] = {
        [SWT_CLUB_HEAD] = true, [SWT_CLUB_TOE] = with_toe, [SWT_CLUB_HEEL] = with_toe};
    static const double local[3][2] = {{0, 0}, {0.09, 0.03}, {0.02, -0.03}};
    static const swt_landmark marker[3] = {SWT_CLUB_HEAD, SWT_CLUB_TOE, SWT_CLUB_HEEL};
    const swt_vec3 e1 = {0, 0, 1}, e2 = {0.8, 0.6, 0}, centre = {0.1, 0.2, 1.3};
    swt_landmark_set *set;

    assert_int_equal(swt_landmark_set_new(&set, FRAMES, rate_hz, present, NULL), SWT_OK);
    for (size_t f = 0; f < FRAMES; f++) {
        double t = fmin((double)f - (SPLIT - 0.5), 0.5) / rate_hz;
        double a = angle_at(t);
        swt_vec3 out = swt_add(swt_scale(e1, -cos(a)), swt_scale(e2, sin(a)));
        swt_vec3 along = swt_add(swt_scale(e1, sin(a)), swt_scale(e2, cos(a)));
        swt_vec3 at = swt_add(centre, swt_vec3_make(2 * t, 0, 0));
        for (int m = 0; m < (with_toe ? 3 : 1); m++) {
            swt_vec3 p = swt_add(
                at, swt_add(swt_scale(out, 1.4 + local[m][0]), swt_scale(along, local[m][1])));
            set->axis[marker[m]][0][f] = p.x + noise_m * draw_normal(&seed);
            set->axis[marker[m]][1][f] = p.y + noise_m * draw_normal(&seed);
            set->axis[marker[m]][2][f] = p.z + noise_m * draw_normal(&seed);
            set->origin[marker[m]][f] = 0;
        }
    }
    return set;
}

/* Speed of the head at time t. */
static double speed_at(double t)
{
    double a = angle_at(t), v = 1.4 * rate_at(t);
    return swt_norm(swt_vec3_make(0.8 * cos(a) * v + 2, 0.6 * cos(a) * v, sin(a) * v));
}

/* At 120 Hz this head goes 18 degrees in a frame, and the half frame that is carried on by a cubic
 * costs some tenths of a per cent. */
static void without_noise_it_is_exact(void **state)
{
    static const double rate[] = {120, 240, 500, 1000}, tolerance[] = {8e-3, 2e-3, 5e-4, 2e-4};

    (void)state;
    for (int k = 0; k < 4; k++) {
        swt_landmark_set *set = make(rate[k], 0, 1, k % 2 == 0);
        swt_contact contact;
        assert_int_equal(swt_contact_fit(&contact, set, SPLIT, 1e-7, NULL), SWT_OK);
        assert_true(contact.known);
        assert_close(swt_contact_speed(&contact, SPLIT - 0.5) * rate[k], speed_at(0),
                     tolerance[k] * speed_at(0), "speed");
        assert_close(swt_contact_position(&contact, SPLIT - 0.5).x, 0.1, tolerance[k], "along");
        assert_close(swt_contact_position(&contact, SPLIT - 0.5).z, -0.1, tolerance[k], "height");
        swt_landmark_set_free(set);
    }
}

/* Bias and noise together, over draws with half a millimetre of noise. Printed by
 * tests/reference/contact_bound.py: the least RMS error, in per cent, if the best stiffness were
 * known; for the head alone, and with toe and heel. Draws know an RMS to 5 %, so that 10 % below is
 * too good; above, a stiffness found from nine samples costs more than one from forty. */
static void noise_is_held_down(void **state)
{
    enum { DRAWS = 200, RATES = 4 };
    static const double rate[RATES] = {100, 120, 240, 500};
    static const double least[RATES][2] = {
        {0.730, 0.567}, {0.754, 0.599}, {0.666, 0.565}, {0.495, 0.421}};
    static const double most[RATES] = {1.5, 1.3, 1.2, 1.2}; /* times the least */

    (void)state;
    for (int k = 0; k < RATES; k++) {
        double rms[2];
        for (int with_toe = 0; with_toe < 2; with_toe++) {
            double squares = 0;
            for (uint64_t seed = 1; seed <= DRAWS; seed++) {
                swt_landmark_set *set = make(rate[k], 0.0005, seed, with_toe);
                swt_contact contact;
                double error;
                assert_int_equal(swt_contact_fit(&contact, set, SPLIT, 0.0005, NULL), SWT_OK);
                error = swt_contact_speed(&contact, SPLIT - 0.5) * rate[k] / speed_at(0) - 1;
                squares += error * error;
                swt_landmark_set_free(set);
            }
            rms[with_toe] = 100 * sqrt(squares / DRAWS);
            if (!(rms[with_toe] > 0.9 * least[k][with_toe] &&
                  rms[with_toe] < most[k] * least[k][with_toe]))
                fail_msg("%g Hz, toe and heel %d: %.3f %%, the least is %.3f %%", rate[k], with_toe,
                         rms[with_toe], least[k][with_toe]);
        }
        assert_true(rms[1] < rms[0]);
    }
}

/* The same picture of another size, its noise grown with it: the speed grows as much. */
static void all_lengths_scale(void **state)
{
    static const double scale[] = {0.125, 8};

    (void)state;
    for (int with_toe = 0; with_toe < 2; with_toe++)
        for (int k = 0; k < 2; k++) {
            swt_landmark_set *set = make(240, 0.0005, 3, with_toe);
            swt_contact contact, scaled;
            assert_int_equal(swt_contact_fit(&contact, set, SPLIT, 0.0005, NULL), SWT_OK);
            for (int m = 0; m < SWT_LANDMARK_COUNT; m++)
                for (int c = 0; set->present[m] && c < 3; c++)
                    for (size_t f = 0; f < FRAMES; f++)
                        set->axis[m][c][f] *= scale[k];
            assert_int_equal(swt_contact_fit(&scaled, set, SPLIT, 0.0005 * scale[k], NULL), SWT_OK);
            assert_close(swt_contact_speed(&scaled, SPLIT - 0.5) / scale[k],
                         swt_contact_speed(&contact, SPLIT - 0.5), 1e-9, "speed");
            swt_landmark_set_free(set);
        }
}

static void what_cannot_be_known_is_not(void **state)
{
    swt_landmark_set *set = make(240, 0, 1, false);
    swt_contact contact;

    (void)state;
    assert_int_equal(swt_contact_fit(&contact, set, 5, 0.0005, NULL), SWT_OK);
    assert_false(contact.known); /* too few samples before contact */
    assert_int_equal(swt_contact_fit(&contact, set, FRAMES, 0.0005, NULL), SWT_OK);
    assert_false(contact.known); /* no contact */
    set->axis[SWT_CLUB_HEAD][1][SPLIT - 3] = nan("");
    assert_int_equal(swt_contact_fit(&contact, set, SPLIT, 0.0005, NULL), SWT_OK);
    assert_false(contact.known);
    swt_landmark_set_free(set);
    set = make(240, 0, 1, false);
    for (size_t f = 0; f < FRAMES; f++)
        for (int k = 0; k < 3; k++)
            set->axis[SWT_CLUB_HEAD][k][f] = k == 0 ? (double)f : 0;
    assert_int_equal(swt_contact_fit(&contact, set, SPLIT, 0.0005, NULL), SWT_OK);
    assert_false(contact.known); /* a straight line has no centre */
    swt_landmark_set_free(set);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(without_noise_it_is_exact),
        cmocka_unit_test(noise_is_held_down),
        cmocka_unit_test(all_lengths_scale),
        cmocka_unit_test(what_cannot_be_known_is_not),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
