/* Not a test: errors of the analysis on swings whose truth is known, as a page of documentation.
 *
 *     ninja benchmark_accuracy && tests/benchmark_accuracy > docs/accuracy.md
 *
 * Players and swings are drawn with fixed seeds, so the page is the same on every run. */
#include "tests/benchmark/bound.h"
#include "tests/support/trial.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct condition {
    const char *name;
    const char *club;
    double shot, rate_hz, noise_m, skin_m, yaw_rad;
    char up;
    bool gaps, left_handed, left_handed_axes;
    const char *without[4];
} condition;

/* Errors of one kind over the draws of a condition, in the unit that the page shows. */
typedef struct tally {
    double *error;
    size_t n, room, missed; /* missed: it occurs, and was not found */
} tally;

enum { DEPTH, HEIGHT, ANGLE, SPEED, PLAIN_TALLIES };

typedef struct result {
    tally event[TRIAL_EVENTS], plain[PLAIN_TALLIES];
    size_t drawn, refused, invented; /* invented: found, and does not occur */
} result;

static void note(tally *t, double error)
{
    if (!isfinite(error)) {
        t->missed++;
        return;
    }
    if (t->n == t->room) {
        t->room = t->room ? 2 * t->room : 64;
        t->error = realloc(t->error, t->room * sizeof *t->error);
        if (!t->error) {
            fprintf(stderr, "out of memory\n");
            exit(1);
        }
    }
    t->error[t->n++] = error;
}

static void forget(result *r)
{
    for (int k = 0; k < TRIAL_EVENTS; k++)
        free(r->event[k].error);
    for (int k = 0; k < PLAIN_TALLIES; k++)
        free(r->plain[k].error);
}

static int by_size(const void *a, const void *b)
{
    double x = fabs(*(const double *)a), y = fabs(*(const double *)b);
    return (x > y) - (x < y);
}

/* Least size that at least `share` of the errors do not pass; NaN of none. */
static double size_at(tally *t, double share)
{
    double rank = ceil(share * (double)t->n);

    if (t->n == 0)
        return nan("");
    qsort(t->error, t->n, sizeof *t->error, by_size);
    return fabs(t->error[rank < 1 ? 0 : (size_t)rank - 1]);
}

static double bias(const tally *t)
{
    double sum = 0;

    for (size_t i = 0; i < t->n; i++)
        sum += t->error[i];
    return t->n ? sum / (double)t->n : nan("");
}

static void note_events(result *r, const trial *t)
{
    for (int k = 0; k < TRIAL_EVENTS; k++) {
        double ours = t->swing->event[trial_events[k].ours].time_s;
        double truth = t->truth->event_s[trial_events[k].theirs];
        if (isfinite(truth))
            note(&r->event[k], 1000 * (ours - truth));
        else if (isfinite(ours))
            r->invented++;
    }
}

static swt_model_event model_event(swt_event ours)
{
    for (int k = 0; k < TRIAL_EVENTS; k++)
        if (trial_events[k].ours == ours)
            return trial_events[k].theirs;
    return SWT_TRUE_ONSET;
}

/* Every measure that reads a series at an event, where the model has that series. The value is
 * held against the truth at the true event, so that an error of the event counts too. */
static void note_values(result *r, const trial *t)
{
    for (size_t i = 0; i < swt_measure_count(); i++) {
        const swt_measure *row = swt_measure_row(i);
        double offset, truth, error;
        int theirs = trial_series(&offset, row->series);
        if (theirs < 0 || !strstr(row->name, "_at_") || row->quantity == SWT_TIME)
            continue;
        truth = t->truth->at_event[model_event(row->from)][theirs] + offset;
        error = t->swing->measure[i].value - truth;
        if (!isfinite(truth) || t->swing->measure[i].verdict.state == SWT_ABSENT)
            continue; /* its event or landmark is missing: counted there */
        if (row->quantity == SWT_ANGLE)
            note(&r->plain[ANGLE], SWT_DEGREES(remainder(error, 2 * SWT_PI)));
        else if (strstr(row->name, "depth"))
            note(&r->plain[DEPTH], 1000 * error);
        else if (strstr(row->name, "height"))
            note(&r->plain[HEIGHT], 1000 * error);
    }
    if (t->swing->series[SWT_SERIES_CLUB_HEAD_SPEED])
        note(&r->plain[SPEED], 100 * (trial_measure(t, "club_head_speed_at_impact") /
                                          t->truth->impact_head_speed_m_s -
                                      1));
}

