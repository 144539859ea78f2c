/* The forward model: published ranges, rigid segments, closed ledger, and no two answers. */
#include "base/vector.h"
#include "datasets/generator/demo.h"
#include "tests/support/support.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct made {
    swt_capture *capture;
    swt_model_truth *truth;
} made;

static made make(const swt_model_player *p, const swt_model_swing *s, const swt_model_recording *r)
{
    made m;
    swt_error err = SWT_ERROR_INIT;
    if (swt_model_capture(&m.capture, &m.truth, p, s, r, &err) != SWT_OK)
        fail_msg("%s", err.msg);
    return m;
}

static made make_default(void)
{
    swt_model_player p = swt_model_player_default(1.80);
    swt_model_swing s = swt_model_swing_default("driver");
    swt_model_recording r = swt_model_recording_default();
    return make(&p, &s, &r);
}

static void unmake(made *m)
{
    swt_capture_free(m->capture);
    swt_model_truth_free(m->truth);
}

static swt_vec3 at(const swt_capture *c, const char *label, size_t frame)
{
    long p = swt_capture_find(c, label);
    const double *x;
    if (p < 0)
        fail_msg("no marker %s", label);
    x = &c->xyz[(frame * c->n_points + (size_t)p) * 3];
    return swt_vec3_make(x[0], x[1], x[2]);
}

static void assert_within(double value, double low, double high, const char *what)
{
    if (!(value >= low && value <= high))
        fail_msg("%s: %g is not within %g to %g", what, value, low, high);
}

/* A swing drawn for each of 30 seeds, and the default one (seed 0). */
static made make_drawn(unsigned seed)
{
    swt_model_player p = swt_model_player_default(1.80);
    swt_model_swing s = swt_model_swing_default("driver");
    swt_model_recording r = swt_model_recording_default();
    if (seed > 0)
        swt_model_draw_player(&p, &s, seed);
    return make(&p, &s, &r);
}

static void swings_lie_in_published_ranges(void **state)
{
    (void)state;
    for (unsigned seed = 0; seed <= 30; seed++) {
        made m = make_drawn(seed);
        const swt_model_truth *t = m.truth;
        const double *top = t->at_event[SWT_TRUE_CLUB_TOP], *hit = t->at_event[SWT_TRUE_IMPACT];
        double mass = seed ? 1.5 : 0.5; /* any player within 3 SD, the default one within 1 SD */

        /* Grober & Cholewicki 2006: pairs from 0.70/0.233 to 1.00/0.333 s; Hume 2005 review,
           from memory: 0.7 to 1.1 and 0.23 to 0.35 s */
        assert_within(t->backswing_s, 0.70, 1.10, "backswing");
        assert_within(t->downswing_s, 0.23, 0.35, "downswing");
        /* Zheng 2008b, tour players: pelvis at top 42 +- 7, trunk tilt at top 31 +- 4, pelvis at
           impact -42 +- 12 deg */
        assert_within(SWT_DEGREES(top[SWT_TRUE_PELVIS_TURN]), 42 - 14 * mass, 42 + 14 * mass,
                      "pelvis at top");
        assert_within(SWT_DEGREES(top[SWT_TRUE_THORAX_FORWARD]), 31 - 8 * mass, 31 + 8 * mass,
                      "trunk tilt at top");
        assert_within(SWT_DEGREES(hit[SWT_TRUE_PELVIS_TURN]), -42 - 24 * mass, -42 + 24 * mass,
                      "pelvis at impact");
        /* Sorbie: separation 52.8 +- 5.6 deg; Burden 1998: shoulders beyond 90 deg */
        assert_within(SWT_DEGREES(top[SWT_TRUE_SEPARATION_JOINT]), 52.8 - 11.2 * mass,
                      52.8 + 11.2 * mass, "separation at top");
        assert_within(SWT_DEGREES(top[SWT_TRUE_THORAX_TURN]), 80, 110, "thorax at top");
        /* Zheng 2008a: club 2413 +- 442 deg/s, two SD */
        assert_within(SWT_DEGREES(t->peak_rad_s[3]), 2413 - 884, 2413 + 884, "club speed");
        /* Nesbit 2005, from memory: hands 8 to 11 m/s; a margin of one for single players */
        assert_within(t->peak_hand_speed_m_s, 7, 12, "hand speed");
        assert_within(t->peak_head_speed_m_s, 38, 52, "club-head speed");
        /* Kwon 2012, slope from memory: driver 47 to 50 deg, a few more for single players */
        assert_within(SWT_DEGREES(t->plane_slope_rad), 39, 56, "plane slope");
        assert_within(t->plane_rms_m, 0, 0.01, "plane residual"); /* Kwon: below 1 cm */
        /* common practice, no source */
        assert_within(t->half_time_fraction, 0.43, 0.57, "half-time fraction");
        /* Meister 2011: pelvis turns round before the upper torso */
        assert_true(t->event_s[SWT_TRUE_PELVIS_REVERSAL] < t->event_s[SWT_TRUE_THORAX_REVERSAL]);
        assert_true(t->event_s[SWT_TRUE_THORAX_REVERSAL] < t->event_s[SWT_TRUE_CLUB_TOP]);
        /* Tinmark 2010, Cheetham 2008: each segment faster than the one before it */
        for (int i = 1; i < 4; i++)
            assert_true(t->peak_rad_s[i] > t->peak_rad_s[i - 1]);
        unmake(&m);
    }
}

