/* Command lines: options by popt, help pages from the same tables. */
#include "cli/cli.h"
#include "io/study/selection.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

int swt_cli_fail(const swt_cli_command *command, int code, const char *format, ...)
{
    va_list args;

    fflush(stdout); /* so that words and results keep their order on a terminal */
    fprintf(stderr, "swathe %s: ", command->name);
    va_start(args, format);
    vfprintf(stderr, format, args);
    va_end(args);
    fputc('\n', stderr);
    return code;
}

int swt_cli_usage(const swt_cli_command *command, const char *format, ...)
{
    char words[1024];
    va_list args;

    va_start(args, format);
    vsnprintf(words, sizeof words, format, args);
    va_end(args);
    return swt_cli_fail(command, SWT_EXIT_USAGE, "%s (see: swathe help %s)", words, command->name);
}

static void print_default(const struct poptOption *option)
{
    switch (option->argInfo & POPT_ARG_MASK) {
    case POPT_ARG_DOUBLE:
        printf(" [%g]", *(const double *)option->arg);
        break;
    case POPT_ARG_LONG:
        printf(" [%ld]", *(const long *)option->arg);
        break;
    default: /* texts say their default in words */
        break;
    }
}

static void print_help(const swt_cli_command *command, const struct poptOption *options)
{
    size_t length = strlen(command->summary);

    printf("Usage: swathe %s%s%s%s\n\n%s%s\n", command->name,
           options->longName ? " [OPTION...]" : "", *command->operands ? " " : "",
           command->operands, command->summary,
           length > 0 && command->summary[length - 1] == '?' ? "" : ".");
    if (*command->about)
        printf("\n%s\n", command->about);
    printf("\nOptions ([default]):\n");
    for (const struct poptOption *o = options; o->longName; o++) {
        char left[64];
        int n = o->shortName ? snprintf(left, sizeof left, "-%c, --%s", o->shortName, o->longName)
                             : snprintf(left, sizeof left, "    --%s", o->longName);
        if (o->argDescrip && n > 0 && (size_t)n < sizeof left)
            snprintf(left + n, sizeof left - (size_t)n, " %s", o->argDescrip);
        printf("  %-26s %s", left, o->descrip);
        print_default(o);
        putchar('\n');
    }
    printf("  %-26s %s\n", "-h, --help", "print this page");
}

/** popt names the word that it stumbled over; where that is a value, the option before it helps. */
static int complain(const swt_cli_line *line, int argc, char **argv, int code)
{
    const char *word = poptBadOption(line->context, POPT_BADOPTION_NOALIAS);

    for (int i = 2; i < argc && *word != '-'; i++)
        if (strcmp(argv[i], word) == 0)
            return swt_cli_usage(line->command, "%s %s: %s", argv[i - 1], word, poptStrerror(code));
    if (code == POPT_ERROR_BADOPT && strncmp(word, "--", 2) == 0) {
        char name[64];
        const char *nearest;
        snprintf(name, sizeof name, "%.*s", (int)strcspn(word + 2, "="), word + 2);
        nearest = swt_cli_nearest_option(name, line->options);
        if (nearest)
            return swt_cli_usage(line->command, "%s: %s; did you mean --%s?", word,
                                 poptStrerror(code), nearest);
    }
    return swt_cli_usage(line->command, "%s: %s", word, poptStrerror(code));
}

/** An empty text is what a script's unset variable leaves: no file, folder or name is meant. */
static int find_empty(const swt_cli_line *line)
{
    for (const struct poptOption *o = line->options; o->longName; o++) {
        char *const *text = o->arg;
        if (o->argInfo == POPT_ARG_STRING && *text && **text == '\0')
            return swt_cli_usage(line->command, "--%s: %s is empty", o->longName, o->argDescrip);
    }
    for (int i = 0; i < line->n_operands; i++)
        if (line->operand[i][0] == '\0')
            return swt_cli_usage(line->command, "an operand is empty: expected %s",
                                 line->command->operands);
    return SWT_CLI_GO_ON;
}

