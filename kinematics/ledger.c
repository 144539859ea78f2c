#include "kinematics/ledger.h"

#include "kinematics/derivative.h"
#include "kinematics/series.h"

#include <stdlib.h>

static const swt_series ledger_series[2][3] = {
    {SWT_SERIES_LEDGER_DEPTH_PELVIS, SWT_SERIES_LEDGER_DEPTH_THORAX, SWT_SERIES_LEDGER_DEPTH_ARMS},
    {SWT_SERIES_LEDGER_HEIGHT_PELVIS, SWT_SERIES_LEDGER_HEIGHT_THORAX,
     SWT_SERIES_LEDGER_HEIGHT_ARMS}};

/* Velocity that a rigid segment would give to the material point at h. */
static swt_status carried_velocity(swt_vec3 *carried, const swt_pose *pose, const swt_vec3 *h,
                                   const swt_swing *swing, swt_error *err)
{
    size_t n = swing->n_frames;
    swt_vec3 *origin = calloc(3 * n, sizeof *origin), *velocity, *omega;
    swt_status rc;

    if (!origin)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    velocity = origin + n;
    omega = velocity + n;
    for (size_t f = 0; f < n; f++)
        origin[f] = pose[f].translation;
    rc = swt_point_velocity(velocity, origin, n, swing->split, swing->rate_hz, err);
    if (rc == SWT_OK)
        rc = swt_pose_angular_velocity(omega, pose, n, swing->split, swing->rate_hz, err);
    for (size_t f = 0; rc == SWT_OK && f < n; f++)
        carried[f] = swt_add(velocity[f], swt_cross(omega[f], swt_sub(h[f], origin[f])));
    free(origin);
    return rc;
}

static double component(swt_vec3 v, int direction)
{
    return direction == 0 ? v.y : v.z;
}

static double closure(const swt_swing *swing, const swt_vec3 *h, size_t start)
{
    double worst = 0;

    for (int d = 0; d < 2; d++)
        for (size_t f = start; f < swing->split && f < swing->n_frames; f++) {
            double sum = 0, error;
            for (int k = 0; k < 3; k++)
                sum += swing->series[ledger_series[d][k]][f];
            error = fabs(sum - component(h[f], d) + component(h[start], d));
            if (error > worst)
                worst = error;
        }
    return worst;
}

/* The integral starts at a frame; takeaway lies between two. */
static void count_from(swt_swing *swing, double takeaway_s)
{
    for (int d = 0; d < 2; d++)
        for (int k = 0; k < 3; k++) {
            double zero = swt_series_at(swing, ledger_series[d][k], takeaway_s);
            for (size_t f = 0; f < swing->n_frames; f++)
                swing->series[ledger_series[d][k]][f] -= zero;
        }
}

swt_status swt_ledger_fill(swt_swing *swing, const swt_body *body, double takeaway_s,
                           swt_error *err)
{
    size_t n = swing->n_frames, start;
    const swt_segment_pose *pelvis = &body->segment[SWT_SEGMENT_PELVIS];
    const swt_segment_pose *thorax = &body->segment[SWT_SEGMENT_THORAX];
    const swt_vec3 *h = body->point[SWT_POINT_MID_HANDS];
    swt_verdict verdict = swt_worse(swt_worse(pelvis->verdict, thorax->verdict),
                                    body->point_verdict[SWT_POINT_MID_HANDS]);
    swt_verdict depth_verdict = swt_worse(verdict, swing->series_verdict[SWT_SERIES_PELVIS_DEPTH]);
    swt_vec3 *part[3] = {NULL, NULL, NULL};
    double *rate = NULL;
    swt_status rc = SWT_OK;

    if (!isfinite(takeaway_s))
        verdict = depth_verdict = swt_absent(SWT_REASON_EVENT_ABSENT, SWT_EVENT_TAKEAWAY);
    for (int k = 0; k < 3; k++) {
        swing->series_verdict[ledger_series[0][k]] = depth_verdict;
        swing->series_verdict[ledger_series[1][k]] = verdict;
    }
    swing->quality.ledger_closure_m = nan("");
    if (verdict.state == SWT_ABSENT)
        return SWT_OK;
    start = (size_t)(takeaway_s * swing->rate_hz);
    rate = malloc(n * sizeof *rate);
    for (int k = 0; k < 3; k++)
        part[k] = malloc(n * sizeof **part);
    if (!rate || !part[0] || !part[1] || !part[2]) {
        rc = swt_fail(err, SWT_ENOMEM, "out of memory");
        goto done;
    }
    rc = carried_velocity(part[0], pelvis->pose, h, swing, err);
    if (rc == SWT_OK)
        rc = carried_velocity(part[1], thorax->pose, h, swing, err);
    if (rc == SWT_OK)
        rc = swt_point_velocity(part[2], h, n, swing->split, swing->rate_hz, err);
    if (rc != SWT_OK)
        goto done;
    for (size_t f = 0; f < n; f++) {
        part[2][f] = swt_sub(part[2][f], part[1][f]);
        part[1][f] = swt_sub(part[1][f], part[0][f]);
    }
    for (int d = 0; d < 2; d++)
        for (int k = 0; k < 3; k++) {
            swt_series id = ledger_series[d][k];
            rc = swt_series_new(swing, id, err);
            if (rc != SWT_OK)
                goto done;
            for (size_t f = 0; f < n; f++) {
                rate[f] = component(part[k][f], d);
                swing->series_filled[id][f] = body->filled[SWT_POINT_MID_HANDS][f];
            }
            swt_integral_from(swing->series[id], rate, n, swing->split, start, swing->rate_hz);
        }
    swing->quality.ledger_closure_m = closure(swing, h, start);
    count_from(swing, takeaway_s);
    if (depth_verdict.state == SWT_ABSENT)
        for (int k = 0; k < 3; k++) {
            free(swing->series[ledger_series[0][k]]);
            free(swing->series_filled[ledger_series[0][k]]);
            swing->series[ledger_series[0][k]] = NULL;
            swing->series_filled[ledger_series[0][k]] = NULL;
        }
done:
    for (int k = 0; k < 3; k++)
        free(part[k]);
    free(rate);
    return rc;
}