static void events_are_in_order(void **state)
{
    static const swt_model_event order[] = {
        SWT_TRUE_ONSET,      SWT_TRUE_TAKEAWAY, SWT_TRUE_TRAVEL_061,    SWT_TRUE_TRAVEL_183,
        SWT_TRUE_SHAFT_UP,   SWT_TRUE_ARM_UP,   SWT_TRUE_CLUB_TOP,      SWT_TRUE_ARM_DOWN,
        SWT_TRUE_SHAFT_DOWN, SWT_TRUE_IMPACT,   SWT_TRUE_SHAFT_THROUGH, SWT_TRUE_FINISH};
    made m = make_default();
    const swt_model_truth *t = m.truth;

    (void)state;
    for (size_t i = 1; i < sizeof order / sizeof *order; i++)
        if (!(t->event_s[order[i - 1]] < t->event_s[order[i]]))
            fail_msg("%s is not before %s", swt_model_event_name(order[i - 1]),
                     swt_model_event_name(order[i]));
    /* what defines each event holds at its instant */
    assert_close(t->at_event[SWT_TRUE_TAKEAWAY][SWT_TRUE_HEAD_SPEED], 0.10, 1e-7, "takeaway");
    assert_close(t->at_event[SWT_TRUE_SHAFT_UP][SWT_TRUE_SHAFT], 0, 1e-9, "shaft up");
    assert_close(t->at_event[SWT_TRUE_ARM_UP][SWT_TRUE_LEAD_ARM], 0, 1e-9, "arm up");
    assert_close(t->at_event[SWT_TRUE_ARM_DOWN][SWT_TRUE_LEAD_ARM], 0, 1e-9, "arm down");
    assert_close(t->at_event[SWT_TRUE_SHAFT_DOWN][SWT_TRUE_SHAFT], 0, 1e-9, "shaft down");
    assert_close(t->at_event[SWT_TRUE_PELVIS_REVERSAL][SWT_TRUE_PELVIS_SPEED], 0, 1e-6, "pelvis");
    assert_close(t->at_event[SWT_TRUE_FINISH][SWT_TRUE_HAND_SPEED], 0.5, 1e-6, "finish");
    assert_close(t->at_event[SWT_TRUE_TRAVEL_061][SWT_TRUE_PATH_LENGTH], 0.61, 1e-9, "travel");
    unmake(&m);
}

