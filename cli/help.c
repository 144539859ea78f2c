/* `swathe help`: the overview and the topics that are no command. */
#include "cli/cli.h"
#include "kinematics/measure.h"

#include <stdio.h>
#include <string.h>

void swt_cli_help_overview(void)
{
    printf(
        "Usage: swathe COMMAND [OPTION...] [FILE...]\n\n"
        "Measures golf swings from 3D marker captures against a corridor of reference swings.\n\n"
        "Commands:\n");
    for (const swt_cli_command *c = swt_cli_commands; c->name; c++)
        printf("  %-10s %s\n", c->name, c->summary);
    printf("\n`swathe help COMMAND` says more about one. `swathe help` with one of exit-codes,\n"
           "measures, curves, events, landmarks lists those.\n");
}

static void help_exit_codes(void)
{
#define X(id, number, meaning) printf("%3d  %s\n", number, meaning);
    SWT_CLI_EXIT_CODES(X)
#undef X
}

static void help_measures(void)
{
    for (size_t i = 0; i < swt_measure_count(); i++) {
        const swt_measure *m = swt_measure_row(i);
        printf("%s\n    %s (%s)\n    %s\n    source: %s\n", m->name, m->title,
               swt_quantity_unit(m->quantity)->shown, m->definition, m->source);
    }
}

static void help_events(void)
{
    for (int e = 0; e < SWT_EVENT_COUNT; e++)
        printf("%s\n    %s\n    %s\n", swt_event_name((swt_event)e), swt_event_title((swt_event)e),
               swt_event_definition((swt_event)e));
}

static void help_curves(void)
{
    for (int s = 0; s < SWT_SERIES_COUNT; s++) {
        const swt_series_info *info = swt_series_describe((swt_series)s);
        printf("%s\n    %s (%s)\n    %s\n", info->name, info->title,
               swt_quantity_unit(info->quantity)->shown, info->definition);
    }
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

static const struct {
    const char *name;
    void (*print)(void);
} topics[] = {
    {"exit-codes", help_exit_codes}, {"measures", help_measures},   {"curves", help_curves},
    {"events", help_events},         {"landmarks", help_landmarks},
};

bool swt_cli_help_topic(const char *topic)
{
    for (size_t i = 0; i < sizeof topics / sizeof topics[0]; i++) {
        if (strcmp(topics[i].name, topic) == 0) {
            topics[i].print();
            return true;
        }
    }
    return false;
}
