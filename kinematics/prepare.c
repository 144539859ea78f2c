#include "kinematics/prepare.h"

#include "kinematics/filter.h"
#include "kinematics/gaps.h"
#include "kinematics/label_check.h"
#include "kinematics/spline.h"

#include <stdlib.h>
#include <string.h>

enum { RIGID_MARKERS = 9 };

/* Markers that keep together (the lists end at SWT_LANDMARK_COUNT), and a speed that none of them
 * reaches: own choice, well above the fastest in captures of swings. Gaps are filled from the set
 * only where it is one rigid body; joints on both sides of a limb, and two hands on one grip, keep
 * their distances well enough to tell exchanged labels. */
static const struct marker_set {
    swt_landmark member[RIGID_MARKERS + 1];
    double max_speed_m_s;
    bool is_rigid;
} marker_sets[] = {
    {{SWT_LEAD_ASIS, SWT_TRAIL_ASIS, SWT_LEAD_PSIS, SWT_TRAIL_PSIS, SWT_SACRUM, SWT_PELVIS_1,
      SWT_PELVIS_2, SWT_PELVIS_3, SWT_PELVIS_4, SWT_LANDMARK_COUNT},
     8,
     true},
    {{SWT_IJ, SWT_PX, SWT_C7, SWT_T8, SWT_THORAX_1, SWT_THORAX_2, SWT_THORAX_3, SWT_THORAX_4,
      SWT_LANDMARK_COUNT},
     10,
     true},
    {{SWT_CLUB_GRIP, SWT_CLUB_SHAFT, SWT_CLUB_HEAD, SWT_CLUB_TOE, SWT_CLUB_HEEL,
      SWT_LANDMARK_COUNT},
     90,
     true},
    {{SWT_LEAD_CAL, SWT_LEAD_MT2, SWT_LEAD_MT5, SWT_LEAD_TOE, SWT_LANDMARK_COUNT}, 12, true},
    {{SWT_TRAIL_CAL, SWT_TRAIL_MT2, SWT_TRAIL_MT5, SWT_TRAIL_TOE, SWT_LANDMARK_COUNT}, 12, true},
    {{SWT_LEAD_RS, SWT_TRAIL_RS, SWT_LEAD_US, SWT_TRAIL_US, SWT_LEAD_MC2, SWT_TRAIL_MC2,
      SWT_LEAD_MC5, SWT_TRAIL_MC5, SWT_LANDMARK_COUNT},
     30,
     false},
    {{SWT_LEAD_EL, SWT_LEAD_EM, SWT_TRAIL_EL, SWT_TRAIL_EM, SWT_LANDMARK_COUNT}, 20, false},
    {{SWT_LEAD_LE, SWT_LEAD_ME, SWT_TRAIL_LE, SWT_TRAIL_ME, SWT_LANDMARK_COUNT}, 12, false},
    {{SWT_LEAD_LM, SWT_LEAD_MM, SWT_TRAIL_LM, SWT_TRAIL_MM, SWT_LANDMARK_COUNT}, 12, false}};

static const double longest_judged_gap_s = 0.05;

/* The members that the capture has; returns how many. */
static size_t members_present(swt_landmark *member, const swt_landmark_set *set,
                              const struct marker_set *of)
{
    size_t n = 0;

    for (const swt_landmark *m = of->member; *m < SWT_LANDMARK_COUNT; m++)
        if (set->present[*m])
            member[n++] = *m;
    return n;
}

/* Where an exchange is certain but what belongs where is not, neither marker is believed. */
static void declare_missing(swt_landmark_set *set, swt_landmark landmark, size_t first, size_t last)
{
    for (size_t f = first; f <= last && f < set->n_frames; f++) {
        set->origin[landmark][f] = SWT_ORIGIN_MISSING;
        for (int k = 0; k < 3; k++)
            set->axis[landmark][k][f] = nan("");
    }
}