static const char *const rigid[][2] = {
    {"L_ASIS", "R_ASIS"},        {"L_PSIS", "R_ASIS"},           {"C7", "STERNUM_LOW"},
    {"T8", "STERNUM_TOP"},       {"L_ELBOW_LAT", "L_ELBOW_MED"}, {"L_HAND_2", "L_HAND_5"},
    {"R_HAND_2", "L_HAND_2"},    {"CLUB_GRIP", "CLUB_HEAD"},     {"CLUB_TOE", "CLUB_GRIP"},
    {"L_UARM_1", "L_ELBOW_LAT"}, {"R_UARM_2", "R_UARM_3"},       {"R_FARM_1", "R_WRIST_RAD"},
    {"L_THIGH_1", "L_KNEE_MED"}, {"R_SHANK_2", "R_ANKLE_LAT"},   {"R_HEEL", "R_TOE"},
    {"L_FOOT_5", "L_HEEL"},      {"L_HEAD_FRONT", "R_HEAD_BACK"}};
static const char *const limbs[][4] = {{"L_ELBOW_LAT", "L_ELBOW_MED", "L_WRIST_RAD", "L_WRIST_ULN"},
                                       {"R_ELBOW_LAT", "R_ELBOW_MED", "R_WRIST_RAD", "R_WRIST_ULN"},
                                       {"L_KNEE_LAT", "L_KNEE_MED", "L_ANKLE_LAT", "L_ANKLE_MED"},
                                       {"R_KNEE_LAT", "R_KNEE_MED", "R_ANKLE_LAT", "R_ANKLE_MED"}};

static void segments_keep_their_lengths(void **state)
{
    made m = make_default();
    const swt_capture *c = m.capture;

    (void)state;
    for (size_t i = 0; i < sizeof rigid / sizeof *rigid; i++) {
        double first = swt_norm(swt_sub(at(c, rigid[i][0], 0), at(c, rigid[i][1], 0)));
        for (size_t f = 1; f < c->n_frames; f++)
            assert_close(swt_norm(swt_sub(at(c, rigid[i][0], f), at(c, rigid[i][1], f))), first,
                         1e-9, rigid[i][0]);
    }
    for (size_t i = 0; i < sizeof limbs / sizeof *limbs; i++) {
        double first = 0;
        for (size_t f = 0; f < c->n_frames; f++) {
            swt_vec3 a = swt_mid(at(c, limbs[i][0], f), at(c, limbs[i][1], f));
            swt_vec3 b = swt_mid(at(c, limbs[i][2], f), at(c, limbs[i][3], f));
            double length = swt_norm(swt_sub(a, b));
            first = f ? first : length;
            assert_close(length, first, 1e-9, limbs[i][0]);
        }
    }
    unmake(&m);
}

/* No wrist turns faster than a hand can: 60 degrees in a frame of 1/240 s would be 14,400 deg/s. */
static void wrists_do_not_jump(void **state)
{
    static const char *const wrist[2][2] = {{"L_WRIST_RAD", "L_WRIST_ULN"},
                                            {"R_WRIST_RAD", "R_WRIST_ULN"}};

    (void)state;
    for (unsigned seed = 100; seed < 120; seed++) {
        made m = make_drawn(seed);
        const swt_capture *c = m.capture;
        for (int s = 0; s < 2; s++) {
            swt_vec3 before = swt_vec3_make(0, 0, 0);
            for (size_t f = 0; f < c->n_frames; f++) {
                swt_vec3 now = swt_direction(swt_sub(at(c, wrist[s][0], f), at(c, wrist[s][1], f)));
                if (f > 0 && swt_dot(now, before) < 0.5)
                    fail_msg("player %u, %s: turned by %.0f deg in frame %zu", seed, wrist[s][0],
                             acos(swt_dot(now, before)) * 180 / SWT_PI, f);
                before = now;
            }
        }
        unmake(&m);
    }
}