/* Three gaps of 60 ms and one of 250 ms in markers of the trunk and the arms, drawn by the seed. */
enum { GAPS = 4 };
static void draw_gaps(swt_model_stretch stretch[GAPS], uint64_t seed)
{
    static const char *const label[] = {"C7",     "STERNUM_TOP", "L_WRIST_RAD", "L_HAND_2",
                                        "L_ASIS", "T8",          "R_HAND_5",    "L_ACROMION",
                                        "R_PSIS", "CLUB_GRIP",   "L_ELBOW_LAT"};
    static const char *const trunk[] = {"R_PSIS", "L_PSIS", "T8", "C7"};
    uint64_t state = seed * 2654435761u + 12345;

    for (int g = 0; g < GAPS; g++) {
        double from, length = g < GAPS - 1 ? 0.06 : 0.25;
        state = state * 6364136223846793005u + 1442695040888963407u;
        from = 0.3 + 1.3 * (double)(state >> 40) / (double)(1u << 24);
        stretch[g].label = g < GAPS - 1 ? label[(state >> 33) % (sizeof label / sizeof *label)]
                                        : trunk[(state >> 33) % (sizeof trunk / sizeof *trunk)];
        stretch[g].other = NULL;
        stretch[g].from_s = from;
        stretch[g].to_s = from + length;
    }
}

/* One draw of a condition. Without t->capture: the chain can't take the drawn posture. */
static swt_status run_draw(trial *t, const condition *c, uint64_t seed)
{
    swt_model_player player = swt_model_player_default(1.78);
    swt_model_swing swing = swt_model_swing_default(c->club);
    swt_model_recording r = trial_recording();
    swt_model_stretch stretch[GAPS];
    swt_error err = SWT_ERROR_INIT;
    size_t n_without = 0;
    swt_status rc;

    while (n_without < 4 && c->without[n_without])
        n_without++;
    swt_model_draw_player(&player, &swing, 7000 + seed);
    swt_model_draw_swing(&swing, 9000 + seed);
    swing.shot = c->shot;
    player.left_handed = c->left_handed;
    r.seed = 100 + seed;
    r.rate_hz = c->rate_hz;
    r.noise_m = c->noise_m;
    r.soft_tissue_m = c->skin_m;
    r.yaw_rad = c->yaw_rad;
    r.up_axis = c->up;
    r.left_handed_axes = c->left_handed_axes;
    if (c->gaps) {
        draw_gaps(stretch, seed);
        r.stretch = stretch;
        r.n_stretches = GAPS;
    }
    rc = trial_run(t, &player, &swing, &r, c->without, n_without, &err);
    if (rc != SWT_OK && t->capture)
        fprintf(stderr, "%s, draw %d: %s\n", c->name, (int)seed, err.msg);
    return rc;
}

static void measure_condition(result *into, const condition *c, uint64_t draws)
{
    *into = (result){0};
    for (uint64_t seed = 1; seed <= draws; seed++) {
        trial t;
        swt_status rc = run_draw(&t, c, seed);
        into->drawn += t.capture != NULL;
        into->refused += t.capture && rc != SWT_OK;
        if (rc == SWT_OK) {
            note_events(into, &t);
            note_values(into, &t);
        }
        trial_done(&t);
    }
}

static const char *judge(double value, double target)
{
    return !isfinite(value) ? "" : value < target ? "met" : "**not met**";
}

static void print_row(const char *name, tally *t, double target)
{
    double p95 = size_at(t, 0.95);

    printf("| %s | %zu | %zu | %+.2f | %.2f | %.2f | %.2f |", name, t->n, t->missed, bias(t),
           size_at(t, 0.5), p95, size_at(t, 1));
    if (target > 0)
        printf(" %g | %s |\n", target, judge(p95, target));
    else
        printf(" | |\n");
}

