/* What the replay draws from: stick figures in mm as 16-bit integers, events, the group's tube. */
#include "comparison/group_median.h"
#include "io/report/hands.h"
#include "io/report/replay.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { N = SWT_CURVE_SAMPLES };

#define MM 1000.0
#define RATE_MOST_HZ 121.0 /* frames a second that are kept: a display shows 60 */
#define BEFORE_S 0.15      /* of stillness before takeaway */
#define AFTER_S 0.15
#define SHOULDER_DROP_M 0.040 /* as in a marker map that does not say: for a picture */

swt_status replay_read_stick(double **stick, size_t *n_frames, const swt_study *study, size_t row,
                             swt_error *err)
{
    swt_landmark_set *set = NULL;
    swt_status rc = swt_study_read_body(&set, study, row, err);

    *stick = NULL;
    *n_frames = 0;
    if (rc == SWT_EARG) /* no frames or no landmarks */
        return SWT_OK;
    if (rc != SWT_OK)
        return rc;
    *stick = calloc(set->n_frames * REPLAY_WIDTH + 1, sizeof **stick);
    rc = *stick ? swt_stick_build(*stick, set, SHOULDER_DROP_M, err)
                : swt_fail(err, SWT_ENOMEM, "out of memory");
    if (rc == SWT_OK) {
        *n_frames = set->n_frames;
    } else {
        free(*stick);
        *stick = NULL;
    }
    swt_landmark_set_free(set);
    return rc;
}

/* ---- the group ---- */

/* One swing at the registered samples: N * REPLAY_WIDTH. */
static swt_status read_registered(double *out, const swt_study *study, size_t row, swt_error *err)
{
    double takeaway = swt_study_event_frame(study, SWT_EVENT_TAKEAWAY, row), time[N], *stick;
    size_t n_frames;
    swt_status rc = swt_study_read_curve_times(study, &row, 1, time, err);

    if (rc == SWT_OK)
        rc = replay_read_stick(&stick, &n_frames, study, row, err);
    if (rc != SWT_OK)
        return rc;
    for (size_t i = 0; i < N; i++)
        swt_stick_at(out + i * REPLAY_WIDTH, stick, n_frames,
                     takeaway + time[i] * study->swing[row].rate_hz);
    free(stick);
    return SWT_OK;
}

/* Median over a player's swings; a table of all swings would not fit for a large group. */
static swt_status player_body(double *out, const swt_study *study, const swt_assessment *a,
                              int player, swt_error *err)
{
    size_t n = 0, k = 0;
    double *swings;
    int *same;
    swt_status rc = SWT_OK;

    for (size_t i = 0; i < a->n_reference; i++)
        n += a->reference_player[i] == player;
    swings = calloc(n * N * REPLAY_WIDTH + 1, sizeof *swings);
    same = calloc(n + 1, sizeof *same);
    if (!swings || !same)
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; rc == SWT_OK && i < a->n_reference; i++)
        if (a->reference_player[i] == player)
            rc = read_registered(swings + k++ * N * REPLAY_WIDTH, study, a->reference[i], err);
    if (rc == SWT_OK)
        rc = swt_group_median(out, swings, same, n, (size_t)N * REPLAY_WIDTH, err);
    free(swings);
    free(same);
    return rc;
}

static swt_status group_body(double **out, const swt_study *study, const swt_assessment *a,
                             swt_error *err)
{
    size_t n = a->n_reference_players, width = (size_t)N * REPLAY_WIDTH;
    double *players = calloc(n * width + 1, sizeof *players);
    int *number = calloc(n + 1, sizeof *number);
    swt_status rc = SWT_OK;

    *out = calloc(width, sizeof **out);
    if (!players || !number || !*out)
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t p = 0; rc == SWT_OK && p < n; p++) {
        number[p] = (int)p;
        rc = player_body(players + p * width, study, a, (int)p, err);
    }
    if (rc == SWT_OK)
        rc = swt_group_median(*out, players, number, n, width, err);
    free(players);
    free(number);
    return rc;
}

/* Along and height: with the two tubes of the assessment all of the covariance in space. */
static swt_status front_tube(swt_path_corridor **out, const swt_study *study,
                             const swt_assessment *a, swt_error *err)
{
    size_t n = a->n_reference;
    double *along = calloc(n * N, sizeof *along), *height = calloc(n * N, sizeof *height);
    swt_status rc = SWT_OK;

    if (!along || !height)
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
    if (rc == SWT_OK)
        rc = swt_study_read_curves(study, SWT_SERIES_HAND_ALONG, a->reference, n, along, err);
    if (rc == SWT_OK)
        rc = swt_study_read_curves(study, SWT_SERIES_HAND_HEIGHT, a->reference, n, height, err);
    if (rc == SWT_OK)
        rc = swt_path_corridor_build(out, along, height, a->reference_player, n, N,
                                     &a->options.corridor, err);
    free(along);
    free(height);
    return rc;
}

