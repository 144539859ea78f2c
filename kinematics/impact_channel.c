#include "kinematics/impact_channel.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double rest_s = 0.1, noise_times = 8, least_share = 0.1;

static int ascending(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

/* Median of the finite values; `room` holds n. NaN for none. */
static double median(double *room, const double *x, size_t n)
{
    size_t finite = 0;

    for (size_t i = 0; i < n; i++)
        if (isfinite(x[i]))
            room[finite++] = x[i];
    if (finite == 0)
        return nan("");
    qsort(room, finite, sizeof *room, ascending);
    return room[finite / 2];
}

/* Where the straight line between samples i - 1 and i meets the threshold. */
static double crossing(const double *departure, size_t i, double threshold)
{
    double before = departure[i - 1];

    if (!isfinite(before))
        return (double)i;
    return (double)(i - 1) + (threshold - before) / (departure[i] - before);
}

static void take_onsets(swt_onsets *onsets, const double *departure, size_t n, double rate_hz,
                        double threshold, double delay_s)
{
    size_t quiet = (size_t)(rest_s * rate_hz) + 1, since = quiet, found = 0;

    for (size_t i = 0; i < n; i++) {
        if (!(departure[i] >= threshold)) {
            since++;
            continue;
        }
        if (i > 0 && since >= quiet) {
            if (found < SWT_ONSETS_MAX)
                onsets->time_s[found] = crossing(departure, i, threshold) / rate_hz - delay_s;
            found++;
        }
        since = 0;
    }
    onsets->n = found <= SWT_ONSETS_MAX ? found : 0;
}

swt_status swt_onsets_find(swt_onsets *onsets, const double *x, size_t n, double rate_hz,
                           double threshold, double delay_s, swt_error *err)
{
    double *departure = malloc(2 * (n + 1) * sizeof *departure), *room, rest, noise;
    double greatest = 0;

    onsets->n = 0;
    onsets->sd_s = 1 / (rate_hz * sqrt(12));
    if (!departure)
        return swt_fail(err, SWT_ENOMEM, "out of memory");
    room = departure + n;
    rest = median(room, x, n);
    for (size_t i = 0; i < n; i++) {
        departure[i] = fabs(x[i] - rest);
        greatest = fmax(greatest, departure[i]); /* fmax passes over a NaN */
    }
    noise = 1.4826 * median(room, departure, n);
    if (threshold == 0)
        threshold = fmax(noise_times * noise, least_share * greatest);
    if (greatest > 0 && threshold > 0)
        take_onsets(onsets, departure, n, rate_hz, threshold, delay_s);
    free(departure);
    return SWT_OK;
}

/* ---- of a capture ---- */

static void note_no_channel(const swt_marker_map *map, const swt_capture *capture,
                            swt_findings *findings)
{
    const char *nearest = NULL;
    size_t best = 3; /* one or two edits, no wild guesses */

    for (size_t k = 0; k < capture->n_analog; k++) {
        size_t distance = swt_label_distance(capture->analog[k].label, map->impact_channel);
        if (distance < best) {
            best = distance;
            nearest = capture->analog[k].label;
        }
    }
    swt_findings_add(
        findings, SWT_CAUTION, "impact_channel",
        "No analog channel \"%s\" in the capture, which has %zu%s%.60s%s: impact comes "
        "from the markers.",
        map->impact_channel, capture->n_analog, nearest ? "; the nearest is \"" : "",
        nearest ? nearest : "", nearest ? "\"" : "");
}

swt_status swt_onsets_of_capture(swt_landmark_set *set, const swt_marker_map *map,
                                 const swt_capture *capture, swt_findings *findings, swt_error *err)
{
    const swt_capture_analog *channel = NULL;
    swt_status rc;

    if (map->impact_channel[0] == '\0')
        return SWT_OK;
    for (size_t k = 0; k < capture->n_analog && !channel; k++)
        if (strcmp(capture->analog[k].label, map->impact_channel) == 0)
            channel = &capture->analog[k];
    if (!channel) {
        note_no_channel(map, capture, findings);
        return SWT_OK;
    }
    rc = swt_onsets_find(&set->onsets, channel->sample,
                         capture->n_frames * capture->analog_per_frame,
                         set->rate_hz * (double)capture->analog_per_frame, map->impact_threshold,
                         map->impact_delay_s, err);
    memcpy(set->onsets.channel, map->impact_channel, sizeof set->onsets.channel);
    return rc;
}

/* ---- one swing's ---- */

static const double before_fastest_s = 0.06, after_fastest_s = 0.15;
static const double same_clock_s = 0.02, same_clock_of_hands_s = 0.05;

double swt_contact_by_channel(const swt_landmark_set *set, const swt_location *location,
                              size_t split, swt_findings *findings)
{
    const swt_onsets *o = &set->onsets;
    double offset_s = (double)set->first_frame / set->rate_hz;
    double fastest_s = offset_s + (double)location->fastest / set->rate_hz;
    double from_s = fastest_s - before_fastest_s, to_s = fastest_s + after_fastest_s;
    double limit_s = location->from_hands ? same_clock_of_hands_s : same_clock_s;
    double frame = nan(""), markers_s = offset_s + ((double)split - 0.5) / set->rate_hz;
    size_t n = 0;

    if (o->channel[0] == '\0')
        return nan("");
    for (size_t i = 0; i < o->n; i++)
        if (o->time_s[i] >= from_s && o->time_s[i] <= to_s && n++ == 0)
            frame = (o->time_s[i] - offset_s) * set->rate_hz;
    if (n != 1) {
        swt_findings_add(findings, SWT_CAUTION, "impact_channel",
                         "Channel \"%s\" has %s between %.3f s and %.3f s, where contact of this "
                         "swing must be: impact comes from the markers.",
                         o->channel, n ? "several onsets" : "no onset", from_s, to_s);
        return nan("");
    }
    if (split < set->n_frames &&
        fabs(offset_s + frame / set->rate_hz - markers_s) > limit_s + 0.5 / set->rate_hz) {
        swt_findings_add(findings, SWT_CAUTION, "impact_channel",
                         "Channel \"%s\" puts contact at %.4f s, the markers at about %.4f s: more "
                         "than %.0f ms apart, so that the two cannot share a clock; impact comes "
                         "from the markers. If the channel lags, say so in the map (delay_ms).",
                         o->channel, offset_s + frame / set->rate_hz, markers_s, 1000 * limit_s);
        return nan("");
    }
    if (!(frame > (double)location->top && frame < (double)set->n_frames - 1)) {
        swt_findings_add(findings, SWT_CAUTION, "impact_channel",
                         "Channel \"%s\" puts contact at %.4f s, outside the downswing and what "
                         "was recorded: impact comes from the markers.",
                         o->channel, offset_s + frame / set->rate_hz);
        return nan("");
    }
    swt_findings_add(findings, SWT_NOTE, "impact_from_channel",
                     "Impact is the onset of channel \"%s\" at %.5f s%s.", o->channel,
                     offset_s + frame / set->rate_hz,
                     split < set->n_frames ? "" : "; the markers do not tell it");
    return frame;
}