static double event_target_ms(swt_event event)
{
    return event == SWT_EVENT_TAKEAWAY ? 15 : event == SWT_EVENT_IMPACT ? 1 : 2;
}

static void print_in_full(result *r)
{
    printf("| | n | missed | bias | median | 95th | worst | target (95th) | |\n"
           "|---|---|---|---|---|---|---|---|---|\n");
    for (int k = 0; k < TRIAL_EVENTS; k++) {
        char name[64];
        snprintf(name, sizeof name, "%s, ms", swt_event_title(trial_events[k].ours));
        print_row(name, &r->event[k], event_target_ms(trial_events[k].ours));
    }
    print_row("depth at events, mm", &r->plain[DEPTH], 2);
    print_row("height at events, mm", &r->plain[HEIGHT], 2);
    print_row("angles at events, deg", &r->plain[ANGLE], 0.5);
    print_row("club-head speed at impact, %", &r->plain[SPEED], 0.5);
    printf("\nEvents found that do not occur: %zu. Captures refused: %zu of %zu.\n\n", r->invented,
           r->refused, r->drawn);
}

/* Worst of the events' 95th percentiles, takeaway and impact apart. */
static double other_events(result *r, const char **which)
{
    double worst = nan("");

    *which = "";
    for (int k = 0; k < TRIAL_EVENTS; k++) {
        swt_event e = trial_events[k].ours;
        double p95 = size_at(&r->event[k], 0.95);
        if (e == SWT_EVENT_TAKEAWAY || e == SWT_EVENT_IMPACT || !isfinite(p95) || p95 <= worst)
            continue;
        worst = p95;
        *which = swt_event_title(e);
    }
    return worst;
}

static tally *tally_of(result *r, swt_event event)
{
    for (int k = 0; k < TRIAL_EVENTS; k++)
        if (trial_events[k].ours == event)
            return &r->event[k];
    return NULL;
}

static void print_cell(double value)
{
    if (isfinite(value))
        printf(" %.2f |", value);
    else
        printf(" |");
}

static void print_short(const char *name, result *r)
{
    const char *which;
    double others = other_events(r, &which);
    size_t missed = 0;

    for (int k = 0; k < TRIAL_EVENTS; k++)
        missed += r->event[k].missed;
    printf("| %s | %zu |", name, r->drawn);
    print_cell(size_at(tally_of(r, SWT_EVENT_TAKEAWAY), 0.95));
    print_cell(size_at(tally_of(r, SWT_EVENT_IMPACT), 0.95));
    print_cell(others);
    printf(" %s |", which);
    for (int k = 0; k < PLAIN_TALLIES; k++)
        print_cell(size_at(&r->plain[k], 0.95));
    printf(" %zu | %zu | %zu |\n", missed, r->invented, r->refused);
}

static void print_short_head(void)
{
    printf("| condition | swings | takeaway, ms | impact, ms | other events, ms | which is worst | "
           "depth, mm | height, mm | angles, deg | speed, %% | missed | invented | refused |\n"
           "|---|---|---|---|---|---|---|---|---|---|---|---|---|\n");
}

static void one_factor_at_a_time(condition base, uint64_t draws)
{
    condition rows[20];
    size_t n = 0;
#define ROW(label, change)                                                                         \
    do {                                                                                           \
        condition *c = &rows[n++];                                                                 \
        *c = base;                                                                                 \
        c->name = label;                                                                           \
        change;                                                                                    \
    } while (0)
    ROW("driver", c->club = "driver");
    ROW("wedge", c->club = "wedge");
    ROW("three-quarter shot", c->shot = 0.75);
    ROW("half shot", c->shot = 0.5);
    ROW("half shot, wedge", (c->shot = 0.5, c->club = "wedge"));
    ROW("left-handed", c->left_handed = true);
    ROW("laboratory turned by 140 deg", c->yaw_rad = SWT_RADIANS(140));
    ROW("laboratory with y up, left-handed axes", (c->up = 'y', c->left_handed_axes = true));
    ROW("gaps: three of 60 ms, one of 250 ms", c->gaps = true);
    ROW("markers sway on the skin by 2 mm", c->skin_m = 0.002);
    ROW("markers sway on the skin by 5 mm", c->skin_m = 0.005);
    ROW("markers sway on the skin by 10 mm", c->skin_m = 0.01);
    ROW("no club markers", c->without[0] = "club.");
    ROW("no ball, no target marker", (c->without[0] = "ball", c->without[1] = "target"));
    ROW("no PSIS", c->without[0] = "PSIS");
    ROW("no T8, no PX", (c->without[0] = "T8", c->without[1] = "PX"));
    ROW("no hand markers", (c->without[0] = "MC2", c->without[1] = "MC5"));
    ROW("half shot, wedge, gaps, left-handed, 1 mm",
        (c->shot = 0.5, c->club = "wedge", c->gaps = true, c->left_handed = true,
         c->noise_m = 0.001));
#undef ROW
    print_short_head();
    for (size_t i = 0; i < n; i++) {
        result r;
        measure_condition(&r, &rows[i], draws);
        print_short(rows[i].name, &r);
        forget(&r);
    }
    printf("\n");
}

