/* `swathe help`: the overview, the topics that are no command, and single names. */
#include "cli/cli.h"
#include "kinematics/marker_map.h"
#include "kinematics/measure.h"
#include "template_map.h" /* datasets/maps/template.ini as text, made by CMake */

#include <stdio.h>
#include <string.h>

static void help_exit_codes(void)
{
#define X(id, number, meaning) printf("%3d  %s\n", number, meaning);
    SWT_CLI_EXIT_CODES(X)
#undef X
}

static void print_measure(const swt_measure *m)
{
    printf("%s\n    %s (%s)\n    %s\n    source: %s\n", m->name, m->title,
           swt_quantity_unit(m->quantity)->shown, m->definition, m->source);
}

static void help_measures(void)
{
    for (size_t i = 0; i < swt_measure_count(); i++)
        print_measure(swt_measure_row(i));
}

static void print_event(swt_event event)
{
    printf("%s\n    %s\n    %s\n", swt_event_name(event), swt_event_title(event),
           swt_event_definition(event));
}

static void help_events(void)
{
    for (int e = 0; e < SWT_EVENT_COUNT; e++)
        print_event((swt_event)e);
}

static void print_curve(swt_series series)
{
    const swt_series_info *info = swt_series_describe(series);

    printf("%s\n    %s (%s)\n    %s\n", info->name, info->title,
           swt_quantity_unit(info->quantity)->shown, info->definition);
}

static void help_curves(void)
{
    for (int s = 0; s < SWT_SERIES_COUNT; s++)
        print_curve((swt_series)s);
}

static void help_landmarks(void)
{
#define X(id, key, what) printf("left.%-10s right.%-10s %s\n", key, key, what);
    SWT_SIDED_LANDMARKS(X)
#undef X
#define X(id, key, what) printf("%-31s  %s\n", key, what);
    SWT_SINGLE_LANDMARKS(X)
#undef X
}

static void help_sheet(void)
{
    fputs(
        "A sheet is a CSV file in UTF-8 with a header line and one row a capture; comma, "
        "semicolon\n"
        "or tab. Paths are relative to the folder it lies in.\n\n"
        "    file,player,session,group,club,shot,handicap\n"
        "    R01_1.c3d,R01,1,reference,driver,full,1.2\n"
        "    A1_1.c3d,A1,1,,driver,half,14\n\n"
        "  file      the capture (required)\n"
        "  player    a code, never a name (required)\n"
        "  session   which visit: `swathe progress` holds them against each other\n"
        "  group     whose swings may make a reference: --reference GROUP\n"
        "  side      right or left; right when there is no such column\n"
        "  club      driver, 7-iron ...: a corridor is of one club\n"
        "  shot      full, three-quarter, half ...: and of one length of shot\n"
        "  static    a static capture of the same player\n"
        "  map       a marker map for this row, in place of --map\n"
        "  subject   whose markers, where labels of several people begin with NAME:\n\n"
        "Every other column is a covariate: kept, and there for conditions, models and outcomes.\n"
        "Its numbers have a decimal point.\n",
        stdout);
}

/* Text for standard output as it stands, so that `swathe help map >my.ini` begins a map. */
static void help_map(void)
{
    fputs(swt_template_map, stdout);
}

static void help_conditions(void)
{
    fputs(
        "Conditions choose swings by the columns of the sheet: --where those of a reference, "
        "--only\n"
        "those to look at. Parted by commas, all of them must hold.\n\n"
        "    --where 'handicap <= 5, shot = full|three-quarter'\n"
        "    --only 'player = A1, session != 1'\n\n"
        "  =  !=         one value, or several parted by |\n"
        "  < <= > >=     a number; a cell that holds none meets no such condition\n\n"
        "Columns are player, session, group, club, shot, side, file and the covariates. Numbers "
        "are\n"
        "equal by value (5 and 5.0). Names and values with a comma, a bar or an operator in them\n"
        "stand in double quotes: note != \"warm up, late\". An empty cell is the value \"\".\n",
        stdout);
}

