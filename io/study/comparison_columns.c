#include "io/study/comparison_columns.h"

#include <string.h>

_Static_assert(SWT_PHASES == 4, "a column for the share of each phase");

/* `source` says in which struct of the row the field is: the row itself, or the corridor that it
 * points to. */
enum { IN_ROW = SWT_FROM_ROW, IN_CORRIDOR = SWT_FROM_EVENT };

#define COLUMN(name_, field_, source_, offset_, room_, units_, title_)                             \
    {                                                                                              \
        .path = name_, .field = field_, .source = (swt_source)source_, .index = room_,             \
        .offset = offset_, .width = 1, .counts = -1, .units = units_, .title = title_,             \
        .definition = "", .source_text = ""                                                        \
    }
#define CORRIDOR(field) offsetof(swt_corridor, field)
#define PATH(field) offsetof(swt_path_corridor, field)
#define ROW(field) offsetof(swt_kept_departure, departure.field)
#define SCORE(field) offsetof(swt_kept_score, field)
#define SHARE(k) (offsetof(swt_kept_score, phase_share) + (k) * sizeof(double))

static const swt_column reference[] = {
    COLUMN("reference", SWT_FIELD_SIZE, IN_ROW, 0, 0, "1", "swings of the reference group"),
};

static const swt_column corridors[] = {
    COLUMN("measure", SWT_FIELD_CHARS, IN_ROW, offsetof(swt_kept_corridor, name), 96, "",
           "series or measure"),
    COLUMN("is_series", SWT_FIELD_BOOL, IN_ROW, offsetof(swt_kept_corridor, is_series), 0, "1",
           "a curve; else a scalar"),
    COLUMN("in_family", SWT_FIELD_BOOL, IN_ROW, offsetof(swt_kept_corridor, in_family), 0, "1",
           "counted by the family factor"),
    COLUMN("n_samples", SWT_FIELD_SIZE, IN_CORRIDOR, CORRIDOR(n_samples), 0, "1",
           "samples in the packed columns"),
    COLUMN("state", SWT_FIELD_CORRIDOR_STATE, IN_CORRIDOR, CORRIDOR(state), 0, "1", "state"),
    COLUMN("reason", SWT_FIELD_CHARS, IN_CORRIDOR, CORRIDOR(reason), 384, "",
           "what limits it, or why it was refused"),
    COLUMN("method", SWT_FIELD_METHOD, IN_CORRIDOR, CORRIDOR(method), 0, "1", "method"),
    COLUMN("coverage", SWT_FIELD_DOUBLE, IN_CORRIDOR, CORRIDOR(options.coverage), 0, "1",
           "share of a new player's swings that are to be inside"),
    COLUMN("confidence", SWT_FIELD_DOUBLE, IN_CORRIDOR, CORRIDOR(options.confidence), 0, "1",
           "of a scalar's tolerance interval, as asked for"),
    COLUMN("n_resamples", SWT_FIELD_SIZE, IN_CORRIDOR, CORRIDOR(options.n_resamples), 0, "1",
           "resamples"),
    COLUMN("seed", SWT_FIELD_SIZE, IN_CORRIDOR, CORRIDOR(options.seed), 0, "1", "seed"),
    COLUMN("sides", SWT_FIELD_SIDES, IN_CORRIDOR, CORRIDOR(options.sides), 0, "1", "sides"),
    COLUMN("centred_by", SWT_FIELD_CENTRE, IN_CORRIDOR, CORRIDOR(options.centre), 0, "1",
           "what the centre is"),
    COLUMN("n_swings", SWT_FIELD_SIZE, IN_CORRIDOR, CORRIDOR(n_swings), 0, "1",
           "swings with a value"),
    COLUMN("n_players", SWT_FIELD_SIZE, IN_CORRIDOR, CORRIDOR(n_players), 0, "1",
           "players with a value"),
    COLUMN("n_swings_given", SWT_FIELD_SIZE, IN_CORRIDOR, CORRIDOR(n_swings_given), 0, "1",
           "swings of the group"),
    COLUMN("multiplier", SWT_FIELD_DOUBLE, IN_CORRIDOR, CORRIDOR(multiplier), 0, "1",
           "half-width over sd_total"),
    COLUMN("confidence_reached", SWT_FIELD_DOUBLE, IN_CORRIDOR, CORRIDOR(confidence), 0, "1",
           "confidence that a scalar's limits have"),
    COLUMN("normality_p", SWT_FIELD_DOUBLE, IN_CORRIDOR, CORRIDOR(normality_p), 0, "1",
           "Shapiro-Wilk p of the players' means"),
    COLUMN("loo_coverage", SWT_FIELD_DOUBLE, IN_CORRIDOR, CORRIDOR(loo_coverage), 0, "1",
           "leave-one-player-out coverage"),
    COLUMN("loo_inside", SWT_FIELD_SIZE, IN_CORRIDOR, CORRIDOR(loo_inside), 0, "1",
           "left-out swings inside"),
    COLUMN("loo_swings", SWT_FIELD_SIZE, IN_CORRIDOR, CORRIDOR(loo_swings), 0, "1",
           "left-out swings"),
};

