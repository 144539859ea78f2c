#include "datasets/generator/truth.h"
#include "datasets/generator/motion.h"

#include <gsl/gsl_eigen.h>
#include <math.h>
#include <stdlib.h>

#define SCAN_S 1e-4          /* 10 kHz */
#define ONSET_SPEED_M_S 0.10 /* takeaway: club-head speed */
#define FINISH_SPEED_M_S 0.5 /* finish: mid-hands speed */

/* The swing on the fine scan. */
typedef struct scan {
    const swt_plan *plan;
    size_t n;
    swt_vec3 *head, *hands;
    double *path; /* length of the club head's way from the first sample */
    swt_vec3 normal;
    double level_m; /* hand height that is looked for */
} scan;

static double scan_time(size_t i)
{
    return (double)i * SCAN_S;
}

static size_t scan_index(const scan *s, double t)
{
    size_t i = t > 0 ? (size_t)(t / SCAN_S) : 0;
    return i < s->n - 1 ? i : s->n - 2;
}

static swt_status make_scan(scan *s, const swt_plan *plan, swt_error *err)
{
    *s = (scan){.plan = plan, .n = (size_t)(plan->duration_s / SCAN_S) + 2};
    s->head = malloc(s->n * sizeof *s->head);
    s->hands = malloc(s->n * sizeof *s->hands);
    s->path = malloc(s->n * sizeof *s->path);
    if (!s->head || !s->hands || !s->path)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; i < s->n; i++) {
        chain_pose o;
        swt_plan_pose(&o, plan, scan_time(i));
        s->head[i] = o.club_head;
        s->hands[i] = swt_mid(o.hand[LEAD], o.hand[TRAIL]);
        s->path[i] = i ? s->path[i - 1] + swt_norm(swt_sub(s->head[i], s->head[i - 1])) : 0;
    }
    return SWT_OK;
}

static void free_scan(scan *s)
{
    free(s->head);
    free(s->hands);
    free(s->path);
}

/* --- functions of time --- */

static double head_speed(const scan *s, double t)
{
    swt_motion m;
    swt_motion_at(&m, s->plan, t);
    return swt_norm(m.head_v);
}

static double hand_speed(const scan *s, double t)
{
    swt_motion m;
    swt_motion_at(&m, s->plan, t);
    return swt_norm(m.hands_v);
}

static double above_onset(const scan *s, double t)
{
    return head_speed(s, t) - ONSET_SPEED_M_S;
}

static double above_finish(const scan *s, double t)
{
    return hand_speed(s, t) - FINISH_SPEED_M_S;
}

static double hand_pull(const scan *s, double t)
{
    const double h = 1e-4;
    return hand_speed(s, t + h) - hand_speed(s, t - h);
}

static double shaft(const scan *s, double t)
{
    chain_pose o;
    swt_plan_pose(&o, s->plan, t);
    return o.club_c.z;
}

static double lead_arm(const scan *s, double t)
{
    chain_pose o;
    swt_plan_pose(&o, s->plan, t);
    return o.wrist[LEAD].z - o.shoulder[LEAD].z;
}

static double before_ball(const scan *s, double t)
{
    chain_pose o;
    swt_plan_pose(&o, s->plan, t);
    return o.club_head.x - s->plan->head_at_address.x;
}

static double pelvis_rate(const scan *s, double t)
{
    swt_motion m;
    swt_motion_at(&m, s->plan, t);
    return swt_dot(m.pelvis_w, swt_mat3_column(&m.pose.pelvis, 1));
}

static double thorax_rate(const scan *s, double t)
{
    swt_motion m;
    swt_motion_at(&m, s->plan, t);
    return swt_dot(m.thorax_w, swt_mat3_column(&m.pose.thorax, 1));
}

static double club_rate(const scan *s, double t)
{
    swt_motion m;
    swt_motion_at(&m, s->plan, t);
    return swt_dot(m.club_w, s->normal);
}