static void report_swap(swt_landmark_set *set, const swt_landmark *member,
                        const swt_label_finding *found, swt_findings *findings)
{
    swt_landmark a = member[found->marker], b = member[found->other];
    size_t from = set->first_frame + found->first + 1, to = set->first_frame + found->last + 1;
    char one[96], other[96];

    swt_landmark_words(one, sizeof one, a);
    swt_landmark_words(other, sizeof other, b);
    if (found->repaired) {
        swt_findings_add(findings, SWT_CAUTION, "labels_exchanged",
                         "%s and %s carried each other's label in frames %zu to %zu; put right.",
                         one, other, from, to);
        return;
    }
    swt_findings_add(findings, SWT_SERIOUS, "labels_exchanged",
                     "%s and %s seem to carry each other's label in frames %zu to %zu (%s); their "
                     "samples there are taken as missing. Correct the labels in the capture.",
                     one, other, from, to, found->reason);
    declare_missing(set, a, found->first, found->last);
    declare_missing(set, b, found->first, found->last);
}

static void report_labels(swt_landmark_set *set, const swt_landmark *member, size_t n,
                          const swt_label_report *report, swt_findings *findings)
{
    size_t jumps[RIGID_MARKERS] = {0};
    const swt_label_finding *first[RIGID_MARKERS] = {NULL};
    char marker[96];

    for (size_t i = 0; i < report->n_findings; i++) {
        const swt_label_finding *found = &report->finding[i];
        if (found->kind == SWT_LABEL_SWAP)
            report_swap(set, member, found, findings);
        else if (jumps[found->marker]++ == 0)
            first[found->marker] = found;
    }
    for (size_t m = 0; m < n; m++)
        if (jumps[m] > 0)
            swt_findings_add(findings, SWT_CAUTION, "marker_jumps",
                             "%s jumps %zu time%s, first between frames %zu and %zu at %.0f m/s.",
                             swt_landmark_words(marker, sizeof marker, member[m]), jumps[m],
                             jumps[m] > 1 ? "s" : "", set->first_frame + first[m]->first + 1,
                             set->first_frame + first[m]->last + 1, first[m]->speed_mps);
}

swt_status swt_check_landmark_labels(swt_landmark_set *set, swt_findings *findings, swt_error *err)
{
    for (size_t k = 0; k < sizeof marker_sets / sizeof *marker_sets; k++) {
        swt_landmark member[RIGID_MARKERS];
        double *coordinate[3 * RIGID_MARKERS];
        swt_label_limits limits = {set->rate_hz, marker_sets[k].max_speed_m_s, longest_judged_gap_s,
                                   true};
        swt_label_report report;
        size_t n = members_present(member, set, &marker_sets[k]);
        swt_status rc;

        if (n < 2)
            continue;
        for (size_t m = 0; m < n; m++)
            for (size_t axis = 0; axis < 3; axis++)
                coordinate[3 * m + axis] = set->axis[member[m]][axis];
        rc = swt_label_check(&report, coordinate, n, set->n_frames, &limits, err);
        if (rc != SWT_OK)
            return rc;
        report_labels(set, member, n, &report, findings);
        swt_label_report_free(&report);
    }
    return SWT_OK;
}

/* Noise that no measure shows: smoothing it could only take away motion (own choice). */
static const double negligible_noise_m = 0.00003;

/* The frequency at which a smoothing spline's gain is one half, and back. */
static double cutoff_of_smoothing(double smoothing, double rate_hz)
{
    return pow(rate_hz / smoothing, 0.25) / (2 * SWT_PI);
}

static double smoothing_of_cutoff(double cutoff_hz, double rate_hz)
{
    return rate_hz / pow(2 * SWT_PI * cutoff_hz, 4);
}

static swt_status spline_cutoff(double *cutoff_hz, double *noise, const double *x, size_t n,
                                size_t split, double rate_hz, swt_error *err)
{
    double smoothing;
    swt_status rc = swt_spline_gcv(&smoothing, NULL, noise, x, n, split, rate_hz, err);

    if (rc == SWT_OK)
        *cutoff_hz = cutoff_of_smoothing(smoothing, rate_hz);
    return rc;
}