static const swt_column paths[] = {
    COLUMN("name", SWT_FIELD_CHARS, IN_ROW, offsetof(swt_kept_path, name), 96, "", "path"),
    COLUMN("n_samples", SWT_FIELD_SIZE, IN_CORRIDOR, PATH(n_samples), 0, "1",
           "samples in the packed columns"),
    COLUMN("state", SWT_FIELD_CORRIDOR_STATE, IN_CORRIDOR, PATH(state), 0, "1", "state"),
    COLUMN("reason", SWT_FIELD_CHARS, IN_CORRIDOR, PATH(reason), 384, "",
           "what limits it, or why it was refused"),
    COLUMN("coverage", SWT_FIELD_DOUBLE, IN_CORRIDOR, PATH(options.coverage), 0, "1",
           "share of a new player's swings that are to be inside"),
    COLUMN("confidence", SWT_FIELD_DOUBLE, IN_CORRIDOR, PATH(options.confidence), 0, "1",
           "confidence, as asked for"),
    COLUMN("n_resamples", SWT_FIELD_SIZE, IN_CORRIDOR, PATH(options.n_resamples), 0, "1",
           "resamples"),
    COLUMN("seed", SWT_FIELD_SIZE, IN_CORRIDOR, PATH(options.seed), 0, "1", "seed"),
    COLUMN("sides", SWT_FIELD_SIDES, IN_CORRIDOR, PATH(options.sides), 0, "1", "sides"),
    COLUMN("n_swings", SWT_FIELD_SIZE, IN_CORRIDOR, PATH(n_swings), 0, "1", "swings with a value"),
    COLUMN("n_players", SWT_FIELD_SIZE, IN_CORRIDOR, PATH(n_players), 0, "1",
           "players with a value"),
    COLUMN("n_swings_given", SWT_FIELD_SIZE, IN_CORRIDOR, PATH(n_swings_given), 0, "1",
           "swings of the group"),
    COLUMN("multiplier", SWT_FIELD_DOUBLE, IN_CORRIDOR, PATH(multiplier), 0, "1",
           "Mahalanobis radius of the ellipses"),
    COLUMN("loo_coverage", SWT_FIELD_DOUBLE, IN_CORRIDOR, PATH(loo_coverage), 0, "1",
           "leave-one-player-out coverage"),
    COLUMN("loo_inside", SWT_FIELD_SIZE, IN_CORRIDOR, PATH(loo_inside), 0, "1",
           "left-out swings inside"),
    COLUMN("loo_swings", SWT_FIELD_SIZE, IN_CORRIDOR, PATH(loo_swings), 0, "1", "left-out swings"),
};

