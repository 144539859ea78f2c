#include "datasets/generator/markers.h"
#include "datasets/generator/plan.h"
#include "datasets/generator/random.h"
#include "datasets/generator/truth.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define BALL_SEEN_S 0.040
#define LAUNCH_RAD (12 * SWT_PI / 180)
#define SKIN_WAVES 3

swt_model_recording swt_model_recording_default(void)
{
    return (swt_model_recording){.seed = 1,
                                 .rate_hz = 240,
                                 .up_axis = 'z',
                                 .unit = "mm",
                                 .clusters = true,
                                 .ball = true,
                                 .ball_speed_m_s = 65};
}

/* --- laboratory --- */

static swt_vec3 to_laboratory(swt_vec3 p, const swt_model_recording *r, bool left_handed)
{
    swt_mat3 yaw = swt_mat3_about_axis(2, r->yaw_rad);
    double turn;

    if (left_handed)
        p.x = -p.x;
    p = swt_add(swt_rotate(&yaw, p), swt_vec3_make(r->origin_m[0], r->origin_m[1], r->origin_m[2]));
    if (r->left_handed_axes)
        p.y = -p.y;
    turn = p.x;
    if (r->up_axis == 'y')
        return swt_vec3_make(p.x, p.z, -p.y);
    if (r->up_axis == 'x')
        return swt_vec3_make(p.z, turn, p.y);
    return p;
}

/* --- soft tissue: a few slow waves for each coordinate of each skin marker --- */

typedef struct waves {
    double size[3][SKIN_WAVES], rad_s[3][SKIN_WAVES], phase[3][SKIN_WAVES];
} waves;

static void draw_waves(waves *w, double sd_m, swt_random *random)
{
    for (int c = 0; c < 3; c++)
        for (int k = 0; k < SKIN_WAVES; k++) {
            w->size[c][k] = sd_m * sqrt(2.0 / SKIN_WAVES);
            w->rad_s[c][k] = 2 * SWT_PI * (0.5 + 4.5 * swt_random_uniform(random));
            w->phase[c][k] = 2 * SWT_PI * swt_random_uniform(random);
        }
}

static swt_vec3 sway(const waves *w, double t)
{
    double v[3] = {0, 0, 0};
    for (int c = 0; c < 3; c++)
        for (int k = 0; k < SKIN_WAVES; k++)
            v[c] += w->size[c][k] * sin(w->rad_s[c][k] * t + w->phase[c][k]);
    return swt_vec3_make(v[0], v[1], v[2]);
}

/* --- ball --- */

static swt_vec3 ball_at_rest(const swt_plan *plan)
{
    swt_vec3 head = plan->head_at_address;
    return swt_vec3_make(head.x + 0.042, head.y - 0.045, head.z + 0.005);
}

static swt_vec3 ball_at(const swt_plan *plan, const swt_model_recording *r, double t)
{
    double since = t - plan->time_s[SWT_AT_IMPACT], v = r->ball_speed_m_s;
    swt_vec3 rest = ball_at_rest(plan);

    if (since <= 0)
        return rest;
    if (since > BALL_SEEN_S)
        return swt_vec3_nan();
    return swt_add(rest,
                   swt_vec3_make(v * since * cos(LAUNCH_RAD), 0, v * since * sin(LAUNCH_RAD)));
}

/* --- disturbances --- */

static void find_frames(size_t *from, size_t *to, const swt_capture *c, const swt_model_stretch *s)
{
    double first = ceil(s->from_s * c->rate_hz), last = floor(s->to_s * c->rate_hz);

    *from = first > 0 ? (size_t)fmin(first, (double)c->n_frames) : 0;
    *to = last >= 0 ? (size_t)fmin(last + 1, (double)c->n_frames) : 0;
}