swt_status replay_group_build(replay_group *group, const swt_study *study, const swt_assessment *a,
                              swt_error *err)
{
    swt_status rc;

    *group = (replay_group){0};
    if (a->n_reference == 0)
        return SWT_OK;
    rc = group_body(&group->body, study, a, err);
    if (rc == SWT_OK)
        rc = front_tube(&group->front, study, a, err);
    if (rc != SWT_OK)
        replay_group_reset(group);
    return rc;
}

void replay_group_reset(replay_group *group)
{
    free(group->body);
    swt_path_corridor_free(group->front);
    *group = (replay_group){0};
}

/* ---- JSON ---- */

static void add_number(swt_text *page, double value, const char *format)
{
    if (isfinite(value))
        swt_text_add(page, format, value);
    else
        swt_text_add(page, "null");
}

static void add_place(swt_text *page, swt_vec3 at, double scale, const char *format)
{
    if (!swt_vec3_is_finite(at)) {
        swt_text_add(page, "null");
        return;
    }
    swt_text_add(page, "[");
    add_number(page, scale * at.x, format);
    swt_text_add(page, ",");
    add_number(page, scale * at.y, format);
    swt_text_add(page, ",");
    add_number(page, scale * at.z, format);
    swt_text_add(page, "]");
}

/* n values in metres, every `stride`-th row of REPLAY_WIDTH, as base64 of little-endian 16-bit mm.
 */
static swt_status add_frames(swt_text *page, const double *frame, size_t n, size_t stride,
                             swt_error *err)
{
    enum { ABSENT = INT16_MIN };
    size_t size = 2 * n * REPLAY_WIDTH, at = 0;
    uint8_t *bytes = malloc(size + 1);

    if (!bytes)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    for (size_t i = 0; i < n; i++)
        for (size_t k = 0; k < REPLAY_WIDTH; k++) {
            double mm = round(MM * frame[i * stride * REPLAY_WIDTH + k]);
            uint16_t value = (uint16_t)(int16_t)(fabs(mm) < INT16_MAX ? (int16_t)mm : ABSENT);
            bytes[at++] = (uint8_t)(value & 0xff);
            bytes[at++] = (uint8_t)(value >> 8);
        }
    swt_text_add(page, "\"");
    swt_text_put_base64(page, bytes, size);
    swt_text_add(page, "\"");
    free(bytes);
    return SWT_OK;
}

/* Frame of an event, or `otherwise` where it is absent. */
static double frame_of(const swt_study *study, swt_event event, size_t row, double otherwise)
{
    double frame = swt_study_event_frame(study, event, row);

    return isfinite(frame) ? frame : otherwise;
}

static swt_status add_swing(swt_text *page, const swt_study *study, size_t row, swt_error *err)
{
    const swt_study_swing *s = &study->swing[row];
    double rate = s->rate_hz, *stick, first, last;
    size_t n_frames, from, n, stride = (size_t)ceil(rate / RATE_MOST_HZ);
    swt_vec3 hands[SWT_EVENT_COUNT];
    swt_status rc = replay_read_stick(&stick, &n_frames, study, row, err);

    if (rc == SWT_OK)
        rc = swt_hands_at_events(hands, study, row, err);
    if (rc != SWT_OK)
        return rc;
    first = frame_of(study, SWT_EVENT_TAKEAWAY, row, 0) - BEFORE_S * rate;
    last = frame_of(study, SWT_EVENT_FINISH, row, (double)n_frames) + AFTER_S * rate;
    from = first > 0 ? (size_t)first : 0;
    last = fmin(last, (double)(n_frames - 1));
    n = (size_t)((last - (double)from) / (double)stride) + 1;
    n = n < REPLAY_FRAMES_MOST ? n : REPLAY_FRAMES_MOST;
    swt_text_add(page, "{\"rate\":%.9g,\"start\":%.9g,\"event\":[", rate / (double)stride,
                 (double)from / rate);
    for (int e = 0; e < SWT_EVENT_COUNT; e++) {
        swt_text_add(page, e ? "," : "");
        add_number(page, frame_of(study, (swt_event)e, row, nan("")) / rate, "%.5f");
    }
    swt_text_add(page, "],\"hands\":[");
    for (int e = 0; e < SWT_EVENT_COUNT; e++) {
        swt_text_add(page, e ? "," : "");
        add_place(page, hands[e], MM, "%.2f");
    }
    swt_text_add(page, "],\"aim\":{\"hands\":");
    add_place(page, swt_camera_aim_point(SWT_AIM_HANDS, hands), 1, "%.5f");
    swt_text_add(page, ",\"toes\":");
    add_place(page, swt_camera_aim_point(SWT_AIM_TOES, hands), 1, "%.5f");
    swt_text_add(page, "},\"data\":");
    rc = add_frames(page, stick + from * REPLAY_WIDTH, n, stride, err);
    swt_text_add(page, "}");
    free(stick);
    return rc;
}