/* --- search --- */

static double refine(const scan *s, double (*f)(const scan *, double), double low, double high)
{
    double at_low = f(s, low);
    for (int i = 0; i < 60 && high - low > 1e-12; i++) {
        double middle = 0.5 * (low + high), at = f(s, middle);
        if ((at < 0) == (at_low < 0))
            low = middle;
        else
            high = middle;
    }
    return 0.5 * (low + high);
}

/* First crossing in the wanted direction (+1 rising, -1 falling) between two instants, scanned
   every `step`; NaN when there is none. */
static double first_crossing(const scan *s, double (*f)(const scan *, double), double from,
                             double to, int direction, double step)
{
    double before = direction * f(s, from);
    for (double t = from; t < to; t += step) {
        double next = fmin(t + step, to), after = direction * f(s, next);
        if (before < 0 && after >= 0)
            return refine(s, f, t, next);
        before = after;
    }
    return nan("");
}

static double last_crossing(const scan *s, double (*f)(const scan *, double), double from,
                            double to, int direction, double step)
{
    double after = direction * f(s, to);
    for (double t = to; t > from; t -= step) {
        double last = fmax(t - step, from), before = direction * f(s, last);
        if (before < 0 && after >= 0)
            return refine(s, f, last, t);
        after = before;
    }
    return nan("");
}

static double fastest(double *speed, const scan *s, double (*f)(const scan *, double), double from,
                      double to)
{
    double best = from, greatest = -1, low, high;

    for (double t = from; t <= to; t += 0.001) {
        double v = f(s, t);
        if (v > greatest) {
            greatest = v;
            best = t;
        }
    }
    low = fmax(best - 0.001, from);
    high = fmin(best + 0.001, to);
    for (int i = 0; i < 40; i++) { /* thirds: one maximum within 2 ms */
        double a = low + (high - low) / 3, b = high - (high - low) / 3;
        if (f(s, a) < f(s, b))
            low = a;
        else
            high = b;
    }
    if (speed) /* contact may end a rise at once: look on both sides */
        *speed = fmax(f(s, low), fmax(f(s, 0.5 * (low + high)), f(s, high)));
    return 0.5 * (low + high);
}

/* --- events --- */

static double travelled(const scan *s, double t)
{
    chain_pose o;
    size_t i = scan_index(s, t);
    swt_plan_pose(&o, s->plan, t);
    return s->path[i] + swt_norm(swt_sub(o.club_head, s->head[i]));
}

static double travel_time(const scan *s, double from, double length, double to)
{
    double goal = travelled(s, from) + length, low = from, high = to;

    if (travelled(s, to) < goal)
        return nan("");
    for (int i = 0; i < 60; i++) {
        double middle = 0.5 * (low + high);
        if (travelled(s, middle) < goal)
            low = middle;
        else
            high = middle;
    }
    return 0.5 * (low + high);
}