static void ledger_sums_to_the_hands(void **state)
{
    swt_model_player p = swt_model_player_default(1.80);
    swt_model_swing s = swt_model_swing_default("driver");
    swt_model_recording r = swt_model_recording_default();
    made m;
    const swt_model_truth *t;
    const double *start;

    (void)state;
    s.impact_loss = 0.25; /* the jump of velocity must not leak into the sum */
    m = make(&p, &s, &r);
    t = m.truth;
    start = t->at_event[SWT_TRUE_TAKEAWAY];
    for (size_t f = 0; f < t->n_frames; f++) {
        double depth = 0, height = 0;
        if (isnan(t->series[SWT_TRUE_LEDGER_PELVIS_DEPTH][f])) {
            assert_true((double)f / 240 < t->event_s[SWT_TRUE_TAKEAWAY]);
            continue;
        }
        for (int k = 0; k < 3; k++) {
            depth += t->series[SWT_TRUE_LEDGER_PELVIS_DEPTH + k][f];
            height += t->series[SWT_TRUE_LEDGER_PELVIS_HEIGHT + k][f];
        }
        assert_close(depth, t->series[SWT_TRUE_HANDS_DEPTH][f] - start[SWT_TRUE_HANDS_DEPTH], 1e-8,
                     "depth");
        assert_close(height, t->series[SWT_TRUE_HANDS_HEIGHT][f] - start[SWT_TRUE_HANDS_HEIGHT],
                     1e-8, "height");
    }
    unmake(&m);
}

/* Pose of three markers, in m. */
typedef struct three {
    swt_vec3 o;
    swt_mat3 r;
} three;

static three pose_of(const swt_capture *c, const char *const label[3], size_t f)
{
    swt_vec3 o = at(c, label[0], f), a = swt_sub(at(c, label[1], f), o);
    swt_vec3 b = swt_sub(at(c, label[2], f), o), n = swt_direction(swt_cross(a, b));
    a = swt_direction(a);
    return (three){o, swt_mat3_from_columns(a, swt_cross(n, a), n)};
}

/* Where a point that rides on a body goes from one pose to the next. */
static swt_vec3 ride(const three *from, const three *to, swt_vec3 p)
{
    swt_mat3 back = swt_mat3_transpose(&from->r);
    p = swt_rotate(&back, swt_sub(p, from->o));
    return swt_add(to->o, swt_rotate(&to->r, p));
}

/* The parts of the ledger against the markers alone: at each small step the hands are carried by
   the pelvis' markers, then by the thorax' markers, with no angular velocity anywhere. */
static void ledger_parts_follow_from_the_markers(void **state)
{
    static const char *const bodies[2][3] = {{"L_ASIS", "R_ASIS", "L_PSIS"},
                                             {"STERNUM_TOP", "C7", "T8"}};
    static const char *const hand[4] = {"L_HAND_2", "L_HAND_5", "R_HAND_2", "R_HAND_5"};
    swt_model_player p = swt_model_player_default(1.80);
    swt_model_swing s = swt_model_swing_default("driver");
    swt_model_recording r = swt_model_recording_default();
    made m;
    size_t first, last;
    swt_vec3 carried[2] = {{0, 0, 0}, {0, 0, 0}}, here = {0, 0, 0};

    (void)state;
    r.rate_hz = 2000;
    r.unit = "m";
    m = make(&p, &s, &r);
    first = (size_t)ceil(m.truth->event_s[SWT_TRUE_TAKEAWAY] * 2000);
    last = (size_t)(m.truth->event_s[SWT_TRUE_IMPACT] * 2000);
    for (size_t f = first; f < last; f++) {
        swt_vec3 h[2];
        for (size_t k = 0; k < 2; k++)
            h[k] = swt_mid(swt_mid(at(m.capture, hand[0], f + k), at(m.capture, hand[1], f + k)),
                           swt_mid(at(m.capture, hand[2], f + k), at(m.capture, hand[3], f + k)));
        here = h[1];
        for (int body = 0; body < 2; body++) {
            three now = pose_of(m.capture, bodies[body], f);
            three next = pose_of(m.capture, bodies[body], f + 1);
            swt_vec3 ahead = swt_sub(ride(&now, &next, h[0]), h[0]);
            swt_vec3 behind = swt_sub(h[1], ride(&next, &now, h[1]));
            carried[body] = swt_add(carried[body], swt_mid(ahead, behind));
        }
    }
    assert_close(here.y, m.truth->series[SWT_TRUE_HANDS_DEPTH][last], 1e-9, "mid-hands");
    /* the first step begins up to half a millisecond after takeaway */
    assert_close(m.truth->series[SWT_TRUE_LEDGER_PELVIS_DEPTH][last], carried[0].y, 2e-5, "pelvis");
    assert_close(m.truth->series[SWT_TRUE_LEDGER_PELVIS_HEIGHT][last], carried[0].z, 2e-5,
                 "pelvis height");
    assert_close(m.truth->series[SWT_TRUE_LEDGER_THORAX_DEPTH][last], carried[1].y - carried[0].y,
                 2e-5, "trunk");
    assert_close(m.truth->series[SWT_TRUE_LEDGER_THORAX_HEIGHT][last], carried[1].z - carried[0].z,
                 2e-5, "trunk height");
    unmake(&m);
}