static const swt_column departures[] = {
    COLUMN("swing", SWT_FIELD_SIZE, IN_ROW, offsetof(swt_kept_departure, swing), 0, "1",
           "number of the swing"),
    COLUMN("measure", SWT_FIELD_SIZE, IN_ROW, ROW(measure), 0, "1",
           "row of the corridor; beyond the corridors: of the path"),
    COLUMN("direction", SWT_FIELD_INT, IN_ROW, ROW(direction), 0, "1",
           "1 above, -1 below, 0 of a path"),
    COLUMN("first", SWT_FIELD_SIZE, IN_ROW, ROW(first), 0, "1", "first sample outside"),
    COLUMN("last", SWT_FIELD_SIZE, IN_ROW, ROW(last), 0, "1", "last sample outside"),
    COLUMN("start", SWT_FIELD_DOUBLE, IN_ROW, ROW(start), 0, "1", "crossing out, in samples"),
    COLUMN("end", SWT_FIELD_DOUBLE, IN_ROW, ROW(end), 0, "1", "crossing back, in samples"),
    COLUMN("peak", SWT_FIELD_SIZE, IN_ROW, ROW(peak), 0, "1", "sample farthest outside"),
    COLUMN("phase", SWT_FIELD_INT, IN_ROW, ROW(phase), 0, "1", "phase of the peak"),
    COLUMN("peak_value", SWT_FIELD_DOUBLE, IN_ROW, ROW(peak_value), 0, "SI of the measure",
           "value there"),
    COLUMN("peak_excess", SWT_FIELD_DOUBLE, IN_ROW, ROW(peak_excess), 0, "SI of the measure",
           "beyond the edge there"),
    COLUMN("peak_ratio", SWT_FIELD_DOUBLE, IN_ROW, ROW(peak_ratio), 0, "1",
           "deviation from the centre in half-widths"),
    COLUMN("peak_within_sd", SWT_FIELD_DOUBLE, IN_ROW, ROW(peak_within_sd), 0, "1",
           "excess in within-player SD"),
    COLUMN("peak_measurement_sd", SWT_FIELD_DOUBLE, IN_ROW, ROW(peak_measurement_sd), 0, "1",
           "excess in measurement SD"),
    COLUMN("start_s", SWT_FIELD_DOUBLE, IN_ROW, ROW(start_s), 0, "s", "time of the crossing out"),
    COLUMN("end_s", SWT_FIELD_DOUBLE, IN_ROW, ROW(end_s), 0, "s", "time of the crossing back"),
    COLUMN("peak_s", SWT_FIELD_DOUBLE, IN_ROW, ROW(peak_s), 0, "s", "time of the peak"),
    COLUMN("stands_in_family", SWT_FIELD_BOOL, IN_ROW, ROW(stands_in_family), 0, "1",
           "stands for all corridors of its family together"),
    {.path = "family",
     .field = SWT_FIELD_FAMILY,
     .source = (swt_source)IN_ROW,
     .offset = offsetof(swt_kept_departure, family),
     .width = 1,
     .counts = -1,
     .may_lack = true,
     .units = "1",
     .title = "corridors that are looked at together",
     .definition = "",
     .source_text = ""},
};

static const swt_column scores[] = {
    COLUMN("swing", SWT_FIELD_SIZE, IN_ROW, SCORE(swing), 0, "1", "number of the swing"),
    COLUMN("rms", SWT_FIELD_DOUBLE, IN_ROW, SCORE(score.rms), 0, "1",
           "RMS distance from the centre in SD, every measure weighing the same"),
    COLUMN("distance", SWT_FIELD_DOUBLE, IN_ROW, SCORE(score.distance), 0, "1",
           "Mahalanobis distance in the group's principal components"),
    COLUMN("rest", SWT_FIELD_DOUBLE, IN_ROW, SCORE(score.rest), 0, "1",
           "RMS in SD of what the components do not reach"),
    COLUMN("rms_rank", SWT_FIELD_DOUBLE, IN_ROW, SCORE(score.rms_rank), 0, "1",
           "share of left-out reference swings with a lower rms"),
    COLUMN("distance_rank", SWT_FIELD_DOUBLE, IN_ROW, SCORE(score.distance_rank), 0, "1",
           "share of left-out reference swings with a lower distance"),
    COLUMN("rest_rank", SWT_FIELD_DOUBLE, IN_ROW, SCORE(score.rest_rank), 0, "1",
           "share of left-out reference swings with a lower rest"),
    COLUMN("share_phase_1", SWT_FIELD_DOUBLE, IN_ROW, SHARE(0), 0, "1", "of rms^2: first phase"),
    COLUMN("share_phase_2", SWT_FIELD_DOUBLE, IN_ROW, SHARE(1), 0, "1", "of rms^2: second phase"),
    COLUMN("share_phase_3", SWT_FIELD_DOUBLE, IN_ROW, SHARE(2), 0, "1", "of rms^2: third phase"),
    COLUMN("share_phase_4", SWT_FIELD_DOUBLE, IN_ROW, SHARE(3), 0, "1", "of rms^2: fourth phase"),
    COLUMN("share_scalars", SWT_FIELD_DOUBLE, IN_ROW, SHARE(4), 0, "1", "of rms^2: scalars"),
};