static void rates_and_noises(condition base, uint64_t draws)
{
    static const double rate_hz[] = {60, 100, 120, 240, 500, 1000};
    static const double noise_m[] = {0, 0.0005, 0.001, 0.002};

    print_short_head();
    for (size_t i = 0; i < sizeof rate_hz / sizeof *rate_hz; i++)
        for (size_t j = 0; j < sizeof noise_m / sizeof *noise_m; j++) {
            condition c = base;
            char name[48];
            result r;
            c.rate_hz = rate_hz[i];
            c.noise_m = noise_m[j];
            snprintf(name, sizeof name, "%g Hz, %g mm", rate_hz[i], 1000 * noise_m[j]);
            c.name = name;
            measure_condition(&r, &c, draws);
            print_short(name, &r);
            forget(&r);
        }
    printf("\n");
}

/* 95th percentile with the best fit of each swing, and with the one fit that is best for all. */
static void print_bound(double (*rms)[BOUND_FITS], size_t n, double shown)
{
    double *each = calloc(n + 1, sizeof *each), one = HUGE_VAL, own;

    if (!each) {
        fprintf(stderr, "out of memory\n");
        exit(1);
    }
    for (size_t i = 0; i < n; i++) {
        each[i] = HUGE_VAL;
        for (int k = 0; k < BOUND_FITS; k++)
            each[i] = fmin(each[i], rms[i][k]);
    }
    own = bound_95th(each, n);
    for (int k = 0; k < BOUND_FITS; k++) {
        for (size_t i = 0; i < n; i++)
            each[i] = rms[i][k];
        one = fmin(one, bound_95th(each, n));
    }
    printf(" %.2f / %.2f |", shown * one, shown * own);
    free(each);
}

/* How well local fits can do; the same draws as the page. */
static void print_bounds(condition base, uint64_t draws)
{
    static const double rate_hz[] = {240, 500, 1000};
    static const double noise_m[] = {0.0005, 0.00025, 0.0001};
    enum { NOISES = 3, DRAWS_MAX = 120 };
    static double rms[NOISES][3][DRAWS_MAX][BOUND_FITS];

    for (size_t i = 0; i < sizeof rate_hz / sizeof *rate_hz; i++) {
        size_t n = 0;
        for (uint64_t seed = 1; seed <= draws && n < DRAWS_MAX; seed++) {
            condition c = base;
            trial t;
            c.rate_hz = rate_hz[i];
            c.noise_m = 0;
            if (run_draw(&t, &c, seed) == SWT_OK) {
                for (size_t j = 0; j < NOISES; j++) {
                    bound_reversal(rms[j][0][n], &t, SWT_EVENT_PELVIS_REVERSAL, noise_m[j]);
                    bound_reversal(rms[j][1][n], &t, SWT_EVENT_THORAX_REVERSAL, noise_m[j]);
                    bound_speed(rms[j][2][n], &t, noise_m[j]);
                }
                n++;
            }
            trial_done(&t);
        }
        for (size_t j = 0; j < NOISES; j++) {
            printf("| %g Hz, %g mm |", rate_hz[i], 1000 * noise_m[j]);
            for (int what = 0; what < 3; what++)
                print_bound(rms[j][what], n, what == 2 ? 100 : 1000);
            printf("\n");
        }
    }
    printf("\n");
}