/* Centres in mm, covariances in mm2: along-along, along-depth, along-height, depth-depth, ... */
static void add_tube(swt_text *page, const swt_assessment *a, const swt_path_corridor *front)
{
    const swt_path_corridor *side = a->hand_path, *above = a->hand_path_above;

    swt_text_add(page, "{\"side\":%.4f,\"above\":%.4f,\"front\":%.4f,\"centre\":[",
                 side->multiplier, above->multiplier, front->multiplier);
    for (size_t i = 0; i < N; i++) {
        swt_text_add(page, i ? "," : "");
        add_place(
            page,
            swt_vec3_make(above->centre_depth[i], side->centre_depth[i], side->centre_height[i]),
            MM, "%.0f");
    }
    swt_text_add(page, "],\"covariance\":[");
    for (size_t i = 0; i < N; i++) {
        const double *s = side->covariance + 3 * i, *t = above->covariance + 3 * i,
                     *f = front->covariance + 3 * i;
        swt_text_add(page, i ? "," : "");
        if (isfinite(s[0] + s[1] + s[2] + t[0] + t[1] + f[1]))
            swt_text_add(page, "[%.0f,%.0f,%.0f,%.0f,%.0f,%.0f]", MM * MM * t[0], MM * MM * t[1],
                         MM * MM * f[1], MM * MM * s[0], MM * MM * s[1], MM * MM * s[2]);
        else
            swt_text_add(page, "null");
    }
    swt_text_add(page, "]}");
}

static bool has_tube(const swt_assessment *a, const replay_group *group)
{
    return a->hand_path && a->hand_path_above && group->front &&
           a->hand_path->state != SWT_CORRIDOR_REFUSED &&
           a->hand_path_above->state != SWT_CORRIDOR_REFUSED &&
           group->front->state != SWT_CORRIDOR_REFUSED;
}

static void add_figure(swt_text *page)
{
    swt_text_add(page, "\"points\":%d,\"hands\":%d,\"head\":%d,\"impact\":%d,\"lines\":[",
                 SWT_STICK_POINTS, SWT_STICK_MID_HANDS, SWT_STICK_HEAD, SWT_EVENT_IMPACT);
    for (size_t i = 0; i < SWT_STICK_LINES; i++)
        swt_text_add(page, "%s[%d,%d,%d]", i ? "," : "", swt_stick_lines[i].from,
                     swt_stick_lines[i].to, swt_stick_lines[i].kind);
    swt_text_add(page, "],\"event\":[");
    for (int e = 0; e < SWT_EVENT_COUNT; e++)
        swt_text_add(page, "%s\"%s\"", e ? "," : "", swt_event_title((swt_event)e));
    swt_text_add(page, "],\"boundary\":[");
    for (int b = 0; b <= SWT_PHASES; b++)
        swt_text_add(page, "%s%d", b ? "," : "", swt_phase_boundary[b]);
    swt_text_add(page, "],\"judged\":[");
    for (int e = 0; e < SWT_HANDS_EVENTS; e++)
        swt_text_add(page, "%s%d", e ? "," : "", swt_hands_events[e]);
    swt_text_add(page, "],");
}

swt_status replay_choose(size_t row[REPLAY_SWINGS_MOST], size_t *n, const swt_study *study,
                         const swt_assessment *a, const swt_assessed_player *p, swt_error *err)
{
    swt_status rc = SWT_OK;

    *n = 0;
    for (size_t k = 0; rc == SWT_OK && k < p->n_swings && *n < REPLAY_SWINGS_MOST; k++) {
        size_t at = a->swing[p->first + k].swing, n_frames;
        double *stick;
        rc = replay_read_stick(&stick, &n_frames, study, at, err);
        free(stick);
        if (rc == SWT_OK && n_frames > 1)
            row[(*n)++] = at;
    }
    return rc;
}

swt_status replay_add_data(swt_text *page, const swt_study *study, const swt_assessment *a,
                           const replay_group *group, const size_t *row, size_t n, swt_error *err)
{
    swt_status rc = SWT_OK;

    swt_text_add(page, "<script type=\"application/json\" id=\"replay-data\">{");
    add_figure(page);
    swt_text_add(page, "\"heel\":");
    add_number(page, MM * study->swing[row[0]].heel_depth_m, "%.0f");
    swt_text_add(page, ",\"tube\":");
    if (has_tube(a, group))
        add_tube(page, a, group->front);
    else
        swt_text_add(page, "null");
    swt_text_add(page, ",\"group\":");
    if (group->body) {
        swt_text_add(page, "{\"data\":");
        rc = add_frames(page, group->body, N, 1, err);
        swt_text_add(page, "}");
    } else {
        swt_text_add(page, "null");
    }
    swt_text_add(page, ",\"swings\":[");
    for (size_t k = 0; rc == SWT_OK && k < n; k++) {
        swt_text_add(page, k ? "," : "");
        rc = add_swing(page, study, row[k], err);
    }
    swt_text_add(page, "]}</script>\n");
    return rc;
}