/** Conditions that cannot be read are a matter of the command line, whatever the study holds. */
static int check_conditions(const swt_cli_line *line)
{
    for (const struct poptOption *o = line->options; o->longName; o++) {
        char *const *text = o->arg;
        swt_selection *selection;
        swt_error err = SWT_ERROR_INIT;
        if (o->argInfo != POPT_ARG_STRING || !*text || strcmp(o->argDescrip, "CONDITIONS") != 0)
            continue;
        if (swt_selection_parse(&selection, *text, &err) != SWT_OK)
            return swt_cli_usage(line->command, "--%s: %s", o->longName, err.msg);
        swt_selection_free(selection);
    }
    return SWT_CLI_GO_ON;
}

int swt_cli_begin(swt_cli_line *line, const swt_cli_command *command, int argc, char **argv,
                  const struct poptOption *options, int least, int most)
{
    enum { HELP = 1 };
    int code;
    const struct poptOption table[] = {
        {NULL, '\0', POPT_ARG_INCLUDE_TABLE, (void *)options, 0, NULL, NULL},
        {"help", 'h', POPT_ARG_NONE, NULL, HELP, NULL, NULL},
        POPT_TABLEEND,
    };

    *line = (swt_cli_line){.command = command, .options = options};
    line->context = poptGetContext(NULL, argc, (const char **)argv, table, 0);
    if (!line->context)
        return swt_cli_fail(command, SWT_EXIT_OUR_BUG, "out of memory");
    while ((code = poptGetNextOpt(line->context)) > 0) {
        if (code == HELP) {
            print_help(command, options);
            return SWT_EXIT_ALL_DONE;
        }
    }
    if (code < -1)
        return complain(line, argc, argv, code);
    line->operand = poptGetArgs(line->context);
    while (line->operand && line->operand[line->n_operands])
        line->n_operands++;
    if (line->n_operands < least)
        return swt_cli_usage(command, "%s is missing", command->operands);
    if (most >= 0 && line->n_operands > most)
        return swt_cli_usage(command, "'%s' is one word too many", line->operand[most]);
    code = find_empty(line);
    return code == SWT_CLI_GO_ON ? check_conditions(line) : code;
}

void swt_cli_end(swt_cli_line *line)
{
    for (const struct poptOption *o = line->options; o && o->longName; o++) {
        if ((o->argInfo & POPT_ARG_MASK) == POPT_ARG_STRING) {
            free(*(char **)o->arg);
            *(char **)o->arg = NULL;
        }
    }
    if (line->context)
        poptFreeContext(line->context);
    line->context = NULL;
}

static bool is_plain(const char *word)
{
    static const char plain[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789"
                                "-_./=:,+@%";
    return *word && word[strspn(word, plain)] == '\0';
}

char *swt_cli_quote(int argc, char **argv)
{
    size_t room = 1, used = 0;
    char *text;

    for (int i = 0; i < argc; i++)
        room += 4 * strlen(argv[i]) + 3; /* a quote mark becomes four characters */
    text = malloc(room);
    if (!text)
        return NULL;
    for (int i = 0; i < argc; i++) {
        bool plain = i == 0 || is_plain(argv[i]); /* argv[0] is "swathe NAME" */
        if (i > 0)
            text[used++] = ' ';
        if (!plain)
            text[used++] = '\'';
        for (const char *c = argv[i]; *c; c++) {
            if (*c == '\'') {
                memcpy(text + used, "'\\''", 4);
                used += 4;
            } else {
                text[used++] = *c;
            }
        }
        if (!plain)
            text[used++] = '\'';
    }
    text[used] = '\0';
    return text;
}

int swt_cli_find_word(const char *word, const char *const *list)
{
    if (!word)
        return 0;
    for (int i = 0; list[i]; i++)
        if (strcmp(list[i], word) == 0)
            return i;
    return -1;
}