/* Least-squares plane of the club head between two instants (REFERENCES B6). */
static swt_status fit_plane(swt_model_truth *truth, scan *s, double from, double to, swt_error *err)
{
    gsl_matrix *a = gsl_matrix_calloc(3, 3), *vectors = gsl_matrix_alloc(3, 3);
    gsl_vector *values = gsl_vector_alloc(3);
    gsl_eigen_symmv_workspace *work = gsl_eigen_symmv_alloc(3);
    size_t first = scan_index(s, from) + 1, last = scan_index(s, to);
    double n = (double)(last - first + 1);
    swt_vec3 mean = {0, 0, 0}, v;

    if (!a || !vectors || !values || !work) {
        gsl_matrix_free(a);
        gsl_matrix_free(vectors);
        gsl_vector_free(values);
        if (work)
            gsl_eigen_symmv_free(work);
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    }
    for (size_t i = first; i <= last; i++)
        mean = swt_add(mean, swt_scale(s->head[i], 1 / n));
    for (size_t i = first; i <= last; i++) {
        swt_vec3 d = swt_sub(s->head[i], mean);
        double c[3] = {d.x, d.y, d.z};
        for (size_t j = 0; j < 3; j++)
            for (size_t k = 0; k < 3; k++)
                gsl_matrix_set(a, j, k, gsl_matrix_get(a, j, k) + c[j] * c[k] / n);
    }
    gsl_eigen_symmv(a, values, vectors, work);
    gsl_eigen_symmv_sort(values, vectors, GSL_EIGEN_SORT_VAL_ASC);
    v = swt_vec3_make(gsl_matrix_get(vectors, 0, 0), gsl_matrix_get(vectors, 1, 0),
                      gsl_matrix_get(vectors, 2, 0));
    s->normal = v.z < 0 ? swt_scale(v, -1) : v;
    truth->plane_rms_m = sqrt(fmax(gsl_vector_get(values, 0), 0));
    truth->plane_slope_rad = acos(s->normal.z);
    /* level line in the plane, pointing along the target line */
    v = swt_cross(s->normal, swt_vec3_make(0, 0, 1));
    truth->plane_direction_rad = atan2(v.x < 0 ? -v.y : v.y, fabs(v.x));
    gsl_matrix_free(a);
    gsl_matrix_free(vectors);
    gsl_vector_free(values);
    gsl_eigen_symmv_free(work);
    return SWT_OK;
}

static swt_status find_events(swt_model_truth *truth, scan *s, swt_error *err)
{
    const double step = 0.001, *at = s->plan->time_s, top = at[SWT_AT_TOP];
    double *e = truth->event_s, peak, impact;
    swt_status rc;

    e[SWT_TRUE_ONSET] = s->plan->onset_s;
    e[SWT_TRUE_IMPACT] = impact =
        last_crossing(s, before_ball, top, at[SWT_AT_IMPACT] + 0.005, 1, SCAN_S);
    e[SWT_TRUE_SHAFT_DOWN] = last_crossing(s, shaft, top, impact, -1, step);
    e[SWT_TRUE_SHAFT_THROUGH] = first_crossing(s, shaft, impact, s->plan->duration_s, 1, step);
    if (isnan(e[SWT_TRUE_SHAFT_DOWN]) || isnan(e[SWT_TRUE_SHAFT_THROUGH]))
        return swt_fail(err, SWT_ENUM, "the shaft is never level near impact: change the postures");
    rc = fit_plane(truth, s, e[SWT_TRUE_SHAFT_DOWN], e[SWT_TRUE_SHAFT_THROUGH], err);
    if (rc != SWT_OK)
        return rc;
    if (club_rate(s, impact) < 0) /* the sense of the downswing is positive */
        s->normal = swt_scale(s->normal, -1);
    e[SWT_TRUE_CLUB_TOP] = last_crossing(s, club_rate, e[SWT_TRUE_ONSET], impact, 1, step);
    peak = fastest(NULL, s, head_speed, e[SWT_TRUE_ONSET], e[SWT_TRUE_CLUB_TOP]);
    e[SWT_TRUE_TAKEAWAY] = last_crossing(s, above_onset, 0, peak, 1, step);
    e[SWT_TRUE_TRAVEL_061] = travel_time(s, e[SWT_TRUE_TAKEAWAY], 0.61, e[SWT_TRUE_CLUB_TOP]);
    e[SWT_TRUE_TRAVEL_183] = travel_time(s, e[SWT_TRUE_TAKEAWAY], 1.83, e[SWT_TRUE_CLUB_TOP]);
    e[SWT_TRUE_SHAFT_UP] =
        first_crossing(s, shaft, e[SWT_TRUE_TAKEAWAY], e[SWT_TRUE_CLUB_TOP], 1, step);
    e[SWT_TRUE_ARM_UP] =
        first_crossing(s, lead_arm, e[SWT_TRUE_TAKEAWAY], e[SWT_TRUE_CLUB_TOP], 1, step);
    e[SWT_TRUE_ARM_DOWN] = last_crossing(s, lead_arm, e[SWT_TRUE_TAKEAWAY], impact, -1, step);
    e[SWT_TRUE_PELVIS_REVERSAL] = last_crossing(s, pelvis_rate, 0, impact, 1, step);
    e[SWT_TRUE_THORAX_REVERSAL] = last_crossing(s, thorax_rate, 0, impact, 1, step);
    peak = fastest(NULL, s, hand_speed, e[SWT_TRUE_CLUB_TOP], impact);
    e[SWT_TRUE_HANDS_TOP] =
        last_crossing(s, hand_pull, e[SWT_TRUE_TAKEAWAY], peak - 0.002, 1, step);
    e[SWT_TRUE_FINISH] = first_crossing(s, above_finish, impact, s->plan->duration_s, -1, step);
    return SWT_OK;
}