static const struct {
    const char *name, *what;
    void (*print)(void);
} topics[] = {
    {"sheet", "the columns of a sheet", help_sheet},
    {"map", "a marker map with every key, to begin one's own: swathe help map >my.ini", help_map},
    {"conditions", "how swings are chosen by --where and --only", help_conditions},
    {"measures", "what is measured, and how each is defined", help_measures},
    {"curves", "what is measured all through the swing", help_curves},
    {"events", "the instants of a swing", help_events},
    {"landmarks", "the landmarks that a map can name", help_landmarks},
    {"exit-codes", "what a script can rely on", help_exit_codes},
};

enum { TOPICS = sizeof topics / sizeof topics[0] };

void swt_cli_help_overview(void)
{
    printf(
        "Usage: swathe COMMAND [OPTION...] [FILE...]\n\n"
        "Measures golf swings from 3D marker captures against a corridor of reference swings.\n\n"
        "Commands:\n");
    for (const swt_cli_command *c = swt_cli_commands; c->name; c++)
        printf("  %-12s %s\n", c->name, c->summary);
    printf("\nTopics:\n");
    for (size_t i = 0; i < TOPICS; i++)
        printf("  %-12s %s\n", topics[i].name, topics[i].what);
    printf(
        "\n`swathe help` with a command, a topic, or the name of a measure, curve or event says\n"
        "more about it.\n");
}

bool swt_cli_help_topic(const char *topic)
{
    bool known = false;

    for (size_t i = 0; i < TOPICS; i++) {
        if (strcmp(topics[i].name, topic) == 0) {
            topics[i].print();
            return true;
        }
    }
    for (int e = 0; e < SWT_EVENT_COUNT; e++)
        if (strcmp(swt_event_name((swt_event)e), topic) == 0) {
            print_event((swt_event)e);
            known = true;
        }
    for (int s = 0; s < SWT_SERIES_COUNT; s++)
        if (strcmp(swt_series_describe((swt_series)s)->name, topic) == 0) {
            print_curve((swt_series)s);
            known = true;
        }
    if (swt_measure_find(topic) >= 0) {
        print_measure(swt_measure_row((size_t)swt_measure_find(topic)));
        printf("    formula, picture and accuracy: docs/measures.md#%s\n", topic);
        known = true;
    }
    return known;
}

/** The better of two spellings of `word`; what is too far from it is none. */
static void consider(const char **best, size_t *distance, const char *word, const char *candidate)
{
    size_t d = swt_label_distance(word, candidate);

    if (d < *distance) {
        *distance = d;
        *best = candidate;
    }
}

/* A mistyped letter or two; in a short word one. */
static size_t too_far(const char *word)
{
    return strlen(word) < 3 ? 1 : strlen(word) < 6 ? 2 : 3;
}

const char *swt_cli_nearest_command(const char *word)
{
    const char *best = NULL;
    size_t distance = too_far(word);

    consider(&best, &distance, word, "help");
    for (const swt_cli_command *c = swt_cli_commands; c->name; c++)
        consider(&best, &distance, word, c->name);
    return best;
}

const char *swt_cli_nearest_topic(const char *word)
{
    const char *best = swt_cli_nearest_command(word);
    size_t distance = best ? swt_label_distance(word, best) : too_far(word);

    for (size_t i = 0; i < TOPICS; i++)
        consider(&best, &distance, word, topics[i].name);
    for (int e = 0; e < SWT_EVENT_COUNT; e++)
        consider(&best, &distance, word, swt_event_name((swt_event)e));
    for (int s = 0; s < SWT_SERIES_COUNT; s++)
        consider(&best, &distance, word, swt_series_describe((swt_series)s)->name);
    for (size_t i = 0; i < swt_measure_count(); i++)
        consider(&best, &distance, word, swt_measure_row(i)->name);
    return best;
}

const char *swt_cli_nearest_option(const char *word, const struct poptOption *options)
{
    const char *best = NULL;
    size_t distance = too_far(word);

    consider(&best, &distance, word, "help");
    for (const struct poptOption *o = options; o->longName; o++)
        consider(&best, &distance, word, o->longName);
    return best;
}