static void head_meets_the_ball(void **state)
{
    (void)state;
    for (int k = 0; k < 3; k++) {
        static const double shots[] = {1, 0.75, 0.5};
        swt_model_player p = swt_model_player_default(1.80);
        swt_model_swing s = swt_model_swing_default("driver");
        swt_model_recording r = swt_model_recording_default();
        made m;
        swt_vec3 before, after;
        size_t f;

        s.shot = shots[k];
        /* a rate and a start for which impact falls on a frame */
        r.rate_hz = 1000;
        m = make(&p, &s, &r);
        r.clip_start_s = fmod(m.truth->event_s[SWT_TRUE_IMPACT], 0.001);
        unmake(&m);
        m = make(&p, &s, &r);
        f = (size_t)lround(m.truth->event_s[SWT_TRUE_IMPACT] * 1000);
        before = at(m.capture, "CLUB_HEAD", 0);
        after = at(m.capture, "CLUB_HEAD", f);
        assert_close(swt_norm(swt_sub(after, before)), 0, 1e-4, "club head back at address, mm");
        assert_within(swt_norm(swt_sub(at(m.capture, "BALL", f), after)), 20, 90, "ball, mm");
        assert_within(m.truth->at_event[SWT_TRUE_IMPACT][SWT_TRUE_HEAD_SPEED], 20, 52, "speed");
        if (shots[k] == 0.5) {
            assert_true(isnan(m.truth->event_s[SWT_TRUE_ARM_UP]));
            assert_string_equal(m.truth->event_reason[SWT_TRUE_ARM_UP], "not reached");
        }
        unmake(&m);
    }
}

/* Each disturbance alone comes from the seed, and from nothing else. */
static void same_seed_same_capture(void **state)
{
    swt_model_player p = swt_model_player_default(1.75);
    swt_model_swing s = swt_model_swing_default("7-iron");

    (void)state;
    swt_model_draw_player(&p, &s, 11);
    for (int what = 0; what < 3; what++) {
        swt_model_recording r = swt_model_recording_default();
        made m[3];
        size_t n, n_sound;

        r.noise_m = what == 0 ? 0.0005 : 0;
        r.soft_tissue_m = what == 1 ? 0.002 : 0;
        r.sound_per_frame = what == 2 ? 5 : 0;
        for (int k = 0; k < 3; k++) {
            r.seed = k < 2 ? 1 : 2;
            m[k] = make(&p, &s, &r);
        }
        n = m[0].capture->n_frames * m[0].capture->n_points * 3 * sizeof(double);
        n_sound = m[0].capture->n_frames * r.sound_per_frame * sizeof(double);
        /* NaN after the ball has gone: compare bytes */
        assert_memory_equal(m[0].capture->xyz, m[1].capture->xyz, n);
        assert_int_equal(memcmp(m[0].capture->xyz, m[2].capture->xyz, n) == 0, what == 2);
        if (what == 2) {
            const double *sound = m[0].capture->analog->sample;
            assert_memory_equal(sound, m[1].capture->analog->sample, n_sound);
            assert_true(memcmp(sound, m[2].capture->analog->sample, n_sound) != 0);
        }
        for (int k = 0; k < 3; k++)
            unmake(&m[k]);
    }
}