/* --- scalars --- */

static double arm_rate(const scan *s, double t)
{
    swt_motion m;
    swt_motion_at(&m, s->plan, t);
    return swt_norm(m.arm_w);
}

static double club_turning(const scan *s, double t)
{
    swt_motion m;
    swt_motion_at(&m, s->plan, t);
    return swt_norm(m.club_w);
}

static double hand_height_above(const scan *s, double t)
{
    chain_pose o;
    swt_plan_pose(&o, s->plan, t);
    return swt_mid(o.hand[LEAD], o.hand[TRAIL]).z - s->level_m;
}

static double pelvis_centre_depth(const scan *s, double t)
{
    chain_pose o;
    swt_plan_pose(&o, s->plan, t);
    return swt_chain_point(o.pelvis_o, &o.pelvis, -0.5 * s->plan->base.player.pelvis_depth_m, 0, 0)
        .y;
}

/* Hand depth on the way down less on the way up, at the height of lead arm level. */
static void find_shift(swt_model_truth *truth, scan *s)
{
    const double *e = truth->event_s;
    chain_pose o;
    swt_vec3 up;
    double down;

    truth->transition_shift_m = nan("");
    if (isnan(e[SWT_TRUE_ARM_UP]))
        return;
    swt_plan_pose(&o, s->plan, e[SWT_TRUE_ARM_UP]);
    up = swt_mid(o.hand[LEAD], o.hand[TRAIL]);
    s->level_m = up.z;
    down =
        last_crossing(s, hand_height_above, e[SWT_TRUE_HANDS_TOP], e[SWT_TRUE_IMPACT], -1, 0.001);
    if (isnan(down))
        return;
    swt_plan_pose(&o, s->plan, down);
    truth->transition_shift_m = swt_mid(o.hand[LEAD], o.hand[TRAIL]).y - up.y;
}

static void find_scalars(swt_model_truth *truth, scan *s)
{
    static double (*const rate[4])(const scan *, double) = {pelvis_rate, thorax_rate, arm_rate,
                                                            club_turning};
    const double *e = truth->event_s, impact = e[SWT_TRUE_IMPACT], top = e[SWT_TRUE_CLUB_TOP];

    truth->backswing_s = top - e[SWT_TRUE_TAKEAWAY];
    truth->downswing_s = impact - top;
    truth->tempo_ratio = truth->backswing_s / truth->downswing_s;
    truth->half_time_fraction =
        (e[SWT_TRUE_ARM_UP] - e[SWT_TRUE_TAKEAWAY]) / (impact - e[SWT_TRUE_TAKEAWAY]);
    fastest(&truth->peak_head_speed_m_s, s, head_speed, top, impact + 0.1);
    fastest(&truth->peak_hand_speed_m_s, s, hand_speed, top, impact);
    truth->impact_head_speed_m_s = head_speed(s, impact);
    for (int i = 0; i < 4; i++)
        truth->peak_s[i] = fastest(&truth->peak_rad_s[i], s, rate[i], top, impact + 0.1);
    truth->pelvis_towards_ball_m =
        pelvis_centre_depth(s, impact) - pelvis_centre_depth(s, e[SWT_TRUE_ONSET]);
    find_shift(truth, s);
    for (double t = 0; t < s->plan->duration_s; t += 0.005) {
        chain_pose o;
        swt_plan_pose(&o, s->plan, t);
        truth->greatest_girdle_m = fmax(truth->greatest_girdle_m, o.girdle_m[TRAIL]);
    }
}

