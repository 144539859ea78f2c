#include "kinematics/gaps.h"

#include "kinematics/pose.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_spline.h>
#include <math.h>
#include <stdlib.h>

static swt_vec3 track_at(const swt_track *track, size_t f)
{
    return swt_vec3_make(track->axis[0][f], track->axis[1][f], track->axis[2][f]);
}

static bool recorded(const swt_track *track, size_t f)
{
    return track->origin[f] == SWT_ORIGIN_RECORDED;
}

void swt_gap_mark(const swt_track *track, size_t n)
{
    for (size_t f = 0; f < n; f++) {
        bool whole = swt_vec3_is_finite(track_at(track, f));
        track->origin[f] = whole ? SWT_ORIGIN_RECORDED : SWT_ORIGIN_MISSING;
        if (!whole)
            track->axis[0][f] = track->axis[1][f] = track->axis[2][f] = nan("");
    }
}

/** Next stretch of unrecorded frames at or after gap->end. */
static bool next_gap(swt_run *gap, const swt_track *track, size_t n)
{
    size_t f = gap->end;

    while (f < n && recorded(track, f))
        f++;
    gap->begin = f;
    while (f < n && !recorded(track, f))
        f++;
    gap->end = f;
    return gap->begin < gap->end;
}

/** Next gap that may be filled: missing, between recorded frames, not too long. */
static bool next_fillable(swt_run *gap, const swt_track *track, size_t n, size_t max_gap)
{
    while (next_gap(gap, track, n))
        if (gap->begin > 0 && gap->end < n && gap->end - gap->begin <= max_gap &&
            track->origin[gap->begin] == SWT_ORIGIN_MISSING)
            return true;
    return false;
}

swt_gap_summary swt_gap_summarise(const swt_track *track, size_t n)
{
    swt_gap_summary s = {0};
    swt_run gap = {0, 0};
    unsigned char any = SWT_ORIGIN_RECORDED; /* which is 0 */

    for (size_t f = 0; f < n; f++)
        any |= track->origin[f];
    if (any == SWT_ORIGIN_RECORDED) {
        s.recorded = n;
        return s;
    }
    for (size_t f = 0; f < n; f++) {
        s.recorded += track->origin[f] == SWT_ORIGIN_RECORDED;
        s.by_spline += track->origin[f] == SWT_ORIGIN_SPLINE;
        s.rigidly += track->origin[f] == SWT_ORIGIN_RIGID;
        s.missing += track->origin[f] == SWT_ORIGIN_MISSING;
    }
    while (next_gap(&gap, track, n)) {
        s.n_gaps++;
        if (gap.end - gap.begin > s.longest) {
            s.longest = gap.end - gap.begin;
            s.longest_begin = gap.begin;
        }
    }
    return s;
}

/** Recorded frames beside a gap, in order; false when too few, or when contact lies between. */
static bool support_of(size_t *frame, size_t *n_support, const swt_track *track, swt_run gap,
                       size_t n, size_t split)
{
    size_t before = 0, after = 0;

    if (split > gap.begin - 1 && split <= gap.end)
        return false;
    while (before < SWT_GAP_MAX_SUPPORT && before < gap.begin && gap.begin - before != split &&
           recorded(track, gap.begin - 1 - before))
        before++;
    while (after < SWT_GAP_MAX_SUPPORT && gap.end + after < n && gap.end + after != split &&
           recorded(track, gap.end + after))
        after++;
    for (size_t k = 0; k < before; k++)
        frame[k] = gap.begin - before + k;
    for (size_t k = 0; k < after; k++)
        frame[before + k] = gap.end + k;
    *n_support = before + after;
    return before >= SWT_GAP_MIN_SUPPORT && after >= SWT_GAP_MIN_SUPPORT;
}