/* Cut-off and noise of one landmark: the largest cut-off and the mean noise of its coordinates. */
static swt_status choose_cutoff(const swt_landmark_set *set, int landmark, size_t split,
                                const swt_analysis_options *options, double *cutoff_hz,
                                double *noise_m, swt_error *err)
{
    double squares = 0;
    int used = 0;

    *cutoff_hz = 0;
    *noise_m = nan("");
    for (int k = 0; k < 3; k++) {
        const double *x = set->axis[landmark][k];
        double cutoff = 0, noise = 0;
        swt_status rc =
            options->smooth_by_spline
                ? spline_cutoff(&cutoff, &noise, x, set->n_frames, split, set->rate_hz, err)
                : swt_filter_residual_cutoff(&cutoff, &noise, x, set->n_frames, split, set->rate_hz,
                                             err);
        if (rc == SWT_EDATA)
            continue;
        if (rc != SWT_OK)
            return rc;
        squares += noise * noise;
        used++;
        if (cutoff > *cutoff_hz)
            *cutoff_hz = cutoff;
    }
    if (used > 0)
        *noise_m = sqrt(squares / used);
    if (used > 0 && *noise_m < negligible_noise_m)
        *cutoff_hz = SWT_FILTER_HIGHEST_SHARE * set->rate_hz;
    if (options->cutoff_hz > 0)
        *cutoff_hz = options->cutoff_hz;
    return SWT_OK;
}

static bool has_gap(const swt_landmark_set *set, swt_landmark landmark)
{
    return memchr(set->origin[landmark], SWT_ORIGIN_MISSING, set->n_frames) != NULL;
}

static bool is_smoothed(const swt_landmark_set *set, int landmark)
{
    return set->present[landmark] && landmark != SWT_BALL && landmark != SWT_TARGET;
}

/* Noise of the landmarks without a gap, all together, where the cut-off is the options'. */
static swt_status find_noise(bool done[SWT_LANDMARK_COUNT], const swt_landmark_set *set,
                             size_t split, swt_quality *quality, swt_error *err)
{
    const double *series[3 * SWT_LANDMARK_COUNT];
    double noise[3 * SWT_LANDMARK_COUNT];
    size_t n = 0, at = 0;
    swt_status rc;

    for (int i = 0; i < SWT_LANDMARK_COUNT; i++) {
        done[i] = is_smoothed(set, i) && !has_gap(set, (swt_landmark)i);
        for (int k = 0; done[i] && k < 3; k++)
            series[n++] = set->axis[i][k];
    }
    rc = swt_filter_residual_noise(noise, series, n, set->n_frames, split, set->rate_hz, err);
    for (int i = 0; rc == SWT_OK && i < SWT_LANDMARK_COUNT; i++)
        if (done[i]) {
            double squares = 0;
            for (int k = 0; k < 3; k++, at++)
                squares += noise[at] * noise[at];
            quality->noise_m[i] = sqrt(squares / 3);
        }
    return rc;
}

swt_status swt_choose_cutoffs(const swt_landmark_set *set, size_t split,
                              const swt_analysis_options *options, swt_quality *quality,
                              swt_error *err)
{
    bool done[SWT_LANDMARK_COUNT] = {false};
    swt_status rc = SWT_OK;

    if (options->cutoff_hz > 0 && !options->smooth_by_spline) {
        rc = find_noise(done, set, split, quality, err);
        if (rc == SWT_EDATA) { /* too few samples: what follows says of which landmark */
            memset(done, 0, sizeof done);
            rc = SWT_OK;
        }
    }
    for (int i = 0; i < SWT_LANDMARK_COUNT && rc == SWT_OK; i++)
        if (done[i])
            quality->cutoff_hz[i] = options->cutoff_hz;
        else if (is_smoothed(set, i))
            rc = choose_cutoff(set, i, split, options, &quality->cutoff_hz[i], &quality->noise_m[i],
                               err);
    return rc;
}

/* What lies in no run long enough comes out as it is. */
static swt_status smooth_by_spline(double *out, const double *x, size_t n, size_t split,
                                   double rate_hz, double cutoff_hz, swt_error *err)
{
    swt_status rc = swt_spline_smooth(out, NULL, NULL, x, n, split, rate_hz,
                                      smoothing_of_cutoff(cutoff_hz, rate_hz), err);

    for (size_t f = 0; rc == SWT_OK && f < n; f++)
        if (!isfinite(out[f]))
            out[f] = x[f];
    return rc;
}