const swt_kept_array swt_kept_arrays[] = {
    {"centre", "centre", false, false, CORRIDOR(centre), 1},
    {"lower", "lower edge", false, false, CORRIDOR(lower), 1},
    {"upper", "upper edge", false, false, CORRIDOR(upper), 1},
    {"sd_total", "spread of one swing of a new player", false, false, CORRIDOR(sd_total), 1},
    {"sd_between", "spread between players", false, false, CORRIDOR(sd_between), 1},
    {"sd_within", "spread within a player", false, false, CORRIDOR(sd_within), 1},
    {"n_players_at", "players with a value", false, true, CORRIDOR(n_players_at), 1},
    {"centre_depth", "centre, first coordinate", true, false, PATH(centre_depth), 1},
    {"centre_height", "centre, second coordinate", true, false, PATH(centre_height), 1},
    {"covariance", "covariance of one swing of a new player: 11, 12, 22", true, false,
     PATH(covariance), 3},
    {"covariance_within", "covariance within a player: 11, 12, 22", true, false,
     PATH(covariance_within), 3},
    {"n_players_at", "players with a value", true, true, PATH(n_players_at), 1},
};
const size_t swt_kept_n_arrays = sizeof swt_kept_arrays / sizeof *swt_kept_arrays;

const swt_column *swt_kept_columns(size_t *n, swt_kept_table table)
{
    static const struct {
        const swt_column *column;
        size_t n;
    } tables[SWT_KEPT_TABLES] = {
        [SWT_KEPT_REFERENCE] = {reference, sizeof reference / sizeof *reference},
        [SWT_KEPT_CORRIDORS] = {corridors, sizeof corridors / sizeof *corridors},
        [SWT_KEPT_PATHS] = {paths, sizeof paths / sizeof *paths},
        [SWT_KEPT_DEPARTURES] = {departures, sizeof departures / sizeof *departures},
        [SWT_KEPT_SCORES] = {scores, sizeof scores / sizeof *scores},
    };
    *n = tables[table].n;
    return tables[table].column;
}

size_t swt_kept_rows(const swt_kept_comparison *c, swt_kept_table table)
{
    const size_t rows[SWT_KEPT_TABLES] = {c->n_reference, c->n_corridors, c->n_paths,
                                          c->n_departures, c->n_scores};
    return rows[table];
}

void *swt_kept_at(const swt_kept_comparison *c, swt_kept_table table, const swt_column *column,
                  size_t row)
{
    char *at;

    if (table == SWT_KEPT_REFERENCE)
        at = (char *)&c->reference[row];
    else if (table == SWT_KEPT_DEPARTURES)
        at = (char *)&c->departure[row];
    else if (table == SWT_KEPT_SCORES)
        at = (char *)&c->score[row];
    else if (table == SWT_KEPT_CORRIDORS)
        at = column->source == (swt_source)IN_ROW ? (char *)&c->corridor[row]
                                                  : (char *)c->corridor[row].corridor;
    else
        at = column->source == (swt_source)IN_ROW ? (char *)&c->path[row]
                                                  : (char *)c->path[row].corridor;
    return at + column->offset;
}

void swt_kept_path_of(char *out, size_t size, const char *comparison, swt_kept_table table,
                      const char *column)
{
    char name[300];

    static const struct {
        const char *before, *after;
    } place[SWT_KEPT_TABLES] = {
        [SWT_KEPT_REFERENCE] = {"corridors", ""},      [SWT_KEPT_CORRIDORS] = {"corridors", ""},
        [SWT_KEPT_PATHS] = {"corridors", "/paths"},    [SWT_KEPT_DEPARTURES] = {"departures", ""},
        [SWT_KEPT_SCORES] = {"departures", "/scores"},
    };

    swt_link_name(name, sizeof name, comparison);
    snprintf(out, size, "%s/%s%s/%s", place[table].before, name, place[table].after, column);
}

size_t swt_kept_samples(const swt_kept_comparison *c, bool of_path, size_t row)
{
    return of_path ? c->path[row].corridor->n_samples : c->corridor[row].corridor->n_samples;
}

void **swt_kept_array_at(const swt_kept_comparison *c, const swt_kept_array *array, size_t row)
{
    char *corridor =
        array->of_path ? (char *)c->path[row].corridor : (char *)c->corridor[row].corridor;
    return (void **)(void *)(corridor + array->offset);
}