static void print_on_skin(void)
{
    printf("Skin: each marker on the body moves on it by slow waves of that standard deviation, "
           "independent of\nits neighbours (the club's do not). Published motion of markers "
           "against the bone is 10 to 30 mm on\nthe thigh, up to 15 mm on the shank, and less on "
           "pelvis and trunk (Leardini et al. 2005, Gait &\nPosture 21:212; figures from memory; "
           "walking, not swings). So with skin markers it is skin, not noise,\nthat sets how well "
           "angles, the ledger and the reversals are known; stated uncertainties do not hold "
           "it.\n\n");
}

static void print_reasons(condition base)
{
    printf(
        "Why a target is not met, against the bound:\n"
        "\n"
        "- *Reversals and club-head speed.* The table gives 95th percentiles of local polynomials "
        "(degrees 2\n"
        "  to 4) for these draws: bias from the swing without noise, variance from least squares "
        "with the\n"
        "  noise of all markers of the segment (the bound of Cramer and Rao for that fit; speed: "
        "all five\n"
        "  club markers as one rigid body). First number: the one window and degree that is best "
        "for all\n"
        "  swings. Second: chosen for each swing with the truth in hand, which no estimator has. "
        "Between the\n"
        "  two lies the best that one can do that adapts to the swing. Ours does, without the "
        "truth, "
        "and comes\n"
        "  out near the first (table above): at this noise the targets are out of reach of one fit "
        "for all.\n"
        "\n"
        "| 95th, one fit for all / own fit for each | pelvis reversal, ms | thorax reversal, ms | "
        "club-head speed, %% |\n"
        "|---|---|---|---|\n");
    print_bounds(base, 60);
    printf(
        "Without hand markers the grip stands in for the hands, and without T8 and PX the "
        "shoulders for the\n"
        "thorax: other points and other axes, so those rows show a difference of definition, not "
        "noise. The\n"
        "values are marked as limited there. Without a club, takeaway, club top and impact are "
        "those of the\n"
        "hands, and are marked so.\n"
        "\n");
}

int main(int argc, char **argv)
{
    const condition base = {"7-iron, full, 240 Hz, 0.5 mm",
                            "7-iron",
                            1,
                            240,
                            0.0005,
                            0,
                            0,
                            'z',
                            false,
                            false,
                            false,
                            {NULL}};
    bool quick = argc > 1 && strcmp(argv[1], "--quick") == 0; /* the first table, few draws */
    result r;

    printf(
        "# Accuracy on swings whose truth is known\n\n"
        "Made by `ninja benchmark_accuracy && tests/benchmark_accuracy > docs/accuracy.md` in the\n"
        "build folder; the draws are fixed, so the page is the same on every run.\n\n"
        "The forward model (`datasets/generator/`) draws a player and a swing, places markers, "
        "and\n"
        "adds independent Gaussian noise of the stated standard deviation to each coordinate; it\n"
        "knows the truth from its own chain. The whole analysis runs with its defaults. Errors "
        "are\n"
        "ours less the truth; median, 95th percentile and worst are of their size. Values at an\n"
        "event are held against the truth at the true event, so an error of the event counts in\n"
        "them too. Without soft-tissue motion, unless a row says so: the figures say what marker\n"
        "noise, rate and gaps do.\n\n");
    printf("## Full swing, 7-iron, 240 Hz, noise 0.5 mm\n\n");
    measure_condition(&r, &base, quick ? 40 : 120);
    print_in_full(&r);
    forget(&r);
    if (quick)
        return 0;
    print_reasons(base);
    printf("## The same, one thing changed at a time\n\n95th percentiles; `other events` is the "
           "worst event's. `missed`: events that occur and\nwere not found (without club markers "
           "the shaft's and the travel events must be missing);\n`invented`: found and do not "
           "occur; `refused`: captures in which no swing was found.\n\n");
    one_factor_at_a_time(base, 24);
    print_on_skin();
    printf("## Frame rate and noise\n\n95th percentiles, full swing, 7-iron.\n\n");
    rates_and_noises(base, 16);
    return 0;
}