static swt_status disturb(swt_capture *c, const swt_model_stretch *s, swt_error *err)
{
    long a = s->label ? swt_capture_find(c, s->label) : -1;
    long b = s->other ? swt_capture_find(c, s->other) : -1;
    size_t from, to;

    if (a < 0 || (s->other && b < 0))
        return swt_fail(err, SWT_EARG, "a stretch names the marker '%s', which the set lacks",
                        a < 0 ? (s->label ? s->label : "(none)") : s->other);
    find_frames(&from, &to, c, s);
    for (size_t f = from; f < to; f++)
        for (size_t k = 0; k < 3; k++) {
            double *pa = &c->xyz[(f * c->n_points + (size_t)a) * 3 + k];
            if (s->other) {
                double *pb = &c->xyz[(f * c->n_points + (size_t)b) * 3 + k], kept = *pa;
                *pa = *pb;
                *pb = kept;
            } else {
                *pa = nan("");
            }
        }
    return SWT_OK;
}

static void fill_frames(swt_capture *c, const swt_plan *plan, const swt_marker_set *set,
                        const waves *skin, const swt_model_recording *r, double per_metre)
{
    swt_random noise = {r->seed ^ 0x5bd1e995u};
    swt_vec3 target = swt_add(ball_at_rest(plan), swt_vec3_make(3, 0, 0));

    for (size_t f = 0; f < c->n_frames; f++) {
        double t = r->clip_start_s + (double)f / r->rate_hz;
        swt_vec3 ball = ball_at(plan, r, t);
        chain_pose o;
        swt_plan_pose(&o, plan, t);
        for (size_t m = 0; m < set->n; m++) {
            double *xyz = &c->xyz[(f * c->n_points + m) * 3];
            swt_vec3 p = swt_marker_at(set, m, &plan->base, &o, ball, target);
            if (set->on_skin[m] && r->soft_tissue_m > 0)
                p = swt_add(p, sway(&skin[m], t));
            p = to_laboratory(p, r, plan->base.player.left_handed);
            xyz[0] = p.x;
            xyz[1] = p.y;
            xyz[2] = p.z;
            for (int k = 0; k < 3; k++) {
                if (r->noise_m > 0)
                    xyz[k] += r->noise_m * swt_random_normal(&noise);
                xyz[k] *= per_metre;
                if (r->single_precision)
                    xyz[k] = (double)(float)xyz[k];
            }
        }
    }
}

static swt_status check(const swt_model_player *p, const swt_model_swing *s,
                        const swt_model_recording *r, swt_error *err)
{
    if (!(r->rate_hz > 0 && r->rate_hz <= 10000))
        return swt_fail(err, SWT_EARG, "recording rate %g Hz: above 0, at most 10000", r->rate_hz);
    if (!r->unit || swt_metres_per_unit(r->unit) == 0)
        return swt_fail(err, SWT_EARG, "length unit '%s' is not known", r->unit ? r->unit : "");
    if (r->up_axis != 'x' && r->up_axis != 'y' && r->up_axis != 'z')
        return swt_fail(err, SWT_EARG, "up axis must be x, y or z");
    if (!(p->height_m >= 1.0 && p->height_m <= 2.5))
        return swt_fail(err, SWT_EARG, "body height %g m: from 1.0 to 2.5", p->height_m);
    if (!(s->shot >= 0.5 && s->shot <= 1))
        return swt_fail(err, SWT_EARG, "shot length %g: from 0.5 (half) to 1 (full)", s->shot);
    if (!(s->impact_loss >= 0 && s->impact_loss < 1))
        return swt_fail(err, SWT_EARG, "loss at impact %g: from 0 to below 1", s->impact_loss);
    if (!(r->noise_m >= 0) || !(r->soft_tissue_m >= 0) || !(r->clip_start_s >= 0) ||
        !(r->clip_end_s >= 0))
        return swt_fail(err, SWT_EARG, "noise and clipping cannot be negative");
    return SWT_OK;
}

static swt_status describe(swt_capture *c, const swt_marker_set *set, const swt_model_recording *r,
                           swt_error *err)
{
    char up[3] = {'+', (char)(r->up_axis - 'x' + 'X'), '\0'};
    swt_status rc = swt_string_set(&c->unit, r->unit, err);

    if (rc == SWT_OK)
        rc = swt_string_set(&c->format, "forward model", err);
    if (rc == SWT_OK)
        rc = swt_string_set(&c->up_axis, up, err);
    for (size_t m = 0; m < set->n && rc == SWT_OK; m++)
        rc = swt_string_set(&c->label[m], set->label[m], err);
    c->rate_hz = r->rate_hz;
    return rc;
}

