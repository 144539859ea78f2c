/** @file  What the commands of `swathe` share: the command table, options, messages, exit codes.
 *  Layer: cli. Results go to stdout, words about the work go to stderr. */
#ifndef SWT_CLI_CLI_H
#define SWT_CLI_CLI_H

#include "base/status.h"

#include <popt.h>
#include <stdbool.h>
#include <stddef.h>

/** X(ID, number, "meaning"). Scripts rely on them: never renumber. */
#define SWT_CLI_EXIT_CODES(X)                                                                      \
    X(ALL_DONE, 0, "all done")                                                                     \
    X(SOME_FAILED, 1, "some inputs failed, the rest is done")                                      \
    X(USAGE, 2, "the command line cannot be used: see --help")                                     \
    X(NO_INPUT, 3, "no input could be used: nothing was done")                                     \
    X(NO_OUTPUT, 4, "an output could not be written")                                              \
    X(OUTSIDE, 5, "only with --check: a swing is outside the corridor")                            \
    X(STOPPED, 6,                                                                                  \
      "stopped by a signal; what was done is kept: the same command goes on from there")           \
    X(OUR_BUG, 70, "a fault in swathe itself: please report it")

typedef enum swt_cli_exit {
#define X(id, number, meaning) SWT_EXIT_##id = number,
    SWT_CLI_EXIT_CODES(X)
#undef X
} swt_cli_exit;

/** One command: its row in the table is all that help knows of it. */
typedef struct swt_cli_command {
    const char *name;
    const char *operands; /**< "SHEET", "FILE...", "" */
    const char *summary;  /**< one line, no full stop */
    const char *about;    /**< paragraphs for `swathe help COMMAND`; may be "" */
    /** Gets "swathe NAME" as argv[0]; returns the exit code. */
    int (*run)(const struct swt_cli_command *self, int argc, char **argv);
} swt_cli_command;

/** The commands in the order of the path; the last has a NULL name. */
extern const swt_cli_command swt_cli_commands[];

/** A command line being taken apart. */
typedef struct swt_cli_line {
    const swt_cli_command *command;
    const struct poptOption *options;
    poptContext context;
    const char **operand; /**< what is left after the options */
    int n_operands;
} swt_cli_line;

enum { SWT_CLI_GO_ON = -1 };

/**
 * Parses the options (rows of popt with a long name each, ended by POPT_TABLEEND; texts are heap
 * copies that swt_cli_end frees, so their defaults must be NULL) and counts the operands.
 *
 * @param least, most  operands that must and may be there; most < 0 = any number
 * @return SWT_CLI_GO_ON, or the exit code when help was asked for or the line cannot be used:
 *         then the words are printed. swt_cli_end is due in every case.
 */
int swt_cli_begin(swt_cli_line *line, const swt_cli_command *command, int argc, char **argv,
                  const struct poptOption *options, int least, int most);

/** Frees the texts among the option values and the line itself. */
void swt_cli_end(swt_cli_line *line);

/** Number of the word in a list that NULL ends; -1: not there. A word that was not given (NULL) is
 *  the first one. */
int swt_cli_find_word(const char *word, const char *const *list);

/** Prints "swathe NAME: words" to stderr, returns `code`. */
int swt_cli_fail(const swt_cli_command *command, int code, const char *format, ...)
    SWT_PRINTF(3, 4);

/** swt_cli_fail for a command line that cannot be used: adds where help is. */
int swt_cli_usage(const swt_cli_command *command, const char *format, ...) SWT_PRINTF(2, 3);

/** The command line as one text that a shell takes again; the caller frees; NULL: no memory. */
char *swt_cli_quote(int argc, char **argv);

/** Prints the help page of a topic that is no command ("exit-codes"), or what a measure, curve or
 *  event is; false: no such topic or name. */
bool swt_cli_help_topic(const char *topic);

/** What a mistyped word may have meant; NULL: nothing is near. Static text. */
const char *swt_cli_nearest_command(const char *word);
const char *swt_cli_nearest_topic(const char *word);
/** `word` without its dashes; `options` as for swt_cli_begin. */
const char *swt_cli_nearest_option(const char *word, const struct poptOption *options);

/** Prints the overview of all commands. */
void swt_cli_help_overview(void);

#endif