/** Spline through one axis's support, written into the gap. */
static swt_status bridge(double *x, const size_t *frame, size_t n_support, swt_run gap,
                         swt_error *err)
{
    double at[2 * SWT_GAP_MAX_SUPPORT], value[2 * SWT_GAP_MAX_SUPPORT];
    gsl_interp *spline = gsl_interp_alloc(gsl_interp_cspline, n_support);
    swt_status rc = SWT_OK;

    if (!spline)
        return swt_fail(err, SWT_ENOMEM, "gaps: out of memory for a spline");
    for (size_t k = 0; k < n_support; k++) {
        at[k] = (double)frame[k] - (double)gap.begin;
        value[k] = x[frame[k]];
    }
    if (gsl_interp_init(spline, at, value, n_support) == GSL_SUCCESS)
        for (size_t f = gap.begin; f < gap.end; f++)
            x[f] = gsl_interp_eval(spline, at, value, (double)(f - gap.begin), NULL);
    else
        rc = swt_fail(err, SWT_ENUM, "gaps: no spline through frames %zu to %zu", frame[0],
                      frame[n_support - 1]);
    gsl_interp_free(spline);
    return rc;
}

swt_status swt_gap_fill_spline(const swt_track *track, size_t n, size_t split, size_t max_gap,
                               size_t *n_filled, swt_error *err)
{
    size_t frame[2 * SWT_GAP_MAX_SUPPORT], n_support, filled = 0;
    swt_run gap = {0, 0};
    swt_status rc = SWT_OK;

    while (rc == SWT_OK && next_fillable(&gap, track, n, max_gap)) {
        if (!support_of(frame, &n_support, track, gap, n, split))
            continue;
        for (int axis = 0; axis < 3 && rc == SWT_OK; axis++)
            rc = bridge(track->axis[axis], frame, n_support, gap, err);
        for (size_t f = gap.begin; f < gap.end; f++) {
            if (rc == SWT_OK)
                track->origin[f] = SWT_ORIGIN_SPLINE;
            else
                track->axis[0][f] = track->axis[1][f] = track->axis[2][f] = nan("");
        }
        if (rc == SWT_OK)
            filled += gap.end - gap.begin;
    }
    if (n_filled)
        *n_filled = filled;
    return rc;
}

/** First frame in which every marker is recorded, or n. */
static size_t first_whole_frame(const swt_track *track, size_t n_markers, size_t n, size_t from)
{
    for (size_t f = from; f < n; f++) {
        size_t m = 0;
        while (m < n_markers && recorded(&track[m], f))
            m++;
        if (m == n_markers)
            return f;
    }
    return n;
}

/** Pointers to 3 * n_markers series that start at frame `begin`. */
static void series_from(const double **coordinate, const swt_track *track, size_t n_markers,
                        size_t begin)
{
    for (size_t m = 0; m < n_markers; m++)
        for (size_t axis = 0; axis < 3; axis++)
            coordinate[3 * m + axis] = track[m].axis[axis] + begin;
}

swt_status swt_gap_shape(swt_vec3 *shape, size_t *n_frames_used, const swt_track *track,
                         size_t n_markers, size_t n, swt_error *err)
{
    swt_status rc = SWT_OK;
    size_t first = first_whole_frame(track, n_markers, n, 0), used = 0;
    swt_vec3 *start = calloc(2 * n_markers + 1, sizeof *start), *sum;
    const double **coordinate = calloc(3 * n_markers + 1, sizeof *coordinate);

    if (!start || !coordinate) {
        rc = swt_fail(err, SWT_ENOMEM, "gaps: out of memory for %zu markers", n_markers);
        goto done;
    }
    sum = start + n_markers;
    for (size_t m = 0; m < n_markers && first < n; m++)
        start[m] = track_at(&track[m], first);
    for (size_t f = first; f < n; f = first_whole_frame(track, n_markers, n, f + 1)) {
        swt_cluster cluster = {n_markers, start, NULL};
        swt_pose pose;
        series_from(coordinate, track, n_markers, f);
        swt_pose_fit(&pose, &cluster, coordinate, 1);
        if (isnan(pose.residual_m))
            continue;
        for (size_t m = 0; m < n_markers; m++)
            sum[m] = swt_add(sum[m], swt_pose_invert(&pose, track_at(&track[m], f)));
        used++;
    }
    if (used == 0) {
        rc =
            swt_fail(err, SWT_EDATA,
                     "gaps: no frame shows all %zu markers of the segment off one line", n_markers);
        goto done;
    }
    for (size_t m = 0; m < n_markers; m++)
        shape[m] = swt_scale(sum[m], 1 / (double)used);
    if (n_frames_used)
        *n_frames_used = used;
done:
    free(start);
    free(coordinate);
    return rc;
}

