/* Limits of scalars keep their confidence, and a group that no limits fit is doubted. */
#include "comparison/corridor.h"
#include "tests/support/support.h"

#include <math.h>
#include <string.h>

/* Several swings per player: 90 % of the intervals hold 95 % of new players' swings; somewhat more
 * where nearly all of the spread is within players, since the upper limit of a sum of variances is
 * on the safe side. The true distribution is N(0, 1), so that each interval's content is known
 * exactly. */
static void scalar_of_several_swings_keeps_its_confidence(void **state)
{
    enum { N = 10, EACH = 4, GROUPS = 1200 };
    static const double between[] = {0.6, 0.1}, most[] = {0.925, 0.95};
    double x[N * EACH];
    int player[N * EACH];
    uint64_t seed = 41;
    swt_corridor_options o = SWT_CORRIDOR_OPTIONS_INIT;

    (void)state;
    o.n_resamples = 200;
    for (int k = 0; k < 2; k++) {
        double good = 0, built = 0;
        for (int g = 0; g < GROUPS; g++) {
            swt_corridor *c;
            for (int p = 0; p < N; p++) {
                double own = sqrt(between[k]) * draw_normal(&seed);
                for (int s = 0; s < EACH; s++) {
                    x[p * EACH + s] = own + sqrt(1 - between[k]) * draw_normal(&seed);
                    player[p * EACH + s] = p;
                }
            }
            assert_int_equal(swt_corridor_build(&c, x, player, N * EACH, 1, &o, NULL), SWT_OK);
            if (c->method == SWT_CORRIDOR_TOLERANCE) { /* 1 % fail the check for normality */
                built++;
                good += (erf(c->upper[0] / sqrt(2)) - erf(c->lower[0] / sqrt(2))) / 2 >= 0.95;
            }
            swt_corridor_free(c);
        }
        assert_true(built > 0.97 * GROUPS);
        if (!(good / built >= 0.875 && good / built <= most[k]))
            fail_msg("%g between players: confidence %.3f", between[k], good / built);
    }
}

/* Twenty players whose curves are normal keep what is stated; exponentials of them, of which the
 * largest deviation is always somebody's, do not, and that is said. */
static void a_group_far_from_normal_is_doubted(void **state)
{
    enum { N = 20, SAMPLES = 9 };
    double x[N * SAMPLES];
    int player[N];

    (void)state;
    for (int skewed = 0; skewed < 2; skewed++) {
        swt_corridor *c;
        uint64_t seed = 2;
        for (int p = 0; p < N; p++) {
            player[p] = p;
            for (int t = 0; t < SAMPLES; t++) {
                double z = draw_normal(&seed);
                x[p * SAMPLES + t] = skewed ? exp(2 * z) : z;
            }
        }
        assert_int_equal(swt_corridor_build(&c, x, player, N, SAMPLES, NULL, NULL), SWT_OK);
        assert_int_equal(c->state, skewed ? SWT_CORRIDOR_LIMITED : SWT_CORRIDOR_OK);
        assert_true(skewed == !!strstr(c->reason, "far from normal"));
        assert_true(skewed == (c->loo_coverage < 0.95 - 2 * sqrt(0.95 * 0.05 / N)));
        swt_corridor_free(c);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(scalar_of_several_swings_keeps_its_confidence),
        cmocka_unit_test(a_group_far_from_normal_is_doubted),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