static void left_handed_is_the_mirror_image(void **state)
{
    swt_model_player p = swt_model_player_default(1.80);
    swt_model_swing s = swt_model_swing_default("driver");
    swt_model_recording r = swt_model_recording_default();
    made right = make(&p, &s, &r), left;

    (void)state;
    p.left_handed = true;
    left = make(&p, &s, &r);
    for (size_t f = 0; f < right.capture->n_frames; f += 7) {
        swt_vec3 a = at(right.capture, "L_WRIST_RAD", f), b = at(left.capture, "R_WRIST_RAD", f);
        swt_vec3 c = at(right.capture, "R_HEEL", f), d = at(left.capture, "L_HEEL", f);
        assert_close(a.x, -b.x, 1e-12, "wrist along");
        assert_close(a.y, b.y, 1e-12, "wrist depth");
        assert_close(a.z, b.z, 1e-12, "wrist height");
        assert_close(c.x, -d.x, 1e-12, "heel along");
    }
    for (int e = 0; e < SWT_TRUE_EVENTS; e++)
        assert_close(left.truth->event_s[e], right.truth->event_s[e], 0,
                     swt_model_event_name((swt_model_event)e));
    unmake(&right);
    unmake(&left);
}

static void laboratory_moves_nothing(void **state)
{
    static const char ups[] = {'x', 'y', 'z'};
    swt_model_player p = swt_model_player_default(1.80);
    swt_model_swing s = swt_model_swing_default("driver");
    swt_model_recording r = swt_model_recording_default();
    made plain = make(&p, &s, &r);

    (void)state;
    for (int k = 0; k < 6; k++) {
        swt_vec3 a, b, c;
        double volume, want;
        made m;
        r.up_axis = ups[k % 3];
        r.left_handed_axes = k >= 3;
        r.yaw_rad = 1.1;
        r.origin_m[0] = 2;
        r.unit = "m";
        m = make(&p, &s, &r);
        a = swt_sub(at(m.capture, "C7", 90), at(m.capture, "L_ASIS", 90));
        b = swt_sub(at(m.capture, "R_TOE", 90), at(m.capture, "L_ASIS", 90));
        c = swt_sub(at(m.capture, "CLUB_HEAD", 90), at(m.capture, "L_ASIS", 90));
        volume = swt_dot(a, swt_cross(b, c));
        a = swt_sub(at(plain.capture, "C7", 90), at(plain.capture, "L_ASIS", 90));
        b = swt_sub(at(plain.capture, "R_TOE", 90), at(plain.capture, "L_ASIS", 90));
        c = swt_sub(at(plain.capture, "CLUB_HEAD", 90), at(plain.capture, "L_ASIS", 90));
        want = swt_dot(a, swt_cross(b, c)) * 1e-9;
        assert_close(volume, r.left_handed_axes ? -want : want, 1e-12, "signed volume");
        unmake(&m);
    }
    unmake(&plain);
}