/** Scratch for placing one marker from the others. */
typedef struct placing {
    const swt_track *track;
    const swt_vec3 *shape;
    size_t n_markers;
    double max_residual_m;
    double *weight;
    const double **coordinate;
    swt_pose *pose;
} placing;

/** Three or more markers other than `m` recorded in frame f. */
static bool enough_others(const placing *p, size_t m, size_t f)
{
    size_t others = 0;

    for (size_t k = 0; k < p->n_markers; k++)
        others += k != m && recorded(&p->track[k], f);
    return others >= 3;
}

/** Poses of the segment without marker m over frames begin .. end-1; false where one is missing. */
static bool poses_without(placing *p, size_t m, size_t begin, size_t end)
{
    swt_cluster cluster = {p->n_markers, p->shape, p->weight};

    for (size_t f = begin; f < end; f++) {
        if (!enough_others(p, m, f))
            return false;
        for (size_t k = 0; k < p->n_markers; k++)
            p->weight[k] = k != m && recorded(&p->track[k], f) ? 1 : 0;
        series_from(p->coordinate, p->track, p->n_markers, f);
        swt_pose_fit(&p->pose[f - begin], &cluster, p->coordinate, 1);
        if (!(p->pose[f - begin].residual_m <= p->max_residual_m))
            return false;
    }
    return true;
}

/** Places marker m in the gap by the poses of begin-1 .. end; the ends meet. */
static void place(const placing *p, size_t m, swt_run gap)
{
    const swt_track *track = &p->track[m];
    size_t last = gap.end - gap.begin + 1;
    swt_vec3 off0 =
        swt_sub(track_at(track, gap.begin - 1), swt_pose_apply(&p->pose[0], p->shape[m]));
    swt_vec3 off1 = swt_sub(track_at(track, gap.end), swt_pose_apply(&p->pose[last], p->shape[m]));

    for (size_t k = 1; k < last; k++) {
        double part = (double)k / (double)last;
        swt_vec3 off = swt_add(swt_scale(off0, 1 - part), swt_scale(off1, part));
        swt_vec3 at = swt_add(swt_pose_apply(&p->pose[k], p->shape[m]), off);
        size_t f = gap.begin - 1 + k;
        track->axis[0][f] = at.x;
        track->axis[1][f] = at.y;
        track->axis[2][f] = at.z;
        track->origin[f] = SWT_ORIGIN_RIGID;
    }
}

swt_status swt_gap_fill_rigid(const swt_track *track, const swt_vec3 *shape, size_t n_markers,
                              size_t n, size_t max_gap, double max_residual_m, size_t *n_filled,
                              swt_error *err)
{
    swt_status rc = SWT_OK;
    size_t filled = 0;
    placing p = {track,
                 shape,
                 n_markers,
                 max_residual_m,
                 calloc(n_markers + 1, sizeof *p.weight),
                 calloc(3 * n_markers + 1, sizeof *p.coordinate),
                 calloc(n + 2, sizeof *p.pose)};

    if (!p.weight || !p.coordinate || !p.pose) {
        rc = swt_fail(err, SWT_ENOMEM, "gaps: out of memory for %zu frames", n);
        goto done;
    }
    for (size_t m = 0; m < n_markers; m++) {
        swt_run gap = {0, 0};
        while (next_fillable(&gap, &track[m], n, max_gap)) {
            if (!poses_without(&p, m, gap.begin - 1, gap.end + 1))
                continue;
            place(&p, m, gap);
            filled += gap.end - gap.begin;
        }
    }
done:
    free(p.weight);
    free(p.coordinate);
    free(p.pose);
    if (n_filled)
        *n_filled = filled;
    return rc;
}