/* Noise of 5 mV, and from contact on a ring of 1 V at 1.2 kHz that dies in 8 ms. */
static swt_status add_sound(swt_capture *c, double contact_s, const swt_model_recording *r,
                            swt_error *err)
{
    const double noise_v = 0.005, ring_hz = 1200, dies_s = 0.008, pi = 3.14159265358979323846;
    swt_random random = {r->seed + 77};
    size_t n = c->n_frames * r->sound_per_frame;
    double rate_hz = r->rate_hz * (double)r->sound_per_frame;
    swt_status rc;

    if (n == 0)
        return SWT_OK;
    c->analog = calloc(1, sizeof *c->analog);
    if (!c->analog)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    c->n_analog = 1;
    c->analog_per_frame = r->sound_per_frame;
    c->analog->sample = malloc(n * sizeof *c->analog->sample);
    if (!c->analog->sample)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; i < n; i++) {
        double since = (double)i / rate_hz - contact_s;
        double ring = since >= 0 ? exp(-since / dies_s) * cos(2 * pi * ring_hz * since) : 0;
        c->analog->sample[i] = (double)(float)(ring + noise_v * swt_random_normal(&random));
    }
    rc = swt_string_set(&c->analog->label, "Sound", err);
    return rc == SWT_OK ? swt_string_set(&c->analog->unit, "V", err) : rc;
}

swt_status swt_model_capture(swt_capture **capture, swt_model_truth **truth,
                             const swt_model_player *player, const swt_model_swing *swing,
                             const swt_model_recording *r, swt_error *err)
{
    swt_plan plan;
    swt_marker_set set;
    swt_model_truth *known = NULL;
    waves *skin = NULL;
    swt_random random = {r->seed};
    swt_capture *c = NULL;
    double length;
    swt_status rc;

    *capture = NULL;
    if (truth)
        *truth = NULL;
    if ((rc = check(player, swing, r, err)) != SWT_OK ||
        (rc = swt_plan_make(&plan, player, swing, err)) != SWT_OK)
        return rc;
    length = plan.duration_s - r->clip_start_s - r->clip_end_s;
    if (!(length > 0))
        return swt_fail(err, SWT_EARG, "clipping %g s and %g s leaves nothing of %.2f s",
                        r->clip_start_s, r->clip_end_s, plan.duration_s);
    swt_markers_choose(&set, player->left_handed, r);
    c = swt_capture_new((size_t)(length * r->rate_hz) + 1, set.n);
    skin = calloc(set.n, sizeof *skin);
    if (!c || !skin) {
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
        goto done;
    }
    for (size_t m = 0; m < set.n; m++)
        draw_waves(&skin[m], r->soft_tissue_m, &random);
    if ((rc = describe(c, &set, r, err)) != SWT_OK)
        goto done;
    fill_frames(c, &plan, &set, skin, r, 1 / swt_metres_per_unit(r->unit));
    for (size_t i = 0; i < r->n_stretches && rc == SWT_OK; i++)
        rc = disturb(c, &r->stretch[i], err);
    if (rc == SWT_OK && (truth || r->sound_per_frame > 0))
        rc = swt_truth_make(&known, &plan, r->clip_start_s, r->rate_hz, c->n_frames, err);
    if (rc == SWT_OK && r->sound_per_frame > 0)
        rc = add_sound(c, known->event_s[SWT_TRUE_IMPACT], r, err);
    if (rc != SWT_OK)
        goto done;
    if (truth) {
        known->ball_along_m = ball_at_rest(&plan).x;
        known->ball_depth_m = ball_at_rest(&plan).y;
        *truth = known;
        known = NULL;
    }
    *capture = c;
    c = NULL;
done:
    swt_capture_free(c);
    swt_model_truth_free(known);
    free(skin);
    return rc;
}