static void disturbances_do_as_told(void **state)
{
    swt_model_player p = swt_model_player_default(1.80);
    swt_model_swing s = swt_model_swing_default("driver");
    swt_model_recording r = swt_model_recording_default();
    const swt_model_stretch stretch[] = {{"C7", NULL, 0.5, 0.6}, {"L_ASIS", "R_ASIS", 0.7, 0.8}};
    made plain = make(&p, &s, &r), m;
    double sum = 0, n = 0;
    swt_capture *none;
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    r.stretch = stretch;
    r.n_stretches = 2;
    m = make(&p, &s, &r);
    assert_true(isnan(at(m.capture, "C7", 130).x) && !isnan(at(m.capture, "C7", 119).x));
    assert_true(!isnan(at(m.capture, "C7", 145).x));
    assert_close(at(m.capture, "L_ASIS", 180).x, at(plain.capture, "R_ASIS", 180).x, 0, "swap");
    assert_close(at(m.capture, "L_ASIS", 200).x, at(plain.capture, "L_ASIS", 200).x, 0, "after");
    unmake(&m);
    r.n_stretches = 0;
    r.noise_m = 0.001;
    m = make(&p, &s, &r);
    for (size_t i = 0; i < m.capture->n_frames * m.capture->n_points * 3; i++) {
        double d = m.capture->xyz[i] - plain.capture->xyz[i];
        if (isfinite(d)) {
            sum += d * d;
            n++;
        }
    }
    assert_close(sqrt(sum / n), 1.0, 0.01, "noise SD, mm");
    unmake(&m);
    unmake(&plain);
    r.stretch = &(swt_model_stretch){"NOSE", NULL, 0, 1};
    r.n_stretches = 1;
    assert_int_equal(swt_model_capture(&none, NULL, &p, &s, &r, &err), SWT_EARG);
    assert_null(none);
    r.n_stretches = 0;
    s.ball_along_m = 5;
    assert_int_equal(swt_model_capture(&none, NULL, &p, &s, &r, &err), SWT_ENUM);
    assert_non_null(strstr(err.msg, "address"));
}

static void faults_show_where_they_should(void **state)
{
    double depth[3][2]; /* fault; shaft up, arm up */

    (void)state;
    for (int k = 0; k < 3; k++) {
        swt_model_player p = swt_model_player_default(1.80);
        swt_model_swing s = swt_model_swing_default("driver");
        swt_model_recording r = swt_model_recording_default();
        made m;
        swt_model_add_fault(&s, (swt_model_fault)k, 1);
        m = make(&p, &s, &r);
        depth[k][0] = m.truth->at_event[SWT_TRUE_SHAFT_UP][SWT_TRUE_HANDS_DEPTH];
        depth[k][1] = m.truth->at_event[SWT_TRUE_ARM_UP][SWT_TRUE_HANDS_DEPTH];
        if (k == 0) { /* common practice, no source: above the toes, then within half the foot */
            assert_within(depth[k][0], -0.08, 0.05, "hands at shaft level");
            assert_within(depth[k][1], 0, 0.62 * m.truth->heel_line_m, "hands at lead arm level");
        }
        unmake(&m);
    }
    assert_true(depth[SWT_FAULT_DEEP_EARLY][0] > depth[0][0] + 0.08);
    assert_true(depth[SWT_FAULT_OUT][0] < depth[0][0] - 0.06);
    assert_true(depth[SWT_FAULT_OUT][1] < depth[0][1] - 0.10);
}