swt_status swt_smooth_landmarks(swt_landmark_set *out, const swt_landmark_set *set, size_t split,
                                const double cutoff_hz[SWT_LANDMARK_COUNT], bool by_spline,
                                swt_error *err)
{
    double cutoff[3 * SWT_LANDMARK_COUNT], *to[3 * SWT_LANDMARK_COUNT];
    const double *from[3 * SWT_LANDMARK_COUNT];
    size_t n = set->n_frames, channels = 0;
    swt_status rc = SWT_OK;

    for (int i = 0; i < SWT_LANDMARK_COUNT; i++)
        for (int k = 0; k < 3 && set->present[i]; k++) {
            if (!(cutoff_hz[i] > 0)) {
                memcpy(out->axis[i][k], set->axis[i][k], n * sizeof(double));
                continue;
            }
            to[channels] = out->axis[i][k];
            from[channels] = set->axis[i][k];
            cutoff[channels++] = cutoff_hz[i];
        }
    if (!by_spline) /* all channels at once: the filter runs several side by side */
        return swt_filter_channels(to, from, channels, n, split, set->rate_hz, cutoff, err);
    for (size_t c = 0; rc == SWT_OK && c < channels; c++)
        rc = smooth_by_spline(to[c], from[c], n, split, set->rate_hz, cutoff[c], err);
    return rc;
}

/* Skin moves on bone: a fit worse than this says nothing about a lost marker (own choice). */
static const double max_rigid_residual_m = 0.012;

static swt_track track_of(const swt_landmark_set *set, int landmark)
{
    return (swt_track){{set->axis[landmark][0], set->axis[landmark][1], set->axis[landmark][2]},
                       set->origin[landmark]};
}

static swt_status fill_rigid_set(swt_landmark_set *set, const struct marker_set *rigid,
                                 size_t max_gap, swt_error *err)
{
    swt_landmark member[RIGID_MARKERS];
    swt_track track[RIGID_MARKERS];
    swt_vec3 shape[RIGID_MARKERS];
    size_t n = members_present(member, set, rigid);
    bool gaps = false;
    swt_status rc;

    for (size_t m = 0; m < n; m++) {
        track[m] = track_of(set, (int)member[m]);
        gaps = gaps || has_gap(set, member[m]);
    }
    if (n < 4 || !gaps)
        return SWT_OK;
    rc = swt_gap_shape(shape, NULL, track, n, set->n_frames, err);
    if (rc == SWT_EDATA)
        return SWT_OK; /* never all seen at once: nothing to fill from */
    if (rc == SWT_OK)
        rc = swt_gap_fill_rigid(track, shape, n, set->n_frames, max_gap, max_rigid_residual_m, NULL,
                                err);
    return rc;
}

swt_status swt_fill_landmarks(swt_landmark_set *set, size_t split,
                              const swt_analysis_options *options, swt_quality *quality,
                              swt_error *err)
{
    size_t spline = (size_t)(options->max_spline_gap_s * set->rate_hz);
    size_t rigid = (size_t)(options->max_rigid_gap_s * set->rate_hz);
    swt_status rc = SWT_OK;

    for (size_t k = 0; k < sizeof marker_sets / sizeof *marker_sets && rc == SWT_OK; k++)
        if (marker_sets[k].is_rigid)
            rc = fill_rigid_set(set, &marker_sets[k], rigid, err);
    for (int i = 0; i < SWT_LANDMARK_COUNT && rc == SWT_OK; i++) {
        swt_track track = track_of(set, i);
        swt_gap_summary gaps;
        if (!set->present[i])
            continue;
        if (i != SWT_BALL && i != SWT_TARGET)
            rc = swt_gap_fill_spline(&track, set->n_frames, split, spline, NULL, err);
        gaps = swt_gap_summarise(&track, set->n_frames);
        quality->filled_fraction[i] =
            (double)(gaps.by_spline + gaps.rigidly) / (double)set->n_frames;
        quality->missing_fraction[i] = (double)gaps.missing / (double)set->n_frames;
        quality->longest_gap_s[i] = (double)gaps.longest / set->rate_hz;
    }
    return rc;
}