static void set_reasons(swt_model_truth *truth)
{
    for (int i = 0; i < SWT_TRUE_EVENTS; i++)
        truth->event_reason[i] = isfinite(truth->event_s[i]) ? "" : "not reached";
}

static swt_status fill_series(swt_model_truth *truth, const scan *s, const swt_ledger *ledger,
                              double first_s, double rate_hz, swt_error *err)
{
    double v[SWT_TRUE_SERIES], takeaway = truth->event_s[SWT_TRUE_TAKEAWAY];
    double start = travelled(s, takeaway);

    for (int k = 0; k < SWT_TRUE_SERIES; k++)
        if (!(truth->series[k] = malloc((truth->n_frames + 1) * sizeof(double))))
            return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; i < truth->n_frames; i++) {
        double t = first_s + (double)i / rate_hz;
        swt_motion_values(v, s->plan, ledger, t);
        v[SWT_TRUE_PATH_LENGTH] = t >= takeaway ? travelled(s, t) - start : nan("");
        for (int k = 0; k < SWT_TRUE_SERIES; k++)
            truth->series[k][i] = v[k];
    }
    for (int i = 0; i < SWT_TRUE_EVENTS; i++) {
        double t = truth->event_s[i];
        swt_motion_values(truth->at_event[i], s->plan, ledger, t);
        truth->at_event[i][SWT_TRUE_PATH_LENGTH] =
            t >= takeaway ? travelled(s, t) - start : nan("");
    }
    return SWT_OK;
}

swt_status swt_truth_make(swt_model_truth **out, const swt_plan *plan, double first_s,
                          double rate_hz, size_t n_frames, swt_error *err)
{
    swt_model_truth *truth = calloc(1, sizeof *truth);
    const swt_model_player *p = &plan->base.player;
    swt_ledger ledger = {0};
    scan s = {0};
    swt_status rc;

    *out = NULL;
    if (!truth)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    truth->n_frames = n_frames;
    truth->shoulder_drop_m = p->shoulder_drop_m;
    truth->marker_radius_m = p->marker_radius_m;
    truth->heel_line_m = 0.5 * p->foot_m * (cos(p->lead_flare_rad) + cos(p->trail_flare_rad));
    if ((rc = make_scan(&s, plan, err)) != SWT_OK || (rc = find_events(truth, &s, err)) != SWT_OK)
        goto done;
    find_scalars(truth, &s);
    set_reasons(truth);
    rc = swt_ledger_make(&ledger, plan, truth->event_s[SWT_TRUE_TAKEAWAY], plan->duration_s, err);
    if (rc != SWT_OK || (rc = fill_series(truth, &s, &ledger, first_s, rate_hz, err)) != SWT_OK)
        goto done;
    for (int i = 0; i < SWT_TRUE_EVENTS; i++) /* to the capture's own clock */
        truth->event_s[i] -= first_s;
    for (int i = 0; i < 4; i++)
        truth->peak_s[i] -= first_s;
    *out = truth;
    truth = NULL;
done:
    swt_model_truth_free(truth);
    swt_ledger_reset(&ledger);
    free_scan(&s);
    return rc;
}

void swt_model_truth_free(swt_model_truth *truth)
{
    if (!truth)
        return;
    for (int k = 0; k < SWT_TRUE_SERIES; k++)
        free(truth->series[k]);
    free(truth);
}