/* Waggle, pause, and the club slowed at contact: what was asked for is there, and nothing else. */
static void options_do_as_told(void **state)
{
    swt_model_player p = swt_model_player_default(1.80);
    swt_model_swing s = swt_model_swing_default("driver");
    swt_model_recording r = swt_model_recording_default();
    made plain = make(&p, &s, &r), m;
    double shift, moved = 0;
    size_t onset, hit;
    swt_capture *none;
    swt_error err = SWT_ERROR_INIT;

    (void)state;
    s.waggle_rad = SWT_RADIANS(8);
    m = make(&p, &s, &r);
    shift = m.truth->event_s[SWT_TRUE_ONSET] - plain.truth->event_s[SWT_TRUE_ONSET];
    assert_true(shift > 0.5);
    /* the swing plane comes from the fine scan's own instants, hence not to rounding */
    for (int e = 0; e < SWT_TRUE_EVENTS; e++)
        assert_close(m.truth->event_s[e] - shift, plain.truth->event_s[e], 1e-6,
                     swt_model_event_name((swt_model_event)e));
    onset = (size_t)(m.truth->event_s[SWT_TRUE_ONSET] * 240);
    for (size_t f = 0; f < onset; f++) {
        double d = swt_norm(swt_sub(at(m.capture, "CLUB_HEAD", f), at(m.capture, "CLUB_HEAD", 0)));
        moved = fmax(moved, d);
        if (f > onset - 72) /* the last 0.3 s are still */
            assert_close(d, 0, 1e-9, "still before the swing");
    }
    assert_true(moved > 50);
    unmake(&m);
    s.waggle_rad = 0;
    s.pause_s = 0.25;
    m = make(&p, &s, &r);
    assert_within(m.truth->event_s[SWT_TRUE_IMPACT] - plain.truth->event_s[SWT_TRUE_IMPACT], 0.249,
                  0.251, "later by the pause");
    unmake(&m);
    s.pause_s = 0;
    s.impact_loss = 0.25;
    m = make(&p, &s, &r);
    hit = (size_t)(m.truth->event_s[SWT_TRUE_IMPACT] * 240);
    for (int e = 0; e <= SWT_TRUE_IMPACT; e++) /* nothing changes up to contact but the plane */
        if (e != SWT_TRUE_CLUB_TOP && e != SWT_TRUE_HANDS_TOP)
            assert_close(m.truth->event_s[e], plain.truth->event_s[e], 1e-8,
                         swt_model_event_name((swt_model_event)e));
    for (size_t f = 0; f <= hit; f++)
        assert_close(at(m.capture, "CLUB_TOE", f).x, at(plain.capture, "CLUB_TOE", f).x, 1e-9,
                     "before contact");
    assert_close(m.truth->impact_head_speed_m_s, plain.truth->impact_head_speed_m_s, 1e-4,
                 "head speed just before contact");
    assert_within(m.truth->series[SWT_TRUE_CLUB_SPEED][hit + 1] /
                      plain.truth->series[SWT_TRUE_CLUB_SPEED][hit + 1],
                  0.72, 0.90, "club just after contact");
    unmake(&m);
    unmake(&plain);
    s.hold_s = HUGE_VAL;
    assert_int_equal(swt_model_capture(&none, NULL, &p, &s, &r, &err), SWT_EARG);
}

static void demo_roster_is_whole(void **state)
{
    size_t reference = 0, left = 0, partial = 0, second = 0;
    swt_demo_row row, again;

    (void)state;
    for (size_t i = 0; i < swt_demo_count(); i++) {
        swt_capture *c;
        swt_error err = SWT_ERROR_INIT;
        swt_demo_row_at(&row, i);
        if (swt_model_capture(&c, NULL, &row.build, &row.swing, &row.recording, &err) != SWT_OK)
            fail_msg("%s: %s", row.file, err.msg);
        assert_int_equal(err.code, SWT_OK); /* the error is set on failure only */
        assert_true(c->n_frames > 400 && c->rate_hz == 240);
        swt_capture_free(c);
        reference += strcmp(row.group, "reference") == 0;
        left += strcmp(row.side, "left") == 0;
        partial += strcmp(row.shot, "full") != 0;
        second += strcmp(row.session, "2") == 0;
        for (size_t j = 0; j < i; j++) {
            swt_demo_row_at(&again, j);
            assert_string_not_equal(row.file, again.file);
        }
    }
    assert_true(reference >= 60 && left >= 6 && partial >= 6 && second >= 3);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(swings_lie_in_published_ranges),
        cmocka_unit_test(events_are_in_order),
        cmocka_unit_test(segments_keep_their_lengths),
        cmocka_unit_test(wrists_do_not_jump),
        cmocka_unit_test(ledger_sums_to_the_hands),
        cmocka_unit_test(ledger_parts_follow_from_the_markers),
        cmocka_unit_test(head_meets_the_ball),
        cmocka_unit_test(same_seed_same_capture),
        cmocka_unit_test(left_handed_is_the_mirror_image),
        cmocka_unit_test(laboratory_moves_nothing),
        cmocka_unit_test(disturbances_do_as_told),
        cmocka_unit_test(faults_show_where_they_should),
        cmocka_unit_test(options_do_as_told),
        cmocka_unit_test(demo_roster_is_whole),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
